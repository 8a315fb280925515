package store_test

import (
	"slices"
	"strings"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

// TestTypedFindsWhatPeopleWrote: names, notes and reasons that hold a side, a measure, a
// decimal or a day, today's and those of before; nothing that the program wrote, and no
// text that pages never change.
func TestTypedFindsWhatPeopleWrote(t *testing.T) {
	s := storetest.New(t)
	boat := storetest.AddFour(t, s)
	storetest.Must(s.ChangeRig(storetest.Ctx, boat, 1, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: 84.5}}, "1 cm to port", storetest.Anna))
	for _, name := range []string{"Whitney Port", "Ines Caldera"} {
		storetest.AddNamed(t, s, name)
	}
	storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: boat, BoatVersion: 2, Crew: storetest.Ptr(`[{"seat":1,"name":"Bow 2.5"}]`), Note: "for 6 Nov"}, storetest.Anna))
	got := storetest.Must(s.Typed(storetest.Ctx))
	for _, want := range []string{"1 cm to port", "Whitney Port", "Bow 2.5", "for 6 Nov"} {
		if !slices.Contains(got, want) {
			t.Errorf("%q is missing in %q", want, got)
		}
	}
	for _, text := range got {
		if strings.Contains(text, "Caldera") || strings.Contains(text, "84.5") {
			t.Errorf("%q is listed", text)
		}
	}
}
