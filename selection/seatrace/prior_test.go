package seatrace

import (
	"slices"
	"strings"
	"testing"

	"thole/selection"
)

// Many pieces judge the spread of the athletes: 2 s drawn, whatever is said.
func TestPiecesJudgeTheSpreadOfAPrior(t *testing.T) {
	races := slices.Concat(eightRaces(), eightRaces(), eightRaces())
	for stated, word := range map[float64]string{0.5: "differ more", 2: "", 8: "differ less"} {
		mean := 0.0
		for seed := range uint64(20) {
			rng := seeded(seed)
			w := world{effect: map[string]float64{}, base: 190, noise: 0.8}
			for _, id := range letters(8) {
				w.effect[id] = 2 * rng.NormFloat64()
			}
			r := estimate(t, w.race(races, rng), Options{Prior: &Prior{SD: stated}})
			mean += r.PriorScale * stated / 20
			if text := scaleText(r.PriorScale); !slices.Contains(append(r.Notes, Note{}), Note{Text: text}) {
				t.Errorf("%q is not among the notes %q", text, r.Notes)
			}
		}
		near(t, "spread", mean, 2, 0.6) // seven differences, and what was stated pulls
		if text := scaleText(mean / stated); word == "" && text != "" || !strings.Contains(text, word) {
			t.Errorf("%g s stated: %q", stated, text)
		}
	}
}

func TestPriorStandsWhereNothingWasRaced(t *testing.T) {
	pieces := []selection.Piece{{Crews: [][]string{{"a"}, {"b"}}, Times: []float64{200, 0}}}
	r := estimate(t, pieces, Options{Prior: &Prior{SD: 2}})
	near(t, "factor", r.PriorScale, 1, 1e-12)
	near(t, "standard deviation", r.Joint.Effects[0].SD, 2, 1e-12)
}
