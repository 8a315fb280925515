package rest

import (
	"context"
	"log/slog"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/swaggest/openapi-go"
	"github.com/swaggest/openapi-go/openapi31"

	"thole/api/table"
	"thole/api/wire"
)

// Columns say what stands in a table that a route answers.
type Columns struct {
	First []table.Column
	More  string // what each further column is, where their number varies; "" for none
}

// formatParameter asks for the answer as a table.
const formatParameter = "format"

// Tabled lets the answer of a route be taken away as a table as well: with
// ?format=csv or xlsx in the address, or with Accept. The use case gets the same
// request as the one that answers JSON, and returns the table with a name for
// its file.
func Tabled[In any](r Route, columns Columns, use func(context.Context, In) (table.Table, string, error)) Route {
	answerJSON := r.handler
	r.Tables, r.Columns = true, columns
	r.handler = func(r *Route, jobs Jobs, log *slog.Logger) echo.HandlerFunc {
		plain := answerJSON(r, jobs, log)
		return func(c echo.Context) error {
			c.Response().Header().Add(echo.HeaderVary, echo.HeaderAccept)
			format, asked, err := wantedFormat(c.Request())
			switch {
			case err != nil:
				return answer(c, log, err)
			case !asked:
				return plain(c)
			}
			var in In
			if err := r.read(c, &in); err != nil {
				return answer(c, log, err)
			}
			t, name, err := use(c.Request().Context(), in)
			if err != nil {
				return answer(c, log, err)
			}
			body, err := format.File(&t)
			if err != nil {
				return answer(c, log, err)
			}
			return sendFile(c, format.ContentType(), table.FileName(name)+"."+format.Name, body)
		}
	}
	return r
}

// GetFile describes a use case behind GET that answers a file to be shown, such as a
// picture. It is stored by nobody on its way.
func GetFile[In any](path, summary, description, media string, use func(context.Context, In) ([]byte, error)) Route {
	return Route{
		Method: http.MethodGet, Path: path, Summary: summary, Description: description, In: *new(In), Media: media,
		handler: func(r *Route, _ Jobs, log *slog.Logger) echo.HandlerFunc {
			return func(c echo.Context) error {
				var in In
				if err := r.read(c, &in); err != nil {
					return answer(c, log, err)
				}
				body, err := use(c.Request().Context(), in)
				if err != nil {
					return answer(c, log, err)
				}
				c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
				return c.Blob(http.StatusOK, media, body)
			}
		},
	}
}

// wantedFormat returns the format that the address asks for, or the first of
// those that Accept likes best; false for JSON.
func wantedFormat(r *http.Request) (f table.Format, asked bool, err error) {
	switch name := r.URL.Query().Get(formatParameter); name {
	case "":
		f, asked = acceptedFormat(r.Header.Values(echo.HeaderAccept))
		return f, asked, nil
	case "json":
		return f, false, nil
	default:
		f, asked = table.FormatNamed(name)
		if !asked {
			return f, false, wire.At(formatParameter).Invalid("Say json, csv or xlsx.")
		}
		return f, true, nil
	}
}

// acceptedFormat returns the format that a client prefers to all others; false
// where it prefers JSON, or takes anything (RFC 9110, 12.5.1).
func acceptedFormat(accept []string) (best table.Format, asked bool) {
	most := 0.0
	for _, wish := range strings.Split(strings.Join(accept, ","), ",") {
		media, parameters, err := mime.ParseMediaType(wish)
		if err != nil {
			continue
		}
		weight := 1.0
		if text, ok := parameters["q"]; ok {
			if weight, err = strconv.ParseFloat(text, 64); err != nil {
				continue
			}
		}
		if weight <= most {
			continue
		}
		for _, f := range table.Formats {
			if f.Media == media {
				best, asked, most = f, true, weight
			}
		}
		if media == echo.MIMEApplicationJSON || media == "application/*" || media == "*/*" {
			asked, most = false, weight
		}
	}
	return best, asked
}

// sendFile answers a file to be saved under a name.
func sendFile(c echo.Context, contentType, name string, body []byte) error {
	c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="`+name+`"`)
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	if asRead(c.Request().Method) == http.MethodGet {
		return sendTagged(c, contentType, tagOf(nil, body), body)
	}
	return c.Blob(http.StatusOK, contentType, body)
}

// describeFile describes an answer that is a file and nothing else.
func (d *describer) describeFile(media string, columns *Columns) {
	d.op.AddRespStructure(nil, openapi.WithHTTPStatus(http.StatusOK), openapi.WithContentType(media),
		func(unit *openapi.ContentUnit) { unit.Description = columns.answer() },
		openapi.WithCustomize(func(response openapi.ContentOrReference) {
			response.(*openapi31.ResponseOrReference).Response.Content = map[string]openapi31.MediaType{media: columns.media(media)}
		}))
}

// answer reports what the answer is.
func (columns *Columns) answer() string {
	if columns.First == nil {
		return "The file"
	}
	return "The file, as an attachment"
}

// formatQuery is how an address asks for a table.
type formatQuery struct {
	Format string `query:"format" enum:"json,csv,xlsx" default:"json" description:"csv or xlsx: the same as a table, a file to be saved. CSV is UTF-8 without a byte order mark; texts that a spreadsheet would take for a formula have an apostrophe before them. In place of it, Accept may name the media type."`
}

// addTables describes the tables that an answer can be had as beside JSON.
func (d *describer) addTables(r *Route) openapi.ContentOption {
	d.op.AddReqStructure(formatQuery{})
	return openapi.WithCustomize(func(response openapi.ContentOrReference) {
		for _, f := range table.Formats {
			response.(*openapi31.ResponseOrReference).Response.Content[f.Media] = r.Columns.media(f.Media)
		}
	})
}

// media describes a table. JSON Schema says what such a text holds by
// contentSchema (2020-12, section 8); the cells of a row are reported in their order,
// each by its heading.
func (columns *Columns) media(media string) openapi31.MediaType {
	if columns.First == nil { // no table
		return openapi31.MediaType{Schema: map[string]any{"type": "string", "contentMediaType": media}}
	}
	var cells []any
	for _, column := range columns.First {
		cells = append(cells, map[string]any{"title": column.Heading, "type": "string", "description": column.Meaning})
	}
	row := map[string]any{"type": "array", "prefixItems": cells, "minItems": len(cells)}
	if columns.More == "" {
		row["maxItems"], row["items"] = len(cells), map[string]any{"type": "string"}
	} else {
		row["items"] = map[string]any{"type": "string", "description": columns.More}
	}
	return openapi31.MediaType{Schema: map[string]any{
		"type": "string", "contentMediaType": media,
		"contentSchema": map[string]any{"type": "array", "minItems": 1, "items": row, "description": "The rows, that of the headings first."},
	}}
}
