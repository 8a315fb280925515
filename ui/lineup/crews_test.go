package lineup_test

import (
	"fmt"
	"html"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/records"
	"thole/ui/uitest"
)

// newFour adds a four rigged bow on port of which the riggers of two seats fit
// both sides.
func newFour(t *testing.T, c *uitest.ClubSite, both ...int) fleet.Boat {
	t.Helper()
	mass := 53.5
	r := fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Kingfisher", BoatClass: "4-", HullMassKg: &mass}, By: "Anna"}
	for n, side := range []string{"port", "starboard", "port", "starboard"} {
		seat := fleet.SeatFields{Number: n + 1, Side: side}
		for _, b := range both {
			seat.CanChangeSides = seat.CanChangeSides || b == n+1
		}
		r.Seats = append(r.Seats, seat)
	}
	b, err := c.Service.Fleet.AddBoat(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// drawnSides are the sides of the first crew that a page draws, p and s.
func drawnSides(t *testing.T, body string) string {
	t.Helper()
	desc := regexp.MustCompile(`<desc[^>]*>(1, [^<]*)</desc>`).FindStringSubmatch(body)
	if desc == nil {
		t.Fatal("no crew is drawn")
	}
	sides := ""
	for _, m := range regexp.MustCompile(`\d, (p|s)\w+:`).FindAllStringSubmatch(desc[1], -1) {
		sides += m[1]
	}
	return sides
}

func TestLineupsForABoatOfTheClub(t *testing.T) {
	c := uitest.DemoClub(t)
	b := newFour(t, c, 2, 3)
	path := fmt.Sprintf("/line-ups?class=boat-%d", b.ID)
	body := c.Opened(path)
	uitest.WantIn(t, "page", body, "Kingfisher · 4-", "as it stands: P S P S", "<dt>Boat</dt><dd>Kingfisher, 4-</dd>", "Proven:", "Next best crew:",
		fmt.Sprintf(`<option value="boat-%d" selected>`, b.ID), `name="rerig"`, "Kingfisher")
	if got := drawnSides(t, body); got != "psps" {
		t.Errorf("drawn %s", got)
	}
	if !regexp.MustCompile(`Re-rigging seats? [\d, and]+ would make Kingfisher \d\.\d\d s faster|No other rig of its riggers makes Kingfisher faster`).MatchString(body) {
		t.Error("what another rig would bring is not said")
	}
	// The hull's own mass counts: 3.5 kg more than the least of the class.
	total := func(path string) string {
		return regexp.MustCompile(`<small>total ([\d.]+) s`).FindStringSubmatch(c.Opened(path))[1]
	}
	if own, usual := total(path), total("/line-ups?class=4-&pattern=mirror"); own <= usual {
		t.Errorf("%s s in the heavier boat, %s in one of the class", own, usual)
	}
	for _, m := range regexp.MustCompile(`Re-rig (seats? [\d, and]+)<`).FindAllStringSubmatch(c.Opened(path+"&pattern=free&rerig=0"), -1) {
		if m[1] != "seats 2 and 3" {
			t.Errorf("riggers that do not fit the other side are changed: %s", m[1])
		}
	}
	dear := c.Opened(path + "&pattern=free&rerig=9")
	if strings.Contains(dear, "Re-rig ") || !strings.Contains(dear, "<dt>A seat that changes sides counts</dt><dd>9 s</dd>") {
		t.Error("a rig that costs 9 s a seat is not kept")
	}
	saved := c.Post("/line-ups/save", url.Values{"name": {"Four"}, "by": {"Anna"}, "class": {"4-"}, "boat": {fmt.Sprint(b.ID)}, "seats": {"..."}, "sides": {"port.starboard.port.starboard"}})
	list, err := c.Service.Savedlineup.Lineups(t.Context(), records.ListRequest{})
	if err != nil || len(list.Lineups) != 1 || list.Lineups[0].BoatID == nil || *list.Lineups[0].BoatID != b.ID {
		t.Errorf("%d, %+v, %v", saved.Status, list, err)
	}
}

func TestABoatWhoseRiggersFitOneSide(t *testing.T) {
	c := uitest.DemoClub(t)
	b := newFour(t, c)
	body := c.Opened(fmt.Sprintf("/line-ups?class=boat-%d", b.ID))
	if strings.Contains(body, "Re-rigging") || strings.Contains(body, "No other rig") {
		t.Error("another rig is spoken of")
	}
	gone := c.Get("/line-ups?class=boat-99999")
	uitest.WantIn(t, "removed", gone.Body, "This boat was removed.", `id="lineups-form"`)
}

// TestWhyAStrongHeavyManStaysOut: the table of who is next in tells what the
// power brings from what the mass costs.
func TestWhyAStrongHeavyManStaysOut(t *testing.T) {
	c := uitest.NewClub(t)
	table := "name,sculls,mass_kg,test_date,test_distance_m,test_time\n" +
		"Heavy Hand,yes,112,2026-01-10,2000,6:19.0\nLight Lee,yes,72,2026-01-10,2000,6:31.0\nMid May,yes,73,2026-01-10,2000,6:31.5\n"
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader(table), "Anna"); err != nil {
		t.Fatal(err)
	}
	body := c.Opened("/line-ups?class=2x")
	row := regexp.MustCompile(`(?s)<th scope="row">Hand for \w+<small>[^<]*</small></th>(.*?)</tr>`).FindStringSubmatch(body)
	if row == nil {
		t.Fatal("he is not listed")
	}
	cells := regexp.MustCompile(`<td[^>]*>(.)([\d.]+)`).FindAllStringSubmatch(html.UnescapeString(row[1]), -1)
	if len(cells) != 3 || cells[2][1] != "+" || cells[0][1] != "−" || cells[1][1] != "+" {
		t.Errorf("power, mass, change: %v", cells)
	}
}
