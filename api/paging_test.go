package api_test

import (
	"fmt"
	"net/http"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"thole/api"
	"thole/api/apitest"

	"pgregory.net/rapid"
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
	for _, r := range api.Routes() {
		if r.Method != http.MethodGet || r.Out == nil || reflect.TypeOf(r.Out).Kind() != reflect.Struct {
			continue
		}
		compound := r.Path == "/api/v1/tasks" // open ones, and the newest of those done
		if !compound && reflect.TypeOf(r.Out).NumField() != 1 || reflect.TypeOf(r.Out).Field(0).Type.Kind() != reflect.Slice {
			continue
		}
		op := apitest.Operation(t, r.Method+" "+r.Path)
		if op.Parameters.GetByInAndName("query", "limit") == nil || op.Responses.Value("200").Value.Headers["Link"] == nil {
			t.Errorf("%s %s lists without pages", r.Method, r.Path)
		}
	}
}

// openTasks are the tasks of an answer that are to be done.
func openTasks(t *testing.T, body string) []any {
	t.Helper()
	return decodedAny(t, body).(apitest.Object)["open"].([]any)
}

// TestPagesJoinedAreTheList: whatever is asked of a list, and however long its pages
// are, they hold what the list holds as a whole.
func TestPagesJoinedAreTheList(t *testing.T) {
	e := demoServer(t)
	for i := range 7 {
		enter(t, e, http.MethodPost, "/api/v1/tasks", fmt.Sprintf(`{"what":"Task %d","address":"/boats/%d","by":"Ines"}`, i, i+1))
		enter(t, e, http.MethodPost, "/api/v1/lineups", fmt.Sprintf(`{"name":"Best %d","boat_class":"1x","seats":[{"athlete_id":1}],"by":"Ines"}`, i))
		enter(t, e, http.MethodPost, apitest.RacesPath, strings.Replace(strings.Replace(raceOfTwo, "Quill", fmt.Sprint("Race ", 9-i), 1), "2026-03-14", fmt.Sprintf("2026-03-%02d", 10+i%3), 1))
	}
	rapid.Check(t, func(d *rapid.T) {
		path := rapid.SampledFrom([]string{
			"/api/v1/athletes?", "/api/v1/athletes?name=a&", "/api/v1/athletes?archived=true&", "/api/v1/boats?", "/api/v1/boats?name=e&archived=true&", "/api/v1/oars?",
			"/api/v1/sheets?", "/api/v1/sheets?open=true&", "/api/v1/recordings?", "/api/v1/recordings?athlete_id=10&", "/api/v1/lineups?", apitest.RacesPath + "?", "/api/v1/tasks?",
		}).Draw(d, "path")
		of := listOf
		if strings.Contains(path, "tasks") {
			of = openTasks
		}
		whole := of(t, ask(e, http.MethodGet, path+"limit=1000", "").Body.String())
		limit := rapid.IntRange(1, 30).Draw(d, "limit")
		parts, pages := []any{}, 0
		for at := fmt.Sprintf("%slimit=%d", path, limit); at != ""; pages++ {
			w := ask(e, http.MethodGet, at, "")
			page := of(t, w.Body.String())
			if w.Code != http.StatusOK || len(page) > limit {
				d.Fatalf("%s: %d, %d on a page", at, w.Code, len(page))
			}
			parts, at = append(parts, page...), nextPage(w.Header())
		}
		if !reflect.DeepEqual(parts, whole) || pages != max(1, (len(whole)+limit-1)/limit) {
			d.Fatalf("%s: %d in %d pages of %d, %d as a whole", path, len(parts), pages, limit, len(whole))
		}
	})
}

// TestAPageOfAMovedListGoesOn after what the page before ended with, wherever that
// stands now: renamed, after something new, or gone.
func TestAPageOfAMovedListGoesOn(t *testing.T) {
	e := demoServer(t)
	name := func(o any) string { return o.(apitest.Object)["name"].(string) }
	boats := func(at string) ([]any, string) {
		w := ask(e, http.MethodGet, at, "")
		return listOf(t, w.Body.String()), nextPage(w.Header())
	}
	first, next := boats("/api/v1/boats?limit=3")
	then, _ := boats(next)
	enter(t, e, http.MethodPost, "/api/v1/boats", `{"name":"Aa","boat_class":"1x","by":"Ines"}`)
	moved, _ := boats(next)
	apitest.Same(t, "after something new", name(moved[0]), name(then[0]))

	mark := first[2].(apitest.Object)["id"]
	enter(t, e, http.MethodDelete, fmt.Sprintf("/api/v1/boats/%v", mark), "")
	gone, _ := boats(next)
	whole, _ := boats("/api/v1/boats")
	apitest.Same(t, "where it is gone, by its place", name(gone[0]), name(whole[2]))
}
