package club

import (
	"testing"

	"thole/api/store"
	"thole/api/wire"
)

// TestAgesAreCountedFromBirthday to birthday, to a tenth below; of a day before the birth,
// or one that is none, nothing is known.
func TestAgesAreCountedFromBirthday(t *testing.T) {
	for _, c := range []struct {
		born, day string
		want      float64 // -1: not known
	}{
		{"2000-02-29", "2018-02-28", 17.9}, {"2000-02-29", "2018-03-01", 18}, {"2000-05-01", "2018-05-01", 18}, {"2000-05-01", "2018-04-30", 17.9}, {"2000-05-01", "2000-05-01", 0},
		{"2000-05-01", "2000-04-30", -1}, {"2000", "2018-05-01", -1}, {"2000-05-01", "soon", -1}, {"2000-01-01", "2018-07-03", 18.5},
	} {
		got := ageOn(&c.born, c.day)
		if (got == nil) != (c.want < 0) || got != nil && *got != c.want {
			t.Errorf("born %s, on %s: %v, want %g", c.born, c.day, wire.Or(got, -1), c.want)
		}
	}
	day, year := "2000-05-01", int64(2000)
	for name, c := range map[string]struct {
		a    store.Athlete
		want float64
	}{"by the day": {store.Athlete{BirthDate: &day, BirthYear: &year}, 18}, "by the year": {store.Athlete{BirthYear: &year}, 17.8}, "by nothing": {store.Athlete{}, -1}} {
		if got := wire.Or(ageOf(&c.a, "2018-05-01"), -1); got != c.want {
			t.Errorf("%s: %g, want %g", name, got, c.want)
		}
	}
}
