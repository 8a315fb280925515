package apitest

import (
	"fmt"
	"testing"
	"time"

	"thole/api/store"
)

const (
	evidencePath = "/api/v1/squad/evidence"
	opinionsPath = "/api/v1/athletes/:id/opinions"
)

// OpinionsOf is the address of the opinions about an athlete.
func OpinionsOf(id int64) string { return fmt.Sprintf("/api/v1/athletes/%d/opinions", id) }

func anOpinion(ago int) Object {
	return Object{"said_on": DaysAgo(ago), "power_w": 320.0, "sd_w": 15.0, "note": "calm", "by": "Ines"}
}

// everySource puts four scullers on record: one tested, recorded, raced and
// judged, one raced and recorded alone, one of whom nothing is known, and one
// tested.
func everySource(t testing.TB) []sample {
	t.Helper()
	var ids []int64
	for range 4 {
		ids = append(ids, Created(t, "/api/v1/athletes", Object{"name": Fresh("Erna"), "sculls": true, "by": "Ines"}))
	}
	Created(t, ErgOf(ids[0]), bareTest(3, 2000, 420))
	Created(t, ErgOf(ids[3]), bareTest(3, 2000, 425))
	Created(t, OpinionsOf(ids[0]), anOpinion(1))
	boat := knownBoat(t)
	race := store.SeatRace{Name: Fresh("Race"), HeldOn: DaysAgo(1), DistanceM: 1000, ClassCode: "1x"}
	piece := store.Piece{Number: 1, State: store.Raced, EnteredBy: "Ines", EnteredAt: time.Now()}
	for i, id := range ids[:2] {
		kept := KeepingOf(Uploaded(t, Rows(20, Known)), boat, id)
		kept["recorded_on"] = DaysAgo(2)
		Kept(t, kept)
		race.Athletes = append(race.Athletes, store.SeatRaceAthlete{AthleteID: id})
		piece.Boats = append(piece.Boats, store.PieceBoat{Crew: []int64{id}, TimeS: new(240.0 + float64(i))})
	}
	race.Pieces = []store.Piece{piece}
	if _, err := scratch.AddSeatRace(t.Context(), race, store.By{Name: "Ines"}); err != nil {
		t.Fatal(err)
	}
	return []sample{{}}
}

func init() {
	Samples["GET "+evidencePath] = everySource
	Samples["GET "+opinionsPath] = func(t testing.TB) []sample {
		id := Created(t, "/api/v1/athletes", BareAthlete())
		Created(t, OpinionsOf(id), anOpinion(3))
		return []sample{{path: OpinionsOf(id)}}
	}
	Samples["POST "+opinionsPath] = func(t testing.TB) []sample {
		id := Created(t, "/api/v1/athletes", BareAthlete())
		bare := anOpinion(4)
		delete(bare, "note")
		return []sample{{OpinionsOf(id), anOpinion(5)}, {OpinionsOf(id), bare}}
	}
	Samples["DELETE "+opinionsPath+"/:opinion"] = func(t testing.TB) []sample {
		id := Created(t, "/api/v1/athletes", BareAthlete())
		return []sample{{path: fmt.Sprintf("%s/%d", OpinionsOf(id), Created(t, OpinionsOf(id), anOpinion(5)))}}
	}
}
