package api_test

import (
	"net/http"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"thole/api"
	"thole/api/apitest"
)

// nextPage is the address of the next page of an answer; "" for the last one.
func nextPage(header http.Header) string {
	m := regexp.MustCompile(`^<(/api/v1/[^>]+)>; rel="next"$`).FindStringSubmatch(header.Get("Link"))
	if m == nil {
		return ""
	}
	return m[1]
}

// listOf is the one list of an answer.
func listOf(t *testing.T, text string) []any {
	t.Helper()
	for _, member := range decodedAny(t, text).(apitest.Object) {
		if list, ok := member.([]any); ok {
			return list
		}
	}
	t.Fatalf("no list in %.200s", text)
	return nil
}

// TestListsAreReadPageByPage reads lists of the demo club in pages of two and finds
// what they hold as a whole.
func TestListsAreReadPageByPage(t *testing.T) {
	e := demoServer(t)
	long := 0
	for _, path := range []string{
		"/api/v1/athletes", "/api/v1/athletes/1/changes", "/api/v1/athletes/1/measures", "/api/v1/boats", "/api/v1/boats/1/changes", "/api/v1/oars",
		"/api/v1/oars/1/boats", "/api/v1/recordings", "/api/v1/sheets", "/api/v1/squads", "/api/v1/lineups", "/api/v1/seat-races",
	} {
		whole := listOf(t, ask(e, http.MethodGet, path, "").Body.String())
		var parts []any
		pages := 0
		for at := path + "?limit=2"; at != ""; pages++ {
			w := ask(e, http.MethodGet, at, "")
			if w.Code != http.StatusOK || pages > len(whole) {
				t.Fatalf("%s: %d %.300s", at, w.Code, w.Body)
			}
			parts = append(parts, listOf(t, w.Body.String())...)
			at = nextPage(w.Header())
		}
		if !reflect.DeepEqual(parts, whole) && len(whole) > 0 {
			t.Errorf("%s: %d in %d pages, %d as a whole", path, len(parts), pages, len(whole))
		}
		if pages > 2 {
			long++
		}
	}
	if long < 4 {
		t.Errorf("only %d lists of the demo club have more than two pages", long)
	}
}

// TestAPageGoesOnWhereSomethingWasRemoved, and refuses what it cannot read.
func TestAPageGoesOnWhereSomethingWasRemoved(t *testing.T) {
	e := demoServer(t)
	for range 2 { // beyond the demo's own
		enter(t, e, http.MethodPost, "/api/v1/squads", `{"name":"`+apitest.Fresh("Page")+`","athlete_ids":[]}`)
	}
	enter(t, e, http.MethodPost, "/api/v1/squads", `{"name":"Zz","athlete_ids":[]}`)
	first := ask(e, http.MethodGet, "/api/v1/squads?limit=1", "")
	whole := listOf(t, ask(e, http.MethodGet, "/api/v1/squads", "").Body.String())
	gone := listOf(t, first.Body.String())[0].(apitest.Object)
	enter(t, e, http.MethodDelete, "/api/v1/squads/"+apitest.Encoded(t, gone["id"]), "")
	then := listOf(t, ask(e, http.MethodGet, nextPage(first.Header()), "").Body.String())
	apitest.Same(t, "the next", then[0].(apitest.Object)["id"], whole[1].(apitest.Object)["id"])
	for _, query := range []string{"limit=0", "limit=1001", "limit=x", "limit=1.5", "after=x", "after=0-1", "after=-3"} {
		apitest.Problem(t, ask(e, http.MethodGet, "/api/v1/squads?"+query, ""), http.StatusUnprocessableEntity)
	}
	if far := ask(e, http.MethodGet, "/api/v1/squads?after=99-99", ""); far.Code != http.StatusOK || far.Header().Get("Link") != "" {
		t.Errorf("a place beyond the end: %d", far.Code)
	}
	apitest.Problem(t, ask(e, http.MethodGet, "/api/v1/me?limit=3", ""), http.StatusUnprocessableEntity)
	rig := ask(e, http.MethodGet, "/api/v1/boats/1/rig?limit=2&seat=1", "")
	if next := nextPage(rig.Header()); !strings.Contains(next, "before=") || !strings.Contains(next, "seat=1") {
		t.Errorf("the next page of a rig's history: %q", next)
	}
}

// TestListsThatGrowArePaged: a list of what has numbers of its own can grow.
func TestListsThatGrowArePaged(t *testing.T) {
	compound := []string{"/api/v1/tasks"} // open ones and done ones, of which the newest are kept
	for _, r := range api.Routes() {
		if r.Method != http.MethodGet || r.Out == nil || reflect.TypeOf(r.Out).Kind() != reflect.Struct || slices.Contains(compound, r.Path) {
			continue
		}
		if reflect.TypeOf(r.Out).NumField() != 1 || reflect.TypeOf(r.Out).Field(0).Type.Kind() != reflect.Slice {
			continue
		}
		op := apitest.Operation(t, r.Method+" "+r.Path)
		if op.Parameters.GetByInAndName("query", "limit") == nil || op.Responses.Value("200").Value.Headers["Link"] == nil {
			t.Errorf("%s %s lists without pages", r.Method, r.Path)
		}
	}
}
