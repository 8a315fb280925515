package advice_test

import (
	"testing"

	"thole/api/apitest"
)

// TestTheUsualSeat is that of the newest recording whose file tells it, until a work
// sheet names another; who is in neither has none.
func TestTheUsualSeat(t *testing.T) {
	usual := func(what string, athlete, wantBoat int64, wantSeat int) {
		t.Helper()
		boat, seat, err := apitest.Service.Advice.UsualSeat(t.Context(), athlete)
		if err != nil || boat != wantBoat || seat != wantSeat {
			t.Errorf("%s: boat %d, seat %d, want %d, %d: %v", what, boat, seat, wantBoat, wantSeat, err)
		}
	}
	athlete, single := apitest.KnownAthlete(t), apitest.KnownBoat(t)
	usual("nothing on record", athlete, 0, 0)
	keep := func(boat any) {
		t.Helper()
		apitest.Kept(t, apitest.KeepingOf(apitest.Uploaded(t, apitest.Rows(12, apitest.Known)), boat, athlete))
	}
	keep(nil)
	usual("rowed in no boat of the club", athlete, 0, 0)
	keep(single)
	keep(nil)
	usual("rowed in a boat, and since then in none", athlete, int64(single.(float64)), 1)
	_, sheet := apitest.NewSheet(t, func(o apitest.Object) {
		o["crew"].([]any)[1] = apitest.Object{"seat": 2, "athlete_id": athlete}
	})
	usual("on a work sheet", athlete, sheet.BoatID, 2)
}
