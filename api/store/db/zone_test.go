package store

import (
	"testing"
	"time"
)

// Thirteen hours east of Greenwich it is the next day at noon UTC.
func TestMomentsAreToldInTheClubsZone(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	s.SetZone(time.FixedZone("east", 13*3600))
	four := addFour(t, s)
	at := []time.Time{must(s.Changes(ctx, AthleteRecord, id, 0))[0].At, must(s.RigHistory(ctx, four, RigFilter{}))[0].At}
	for _, got := range at {
		wantEqual(t, got.Format(time.RFC3339), "2026-03-15T01:00:00+13:00")
	}
	var kept string
	check(t, s.writer.QueryRow("SELECT at FROM rig_changes").Scan(&kept))
	wantEqual(t, kept, "2026-03-14T12:00:00.000Z")
	sheet := must(s.AddSheet(ctx, Sheet{BoatID: four, BoatVersion: 1}, anna))
	h := must(s.Sheet(ctx, sheet))
	wantEqual(t, h.CreatedAt.Format(time.RFC3339), "2026-03-15T01:00:00+13:00")
	wantEqual(t, h.DoneAt.IsZero(), true)
}
