package setup_test

import (
	"fmt"
	"net/http"
	"testing"

	"thole/api/apitest"
)

// TestASheetIsUndoneAsAWhole: everything that it changed is as before, once; and
// nothing is, once one of its settings was changed again.
func TestASheetIsUndoneAsAWhole(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	before := apitest.BoatAt(t, h.BoatID).Seats
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "spread_cm", 85.4))
	apitest.PutJSON(t, path+"/readings/b", apitest.Reading(2, "spread_cm", 85.2))
	apitest.Answered(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Bram"})
	undo := fmt.Sprintf("%s/rig/sheets/%d/undo", apitest.BoatPath(h.BoatID), h.ID)
	apitest.Created(t, undo, apitest.Object{"by": "Cleo", "why": "wrong boat"})
	now := apitest.BoatAt(t, h.BoatID).Seats
	for i := range before {
		apitest.Same(t, fmt.Sprintf("seat %d", i+1), *now[i].Seat.SpreadCm, *before[i].Seat.SpreadCm)
	}
	if w := apitest.Post(t, undo, apitest.Object{"by": "Cleo"}); w.Code != http.StatusConflict {
		t.Errorf("again: %d %s", w.Code, w.Body)
	}
	if w := apitest.Post(t, fmt.Sprintf("%s/rig/sheets/%d/undo", apitest.BoatPath(h.BoatID), h.ID+999), apitest.Object{"by": "Cleo"}); w.Code != http.StatusNotFound {
		t.Errorf("another sheet: %d", w.Code)
	}
}

func TestNothingIsUndoneWhereASettingHasMovedOn(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "spread_cm", 85.4))
	apitest.PutJSON(t, path+"/readings/b", apitest.Reading(2, "spread_cm", 85.2))
	apitest.Answered(t, path+"/finish", apitest.Object{"boat_version": h.BoatNow, "by": "Bram"})
	boat := apitest.BoatAt(t, h.BoatID)
	apitest.PutJSON(t, apitest.BoatPath(h.BoatID)+"/rig", apitest.Object{"version": boat.Version, "by": "Ann", "settings": []any{apitest.Object{"seat": 2, "setting": "spread_cm", "value": 84.0}}})
	w := apitest.Post(t, fmt.Sprintf("%s/rig/sheets/%d/undo", apitest.BoatPath(h.BoatID), h.ID), apitest.Object{"by": "Cleo"})
	apitest.Same(t, "status", w.Code, http.StatusConflict)
	now := apitest.BoatAt(t, h.BoatID)
	apitest.Same(t, "seat 1", *now.Seats[0].Seat.SpreadCm, 85.4)
	apitest.Same(t, "seat 2", *now.Seats[1].Seat.SpreadCm, 84.0)
}
