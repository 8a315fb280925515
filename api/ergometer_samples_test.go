package api_test

import (
	"fmt"
	"testing"
	"time"

	"thole/api/store"
)

const ergPath = "/api/v1/athletes/:id/ergometer"

// ergOf is the address of an athlete's ergometer.
func ergOf(id int64) string { return fmt.Sprintf("/api/v1/athletes/%d/ergometer", id) }

// daysAgo is a day before today.
func daysAgo(n int) string { return time.Now().AddDate(0, 0, -n).Format(time.DateOnly) }

// fullTest states everything about a test over 2000 m.
func fullTest(ago int) object {
	return object{
		"tested_on": daysAgo(ago), "fixed": "distance", "distance_m": 2000.0, "time_s": 420.0, "mass_kg": 70.0, "note": "sliders", "sure": true, "by": "Ines",
	}
}

func bareTest(ago int, distance, seconds float64) object {
	return object{"tested_on": daysAgo(ago), "fixed": "distance", "distance_m": distance, "time_s": seconds, "by": "Ines"}
}

// ergAthletes puts athletes on record whose ergometers tell all there is: one
// with critical power and its scatter, one with that of two tests and a warning,
// one with doubts, one whose tests cannot be used, and one without.
func ergAthletes(t testing.TB) []sample {
	t.Helper()
	var list []sample
	for _, tests := range [][]object{
		{fullTest(9), bareTest(8, 1000, 195), bareTest(7, 3000, 655), bareTest(6, 500, 92)},
		{bareTest(9, 2000, 420), bareTest(8, 6000, 1350)},
		{bareTest(30, 2000, 422.4), bareTest(3, 2000, 510.4)},
		{}, {},
		{bareTest(8, 1000, 195), bareTest(7, 3000, 655)},
	} {
		id := created(t, "/api/v1/athletes", object{"name": fresh("Erna"), "by": "Ines"})
		for _, body := range tests {
			created(t, ergOf(id), body)
		}
		list = append(list, sample{path: ergOf(id)})
		switch len(list) {
		case 1:
			created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), object{"measured_on": daysAgo(9), "mass_kg": 70.0, "measured_by": "Ines"})
		case 4:
			_, err := scratch.SaveErgTests(t.Context(), []store.ErgTest{{AthleteID: id, TestedOn: daysAgo(3), Fixed: store.FixedTime, DistanceM: 2000, TimeS: 1}})
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	return list
}

func init() {
	samples["GET "+ergPath] = ergAthletes
	samples["POST "+ergPath] = func(t testing.TB) []sample {
		id := created(t, "/api/v1/athletes", bareAthlete())
		return []sample{{ergOf(id), fullTest(5)}, {ergOf(id), bareTest(4, 6000, 1350)}}
	}
	samples["DELETE "+ergPath+"/:test"] = func(t testing.TB) []sample {
		id := created(t, "/api/v1/athletes", bareAthlete())
		return []sample{{path: fmt.Sprintf("%s/%d?by=Ines", ergOf(id), created(t, ergOf(id), fullTest(5)))}}
	}
}
