package squadfile

import (
	"bytes"
	"context"
	"mime/multipart"
	"net/http"

	"thole/api/access"
	"thole/api/rest"
	out "thole/api/table"
)

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	const tableFormat = "CSV or .xlsx with a heading; of the columns that the export writes, in any order, only name is needed. Blank cells change nothing. "
	return []rest.Route{
		s.squadFile(out.CSV, "Export the squad as CSV",
			"Every athlete with every ergometer test, one row a test, as text/csv in UTF-8 with a heading (RFC 4180)."),
		s.squadFile(out.XLSX, "Export the squad as a spreadsheet",
			"The same table as the first sheet of an .xlsx file, days as days, times as times and numbers as numbers."),
		rest.Custom(rest.Route{
			Method: http.MethodPost, Path: "/api/v1/squad/preview", Summary: "Preview a squad's table",
			Description: tableFormat + "Returns what saving it would change, and with row and column what would not be used. Saves nothing.",
			In:          squadPreview{}, Out: SquadImport{}, Access: access.Coaches.Calculating(),
		}, s.squadHandler(s.previewSquad, "file")),
		rest.Custom(rest.Route{
			Method: http.MethodPost, Path: "/api/v1/squad/import", Summary: "Import a squad",
			Description: tableFormat + "Athletes are matched by name and birth date, tests by athlete, day and what was fixed, so importing a table again updates them. All is saved or nothing. " +
				"A table of which something cannot be used is refused with row and column, unless leave_out says that the rest may be saved. " +
				"With the plan of a preview, 409 says that athletes or tests have changed since.",
			In: squadUpload{}, Out: SquadImport{}, Counted: true, Access: access.Coaches,
		}, s.squadHandler(s.saveSquad, "file", "by", "plan", "leave_out")),
	}
}

// squadPreview is the multipart request to preview a table.
type squadPreview struct {
	File multipart.File `formData:"file" required:"true" description:"CSV in UTF-8, or .xlsx; 8 MB and 20,000 rows at the most."`
}

// squadUpload is the multipart request to import a table.
type squadUpload struct {
	File     multipart.File `formData:"file" required:"true" description:"CSV in UTF-8, or .xlsx; 8 MB and 20,000 rows at the most."`
	By       string         `formData:"by" required:"true" description:"Who imports it, for the history."`
	Plan     string         `formData:"plan" description:"From the answer of the preview. Without it, whatever the table changes now."`
	LeaveOut bool           `formData:"leave_out" description:"Save the rest of a table of which something cannot be used. Without it, false."`
}

func (s *Service) previewSquad(ctx context.Context, f *rest.TableForm) (SquadImport, error) {
	return s.Read(ctx, bytes.NewReader(f.File))
}

func (s *Service) saveSquad(ctx context.Context, f *rest.TableForm) (SquadImport, error) {
	leave, err := f.Flag("leave_out")
	if err != nil {
		return SquadImport{}, err
	}
	how := Saving{By: f.Text["by"], Plan: f.Text["plan"], Whole: !leave}
	return s.Import(ctx, bytes.NewReader(f.File), how)
}

// squadHandler reads the form and answers what a table would do or has done.
func (s *Service) squadHandler(use func(context.Context, *rest.TableForm) (SquadImport, error), known ...string) func(*rest.Call) error {
	return func(c *rest.Call) error {
		var plan SquadImport
		f, err := c.TableForm(s.Uploads, known)
		if err == nil {
			plan, err = use(c.Context(), f)
		}
		if err != nil {
			return c.FailUpload(err)
		}
		return c.Send(plan)
	}
}
