package intake_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/records"
	"thole/ui/uitest"
)

// boatList is a table in a boathouse's own headings: letters of sides that can mean
// two things, one cell to mend.
const boatList = "Boat;Class;Seat;Side;Spread (mm);Inboard (mm);Height;Shed\n" +
	"Owl;2-;bow;S;850;1150;165;A\n;;stroke;B;850;wide;165;A\nElk;1x;;;1600;885;170;B\n"

// TestABoathousesTableIsAskedAboutMendedAndSaved walks through the page by plain
// forms: the question, the cell to mend, the columns kept by name, the saving, and a
// second time that changes nothing.
func TestABoathousesTableIsAskedAboutMendedAndSaved(t *testing.T) {
	c := uitest.NewClub(t)
	uitest.WantIn(t, "list", c.Opened("/boats"), `href="/boats/import"`, "Import the club’s table of boats")
	uitest.WantIn(t, "first", c.Opened("/boats/import"), "Import boats and rigs", "One row a seat", `href="/boats?csv=boats"`)
	asked := c.UploadTo("/boats/import", "boats.csv", boatList)
	uitest.WantIn(t, "question", asked.Body, "Before it can be read", "S and B can be read in several ways", "7 of 8 columns are used", "span or spread", "bow · stroke")
	if strings.Contains(asked.Body, `name="save"`) {
		t.Error("a file that cannot be read yet can be saved")
	}
	form := uitest.FormValues(asked.Body)
	form.Set("sides", "stroke_bow")
	form.Set("keep", "Udo’s list")
	look := c.Post("/boats/import", form)
	uitest.WantIn(t, "look", look.Body, "Boats: 2 new", "“wide” is not a number", `name="fix_3_5" value="wide"`, "not measured: oar length, stretcher position")
	form = uitest.FormValues(look.Body)
	form.Set("fix_3_5", "1150")
	form.Set("save", "yes")
	form.Set("by", "Ines")
	moved := c.Post("/boats/import", form)
	if moved.Status != http.StatusConflict {
		t.Errorf("what was mended in the last step is saved unseen: %d", moved.Status)
	}
	form = uitest.FormValues(moved.Body)
	form.Set("save", "yes")
	saved := c.Post("/boats/import", form)
	uitest.WantIn(t, "saved", saved.Body, "Saved", "Boats: 2 new", `href="/oars/import"`)
	list, err := c.Service.Fleet.Boats(t.Context(), records.ListRequest{Name: "Owl"})
	if err != nil {
		t.Fatal(err)
	}
	owl, err := c.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: list.Boats[0].ID})
	if err != nil || owl.Seats[0].Side != "port" || *owl.Seats[1].Seat.InboardCm != 115 || *owl.Seats[1].Seat.GateHeightCm != 16.5 {
		t.Errorf("%v %+v", err, owl.Seats)
	}
	again := c.UploadTo("/boats/import", "boats.csv", strings.Replace(boatList, "wide", "1150", 1))
	uitest.WantIn(t, "again", again.Body, "as in “Udo’s list”", "0 new, 0 changed, 2 unchanged")
}

// TestWhatLeftComesInAgain by the pages: the boats' table of the demo club.
func TestWhatLeftComesInAgain(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, area := range []string{"boats", "oars"} {
		left := c.Get("/" + area + "?csv=" + area)
		look := c.UploadTo("/"+area+"/import", area+".csv", left.Body)
		uitest.WantIn(t, area, look.Body, "0 new, 0 changed")
		if strings.Contains(look.Body, "<h3>Not used") {
			t.Errorf("%s: something is not used", area)
		}
	}
}

// TestFilesThatAreNoTableOfOarsAreToldSo.
func TestFilesThatAreNoTableOfOarsAreToldSo(t *testing.T) {
	c := uitest.NewClub(t)
	bad := c.UploadTo("/oars/import", "x.csv", "a,b\n1,2\n")
	if bad.Status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", bad.Status)
	}
	uitest.WantIn(t, "oars", bad.Body, "No row of headings was found", "set, kind, length or inboard")
	uitest.WantIn(t, "no file", c.Post("/oars/import", url.Values{"name": {"x"}}).Body, "Choose a file first")
}

// TestKeptColumnsAreListedAndRemoved.
func TestKeptColumnsAreListedAndRemoved(t *testing.T) {
	c := uitest.NewClub(t)
	uitest.WantIn(t, "none", c.Opened("/import/mappings"), "Nothing is saved yet")
	form := uitest.FormValues(c.UploadTo("/oars/import", "o.csv", "Set,Kind,Length mm\nBlue,sculls,2890\n").Body)
	for name, value := range map[string]string{"keep": "Oars of the club", "save": "yes", "by": "Ines"} {
		form.Set(name, value)
	}
	uitest.WantIn(t, "saved", c.Post("/oars/import", form).Body, "Saved")
	listed := c.Opened("/import/mappings")
	uitest.WantIn(t, "listed", listed, "Oars of the club", "3 columns", "<dt>Length mm</dt><dd>length, mm</dd>")
	uitest.GoesTo(t, c.Post("/import/mappings", uitest.FormValues(listed)), "/import/mappings")
	uitest.WantIn(t, "removed", c.Opened("/import/mappings"), "Nothing is saved yet")
	if twice := c.Post("/import/mappings", uitest.FormValues(listed)); twice.Status != http.StatusNotFound {
		t.Errorf("removed twice: %d", twice.Status)
	}
}
