package fleet

import (
	"net/url"
	"strings"
	"testing"

	"thole/api"
	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/ui/page"
)

// TestMessagesNameSettingsAsTheScreenDoes holds the two lists of labels together.
func TestMessagesNameSettingsAsTheScreenDoes(t *testing.T) {
	for _, name := range store.Settings() {
		if got, want := wire.SettingLabel(name), page.SettingLabels[name]; got != want || got == "" {
			t.Errorf("%s is called %q in messages and %q on the screen", name, got, want)
		}
	}
}

// TestFormsTellTheRangesOfTheTable looks for each end of a range in the form.
func TestFormsTellTheRangesOfTheTable(t *testing.T) {
	s := &site{service: api.NewService(nil)}
	fields := map[string]page.Value{}
	add := func(groups ...[]page.Value) {
		for _, group := range groups {
			for _, v := range group {
				fields[v.Name] = v
			}
		}
	}
	oars := oarFormOf(page.NewForm(url.Values{}), nil)
	first, more := rigFieldsOf(&fleet.Boat{})
	add(s.boatFields(true, nil), oars.About, oars.Lengths, first, more)
	for name, c := range map[string]struct {
		request any
		at      wire.Place
	}{
		"hull_mass_kg": {fleet.BoatFields{}, wire.At("hull_mass_kg")}, "seat_over_water_cm": {fleet.BoatFields{}, wire.At("seat_over_water_cm")},
		"length_min_cm": {fleet.OarFields{}, wire.At("length_min_cm")}, "count": {fleet.OarFields{}, wire.At("count")},
		"spread_cm": {seat.Seat{}, wire.At("spread_cm")}, "stern_pitch_deg": {seat.Seat{}, wire.At("stern_pitch_deg")},
	} {
		member, ok := wire.MemberAt(c.request, c.at)
		if !ok {
			t.Fatalf("no member at %s", c.at.Pointer)
		}
		l, v := wire.LimitsOf(member), fields[name]
		said := v.Blank + " " + v.Help
		if least, most := page.Plain(*l.Least), page.Plain(*l.Most); !strings.Contains(said, least+" to "+most) {
			t.Errorf("%s tells %q, not %s to %s", name, said, least, most)
		}
	}
	if fields["seat_over_water_cm"].Blank != "7.5" || fields["hull_mass_kg"].Blank != "as the class" {
		t.Errorf("empty fields stand for %q and %q", fields["seat_over_water_cm"].Blank, fields["hull_mass_kg"].Blank)
	}
}
