package samples

import (
	"fmt"
	"testing"
	"time"

	"thole/api/apitest"
	"thole/api/store"
	"thole/api/storetest"
)

// fullTwo states everything there is to state of both boats.
func fullTwo() apitest.Object {
	first, second := apitest.FullOrder(), apitest.Order("4-", 12, "pattern_free", true)
	squad := first["candidates"]
	delete(first, "candidates")
	delete(second, "candidates")
	delete(first, "out")
	return apitest.Object{"candidates": squad, "first": first, "second": second, "aim": "first"}
}

func savedLineups(t testing.TB) []Sample {
	t.Helper()
	double := apitest.Object{
		"name": apitest.Fresh("Four"), "boat_class": "4x", "by": "Ines",
		"seats": []any{apitest.Object{"athlete_id": apitest.KnownAthlete(t)}, apitest.Object{"athlete_id": nil}, apitest.Object{"athlete_id": nil}, apitest.Object{"athlete_id": nil}},
	}
	var list []Sample
	for _, body := range []apitest.Object{apitest.SavedPair(t), double} {
		list = append(list, Sample{path: fmt.Sprintf("%s/%d", apitest.SavedPath, apitest.Created(t, apitest.SavedPath, body))})
	}
	return list
}

// cases are line-ups with all there is to tell: of tested athletes, one of whom
// waits outside, who raced as a pair; with an empty seat; and of somebody of whom
// nothing is known.
func cases(t testing.TB) []Sample {
	t.Helper()
	var ids []int64
	for range 3 {
		name := apitest.Tested(t, "female", "0", "0.5")
		list, err := apitest.Scratch.Athletes(t.Context(), store.Filter{Name: name})
		if err != nil || len(list) != 1 {
			t.Fatal(list, err)
		}
		ids = append(ids, list[0].ID)
	}
	pair := apitest.Object{"name": apitest.Fresh("Pair"), "boat_class": "2-", "by": "Ines", "seats": []any{
		apitest.Object{"athlete_id": ids[0], "side": "starboard"}, apitest.Object{"athlete_id": ids[1], "side": "port"},
	}}
	race := store.SeatRace{Name: apitest.Fresh("Race"), HeldOn: apitest.DaysAgo(1), DistanceM: 1000, ClassCode: "2-"}
	for _, id := range ids {
		race.Athletes = append(race.Athletes, store.SeatRaceAthlete{AthleteID: id})
	}
	for number, time1 := range []*float64{new(240.0), nil} {
		race.Pieces = append(race.Pieces, store.Piece{
			Number: number + 1, State: store.Raced, EnteredBy: "Ines", EnteredAt: time.Now(),
			Boats: []store.PieceBoat{{Crew: []int64{ids[0], ids[1+number]}, TimeS: time1}},
		})
	}
	if _, err := storetest.AddSeatRace(apitest.Scratch, race, store.By{Name: "Ines"}); err != nil {
		t.Fatal(err)
	}
	list := []Sample{{path: fmt.Sprintf("%s/%d/why", apitest.SavedPath, apitest.Created(t, apitest.SavedPath, pair))}}
	for _, s := range savedLineups(t) {
		list = append(list, Sample{path: s.path + "/why"})
	}
	return list
}

func init() {
	// Gathered from the records, a candidate always has these; curves and the
	// covariance of a race need a club, such as the demo's.
	for _, member := range []string{"candidates.name", "candidates.power_sd_w", "candidates.curve", "power_covariance_w2"} {
		apitest.Settled = append(apitest.Settled, "GET "+apitest.SquadPath+"."+member)
	}
	Of["POST "+apitest.LineupsPath] = bodies(apitest.FullOrder(), apitest.FirmOrder("4-", 40), apitest.Order("2x", 3), apitest.Order("4-", 8, "pattern_free", true, "fold", true))
	Of["POST "+apitest.CrewsPath] = bodies(apitest.FullOrder(), apitest.Order("2x", 3, "crews", 2, "orders", 1, "fold", true),
		apitest.Order("4-", 8, "pattern", []any{"either", "port", "either", "port"}, "rigged", []any{"starboard", "port", "starboard", "port"}, "rerig_s", 0.2, "fold", true))
	// Null where the search was stopped before it found anything.
	apitest.Settled = append(apitest.Settled, "POST "+apitest.TwoPath+".first", "POST "+apitest.TwoPath+".second")
	Of["POST "+apitest.TwoPath] = bodies(apitest.TwoOrder(7, apitest.Object{"boat_class": "4-"}, apitest.Object{"boat_class": "2-"}, "first"), apitest.TwoOrder(5, apitest.Object{"boat_class": "2x"}, apitest.Object{"boat_class": "2x"}, "sum"), fullTwo())
	Of["POST "+apitest.CostPath] = bodies(apitest.Given(apitest.Order("2-", 4), "ba"), apitest.Given(apitest.Order("2-", 4, "out", []any{"a"}), "ab", "port", "starboard"))
	Of["POST "+apitest.ExplainPath] = bodies(apitest.Given(apitest.FullOrder(), "bcdefgha"), apitest.Given(apitest.Order("2-", 2), "ba"))
	Of["GET "+apitest.SquadPath] = func(t testing.TB) []Sample {
		apitest.Tested(t, "female", "0", "1")
		apitest.Tested(t, "", "", "0")
		apitest.Tested(t, "male", "0", "")
		return []Sample{{path: apitest.SquadPath + "?boat_class=8%2B"}, {path: apitest.SquadPath + "?boat_class=2x"}}
	}
	Of["GET "+apitest.SavedPath] = func(t testing.TB) []Sample { savedLineups(t); return []Sample{{}} }
	Of["POST "+apitest.SavedPath] = func(t testing.TB) []Sample {
		return []Sample{{Body: apitest.SavedPair(t)}, {Body: apitest.Object{"name": apitest.Fresh("Single"), "boat_class": "1x", "by": "Ines", "seats": []any{apitest.Object{"athlete_id": nil}}}}}
	}
	Of["GET "+apitest.SavedPath+"/:id"] = savedLineups
	Of["DELETE "+apitest.SavedPath+"/:id"] = savedLineups
	Of["GET "+apitest.SavedPath+"/:id/why"] = cases
	Of["PUT "+apitest.SavedPath+"/:id/note"] = func(t testing.TB) []Sample {
		list := savedLineups(t)
		for i, note := range []string{"calm at the start", ""} {
			list[i] = Sample{list[i].path + "/note", apitest.Object{"version": 1.0, "note": note, "by": "Ines"}}
		}
		return list
	}
}
