package fleet_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"thole/api/apitest"
	"thole/api/fleet"
	"thole/api/settings"
	"thole/api/wire"
)

// complainsOf reports whether an error complains about a field.
func complainsOf(err error, field string) bool {
	var bad *wire.Invalid
	return errors.As(err, &bad) && slices.ContainsFunc(bad.Fields, func(f wire.FieldProblem) bool { return f.Field == field })
}

// TestLimitsOfABoat: the ends of each range are in it. The ranges are our
// judgement of what there can be.
func TestLimitsOfABoat(t *testing.T) {
	n := 0
	for _, c := range []struct {
		field     string
		set       func(*fleet.BoatFields, *float64)
		low, high float64
		beyond    float64
	}{
		{"hull_mass_kg", func(f *fleet.BoatFields, v *float64) { f.HullMassKg = v }, 8, 200, 0.01},
		{"built_for_kg", func(f *fleet.BoatFields, v *float64) { f.BuiltForKg = v }, 25, 130, 0.01},
		{"waterline_length_m", func(f *fleet.BoatFields, v *float64) { f.WaterlineLengthM = v }, 4, 20, 0.01},
		{"waterline_beam_m", func(f *fleet.BoatFields, v *float64) { f.WaterlineBeamM = v }, 0.2, 1.2, 0.01},
		{"seat_over_water_cm", func(f *fleet.BoatFields, v *float64) { f.SeatOverWaterCm = v }, -15, 40, 0.01},
	} {
		for v, bad := range map[float64]bool{c.low: false, c.high: false, c.low - c.beyond: true, c.high + c.beyond: true} {
			n++
			fields := fleet.BoatFields{Name: fmt.Sprint("Limit ", n), BoatClass: "1x"}
			c.set(&fields, &v)
			if _, err := apitest.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fields, By: "Ann"}); complainsOf(err, c.field) != bad {
				t.Errorf("%s %g: %v", c.field, v, err)
			}
		}
	}
}

func TestLimitsOfASetOfOars(t *testing.T) {
	for count, bad := range map[int]bool{-1: true, 0: false, 60: false, 61: true} {
		fields := fleet.OarFields{Name: fmt.Sprint("Oars ", count), Kind: "sweep", Count: count}
		if _, err := apitest.Service.Fleet.AddOarSet(t.Context(), fleet.NewOarSet{OarFields: fields, By: "Ann"}); complainsOf(err, "count") != bad {
			t.Errorf("%d oars: %v", count, err)
		}
	}
}

// TestLimitsOfARange: one value alone is a range, and moving may cost nothing.
func TestLimitsOfARange(t *testing.T) {
	good := settings.Adjustment{Min: 158, Max: 160, Step: 0.5, Cost: 1}
	for i, c := range []struct {
		change func(*settings.Adjustment)
		part   string // that is complained of
	}{
		{func(*settings.Adjustment) {}, ""}, {func(a *settings.Adjustment) { a.Min = 160 }, ""}, {func(a *settings.Adjustment) { a.Min = 160.5 }, ".min"},
		{func(a *settings.Adjustment) { a.Step = 0.01 }, ""}, {func(a *settings.Adjustment) { a.Step = 0.009 }, ".step"}, {func(a *settings.Adjustment) { a.Step = 20 }, ""},
		{func(a *settings.Adjustment) { a.Step = 20.1 }, ".step"}, {func(a *settings.Adjustment) { a.Cost = 0 }, ""}, {func(a *settings.Adjustment) { a.Cost = -0.1 }, ".cost"},
		{func(a *settings.Adjustment) { a.Cost = 1000 }, ""}, {func(a *settings.Adjustment) { a.Cost = 1000.1 }, ".cost"}, {func(a *settings.Adjustment) { a.Max = 400 }, ".max"},
	} {
		a := good
		c.change(&a)
		seats := apitest.Service.Fleet.UsualSeats("1x")
		seats[0].Adjust = map[string]settings.Adjustment{"span_cm": a}
		_, err := apitest.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: fmt.Sprint("Range ", i), BoatClass: "1x"}, Seats: seats, By: "Ann"})
		for _, part := range []string{".min", ".max", ".step", ".cost"} {
			if got := complainsOf(err, "seats[0].adjust.span_cm"+part); got != (part == c.part) {
				t.Errorf("%+v: %s complained of: %t: %v", a, part, got, err)
			}
		}
	}
}
