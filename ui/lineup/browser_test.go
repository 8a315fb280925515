package lineup_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/lineup"
	"thole/ui/uitest"
)

// margin is that of the reader's own line-up, as shown.
const margin = `document.querySelector(".big-own b").textContent`

func TestMovingARowerByArrow(t *testing.T) {
	c := uitest.DemoClub(t)
	b := uitest.NewTab(t)
	b.Open(c.URL + "/line-ups?class=4x")
	order := uitest.Ask[string](b, uitest.OwnSeats)
	uitest.Ask[any](b, `document.querySelector(".ownseat:nth-child(2) .move[data-move='1']").focus()`)
	b.Do(chromedp.KeyEvent(" "))
	b.Changed()
	if uitest.Ask[string](b, uitest.OwnSeats) == order {
		t.Error("nobody moved")
	}
	// The same arrow one seat on keeps the focus, so that it can be pressed
	// again and again.
	b.Until(`document.activeElement.matches(".ownseat:nth-child(3) .move[data-move='1']")`)
	b.Do(chromedp.KeyEvent(" "))
	b.Until(`document.activeElement.matches(".ownseat:nth-child(4) .move[data-move='-1']")`)
	now := uitest.Ask[string](b, margin)
	b.Open(uitest.Ask[string](b, "location.href"))
	if got := uitest.Ask[string](b, margin); got != now {
		t.Errorf("the address says %s, the page said %s", got, now)
	}
}

func TestChoosingARowerFromTheListChangesPlaces(t *testing.T) {
	c := uitest.DemoClub(t)
	b := uitest.NewTab(t)
	b.Open(c.URL + "/line-ups?class=4x")
	was := uitest.Ask[[]string](b, `[...document.querySelectorAll(".ownseat select")].map(s => s.value)`)
	uitest.Ask[any](b, `(() => { const [one, two] = document.querySelectorAll(".ownseat select"); one.focus(); one.value = two.value;
		one.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	b.Changed()
	got := uitest.Ask[[]string](b, `[...document.querySelectorAll(".ownseat select")].map(s => s.value)`)
	if got[0] != was[1] || got[1] != was[0] {
		t.Errorf("%v became %v", was, got)
	}
}

func TestASideByHandChoosesSidesByHand(t *testing.T) {
	c := uitest.DemoClub(t)
	b := uitest.NewTab(t)
	b.Open(c.URL + "/line-ups?class=4-")
	uitest.Ask[any](b, `(() => { const side = document.getElementById("g1"); side.value = "P"; side.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	if got := b.Value("#pattern"); got != "own" {
		t.Errorf("%q", got)
	}
}

func TestAnotherClassKeepsTheTicks(t *testing.T) {
	c := uitest.DemoClub(t)
	id := c.IdOf("Tomas Verhelde")
	b := uitest.NewTab(t)
	b.Open(c.URL + "/line-ups")
	uitest.Ask[any](b, fmt.Sprintf(`(() => { document.getElementById("a%s").click(); const k = document.getElementById("class"); k.value = "4-"; k.dispatchEvent(new Event("change", {bubbles: true})); })()`, id))
	b.Until("document.title.includes('4-') && document.readyState === 'complete'")
	if uitest.Ask[bool](b, fmt.Sprintf(`document.getElementById("a%s").checked`, id)) {
		t.Error("the tick is back")
	}
}

func TestFirmnessComesWhileOneWaits(t *testing.T) {
	c := uitest.DemoClub(t)
	b := uitest.NewTab(t)
	b.Open(c.URL + "/line-ups?class=4-")
	uitest.Ask[any](b, `document.querySelector("#firm button").click()`)
	b.Until(`document.querySelector("#firm .verdict")?.textContent.includes("of 500 draws")`)
	if uitest.Ask[int](b, `document.querySelectorAll(".firmtable tbody tr").length`) < 4 {
		t.Error("the table is short")
	}
}

func TestReasonsForFreeSidesComeByThemselves(t *testing.T) {
	c := uitest.DemoClub(t)
	b := uitest.NewTab(t)
	b.Open(c.URL + "/line-ups?class=4-&pattern=free")
	b.Until(`document.querySelectorAll(".swaps tbody tr").length === 4`)
}

// TestLineupPages are accessible; with everything unfolded no wider than a phone; and
// printed in letters of at least 9 pt, which is 12 px, on few sheets. A saved eight has
// a sheet to post, and one that says why.
func TestLineupPages(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	own, eight := c.IdsOf("8+", 1), c.SaveLineup("8+")
	b.BypassPolicy()
	for _, p := range []struct {
		path   string
		sheets int // at most; 0 for what nobody prints
		check  bool
	}{
		{"/line-ups", 3, false}, {"/line-ups?class=4x", 2, true}, {"/line-ups?compare=2.3", 3, true}, {"/line-ups?own=" + own, 3, false},
		{"/line-ups?firm=", 3, false}, {"/line-ups?class=4-&firm=", 2, false}, {"/line-ups?firm=&compare=2.3", 4, false}, {"/line-ups?firm=&own=" + own, 4, false},
		{eight, 2, true}, {c.SaveLineup("4x"), 1, false}, {"/squad?class=8%2B", 2, true}, {"/line-ups/saved", 1, true},
		{"/line-ups?likeness=x", 0, true}, {"/squad/evidence", 0, true}, {"/squad/import", 0, true}, {"/line-ups?class=4-&r7=4&r10=4", 0, false}, {"/line-ups?class=1x", 0, false},
	} {
		b.Medium("")
		b.Show("light", 1280)
		b.Open(c.URL + p.path)
		if strings.Contains(p.path, "firm") {
			b.AskFirm()
		}
		if p.sheets > 0 {
			if n := b.Printed(chromedp.PDFPaper(uitest.BothPapers)); n < 1 || n > p.sheets {
				t.Errorf("%s: %d sheets, want at most %d", p.path, n, p.sheets)
			}
			b.WantLegible(p.path)
			b.Medium("")
		}
		if p.check {
			b.Show("light", 1280)
			b.Unfold()
			b.AxeHere(p.path)
		}
		b.Fits(p.path, 320)
	}
}

// TestAwkwardNamesFitAPhone in line-ups and the squad.
func TestAwkwardNamesFitAPhone(t *testing.T) {
	c, b := uitest.NewClub(t), uitest.NewTab(t)
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader(awkwardSquad+"Wolfeschlegelsteinhausenbergerdorff,,yes,74,2026-01-10,2000,7:05.0\n"), "Ines"); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/line-ups?class=4x", "/squad?class=4x", c.SaveLineup("4x")} {
		b.Open(c.URL + path)
		b.Fits(path, 320)
	}
}

// TestOnPaperALineupTellsItsBoat: the class and the cox are no decoration.
func TestOnPaperALineupTellsItsBoat(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + c.SaveLineup("4x"))
	b.Medium("print")
	if !b.Shown(".lead") || b.Shown(".next") {
		t.Error("the boat is not told, or what to do next on the screen is")
	}
}

// TestLineupsWithoutAScript offers what works without one, and nothing else.
func TestLineupsWithoutAScript(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	works := map[string]bool{".ownform [type=submit]": true, ".grip": false, ".ownseat .move": false, "#own .help.plainly": true, "#own .help.withscript": false}
	for _, script := range []bool{true, false} {
		if !script {
			b.WithoutScript()
		}
		b.Open(c.URL + "/line-ups?class=4x")
		for part, alone := range works {
			if got := b.Shown(part); got == (alone == script) {
				t.Errorf("script %t: %s shown: %t", script, part, got)
			}
		}
		for _, width := range []int64{375, 1280} {
			b.Show("light", width)
			if wide := uitest.Ask[float64](b, `document.querySelector(".ownseat select").getBoundingClientRect().width`); wide < 110 {
				t.Errorf("script %t: names are %g px wide on %d", script, wide, width)
			}
		}
	}
}

// TestWhatIsFoundComesIntoView: on a phone the answer lies far below the form.
func TestWhatIsFoundComesIntoView(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	squad, err := c.Service.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "4x"})
	if err != nil {
		t.Fatal(err)
	}
	for _, kofi := range []bool{false, true} {
		b.Do(chromedp.EmulateViewport(375, 740))
		b.Open(c.URL + "/line-ups?class=4x")
		wanted := "#best-h"
		if kofi {
			wanted = "#problems h2"
			for _, m := range squad.Candidates[:2] {
				uitest.Ask[any](b, fmt.Sprintf(`document.getElementById("r%s").value = "4"`, m.ID))
			}
		}
		uitest.Ask[any](b, `document.querySelector("#lineups-form [type=submit]").click()`)
		b.Until(`location.hash === "#found" && document.readyState === "complete"`)
		b.Until(fmt.Sprintf(`(box => box.top >= 0 && box.bottom <= innerHeight)(document.querySelector(%q).getBoundingClientRect())`, wanted))
	}
}

// TestWhatChangesIsSaid in a region that was there before, or else nobody hears
// it.
func TestWhatChangesIsSaid(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/line-ups?class=4x")
	uitest.Ask[any](b, `window.region = document.getElementById("said"); document.querySelector(".ownseat:nth-child(2) .move[data-move='1']").click()`)
	b.Changed()
	said := uitest.Ask[string](b, `window.region.isConnected ? window.region.textContent : "gone"`)
	if told := b.Text(".big-own b"); !strings.Contains(said, told) {
		t.Errorf("said %q, shown %q", said, told)
	}
	b.AskFirm()
	if said, told := uitest.Ask[string](b, "window.region.textContent"), b.Text("#firm .verdict"); said != told {
		t.Errorf("said %q, shown %q", said, told)
	}
	if n := uitest.Ask[int](b, `document.querySelectorAll("#said").length`); n != 1 {
		t.Errorf("%d regions", n)
	}
}

// TestAskingByKeyKeepsTheFocus on what can be done next, and then on what came
// of it.
func TestAskingByKeyKeepsTheFocus(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/line-ups")
	uitest.Ask[any](b, `window.foci = []; document.addEventListener("focusin", e => foci.push(e.target.id || e.target.className)); document.querySelector("#firm button").focus()`)
	b.Do(chromedp.KeyEvent("\r"))
	b.Until(`document.activeElement.matches("#firm .verdict")`)
	if foci := uitest.Ask[[]string](b, "foci"); !slices.Contains(foci, "job-stop") {
		t.Errorf("the focus went to %v", foci)
	}
}

// TestChoosingByKeyKeepsTheFocus in the list, so that the next key goes there.
func TestChoosingByKeyKeepsTheFocus(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Open(c.URL + "/line-ups?class=4x")
	was := b.Seated()
	uitest.Ask[any](b, `document.querySelector(".ownseat:nth-child(2) select").focus()`)
	for range 2 {
		b.Do(chromedp.KeyEvent("\u0301")) // arrow down
	}
	b.Changed()
	b.Until(`document.activeElement.matches(".ownseat:nth-child(2) select")`)
	if now := b.Seated(); now[1] == was[1] {
		t.Errorf("%v stayed", was)
	}
}
