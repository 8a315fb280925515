package seatrace_test

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api"
	"thole/api/club"
	"thole/api/records"
	"thole/api/schedule"
	"thole/api/seatrace"
	"thole/api/storetest"
	"thole/ui"
	"thole/ui/page"
	"thole/ui/uitest"
)

// raceSite serves the pages over records of their own, and returns the
// service behind them.
func raceSite(t testing.TB) (*httptest.Server, *api.Service) {
	t.Helper()
	service := api.NewService(storetest.Open(t))
	pages, err := ui.New(nil, service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", uitest.Policy)
		pages.ServeHTTP(w, r.WithContext(page.WithReach(r.Context(), page.Reach{Base: "https://boathouse.example"})))
	}))
	t.Cleanup(func() {
		server.Close()
		service.Close()
	})
	return server, service
}

// awkward are names that a page must bear.
var awkward = []string{`<b>Ann</b>`, "Bea", "Cat", `Dot "the" O'Neil-Sandström von und zu Langenfeld`}

// newRace puts a seat race of two doubles on record with some pieces raced.
func newRace(t testing.TB, s *api.Service, names []string, raced int) seatrace.Race {
	t.Helper()
	var r seatrace.CreateRaceRequest
	r.Name, r.BoatClass, r.HeldOn = "Saturday <i>", "2x", "2026-03-14"
	for _, n := range names {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: n})
	}
	a, b, c, d := names[0], names[1], names[2], names[3]
	for _, crews := range [][][]string{{{a, b}, {c, d}}, {{c, b}, {a, d}}, {{a, b}, {c, d}}, {{a, d}, {c, b}}} {
		r.Pieces = append(r.Pieces, seatrace.RaceScheduledPiece{Crews: crews})
	}
	r.Terms = &schedule.RaceTerms{Boats: 2, Swaps: 1, RestMin: 10, ExpectedTimeS: 190, MeanPowerW: 300, SmallestW: 10}
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	times := [][2]float64{{190.2, 191.9}, {191.4, 190.6}, {190.8, 192.9}, {191.1, 191.9}}
	for i := range raced {
		race, err = s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: race.ID, Number: i + 1, Key: fmt.Sprint(i), TimesS: []*float64{&times[i][0], &times[i][1]}, By: "Coach"})
		if err != nil {
			t.Fatal(err)
		}
	}
	return race
}

const planQuery = "/seat-races/new?boat_class=2x&pieces=4&squad=Ann%0ABea%0ACat%0ADot"

func TestRacePagesRender(t *testing.T) {
	site, service := raceSite(t)
	if _, body := uitest.Fetch(t, site, "/seat-races"); !strings.Contains(body, "None yet") {
		t.Error("an empty list says nothing")
	}
	one := newRace(t, service, awkward, 4)
	two := newRace(t, service, []string{"Eva", "Flo", "Gina", "Ida"}, 0)
	for path, want := range map[string]string{
		"/seat-races":              "14 Mar 2026",
		"/seat-races?archived=yes": "Hide archived",
		"/seat-races/new":          "No schedule yet",
		planQuery:                  "Schedule</h2>",
		"/seat-races/new?boat_class=8%2B&pieces=2&squad=" + url.QueryEscape(strings.Join(letters(17), "\n")): "ashore",
		fmt.Sprintf("/seat-races/%d", one.ID):                 "Chance that the row is faster",
		fmt.Sprintf("/seat-races/%d?view=absolute", one.ID):   ">Times</strong>",
		fmt.Sprintf("/seat-races/%d?piece=2", one.ID):         "Correct piece 2",
		fmt.Sprintf("/seat-races/%d?piece=new", one.ID):       "Piece 5",
		fmt.Sprintf("/seat-races/%d?prior=ergometer", one.ID): "Fewer than two",
		fmt.Sprintf("/seat-races/%d", two.ID):                 "No ranking yet",
		fmt.Sprintf("/seat-races/%d/coach", one.ID):           "do not show it to the crews",
		fmt.Sprintf("/seat-races/%d/crews", one.ID):           "called from the launch",
		fmt.Sprintf("/seat-races/%d/why", one.ID):             "Pairs after 4 pieces: ",
		fmt.Sprintf("/seat-races/%d/why", two.ID):             "No piece has been raced yet.",
	} {
		status, body := uitest.Fetch(t, site, path)
		if status != http.StatusOK || !strings.Contains(body, want) || !strings.Contains(body, "</html>") {
			t.Errorf("%s: status %d, holds %q: %v", path, status, want, strings.Contains(body, want))
		}
		if strings.Contains(body, "<b>Ann</b>") || strings.Contains(body, "Saturday <i>") {
			t.Errorf("%s: a name's marks are not escaped", path)
		}
		if strings.Contains(body, "NaN") || strings.Contains(body, "Inf") || strings.Contains(body, "%!") {
			t.Errorf("%s: a number is none", path)
		}
	}
}

func letters(n int) []string {
	var list []string
	for i := range n {
		list = append(list, fmt.Sprintf("Rower %c", 'A'+i))
	}
	return list
}

func TestNoSuchRace(t *testing.T) {
	site, _ := raceSite(t)
	for _, path := range []string{"/seat-races/7", "/seat-races/x", "/seat-races/7/coach", "/seat-races/7/crews", "/seat-races/7/why", "/seat-races/7/replan"} {
		if status, _ := uitest.Fetch(t, site, path); status != http.StatusNotFound {
			t.Errorf("%s: %d", path, status)
		}
	}
	for _, path := range []string{"/seat-races/7/delete", "/seat-races/7/change", "/seat-races/7/add", "/seat-races/7/pieces/1"} {
		answer := uitest.Send(t, site, path, url.Values{"key": {"k"}}, false)
		if uitest.Read(t, answer); answer.StatusCode != http.StatusNotFound {
			t.Errorf("%s: %d", path, answer.StatusCode)
		}
	}
}

// TestCrewsPrintKeepsTheSwaps: nothing on it says who changes when.
func TestCrewsPrintKeepsTheSwaps(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	_, body := uitest.Fetch(t, site, fmt.Sprintf("/seat-races/%d/crews", race.ID))
	for _, name := range []string{"Ann", "Bea", "Cat", "Dot"} {
		// Once in words and once in the drawing of the first piece.
		if n := strings.Count(body, name); n != 2 {
			t.Errorf("%s is named %d times, want 2", name, n)
		}
	}
	if strings.Contains(body, "mover") || strings.Contains(body, "change places") {
		t.Error("the print tells of changes")
	}
	_, body = uitest.Fetch(t, site, fmt.Sprintf("/seat-races/%d/coach", race.ID))
	if !strings.Contains(body, "Cat and Ann change") {
		t.Error("the coach’s print does not tell the swap")
	}
}

// TestASquadOfSurnamesFirst walks a day with names as clubs list them: the schedule,
// the crews as typed in the launch, a name of two, the matrix.
func TestASquadOfSurnamesFirst(t *testing.T) {
	site, service := raceSite(t)
	for _, name := range []string{"Mensah-Bright, Kofi", "Lee, Ann", "Lee, Bea", "van der Berg, Jan"} {
		if _, err := service.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: name, Sculls: true}, By: "Coach"}); err != nil {
			t.Fatal(err)
		}
	}
	form := url.Values{
		"boat_class": {"2x"}, "squad": {"Mensah-Bright, Kofi\nLee, Ann\nLee B.\nvan der Berg"}, "pieces": {"4"}, "pairs": {"Lee, Ann, Mensah-Bright\nLee, Bea / Jan"},
		"name": {"Saturday"}, "held_on": {"2026-03-14"}, "by": {"Coach"},
	}
	answer := uitest.Send(t, site, "/seat-races", form, false)
	if body := uitest.Read(t, answer); answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("%d %s", answer.StatusCode, regexp.MustCompile(`<p class="problem[^<]*<`).FindAllString(body, -1))
	}
	entry := url.Values{"key": {"a"}, "t1": {"3:10"}, "t2": {"3:11.5"}, "crews": {"Lee, Ann, Lee, Bea\nvan der Berg, Mensah-Bright"}, "by": {"Coach"}}
	answer = uitest.Send(t, site, "/seat-races/1/pieces/1", entry, false)
	if body := uitest.Read(t, answer); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("crews of surnames: %d, does not take part: %v", answer.StatusCode, strings.Contains(body, "does not take part"))
	}
	entry.Set("key", "b")
	entry.Set("crews", "Lee, Jan\nMensah-Bright, Bea")
	answer = uitest.Send(t, site, "/seat-races/1/pieces/2", entry, false)
	if body := uitest.Read(t, answer); answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, "“Lee” can be Lee A. or Lee B.: write which one.") || !strings.Contains(body, "Mensah-Bright, Bea</textarea>") {
		t.Errorf("one name for two: %d", answer.StatusCode)
	}
	_, body := uitest.Fetch(t, site, "/seat-races/1")
	uitest.WantIn(t, "the matrix", body, `<th scope="col">Lee A.</th>`)
	form.Set("squad", "Lee\nMensah-Bright\nLee, Bea\nJan van der Berg")
	answer = uitest.Send(t, site, "/seat-races", form, false)
	if body := uitest.Read(t, answer); answer.StatusCode != 422 || !strings.Contains(body, "“Lee” can be Lee A. or Lee B.: write which one.") {
		t.Errorf("one name for two in the squad: %d", answer.StatusCode)
	}
}

// TestSinglesAreNotScheduledAgain: no schedule can be made of boats with one seat.
func TestSinglesAreNotScheduledAgain(t *testing.T) {
	site, service := raceSite(t)
	for class, crews := range map[string][][]string{"1x": {{"Ann"}, {"Bea"}}, "2x": {{"Ann", "Bea"}, {"Cat", "Dot"}}} {
		race, err := service.Seatrace.CreateRace(t.Context(), seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{
			Name: class, HeldOn: "2026-05-02", BoatClass: class, By: "Ines",
			Athletes: []seatrace.RaceParticipant{{Name: "Ann"}, {Name: "Bea"}, {Name: "Cat"}, {Name: "Dot"}},
			Pieces:   []seatrace.RaceScheduledPiece{{Crews: crews}},
		}})
		if err != nil {
			t.Fatal(err)
		}
		_, body := uitest.Fetch(t, site, fmt.Sprintf("/seat-races/%d", race.ID))
		if offered := strings.Contains(body, "Change the rest of the schedule"); offered != (class != "1x") {
			t.Errorf("%s: a new schedule is offered: %t", class, offered)
		}
	}
}

func TestPlanningWhatIsLeftAfresh(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 2)
	answer := uitest.Send(t, site, "/seat-races", url.Values{}, false)
	uitest.Read(t, answer)
	if answer.StatusCode != 422 {
		t.Errorf("an empty plan: %d", answer.StatusCode)
	}
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.Get(site.URL + fmt.Sprintf("/seat-races/%d/replan", race.ID))
	if err != nil {
		t.Fatal(err)
	}
	uitest.Read(t, answer)
	to, err := url.Parse(answer.Header.Get("Location"))
	if err != nil || to.Query().Get("pieces") != "2" {
		t.Fatalf("%v: %v", to, err)
	}
	form := to.Query()
	form.Set("pieces", "3")
	answer = uitest.Send(t, site, "/seat-races", form, false)
	uitest.Read(t, answer)
	after, err := service.Seatrace.Race(t.Context(), records.IDRequest{ID: race.ID})
	if err != nil || answer.StatusCode != 303 || len(after.Pieces) != 5 || *after.Pieces[1].TimesS[0] != 191.4 {
		t.Errorf("%d, %d pieces, %v", answer.StatusCode, len(after.Pieces), err)
	}
	answer = uitest.Send(t, site, "/seat-races", form, false) // from the old version again
	if body := uitest.Read(t, answer); answer.StatusCode != 409 || !strings.Contains(body, "in the meantime") {
		t.Errorf("an old version: %d", answer.StatusCode)
	}
}

func TestTimesFromTheLaunch(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	path := fmt.Sprintf("/seat-races/%d/pieces/2", race.ID)
	form := url.Values{"key": {"k2"}, "state": {"raced"}, "t1": {"3.11,4"}, "t2": {"+1.2 s"}, "by": {"Eva"}}
	answer := uitest.Send(t, site, path, form, false)
	uitest.Read(t, answer)
	if answer.StatusCode != 303 || !strings.HasSuffix(answer.Header.Get("Location"), "#now") {
		t.Fatalf("%d to %q", answer.StatusCode, answer.Header.Get("Location"))
	}
	live := uitest.Send(t, site, path, form, true) // the phone did not hear, and sends again
	fragment := uitest.Read(t, live)
	if live.StatusCode != 200 || strings.Contains(fragment, "<html") || !strings.Contains(fragment, "Boat 1 by 1.2 s") || !strings.Contains(fragment, "Entered by Eva") {
		t.Errorf("sent again: %d", live.StatusCode)
	}
	after, err := service.Seatrace.Race(t.Context(), records.IDRequest{ID: race.ID})
	if err != nil || after.Version != race.Version+1 {
		t.Errorf("version %d, want %d: %v", after.Version, race.Version+1, err)
	}
}

// TestRefusedTimesStayInTheForm types what cannot be, with script and without.
func TestRefusedTimesStayInTheForm(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	path := fmt.Sprintf("/seat-races/%d/pieces/2", race.ID)
	for typed, says := range map[string]string{"302": "type it so", "": "missing", "about three": "no time", "1:01": "no boat rows"} {
		form := url.Values{"key": {"my-key"}, "state": {"raced"}, "t1": {typed}, "t2": {"3:12.25"}, "note": {"a crab"}, "crews": {"Cat, Bea\nAnn, Dot"}}
		for _, htmx := range []bool{true, false} {
			answer := uitest.Send(t, site, path, form, htmx)
			body := uitest.OneLine(uitest.Read(t, answer))
			for _, want := range []string{says, `value="3:12.25"`, `value="my-key"`, `value="a crab"`, `aria-invalid="true" autofocus`, "Cat, Bea"} {
				if answer.StatusCode != 422 || !strings.Contains(body, want) {
					t.Errorf("%q, %v: %d, holds %q: %v", typed, htmx, answer.StatusCode, want, strings.Contains(body, want))
				}
			}
			if strings.Contains(body, "<html") == htmx {
				t.Errorf("%q: page and fragment are mixed up", typed)
			}
		}
	}
	form := url.Values{"key": {"k"}, "state": {"raced"}, "t1": {"3:10"}, "t2": {"3:11"}, "crews": {"Cat, Bea\nCat, Dot"}}
	answer := uitest.Send(t, site, path, form, false)
	if body := uitest.Read(t, answer); answer.StatusCode != 422 || !strings.Contains(body, "rows in boat 1 as well") {
		t.Errorf("in both boats: %d", answer.StatusCode)
	}
}

// TestTwoLaunchesTimeOnePiece: the second is shown the first's times, and
// overwrites them only knowingly.
func TestTwoLaunchesTimeOnePiece(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	path := fmt.Sprintf("/seat-races/%d/pieces/1", race.ID)
	form := url.Values{"key": {"other"}, "state": {"raced"}, "t1": {"3:11"}, "t2": {"3:12"}}
	answer := uitest.Send(t, site, path, form, false)
	body := uitest.Read(t, answer)
	if answer.StatusCode != 409 || !strings.Contains(body, "Coach entered: boat 1 3:10.2, boat 2 3:11.9") || !strings.Contains(body, `value="3:11"`) {
		t.Fatalf("%d", answer.StatusCode)
	}
	form.Set("version", regexp.MustCompile(`name="version" value="(\d+)"`).FindStringSubmatch(body)[1])
	form.Set("key", regexp.MustCompile(`name="key" value="(\w+)"`).FindStringSubmatch(body)[1])
	answer = uitest.Send(t, site, path, form, false)
	uitest.Read(t, answer)
	after, err := service.Seatrace.Race(t.Context(), records.IDRequest{ID: race.ID})
	if err != nil || answer.StatusCode != 303 || *after.Pieces[0].TimesS[0] != 191 {
		t.Errorf("%d: %v", answer.StatusCode, err)
	}
}

func TestAbandonedRerunAndTie(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	base := fmt.Sprintf("/seat-races/%d", race.ID)
	for path, form := range map[string]url.Values{
		base + "/pieces/2": {"key": {"a"}, "state": {"abandoned"}, "t1": {"nonsense"}, "t2": {""}},
		base + "/pieces/3": {"key": {"b"}, "state": {"raced"}, "t1": {"3:12"}, "t2": {"3:12"}},
	} {
		answer := uitest.Send(t, site, path, form, false)
		if uitest.Read(t, answer); answer.StatusCode != 303 {
			t.Errorf("%s: %d", path, answer.StatusCode)
		}
	}
	_, body := uitest.Fetch(t, site, base)
	for _, want := range []string{"Piece 2 was abandoned", "Dead heat of boats 1 and 2.", "Race it again: dead heat"} {
		if !strings.Contains(body, want) {
			t.Errorf("nothing of %q", want)
		}
	}
	answer := uitest.Send(t, site, base+"/add", url.Values{"rerun": {"3"}, "crews": {"Ann, Bea\nCat, Dot\n"}}, false)
	uitest.Read(t, answer)
	if _, body := uitest.Fetch(t, site, base); answer.StatusCode != 303 || !strings.Contains(body, "piece 3 again") {
		t.Errorf("no re-run: %d", answer.StatusCode)
	}
}

func TestChangingAndRemovingARace(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 2)
	base := fmt.Sprintf("/seat-races/%d", race.ID)
	form := url.Values{"version": {fmt.Sprint(race.Version)}, "name": {"Sunday"}, "held_on": {"2026-03-15"}, "note": {"flat"}, "by": {"Eva"}}
	answer := uitest.Send(t, site, base+"/change", form, false)
	uitest.Read(t, answer)
	_, body := uitest.Fetch(t, site, base)
	if answer.StatusCode != 303 || !strings.Contains(body, "<h1>Sunday</h1>") || !strings.Contains(body, "Name: Sunday (was") {
		t.Errorf("%d", answer.StatusCode)
	}
	answer = uitest.Send(t, site, base+"/change", form, false)
	if body := uitest.Read(t, answer); answer.StatusCode != 409 || !strings.Contains(body, "in the meantime") {
		t.Errorf("an old version: %d", answer.StatusCode)
	}
	form.Set("version", "4")
	form.Set("held_on", "soon")
	answer = uitest.Send(t, site, base+"/change", form, false)
	if body := uitest.Read(t, answer); answer.StatusCode != 422 || !strings.Contains(body, "year-month-day") {
		t.Errorf("a wrong day: %d", answer.StatusCode)
	}
	answer = uitest.Send(t, site, base+"/delete", nil, false)
	uitest.Read(t, answer)
	if status, _ := uitest.Fetch(t, site, base); status != 404 {
		t.Errorf("deleted and still there: %d", status)
	}
}

// bigRace is 16 athletes in two eights with eight pieces raced.
func bigRace(t testing.TB, s *api.Service) int64 {
	t.Helper()
	names := letters(16)
	var r seatrace.CreateRaceRequest
	r.Name, r.BoatClass = "Eights", "8+"
	for i, n := range names {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: n, Side: []string{"port", "starboard"}[i%2]})
	}
	for k := range 8 {
		crews := [][]string{append([]string{}, names[:8]...), append([]string{}, names[8:]...)}
		crews[0][k], crews[1][k] = crews[1][k], crews[0][k]
		r.Pieces = append(r.Pieces, seatrace.RaceScheduledPiece{Crews: crews})
	}
	race, err := s.Seatrace.CreateRace(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	for k := range 8 {
		first, second := 180+float64(k)/7, 181-float64(k*k)/11
		if _, err := s.Seatrace.RecordPiece(context.Background(), seatrace.PieceResultRequest{ID: race.ID, Number: k + 1, Key: fmt.Sprint(k), TimesS: []*float64{&first, &second}}); err != nil {
			t.Fatal(err)
		}
	}
	return race.ID
}

func benchmarkPage(b *testing.B, path func(*api.Service) string) {
	site, service := raceSite(b)
	address := path(service)
	b.ReportAllocs()
	for b.Loop() {
		answer, err := http.Get(site.URL + address)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := io.Copy(io.Discard, answer.Body); err != nil || answer.StatusCode != 200 {
			b.Fatal(answer.StatusCode, err)
		}
		answer.Body.Close()
	}
}

// BenchmarkRacePage judges and shows 16 athletes and eight pieces.
func BenchmarkRacePage(b *testing.B) {
	benchmarkPage(b, func(s *api.Service) string { return fmt.Sprintf("/seat-races/%d", bigRace(b, s)) })
}

func BenchmarkRaceList(b *testing.B) {
	benchmarkPage(b, func(s *api.Service) string {
		for range 200 {
			newRace(b, s, []string{"Ann", "Bea", "Cat", "Dot"}, 0)
		}
		return "/seat-races"
	})
}

// TestTimesComeBackAsTheyWereTyped opens a result to correct it.
func TestTimesComeBackAsTheyWereTyped(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	path := fmt.Sprintf("/seat-races/%d", race.ID)
	for _, typed := range []string{"3:20.9", "3:09", "3:20.97", "3:00.05"} {
		version := fmt.Sprint(race.Version)
		answer := uitest.Send(t, site, path+"/pieces/1", url.Values{"key": {typed}, "version": {version}, "state": {"raced"}, "t1": {typed}, "t2": {"dnf"}}, false)
		uitest.Read(t, answer)
		_, body := uitest.Fetch(t, site, path+"?piece=1")
		if !strings.Contains(body, `value="`+typed+`"`) || !strings.Contains(body, `value="dnf"`) {
			t.Errorf("%s does not come back", typed)
		}
		race.Version++
	}
}
