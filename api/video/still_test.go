package video_test

import (
	"fmt"
	"image/jpeg"
	"net/http"
	"strings"
	"testing"
	"time"

	"thole/api/access"
	"thole/api/apitest"
	"thole/api/fleet"
	"thole/api/privacy"
	"thole/api/records"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/video"
	"thole/api/wire"
)

// filmedOf puts somebody on record with a reading, and returns where its still is.
func filmedOf(t *testing.T, change func(apitest.Object)) (athlete int64, still string) {
	t.Helper()
	who := apitest.FullAthlete()
	who["birth_date"] = "1999-05-01"
	change(who)
	athlete = apitest.Created(t, "/api/v1/athletes", who)
	at := fmt.Sprintf("/api/v1/athletes/%d/filmed", athlete)
	return athlete, fmt.Sprintf("%s/%d/still", at, apitest.Created(t, at, apitest.FilmedExample(t)))
}

func put(t *testing.T, path string, body apitest.Object) (status int, answer string) {
	t.Helper()
	w := apitest.Request(http.MethodPut, path, apitest.JSONType, apitest.Encoded(t, body))
	return w.Code, w.Body.String()
}

// TestAStillIsKeptShownAndRemoved with its consent; it is part of everything about
// the athlete.
func TestAStillIsKeptShownAndRemoved(t *testing.T) {
	athlete, path := filmedOf(t, func(apitest.Object) {})
	if w := apitest.Request(http.MethodGet, path+".jpg", "", ""); w.Code != http.StatusNotFound {
		t.Errorf("before: %d", w.Code)
	}
	for name, c := range map[string]struct {
		change apitest.Object
		says   string
	}{
		"no consent": {apitest.Object{"consent": false}, "Ask first"}, "no picture": {apitest.Object{"picture": ""}, "Choose a picture"},
		"no JPEG": {apitest.Object{"picture": "bm90IGEgcGljdHVyZQ=="}, "no JPEG"}, "no base64": {apitest.Object{"picture": "*"}, "base64"}, "nobody": {apitest.Object{"by": " "}, "who you are"},
	} {
		body := apitest.StillExample(t)
		for name, v := range c.change {
			body[name] = v
		}
		if status, answer := put(t, path, body); status != http.StatusUnprocessableEntity || !strings.Contains(answer, c.says) {
			t.Errorf("%s: %d %s", name, status, answer)
		}
	}
	if status, answer := put(t, path, apitest.StillExample(t)); status != http.StatusOK || !strings.Contains(answer, `"width_px":640`) {
		t.Fatalf("%d %s", status, answer)
	}
	w := apitest.Request(http.MethodGet, path+".jpg", "", "")
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "image/jpeg" || w.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	if head, err := jpeg.DecodeConfig(w.Body); err != nil || head.Width != 640 || head.Height != 480 {
		t.Errorf("%+v %v", head, err)
	}
	all := apitest.Request(http.MethodGet, fmt.Sprintf("/api/v1/athletes/%d/everything", athlete), "", "").Body.String()
	if !strings.Contains(all, `"filmed_stills":[{`) || !strings.Contains(all, `"picture":"/9j/`) {
		t.Errorf("everything about the athlete lacks the picture: %.300s", all)
	}
	if w := apitest.Request(http.MethodDelete, path, "", ""); w.Code != http.StatusOK {
		t.Errorf("removing: %d", w.Code)
	}
	if w := apitest.Request(http.MethodDelete, path, "", ""); w.Code != http.StatusNotFound {
		t.Errorf("removing twice: %d", w.Code)
	}
	if status, _ := put(t, strings.Replace(path, "/filmed/", "/filmed/9", 1), apitest.StillExample(t)); status != http.StatusNotFound {
		t.Errorf("beside no reading: %d", status)
	}
}

// TestStillsOfMinorsNeedAGuardian follows one athlete over a consent, its withdrawal
// and a birthday: no picture is kept or shown without it.
func TestStillsOfMinorsNeedAGuardian(t *testing.T) {
	now := time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)
	r := &records.Records{Store: storetest.Open(t), Now: func() time.Time { return now }}
	s, said := video.New(r, fleet.New(r)), privacy.New(r)
	born := "2008-06-01"
	mia, err := r.Store.AddAthlete(t.Context(), store.Athlete{Name: "Mia Ek", BirthDate: &born}, r.Signed("Ines"))
	if err != nil {
		t.Fatal(err)
	}
	kept, err := r.Store.AddFilmedReading(t.Context(), store.FilmedReading{AthleteID: mia, Seat: 1, FilmedOn: "2026-03-01", End: "catch", AngleDeg: wire.Ptr(-60.), AngleSdDeg: wire.Ptr(1.), Marks: "{}"}, r.Signed("Ines"))
	if err != nil {
		t.Fatal(err)
	}
	at := video.FilmedReadingRequest{AthleteID: mia, ReadingID: kept.ID}
	keep := func() error {
		_, err := s.KeepStill(t.Context(), video.NewStill{AthleteID: mia, ReadingID: kept.ID, Picture: apitest.Pictured640(t), Consent: true, By: "Ines"})
		return err
	}
	see := func() error { _, err := s.Still(t.Context(), at); return err }
	refused := func(what string, err error, says string) {
		t.Helper()
		if p := explain(err); p.Status != http.StatusForbidden || !strings.Contains(p.Detail, says) {
			t.Errorf("%s: %v", what, err)
		}
	}
	say := func(c privacy.NewConsent) {
		t.Helper()
		c.AthleteID, c.By = mia, "Ines"
		if _, err := said.AddConsent(access.With(t.Context(), &access.Viewer{Role: access.Coach, Account: 1, Name: "Ines"}), c); err != nil {
			t.Fatal(err)
		}
	}
	fine := func(what string, err error) {
		t.Helper()
		if err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	refused("a minor", keep(), "parent or guardian")
	say(privacy.NewConsent{Given: true, Guardian: "Mother"})
	fine("with the mother's word", keep())
	fine("shown", see())
	say(privacy.NewConsent{Given: false, Guardian: "Mother"})
	refused("shown after the withdrawal", see(), "withdrawn")
	refused("kept after the withdrawal", keep(), "withdrawn")
	now = now.AddDate(1, 0, 0)
	refused("of age, and withdrawn", see(), "withdrawn")
	say(privacy.NewConsent{Given: true})
	fine("of age", see())
	fine("of age, kept", keep())
	if _, err := s.RemoveStill(t.Context(), at); err != nil {
		t.Error(err)
	}
}

// explain is how an error is answered.
func explain(err error) (p wire.Problem) {
	if known, ok := err.(wire.Failure); ok {
		return known.Problem()
	}
	return p
}

// TestStillsOfSomebodyOfUnknownAge need a consent on record.
func TestStillsOfSomebodyOfUnknownAge(t *testing.T) {
	athlete, path := filmedOf(t, func(o apitest.Object) { delete(o, "birth_date") })
	if status, answer := put(t, path, apitest.StillExample(t)); status != http.StatusForbidden || !strings.Contains(answer, "of age") {
		t.Errorf("%d %s", status, answer)
	}
	if w := apitest.Post(t, fmt.Sprintf("/api/v1/athletes/%d/consents", athlete), apitest.Object{"given": true, "by": "Ines"}); w.Code != http.StatusCreated {
		t.Fatalf("%d", w.Code)
	}
	if status, answer := put(t, path, apitest.StillExample(t)); status != http.StatusOK {
		t.Errorf("%d %s", status, answer)
	}
}
