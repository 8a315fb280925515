package setup

import (
	"testing"

	"thole/api/setup"
)

// TestWhyASeatIsOffTarget: a finish off by more than the tolerance, on its side; an arc
// that the body does not reach; a setting that ends.
func TestWhyASeatIsOffTarget(t *testing.T) {
	for _, c := range []struct {
		finish, short float64
		stops, held   []string
		want          string
	}{
		{1, 1, nil, nil, ""},
		{1.6, 0, nil, nil, "finish 2° past the target"},
		{-1.6, 0, nil, nil, "finish 2° short of the target"},
		{0, 3, nil, nil, "the body reaches 3° short of the catch"},
		{-4, 3, []string{"heel_to_pin_cm"}, nil, "finish 4° short of the target; the body reaches 3° short of the catch; stretcher position ends before the place"},
		{0, 3, nil, []string{"rotation"}, "the body reaches 3° short of the catch; more would bring a caution"},
		{0, 0, nil, []string{"rotation"}, ""},
	} {
		s := &setup.SetupSeat{Stops: c.stops, Result: &setup.SeatOutcome{}}
		s.HeldBy = c.held
		s.Result.FinishByDeg, s.Result.CatchShortDeg, s.Result.ToleranceDeg = c.finish, c.short, 1
		if got := reasonOf(s); got != c.want {
			t.Errorf("%g°, %g°, %v: %q, want %q", c.finish, c.short, c.stops, got, c.want)
		}
		s.Result.MeasureRower = true
		if got := reasonOf(s); got != "" {
			t.Errorf("a rower to be measured first: %q", got)
		}
	}
}
