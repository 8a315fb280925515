package api_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/xuri/excelize/v2"

	"thole/api"
	"thole/api/apitest"
	"thole/api/apitest/samples"
	"thole/api/table"
)

// fileSchema is what is told of a file: its kind, and what it holds.
type fileSchema struct {
	ContentMediaType string
	ContentSchema    json.RawMessage
}

// describedFiles reads the schemas of a route's answers that are files from the
// document itself, by media type.
func describedFiles(t *testing.T, route string) map[string]fileSchema {
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
	files := map[string]fileSchema{}
	for media, content := range doc.Paths[apitest.OpenPath(path)][strings.ToLower(method)].Responses["200"].Content {
		if media != apitest.JSONType {
			apitest.Same(t, route+": kind", content.Schema.ContentMediaType, media)
			files[media] = content.Schema
		}
	}
	return files
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
// a file, and through every route whose answer can be had as a table, with every
// sample of it.
func TestFilesHoldTheColumnsThatAreDescribed(t *testing.T) {
	c := apitest.ServedClub(t)
	apitest.Saved3(t, c.Service, apitest.SmallSquad)
	files, tables, pictures := 0, 0, 0
	for _, r := range (&api.Service{}).Routes() {
		route := r.Method + " " + r.Path
		var list []samples.Sample
		if r.Tables {
			list = samples.Of[route](t)
		}
		for media, file := range describedFiles(t, route) {
			if r.Media != "" && r.Columns.First == nil {
				pictures++ // and no table: see the test of the room video
				continue
			}
			if !r.Tables {
				files++
				checkFile(t, route, media, c.Send(r.Path).Body.String(), file.ContentSchema)
				continue
			}
			tables++
			format := table.Formats[slices.IndexFunc(table.Formats, func(f table.Format) bool { return f.Media == media })]
			for i, s := range list {
				w := s.SendAs(t, route, format.Name)
				if w.Code != http.StatusOK || !strings.HasPrefix(w.Header().Get("Content-Type"), media) {
					t.Fatalf("%s, sample %d as %s: %d %s: %.300s", route, i, format.Name, w.Code, w.Header().Get("Content-Type"), w.Body)
				}
				if name := w.Header().Get("Content-Disposition"); !strings.HasSuffix(name, "."+format.Name+`"`) || strings.Contains(name, `"."`) {
					t.Errorf("%s: %s", route, name)
				}
				checkFile(t, fmt.Sprintf("%s, sample %d", route, i), media, w.Body.String(), file.ContentSchema)
			}
		}
	}
	apitest.Same(t, "routes that answer a file", files, 2)
	apitest.Same(t, "routes that answer a picture", pictures, 1)
	if tables < 2*25 {
		t.Errorf("%d tables", tables)
	}
}

// checkFile compares a file with what is described of it.
func checkFile(t *testing.T, name, media, body string, schema json.RawMessage) {
	t.Helper()
	rows := fileRows(t, media, body)
	if err := fitsTable(t, schema, rows); err != nil {
		t.Errorf("%s: %v", name, err)
	}
	if fitsTable(t, schema, append(slices.Clone(rows), []string{"Ann"})) == nil {
		t.Errorf("%s: a short row fits, too", name)
	}
	var told struct {
		Items struct {
			PrefixItems []struct{ Title, Description string }
		}
	}
	if err := json.Unmarshal(schema, &told); err != nil {
		t.Fatal(err)
	}
	var columns []string
	for _, column := range told.Items.PrefixItems {
		columns = append(columns, column.Title)
		if column.Description == "" {
			t.Errorf("%s: nothing is said of %s", name, column.Title)
		}
	}
	apitest.Same(t, name+": columns", columns, rows[0][:len(columns)])
}

// TestTablesByAccept asks for a table with Accept (RFC 9110, 12.5.1).
func TestTablesByAccept(t *testing.T) {
	csv, xlsx := table.CSV.Media, table.XLSX.Media
	for accept, want := range map[string]string{
		"": apitest.JSONType, "*/*": apitest.JSONType, csv: csv, xlsx: xlsx, "text/csv;q=0.5, application/json": apitest.JSONType,
		"application/json;q=0.5, text/csv": csv, "text/csv;q=0, */*;q=0.1": apitest.JSONType, "text/csv, */*": csv, "text/html": apitest.JSONType,
		"text/csv;q=0.3," + xlsx + ";q=0.7": xlsx, "nonsense;;": apitest.JSONType,
	} {
		r := httptest.NewRequest(http.MethodGet, "/api/v1/oars", nil)
		r.Header.Set("Accept", accept)
		w := httptest.NewRecorder()
		apitest.Server().ServeHTTP(w, r)
		kind, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
		if w.Code != http.StatusOK || kind != want || !strings.Contains(w.Header().Get("Vary"), "Accept") {
			t.Errorf("Accept: %s answers %d %s, want %s", accept, w.Code, kind, want)
		}
	}
}

func TestTableFormats(t *testing.T) {
	apitest.Same(t, "json", apitest.Request(http.MethodGet, "/api/v1/oars?format=json", "", "").Header().Get("Content-Type"), apitest.JSONType)
	p := apitest.Problem(t, apitest.Request(http.MethodGet, "/api/v1/oars?format=ods", "", ""), http.StatusUnprocessableEntity)
	if len(p.Errors) != 1 || p.Errors[0].Pointer != "#/format" {
		t.Errorf("%+v", p.Errors)
	}
	apitest.Problem(t, apitest.Request(http.MethodGet, "/api/v1/oars/999999/changes?format=csv", "", ""), http.StatusNotFound)
	apitest.Problem(t, apitest.Request(http.MethodGet, "/api/v1/oars?format=csv&colour=red", "", ""), http.StatusUnprocessableEntity)
	apitest.Problem(t, apitest.Request(http.MethodGet, "/api/v1/jobs/x?format=csv", "", ""), http.StatusUnprocessableEntity)
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
