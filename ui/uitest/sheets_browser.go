package uitest

import (
	"fmt"
	"net/url"

	"thole/api/fleet"
)

// TypeIn puts text into a field and leaves it.
func (b *Tab) TypeIn(selector, text string) {
	b.t.Helper()
	Ask[any](b, fmt.Sprintf("(e => { e.value = %q; e.dispatchEvent(new Event('change', {bubbles: true})) })(document.querySelector(%q))", text, selector))
}

// Press clicks a button, where no script of the page's own runs and the page
// may still be scrolling to its place.
func (b *Tab) Press(button string) {
	b.t.Helper()
	Ask[any](b, button+".click(); 0")
}

// UnknownEight is the eight as a boat of which only what must be known is, with
// long names in it.
func (c *ClubSite) UnknownEight() url.Values {
	c.T.Helper()
	ctx := c.T.Context()
	boat, err := c.Service.Fleet.AddBoat(ctx, fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "The Honourable Society’s Centenary Eight", BoatClass: "8+"}, By: "Bram"})
	if err != nil {
		c.T.Fatal(err)
	}
	edit := fleet.RigEdit{ID: boat.ID, Version: boat.Version, By: "Bram"}
	for seat := range 8 {
		for name, v := range map[string]float64{"spread_cm": 84, "inboard_cm": 113, "oar_length_cm": 380, "heel_to_pin_cm": 15} {
			edit.Settings = append(edit.Settings, fleet.RigSetting{Seat: seat + 1, Setting: name, Value: &v})
		}
	}
	if boat, err = c.Service.Fleet.UpdateRig(ctx, edit); err != nil {
		c.T.Fatal(err)
	}
	q := CrewQuery(boat)
	for seat := range 8 {
		q.Set(fmt.Sprintf("s%d", seat+1), fmt.Sprintf("Maximiliana von Hohenfels-Wittgenstein %d", seat+1))
		q.Set(fmt.Sprintf("s%d_stature_cm", seat+1), fmt.Sprint(160+5*seat))
		q.Set(fmt.Sprintf("s%d_age_years", seat+1), fmt.Sprint(15+seat))
	}
	return q
}
