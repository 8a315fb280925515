package rigging_test

import (
	"testing"

	"thole/rigging"
)

// TestUsualSetupIsUsual: the rig passes its check, no value of it is cautioned as
// unusual, and a body of medium size finishes in it near the arc it is meant for.
func TestUsualSetupIsUsual(t *testing.T) {
	for _, c := range rigging.Classes() {
		s := rigging.UsualSetup(c)
		if err := s.Check(); err != nil {
			t.Errorf("%s: %v", c.Code, err)
		}
		for _, name := range c.Settings() {
			r, ok := rigging.RangeOf(rigging.PlaceOf(rigging.FieldSeat, rigging.Field(name)), c)
			if v := s.Value(name); !ok || v < r.UsualLow-1e-9 || v > r.UsualHigh+1e-9 {
				t.Errorf("%s: %s of %g is outside %g to %g", c.Code, name, v, r.UsualLow, r.UsualHigh)
			}
		}
		medium := rigging.NewCase(s, &rigging.Measures{Stature: 1.80, Sex: rigging.Male})
		stroke := solved(t, &medium)
		degrees(t, c.Code+" finish", stroke.Finish, longArc(c).Finish.Degrees(), 3)
	}
}
