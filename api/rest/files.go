package rest

import (
	"net/http"

	"github.com/swaggest/openapi-go"
	"github.com/swaggest/openapi-go/openapi31"
)

// Column is one of a table that a route answers.
type Column struct{ Heading, Meaning string }

// describeFile describes an answer that is a file: a table. JSON Schema
// tells what such a text holds by contentSchema (2020-12, section 8); the cells
// of a row are told in their order, each by its heading.
func (d *describer) describeFile(media string, columns []Column) {
	var cells []any
	for _, column := range columns {
		cells = append(cells, map[string]any{"title": column.Heading, "type": "string", "description": column.Meaning})
	}
	row := map[string]any{"type": "array", "prefixItems": cells, "minItems": len(cells), "maxItems": len(cells)}
	schema := map[string]any{
		"type": "string", "contentMediaType": media,
		"contentSchema": map[string]any{"type": "array", "minItems": 1, "items": row, "description": "The rows, that of the headings first."},
	}
	d.op.AddRespStructure(nil, openapi.WithHTTPStatus(http.StatusOK), openapi.WithContentType(media),
		func(unit *openapi.ContentUnit) { unit.Description = "The file, as an attachment" },
		openapi.WithCustomize(func(response openapi.ContentOrReference) {
			response.(*openapi31.ResponseOrReference).Response.Content = map[string]openapi31.MediaType{media: {Schema: schema}}
		}))
}
