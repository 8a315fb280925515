package rig_test

import (
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/api/records"
	"thole/ui/uitest"
)

// TestABoatIsTabbedThrough by the keyboard: accessible on a desk and a phone without
// scrolling sideways, Tab goes along the seat, a button fills down in place, Enter in
// a cell saves.
func TestABoatIsTabbedThrough(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	id, path := newBoat(t, c, "Owl", "8+")
	b.Axe(c.URL+path, uitest.Look{Scheme: "light", Width: 1280}, uitest.Look{Scheme: "dark", Width: 390})
	b.Show("light", 360)
	b.Open(c.URL + path)
	if over := uitest.Ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
		t.Errorf("%d px wider than a phone", over)
	}
	b.Show("light", 1280)
	b.Open(c.URL + path)
	if over := uitest.Ask[int](b, "document.querySelector('.rigtable').parentElement.scrollWidth - document.querySelector('.rigtable').parentElement.clientWidth"); over > 0 {
		t.Errorf("an eight is %d px wider than a desk", over)
	}
	b.Write("#seat1_spread_cm", "84,5")
	b.Do(chromedp.SendKeys(chromedp.CSS("#seat1_spread_cm"), "\t"))
	if at := uitest.Ask[string](b, "document.activeElement.id"); at != "seat1_inboard_cm" {
		t.Errorf("Tab leads to %q", at)
	}
	b.Do(chromedp.Click(chromedp.CSS(`button[value="fill:spread_cm"]`)))
	b.Until("document.querySelector('#seat8_spread_cm').value === '84,5'")
	b.Write("#by", "Udo")
	b.Do(chromedp.SendKeys(chromedp.CSS("#seat8_spread_cm"), "\r"))
	b.Until("location.pathname === '/boats/" + strconv.FormatInt(id, 10) + "' && document.readyState === 'complete'")
	owl, err := c.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: id})
	if err != nil || *owl.Seats[7].Seat.SpreadCm != 84.5 {
		t.Errorf("%v %+v", err, owl.Seats[7].Seat)
	}
}
