package db_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

// Thirteen hours east of Greenwich it is the next day at noon UTC.
func TestMomentsAreToldInTheClubsZone(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	s.SetZone(time.FixedZone("east", 13*3600))
	four := storetest.AddFour(t, s)
	at := []time.Time{storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, id, 0))[0].At, storetest.Must(s.RigHistory(storetest.Ctx, four, store.RigFilter{}))[0].At}
	for _, got := range at {
		storetest.WantEqual(t, got.Format(time.RFC3339), "2026-03-15T01:00:00+13:00")
	}
	var kept string
	storetest.Check(t, storetest.Writer(s).QueryRow("SELECT at FROM rig_changes").Scan(&kept))
	storetest.WantEqual(t, kept, "2026-03-14T12:00:00.000Z")
	sheet := storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: four, BoatVersion: 1}, storetest.Anna))
	h := storetest.Must(s.Sheet(storetest.Ctx, sheet))
	storetest.WantEqual(t, h.CreatedAt.Format(time.RFC3339), "2026-03-15T01:00:00+13:00")
	storetest.WantEqual(t, h.DoneAt.IsZero(), true)
}
