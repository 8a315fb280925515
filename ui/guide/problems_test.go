package guide_test

import (
	"html"
	"net/http"
	"strings"
	"testing"

	"thole/api/wire"
	"thole/ui/uitest"
)

// TestEveryKindOfProblemIsExplained at its own address, and on the page of all.
func TestEveryKindOfProblemIsExplained(t *testing.T) {
	site := uitest.NewSite(t)
	_, all := uitest.Fetch(t, site, wire.ProblemAddress[:len(wire.ProblemAddress)-1])
	seen := map[string]bool{}
	for _, p := range wire.ProblemTypes {
		if seen[p.Name] || seen[p.Title] || p.Status < 400 || http.StatusText(p.Status) == "" || len(p.Text) < 20 {
			t.Errorf("%+v: twice, or hardly told", p)
		}
		seen[p.Name], seen[p.Title] = true, true
		status, page := uitest.Fetch(t, site, p.URI())
		if status != 200 || !strings.Contains(html.UnescapeString(page), p.Text) || !strings.Contains(html.UnescapeString(all), p.Text) {
			t.Errorf("%s: %d, without its text", p.URI(), status)
		}
		if strings.Count(page, "<h2>") != 1 {
			t.Errorf("%s explains others, too", p.URI())
		}
	}
	if status, _ := uitest.Fetch(t, site, wire.ProblemAddress+"nothing"); status != 404 {
		t.Errorf("a kind that there is not: %d", status)
	}
}

// TestProblemsNameAKindThatIsExplained provokes some, and follows their type.
func TestProblemsNameAKindThatIsExplained(t *testing.T) {
	for want, p := range map[string]wire.Problem{
		"invalid-values":    {Status: 422, Errors: []wire.FieldProblem{{}}},
		"out-of-reach":      {Status: 422, Limit: "no_catch"},
		"rules-in-conflict": {Status: 422, Rules: []string{"a"}},
		"cannot-be-used":    {Status: 422},
		"changed-meanwhile": {Status: 409, Version: 3},
		"conflict":          {Status: 409},
		"name-taken":        {Status: 409, Type: wire.NameTaken},
		"key-reused":        {Status: 409, Type: wire.KeyReused},
		"busy":              {Status: 503},
		"records-broken":    {Status: 503, Type: wire.RecordsBroken},
		"fault":             {Status: 500},
	} {
		got := p.Typed()
		if kind, ok := wire.TypeNamed(want); !ok || got.Type != kind.URI() || got.Title != kind.Title || got.Status != p.Status {
			t.Errorf("%+v, want %s", got, want)
		}
	}
	if got := (wire.Problem{Status: 418}).Typed(); got.Type != "about:blank" || got.Title != "I'm a teapot" {
		t.Errorf("%+v", got)
	}
}
