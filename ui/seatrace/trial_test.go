package seatrace_test

import (
	"fmt"
	"html"
	"log/slog"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api"
	"thole/api/seatrace"
	"thole/api/storetest"
	"thole/ui"
	"thole/ui/figure/code"
	"thole/ui/page"
	"thole/ui/uitest"
)

// sweepRace puts a seat race of two pairs on record: Ann and Cat row port, Bea and
// Dot starboard, and both swaps are rowed.
func sweepRace(t testing.TB, s *api.Service) string {
	t.Helper()
	var r seatrace.CreateRaceRequest
	r.Name, r.BoatClass, r.HeldOn = "Pairs", "2-", "2026-03-14"
	for _, n := range []string{"Ann", "Bea", "Cat", "Dot"} {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: n, Side: map[bool]string{true: "port", false: "starboard"}[n == "Ann" || n == "Cat"]})
	}
	for _, crews := range [][][]string{{{"Ann", "Bea"}, {"Cat", "Dot"}}, {{"Cat", "Bea"}, {"Ann", "Dot"}}, {{"Cat", "Dot"}, {"Ann", "Bea"}}, {{"Ann", "Dot"}, {"Cat", "Bea"}}} {
		r.Pieces = append(r.Pieces, seatrace.RaceScheduledPiece{Crews: crews})
	}
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	for i, times := range [][2]float64{{220, 222.6}, {224, 223.2}, {223, 224.5}} {
		if _, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: race.ID, Number: i + 1, Key: fmt.Sprint(i), TimesS: []*float64{&times[0], &times[1]}}); err != nil {
			t.Fatal(err)
		}
	}
	return fmt.Sprintf("/seat-races/%d", race.ID)
}

// TestThePieceJustRacedLeads with its margin, its swap and what that says, before
// the form of the next.
func TestThePieceJustRacedLeads(t *testing.T) {
	site, service := raceSite(t)
	path := sweepRace(t, service)
	_, body := uitest.Fetch(t, site, path)
	body = uitest.OneLine(body)
	latest := regexp.MustCompile(`<section id="latest".*?</section>`).FindString(body)
	// Margins of boat 1: −0.8 in piece 2, and then 1.5 with Dot in place of Bea:
	// (1.5 + 0.8)/2 = 1.15 s for Dot.
	for _, want := range []string{"Piece 3: boat 1 by 1.5 s", "Dot and Bea changed boats.", "Against piece 2 the boat is 1.15 s faster with Dot than with Bea, ± ", "All 3 pieces:", "Dot faster than Bea by "} {
		uitest.WantIn(t, "the piece just raced", latest, want)
	}
	if strings.Index(body, `id="latest"`) > strings.Index(body, `id="now"`) || strings.Index(body, `id="now"`) > strings.Index(body, `id="judgement"`) {
		t.Error("the piece just raced does not lead, or the next does not follow")
	}
	uitest.WantIn(t, "the next piece", body, `<p class="call">Swap Ann and Cat.</p>`)
}

// TestPortsAndStarboardsAreRankedApart unless they are asked for together.
func TestPortsAndStarboardsAreRankedApart(t *testing.T) {
	site, service := raceSite(t)
	path := sweepRace(t, service)
	_, apart := uitest.Fetch(t, site, path)
	apart = uitest.OneLine(apart)
	for _, want := range []string{"<h3>Ports</h3>", "<h3>Starboards</h3>", ">Each by itself</strong>", "sides=together#judgement"} {
		uitest.WantIn(t, "apart", apart, want)
	}
	verdicts := regexp.MustCompile(`<ul class="verdicts">.*?</ul>`)
	for _, mixed := range []string{"Ann over Bea", "Ann or Bea", "Bea over Ann", "Bea or Ann", "Ann over Dot", "Ann or Dot", "Dot over Ann", "Dot or Ann"} {
		if strings.Contains(verdicts.FindString(apart), mixed) {
			t.Errorf("a port against a starboard: %s", mixed)
		}
	}
	_, together := uitest.Fetch(t, site, path+"?sides=together")
	if strings.Contains(together, "<h3>Ports</h3>") || !strings.Contains(together, ">Ports and starboards together</strong>") {
		t.Error("asked for together, and ranked apart")
	}
}

// TestNoTimeIsInventedForAMargin, in the drawing, the form, the history and the
// words for a second launch.
func TestNoTimeIsInventedForAMargin(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	path := fmt.Sprintf("/seat-races/%d", race.ID)
	form := url.Values{"key": {"k2"}, "state": {"raced"}, "t1": {"+1.2"}, "t2": {"0"}, "by": {"Eva"}}
	uitest.Read(t, uitest.Send(t, site, path+"/pieces/2", form, false))
	form.Set("key", "other")
	form.Set("t1", "+1.4")
	again := uitest.Read(t, uitest.Send(t, site, path+"/pieces/2", form, false))
	uitest.WantIn(t, "a second launch", html.UnescapeString(again), "Eva entered: boat 1 +1.2 s, boat 2 first (raced)")
	_, body := uitest.Fetch(t, site, path+"?piece=2")
	body = html.UnescapeString(body)
	for _, want := range []string{`value="+1.20"`, `value="+0.00"`, "Boat 2 by 1.2 s, no time taken", "Piece 2, margins only: yes"} {
		uitest.WantIn(t, "margins", body, want)
	}
	for _, invented := range []string{"3:10.0", "3:11.2"} {
		if strings.Contains(strings.ReplaceAll(body, `placeholder="3:10.0"`, ""), invented) {
			t.Errorf("a time that nobody took: %s", invented)
		}
	}
}

// TestSlipsAreToldAtTheirField, with what was typed and a way on.
func TestSlipsAreToldAtTheirField(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	path := fmt.Sprintf("/seat-races/%d/pieces/2", race.ID)
	form := url.Values{"key": {"k"}, "state": {"raced"}, "t1": {"3:10"}, "t2": {"3:11"}, "crews": {"Cat, Bea\nAnn"}}
	body := uitest.OneLine(uitest.Read(t, uitest.Send(t, site, path, form, false)))
	for _, want := range []string{`<details open> <summary>Crews as rowed, note</summary>`, `id="e-crews">Boat 2 has 1 of its 2 rowers. In no boat yet: Dot.</p>`, "Cat, Bea Ann</textarea>", `href="#crews"`, `value="3:11"`} {
		uitest.WantIn(t, "half a crew", body, want)
	}
	form = url.Values{"key": {"k"}, "state": {"raced"}, "t1": {"2:23"}, "t2": {"2:24.5"}}
	body = uitest.OneLine(uitest.Read(t, uitest.Send(t, site, path, form, false)))
	for _, want := range []string{`id="e-t1">2:23.0 is far from the 3:10.2 of the other pieces.`, `name="times_checked"`, `value="2:24.5"`} {
		uitest.WantIn(t, "another distance", body, want)
	}
	form.Set("times_checked", "yes")
	if answer := uitest.Send(t, site, path, form, false); answer.StatusCode != 303 {
		t.Errorf("confirmed, and refused: %d %s", answer.StatusCode, uitest.Read(t, answer))
	}
}

// TestTheLaunchsSheetLeadsBack: the code on it opens the seat race where a phone can
// reach the server; the crews' sheet has none.
func TestTheLaunchsSheetLeadsBack(t *testing.T) {
	service := api.NewService(storetest.Open(t))
	defer service.Close()
	newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 1)
	pages, err := ui.New(nil, service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	get := func(path, base string) string {
		w := httptest.NewRecorder()
		r := httptest.NewRequest("GET", path, nil)
		pages.ServeHTTP(w, r.WithContext(page.WithReach(r.Context(), page.Reach{Base: base})))
		return w.Body.String()
	}
	const base = "https://boathouse.example"
	uitest.WantIn(t, "the launch's sheet", get("/seat-races/1/coach", base), string(code.SVG(base+"/seat-races/1")))
	uitest.WantIn(t, "the launch's sheet", get("/seat-races/1/coach", base), "<figcaption>"+base+"/seat-races/1</figcaption>")
	for path, at := range map[string]string{"/seat-races/1/crews": base, "/seat-races/1/coach": ""} {
		if strings.Contains(get(path, at), "p-code") {
			t.Errorf("%s from %q: a code", path, at)
		}
	}
}

// TestAResultIsGivenWithItsReasons: who is equally good, which swaps of the two speak
// for a pair, and what would change it; no port against a starboard.
func TestAResultIsGivenWithItsReasons(t *testing.T) {
	site, service := raceSite(t)
	path := sweepRace(t, service)
	_, body := uitest.Fetch(t, site, path+"/why")
	body = html.UnescapeString(uitest.OneLine(body))
	for _, want := range []string{"Pairs after 3 pieces: 0 firm, ", "Their own swaps: pieces 2 and 3 +1.15 s.", "What would change it", "One more piece would help most.", " swapped the pairs would be ± ", "the 95 % interval"} {
		uitest.WantIn(t, "the reasons", body, want)
	}
	if regexp.MustCompile(`<strong>(Ann|Cat) (over|or) (Bea|Dot)|<strong>(Bea|Dot) (over|or) (Ann|Cat)`).MatchString(body) {
		t.Error("a port against a starboard")
	}
	if n := strings.Count(body, "<strong>"); n != 2 {
		t.Errorf("%d pairs, want Ann with Cat and Bea with Dot", n)
	}
}
