package samples

import (
	"fmt"
	"testing"
	"time"

	"thole/api/apitest"
	"thole/api/store"
	"thole/api/storetest"
)

const (
	evidencePath = "/api/v1/squad/evidence"
	opinionsPath = "/api/v1/athletes/:id/opinions"
)

// OpinionsOf is the address of the opinions about an athlete.
func OpinionsOf(id int64) string { return fmt.Sprintf("/api/v1/athletes/%d/opinions", id) }

func anOpinion(ago int) apitest.Object {
	return apitest.Object{"said_on": apitest.DaysAgo(ago), "power_w": 320.0, "sd_w": 15.0, "note": "calm", "by": "Ines"}
}

// everySource puts four scullers on record: one tested, recorded, raced and
// judged, one raced and recorded alone, one of whom nothing is known, and one
// tested.
func everySource(t testing.TB) []Sample {
	t.Helper()
	var ids []int64
	for range 4 {
		ids = append(ids, apitest.Created(t, "/api/v1/athletes", apitest.Object{"name": apitest.Fresh("Erna"), "sculls": true, "by": "Ines"}))
	}
	apitest.Created(t, apitest.ErgOf(ids[0]), bareTest(3, 2000, 420))
	apitest.Created(t, apitest.ErgOf(ids[3]), bareTest(3, 2000, 425))
	apitest.Created(t, OpinionsOf(ids[0]), anOpinion(1))
	boat := apitest.KnownBoat(t)
	race := store.SeatRace{Name: apitest.Fresh("Race"), HeldOn: apitest.DaysAgo(1), DistanceM: 1000, ClassCode: "1x"}
	piece := store.Piece{Number: 1, State: store.Raced, EnteredBy: "Ines", EnteredAt: time.Now()}
	for i, id := range ids[:2] {
		kept := apitest.KeepingOf(apitest.Uploaded(t, apitest.Rows(20, apitest.Known)), boat, id)
		kept["recorded_on"] = apitest.DaysAgo(2)
		apitest.Kept(t, kept)
		race.Athletes = append(race.Athletes, store.SeatRaceAthlete{AthleteID: id})
		piece.Boats = append(piece.Boats, store.PieceBoat{Crew: []int64{id}, TimeS: new(240.0 + float64(i))})
	}
	race.Pieces = []store.Piece{piece}
	if _, err := storetest.AddSeatRace(apitest.Scratch, race, store.By{Name: "Ines"}); err != nil {
		t.Fatal(err)
	}
	return []Sample{{}}
}

func init() {
	Of["GET "+evidencePath] = everySource
	Of["GET "+opinionsPath] = func(t testing.TB) []Sample {
		id := apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
		apitest.Created(t, OpinionsOf(id), anOpinion(3))
		return []Sample{{path: OpinionsOf(id)}}
	}
	Of["POST "+opinionsPath] = func(t testing.TB) []Sample {
		id := apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
		bare := anOpinion(4)
		delete(bare, "note")
		return []Sample{{OpinionsOf(id), anOpinion(5)}, {OpinionsOf(id), bare}}
	}
	Of["DELETE "+opinionsPath+"/:opinion"] = func(t testing.TB) []Sample {
		id := apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
		return []Sample{{path: fmt.Sprintf("%s/%d", OpinionsOf(id), apitest.Created(t, OpinionsOf(id), anOpinion(5)))}}
	}
}
