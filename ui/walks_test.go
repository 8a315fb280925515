package ui_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"thole/api/records"
	"thole/api/savedlineup"
	"thole/ui/uitest"

	"github.com/chromedp/chromedp"
)

// journey is what somebody does from the start page to the answer.
type journey func(t *testing.T, w uitest.Walker, c *uitest.ClubSite)

// written keeps a file of the walker's own.
func written(t *testing.T, name, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// boatmanFromEmpty: the club's list, its boats, a crew in the eight, the printed sheet,
// each move ticked off, the final checks.
func boatmanFromEmpty(t *testing.T, w uitest.Walker, c *uitest.ClubSite) {
	list, names := clubList()
	w.Press("Your squad")
	w.Upload("file", written(t, "Squad 2026.csv", list))
	w.Press("Preview")
	w.Says("Athletes: 24 new", "Tests: 48 new")
	w.Fill("by", "Nora")
	w.Press("Save")
	w.Says("Saved 24 rows")
	w.Press("import the boats")
	w.Upload("file", written(t, "Boathouse.csv", boatTable()))
	w.Press("Preview")
	w.Says("Boats: 4 new")
	w.Press("Save")
	w.Says("Saved 15 rows")
	w.Press("set up a boat for a crew")
	w.Choose("boat", "Heron")
	w.Chosen("boat", "Continue")
	for i, name := range seatable(names)[:8] {
		w.Fill(fmt.Sprintf("s%d", i+1), name)
	}
	w.Press("Calculate")
	w.Says("8 seats on target")
	w.Press("Make the work sheet")
	w.Says("moves left")
	if d := w.Done(); d.Pressed+d.Filled >= mostEntries {
		t.Errorf("%d entries until the sheet can be printed, want fewer than %d", d.Pressed+d.Filled, mostEntries)
	}
	wantKept(t, c)
	ticked(t, w, c)
}

// boatmanFromDemo: the four with its usual crew.
func boatmanFromDemo(t *testing.T, w uitest.Walker, c *uitest.ClubSite) {
	w.Press("Set a boat up for a crew…")
	w.Choose("boat", "Old Friday")
	w.Chosen("boat", "Continue")
	w.Says("Ingrid Sollberg", "bring this crew together")
	w.Fill("by", "Nora")
	w.Press("Make the work sheet")
	ticked(t, w, c)
}

// ticked goes through the sheet that is open to its end.
func ticked(t *testing.T, w uitest.Walker, c *uitest.ClubSite) {
	t.Helper()
	w.Says("left")
	address := w.At().Path
	if b, ok := w.(*uitest.Walking); ok {
		b.WantOneSheet(c.URL+address, chromedp.PDFLandscape())
	}
	sheet := c.SheetAt(address)
	left := 0
	for _, place := range sheet.Seats {
		for _, l := range place.Lines {
			if l.Moves {
				w.Press(fmt.Sprintf("✓ %v cm: as on the sheet, seat %d…", l.Target, l.Seat))
				left++
			}
		}
	}
	w.Says("Nothing left to move")
	for i := range sheet.Recheck {
		w.Tick("check", fmt.Sprint(i))
	}
	w.Press("Finish the sheet")
	w.Says("finished by Nora")
	done := c.SheetAt(address)
	if left == 0 || done.DoneAt == nil {
		t.Errorf("%d moves, done at %v", left, done.DoneAt)
	}
	boat, err := c.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: done.BoatID})
	if err != nil {
		t.Fatal(err)
	}
	for _, place := range done.Seats {
		for _, l := range place.Lines {
			if l.Moves && l.Measured == nil {
				t.Errorf("%s: seat %d, %s has no reading", boat.Name, l.Seat, l.Setting)
			}
		}
	}
}

// coachFromEmpty: a squad of six with tests, the best crew, the seat race that is worth
// most, its pieces, the result to show.
func coachFromEmpty(t *testing.T, w uitest.Walker, c *uitest.ClubSite) {
	w.Press("Your squad")
	w.Upload("file", written(t, "Squad.csv", squadTable()))
	w.Press("Preview")
	w.Fill("by", "Coach")
	w.Press("Save")
	w.Press("find line-ups")
	w.Says("Proven", "4-")
	raced(t, w, c)
}

// mostOfACoach is what it may take from the start page of the demo to the result of a
// seat race: buttons, links and fields.
const mostOfACoach = 14

// coachFromDemo: the same from the records of the season, and on to the boatman: the
// line-up with the result in it, saved, and the work sheet of the boat.
func coachFromDemo(t *testing.T, w uitest.Walker, c *uitest.ClubSite) {
	w.Press("Line-ups…")
	w.Says("Proven")
	w.Press("Marl 4-")
	w.Says("Marl", "Proven")
	raced(t, w, c)
	if d := w.Done(); d.Pressed+d.Filled > mostOfACoach {
		t.Errorf("%d presses and fields until the result, want at most %d", d.Pressed+d.Filled, mostOfACoach)
	}
	t.Log("until the result: ", w.Done())
	w.Press("Line-ups with this result")
	w.Press("Marl 4-")
	w.Fill("by", "Coach")
	w.Press("Save this line-up")
	w.Says("Saved by Coach")
	w.Press("Set up Marl")
	w.Press("Make the work sheet")
	w.Says("moves left")
	kept, err := c.Service.Savedlineup.Lineups(t.Context(), records.ListRequest{})
	if err != nil || !slices.ContainsFunc(kept.Lineups, func(l savedlineup.SavedLineup) bool { return strings.HasPrefix(l.Name, "Marl, 4-, ") }) {
		t.Errorf("no line-up of Marl among %d, %v", len(kept.Lineups), err)
	}
}

func raced(t *testing.T, w uitest.Walker, c *uitest.ClubSite) {
	t.Helper()
	w.Says("draws choose this crew", "Next seat race")
	w.Follow("/seat-races/new?")
	w.Says("Save this seat race")
	w.Press("Save this seat race")
	w.Says("0 of 6 pieces done")
	w.Press("Enter all pieces from paper")
	for i := range 6 {
		w.Fill(fmt.Sprintf("p%d", i+1), fmt.Sprintf("3:1%d.4 3:1%d.0", i, 6-i))
	}
	w.Press("Save all pieces")
	w.Says("6 of 6 pieces done")
	w.Press("Result and reasons, to show or print")
	w.Says("result and reasons")
	list, err := c.Service.Seatrace.Races(t.Context(), records.ListRequest{})
	if err != nil || len(list.Races) == 0 {
		t.Fatal(err)
	}
	race, err := c.Service.Seatrace.Race(t.Context(), records.IDRequest{ID: list.Races[0].ID})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range race.Pieces {
		if p.State != "raced" {
			t.Errorf("piece %d is %s", p.Number, p.State)
		}
	}
}

// walks are those of boatman and coach; the athlete's is where accounts are.
var walks = []struct {
	name string
	club func(testing.TB) *uitest.ClubSite
	walk journey
}{
	{"boatman from empty", uitest.NewClub, boatmanFromEmpty}, {"boatman from the demo", uitest.SeasonClub, boatmanFromDemo},
	{"coach from empty", uitest.NewClub, coachFromEmpty}, {"coach from the demo", uitest.SeasonClub, coachFromDemo},
}

// TestWalksByKeyAtAPhone: the same with keys alone, at 390 × 844 px. The walks from empty
// are checked for accessibility after every answer and swap on the way.
func TestWalksByKeyAtAPhone(t *testing.T) {
	for i, k := range walks {
		t.Run(k.name, func(t *testing.T) {
			c := k.club(t)
			w := uitest.NewWalking(t, c.URL, i%2 == 0)
			k.walk(t, w, c)
			t.Log(w.Done())
		})
	}
}

// TestWalksWithoutAScript: plain pages and forms lead boatman and coach from the start
// page to the finished sheet and to the result of the seat race.
func TestWalksWithoutAScript(t *testing.T) {
	for _, k := range walks {
		t.Run(k.name, func(t *testing.T) {
			c := k.club(t)
			w := uitest.NewReader(t, c.URL)
			k.walk(t, w, c)
			t.Log(w.Done())
		})
	}
}
