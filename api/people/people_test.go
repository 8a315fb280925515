package people

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/alexedwards/argon2id"

	"thole/api/access"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/wire"
)

// begin is when the tests begin: later than the clock by which their file was filled.
var begin = time.Date(2096, 5, 1, 9, 0, 0, 0, time.UTC)

// server has accounts, and a clock that tests set.
type server struct {
	*Service
	*testing.T
	now time.Time
}

// filled is a file with the athletes Mia and Ole and the double Wren.
var filled = storetest.Filled(func(s *store.Store) error {
	for _, name := range []string{"Mia Ek", "Ole Dahl"} {
		if _, err := s.AddAthlete(context.Background(), store.Athlete{Name: name}, storetest.Anna); err != nil {
			return err
		}
	}
	_, err := s.AddBoat(context.Background(), store.Boat{Name: "Wren", ClassCode: "2x", Seats: []store.Seat{{Number: 1}, {Number: 2}}}, storetest.Anna)
	return err
})

func newServer(t *testing.T) *server {
	s := &server{T: t, now: begin}
	path := storetest.Copy(t, filled).Path()
	quick := argon2id.Params{Memory: 8, Iterations: 1, Parallelism: 1, SaltLength: 16, KeyLength: 32} // of passwords that guard nothing
	file, err := store.OpenWith(t.Context(), path, store.Options{Now: s.clock, Hashing: quick})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { storetest.Check(t, file.Close()) })
	storetest.Check(t, file.Unsynced(t.Context()))
	s.Service = New(&records.Records{Store: file, Now: s.clock}, true)
	return s
}

func (s *server) clock() time.Time { return s.now }

// good is a password that is taken.
const good = "row the boat gently"

// ines makes the first coach.
func (s *server) ines() Account {
	s.Helper()
	made, first, err := s.FirstLink(s.Context())
	if err != nil || !first {
		s.Fatal(first, err)
	}
	return s.joined(made.Secret, "Ines")
}

func (s *server) joined(secret, name string) Account {
	s.Helper()
	a, err := s.Join(s.Context(), secret, name, good)
	if err != nil {
		s.Fatal(err)
	}
	return a
}

// as is the context of an account.
func (s *server) as(a Account) context.Context {
	return As(s.Context(), &access.Viewer{Account: a.ID, Name: a.Name, Role: a.Role, Athlete: wire.Or(a.AthleteID, 0)})
}

// told is an error in short: its status and the fields that it names.
func told(err error) string {
	var known wire.Failure
	if err == nil {
		return ""
	}
	if !errors.As(err, &known) {
		return err.Error()
	}
	p := known.Problem()
	text := fmt.Sprint(p.Status)
	for _, f := range p.Errors {
		text += " " + f.Field
	}
	return text
}

// wantTold fails unless an error is as it is told in short, "" for none.
func (s *server) wantTold(what string, err error, want string) {
	s.Helper()
	if got := told(err); got != want {
		s.Errorf("%s: %q, want %q (%v)", what, got, want, err)
	}
}

// TestTheFirstLinkMakesACoach: once, for a day; one of an earlier start ends, and where
// there is an account there is none.
func TestTheFirstLinkMakesACoach(t *testing.T) {
	s := newServer(t)
	old, _, _ := s.FirstLink(t.Context())
	made, first, err := s.FirstLink(t.Context())
	if err != nil || !first || !made.ExpiresAt.Equal(begin.Add(24*time.Hour)) {
		t.Fatalf("%+v %v %v", made, first, err)
	}
	_, err = s.Joining(t.Context(), old.Secret)
	s.wantTold("that of an earlier start", err, "404")
	s.now = begin.Add(24*time.Hour - time.Second)
	if l, err := s.Joining(t.Context(), made.Secret); err != nil || l.Role != access.Coach || l.Expired {
		t.Errorf("a second before its end: %+v %v", l, err)
	}
	for _, c := range []struct{ name, password, want string }{{"", good, "422 name"}, {"Ines", "short", "422 password"}} {
		_, err := s.Join(t.Context(), made.Secret, c.name, c.password)
		s.wantTold(c.name+" "+c.password, err, c.want)
	}
	if a := s.joined(made.Secret, " Ines "); a.Name != "Ines" || a.Role != access.Coach || a.AthleteID != nil {
		t.Errorf("%+v", a)
	}
	_, err = s.Joining(t.Context(), made.Secret)
	s.wantTold("used", err, "410")
	if _, first, err := s.FirstLink(t.Context()); first || err != nil {
		t.Errorf("where there is a coach: %v %v", first, err)
	}
}

// TestInvitations: of athletes by their record, of others by a name; good for 14 days.
func TestInvitations(t *testing.T) {
	s := newServer(t)
	ctx := s.as(s.ines())
	for name, c := range map[string]struct {
		people []Invitee
		want   string
	}{
		"nobody":                   {nil, "422 people"},
		"a coach without a name":   {[]Invitee{{Role: access.Coach, Name: " "}}, "422 name"},
		"no role":                  {[]Invitee{{Name: "Bo"}}, "422 people[0].role"},
		"an athlete without one":   {[]Invitee{{Role: access.Coach, Name: "Bo"}, {Role: access.Athlete}}, "422 people[1].athlete_id"},
		"an athlete not on record": {[]Invitee{{Role: access.Athlete, AthleteID: wire.Ptr(int64(99))}}, "404"},
	} {
		_, err := s.InviteAll(ctx, Invitations{c.people})
		s.wantTold(name, err, c.want)
	}
	for name, list := range map[string][]Invitation{"athlete": nil, "role": {{Name: "Bo"}}} {
		_, err := s.Invite(ctx, list)
		s.wantTold(name, err, "422 "+name)
	}
	made, err := s.InviteAll(ctx, Invitations{[]Invitee{{Role: access.Athlete, AthleteID: wire.Ptr(int64(1)), Name: "x"}, {Role: access.Boatman, Name: " Bo "}}})
	if err != nil || len(made.Links) != 2 || made.Links[0].Name != "Mia Ek" || made.Links[1].Name != "Bo" || !made.Links[0].ExpiresAt.Equal(begin.Add(14*24*time.Hour)) {
		t.Fatalf("%+v %v", made, err)
	}
	list, err := s.LinkList(ctx, struct{}{})
	if err != nil || len(list.Links) != 2 || list.Links[0].AthleteID != nil || list.Links[1].AthleteID == nil || *list.Links[1].AthleteID != 1 || list.Links[1].UsedAt != nil || list.Links[1].CreatedBy != "Ines" || list.Links[1].Role != "athlete" {
		t.Errorf("%+v %v", list, err)
	}
	if mia := s.joined(made.Links[0].Secret, "mia"); mia.Role != access.Athlete || mia.AthleteID == nil || *mia.AthleteID != 1 {
		t.Errorf("%+v", mia)
	}
	_, err = s.Join(t.Context(), made.Links[1].Secret, "MIA", good)
	s.wantTold("a name that is taken", err, "422 name")
	s.now = begin.Add(14 * 24 * time.Hour)
	_, err = s.Join(t.Context(), made.Links[1].Secret, "bo", good)
	s.wantTold("on the day of its end", err, "410")
	if list, err := s.Links(ctx); err != nil || len(list) != 1 || !list[0].Expired {
		t.Errorf("%+v %v", list, err)
	}
	removed, err := s.DropLink(ctx, records.IDRequest{ID: list.Links[0].ID})
	if err != nil || removed.ID != list.Links[0].ID {
		t.Errorf("%+v %v", removed, err)
	}
	s.wantTold("revoked again", s.Revoke(ctx, list.Links[0].ID), "404")
}

// TestALinkSetsThePasswordOfItsAccount, whose name it keeps.
func TestALinkSetsThePasswordOfItsAccount(t *testing.T) {
	s := newServer(t)
	ines := s.ines()
	_, err := s.ResetLink(t.Context(), 99)
	s.wantTold("of nobody", err, "404")
	made, err := s.ResetLink(t.Context(), ines.ID)
	if err != nil || made.Name != "Ines" || !made.ExpiresAt.Equal(begin.Add(24*time.Hour)) {
		t.Fatalf("%+v %v", made, err)
	}
	in := SignedIn{Account: ines.ID, Since: begin}
	if in.Password, err = s.PasswordNumber(t.Context(), ines.ID); err != nil {
		t.Fatal(err)
	}
	if a, err := s.Join(t.Context(), made.Secret, "another", "another long password"); err != nil || a.ID != ines.ID || a.Name != "Ines" {
		t.Errorf("%+v %v", a, err)
	}
	if v, err := s.Viewer(t.Context(), in); err != nil || v.SignedIn() {
		t.Errorf("signed in with the old one: %+v %v", v, err)
	}
	if a, err := s.SignIn(t.Context(), SignIn{Name: "ines", Password: "another long password"}); err != nil || a.ID != ines.ID {
		t.Errorf("%+v %v", a, err)
	}
}

// TestWhoHasSignedIn: by the password that counts now; a session from before passwords were
// numbered holds from the moment of the first one.
func TestWhoHasSignedIn(t *testing.T) {
	s := newServer(t)
	ines := s.ines()
	made, _ := s.Invite(s.as(ines), []Invitation{{Role: access.Athlete, AthleteID: 2}})
	ole := s.joined(made[0].Secret, "ole")
	storetest.Run(t, storetest.Writer(s.Store), "UPDATE accounts SET password_at = '2096-05-01T09:00:00.000Z'") // replaced before they were numbered
	for name, c := range map[string]struct {
		in   SignedIn
		want string
	}{
		"the first password": {SignedIn{ines.ID, 1, begin}, "Ines coach 0"}, "another": {SignedIn{ines.ID, 2, begin}, "  0"}, "nobody": {SignedIn{99, 1, begin}, "  0"},
		"an athlete": {SignedIn{ole.ID, 1, begin}, "ole athlete 2"}, "unnumbered at its making": {SignedIn{ines.ID, 0, begin}, "Ines coach 0"}, "unnumbered before": {SignedIn{ines.ID, 0, begin.Add(-time.Second)}, "  0"},
	} {
		v, err := s.Viewer(t.Context(), c.in)
		if got := fmt.Sprint(v.Name, " ", v.Role, " ", v.Athlete); err != nil || got != c.want {
			t.Errorf("%s: %q %v, want %q", name, got, err, c.want)
		}
	}
	storetest.Must(s.SetPassword(t.Context(), "Ines", "another long password"))
	if v, err := s.Viewer(t.Context(), SignedIn{ines.ID, 0, begin.Add(time.Hour)}); err != nil || v.SignedIn() {
		t.Errorf("unnumbered, and the password was replaced: %+v %v", v, err)
	}
	me, err := s.Me(s.as(ole), struct{}{})
	if err != nil || me.AthleteID == nil || *me.AthleteID != 2 || fmt.Sprint(me.Scopes) != "[read write]" || me.Role != access.Athlete {
		t.Errorf("%+v %v", me, err)
	}
	reads := &access.Viewer{Role: access.Coach, Account: ines.ID, Scopes: []access.Scope{access.Read}}
	if me, _ := s.Me(access.With(t.Context(), reads), struct{}{}); me.AthleteID != nil || fmt.Sprint(me.Scopes) != "[read]" {
		t.Errorf("%+v", me)
	}
}

// TestRolesAreChanged: an athlete has a record and others none; the only coach stays.
func TestRolesAreChanged(t *testing.T) {
	s := newServer(t)
	ines := s.ines()
	made, err := s.Invite(s.as(ines), []Invitation{{Role: access.Athlete, AthleteID: 1}, {Role: access.Boatman, Name: "Bo"}})
	if err != nil {
		t.Fatal(err)
	}
	mia, bo := s.joined(made[0].Secret, "mia"), s.joined(made[1].Secret, "bo")
	one, two, none := int64(1), int64(2), int64(99)
	for _, c := range []struct {
		name string
		edit RoleEdit
		want string
	}{
		{"no role", RoleEdit{ID: bo.ID}, "422 role"},
		{"an athlete without a record", RoleEdit{bo.ID, access.Athlete, nil}, "422 athlete_id"},
		{"a boatman with one", RoleEdit{bo.ID, access.Boatman, &two}, "422 athlete_id"},
		{"a record that is not there", RoleEdit{bo.ID, access.Athlete, &none}, "422 athlete_id"},
		{"another's record", RoleEdit{bo.ID, access.Athlete, &one}, "422 athlete_id"},
		{"nobody", RoleEdit{99, access.Coach, nil}, "404"},
		{"the only coach", RoleEdit{ines.ID, access.Boatman, nil}, "409"},
		{"an athlete", RoleEdit{bo.ID, access.Athlete, &two}, ""},
		{"a coach", RoleEdit{mia.ID, access.Coach, nil}, ""},
		{"no more the only coach", RoleEdit{ines.ID, access.Boatman, nil}, ""},
	} {
		a, err := s.ChangeRole(t.Context(), c.edit)
		s.wantTold(c.name, err, c.want)
		if err == nil && (a.ID != c.edit.ID || a.Role != c.edit.Role || (a.AthleteID == nil) != (c.edit.AthleteID == nil)) {
			t.Errorf("%s: %+v", c.name, a)
		}
	}
	s.wantTold("the only coach is removed", s.RemoveAccount(t.Context(), mia.ID), "409")
	removed, err := s.DropAccount(t.Context(), records.IDRequest{ID: bo.ID})
	if list, _ := s.Accounts(t.Context(), struct{}{}); err != nil || removed.ID != bo.ID || len(list.Accounts) != 2 || list.Accounts[0].Name != "Ines" {
		t.Errorf("%+v %v %+v", removed, err, list)
	}
}

// TestSignInsAreLimited: ten failures from one address, of which one is forgotten in 90 s;
// a browser that the account was used in has a count of its own.
func TestSignInsAreLimited(t *testing.T) {
	s := newServer(t)
	ines := s.ines()
	from := netip.MustParseAddr("192.0.2.1")
	marked, err := s.Mark(t.Context(), ines.ID)
	if err != nil {
		t.Fatal(err)
	}
	try := func(name, password, browser string) string {
		_, err := s.SignIn(t.Context(), SignIn{name, password, from, browser})
		return told(err)
	}
	for i := range 10 {
		if got := try("Ines", "wrong", ""); got != "401" {
			t.Fatalf("failure %d: %s", i+1, got)
		}
		if got := try("Ines ", good, marked); got != "" { // one that does not fail is not counted
			t.Fatalf("in a browser that is known: %s", got)
		}
	}
	for _, c := range []struct{ name, password, browser, want string }{
		{"Ines", good, "", "429"}, {"INES ", good, "", "429"}, {"Ines", good, "x" + marked, "429"}, {"Ines", good, marked, ""}, {"nobody", good, marked, "401"}, {"Ines", strings.Repeat("x", 4*maxPassword+1), "", "401"},
	} {
		if got := try(c.name, c.password, c.browser); got != c.want {
			t.Errorf("%q in %q: %s, want %s", c.name, c.browser, got, c.want)
		}
	}
	s.now = s.now.Add(89 * time.Second)
	if got := try("Ines", good, ""); got != "429" {
		t.Errorf("after 89 s: %s", got)
	}
	s.now = s.now.Add(time.Second)
	if got := try("Ines", good, ""); got != "" {
		t.Errorf("after 90 s: %s", got)
	}
	for wait, want := range map[time.Duration]string{time.Second: "wait a minute", time.Minute: "wait a minute", 61 * time.Second: "wait 2 minutes"} {
		if err := (&TooMany{wait}); !strings.HasSuffix(err.Error(), want) || err.Problem().Status != 429 {
			t.Errorf("%v: %s", wait, err)
		}
	}
}

func TestAPasswordIsReplacedByWhoKnowsIt(t *testing.T) {
	s := newServer(t)
	s.ines()
	for _, c := range []struct{ present, next, want string }{
		{"wrong", "another long password", "422 present"}, {good, "short", "422 password"}, {good, "another long password", ""}, {good, "a third long password", "422 present"},
	} {
		s.wantTold(c.present+" "+c.next, s.ChangePassword(t.Context(), "Ines", c.present, c.next, netip.Addr{}), c.want)
	}
	for _, c := range []struct{ name, password, want string }{{"nobody", good, "404"}, {"Ines", "short", "422 password"}, {"ines", good, ""}} {
		a, err := s.SetPassword(t.Context(), c.name, c.password)
		s.wantTold(c.name+" "+c.password, err, c.want)
		if err == nil && a.Name != "Ines" {
			t.Errorf("%+v", a)
		}
	}
}

// TestLengthsOfPasswords: 12 to 128 characters, whatever their bytes (OWASP ASVS 4.0.3,
// 2.1.1 and 2.1.2, from memory), and five different signs beside the easy ones.
func TestLengthsOfPasswords(t *testing.T) {
	for _, c := range []struct {
		password string
		good     bool
	}{
		{"abcdefghijkü", true}, {"abcdefghijü", false}, {strings.Repeat("ü", 124) + "abcd", true}, {strings.Repeat("ü", 125) + "abcd", false},
		{"abcdeabcdeab", true}, {"abcdabcdabcd", false}, {"ines i n e s", false},
	} {
		if got := checkPassword("Ines", c.password) == nil; got != c.good {
			t.Errorf("%q is taken: %v", c.password, got)
		}
	}
}

// TestTokensDoWhatTheirAccountMay, for a year, and no more than the one that made them.
func TestTokensDoWhatTheirAccountMay(t *testing.T) {
	s := newServer(t)
	ines := s.ines()
	ctx, year := s.as(ines), begin.Add(365*24*time.Hour)
	soon := access.With(t.Context(), &access.Viewer{Account: ines.ID, Role: access.Coach, Scopes: []access.Scope{access.Read}, Until: begin.Add(time.Hour)})
	late := access.With(t.Context(), &access.Viewer{Account: ines.ID, Role: access.Coach, Scopes: []access.Scope{access.Read}, Until: year.Add(time.Hour)})
	for _, c := range []struct {
		name   string
		ctx    context.Context
		called string
		scopes []string
		want   string
	}{
		{"nobody", t.Context(), "scripts", []string{"read"}, "409"},
		{"without a name", ctx, " ", []string{"read"}, "422 name"},
		{"for nothing", ctx, "scripts", nil, "422 scopes"},
		{"for what there is not", ctx, "scripts", []string{"read", "fly"}, "422 scopes"},
		{"for more than it may", soon, "scripts", []string{"read", "write"}, "422 scopes"},
		{"by a person", ctx, " scripts ", []string{"read", "write"}, ""},
		{"by a token that ends sooner", soon, "sooner", []string{"read"}, ""},
		{"by a token that ends later", late, "later", []string{"read"}, ""},
	} {
		_, err := s.MakeToken(c.ctx, NewToken{c.called, c.scopes})
		s.wantTold(c.name, err, c.want)
	}
	list, err := s.TokenList(ctx, struct{}{})
	if err != nil || len(list.Tokens) != 3 || list.Tokens[2].Name != "scripts" || fmt.Sprint(list.Tokens[2].Scopes) != "[read write]" || list.Tokens[2].UsedAt != nil {
		t.Fatalf("%+v %v", list, err)
	}
	if a, b, c := list.Tokens[2].ExpiresAt, list.Tokens[1].ExpiresAt, list.Tokens[0].ExpiresAt; !a.Equal(year) || !b.Equal(begin.Add(time.Hour)) || !c.Equal(year) {
		t.Errorf("they end %v, %v, %v", a, b, c)
	}
	if removed, err := s.DropToken(ctx, records.IDRequest{ID: list.Tokens[0].ID}); err != nil || removed.ID != list.Tokens[0].ID {
		t.Errorf("%+v %v", removed, err)
	}
	_, err = s.DropToken(ctx, records.IDRequest{ID: 99})
	s.wantTold("one that is not there", err, "404")
}

// TestWhoIsBehindAToken: its account until it ends; the hour of its last use is kept.
func TestWhoIsBehindAToken(t *testing.T) {
	s := newServer(t)
	ctx := s.as(s.ines())
	made, err := s.MakeToken(ctx, NewToken{"scripts", []string{"read"}})
	if err != nil {
		t.Fatal(err)
	}
	used := func() time.Time {
		list, err := s.Tokens(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return list[0].UsedAt
	}
	for _, c := range []struct {
		after, used time.Duration // since the beginning
		signed      bool
	}{
		{0, 0, true}, {time.Hour, 0, true}, {time.Hour + time.Second, time.Hour + time.Second, true}, {365*24*time.Hour - time.Second, 365*24*time.Hour - time.Second, true}, {365 * 24 * time.Hour, 365*24*time.Hour - time.Second, false},
	} {
		s.now = begin.Add(c.after)
		v, err := s.TokenViewer(t.Context(), made.Secret)
		if err != nil || v.SignedIn() != c.signed || c.signed && (fmt.Sprint(v.Scopes) != "[read]" || !v.Until.Equal(begin.Add(tokenLife)) || v.Name != "Ines") {
			t.Errorf("after %v: %+v %v", c.after, v, err)
		}
		if got := used(); !got.Equal(begin.Add(c.used)) {
			t.Errorf("after %v: used at %v, want %v", c.after, got, begin.Add(c.used))
		}
	}
	if v, err := s.TokenViewer(t.Context(), "x"+made.Secret); err != nil || v.SignedIn() {
		t.Errorf("another secret: %+v %v", v, err)
	}
	if list, err := s.TokenList(ctx, struct{}{}); err != nil || list.Tokens[0].UsedAt == nil {
		t.Errorf("%+v %v", list, err)
	}
}

// TestPagesAreShared for so many days; the hour of the last look is kept.
func TestPagesAreShared(t *testing.T) {
	s := newServer(t)
	ctx := s.as(s.ines())
	for want, ask := range map[string]Sharing{
		"422 name": {"", "/boats/1", 7}, "422 address": {"Wren", "https://elsewhere.example/", 7}, "422 days": {"Wren", "/boats/1", 91},
	} {
		_, err := s.ShareLink(ctx, ask)
		s.wantTold(want, err, want)
	}
	made, err := s.ShareLink(ctx, Sharing{"Wren", "/boats/1?x=1", 7})
	if err != nil || made.Name != "Wren" || !made.ExpiresAt.Equal(begin.Add(7*24*time.Hour)) {
		t.Fatalf("%+v %v", made, err)
	}
	if list, err := s.LinkList(ctx, struct{}{}); err != nil || list.Links[0].Address != "/boats/1?x=1" || list.Links[0].UsedAt != nil {
		t.Errorf("%+v %v", list, err)
	}
	for _, c := range []struct {
		after, used time.Duration
		want        string
	}{{0, 0, ""}, {time.Hour, 0, ""}, {time.Hour + time.Second, time.Hour + time.Second, ""}, {7 * 24 * time.Hour, 0, "410"}} {
		s.now = begin.Add(c.after)
		l, err := s.SharedPage(t.Context(), made.Secret)
		s.wantTold(c.after.String(), err, c.want)
		if list, err2 := s.LinkList(ctx, struct{}{}); err == nil && (err2 != nil || l.Address != "/boats/1?x=1" || list.Links[0].UsedAt == nil || !list.Links[0].UsedAt.Equal(begin.Add(c.used))) {
			t.Errorf("after %v: %+v %+v %v", c.after, l, list, err2)
		}
	}
	_, err = s.SharedPage(t.Context(), "x")
	s.wantTold("another secret", err, "404")
	if v := access.From(SharedContext(t.Context())); !v.Shared || v.SignedIn() {
		t.Errorf("%+v", v)
	}
}

// TestMeasuringLinks are of an athlete, and of a seat that the boat has.
func TestMeasuringLinks(t *testing.T) {
	s := newServer(t)
	ctx := s.as(s.ines())
	wren, none := int64(1), int64(99)
	for _, c := range []struct {
		name       string
		ask        MeasuringAsk
		want       string
		boat       int64
		seatOfBoat int
	}{
		{"of nobody", MeasuringAsk{99, nil, 0}, "404", 0, 0},
		{"of no boat", MeasuringAsk{1, &none, 1}, "404", 0, 0},
		{"a seat too many", MeasuringAsk{1, &wren, 3}, "422 seat", 0, 0},
		{"no seat of any boat", MeasuringAsk{1, &wren, 9}, "422 seat", 0, 0},
		{"the body alone", MeasuringAsk{1, nil, 0}, "", 0, 0},
		{"bow where none is named", MeasuringAsk{1, &wren, 0}, "", 1, 1},
		{"stroke", MeasuringAsk{1, &wren, 2}, "", 1, 2},
	} {
		made, err := s.NewMeasuringLink(ctx, c.ask)
		s.wantTold(c.name, err, c.want)
		if err != nil {
			continue
		}
		storetest.Must(s.Measuring(t.Context(), made.Secret)) // looking at it uses nothing
		l, err := s.Measuring(t.Context(), made.Secret)
		if err != nil || made.Name != "Mia Ek" || l.AthleteID != 1 || l.BoatID != c.boat || l.Seat != c.seatOfBoat || !l.ExpiresAt.Equal(begin.Add(14*24*time.Hour)) || !l.UsedAt.IsZero() {
			t.Errorf("%s: %+v %v", c.name, l, err)
		}
		storetest.Check(t, s.Measured(t.Context(), made.Secret))
		if l, err := s.Measuring(t.Context(), made.Secret); err != nil || !l.UsedAt.Equal(begin) { // one may measure again
			t.Errorf("%s, measured: %+v %v", c.name, l, err)
		}
	}
	for _, n := range []int{0, -1} {
		_, err := s.MeasuringLink(ctx, 1, 1, n)
		s.wantTold(fmt.Sprint("seat ", n), err, "422 seat")
	}
	s.wantTold("measured by another", s.Measured(t.Context(), "x"), "404")
}

// TestWhatTheBoatmanIsAskedFor: a page once while it is open, and what was done last.
func TestWhatTheBoatmanIsAskedFor(t *testing.T) {
	s := newServer(t)
	ctx := s.as(s.ines())
	for want, ask := range map[string]NewTask{
		"422 what": {Address: "/sheets/3"}, "422 address": {What: "Wren", Address: "//elsewhere.example"}, "422 note": {What: "Wren", Address: "/sheets/3", Note: strings.Repeat("x", 501)},
	} {
		_, err := s.AddTask(ctx, ask)
		s.wantTold(want, err, want)
	}
	first, err := s.AddTask(ctx, NewTask{What: " Wren ", Address: "/sheets/3"})
	if err != nil || first.What != "Wren" || first.SentBy != "Ines" || first.DoneAt != nil {
		t.Fatalf("%+v %v", first, err)
	}
	if again, err := s.AddTask(ctx, NewTask{What: "Wren", Address: "/sheets/3", Note: "Today."}); err != nil || again.ID != first.ID || again.Note != "Today." {
		t.Errorf("%+v %v", again, err)
	}
	list, err := s.FinishTask(ctx, records.IDRequest{ID: first.ID})
	if err != nil || len(list.Open) != 0 || len(list.Done) != 1 || list.Done[0].DoneAt == nil || !list.Done[0].DoneAt.Equal(begin) {
		t.Errorf("%+v %v", list, err)
	}
	_, err = s.FinishTask(ctx, records.IDRequest{ID: first.ID})
	s.wantTold("done already", err, "404")
}

// TestSeatsAreKeptForAnAthlete: pages for one seat, of a boat that has it where one is
// named, and a hundred of them.
func TestSeatsAreKeptForAnAthlete(t *testing.T) {
	s := newServer(t)
	ctx := s.as(s.ines())
	wren, none := int64(1), int64(99)
	for _, c := range []struct {
		name string
		ask  NewSavedSeat
		want string
	}{
		{"no name", NewSavedSeat{AthleteID: 1, Address: "/seat?x=1"}, "422 name"},
		{"no address", NewSavedSeat{AthleteID: 1, Name: "Wren"}, "422 address"},
		{"another page", NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "/seats?x=1"}, "422 address"},
		{"elsewhere", NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "https://elsewhere.example/seat"}, "422 address"},
		{"no boat", NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "/seat", BoatID: &none, Seat: 1}, "404"},
		{"seat 0", NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "/seat", BoatID: &wren}, "422 seat"},
		{"a seat too many", NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "/seat", BoatID: &wren, Seat: 3}, "422 seat"},
		{"a seat of no boat", NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "/seat", Seat: 1}, "422 seat"},
		{"nobody", NewSavedSeat{AthleteID: 99, Name: "Wren", Address: "/seat"}, "404"},
		{"stroke", NewSavedSeat{AthleteID: 1, Name: " Wren ", Address: "/seat?x=1", BoatID: &wren, Seat: 2}, ""},
		{"bow, sent", NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "/seat?x=2", BoatID: &wren, Seat: 1, Send: true}, ""},
	} {
		kept, err := s.SaveSeat(ctx, c.ask)
		s.wantTold(c.name, err, c.want)
		if err == nil && (kept.Name != "Wren" || kept.Seat != c.ask.Seat || (kept.SentAt != nil) != c.ask.Send || kept.DoneAt != nil || kept.SavedBy != "Ines") {
			t.Errorf("%s: %+v", c.name, kept)
		}
	}
	list, err := s.SavedSeats(ctx, records.IDRequest{ID: 1})
	if err != nil || len(list.Seats) != 2 || list.Seats[0].SentAt == nil || list.Seats[1].SentAt != nil {
		t.Fatalf("%+v %v", list, err)
	}
	stroke := list.Seats[1].ID
	for want, ask := range map[string]SendSavedSeat{"404": {AthleteID: 2, ID: stroke}, "": {AthleteID: 1, ID: stroke}} {
		_, err := s.SendSavedSeat(ctx, ask)
		s.wantTold("sent by "+want, err, want)
	}
	_, err = s.SendSavedSeat(ctx, SendSavedSeat{AthleteID: 99, ID: stroke})
	s.wantTold("of nobody", err, "404")
	tasks, err := s.Tasks(ctx, struct{}{})
	if err != nil || len(tasks.Open) != 2 || tasks.Open[1].What != "Mia Ek: Wren" || tasks.Open[1].Address != fmt.Sprint("/athletes/1/seats/", stroke) {
		t.Fatalf("%+v %v", tasks, err)
	}
	if _, err := s.FinishTask(ctx, records.IDRequest{ID: tasks.Open[1].ID}); err != nil {
		t.Fatal(err)
	}
	if kept, err := s.SavedSeat(ctx, SavedSeatRequest{1, stroke}); err != nil || kept.DoneAt == nil || kept.DoneBy != "Ines" {
		t.Errorf("%+v %v", kept, err)
	}
	if removed, err := s.RemoveSavedSeat(ctx, SavedSeatRequest{1, stroke}); err != nil || removed.ID != stroke {
		t.Errorf("%+v %v", removed, err)
	}
	storetest.Run(t, storetest.Writer(s.Store), `WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 98)
		INSERT INTO saved_seats (athlete_id, name, address, note, saved_by, saved_at) SELECT 1, 'Wren', '/seat?n=' || i, '', 'Ines', '2026-05-01T09:00:00.000Z' FROM n`)
	_, err = s.SaveSeat(ctx, NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "/seat?n=last"})
	s.wantTold("the hundredth", err, "")
	_, err = s.SaveSeat(ctx, NewSavedSeat{AthleteID: 1, Name: "Wren", Address: "/seat?n=more"})
	s.wantTold("one more than a hundred", err, "409")
}

// TestUnitsAndWordsAreTheAccountsOrTheClubs, and plain where nobody chose.
func TestUnitsAndWordsAreTheAccountsOrTheClubs(t *testing.T) {
	s := newServer(t)
	ctx := s.as(s.ines())
	inches, feet := PlainUsage, PlainUsage
	inches.RigLengths, feet.BodyLengths = Inches, FeetInches
	want := func(what string, ctx context.Context, u Usage, chosen bool) {
		t.Helper()
		if got, err := s.OwnUsage(ctx, struct{}{}); err != nil || got != (OwnUsage{chosen, u}) {
			t.Errorf("%s: %+v %v", what, got, err)
		}
	}
	want("at first", ctx, PlainUsage, false)
	bad := PlainUsage
	bad.Masses = "stone"
	_, err := s.SetClubUsage(ctx, bad)
	s.wantTold("the club's", err, "422 masses")
	_, err = s.SetOwnUsage(ctx, OwnUsage{true, bad})
	s.wantTold("one's own", err, "422 masses")
	_, err = s.SetOwnUsage(t.Context(), OwnUsage{true, feet})
	s.wantTold("of nobody", err, "409")
	if u, err := s.SetClubUsage(ctx, inches); err != nil || u != inches {
		t.Errorf("%+v %v", u, err)
	}
	want("as the club", ctx, inches, false)
	if u, err := s.SetOwnUsage(ctx, OwnUsage{true, feet}); err != nil || u != (OwnUsage{true, feet}) {
		t.Errorf("%+v %v", u, err)
	}
	want("chosen", ctx, feet, true)
	want("without an account", t.Context(), inches, false)
	storetest.Must(s.SetOwnUsage(ctx, OwnUsage{false, feet}))
	want("taken back", ctx, inches, false)
}

// TestWithoutRecordsNothingIsChosen: pages that compute alone have plain units.
func TestWithoutRecordsNothingIsChosen(t *testing.T) {
	s := New(&records.Records{Now: func() time.Time { return begin }}, false)
	u, err1 := s.ClubUsage(t.Context(), struct{}{})
	version, err2 := s.Version(t.Context())
	typed, err3 := s.Typed(t.Context())
	if err := errors.Join(err1, err2, err3); err != nil || u != PlainUsage || version != 0 || typed != nil {
		t.Errorf("%+v %d %v %v", u, version, typed, err)
	}
	filled := newServer(t)
	before, err1 := filled.Version(t.Context())
	storetest.Must(filled.AddTask(t.Context(), NewTask{What: "Wren: 3 washers", Address: "/boats/1", By: "Bo"}))
	after, err2 := filled.Version(t.Context())
	if err := errors.Join(err1, err2); err != nil || before == after {
		t.Errorf("%d and %d, %v", before, after, err)
	}
}

func TestSeatsAreNamedAsPeopleDo(t *testing.T) {
	boat := func(id int64, name, class string) fleet.BoatSummary {
		return fleet.BoatSummary{ID: id, BoatFields: fleet.BoatFields{Name: name, BoatClass: class}}
	}
	classes := []seat.BoatClass{{Code: "1x", Rowers: 1}, {Code: "4x", Rowers: 4}}
	var got []string
	for _, c := range SeatChoices([]fleet.BoatSummary{boat(3, "Wren", "4x"), boat(5, "Kite", "1x"), boat(6, "Raft", "9x")}, classes) {
		got = append(got, c.Value+" "+c.Label)
	}
	if want := "3-1 Wren, bow|3-2 Wren, seat 2|3-3 Wren, seat 3|3-4 Wren, stroke|5-1 Kite"; strings.Join(got, "|") != want {
		t.Errorf("%q, want %q", got, want)
	}
	for text, want := range map[string]string{"3-5": "3 5 true", "1-1": "1 1 true", "0-1": "0 0 false", "1-0": "0 0 false", "3": "0 0 false", "x-1": "0 0 false", "1-x": "0 0 false", "-1-1": "0 0 false", "99999999999999999999-1": "0 0 false", "1-99999999999999999999": "0 0 false", "": "0 0 false"} {
		if boat, number, ok := SeatAt(text); fmt.Sprint(boat, number, ok) != want {
			t.Errorf("%q: %d %d %v, want %s", text, boat, number, ok, want)
		}
	}
}

// TestOnlySignedInWorkIsSignedByTheAccount.
func TestOnlySignedInWorkIsSignedByTheAccount(t *testing.T) {
	s := newServer(t)
	nobody := As(t.Context(), new(access.Viewer))
	if task, err := s.AddTask(nobody, NewTask{What: "Wren", Address: "/boats/1", By: "Bo"}); err != nil || task.SentBy != "Bo" {
		t.Errorf("%+v %v", task, err)
	}
	if task, err := s.AddTask(s.as(s.ines()), NewTask{What: "Wren", Address: "/boats/2", By: "Bo"}); err != nil || task.SentBy != "Ines" {
		t.Errorf("%+v %v", task, err)
	}
}
