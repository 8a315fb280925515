package ui_test

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"log/slog"
	"maps"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/api/access"
	"thole/api/demo"
	"thole/api/jobs"
	"thole/api/records"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/ui"
	"thole/ui/page"
	"thole/ui/people"
	"thole/ui/uitest"
)

// forAthletes are the routes that let athletes in, with + where only for what
// is their own. A route that is not named here refuses them.
var forAthletes = strings.Fields(`
	GET_/ GET_/{$} / GET_/api GET_/api/{area} GET_/notices GET_/seat POST_/seat GET_/seat/centimetres POST_/api/v1/rigging/centimetres GET_/catch GET_/video GET_/video/keep GET_/video/body GET_/video/body/keep
	GET_/athletes/{id}/filmed+ GET_/athletes/{id}/filmed/new+ POST_/athletes/{id}/filmed+ GET_/athletes/{id}/filmed/{reading}/remove+
	POST_/athletes/{id}/filmed/{reading}/remove+ GET_/athletes/{id}/filmed/{reading}/still+ POST_/athletes/{id}/filmed/{reading}/still+
	GET_/athletes/{id}/filmed/{reading}/still.jpg+ GET_/athletes/{id}/filmed/{reading}/still/remove+ POST_/athletes/{id}/filmed/{reading}/still/remove+
	GET_/boats GET_/boats/{id} GET_/boats/{id}/seats/{seat} GET_/boats/{id}/history GET_/oars GET_/oars/{id}
	GET_/boats/{id}/seats/{seat}/check+ POST_/boats/{id}/seats/{seat}+
	GET_/athletes/{id}+ POST_/athletes/{id}/measures+ GET_/athletes/{id}/check+
	POST_/athletes/{id}/seats+ GET_/athletes/{id}/seats/{seat}+ POST_/athletes/{id}/seats/{seat}/send+ POST_/athletes/{id}/seats/{seat}/remove+
	GET_/athletes/{id}/privacy+ POST_/athletes/{id}/consents+ GET_/athletes/{id}/everything.json+
	GET_/api/v1/athletes/:id/privacy+ POST_/api/v1/athletes/:id/consents+ GET_/api/v1/athletes/:id/everything+
	GET_/athletes/{id}/progress+ GET_/reports/{recording}+ GET_/api/v1/athletes/:id/progress+ GET_/api/v1/recordings/:id/report+
	GET_/recordings+ GET_/recordings/{recording}+ POST_/recordings/{recording}+ GET_/recordings/import+ POST_/recordings/import+
	GET_/recordings/import/{upload}+ POST_/recordings/import/{upload}+ POST_/recordings/import/{upload}/curves+
	GET_/recordings/import/{upload}/{job}+ POST_/recordings/import/{upload}/{job}+ POST_/recordings/import/{upload}/{job}/cancel+ GET_/recordings/layout GET_/recordings/layout.csv
	GET_/settings POST_/settings GET_/account POST_/account/password POST_/account/sessions POST_/account/tokens POST_/account/tokens/{id}

	POST_/api/v1/rigging/solve POST_/api/v1/rigging/fit POST_/api/v1/rigging/calibrate POST_/api/v1/rigging/rules GET_/api/v1/catch
	POST_/api/v1/video/angle POST_/api/v1/video/strokes POST_/api/v1/video/body
	GET_/api/v1/athletes/:id/filmed+ POST_/api/v1/athletes/:id/filmed+ DELETE_/api/v1/athletes/:id/filmed/:reading+
	GET_/api/v1/athletes/:id/filmed/:reading/still.jpg+ PUT_/api/v1/athletes/:id/filmed/:reading/still+ DELETE_/api/v1/athletes/:id/filmed/:reading/still+
	GET_/api/v1/boats GET_/api/v1/boats/:id GET_/api/v1/boats/:id/changes GET_/api/v1/boats/:id/rig
	GET_/api/v1/oars GET_/api/v1/oars/:id GET_/api/v1/oars/:id/changes GET_/api/v1/oars/:id/boats
	GET_/api/v1/athletes/:id+ GET_/api/v1/athletes/:id/changes+ GET_/api/v1/athletes/:id/measures+ POST_/api/v1/athletes/:id/measures+
	GET_/api/v1/athletes/:id/ergometer+ GET_/api/v1/me GET_/api/v1/me/usage PUT_/api/v1/me/usage GET_/api/v1/usage GET_/api/v1/tokens POST_/api/v1/tokens DELETE_/api/v1/tokens/:id
	GET_/api/v1/athletes/:id/seats+ POST_/api/v1/athletes/:id/seats+ POST_/api/v1/athletes/:id/seats/:seat/send+ DELETE_/api/v1/athletes/:id/seats/:seat+
	GET_/api/v1/recordings+ GET_/api/v1/recordings/:id+ GET_/api/v1/recordings/:id/changes+ GET_/api/v1/recordings/:id/samples+
	PUT_/api/v1/recordings/:id+ PUT_/api/v1/recordings/:id/mark+ DELETE_/api/v1/recordings/:id+ POST_/api/v1/recordings+ POST_/api/v1/curves+
	POST_/api/v1/uploads+ GET_/api/v1/uploads/:id+ GET_/api/v1/uploads/:id/curves+ DELETE_/api/v1/uploads/:id+ POST_/api/v1/uploads/:id/analyse+
	GET_/api/v1/mappings+ GET_/api/v1/mappings/:name+ GET_/api/v1/jobs/:id+ DELETE_/api/v1/jobs/:id+
	GET_/api/v1/recordings/:id/first+ POST_/api/v1/recordings/:id/entry+ POST_/api/v1/recordings/:id/calibrate+
`)

// notForBoatmen begin the addresses that boatmen are refused: what athletes
// score, how they pull, and who is chosen.
var notForBoatmen = regexp.MustCompile(`^(/api/v1)?/(squad|strokes|reports|recordings|uploads|curves|mappings|line-?ups|seat-races|selection|jobs)` +
	`(/|$)|/ergometer|/tests|/progress`)

// rules lists who may use every route of pages and JSON interface.
func rules(t testing.TB, service *api.Service) map[string]access.Rule {
	t.Helper()
	all := map[string]access.Rule{}
	for pattern, route := range ui.Routes(new(page.Frame), service, people.NewSite(new(page.Frame), service, nil)) {
		all[pattern] = route.Access
	}
	for _, r := range service.Routes() {
		all[r.Method+" "+r.Path] = r.Access
	}
	return all
}

// TestEveryRouteSaysWhoMayUseIt: nobody forgot to decide, and what is decided
// keeps to what each role is for.
func TestEveryRouteSaysWhoMayUseIt(t *testing.T) {
	allowed := map[string]bool{} // whether for their own only
	for _, line := range forAthletes {
		pattern, own := strings.CutSuffix(strings.Replace(line, "_", " ", 1), "+")
		allowed[pattern] = own
	}
	for pattern, rule := range rules(t, api.NewService(nil)) {
		_, address, _ := strings.Cut(pattern, " ")
		if !rule.Declared() {
			t.Errorf("%s: say who may use it: page.For(access.…, handler) for a page, .For(access.…) after an operation", pattern)
		}
		if rule.Public {
			continue
		}
		own, listed := allowed[pattern]
		switch {
		case rule.Lets(access.Athlete) != listed:
			t.Errorf("%s: lets athletes in: %v; forAthletes says %v", pattern, rule.Lets(access.Athlete), listed)
		case listed && own == rule.Athletes:
			t.Errorf("%s: for everything of anybody: %v, and forAthletes says the opposite", pattern, rule.Athletes)
		case rule.Lets(access.Boatman) && notForBoatmen.MatchString(address) && !listed:
			t.Errorf("%s lets boatmen in", pattern)
		}
	}
}

// TestNoRouteAnswersWhomItIsNotFor walks all routes as every role, for what
// belongs to another athlete.
func TestNoRouteAnswersWhomItIsNotFor(t *testing.T) {
	c := uitest.NewClub(t)
	pages, err := ui.New(nil, c.Service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	json := echo.New()
	api.Mount(json, c.Service, slog.New(slog.DiscardHandler))
	viewers := map[string]*access.Viewer{
		"nobody": {}, "coach": {Role: access.Coach, Account: 1}, "boatman": {Role: access.Boatman, Account: 2},
		"athlete": {Role: access.Athlete, Account: 3, Athlete: 999}, "athlete without a record": {Role: access.Athlete, Account: 4},
		"program that reads": {Role: access.Coach, Account: 1, Scopes: []access.Scope{access.Read}},
	}
	parameter := regexp.MustCompile(`\{\$\}|\{\w+\}|:\w+`)
	all := rules(t, c.Service)
	for _, pattern := range slices.Sorted(maps.Keys(all)) {
		rule := all[pattern]
		method, path, ok := strings.Cut(pattern, " ")
		if !ok {
			method, path = http.MethodGet, "/no/such/page"
		}
		path = parameter.ReplaceAllStringFunc(path, func(name string) string {
			if name == "{$}" {
				return ""
			}
			return "7"
		})
		handler := http.Handler(pages)
		if strings.HasPrefix(path, "/api/v1/") {
			handler = json
		}
		for who, v := range viewers {
			answer := httptest.NewRecorder()
			r := httptest.NewRequest(method, path+"?athlete=7", nil)
			handler.ServeHTTP(answer, r.WithContext(access.With(r.Context(), v)))
			if got, want := keptOut(answer), wantedOut(rule, v, method); got != want {
				t.Errorf("%s as %s: kept out %v (%d), want %v", pattern, who, got, answer.Code, want)
			}
		}
	}
}

// keptOut reports whether a rule, and not what was asked, is why it was refused.
func keptOut(w *httptest.ResponseRecorder) bool {
	led := strings.HasPrefix(w.Header().Get("Location"), "/sign-in") && w.Code == http.StatusSeeOther
	return led || w.Code == http.StatusUnauthorized || w.Code == http.StatusForbidden
}

// wantedOut reports whether somebody is to be kept out. What is not their own is
// told as not there, which keptOut does not count.
func wantedOut(rule access.Rule, v *access.Viewer, method string) bool {
	switch {
	case rule.Public:
		return false
	case v.Role == "":
		return true
	case v.Scopes != nil && method != http.MethodGet && !rule.Reads:
		return true
	case v.Role == access.Athlete && v.Athlete == 0:
		return !rule.Athletes
	}
	return !rule.Lets(v.Role)
}

// TestNoRouteAnswersForAnothers walks all routes that athletes may use for what is theirs,
// for what is another's and is there: a body, a recording, an upload and a job.
func TestNoRouteAnswersForAnothers(t *testing.T) {
	c := uitest.DemoClub(t)
	pages, err := ui.New(nil, c.Service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	json := echo.New()
	api.Mount(json, c.Service, slog.New(slog.DiscardHandler))
	list, err := c.Service.Strokes.Recordings(t.Context(), strokes.RecordingsRequest{})
	if err != nil || len(list.Recordings) == 0 || list.Recordings[0].AthleteID == nil {
		t.Fatal("the demo club has no recording of somebody: ", err)
	}
	anna := &access.Viewer{Role: access.Athlete, Account: 5, Athlete: *list.Recordings[0].AthleteID}
	hers := access.With(t.Context(), anna)
	upload, err := c.Service.Strokefile.Upload(hers, "a.csv", bytes.NewReader(demo.StrokeSample()))
	if err != nil {
		t.Fatal(err)
	}
	job, err := c.Service.Jobs.StartJob(hers, func(context.Context) (any, error) { return 7, nil })
	if err != nil {
		t.Fatal(err)
	}
	recording := fmt.Sprint(list.Recordings[0].ID)
	of := map[access.Kind]string{access.Body: fmt.Sprint(anna.Athlete), access.Recording: recording, access.Alone: recording, access.Upload: upload.ID, access.Job: job.ID}
	ben := &access.Viewer{Role: access.Athlete, Account: 6, Athlete: anna.Athlete + 1}
	parameter, walked := regexp.MustCompile(`\{(\w+)\}|:(\w+)`), map[access.Kind]int{}
	for pattern, rule := range rules(t, c.Service) {
		owned := cmp.Or(rule.Own, rule.Sent)
		if owned == nil || owned.Param == "" || of[owned.Kind] == "" {
			continue
		}
		walked[owned.Kind]++
		method, path, _ := strings.Cut(pattern, " ")
		path = parameter.ReplaceAllStringFunc(path, func(name string) string {
			if strings.Trim(name, "{:}") == owned.Param {
				return of[owned.Kind]
			}
			return "7"
		})
		handler := http.Handler(pages)
		if strings.HasPrefix(path, "/api/v1/") {
			handler = json
		}
		answer := httptest.NewRecorder()
		r := httptest.NewRequest(method, path, nil)
		handler.ServeHTTP(answer, r.WithContext(access.With(r.Context(), ben)))
		if answer.Code != http.StatusNotFound {
			t.Errorf("%s of another: %d", pattern, answer.Code)
		}
	}
	for kind := range of {
		if walked[kind] == 0 {
			t.Errorf("no route was walked for another's %s", kind)
		}
	}
	for what, err := range map[string]error{
		"upload": errOf(c.Service.Strokefile.UploadOf(hers, strokefile.UploadRequest{ID: upload.ID})), "job": errOf(c.Service.Jobs.Job(hers, jobs.JobRequest{ID: job.ID})),
		"recording": errOf(c.Service.Strokes.Recording(hers, strokes.RecordingRequest{ID: list.Recordings[0].ID})),
	} {
		if err != nil {
			t.Errorf("the %s is gone after the walk: %v", what, err)
		}
	}
}

func errOf[T any](_ T, err error) error { return err }

// TestWhatIsNotOnesOwnIsNotThere: an athlete gets the same answer for another's
// record as for none.
func TestWhatIsNotOnesOwnIsNotThere(t *testing.T) {
	c := uitest.DemoClub(t)
	pages, err := ui.New(nil, c.Service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	squad, err := c.Service.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil || len(squad.Athletes) < 2 {
		t.Fatal("the demo club has no athletes: ", err)
	}
	ids := []int64{squad.Athletes[0].ID, squad.Athletes[1].ID}
	ask := func(v *access.Viewer, address string) (int, string) {
		w := httptest.NewRecorder()
		r := httptest.NewRequest(http.MethodGet, address, nil)
		pages.ServeHTTP(w, r.WithContext(access.With(r.Context(), v)))
		return w.Code, w.Body.String()
	}
	own := &access.Viewer{Role: access.Athlete, Account: 5, Athlete: ids[0]}
	if status, body := ask(own, fmt.Sprintf("/athletes/%d", ids[0])); status != http.StatusOK || !strings.Contains(body, squad.Athletes[0].Name) {
		t.Errorf("her own record: %d", status)
	}
	other, said := ask(own, fmt.Sprintf("/athletes/%d", ids[1]))
	none, same := ask(own, "/athletes/987654")
	if other != http.StatusNotFound || other != none || said != same {
		t.Errorf("another's record: %d, none: %d", other, none)
	}
	if status, _ := ask(own, fmt.Sprintf("/boats/1/seats/1/check?athlete=%d&athlete=%d", ids[0], ids[1])); status != http.StatusNotFound {
		t.Errorf("another's body in a seat: %d", status)
	}
}
