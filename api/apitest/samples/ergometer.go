package apitest

import (
	"fmt"
	"testing"
	"time"

	"thole/api/store"
)

const ergPath = "/api/v1/athletes/:id/ergometer"

// ErgOf is the address of an athlete's ergometer.
func ErgOf(id int64) string { return fmt.Sprintf("/api/v1/athletes/%d/ergometer", id) }

// DaysAgo is a day before today.
func DaysAgo(n int) string { return time.Now().AddDate(0, 0, -n).Format(time.DateOnly) }

// fullTest states everything about a test over 2000 m.
func fullTest(ago int) Object {
	return Object{
		"tested_on": DaysAgo(ago), "fixed": "distance", "distance_m": 2000.0, "time_s": 420.0, "mass_kg": 70.0, "note": "sliders", "sure": true, "by": "Ines",
	}
}

func bareTest(ago int, distance, seconds float64) Object {
	return Object{"tested_on": DaysAgo(ago), "fixed": "distance", "distance_m": distance, "time_s": seconds, "by": "Ines"}
}

// ergAthletes puts athletes on record whose ergometers tell all there is: one
// with critical power and its scatter, one with that of two tests and a warning,
// one with doubts, one whose tests cannot be used, and one without.
func ergAthletes(t testing.TB) []sample {
	t.Helper()
	var list []sample
	for _, tests := range [][]Object{
		{fullTest(9), bareTest(8, 1000, 195), bareTest(7, 3000, 655), bareTest(6, 500, 92)},
		{bareTest(9, 2000, 420), bareTest(8, 6000, 1350)},
		{bareTest(30, 2000, 422.4), bareTest(3, 2000, 510.4)},
		{}, {},
		{bareTest(8, 1000, 195), bareTest(7, 3000, 655)},
	} {
		id := Created(t, "/api/v1/athletes", Object{"name": Fresh("Erna"), "by": "Ines"})
		for _, body := range tests {
			Created(t, ErgOf(id), body)
		}
		list = append(list, sample{path: ErgOf(id)})
		switch len(list) {
		case 1:
			Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), Object{"measured_on": DaysAgo(9), "mass_kg": 70.0, "measured_by": "Ines"})
		case 4:
			_, err := scratch.SaveErgTests(t.Context(), []store.ErgTest{{AthleteID: id, TestedOn: DaysAgo(3), Fixed: store.FixedTime, DistanceM: 2000, TimeS: 1}})
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	return list
}

func init() {
	Samples["GET "+ergPath] = ergAthletes
	Samples["POST "+ergPath] = func(t testing.TB) []sample {
		id := Created(t, "/api/v1/athletes", BareAthlete())
		return []sample{{ErgOf(id), fullTest(5)}, {ErgOf(id), bareTest(4, 6000, 1350)}}
	}
	Samples["DELETE "+ergPath+"/:test"] = func(t testing.TB) []sample {
		id := Created(t, "/api/v1/athletes", BareAthlete())
		return []sample{{path: fmt.Sprintf("%s/%d?by=Ines", ErgOf(id), Created(t, ErgOf(id), fullTest(5)))}}
	}
}
