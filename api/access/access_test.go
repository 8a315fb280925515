package access_test

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"testing"

	"thole/api/access"
)

// owned is the owner of every recording and seat.
type owned int64

func (o owned) Owner(context.Context, access.Kind, int64, int) (int64, error) {
	if o < 0 {
		return 0, errors.New("no records")
	}
	return int64(o), nil
}

// Sender is the account of everything but x, which nobody sent.
func (o owned) Sender(_ access.Kind, id string) int64 {
	if id == "x" {
		return 0
	}
	return int64(o)
}

func check(t *testing.T, rule access.Rule, v *access.Viewer, path map[string]string, query url.Values, owners access.Owners) error {
	t.Helper()
	ask := access.Request{Method: http.MethodGet, Param: func(name string) string { return path[name] }, Query: query}
	return rule.Check(access.With(t.Context(), v), ask, owners)
}

func TestAthletesSeeWhatIsTheirs(t *testing.T) {
	anna := &access.Viewer{Role: access.Athlete, Account: 1, Athlete: 7}
	body := access.Staff.OrOwn(access.Body, "id")
	strokes, seat := access.Coaches.OrOwn(access.Recording, "id"), access.Staff.OrOwn(access.Seat, "id")
	asked := access.Staff.OrOwnIn(access.Body, "athlete")
	for name, c := range map[string]struct {
		rule   access.Rule
		path   map[string]string
		query  url.Values
		owners access.Owners
		want   error
	}{
		"own body":           {body, map[string]string{"id": "7"}, nil, owned(0), nil},
		"another's":          {body, map[string]string{"id": "8"}, nil, owned(0), access.ErrNotOwn},
		"no number":          {body, map[string]string{"id": "7x"}, nil, owned(0), access.ErrNotOwn},
		"no parameter":       {body, nil, nil, owned(0), access.ErrNotOwn},
		"own recording":      {strokes, map[string]string{"id": "3"}, nil, owned(7), nil},
		"nobody's":           {strokes, map[string]string{"id": "3"}, nil, owned(0), access.ErrNotOwn},
		"own seat":           {seat, map[string]string{"id": "3", "seat": "2"}, nil, owned(7), nil},
		"another's seat":     {seat, map[string]string{"id": "3", "seat": "2"}, nil, owned(8), access.ErrNotOwn},
		"a seat without one": {seat, map[string]string{"id": "3"}, nil, owned(7), access.ErrNotOwn},
		"own in the query":   {asked, nil, url.Values{"athlete": {"7"}}, owned(0), nil},
		"none in the query":  {asked, nil, url.Values{}, owned(0), nil},
		"two in the query":   {asked, nil, url.Values{"athlete": {"7", "8"}}, owned(0), access.ErrNotOwn},
		"not for athletes":   {access.Staff, nil, nil, owned(0), access.ErrRole},
		"not declared":       {access.Rule{}, nil, nil, owned(0), access.ErrRole},
	} {
		if err := check(t, c.rule, anna, c.path, c.query, c.owners); !errors.Is(err, c.want) || err == nil != (c.want == nil) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
	if err := check(t, strokes, anna, map[string]string{"id": "3"}, nil, owned(-1)); err == nil {
		t.Error("let in though nobody could tell whose it is")
	}
}

func TestListsAreNarrowed(t *testing.T) {
	query := url.Values{"athlete_id": {"8"}}
	rule := access.Coaches.Narrowed("athlete_id")
	if err := check(t, rule, &access.Viewer{Role: access.Athlete, Account: 1, Athlete: 7}, nil, query, owned(0)); err != nil || query.Get("athlete_id") != "7" {
		t.Errorf("%v %v", err, query)
	}
	query = url.Values{"athlete_id": {"8"}}
	if err := check(t, rule, &access.Viewer{Role: access.Coach, Account: 2}, nil, query, owned(0)); err != nil || query.Get("athlete_id") != "8" {
		t.Errorf("a coach's: %v %v", err, query)
	}
}

func TestOneWithoutASignInSeesOnlyWhatIsPublic(t *testing.T) {
	for _, rule := range []access.Rule{access.Everyone, access.Staff, access.Coaches, {}} {
		if err := check(t, rule, new(access.Viewer), nil, nil, owned(0)); !errors.Is(err, access.ErrSignIn) {
			t.Errorf("%v: %v", rule, err)
		}
	}
	if err := check(t, access.Public, new(access.Viewer), nil, nil, owned(0)); err != nil {
		t.Error(err)
	}
}

// TestWithoutAGateEverybodyIsTrusted: code that asks without a request, such as
// the server without accounts, may do everything.
func TestWithoutAGateEverybodyIsTrusted(t *testing.T) {
	if v := access.From(context.Background()); v.Role != access.Trusted || !v.Owns(3) || v.SignedIn() {
		t.Errorf("%+v", v)
	}
	if err := (access.Rule{}).Check(context.Background(), access.Request{}, owned(0)); err != nil {
		t.Error(err)
	}
}

func TestScopes(t *testing.T) {
	reads := &access.Viewer{Role: access.Coach, Account: 1, Scopes: []access.Scope{access.Read}}
	none := &access.Viewer{Role: access.Coach, Account: 1, Scopes: []access.Scope{}}
	for _, c := range []struct {
		rule   access.Rule
		method string
		v      *access.Viewer
		want   error
	}{
		{access.Coaches, http.MethodGet, reads, nil},
		{access.Coaches, http.MethodPost, reads, access.ErrScope},
		{access.Coaches.Calculating(), http.MethodPost, reads, nil},
		{access.Coaches, http.MethodDelete, reads, access.ErrScope},
		{access.Coaches, http.MethodGet, none, access.ErrScope},
	} {
		err := c.rule.Check(access.With(t.Context(), c.v), access.Request{Method: c.method}, owned(0))
		if !errors.Is(err, c.want) || err == nil != (c.want == nil) {
			t.Errorf("%v %s with %v: %v", c.rule, c.method, c.v.Scopes, err)
		}
	}
}

func TestRulesInWords(t *testing.T) {
	for want, rule := range map[string]access.Rule{
		"everybody": access.Public, "coach, boatman, athlete": access.Everyone, "coach": {}, "coach, boatman": access.Staff,
		"coach, athlete (own)": access.Coaches.OrOwn(access.Body, "id"),
	} {
		if rule.String() != want {
			t.Errorf("%q, want %q", rule, want)
		}
	}
}
