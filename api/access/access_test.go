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

// crewed is the owner of every recording, each of a file that held others.
type crewed int64

func (c crewed) Owner(context.Context, access.Kind, int64, int) (int64, error) {
	return int64(c), access.ErrOthersToo
}

func (c crewed) Sender(access.Kind, string) int64 { return 0 }

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
		"own and alone":      {access.Coaches.OrOwn(access.Alone, "id"), map[string]string{"id": "3"}, nil, owned(7), nil},
		"own with others":    {access.Coaches.OrOwn(access.Alone, "id"), map[string]string{"id": "3"}, nil, crewed(7), access.ErrOthersToo},
		"another's crew":     {access.Coaches.OrOwn(access.Alone, "id"), map[string]string{"id": "3"}, nil, crewed(8), access.ErrNotOwn},
		"sent":               {access.Coaches.OrSent(access.Upload, "id"), map[string]string{"id": "abc"}, nil, owned(1), nil},
		"sent by another":    {access.Coaches.OrSent(access.Upload, "id"), map[string]string{"id": "abc"}, nil, owned(7), access.ErrNotOwn},
		"sent by nobody":     {access.Coaches.OrSent(access.Job, "id"), map[string]string{"id": "x"}, nil, owned(1), access.ErrNotOwn},
		"for oneself":        {access.Coaches.OrForThemselves(), nil, nil, owned(8), nil},
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

// TestAnAthleteWithoutARecordKeepsNothing: what they may do for themselves, they may not
// without knowing who that is.
func TestAnAthleteWithoutARecordKeepsNothing(t *testing.T) {
	nobody := &access.Viewer{Role: access.Athlete, Account: 1}
	for _, rule := range []access.Rule{access.Coaches.OrForThemselves(), access.Coaches.OrSent(access.Upload, "id"), access.Coaches.OrOwn(access.Alone, "id")} {
		if err := check(t, rule, nobody, map[string]string{"id": "1"}, nil, owned(1)); !errors.Is(err, access.ErrRole) {
			t.Errorf("%v: %v", rule, err)
		}
		if !rule.Lets(access.Athlete) || rule.Lets(access.Boatman) || rule.String() != "coach, athlete (own)" {
			t.Errorf("%v lets in %v", rule, rule.Roles())
		}
	}
}

func TestWhoMayUseWhatAnAccountSent(t *testing.T) {
	for _, c := range []struct {
		viewer  access.Viewer
		account int64
		want    bool
	}{
		{access.Viewer{Role: access.Coach, Account: 1}, 2, true}, {access.Viewer{Role: access.Trusted}, 2, true}, {access.Viewer{Role: access.Athlete, Account: 2}, 2, true},
		{access.Viewer{Role: access.Athlete, Account: 1}, 2, false}, {access.Viewer{Role: access.Boatman, Account: 1}, 2, false}, {access.Viewer{}, 0, false}, {access.Viewer{Role: access.Athlete}, 0, false},
	} {
		if got := c.viewer.Sent(c.account); got != c.want {
			t.Errorf("%+v of %d: %v", c.viewer, c.account, got)
		}
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

// TestRulesLetIn by role, one part of the rule at a time.
func TestRulesLetIn(t *testing.T) {
	for name, c := range map[string]struct {
		rule                              access.Rule
		coach, boatman, athlete, signedIn bool
	}{
		"public":       {access.Public, true, true, true, true},
		"everyone":     {access.Everyone, true, true, true, false},
		"staff":        {access.Staff, true, true, false, false},
		"coaches":      {access.Coaches, true, false, false, false},
		"own":          {access.Coaches.OrOwn(access.Body, "id"), true, false, true, false},
		"narrowed":     {access.Coaches.Narrowed("athlete"), true, false, true, false},
		"themselves":   {access.Coaches.OrForThemselves(), true, false, true, false},
		"only athlete": {access.Rule{Athletes: true}, true, false, true, false},
		"only boatmen": {access.Rule{Boatmen: true}, true, true, false, false},
		"only public":  {access.Rule{Public: true}, true, true, true, true},
	} {
		for role, want := range map[access.Role]bool{access.Coach: c.coach, access.Trusted: true, access.Boatman: c.boatman, access.Athlete: c.athlete, "": c.signedIn} {
			if got := c.rule.Lets(role); got != want {
				t.Errorf("%s lets a %q in: %v", name, role, got)
			}
		}
	}
}

// TestWhoseAViewerSees: those who train athletes everybody's, an athlete what is of the
// athlete whom the account belongs to, and one of no athlete nothing, also not what is
// nobody's.
func TestWhoseAViewerSees(t *testing.T) {
	for _, c := range []struct {
		viewer  access.Viewer
		athlete int64
		want    bool
	}{
		{access.Viewer{Role: access.Coach}, 7, true}, {access.Viewer{Role: access.Boatman}, 7, true}, {access.Viewer{Role: access.Trusted}, 0, true},
		{access.Viewer{Role: access.Athlete, Athlete: 7}, 7, true}, {access.Viewer{Role: access.Athlete, Athlete: 7}, 8, false}, {access.Viewer{Role: access.Athlete}, 7, false},
		{access.Viewer{Role: access.Athlete, Athlete: 7}, 0, false}, {access.Viewer{Role: access.Athlete}, 0, false},
	} {
		if got := c.viewer.Owns(c.athlete); got != c.want {
			t.Errorf("%+v sees what is of %d: %v", c.viewer, c.athlete, got)
		}
	}
}

// TestALinkOpensOnlyWhatIsShared: who reads by a link passes the rules of pages that are
// shared so, and others do not for their sake.
func TestALinkOpensOnlyWhatIsShared(t *testing.T) {
	shared := access.Staff
	shared.Shared = "boat"
	for _, c := range []struct {
		name   string
		rule   access.Rule
		viewer access.Viewer
		want   error
	}{
		{"a shared page by a link", shared, access.Viewer{Shared: true}, nil},
		{"another page by a link", access.Staff, access.Viewer{Shared: true}, access.ErrSignIn},
		{"a shared page without one", shared, access.Viewer{}, access.ErrSignIn},
		{"a shared page with an account that may not", shared, access.Viewer{Role: access.Athlete, Account: 1, Athlete: 7}, access.ErrRole},
	} {
		if err := check(t, c.rule, &c.viewer, nil, nil, owned(0)); !errors.Is(err, c.want) || (err == nil) != (c.want == nil) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}
