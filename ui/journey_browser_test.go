package ui_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/ui/uitest"
)

// squadTable is a squad of six for a coxless four, with one test each.
func squadTable() string {
	table := "name,sex,sculls,port_cost_s,starboard_cost_s,mass_kg,test_date,test_fixed,test_distance_m,test_time\n"
	for i, name := range []string{"Asa Birk", "Bo Carling", "Cleo Dunmore", "Dag Ekelund", "Eva Fjord", "Finn Gale"} {
		sides := []string{"0,", ",0", "0,1.5"}[i%3]
		table += fmt.Sprintf("%s,female,yes,%s,%d,2026-10-03,distance,2000,7:%02d.4\n", name, sides, 68+i, 2*i)
	}
	return table
}

// TestTheWayFromNothingToTheBoatman goes through the coach's job as the pages
// lead: an empty house, a table of the squad, the orders, one of one's own, how
// firm it is, and the crew handed to the boatman.
func TestTheWayFromNothingToTheBoatman(t *testing.T) {
	b, c := uitest.NewTab(t), uitest.NewClub(t)
	b.Open(c.URL + "/line-ups")
	b.Follow("Import a squad", "#file")
	file := filepath.Join(t.TempDir(), "squad.csv")
	if err := os.WriteFile(file, []byte(squadTable()), 0o600); err != nil {
		t.Fatal(err)
	}
	b.Do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}))
	b.Follow("Preview", "#plan-h")
	uitest.WantIn(t, "look", b.Text("main"), "Athletes: 6 new", "Tests: 6 new", "Asa Birk", "2000 m in 7:00.4")
	b.Write("#by", "Coach")
	b.Follow("Save", ".next")
	b.Follow("find line-ups", "h1")

	b.Open(c.URL + "/line-ups?class=4-")
	b.Until(`document.querySelectorAll(".lineuplist tbody tr").length > 1`)
	uitest.WantIn(t, "line-ups", b.Text(".proof"), "Proven")
	crew := uitest.Ask[string](b, `document.querySelector(".lineuplist .placed").textContent`)
	if strings.Count(crew, ",") != 3 {
		t.Errorf("the best crew is %q", crew)
	}

	// An order of one's own, two seats of one side exchanged, is costed at once.
	before := uitest.Ask[string](b, uitest.OwnSeats)
	uitest.Ask[any](b, `(() => { const [bow, , three] = document.querySelectorAll(".ownseat select"); bow.value = three.value;
		bow.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	b.Changed()
	if own := uitest.Ask[string](b, uitest.OwnSeats); own == before || own == "" {
		t.Errorf("one's own order is %q before and %q after", before, own)
	}

	uitest.Ask[any](b, `document.querySelector("#firm button").click()`)
	b.Until(`document.querySelector("#firm .verdict")?.textContent.includes("of 500 draws")`)

	b.Write("#name-best", "Head crew")
	b.Write("#by-best", "Coach")
	b.Follow("Save this line-up", ".crewsheet")
	uitest.WantIn(t, "saved", b.Text("main"), "Head crew", "Saved by Coach", "There is no 4- yet")
	saved := uitest.Ask[string](b, "location.href")

	b.Follow("add one", "h1")
	b.Follow("Add a boat", "input[name=name]")
	b.Write("input[name=name]", "Sandpiper")
	b.Do(chromedp.SetValue(chromedp.CSS("select[name=boat_class]"), "4-"))
	b.Write("input[name=by]", "Boatman")
	b.Follow("Save", ".seats, .rigtable, h1")
	b.Until(`document.querySelector("h1").textContent.includes("Sandpiper")`)

	b.Open(saved)
	b.Follow("Set up Sandpiper", "h1")
	uitest.WantIn(t, "set up", b.Text("main"), "Sandpiper")
	for _, name := range strings.Split(crew, ", ") {
		if !uitest.Ask[bool](b, fmt.Sprintf(`[...document.querySelectorAll("main input, main select")].some(f => (f.selectedOptions?.[0].textContent ?? f.value).includes(%q))`, name)) {
			t.Errorf("%s is not in the boatman's crew", name)
		}
	}
	uitest.WantIn(t, "what to measure", b.Text("main"), "Measure this at seat 1 first: spread, inboard, oar length, heel to pin.")
}
