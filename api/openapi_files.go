package api

import (
	"net/http"

	"github.com/swaggest/openapi-go"
	"github.com/swaggest/openapi-go/openapi31"
)

// squadColumnMeanings say what stands in each of squadColumns.
var squadColumnMeanings = map[string]string{
	"name":             "Of the athlete.",
	"sex":              "female or male; blank where it is not known.",
	"birth_date":       "YYYY-MM-DD.",
	"sculls":           "yes or no.",
	"port_cost_s":      "What rowing on port costs the athlete over 2000 m, in s: 0 for the better side, blank for a side that the athlete does not row.",
	"starboard_cost_s": "The same for starboard.",
	"mass_kg":          "Of the athlete, the newest on record.",
	"test_date":        "Day of the ergometer test, YYYY-MM-DD; it and the columns after it are blank for an athlete without a test.",
	"test_fixed":       "What was set on the ergometer: distance or time.",
	"test_distance_m":  "Rowed in the test.",
	"test_time":        "Taken by the test, such as 6:32.4.",
	"test_mass_kg":     "Of the athlete at the test; blank where it was not taken.",
	"note":             "On the test.",
}

// describeFile describes an answer that is a file: a squad's table. JSON Schema
// tells what such a text holds by contentSchema (2020-12, section 8); the cells
// of a row are told in their order, each by its heading.
func (d *describer) describeFile(media string) {
	var cells []any
	for _, column := range squadColumns {
		cells = append(cells, map[string]any{"title": column, "type": "string", "description": squadColumnMeanings[column]})
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
