package ui_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
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

// follow clicks a link or button of the page by what it says, and waits for the
// next page to have the wanted element.
func (b *tab) follow(text, wanted string) {
	b.t.Helper()
	const find = `(text => [...document.querySelectorAll("main a, main button")].find(e => e.textContent.trim() === text))`
	ask[any](b, "window.before = true")
	ask[any](b, fmt.Sprintf("setTimeout(() => %s(%q).click(), 0)", find, text))
	b.until(fmt.Sprintf("!window.before && document.querySelector(%q)", wanted))
}

// TestTheWayFromNothingToTheBoatman goes through the coach's job as the pages
// lead: an empty house, a table of the squad, the orders, one of one's own, how
// firm it is, and the crew handed to the boatman.
func TestTheWayFromNothingToTheBoatman(t *testing.T) {
	b, c := newTab(t), newClub(t)
	b.open(c.url + "/orders")
	b.follow("Bring in a squad", "#file")
	file := filepath.Join(t.TempDir(), "squad.csv")
	if err := os.WriteFile(file, []byte(squadTable()), 0o600); err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}))
	b.follow("Look at it", "#plan-h")
	wantIn(t, "look", b.text("main"), "Athletes: 6 new", "Tests: 6 new", "Asa Birk", "2000 m in 7:00.4")
	b.write("#by", "Coach")
	b.follow("Save it", ".next")
	b.follow("who sits where", "h1")

	b.open(c.url + "/orders?class=4-")
	b.until(`document.querySelectorAll(".orderlist tbody tr").length > 1`)
	wantIn(t, "orders", b.text(".proof"), "Proven")
	crew := ask[string](b, `document.querySelector(".orderlist .placed").textContent`)
	if strings.Count(crew, ",") != 3 {
		t.Errorf("the best crew is %q", crew)
	}

	// An order of one's own, two seats of one side exchanged, is costed at once.
	before := ask[string](b, ownSeats)
	ask[any](b, `(() => { const [bow, , three] = document.querySelectorAll(".ownseat select"); bow.value = three.value;
		bow.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	b.changed()
	if own := ask[string](b, ownSeats); own == before || own == "" {
		t.Errorf("one's own order is %q before and %q after", before, own)
	}

	ask[any](b, `document.querySelector("#firm button").click()`)
	b.until(`document.querySelector("#firm .verdict")?.textContent.includes("of 500 draws")`)

	b.write("#name-best", "Head crew")
	b.write("#by-best", "Coach")
	b.follow("Save this line-up", ".crewsheet")
	wantIn(t, "saved", b.text("main"), "Head crew", "Saved by Coach", "No 4- is on record")
	saved := ask[string](b, "location.href")

	b.follow("put one on record", "h1")
	b.follow("Put a boat on record", "input[name=name]")
	b.write("input[name=name]", "Sandpiper")
	b.do(chromedp.SetValue(chromedp.CSS("select[name=boat_class]"), "4-"))
	b.write("input[name=by]", "Boatman")
	b.follow("Save", ".seats, .rigtable, h1")
	b.until(`document.querySelector("h1").textContent.includes("Sandpiper")`)

	b.open(saved)
	b.follow("Set up Sandpiper for this crew", "h1")
	wantIn(t, "set up", b.text("main"), "Sandpiper")
	for _, name := range strings.Split(crew, ", ") {
		if !ask[bool](b, fmt.Sprintf(`[...document.querySelectorAll("main input, main select")].some(f => (f.selectedOptions?.[0].textContent ?? f.value).startsWith(%q))`, name+" ")) {
			t.Errorf("%s is not in the boatman's crew", name)
		}
	}
	wantIn(t, "what to measure", b.text("main"), "Measure this at seat 1 first: spread, inboard, oar length, heel to pin.")
}
