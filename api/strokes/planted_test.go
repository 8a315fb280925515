package strokes_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/strokes"
	"thole/selection/stroke"
)

// plantedCrew keeps a four on record, 40 s at 30 a minute with 5 % of noise on
// the force, seat 1 with a fault; it returns the recordings by seat.
func plantedCrew(t *testing.T, seed uint64, fault func(angle, force, vertical float64) (float64, float64, float64)) []int64 {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 7))
	p := apitest.Puller{Catch: -56, Finish: 34, Peak: 600, Period: 2}
	var b strings.Builder
	b.WriteString(stroke.PlainHeader + "\n")
	for i := range 40 * 50 {
		for seat := range 4 {
			angle, force, vertical := p.Pull(float64(i) / 50)
			if vertical > 2.4 {
				vertical = 5 // carried clear of the water
			}
			if seat == 0 {
				angle, force, vertical = fault(angle, force, vertical)
			}
			if force > 0 {
				force += 30 * rng.NormFloat64()
			}
			fmt.Fprintf(&b, "%.3f,%d,%.3f,%.2f,%.3f,4.500\n", float64(i)/50, seat+1, angle+0.1*rng.NormFloat64(), force, vertical+0.05*rng.NormFloat64())
		}
	}
	boat := apitest.Created(t, "/api/v1/boats", apitest.Object{"name": apitest.Fresh("Planted"), "boat_class": "4-", "by": "Ines"})
	var ids []int64
	for _, r := range apitest.Kept(t, apitest.Object{
		"upload": apitest.Uploaded(t, b.String()), "force": "handle", "levers": apitest.Parsed(`{"in_cm":101,"out_cm":230}`), "recorded_on": "2026-03-04", "boat_id": float64(boat),
		"seats": []any{apitest.Object{"seat": "1"}, apitest.Object{"seat": "2"}, apitest.Object{"seat": "3"}, apitest.Object{"seat": "4"}},
	}) {
		ids = append(ids, r.ID)
	}
	return ids
}

// TestPlantedFaultsComeFirst goes the whole way from a file to the answer.
func TestPlantedFaultsComeFirst(t *testing.T) {
	for want, fault := range map[string]func(a, f, v float64) (float64, float64, float64){
		"catch_slip": func(a, f, v float64) (float64, float64, float64) {
			if a < -40 {
				f = 0
			}
			return a, f, v
		},
		"release_slip": func(a, f, v float64) (float64, float64, float64) {
			if a > 18 {
				f = 0
			}
			return a, f, v
		},
		"depth": func(a, f, v float64) (float64, float64, float64) {
			if v < 0 {
				v *= 2
			}
			return a, f, v
		},
		"catch": func(a, f, v float64) (float64, float64, float64) { return 34 + (a-34)*82/90, f, v },
	} {
		for seed := range uint64(2) {
			crew := plantedCrew(t, seed, fault)
			f := first(t, strokes.FirstRequest{ID: crew[0]})
			if len(f.Findings) == 0 || f.Findings[0].Item != want {
				t.Errorf("%s, seed %d: %s %+v", want, seed, f.Said, f.Findings)
			}
			if other := first(t, strokes.FirstRequest{ID: crew[2]}); len(other.Findings) != 0 {
				t.Errorf("%s, seed %d: a clean rower is told %q", want, seed, other.Findings[0].Said)
			}
		}
	}
}
