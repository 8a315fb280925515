package video_test

import (
	"bytes"
	"fmt"
	"image/jpeg"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/fleet"
	"thole/api/privacy"
	"thole/api/video"
	"thole/ui/uitest"
)

// keptReading keeps a reading of an athlete in a new single and returns the address
// of its still.
func keptReading(t *testing.T, c *uitest.ClubSite, athlete int64) string {
	t.Helper()
	boat, err := c.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Wren", BoatClass: "1x"}, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	frames := video.StrokesRequest{End: "catch", Kind: "scull", FrameRate: 60, Strokes: []video.TurnFrames{{ReversalS: 1, EdgeS: 1.05, WholeS: 1.13}}}
	kept, err := c.Service.Video.Keep(t.Context(), video.NewFilmedReading{AthleteID: athlete, BoatID: boat.ID, Seat: 1, FilmedOn: "2026-05-02", End: "catch", Frames: &frames, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("/athletes/%d/filmed/%d/still", athlete, kept.ID)
}

func consented(t *testing.T, c *uitest.ClubSite, athlete int64, given bool) {
	t.Helper()
	if _, err := c.Service.Privacy.AddConsent(t.Context(), privacy.NewConsent{AthleteID: athlete, Given: given, By: "Ines"}); err != nil {
		t.Fatal(err)
	}
}

// TestAStillIsAddedWithoutScript by the form's own file, with the tick, and shown at
// the reading; it goes by itself.
func TestAStillIsAddedWithoutScript(t *testing.T) {
	c := uitest.NewClub(t)
	ann := person(t, c, "Ann Example")
	still := keptReading(t, c, ann)
	list := fmt.Sprintf("/athletes/%d/filmed", ann)
	uitest.WantIn(t, "of unknown age", c.Opened(still), "whether Ann Example is of age", fmt.Sprintf("/athletes/%d/privacy", ann))
	if r := c.UploadTo(still, "a.jpg", string(apitest.Pictured640(t)), "consent", "true", "by", "Ines"); r.Status != http.StatusForbidden {
		t.Errorf("without a consent on record: %d", r.Status)
	}
	consented(t, c, ann, true)
	uitest.WantIn(t, "list", c.Opened(list), `href="`+still+`"`, "Add a still")
	uitest.WantIn(t, "form", c.Opened(still), `type="file"`, `enctype="multipart/form-data"`, "Everybody who can be recognised agrees")
	for name, ask := range map[string]struct {
		file   string
		values []string
		says   string
	}{
		"no tick":    {string(apitest.Pictured640(t)), []string{"by", "Ines"}, "Ask first"},
		"no picture": {"", []string{"consent", "true", "by", "Ines"}, "Choose a picture"},
		"text":       {"not a picture", []string{"consent", "true", "by", "Ines"}, "no JPEG"},
		"nobody":     {string(apitest.Pictured640(t)), []string{"consent", "true"}, "Say who you are"},
		"too large":  {strings.Repeat("x", video.LargestPicture+rest), []string{"consent", "true", "by", "Ines"}, "larger than 12 MB"},
	} {
		r := c.UploadTo(still, "a.jpg", ask.file, ask.values...)
		if r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Body, ask.says) {
			t.Errorf("%s: %d %.300s", name, r.Status, r.Body)
		}
	}
	uitest.GoesTo(t, c.UploadTo(still, "a.jpg", string(apitest.Pictured640(t)), "consent", "true", "by", "Ines"), still)
	uitest.WantIn(t, "kept", c.Opened(still), still+".jpg", "Kept by Ines", "data-still-kept", `width="640"`)
	uitest.WantIn(t, "list", c.Opened(list), `src="`+still+`.jpg"`)
	picture := c.Get(still + ".jpg")
	if picture.Header.Get("Content-Type") != "image/jpeg" || picture.Header.Get("Cache-Control") != "no-store" || picture.Header.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%v", picture.Header)
	}
	if _, err := jpeg.Decode(bytes.NewReader([]byte(picture.Body))); err != nil {
		t.Error(err)
	}
	consented(t, c, ann, false)
	uitest.WantIn(t, "withdrawn", c.Opened(list), "Still not shown", "was withdrawn")
	if r := c.Get(still + ".jpg"); r.Status != http.StatusForbidden {
		t.Errorf("shown after the withdrawal: %d", r.Status)
	}
	uitest.WantIn(t, "asked", c.Opened(still+"/remove"), "Remove this still?")
	uitest.GoesTo(t, c.Post(still+"/remove", url.Values{}), list)
	if r := c.Get(still + ".jpg"); r.Status != http.StatusNotFound {
		t.Errorf("removed: %d", r.Status)
	}
	uitest.WantIn(t, "the reading stays", c.Opened(list), "Catch, 2 May 2026")
}

// rest is more than the other values of a form take, bytes.
const rest = 1 << 20
