package people_test

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/api/club"
	"thole/api/directory"
	"thole/api/people"
	"thole/api/records"
	"thole/api/seatrace"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/strokes"
	"thole/ui"
	"thole/ui/page"
	gates "thole/ui/people"
	"thole/ui/uitest"
)

// demoRecords is filled once for all the tests.
var demoRecords = storetest.Filled(func(records *store.Store) error {
	service := api.NewService(records)
	defer service.Close()
	return service.Demo.FillDemo(context.Background())
})

// server is the demo club behind a gate, with a clock of its own.
type server struct {
	t       *testing.T
	url     string
	service *api.Service
	now     *time.Time
	secure  bool
	gate    *gates.Gate
}

// idle is how long an unused session stays.
const idle = 14 * 24 * time.Hour

const secret = "row the boat gently"

func newServer(t *testing.T, secure bool) *server {
	t.Helper()
	return serverOver(t, storetest.Copy(t, demoRecords), secure)
}

// serverOver is a club's records behind a gate.
func serverOver(t *testing.T, records *store.Store, secure bool) *server {
	t.Helper()
	s := &server{t: t, service: api.NewService(records, api.WithAccounts(true)), now: new(time.Time), secure: secure}
	*s.now = time.Now()
	s.service.People.Now = func() time.Time { return *s.now }
	return s.start()
}

// newTimedServer is [newServer] with records that go by its clock, too.
func newTimedServer(t *testing.T) *server {
	t.Helper()
	s := &server{t: t, now: new(time.Time)}
	*s.now = time.Now()
	path := filepath.Join(t.TempDir(), "club.db")
	storetest.Check(t, os.WriteFile(path, storetest.Must(demoRecords()), 0o600))
	s.service = api.NewService(storetest.Timed(t, path, func() time.Time { return *s.now }), api.WithAccounts(true))
	return s.start()
}

func (s *server) start() *server {
	t, secure := s.t, s.secure
	t.Helper()
	t.Cleanup(s.service.Close)
	log := slog.New(slog.DiscardHandler)
	gate := gates.NewGate(s.service.People, secure, log)
	t.Cleanup(gate.Close)
	s.gate = gate
	pages, err := ui.New(gate, s.service, log)
	if err != nil {
		t.Fatal(err)
	}
	routes := echo.New()
	api.Mount(routes, s.service, log)
	mux := http.NewServeMux()
	mux.Handle("/api/v1/", routes)
	mux.Handle("/", pages)
	guarded := http.NewCrossOriginProtection().Handler(gate.Around(mux))
	front := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", uitest.Policy)
		from := netip.MustParseAddr("192.168.1.20")
		if given, err := netip.ParseAddr(r.Header.Get("Test-Client")); err == nil {
			from = given
		}
		how := page.Reach{Client: from, Encrypted: secure, Base: "http://" + r.Host}
		guarded.ServeHTTP(w, r.WithContext(page.WithReach(r.Context(), how)))
	}))
	t.Cleanup(front.Close)
	s.url = front.URL
	return s
}

// reader is somebody with a browser of their own.
type reader struct {
	s      *server
	client http.Client
	from   string // where they are
}

func (s *server) reader() *reader {
	jar, _ := cookiejar.New(nil)
	return &reader{s: s, client: http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

func (b *reader) send(method, path string, form url.Values, headers ...string) uitest.Reply {
	b.s.t.Helper()
	r, err := http.NewRequest(method, b.s.url+path, strings.NewReader(form.Encode()))
	if err != nil {
		b.s.t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if b.from != "" {
		r.Header.Set("Test-Client", b.from)
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return answerOf(b.s.t, b, r)
}

// answerOf sends a request with somebody's browser.
func answerOf(t *testing.T, b *reader, r *http.Request) uitest.Reply {
	t.Helper()
	answer, err := b.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return uitest.Reply{Status: answer.StatusCode, Header: answer.Header, Body: uitest.Unlinked(string(body))}
}

func (b *reader) get(path string) uitest.Reply {
	b.s.t.Helper()
	return b.send(http.MethodGet, path, nil)
}

// post sends a form that must lead to a page, and returns where.
func (b *reader) post(path string, form url.Values) string {
	b.s.t.Helper()
	answer := b.send(http.MethodPost, path, form)
	if answer.Status != http.StatusSeeOther {
		b.s.t.Fatalf("POST %s: %d %s", path, answer.Status, text(answer.Body))
	}
	return answer.Header.Get("Location")
}

func text(body string) string {
	_, main, _ := strings.Cut(body, "<main")
	return regexp.MustCompile(`(?s)<[^>]*>|\s+`).ReplaceAllString(main, " ")
}

// coach makes the first account by the link of the first start.
func (s *server) coach() *reader {
	s.t.Helper()
	link, needed, err := s.service.People.FirstLink(s.t.Context())
	if err != nil || !needed {
		s.t.Fatal(needed, err)
	}
	b := s.reader()
	b.join("/join/"+link.Secret, "Carla")
	return b
}

func (b *reader) join(path, name string) {
	b.s.t.Helper()
	if to := b.post(path, url.Values{"name": {name}, "password": {secret}}); to != "/" {
		b.s.t.Fatalf("joined, and led to %s", to)
	}
}

var anyLink = regexp.MustCompile(`class="address">http://[^/]+(/(?:join|see|measure)/[\w-]+)`)

// made returns the links on a page that shows those that were made.
func (b *reader) made(path string, form url.Values) []string {
	b.s.t.Helper()
	answer := b.send(http.MethodPost, path, form)
	var links []string
	for _, m := range anyLink.FindAllStringSubmatch(answer.Body, -1) {
		links = append(links, m[1])
	}
	if answer.Status != http.StatusOK || len(links) == 0 {
		b.s.t.Fatalf("POST %s: %d %s", path, answer.Status, text(answer.Body))
	}
	return links
}

func (s *server) athletes() []directory.Athlete {
	s.t.Helper()
	list, err := s.service.Club.AthleteNames(s.t.Context())
	if err != nil || len(list) < 3 {
		s.t.Fatal(list, err)
	}
	return list
}

// club is a coach, a boatman and an athlete, all signed in.
func (s *server) club() (coach, boatman, athlete *reader, own directory.Athlete) {
	coach, boatman, athlete = s.coach(), s.reader(), s.reader()
	boatman.join(coach.made("/people/invite", url.Values{"name": {"Bert"}, "role": {"boatman"}})[0], "Bert")
	own = s.rowed()
	athlete.join(coach.made("/people/invite", url.Values{"athlete": {fmt.Sprint(own.ID)}})[0], "anna")
	return coach, boatman, athlete, own
}

// rowed is an athlete with a recording.
func (s *server) rowed() directory.Athlete {
	s.t.Helper()
	list, err := s.service.Strokes.Recordings(s.t.Context(), strokes.RecordingsRequest{})
	if err != nil {
		s.t.Fatal(err)
	}
	for _, r := range list.Recordings {
		for _, a := range s.athletes() {
			if r.AthleteID != nil && *r.AthleteID == a.ID {
				return a
			}
		}
	}
	s.t.Fatal("nobody has a recording")
	return directory.Athlete{}
}

func TestWithoutSigningInThereIsNothingToSee(t *testing.T) {
	s := newServer(t, false)
	b := s.reader()
	if p := b.get("/athletes?name=a"); p.Status != http.StatusSeeOther || p.Header.Get("Location") != "/sign-in?next=%2Fathletes%3Fname%3Da" {
		t.Errorf("%d %v", p.Status, p.Header)
	}
	if p := b.send(http.MethodPost, "/seat", nil, "HX-Request", "true"); p.Status != http.StatusNoContent || p.Header.Get("HX-Redirect") != "/sign-in" {
		t.Errorf("a script: %d %v", p.Status, p.Header)
	}
	if p := b.get("/api/v1/athletes"); p.Status != http.StatusUnauthorized || p.Header.Get("WWW-Authenticate") != "Bearer" {
		t.Errorf("JSON: %d %v", p.Status, p.Header)
	}
	if p := b.get("/sign-in"); p.Status != http.StatusOK || !strings.Contains(p.Body, "Nobody has an account yet") || strings.Contains(p.Body, `class="places"`) {
		t.Errorf("%d %s", p.Status, text(p.Body))
	}
}

func TestTheFirstLinkMakesOneCoach(t *testing.T) {
	s := newServer(t, false)
	first, _, err := s.service.People.FirstLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	second, _, err := s.service.People.FirstLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	b := s.reader()
	if p := b.get("/join/" + first.Secret); p.Status != http.StatusNotFound {
		t.Errorf("the link of an earlier start: %d", p.Status)
	}
	p := b.send(http.MethodPost, "/join/"+second.Secret, url.Values{"name": {"Carla"}, "password": {"carla carla"}})
	if p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "At least 12 characters") || !strings.Contains(p.Body, `value="Carla"`) {
		t.Errorf("a short password: %d %s", p.Status, text(p.Body))
	}
	if p := b.send(http.MethodPost, "/join/"+second.Secret, url.Values{"name": {"Carla"}, "password": {"carlacarlacarla"}}); p.Status != http.StatusUnprocessableEntity {
		t.Errorf("an easy password: %d", p.Status)
	}
	b.join("/join/"+second.Secret, "Carla")
	if p := b.get("/people"); p.Status != http.StatusOK || !strings.Contains(p.Body, "Carla") {
		t.Errorf("%d", p.Status)
	}
	if p := s.reader().get("/join/" + second.Secret); p.Status != http.StatusGone || !strings.Contains(p.Body, "used already") {
		t.Errorf("used twice: %d %s", p.Status, text(p.Body))
	}
	if _, needed, _ := s.service.People.FirstLink(t.Context()); needed {
		t.Error("another first link")
	}
}

func TestInvitationsExpire(t *testing.T) {
	s := newServer(t, false)
	link := s.coach().made("/people/invite", url.Values{"name": {"Bert"}, "role": {"boatman"}})[0]
	*s.now = s.now.Add(14 * 24 * time.Hour)
	b := s.reader()
	if p := b.get(link); p.Status != http.StatusGone || !strings.Contains(p.Body, "expired") {
		t.Errorf("%d %s", p.Status, text(p.Body))
	}
	if p := b.send(http.MethodPost, link, url.Values{"name": {"Bert"}, "password": {secret}}); p.Status != http.StatusGone {
		t.Errorf("%d", p.Status)
	}
}

func TestSeveralAthletesAreInvitedAtOnce(t *testing.T) {
	s := newServer(t, false)
	coach, list := s.coach(), s.athletes()
	links := coach.made("/people/invite", url.Values{"athlete": {fmt.Sprint(list[0].ID), fmt.Sprint(list[1].ID)}, "name": {"Bert"}, "role": {"boatman"}})
	if len(links) != 3 {
		t.Fatal(links)
	}
	a := s.reader()
	a.join(links[0], "first")
	if p := a.get(fmt.Sprintf("/athletes/%d", list[0].ID)); p.Status != http.StatusOK {
		t.Errorf("own record: %d", p.Status)
	}
	if p := coach.get("/people/invite"); strings.Contains(p.Body, fmt.Sprintf(`value="%d"`, list[0].ID)) || !strings.Contains(p.Body, fmt.Sprintf(`value="%d"`, list[1].ID)) {
		t.Error("who has an account is offered again")
	}
	for name, form := range map[string]url.Values{"nobody": {}, "no role": {"name": {"X"}, "role": {"king"}}, "a guess": {"athlete": {"99999"}}, "no number": {"athlete": {"x"}}} {
		if p := coach.send(http.MethodPost, "/people/invite", form); p.Status != http.StatusUnprocessableEntity && p.Status != http.StatusNotFound {
			t.Errorf("%s: %d", name, p.Status)
		}
	}
}

// TestSessionsAreNotFixed holds that a token from before the sign-in is worth
// nothing after it.
func TestSessionsAreNotFixed(t *testing.T) {
	s := newServer(t, false)
	s.coach()
	b := s.reader()
	planted := "planted-by-somebody-else"
	at, _ := url.Parse(s.url)
	b.client.Jar.SetCookies(at, []*http.Cookie{{Name: "thole", Value: planted}})
	b.post("/sign-in", url.Values{"name": {"Carla"}, "password": {secret}})
	for _, c := range b.client.Jar.Cookies(at) {
		if c.Name == "thole" && c.Value == planted {
			t.Error("the token stayed")
		}
	}
	other := s.reader()
	other.client.Jar.SetCookies(at, []*http.Cookie{{Name: "thole", Value: planted}})
	if p := other.get("/people"); p.Status != http.StatusSeeOther {
		t.Errorf("the planted token opens: %d", p.Status)
	}
}

func TestASignedInTokenChangesAtTheNextSignIn(t *testing.T) {
	s := newServer(t, false)
	b := s.coach()
	at, _ := url.Parse(s.url)
	token := func() (value string) {
		for _, c := range b.client.Jar.Cookies(at) {
			if c.Name == "thole" {
				value = c.Value
			}
		}
		return value
	}
	before := token()
	b.post("/sign-in", url.Values{"name": {"Carla"}, "password": {secret}})
	if token() == before {
		t.Error("the token stayed")
	}
}

func TestCookies(t *testing.T) {
	for _, secure := range []bool{false, true} {
		s := newServer(t, secure)
		link, _, err := s.service.People.FirstLink(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		p := s.reader().send(http.MethodPost, "/join/"+link.Secret, url.Values{"name": {"Carla"}, "password": {secret}, "long": {"true"}})
		cookies := (&http.Response{Header: p.Header}).Cookies()
		if len(cookies) != 2 {
			t.Fatal(cookies)
		}
		for _, c := range cookies {
			if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" || c.Secure != secure || strings.HasPrefix(c.Name, "__Host-") != secure {
				t.Errorf("secure %v: %s", secure, c)
			}
		}
	}
}

// TestAShortSessionEndsWithTheDay, and is no cookie that outlives the browser.
func TestAShortSessionEndsWithTheDay(t *testing.T) {
	s := newServer(t, false)
	s.coach()
	for long, want := range map[string]int{"": http.StatusSeeOther, "true": http.StatusOK} {
		b := s.reader()
		p := b.send(http.MethodPost, "/sign-in", url.Values{"name": {"Carla"}, "password": {secret}, "long": {long}})
		for _, c := range (&http.Response{Header: p.Header}).Cookies() {
			if c.Name == "thole" && (c.MaxAge > 0) != (long != "") {
				t.Errorf("long %q: %s", long, c)
			}
		}
		if long == "" { // the store of the sessions has the machine's clock: what has passed is taken off the deadline
			continue
		}
		*s.now = s.now.Add(13 * 24 * time.Hour)
		if p := b.get("/people"); p.Status != want {
			t.Errorf("13 days later, long %q: %d", long, p.Status)
		}
		*s.now = s.now.Add(15 * 24 * time.Hour)
		if p := b.get("/people"); p.Status != http.StatusSeeOther {
			t.Errorf("unused for 15 days: %d", p.Status)
		}
	}
}

// TestANewPasswordKeepsTheLengthOfTheSession: who asked to stay signed in does, and who did
// not has a cookie that goes with the browser, as before.
func TestANewPasswordKeepsTheLengthOfTheSession(t *testing.T) {
	s := newServer(t, false)
	s.coach()
	present := secret
	for _, long := range []string{"", "true"} {
		b, next := s.reader(), "another long one "+long
		b.post("/sign-in", url.Values{"name": {"Carla"}, "password": {present}, "long": {long}})
		p, found := b.send(http.MethodPost, "/account/password", url.Values{"present": {present}, "password": {next}}), false
		for _, c := range (&http.Response{Header: p.Header}).Cookies() {
			if c.Name != "thole" {
				continue
			}
			if found = true; (c.MaxAge > 0) != (long != "") {
				t.Errorf("long %q: %s", long, c)
			}
		}
		if present = next; !found || p.Status != http.StatusSeeOther {
			t.Errorf("long %q: %d, a new cookie: %t", long, p.Status, found)
		}
	}
}

// TestAClockThatGoesBack: whoever signed in while it was ahead stays so, the last use
// is told by the right clock from then on.
func TestAClockThatGoesBack(t *testing.T) {
	s := newServer(t, false)
	right := *s.now
	*s.now = right.Add(400 * 24 * time.Hour)
	coach := s.coach()
	*s.now = right
	coach.get("/people")
	*s.now = right.Add(idle + time.Hour)
	if p := coach.get("/people"); p.Status != http.StatusSeeOther {
		t.Errorf("unused since the clock went back: %d", p.Status)
	}
}

func TestAnotherSiteCannotSend(t *testing.T) {
	s := newServer(t, false)
	b := s.coach()
	for _, headers := range [][]string{{"Sec-Fetch-Site", "cross-site"}, {"Origin", "http://evil.example"}, {"Origin", "null"}} {
		if p := b.send(http.MethodPost, "/people/invite", url.Values{"name": {"Mallory"}, "role": {"coach"}}, headers...); p.Status != http.StatusForbidden {
			t.Errorf("%v: %d", headers, p.Status)
		}
	}
	if p := b.send(http.MethodPost, "/people/invite", url.Values{"name": {"Bert"}, "role": {"coach"}}, "Origin", s.url); p.Status != http.StatusOK {
		t.Errorf("from its own page: %d", p.Status)
	}
}

func TestSigningInLeadsOnlyToThisServer(t *testing.T) {
	s := newServer(t, false)
	s.coach()
	for next, want := range map[string]string{
		"/boats?x=1": "/boats?x=1", "": "/", "https://evil.example/": "/", "//evil.example": "/", `/\evil.example`: "/", "/sign-in?next=/": "/", "javascript:alert(1)": "/",
	} {
		if to := s.reader().post("/sign-in", url.Values{"name": {"Carla"}, "password": {secret}, "next": {next}}); to != want {
			t.Errorf("%q leads to %q", next, to)
		}
	}
}

// TestGuessingIsLimited by account and address, without keeping out who is known
// or who else is behind the address.
func TestGuessingIsLimited(t *testing.T) {
	s := newServer(t, false)
	known := s.coach()
	boatman := s.reader()
	boatman.join(known.made("/people/invite", url.Values{"name": {"Bert"}, "role": {"boatman"}})[0], "Bert")
	guess := func(b *reader, name, password string) int {
		t.Helper()
		return b.send(http.MethodPost, "/sign-in", url.Values{"name": {name}, "password": {password}}).Status
	}
	guesser := s.reader()
	for i := range 10 {
		if status := guess(guesser, "carla", fmt.Sprint("guess", i)); status != http.StatusUnauthorized {
			t.Fatalf("guess %d: %d", i, status)
		}
	}
	if status := guess(guesser, "Carla", secret); status != http.StatusTooManyRequests {
		t.Errorf("the eleventh, and right: %d", status)
	}
	if status := guess(s.reader(), "Bert", secret); status != http.StatusSeeOther {
		t.Errorf("another account behind the same address: %d", status)
	}
	if status := guess(known, "Carla", secret); status != http.StatusSeeOther {
		t.Errorf("in the browser that knows the account: %d", status)
	}
	away := s.reader()
	away.from = "192.168.1.77"
	if status := guess(away, "Carla", secret); status != http.StatusSeeOther {
		t.Errorf("from elsewhere: %d", status)
	}
	*s.now = s.now.Add(90 * time.Second)
	if status := guess(guesser, "Carla", "guess"); status != http.StatusUnauthorized {
		t.Errorf("a minute and a half later: %d", status)
	}
	if status := guess(guesser, "Carla", "guess"); status != http.StatusTooManyRequests {
		t.Errorf("and once more: %d", status)
	}
	// From everywhere: 30 in a row, then one in two minutes; the known browser
	// goes on.
	*s.now = s.now.Add(24 * time.Hour)
	refused := 0
	for i := range 40 {
		spread := s.reader()
		spread.from = fmt.Sprintf("2001:db8:0:%x::1", i)
		if guess(spread, "Carla", "guess") == http.StatusTooManyRequests {
			refused++
		}
	}
	if refused != 10 {
		t.Errorf("%d of 40 from everywhere refused, want 10", refused)
	}
	if status := guess(known, "Carla", secret); status != http.StatusSeeOther {
		t.Errorf("in the browser that knows the account: %d", status)
	}
}

func TestAthletesSeeOnlyWhatIsTheirs(t *testing.T) {
	s := newServer(t, false)
	_, _, athlete, own := s.club()
	if p := athlete.get("/"); p.Status != http.StatusOK || !strings.Contains(p.Body, fmt.Sprintf("/athletes/%d", own.ID)) || strings.Contains(p.Body, `href="/line-ups"`) {
		t.Errorf("start page: %d %s", p.Status, text(p.Body))
	}
	// Every page that can be reached is read; none names another athlete.
	others := map[string]bool{}
	for _, a := range s.athletes() {
		if a.ID != own.ID {
			others[a.Label] = true
		}
	}
	seen, queue := map[string]bool{"/": true}, []string{"/"}
	for len(queue) > 0 && len(seen) < 250 {
		path := queue[0]
		queue = queue[1:]
		p := athlete.get(path)
		if p.Status == http.StatusForbidden || p.Status >= http.StatusInternalServerError {
			t.Errorf("a link leads to %s: %d", path, p.Status)
		}
		for name := range others {
			if strings.Contains(p.Body, name) {
				t.Errorf("%s names %s", path, name)
			}
		}
		for _, m := range regexp.MustCompile(`<a [^>]*href="(/[^"#]*)`).FindAllStringSubmatch(p.Body, -1) {
			to := strings.ReplaceAll(m[1], "&amp;", "&")
			if bare, _, _ := strings.Cut(to, "?"); !seen[bare] && !strings.HasPrefix(to, "/api") {
				seen[bare] = true
				queue = append(queue, to)
			}
		}
	}
	if len(seen) < 20 {
		t.Errorf("only %d pages were reached", len(seen))
	}
	other := s.athletes()[0].ID
	if other == own.ID {
		other = s.athletes()[1].ID
	}
	for path, want := range map[string]int{
		fmt.Sprintf("/athletes/%d", own.ID): http.StatusOK, fmt.Sprintf("/athletes/%d", other): http.StatusNotFound, "/athletes": http.StatusForbidden,
		"/line-ups": http.StatusForbidden, "/seat-races": http.StatusForbidden, "/recordings/squad": http.StatusForbidden, "/squad": http.StatusForbidden, "/people": http.StatusForbidden,
		fmt.Sprintf("/api/v1/athletes/%d", other): http.StatusNotFound, "/api/v1/athletes": http.StatusForbidden, "/api/v1/squad/table.csv": http.StatusForbidden,
		fmt.Sprintf("/athletes/%d/edit", own.ID): http.StatusForbidden,
	} {
		if p := athlete.get(path); p.Status != want {
			t.Errorf("%s: %d, want %d", path, p.Status, want)
		}
	}
	mine, all := athlete.get("/api/v1/recordings?athlete_id=0").Body, strings.Count(athlete.get("/api/v1/recordings").Body, `"athlete_id"`)
	if all == 0 || strings.Count(mine, fmt.Sprintf(`"athlete_id":%d`, own.ID)) != all {
		t.Errorf("recordings of others: %.300s", mine)
	}
}

// TestTheAccountSigns holds that what is entered carries the account's name,
// whatever was typed.
func TestTheAccountSigns(t *testing.T) {
	s := newServer(t, false)
	_, boatman, athlete, own := s.club()
	athlete.post(fmt.Sprintf("/athletes/%d/measures", own.ID), url.Values{"measured_on": {s.service.Club.Today()}, "mass_kg": {"71.5"}, "measured_by": {"The coach"}})
	taken, err := s.service.Club.Measures(t.Context(), records.IDRequest{ID: own.ID})
	if err != nil || taken.Measures[0].MeasuredBy != "anna" || *taken.Measures[0].MassKg != 71.5 {
		t.Errorf("%+v %v", taken.Measures[0], err)
	}
	boatman.post("/oars", url.Values{"name": {"Spare"}, "kind": {"scull"}, "count": {"2"}, "by": {"The coach"}})
	if p := boatman.get("/oars"); !strings.Contains(p.Body, "Spare") {
		t.Fatal("the oars are not there")
	}
	sets, err := s.service.Fleet.OarSets(t.Context(), records.ListRequest{Name: "Spare"})
	if err != nil {
		t.Fatal(err)
	}
	p := boatman.get(fmt.Sprintf("/oars/%d", sets.OarSets[0].ID))
	if strings.Contains(p.Body, "The coach") || !strings.Contains(p.Body, "Bert") {
		t.Error("signed with the name that was typed")
	}
}

func TestBoatmenSeeNoScores(t *testing.T) {
	s := newServer(t, false)
	_, boatman, _, own := s.club()
	p := boatman.get(fmt.Sprintf("/athletes/%d", own.ID))
	if p.Status != http.StatusOK || strings.Contains(p.Body, "Ergometer") || strings.Contains(p.Body, "Race power") || strings.Contains(p.Body, "/edit") {
		t.Errorf("%d %s", p.Status, text(p.Body))
	}
	for _, path := range []string{"/recordings", "/line-ups", "/seat-races", "/squad", fmt.Sprintf("/api/v1/athletes/%d/ergometer", own.ID), "/api/v1/accounts"} {
		if p := boatman.get(path); p.Status != http.StatusForbidden {
			t.Errorf("%s: %d", path, p.Status)
		}
	}
	for _, path := range []string{"/", "/boats", "/setup?boat=1", "/athletes", "/tasks", "/links"} {
		if p := boatman.get(path); p.Status != http.StatusOK {
			t.Errorf("%s: %d", path, p.Status)
		}
	}
}

func TestTokensOfPrograms(t *testing.T) {
	s := newServer(t, false)
	coach, _, athlete, own := s.club()
	token := func(b *reader, form url.Values) string {
		t.Helper()
		p := b.send(http.MethodPost, "/account/tokens", form)
		m := regexp.MustCompile(`<code>([\w-]{43})</code>`).FindStringSubmatch(p.Body)
		if m == nil {
			t.Fatalf("no token: %d %s", p.Status, text(p.Body))
		}
		if strings.Contains(b.get("/account").Body, m[1]) {
			t.Error("the token is shown twice")
		}
		return m[1]
	}
	reads, writes := token(coach, url.Values{"name": {"reads"}}), token(coach, url.Values{"name": {"writes"}, "write": {"true"}})
	athletes := token(athlete, url.Values{"name": {"watch"}, "write": {"true"}})
	program := s.reader()
	ask := func(secret, method, path string) int {
		t.Helper()
		return program.send(method, path, nil, "Authorization", "Bearer "+secret).Status
	}
	for _, c := range []struct {
		secret, method, path string
		want                 int
	}{
		{reads, http.MethodGet, "/api/v1/athletes", http.StatusOK},
		{reads, http.MethodPost, "/api/v1/athletes", http.StatusForbidden},
		{reads, http.MethodPost, "/api/v1/rigging/solve", http.StatusUnsupportedMediaType}, // let in, and then no JSON
		{reads, http.MethodDelete, "/api/v1/tasks/1", http.StatusForbidden},
		{writes, http.MethodPost, "/api/v1/athletes", http.StatusUnsupportedMediaType},
		{athletes, http.MethodGet, "/api/v1/athletes", http.StatusForbidden},
		{athletes, http.MethodGet, fmt.Sprintf("/api/v1/athletes/%d", own.ID), http.StatusOK},
		{reads + "x", http.MethodGet, "/api/v1/athletes", http.StatusUnauthorized},
		{"", http.MethodGet, "/api/v1/athletes", http.StatusUnauthorized},
	} {
		if got := ask(c.secret, c.method, c.path); got != c.want {
			t.Errorf("%s %s with %.4s: %d, want %d", c.method, c.path, c.secret, got, c.want)
		}
	}
	id := regexp.MustCompile(`/account/tokens/(\d+)`).FindStringSubmatch(coach.get("/account").Body)[1]
	if p := athlete.send(http.MethodPost, "/account/tokens/"+id, nil); p.Status != http.StatusNotFound {
		t.Errorf("another's token: %d", p.Status)
	}
	coach.post("/account/tokens/"+id, nil)
	if got := ask(writes, http.MethodGet, "/api/v1/me"); got != http.StatusUnauthorized {
		t.Errorf("a token that was removed: %d", got)
	}
	bearer := func(secret, method, path, body string) (int, string) {
		r, err := http.NewRequest(method, s.url+path, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Authorization", "Bearer "+secret)
		r.Header.Set("Content-Type", "application/json")
		p := answerOf(t, program, r)
		return p.Status, p.Body
	}
	*s.now = s.now.Add(300 * 24 * time.Hour)
	if status, body := bearer(athletes, http.MethodPost, "/api/v1/tokens", `{"name":"mine","scopes":["read"]}`); status != http.StatusCreated || !strings.Contains(body, `"secret"`) {
		t.Errorf("a token by a token: %d %s", status, body)
	} else if inner := regexp.MustCompile(`"secret":\s*"([^"]+)"`).FindStringSubmatch(body)[1]; true {
		for _, c := range []struct {
			method, path, body string
			want               int
			says               string
		}{
			{http.MethodGet, "/api/v1/tokens", "", http.StatusOK, `"mine"`},
			{http.MethodPost, "/api/v1/tokens", `{"name":"more","scopes":["read"]}`, http.StatusForbidden, ""},
			{http.MethodDelete, "/api/v1/tokens/1", "", http.StatusForbidden, ""},
		} {
			if status, body := bearer(inner, c.method, c.path, c.body); status != c.want || !strings.Contains(body, c.says) || strings.Contains(body, inner) {
				t.Errorf("%s %s: %d %s", c.method, c.path, status, body)
			}
		}
		*s.now = s.now.Add(66 * 24 * time.Hour)
		if status, _ := bearer(inner, http.MethodGet, "/api/v1/tokens", ""); status != http.StatusUnauthorized {
			t.Errorf("a token outlives the one that made it: %d", status)
		}
		*s.now = s.now.Add(-66 * 24 * time.Hour)
	}
	if status, body := bearer(athletes, http.MethodPost, "/api/v1/tokens", `{"name":"mine","scopes":["rule"]}`); status != http.StatusUnprocessableEntity {
		t.Errorf("a scope that is none: %d %s", status, body)
	}
	if status, _ := bearer(athletes, http.MethodDelete, "/api/v1/tokens/1", ""); status != http.StatusNotFound {
		t.Errorf("another's token: %d", status)
	}
	*s.now = s.now.Add(66 * 24 * time.Hour)
	if got := ask(reads, http.MethodGet, "/api/v1/me"); got != http.StatusUnauthorized {
		t.Errorf("a year later: %d", got)
	}
}

func TestANewPasswordEndsTheOtherSessions(t *testing.T) {
	s := newServer(t, false)
	b := s.coach()
	other := s.reader()
	other.post("/sign-in", url.Values{"name": {"Carla"}, "password": {secret}})
	if p := b.send(http.MethodPost, "/account/password", url.Values{"present": {"wrong"}, "password": {"another long one"}}); p.Status != http.StatusUnprocessableEntity {
		t.Errorf("a wrong present one: %d", p.Status)
	}
	*s.now = s.now.Add(time.Second)
	stamp := time.Now().Add(time.Second)
	*s.now = stamp
	b.post("/account/password", url.Values{"present": {secret}, "password": {"another long one"}})
	if p := b.get("/account"); p.Status != http.StatusOK {
		t.Errorf("who changed it: %d", p.Status)
	}
	if p := other.get("/account"); p.Status != http.StatusSeeOther {
		t.Errorf("elsewhere: %d", p.Status)
	}
}

func TestACoachResetsAPassword(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, _, _ := s.club()
	id := regexp.MustCompile(`/people/(\d+)/password`).FindStringSubmatch(coach.get("/people").Body)[1]
	link := coach.made("/people/"+id+"/password", nil)[0]
	b := s.reader()
	*s.now = time.Now().Add(time.Second)
	if to := b.post(link, url.Values{"password": {"a fresh start here"}}); to != "/" {
		t.Error(to)
	}
	if p := s.reader().send(http.MethodPost, link, url.Values{"password": {"a fresh start again"}}); p.Status != http.StatusGone {
		t.Errorf("used twice: %d", p.Status)
	}
	if p := boatman.send(http.MethodPost, "/people/1/password", nil); p.Status != http.StatusForbidden {
		t.Errorf("by a boatman: %d", p.Status)
	}
}

func TestSessionsAreListedAndEnded(t *testing.T) {
	s := newServer(t, false)
	b := s.coach()
	other := s.reader()
	other.post("/sign-in", url.Values{"name": {"Carla"}, "password": {secret}})
	page := b.get("/account")
	id := regexp.MustCompile(`name="id" value="(\w+)"`).FindStringSubmatch(page.Body)
	if strings.Count(page.Body, "last used") != 2 || id == nil {
		t.Fatal(text(page.Body))
	}
	b.post("/account/sessions", url.Values{"id": {id[1]}})
	if p := other.get("/account"); p.Status != http.StatusSeeOther {
		t.Errorf("the other session: %d", p.Status)
	}
	b.post("/sign-out", nil)
	if p := b.get("/account"); p.Status != http.StatusSeeOther {
		t.Errorf("after signing out: %d", p.Status)
	}
}

// TestARoleCanBeChanged: it counts from the next request on, and the only coach
// stays one. A program does the same, and signs with its account.
func TestARoleCanBeChanged(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, _, own := s.club()
	accounts, err := s.service.People.Accounts(t.Context(), struct{}{})
	if err != nil {
		t.Fatal(err)
	}
	ids := map[string]int64{}
	for _, a := range accounts.Accounts {
		ids[string(a.Role)] = a.ID
	}
	at := func(role string) string { return fmt.Sprintf("/people/%d/role", ids[role]) }
	if p := boatman.get("/athletes/new"); p.Status != http.StatusForbidden {
		t.Errorf("as a boatman: %d", p.Status)
	}
	coach.post(at("boatman"), url.Values{"role": {"coach"}})
	if p := boatman.get("/athletes/new"); p.Status != http.StatusOK {
		t.Errorf("as a coach: %d", p.Status)
	}
	coach.post(at("boatman"), url.Values{"role": {"boatman"}})
	for name, c := range map[string]struct {
		role, athlete, says string
		status              int
	}{
		"the only coach": {"coach", "", "only coach", http.StatusConflict}, "no record": {"boatman", "", "whose record", http.StatusUnprocessableEntity},
		"another's": {"boatman", fmt.Sprint(own.ID), "Another account", http.StatusUnprocessableEntity},
	} {
		to := "athlete"
		if c.role == "coach" {
			to = "boatman"
		}
		p := coach.send(http.MethodPost, at(c.role), url.Values{"role": {to}, "athlete_id": {c.athlete}})
		if p.Status != c.status || !strings.Contains(p.Body, c.says) {
			t.Errorf("%s: %d %s", name, p.Status, text(p.Body))
		}
	}
	if p := boatman.send(http.MethodPost, at("athlete"), url.Values{"role": {"coach"}}); p.Status != http.StatusForbidden {
		t.Errorf("by a boatman: %d", p.Status)
	}
}

func TestAnAccountThatIsRemovedIsOut(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, _, _ := s.club()
	for _, m := range regexp.MustCompile(`/people/(\d+)/remove`).FindAllStringSubmatch(coach.get("/people").Body, -1) {
		coach.post("/people/"+m[1]+"/remove", nil)
	}
	if p := boatman.get("/boats"); p.Status != http.StatusSeeOther {
		t.Errorf("%d", p.Status)
	}
	sweeping, end := context.WithCancel(t.Context())
	defer end()
	go s.gate.Sweep(sweeping)
	for tries := 0; ; tries++ {
		kept, err := s.service.People.Sessions().AllCtx(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if len(kept) == 1 { // the coach's
			break
		}
		if tries > 500 {
			t.Fatalf("%d sessions are still kept", len(kept))
		}
		time.Sleep(10 * time.Millisecond)
	}
	if p := coach.send(http.MethodPost, "/people/1/remove", nil); p.Status != http.StatusConflict || !strings.Contains(p.Body, "only coach") {
		t.Errorf("the last coach: %d", p.Status)
	}
}

func TestALinkShowsOnePage(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, athlete, _ := s.club()
	address := "/setup?boat=1"
	link := boatman.made("/links", url.Values{"address": {address}, "name": {"Set-up"}, "days": {"7"}})[0]
	guest := s.reader()
	p := guest.get(link)
	if p.Status != http.StatusOK || !strings.Contains(p.Body, "Read-only, from Bert") || p.Header.Get("Referrer-Policy") != "no-referrer" {
		t.Fatalf("%d %s", p.Status, text(p.Body))
	}
	for _, what := range []string{"<form", "<button", "<script", "<input", "<nav", `href="/boats`} {
		if strings.Contains(p.Body, what) {
			t.Errorf("the page holds %s", what)
		}
	}
	if p := guest.get(address); p.Status != http.StatusSeeOther {
		t.Errorf("the page itself: %d", p.Status)
	}
	for _, bad := range []string{"/people", "/athletes", "https://evil.example/", "/boats/1", "/see/x", ""} {
		if p := coach.send(http.MethodPost, "/links", url.Values{"address": {bad}, "name": {"x"}, "days": {"7"}}); p.Status != http.StatusUnprocessableEntity {
			t.Errorf("sharing %q: %d", bad, p.Status)
		}
	}
	if p := athlete.send(http.MethodPost, "/links", url.Values{"address": {address}, "name": {"x"}, "days": {"7"}}); p.Status != http.StatusForbidden {
		t.Errorf("by an athlete: %d", p.Status)
	}
	if p := coach.get("/links"); !strings.Contains(p.Body, "Set-up") || strings.Contains(p.Body, strings.TrimPrefix(link, "/see/")) {
		t.Errorf("the list: %s", text(p.Body))
	}
	id := regexp.MustCompile(`/links/(\d+)/revoke`).FindStringSubmatch(coach.get("/links").Body)[1]
	coach.post("/links/"+id+"/revoke", nil)
	if p := guest.get(link); p.Status != http.StatusNotFound {
		t.Errorf("revoked: %d", p.Status)
	}
	second := boatman.made("/links", url.Values{"address": {address}, "name": {"Set-up"}, "days": {"1"}})[0]
	*s.now = s.now.Add(24 * time.Hour)
	if p := guest.get(second); p.Status != http.StatusGone {
		t.Errorf("expired: %d", p.Status)
	}
}

// TestNoMinorIsOnASharedPage shares the crews of a seat race: the coach sees every
// name on the page itself.
func TestNoMinorIsOnASharedPage(t *testing.T) {
	s := newServer(t, false)
	coach, _, _, _ := s.club()
	crew := []seatrace.RaceParticipant{}
	for name, years := range map[string]int{"Mia Ekdahl": 15, "Ola Nyman": 30} {
		born := s.now.AddDate(-years, 0, 0).Format(time.DateOnly)
		a, err := s.service.Club.AddAthlete(t.Context(), club.NewAthlete{By: "Ines", AthleteFields: club.AthleteFields{Name: name, BirthDate: &born, Sculls: true, Note: "asthma"}})
		if err != nil {
			t.Fatal(err)
		}
		crew = append(crew, seatrace.RaceParticipant{AthleteID: &a.ID, Name: name})
	}
	race, err := s.service.Seatrace.CreateRace(t.Context(), seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{
		Name: "Trial", BoatClass: "1x", Athletes: crew, By: "Ines", Pieces: []seatrace.RaceScheduledPiece{{Crews: [][]string{{"Mia Ekdahl"}, {"Ola Nyman"}}}},
	}})
	if err != nil {
		t.Fatal(err)
	}
	address := fmt.Sprintf("/seat-races/%d/crews", race.ID)
	if p := coach.get(address).Body; !strings.Contains(p, "Ekdahl") || !strings.Contains(p, "Nyman") {
		t.Errorf("the page itself: %s", text(p))
	}
	link := coach.made("/links", url.Values{"address": {address}, "name": {"Crews"}, "days": {"7"}})[0]
	if p := s.reader().get(link).Body; strings.Contains(p, "Ekdahl") || strings.Contains(p, "Mia") || !strings.Contains(p, "Junior") || !strings.Contains(p, "Nyman") {
		t.Errorf("shared: %s", text(p))
	}
}

func TestABoatmanRevokesNoInvitation(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, _, _ := s.club()
	coach.made("/people/invite", url.Values{"name": {"Dora"}, "role": {"coach"}})
	id := regexp.MustCompile(`/links/(\d+)/revoke`).FindStringSubmatch(coach.get("/people").Body)[1]
	if p := boatman.send(http.MethodPost, "/links/"+id+"/revoke", nil); p.Status != http.StatusNotFound {
		t.Errorf("%d", p.Status)
	}
	if p := boatman.get("/links"); strings.Contains(p.Body, "Dora") {
		t.Error("sees invitations")
	}
}

func TestMeasuresComeInByLink(t *testing.T) {
	s := newServer(t, false)
	coach, own := s.coach(), s.athletes()[0]
	boats, err := s.service.Fleet.Boats(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	boat, err := s.service.Fleet.Boat(t.Context(), records.IDRequest{ID: boats.Boats[0].ID})
	if err != nil {
		t.Fatal(err)
	}
	path := fmt.Sprintf("/athletes/%d/link", own.ID)
	if p := coach.send(http.MethodPost, path, url.Values{"at": {people.PlaceOf(boat.ID, 99)}}); p.Status != http.StatusUnprocessableEntity {
		t.Errorf("seat 99: %d", p.Status)
	}
	link := coach.made(path, url.Values{"at": {people.PlaceOf(boat.ID, 1)}})[0]
	guest := s.reader()
	if p := guest.get(link); p.Status != http.StatusOK || strings.Count(p.Body, `class="how"`) < 9 || !strings.Contains(p.Body, boat.Name) {
		t.Fatalf("%d %s", p.Status, text(p.Body))
	}
	for name, form := range map[string]url.Values{
		"nothing": {}, "words": {"stature_cm": {"tall"}}, "a body": {"stature_cm": {"17"}}, "a rig": {"gate_height_cm": {"900"}, "mass_kg": {"70"}},
	} {
		p := guest.send(http.MethodPost, link, form)
		if p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "aria-invalid") {
			t.Errorf("%s: %d %s", name, p.Status, text(p.Body))
		}
	}
	form := url.Values{"stature_cm": {"181.5"}, "arm_span_cm": {"185"}, "gate_height_cm": {"16.2"}}
	if to := guest.post(link, form); to != link+"?done" {
		t.Error(to)
	}
	if p := guest.get(link + "?done"); !strings.Contains(p.Body, "Thank you") {
		t.Error("no thanks")
	}
	taken, err := s.service.Club.Measures(t.Context(), records.IDRequest{ID: own.ID})
	if err != nil || *taken.Measures[0].StatureCm != 181.5 || !strings.HasSuffix(taken.Measures[0].MeasuredBy, ", by link") {
		t.Errorf("%+v %v", taken.Measures[0], err)
	}
	now, err := s.service.Fleet.Boat(t.Context(), records.IDRequest{ID: boat.ID})
	if err != nil || *now.Seats[0].Seat.GateHeightCm != 16.2 {
		t.Errorf("%v %v", now.Seats[0].Seat.GateHeightCm, err)
	}
	if p := coach.get("/"); !strings.Contains(p.Body, "Measures of "+own.Name) {
		t.Errorf("the coach does not see it: %s", text(p.Body))
	}
	*s.now = s.now.Add(15 * 24 * time.Hour)
	if p := guest.send(http.MethodPost, link, form); p.Status != http.StatusGone {
		t.Errorf("expired: %d", p.Status)
	}
}

func TestWhatIsSentToTheBoatman(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, athlete, _ := s.club()
	task := url.Values{"what": {"Set up Halcyon"}, "address": {"/setup?boat=1"}, "note": {"by Friday"}}
	if to := coach.post("/tasks", task); to != "/tasks" {
		t.Error(to)
	}
	coach.post("/tasks", task)
	p := boatman.get("/")
	if strings.Count(p.Body, "Set up Halcyon") != 1 || !strings.Contains(p.Body, "from Carla") {
		t.Errorf("start page: %s", text(p.Body))
	}
	list := boatman.get("/tasks")
	if !strings.Contains(list.Body, `href="/setup?boat=1"`) || !strings.Contains(list.Body, "by Friday") {
		t.Errorf("list: %s", text(list.Body))
	}
	id := regexp.MustCompile(`/tasks/(\d+)/done`).FindStringSubmatch(list.Body)[1]
	boatman.post("/tasks/"+id+"/done", nil)
	if p := coach.get("/tasks"); !strings.Contains(p.Body, "by Bert") || !strings.Contains(p.Body, "Nothing waits") {
		t.Errorf("done: %s", text(p.Body))
	}
	for _, bad := range []url.Values{{"what": {"x"}, "address": {"https://evil.example/"}}, {"what": {""}, "address": {"/"}}, {"what": {"x"}, "address": {"javascript:alert(1)"}}} {
		if p := coach.send(http.MethodPost, "/tasks", bad); p.Status != http.StatusUnprocessableEntity {
			t.Errorf("%v: %d", bad, p.Status)
		}
	}
	if p := athlete.send(http.MethodPost, "/tasks", task); p.Status != http.StatusForbidden {
		t.Errorf("by an athlete: %d", p.Status)
	}
}

func TestPagesThatGoToAPhone(t *testing.T) {
	s := newServer(t, false)
	coach, _, athlete, _ := s.club()
	for _, path := range []string{"/seat", "/setup?boat=1"} {
		p := coach.get(path)
		if !strings.Contains(p.Body, `class="p-code"`) || !strings.Contains(p.Body, s.url+path) || !strings.Contains(p.Body, "not encrypted") {
			t.Errorf("%s: %s", path, text(p.Body))
		}
	}
	if p := athlete.get("/seat"); !strings.Contains(p.Body, `class="p-code"`) || strings.Contains(p.Body, `action="/links"`) {
		t.Error("an athlete's page")
	}
	if p := newServer(t, true).reader().get("/sign-in"); strings.Contains(p.Body, "not encrypted") {
		t.Error("an encrypted connection is told as none")
	}
}

// TestWithoutAccountsNoneOfItIsThere holds that the server of one machine is as
// it was.
func TestWithoutAccountsNoneOfItIsThere(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, path := range []string{"/sign-in", "/people", "/account", "/links", "/tasks", "/join/x", "/see/x", "/measure/x"} {
		if p := c.Get(path); p.Status != http.StatusNotFound {
			t.Errorf("%s: %d", path, p.Status)
		}
	}
	for _, path := range []string{"/", "/seat", "/setup?boat=1", "/athletes"} {
		if body := c.Opened(path); strings.Contains(body, `class="carry"`) || strings.Contains(body, "not encrypted") || strings.Contains(body, "/people") {
			t.Errorf("%s speaks of accounts", path)
		}
	}
}

// TestPrintedPagesLeadToAPhone: reports and seats have their code on paper, lists not.
func TestPrintedPagesLeadToAPhone(t *testing.T) {
	s := newServer(t, false)
	coach := s.coach()
	for path, want := range map[string]bool{"/reports/1": true, "/seat?class=1x": true, "/recordings/1": false, "/athletes": false} {
		if body := coach.get(path).Body; strings.Contains(body, `class="paperqr"><svg`) != want {
			t.Errorf("%s has a code on paper: %v, want %v", path, !want, want)
		}
	}
}
