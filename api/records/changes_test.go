package records_test

import (
	"testing"

	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// TestChangesCarryTheirPartInMembers holds that what is reported in one line stands
// in members of its own as well.
func TestChangesCarryTheirPartInMembers(t *testing.T) {
	text := func(s string) *string { return &s }
	list := records.WireChanges([]store.Change{
		{Version: 2, By: "Ann", Part: store.Part{Field: "class_code"}, To: text("8+")},
		{Part: store.Part{Field: "spread_cm", Seat: 3, Ranged: true}, From: text(`{"min":83,"max":88,"step":0.5,"cost":6}`)},
		{Part: store.Part{Field: "time_s", Piece: 2, PieceBoat: 1}, To: text("200.1")},
		{Part: store.Part{Field: "side", Athlete: 7}},
		{Part: store.Part{Field: "ergometer_test", TestedOn: "2026-01-07"}},
	})
	for i, want := range []struct{ what, field string }{
		{"class_code", "boat_class"}, {"seat 3 range of spread_cm", "spread_cm"}, {"piece 2 boat 1 time_s", "time_s"},
		{"side of athlete 7", "side"}, {"ergometer test 2026-01-07", "ergometer_test"},
	} {
		if list[i].What != want.what || list[i].Field != want.field {
			t.Errorf("%d is %s, %s, want %s, %s", i, list[i].What, list[i].Field, want.what, want.field)
		}
	}
	if r := list[1]; r.Seat != 3 || !r.Ranged() || *r.FromRange != (wire.ChangedRange{Min: 83, Max: 88, Step: 0.5, Cost: 6}) || *r.From != "83 to 88 step 0.5 cost 6" || r.To != nil {
		t.Errorf("the range is %+v", r)
	}
	if list[2].Piece != 2 || list[2].PieceBoat != 1 || list[3].AthleteID != 7 || list[4].TestedOn != "2026-01-07" || list[2].Ranged() {
		t.Errorf("%+v", list[2:])
	}
}
