package seatrace

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"thole/selection"
)

// crewTime is the time of a boat by t ∝ ΣP^(−1/3).
func crewTime(power float64) float64 { return 190 * math.Cbrt(1400/power) }

func TestSlopeOfTimeOverPower(t *testing.T) {
	const h = 0.01
	c := Conversion{Time: 190, TotalPower: 1400}
	near(t, "−dt/dP", c.Seconds(1), (crewTime(1400-h)-crewTime(1400+h))/(2*h), 1e-9)
}

// Crews whose times follow from their powers give these powers back.
func TestRacePowerIsRecovered(t *testing.T) {
	power := map[string]float64{}
	pieces := eightRaces()
	for i, id := range letters(8) {
		power[id] = 350 + 4*float64(i) - 14
	}
	for r, p := range pieces {
		for _, crew := range p.Crews {
			sum := 0.0
			for _, id := range crew {
				sum += power[id]
			}
			pieces[r].Times = append(pieces[r].Times, crewTime(sum))
		}
	}
	r := estimate(t, pieces, Options{NoiseSD: 1})
	got, err := r.RacePower(350, Conversion{Time: r.Time, TotalPower: 1400})
	if err != nil {
		t.Fatal(err)
	}
	for i, id := range got.IDs {
		near(t, id, got.Watts[i], power[id], 0.15) // the slope is not quite constant
	}
	difference := r.Racing.Difference("a", "b")
	near(t, "standard deviation", math.Sqrt(pairForm(got.Cov, 0, 1)), difference.SD*3*1400/r.Time, 1e-9)
}

func TestPowerPriorComesBackWhenNothingWasRaced(t *testing.T) {
	athletes := []selection.Athlete{{ID: "a", Power: 340, PowerSD: 10}, {ID: "b", Power: 360, PowerSD: 5}}
	c := Conversion{Time: 210, TotalPower: 350}
	prior, level, err := PriorFromPower(athletes, c)
	if err != nil {
		t.Fatal(err)
	}
	pieces := []selection.Piece{{Crews: [][]string{{"a"}, {"b"}}, Times: []float64{210, 0}}}
	r := estimate(t, pieces, Options{Prior: prior})
	got, err := r.RacePower(level, c)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "a", got.Watts[0], 340, 1e-6)
	near(t, "b", got.Watts[1], 360, 1e-6)
	want := mat.NewSymDense(2, []float64{100, 0, 0, 25})
	if !mat.EqualApprox(got.Cov, want, 1e-6) {
		t.Errorf("covariance %v", mat.Formatted(got.Cov))
	}
}

func TestRacePowerNeedsAPriorWhereSomethingIsOpen(t *testing.T) {
	r := estimate(t, world{base: 190}.race(schedule("AABB"), nil), Options{})
	_, err := r.RacePower(350, Conversion{Time: 190, TotalPower: 700})
	if err == nil || !containsAll(err.Error(), []string{"prior", "always in the same boat"}) {
		t.Errorf("error %v", err)
	}
}

func TestPowerRefusesWhatIsMissing(t *testing.T) {
	_, _, err := PriorFromPower([]selection.Athlete{{ID: "a", Power: 340}}, Conversion{Time: 190, TotalPower: 1400})
	wantFault(t, err, "athletes.a", "standard deviation")
	_, _, err = PriorFromPower(nil, Conversion{})
	wantFault(t, err, "conversion.time", "above 0 s")
	wantFault(t, err, "conversion.total_power", "above 0 W")
	r := estimate(t, world{base: 190}.race(eightRaces(), nil), Options{})
	if _, err := r.RacePower(math.NaN(), Conversion{Time: 190, TotalPower: 1400}); err == nil {
		t.Error("a level that is not a number was taken")
	}
}
