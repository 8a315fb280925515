package samples

import (
	"fmt"
	"testing"

	"thole/api/apitest"
	"thole/api/store"
)

const ergPath = "/api/v1/athletes/:id/ergometer"

// fullTest states everything about a test over 2000 m.
func fullTest(ago int) apitest.Object {
	return apitest.Object{
		"tested_on": apitest.DaysAgo(ago), "fixed": "distance", "distance_m": 2000.0, "time_s": 420.0, "mass_kg": 70.0, "note": "sliders", "sure": true, "by": "Ines",
	}
}

func bareTest(ago int, distance, seconds float64) apitest.Object {
	return apitest.Object{"tested_on": apitest.DaysAgo(ago), "fixed": "distance", "distance_m": distance, "time_s": seconds, "by": "Ines"}
}

// ergAthletes puts athletes on record whose ergometers tell all there is: one
// with critical power and its scatter, one with that of two tests and a warning,
// one with doubts, one whose tests cannot be used, and one without.
func ergAthletes(t testing.TB) []Sample {
	t.Helper()
	var list []Sample
	for _, tests := range [][]apitest.Object{
		{fullTest(9), bareTest(8, 1000, 195), bareTest(7, 3000, 655), bareTest(6, 500, 92)},
		{bareTest(9, 2000, 420), bareTest(8, 6000, 1350)},
		{bareTest(30, 2000, 422.4), bareTest(3, 2000, 510.4)},
		{}, {},
		{bareTest(8, 1000, 195), bareTest(7, 3000, 655)},
	} {
		id := apitest.Created(t, "/api/v1/athletes", apitest.Object{"name": apitest.Fresh("Erna"), "by": "Ines"})
		for _, body := range tests {
			apitest.Created(t, apitest.ErgOf(id), body)
		}
		list = append(list, Sample{path: apitest.ErgOf(id)})
		switch len(list) {
		case 1:
			apitest.Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), apitest.Object{"measured_on": apitest.DaysAgo(9), "mass_kg": 70.0, "measured_by": "Ines"})
		case 4:
			_, err := apitest.Scratch.SaveErgTests(t.Context(), []store.ErgTest{{AthleteID: id, TestedOn: apitest.DaysAgo(3), Fixed: store.FixedTime, DistanceM: 2000, TimeS: 1}})
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	return list
}

func init() {
	Of["GET "+ergPath] = ergAthletes
	Of["POST "+ergPath] = func(t testing.TB) []Sample {
		id := apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
		return []Sample{{apitest.ErgOf(id), fullTest(5)}, {apitest.ErgOf(id), bareTest(4, 6000, 1350)}}
	}
	Of["DELETE "+ergPath+"/:test"] = func(t testing.TB) []Sample {
		id := apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
		return []Sample{{path: fmt.Sprintf("%s/%d?by=Ines", apitest.ErgOf(id), apitest.Created(t, apitest.ErgOf(id), fullTest(5)))}}
	}
}
