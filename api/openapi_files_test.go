package api_test

import (
	"encoding/csv"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/xuri/excelize/v2"

	"thole/api"
	"thole/api/apitest"
)

// fileSchema is what is told of a file: its kind, and what it holds.
type fileSchema struct {
	ContentMediaType string
	ContentSchema    json.RawMessage
}

// describedFile reads the schema of a route's answer from the document itself.
func describedFile(t *testing.T, route string) (fileSchema, bool) {
	t.Helper()
	raw, err := api.OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Paths map[string]map[string]struct {
			Responses map[string]struct {
				Content map[string]struct{ Schema fileSchema }
			}
		}
	}
	if err := json.Unmarshal(raw, &doc); err != nil {
		t.Fatal(err)
	}
	method, path, _ := strings.Cut(route, " ")
	for media, content := range doc.Paths[apitest.OpenPath(path)][strings.ToLower(method)].Responses["200"].Content {
		if media != apitest.JSONType {
			apitest.Same(t, route+": kind", content.Schema.ContentMediaType, media)
			return content.Schema, true
		}
	}
	return fileSchema{}, false
}

// fileRows reads a file as other programs do.
func fileRows(t *testing.T, media, body string) [][]string {
	t.Helper()
	if media == "text/csv" {
		rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return rows
	}
	file, err := excelize.OpenReader(strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := file.GetRows(file.GetSheetName(0))
	if err != nil {
		t.Fatal(err)
	}
	for i := range rows { // blank cells at the end of a row are not stored
		rows[i] = append(rows[i], make([]string, len(rows[0])-len(rows[i]))...)
	}
	return rows
}

// TestFilesHoldTheColumnsThatAreDescribed goes through every route that answers
// a file.
func TestFilesHoldTheColumnsThatAreDescribed(t *testing.T) {
	c := apitest.ServedClub(t)
	apitest.Saved3(t, c.Service, apitest.SmallSquad)
	files := 0
	for _, r := range (&api.Service{}).Routes() {
		file, ok := describedFile(t, r.Method+" "+r.Path)
		if !ok {
			continue
		}
		files++
		rows := fileRows(t, file.ContentMediaType, c.Send(r.Path).Body.String())
		if err := fitsTable(t, file.ContentSchema, rows); err != nil {
			t.Errorf("%s: %v", r.Path, err)
		}
		if fitsTable(t, file.ContentSchema, append(slices.Clone(rows), []string{"Ann"})) == nil {
			t.Errorf("%s: a short row fits, too", r.Path)
		}
		var told struct {
			Items struct {
				PrefixItems []struct{ Title, Description string }
			}
		}
		if err := json.Unmarshal(file.ContentSchema, &told); err != nil {
			t.Fatal(err)
		}
		var columns []string
		for _, column := range told.Items.PrefixItems {
			columns = append(columns, column.Title)
			if column.Description == "" {
				t.Errorf("%s: nothing is said of %s", r.Path, column.Title)
			}
		}
		apitest.Same(t, r.Path+": columns", columns, rows[0])
	}
	apitest.Same(t, "routes that answer a file", files, 2)
}

func fitsTable(t *testing.T, schema json.RawMessage, rows [][]string) error {
	t.Helper()
	read, err := jsonschema.UnmarshalJSON(strings.NewReader(string(schema)))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("table.json", read); err != nil {
		t.Fatal(err)
	}
	compiled, err := compiler.Compile("table.json")
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(rows)
	if err != nil {
		t.Fatal(err)
	}
	table, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
	if err != nil {
		t.Fatal(err)
	}
	return compiled.Validate(table)
}
