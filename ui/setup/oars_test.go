package setup_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/wire"
	"thole/ui/uitest"
)

// TestOarsAreChosenInTheSetup: one choice, and length, inboard and blade stand at the
// seat; the boat keeps its own until a work sheet is made. A set that cannot be rowed in
// the rig is told at the field.
func TestOarsAreChosenInTheSetup(t *testing.T) {
	c := uitest.DemoClub(t)
	add := func(name string, length, inboard float64) string {
		o, err := c.Service.Fleet.AddOarSet(t.Context(), fleet.NewOarSet{By: "Ines", OarFields: fleet.OarFields{Name: name, Kind: "scull", BladeKind: "macon", LengthCm: &length, InboardCm: &inboard}})
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(o.ID)
	}
	red, long := add("Red", 286, 87), add("Long", 300, 105)
	before := c.BoatNamed("Halcyon")
	q := c.Single()
	q.Set("oars", red)
	page := c.Opened("/setup?" + q.Encode())
	uitest.WantIn(t, "chosen", page, `<option value="`+red+`" selected>Red</option>`, "The boat then goes with Red", "<td>286</td>", "<td>87</td>")
	if now := c.BoatNamed("Halcyon"); now.Version != before.Version {
		t.Error("looking at other oars enters them")
	}
	address := c.Made(q)
	now := c.BoatNamed("Halcyon")
	if rig := now.Seats[0].Seat; fmt.Sprint(wire.Or(now.OarSetID, 0)) != red || *rig.OarLengthCm != 286 || *rig.InboardCm != 87 || now.Seats[0].Blade != "macon" || *rig.SpanCm != *before.Seats[0].Seat.SpanCm {
		t.Errorf("oars %v, %g and %g, blade %s", now.OarSetID, *rig.OarLengthCm, *rig.InboardCm, now.Seats[0].Blade)
	}
	h := c.SheetAt(address)
	for _, l := range h.Seats[0].Lines {
		if l.Setting == "inboard_cm" && (l.AsFound == nil || *l.AsFound != 87) {
			t.Errorf("inboard as found %v", l.AsFound)
		}
	}
	if h.BoatVersion != now.Version || h.BoatVersion != h.BoatNow {
		t.Errorf("sheet of version %d, boat %d", h.BoatVersion, now.Version)
	}
	uitest.WantIn(t, "history", c.Opened(fmt.Sprintf("/boats/%d/history", now.ID)), "oars of a work sheet")
	q.Set("oars", long)
	bad := c.Get("/setup?" + q.Encode())
	if uitest.WantIn(t, "does not fit", bad.Body, "Long does not go with the rig", `href="#oars"`); bad.Status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", bad.Status)
	}
}

// TestOarsAreOfferedWhereThereIsAChoice: other oars of its kind than those that the boat
// goes with already.
func TestOarsAreOfferedWhereThereIsAChoice(t *testing.T) {
	c := uitest.DemoClub(t)
	offered := func() bool { return strings.Contains(c.Opened("/setup?"+c.Single().Encode()), `id="oars"`) }
	sets, err := c.Service.Fleet.OarSets(t.Context(), records.ListRequest{})
	if err != nil || !offered() {
		t.Fatalf("%v; offered: %t", err, offered())
	}
	for _, o := range sets.OarSets {
		if o.Kind == "scull" {
			if _, err := c.Service.Fleet.DeleteOarSet(t.Context(), records.IDRequest{ID: o.ID}); err != nil {
				t.Fatal(err)
			}
		}
	}
	if offered() {
		t.Error("sweeps alone are left, and oars are offered for a single")
	}
}
