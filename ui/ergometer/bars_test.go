package ergometer

import (
	"testing"

	"thole/api/lineup"
	"thole/ui/page"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestBarsOfTheSquad run from the least power of all intervals to the most.
func TestBarsOfTheSquad(t *testing.T) {
	p := &squadPage{}
	for _, m := range []struct {
		band             int
		low, power, high float64
	}{{1, 380, 400, 420}, {1, 370, 390, 410}, {2, 220, 300, 380}, {3, 250, 280, 310}} {
		var c lineup.BoatCandidate
		c.Band, c.LowW, c.PowerW, c.HighW, c.MassKg = m.band, m.low, m.power, m.high, 80
		p.Squad.Candidates = append(p.Squad.Candidates, c)
	}
	p.scale()
	p.Page = page.Paging{First: 1, Last: 4, All: 4}
	p.band()
	is(t, "ends", [2]float64{p.Least, p.Most}, [2]float64{220, 420})
	is(t, "bands", len(p.Bands) == 3 && len(p.Bands[0].Members) == 2 && p.Bands[1].Number == 2 && len(p.Bands[2].Members) == 1, true)
	first, third := p.Bands[0].Members[0], p.Bands[1].Members[0]
	is(t, "the strongest", [3]float64{first.Low, first.High, first.Wide()}, [3]float64{80, 100, 20})
	is(t, "the least", [3]float64{third.Low, third.High, third.Wide()}, [3]float64{0, 80, 80})
	is(t, "per kg", first.PerKg, 5)
}
