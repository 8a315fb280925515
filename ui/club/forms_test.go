package club

import (
	"net/url"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/ergometer"
	"thole/api/wire"
	"thole/ui/page"
)

// TestFormsTellTheRangesOfTheTable looks for each end of a range in the form.
func TestFormsTellTheRangesOfTheTable(t *testing.T) {
	fields := map[string]page.Value{}
	add := func(groups ...[]page.Value) {
		for _, group := range groups {
			for _, v := range group {
				fields[v.Name] = v
			}
		}
	}
	athlete, measures := athleteFormOf(page.NewForm(url.Values{}), nil, nil), &athletePage{}
	measures.measureFields()
	add(athlete.Costs, measures.Measures, measures.Limbs)
	for name, c := range map[string]struct {
		request any
		at      wire.Place
	}{
		"port_cost_s": {club.AthleteFields{}, wire.At("port_cost_s")}, "stature_cm": {club.MeasuredBody{}, wire.At("stature_cm")},
		"shank_cm": {club.MeasuredBody{}, wire.At("segments_cm", "shank")},
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
}

// TestLimbsUnfoldWhereOneIsThere, typed or complained of.
func TestLimbsUnfoldWhereOneIsThere(t *testing.T) {
	for name, c := range map[string]struct {
		value page.Value
		want  bool
	}{"none": {page.Value{}, false}, "a value": {page.Value{Input: page.Input{Value: "45"}}, true}, "a problem": {page.Value{Input: page.Input{Problem: "not a number"}}, true}} {
		p := &athletePage{Limbs: []page.Value{{}, c.value}}
		if got := p.Limbed(); got != c.want {
			t.Errorf("%s: unfolded %v", name, got)
		}
	}
}

// TestThePowersGoAsHighAsTheCurve, but no further than half over the tests.
func TestThePowersGoAsHighAsTheCurve(t *testing.T) {
	for _, c := range []struct{ w, least, most float64 }{{0, 315, 350}, {12000, 360, 400}, {90000, 472.5, 500}} {
		e := tested([2]float64{300, 300}, [2]float64{600, 250})
		e.CriticalPower = &ergometer.CriticalPower{CpW: 260, WPrimeJ: c.w}
		if y := newErgChart(e).y; y.High < c.least || y.High > c.most || y.Low > 0.95*250 || y.Low < 150 {
			t.Errorf("with %v J: from %v to %v W, want up to %v", c.w, y.Low, y.High, c.least)
		}
	}
}
