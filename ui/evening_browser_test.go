package ui_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/club"
	"thole/api/setup"
	"thole/ui/uitest"
)

// clubList is a club's list of 24 in headings of its own: family name first, sides
// as boathouses say them, two tests side by side with their day.
func clubList() (table string, names []string) {
	given := []string{"Ada", "Bea", "Cara", "Dora", "Elsa", "Fay", "Gwen", "Hope", "Ida", "June", "Kay", "Lena"}
	family := []string{"Ashby", "Brook"}
	table = "Rower;Born;Sex;Rows;Height;Weight;Arm span;2k;2k date;6k;6k date\n"
	for i := range 24 {
		name := [2]string{given[i%12], family[i/12]}
		side := []string{"stroke side", "bow side", "both"}[i%3]
		table += fmt.Sprintf("%s, %s;%02d.%02d.%d;f;%s;%d cm;%d kg;%d;7:%02d.%d;24.10.2026;23:%02d.0;17.10.2026\n",
			name[1], name[0], 13+i%15, 1+i%12, 1990+i%12, side, 166+i%18, 60+i%16, 168+i%18, 10+i, i%10, 10+i)
		names = append(names, name[0]+" "+name[1])
	}
	return table, names
}

// boatTable is a boathouse's table of four boats, one row a seat, the boat named
// once.
func boatTable() string {
	table := "Boat;Class;Seat;Side;Span/spread;Inboard;Oar;Stretcher;Heel depth;Height\n"
	for _, b := range []struct {
		name, class string
		seats       int
		row         string
	}{
		{"Heron", "8+", 8, "84.5;114.5;374;%d;17;17"}, {"Plover", "4-", 4, "85;115;374;%d;17;17"}, {"Grebe", "2x", 2, "159;88;288;%d;17;17"}, {"Teal", "1x", 1, "159;88;288;%d;17;17"},
	} {
		for n := 1; n <= b.seats; n++ {
			name, side := "", ""
			if n == 1 {
				name = b.name
			}
			if b.seats > 2 {
				side = []string{"starboard", "port"}[(n-1)%2]
			}
			table += fmt.Sprintf("%s;%s;%d;%s;"+b.row+"\n", name, b.class, n, side, 17+n)
		}
	}
	return table
}

// newcomer counts what somebody does by hand. An entry is a field that is typed in
// or chosen (a file, a name, an option), or a button or link that is pressed. What
// the page keeps or finds by itself is none.
type newcomer struct {
	*uitest.Tab
	entries []string
}

func (n *newcomer) did(what string) { n.entries = append(n.entries, what) }

func (n *newcomer) press(text, wanted string) {
	n.Follow(text, wanted)
	n.did("press " + text)
}

func (n *newcomer) typed(selector, text string) {
	n.Write(selector, text)
	n.did("type " + text)
}

func (n *newcomer) file(path string) {
	n.Do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{path}))
	n.did("choose " + filepath.Base(path))
}

// mostEntries is what the first evening may take, and more than which it may not.
const mostEntries = 25

// TestFromTheClubsListsToThePrintedSheet: with a club's list of 24 in its own
// headings and a table of four boats, a newcomer comes from an empty start page to
// a printed work sheet for the eight with fewer than 25 entries.
func TestFromTheClubsListsToThePrintedSheet(t *testing.T) {
	n, c := &newcomer{Tab: uitest.NewTab(t)}, uitest.NewClub(t)
	list, names := clubList()
	folder := t.TempDir()
	athletes, boats := filepath.Join(folder, "Squad 2026.csv"), filepath.Join(folder, "Boathouse.csv")
	for path, text := range map[string]string{athletes: list, boats: boatTable()} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	n.Show("light", 1280)
	n.Open(c.URL + "/")
	n.press("Your squad", "#file")
	n.file(athletes)
	n.press("Preview", "#plan-h")
	uitest.WantIn(t, "the list as it is", n.Text("main"), "Athletes: 24 new", "Tests: 48 new")
	n.typed("#by", "Nora")
	n.press("Save", ".next")

	n.Open(c.URL + "/") // the wordmark
	n.did("press Thole")
	n.press("Your boats", "#file")
	n.file(boats)
	n.press("Preview", "#plan-h")
	uitest.WantIn(t, "the boats as they are", n.Text("main"), "Boats: 4 new")
	if n.Value("#by") != "Nora" {
		t.Error("the name is asked for twice")
	}
	n.press("Save", ".next")

	n.Open(c.URL + "/")
	n.did("press Thole")
	n.press("A set-up", "#boat")
	uitest.Ask[any](n.Tab, "window.before = true")
	uitest.Ask[any](n.Tab, `setTimeout(() => { const boat = document.querySelector("#boat"); boat.value = [...boat.options].find(o => o.textContent.startsWith("Heron")).value;
		boat.dispatchEvent(new Event("change", {bubbles: true})); }, 0)`)
	n.Until(`!window.before && document.querySelector("[list=names]")`)
	n.did("choose Heron")
	crew := seatable(names)
	fields := uitest.Ask[[]string](n.Tab, `[...document.querySelectorAll("[list=names]")].map(f => "#" + f.id)`)
	for i, field := range fields {
		n.typed(field, crew[i])
	}
	uitest.Ask[any](n.Tab, `document.querySelector("[list=names]").dispatchEvent(new Event("change", {bubbles: true}))`)
	n.Until(`document.querySelectorAll(".seatwork tbody tr").length === 8`)
	n.press("Make the work sheet", "#worksheet")

	at := uitest.Ask[string](n.Tab, "location.href")
	n.WantOneSheet(at, chromedp.PDFLandscape())
	n.did("print")
	n.did("confirm the print")
	n.Medium("print")
	uitest.WantIn(t, "the sheet on paper", n.Text("main"), append([]string{"Heron"}, firstNames(crew[:8])...)...)
	if len(n.entries) >= mostEntries {
		t.Errorf("%d entries, want fewer than %d:\n%s", len(n.entries), mostEntries, strings.Join(n.entries, "\n"))
	}
	t.Logf("%d entries", len(n.entries))

	n.Medium("screen")
	n.Open(c.URL + "/")
	if strings.Contains(n.Text("main"), "First steps") {
		t.Error("the path is there when it is done")
	}
	wantKept(t, c)
}

// seatable are eight who row the sides of the eight's seats, bow on starboard.
func seatable(names []string) []string {
	var port, starboard, crew []string
	for i, name := range names {
		if i%3 == 0 {
			port = append(port, name)
		} else {
			starboard = append(starboard, name)
		}
	}
	for i := range 4 {
		crew = append(crew, starboard[i], port[i])
	}
	return crew
}

// firstNames tell the crew apart, whose family names are alike.
func firstNames(names []string) (list []string) {
	for _, name := range names {
		first, _, _ := strings.Cut(name, " ")
		list = append(list, first)
	}
	return list
}

// wantKept looks for what the files hold among the records.
func wantKept(t *testing.T, c *uitest.ClubSite) {
	t.Helper()
	ctx := t.Context()
	athletes, err := c.Service.Club.Athletes(ctx, club.ListRequest{})
	if err != nil || len(athletes.Athletes) != 24 {
		t.Fatal(len(athletes.Athletes), err)
	}
	for _, a := range athletes.Athletes {
		if a.StatureCm == nil || a.MassKg == nil || a.PortCostS == nil && a.StarboardCostS == nil || a.Sex != "female" {
			t.Errorf("%s: something of the list is lost: %+v", a.Name, a)
		}
	}
	sheets, err := c.Service.Setup.Sheets(ctx, setup.SheetsRequest{})
	if err != nil || len(sheets.Sheets) != 1 {
		t.Fatal(len(sheets.Sheets), err)
	}
}
