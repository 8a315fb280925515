package api

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"mime/multipart"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"
)

// squadRoutes lists the squad's ways out and in as a table.
func squadRoutes() []Route {
	const whatComesIn = "CSV or .xlsx with a heading; of the columns that the export writes, in any order, only name is needed. Blank cells change nothing. "
	return []Route{
		squadFile("csv", "text/csv", "Take the squad out as CSV",
			"Every athlete with every ergometer test, one row a test, as text/csv in UTF-8 with a heading (RFC 4180)."),
		squadFile("xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "Take the squad out as a spreadsheet",
			"The same table as the first sheet of an .xlsx file."),
		{
			Method: http.MethodPost, Path: "/api/v1/squad/preview", Summary: "Look at a squad's table",
			Description: whatComesIn + "Tells what saving it would do, and with row and column what would be left out. Saves nothing.",
			in:          squadPreview{}, out: SquadImport{}, handler: squadHandler((*squadForm).preview, "file"),
		},
		{
			Method: http.MethodPost, Path: "/api/v1/squad/import", Summary: "Bring a squad in",
			Description: whatComesIn + "Athletes are known again by name and birth date, tests by athlete, day and what was set, so that a table can come in again: what is on record is updated. All is saved or nothing. " +
				"A table of which something would be left out is refused with row and column, unless leave_out says that the rest may be saved. " +
				"With the plan of a preview, 409 tells that the records have changed since.",
			in: squadUpload{}, out: SquadImport{}, handler: squadHandler((*squadForm).save, "file", "by", "plan", "leave_out"),
		},
	}
}

// squadPreview is the multipart request to look at a table.
type squadPreview struct {
	File multipart.File `formData:"file" required:"true" description:"CSV in UTF-8, or .xlsx; 8 MB and 20,000 rows at the most."`
}

// squadUpload is the multipart request to put a table on record.
type squadUpload struct {
	File     multipart.File `formData:"file" required:"true" description:"CSV in UTF-8, or .xlsx; 8 MB and 20,000 rows at the most."`
	By       string         `formData:"by" required:"true" description:"Who brings it in; the name stands in the history."`
	Plan     string         `formData:"plan" description:"As the preview answered it. Left out: whatever the table does by now."`
	LeaveOut bool           `formData:"leave_out" description:"Save the rest of a table of which something cannot be used. Left out: false."`
}

// squadFile describes an export.
func squadFile(kind, media, summary, description string) Route {
	return Route{
		Method: http.MethodGet, Path: "/api/v1/squad/table." + kind, Summary: summary, Description: description, media: media,
		handler: func(_ *Route, s *Service, log *slog.Logger) echo.HandlerFunc {
			return func(c echo.Context) error {
				var body bytes.Buffer
				if err := s.WriteSquad(c.Request().Context(), kind, &body); err != nil {
					return answer(c, log, err)
				}
				contentType := media
				if kind == "csv" {
					contentType += "; charset=utf-8"
				}
				c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="squad.`+kind+`"`)
				return c.Blob(http.StatusOK, contentType, body.Bytes())
			}
		},
	}
}

// squadForm is a multipart request with a table.
type squadForm struct {
	file []byte
	text map[string]string // of the other parts
}

// maxText bounds a part that is a word or a name, bytes.
const maxText = 4 << 10

// read takes in the parts that are known here, each once.
func (f *squadForm) read(r *http.Request, known []string) error {
	parts, err := r.MultipartReader()
	if err != nil {
		return &malformed{http.StatusUnsupportedMediaType, "Send multipart/form-data with a part named file."}
	}
	f.text = map[string]string{}
	for {
		part, err := parts.NextRawPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return explainReading(err)
		}
		name := part.FormName()
		if !slices.Contains(known, name) {
			return invalid(name, "This name is not known here.")
		}
		if _, twice := f.text[name]; twice || name == "file" && f.file != nil {
			return invalid(name, "This part comes twice.")
		}
		if err := f.take(name, part); err != nil {
			return err
		}
	}
	if f.file == nil {
		return invalid("file", "Send the table as the part named file.")
	}
	return nil
}

func (f *squadForm) take(name string, part io.Reader) error {
	most := maxText
	if name == "file" {
		most = maxTable
	}
	body, err := io.ReadAll(io.LimitReader(part, int64(most)+1))
	switch {
	case err != nil:
		return explainReading(err)
	case len(body) <= most && name == "file":
		f.file = body
	case len(body) <= most:
		f.text[name] = string(body)
	case name == "file":
		return &malformed{http.StatusRequestEntityTooLarge, fmt.Sprintf("The file is larger than %d MB.", maxTable>>20)}
	default:
		return invalid(name, "This is too long.")
	}
	return nil
}

func (f *squadForm) preview(ctx context.Context, s *Service) (SquadImport, error) {
	return s.ReadSquad(ctx, bytes.NewReader(f.file))
}

func (f *squadForm) save(ctx context.Context, s *Service) (SquadImport, error) {
	how := SquadSaving{By: f.text["by"], Plan: f.text["plan"]}
	switch f.text["leave_out"] {
	case "true":
	case "", "false":
		how.Whole = true
	default:
		return SquadImport{}, invalid("leave_out", "Say true or false.")
	}
	return s.ImportSquad(ctx, bytes.NewReader(f.file), how)
}

// squadHandler reads the form and answers what a table would do or has done.
func squadHandler(use func(*squadForm, context.Context, *Service) (SquadImport, error), known ...string) func(*Route, *Service, *slog.Logger) echo.HandlerFunc {
	return func(r *Route, s *Service, log *slog.Logger) echo.HandlerFunc {
		return func(c echo.Context) error {
			patient(c.Response())
			var f squadForm
			var plan SquadImport
			err := f.read(c.Request(), known)
			if err == nil {
				plan, err = use(&f, c.Request().Context(), s)
			}
			if err != nil {
				Drain(c.Request())
				return answer(c, log, err)
			}
			return send(c, log, r.status(), echo.MIMEApplicationJSON, plan)
		}
	}
}
