package guide_test

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"thole/api"
	"thole/ui/uitest"
)

// operationOn returns the part of the reference that describes one operation.
func operationOn(t *testing.T, page, operation string) string {
	t.Helper()
	_, rest, found := strings.Cut(page, "<h2><code>"+operation+"</code></h2>")
	if !found {
		t.Fatalf("%s is not on the page", operation)
	}
	part, _, _ := strings.Cut(rest, "</section>")
	return part
}

// namesIn lists the names of a table in their order.
func namesIn(part string) []string {
	var names []string
	for _, m := range regexp.MustCompile(`<th scope="row" class="d\d"><code>([^<]*)</code>`).FindAllStringSubmatch(part, -1) {
		names = append(names, html.UnescapeString(m[1]))
	}
	return names
}

func referencePage(t *testing.T) string {
	t.Helper()
	site := uitest.NewSite(t)
	status, page := uitest.Fetch(t, site, "/api")
	var parts strings.Builder
	for _, m := range regexp.MustCompile(`<th scope="row"><a href="(/api/[\w-]+)">`).FindAllStringSubmatch(page, -1) {
		_, part := uitest.Fetch(t, site, m[1])
		parts.WriteString(part)
	}
	if status != 200 || parts.Len() == 0 {
		t.Fatal(status)
	}
	return parts.String()
}

// TestTheReferenceSaysWhatFilesHold holds the columns against the table that
// goes out.
func TestTheReferenceSaysWhatFilesHold(t *testing.T) {
	page := referencePage(t)
	table, err := uitest.DemoClub(t).Service.Squadfile.Table(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for path, media := range map[string]string{"csv": "text/csv", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"} {
		part := operationOn(t, page, "GET /api/v1/squad/table."+path)
		uitest.WantIn(t, path, part, "The file, as an attachment: <code>"+media+"</code>", "YYYY-MM-DD", "such as 6:32.4")
		if got, want := strings.Join(namesIn(part), ","), strings.Join(table.Rows()[0], ","); got != want {
			t.Errorf("%s: columns %s, want %s", path, got, want)
		}
	}
}

// TestTheReferenceHasNoEmptyTables goes through every operation.
func TestTheReferenceHasNoEmptyTables(t *testing.T) {
	page := referencePage(t)
	for _, r := range (&api.Service{}).Routes() {
		part := operationOn(t, page, r.Method+" "+r.Path)
		if !strings.Contains(part, "<summary>Answer</summary>") || regexp.MustCompile(`<tbody>\s*</tbody>`).MatchString(part) {
			t.Errorf("%s %s: nothing is told of the answer, or there is an empty table", r.Method, r.Path)
		}
		if asks := strings.Contains(part, "<summary>Request</summary>"); !asks && (r.Method == "POST" || r.Method == "PUT" || strings.Contains(r.Path, ":")) {
			t.Errorf("%s %s: what it asks for is not given", r.Method, r.Path)
		}
	}
}

// TestTheReferenceTellsWhatIsNested holds that members are told of what may be
// left out or has names of its own, and what stands in an address.
func TestTheReferenceTellsWhatIsNested(t *testing.T) {
	page := referencePage(t)
	for operation, texts := range map[string][]string{
		"POST /api/v1/rigging/solve": {
			`class="d1"><code>stature_cm</code>`, `class="d2"><code>half_shoulder</code>`, `class="d1"><code>shin_deg</code>`,
		},
		"POST /api/v1/rigging/fit": {`class="d1"><code>any name</code>`, `class="d2"><code>step</code>`},
		"GET /api/v1/athletes/:id": {`<code>id</code> <small>required</small></th><td>integer, in the path`, `<code>as_of</code></th><td>string, in the query</td><td>YYYY-MM-DD; without it, today.`},
		"POST /api/v1/squad/import": {
			`<code>file</code> <small>required</small>`, `<code>plan</code></th><td>string</td><td>Stands for`, `<code>athlete_id</code> <small>optional</small>`,
		},
	} {
		part := regexp.MustCompile(`>\s+<t`).ReplaceAllString(operationOn(t, page, operation), "><t") // cells stand on lines of their own
		uitest.WantIn(t, operation, part, texts...)
	}
	for _, m := range regexp.MustCompile(`class="d(\d+)"`).FindAllStringSubmatch(page, -1) {
		if len(m[1]) > 1 || m[1] > "5" {
			t.Fatalf("a name stands %s deep, and the style sheet indents 5", m[1])
		}
	}
}
