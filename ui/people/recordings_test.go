package people_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/demo"
	"thole/ui/uitest"
)

// pairFile is a file of two seats, 1 and 2, whose strokes are the same.
func pairFile() string {
	lines := strings.Split(strings.TrimSpace(string(demo.StrokeSample())), "\n")
	both := lines[:1:1]
	for _, line := range lines[1:] {
		both = append(both, line, strings.Replace(line, ",1,", ",2,", 1))
	}
	return strings.Join(both, "\n") + "\n"
}

// sendFile posts a file as the form of a page, or of the API, does.
func (b *reader) sendFile(path, name, text string) uitest.Reply {
	b.s.t.Helper()
	var form bytes.Buffer
	w := multipart.NewWriter(&form)
	part, err := w.CreateFormFile("file", name)
	if err != nil {
		b.s.t.Fatal(err)
	}
	_, _ = io.WriteString(part, text)
	_ = w.Close()
	r, err := http.NewRequest(http.MethodPost, b.s.url+path, &form)
	if err != nil {
		b.s.t.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	return answerOf(b.s.t, b, r)
}

// sendJSON sends a document to the API.
func (b *reader) sendJSON(method, path string, body map[string]any, headers ...string) uitest.Reply {
	b.s.t.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		b.s.t.Fatal(err)
	}
	r, err := http.NewRequest(method, b.s.url+path, bytes.NewReader(text))
	if err != nil {
		b.s.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return answerOf(b.s.t, b, r)
}

// member reads a member of a JSON answer.
func member[V any](t *testing.T, p uitest.Reply, name string) V {
	t.Helper()
	var doc map[string]any
	if err := json.Unmarshal([]byte(p.Body), &doc); err != nil {
		t.Fatalf("%d %.300s: %v", p.Status, p.Body, err)
	}
	v, ok := doc[name].(V)
	if !ok {
		t.Fatalf("no %s in %d %.300s", name, p.Status, p.Body)
	}
	return v
}

// second is another athlete, signed in.
func (s *server) second(coach *reader, not int64) (*reader, int64) {
	s.t.Helper()
	for _, a := range s.athletes() {
		if a.ID != not {
			b := s.reader()
			b.join(coach.made("/people/invite", url.Values{"athlete": {fmt.Sprint(a.ID)}})[0], "ben")
			return b, a.ID
		}
	}
	s.t.Fatal("nobody else")
	return nil, 0
}

// ofAthlete lists the recordings of an athlete.
func (s *server) ofAthlete(coach *reader, id int64) int {
	return strings.Count(coach.get(fmt.Sprintf("/api/v1/recordings?athlete_id=%d", id)).Body, `"source_file"`)
}

// wantStatus checks how requests are answered.
func wantStatus(t *testing.T, what string, p uitest.Reply, want int) {
	t.Helper()
	if p.Status != want {
		t.Errorf("%s: %d, want %d: %.300s", what, p.Status, want, text(p.Body))
	}
}

// TestAnAthleteAddsCorrectsAndRemovesTheirOwn goes the whole way with plain forms: a
// file of two, of whom one is kept.
func TestAnAthleteAddsCorrectsAndRemovesTheirOwn(t *testing.T) {
	s := newServer(t, false)
	coach, _, athlete, own := s.club()
	_, other := s.second(coach, own.ID)
	before, others := s.ofAthlete(coach, own.ID), s.ofAthlete(coach, other)
	for _, path := range []string{"/", fmt.Sprintf("/athletes/%d", own.ID), "/recordings"} {
		uitest.WantIn(t, path, athlete.get(path).Body, `href="/recordings/import"`, "Add a recording")
	}
	uitest.WantIn(t, "the way in", athlete.get("/recordings/import").Body, "Add a recording", "Up to 128 MB", "Only your own seat is kept")
	p := athlete.sendFile("/recordings/import", "pair.csv", pairFile())
	wantStatus(t, "sending", p, http.StatusSeeOther)
	upload := p.Header.Get("Location")
	p = athlete.get(upload)
	uitest.WantIn(t, "mapping", p.Body, "Which seat of the file is yours?", "<option>1</option>", "<option>2</option>", "Measure my strokes")
	if strings.Contains(p.Body, "Save the mapping") {
		t.Error("an athlete is offered to save a mapping for everybody")
	}
	form := uitest.AsShown(t, p.Body)
	form.Set("force", "handle")
	p = athlete.send(http.MethodPost, upload, form)
	wantStatus(t, "without a seat", p, http.StatusUnprocessableEntity)
	uitest.WantIn(t, "without a seat", p.Body, "The file holds seats 1 and 2: say which is yours.")
	form.Set("own_seat", "7")
	uitest.WantIn(t, "a seat that is not there", athlete.send(http.MethodPost, upload, form).Body, "The file has no seat “7”", `<input id="own_seat"`)
	form.Set("own_seat", "2")
	result := athlete.post(upload, form)
	p = athlete.get(result)
	uitest.WantIn(t, "result", p.Body, "Your strokes", "Whoever else is in the file is left out", "Seat 2", "Keep my strokes")
	if strings.Contains(p.Body, "Seat 1") || strings.Contains(p.Body, "athlete0") {
		t.Error("the others' seats are shown")
	}
	for _, a := range s.athletes() {
		if a.ID != own.ID && strings.Contains(text(p.Body), a.Whole) {
			t.Errorf("the result names %s", a.Whole)
		}
	}
	form = uitest.AsShown(t, p.Body)
	form.Set("recorded_on", s.service.Club.Today())
	for _, whose := range []string{fmt.Sprint(other), "nobody"} {
		form.Set("athlete0", whose)
		p = athlete.send(http.MethodPost, result, form)
		wantStatus(t, "keeping for "+whose, p, http.StatusUnprocessableEntity)
		uitest.WantIn(t, "keeping for "+whose, p.Body, "You can keep your own strokes only")
	}
	form.Del("athlete0")
	kept := athlete.post(result, form)
	if s.ofAthlete(coach, own.ID) != before+1 || s.ofAthlete(coach, other) != others {
		t.Errorf("kept %s: %d of them, was %d; %d of another, was %d", kept, s.ofAthlete(coach, own.ID), before, s.ofAthlete(coach, other), others)
	}
	athlete.corrects(kept, own.ID, other)
	wantStatus(t, "removing", athlete.send(http.MethodPost, kept, url.Values{"do": {"remove"}}), http.StatusSeeOther)
	wantStatus(t, "removed", athlete.get(kept), http.StatusNotFound)
	if strings.Contains(athlete.get(fmt.Sprintf("/athletes/%d/everything.json", own.ID)).Body, "pair.csv") {
		t.Error("what was removed is still in the export")
	}
}

// corrects corrects a recording on its page, and tries to give it away.
func (b *reader) corrects(kept string, own, other int64) {
	t := b.s.t
	t.Helper()
	p := b.get(kept)
	uitest.WantIn(t, "recording", p.Body, "added by <span class=\"typed\">anna</span>", "Correct this recording", "Remove for good", "Mark a stroke")
	if strings.Contains(p.Body, "c-athlete") || strings.Contains(p.Body, "Keep this posture") {
		t.Error("an athlete may give the recording away, or keep a posture")
	}
	form := url.Values{"do": {"correct"}, "version": {"1"}, "recorded_on": {b.s.service.Club.Today()}, "seat": {"2"}, "note": {"headwind"}, "by": {"The coach"}}
	b.post(kept, form)
	uitest.WantIn(t, "corrected", b.get(kept).Body, "headwind")
	changes := b.get("/api/v1" + kept + "/changes").Body
	if !strings.Contains(changes, `"by":"anna"`) || strings.Contains(changes, "The coach") {
		t.Errorf("history: %s", changes)
	}
	form.Set("version", "2")
	form.Set("athlete", fmt.Sprint(other))
	p = b.send(http.MethodPost, kept, form)
	wantStatus(t, "giving it away", p, http.StatusUnprocessableEntity)
	uitest.WantIn(t, "giving it away", p.Body, "This stays your own")
	body := map[string]any{"version": 2, "athlete_id": other, "seat": "2", "side": "", "recorded_on": b.s.service.Club.Today(), "note": "", "by": ""}
	wantStatus(t, "giving it away by API", b.sendJSON(http.MethodPut, "/api/v1"+kept, body), http.StatusUnprocessableEntity)
	delete(body, "athlete_id")
	wantStatus(t, "giving it to nobody by API", b.sendJSON(http.MethodPut, "/api/v1"+kept, body), http.StatusUnprocessableEntity)
	start := regexp.MustCompile(`<option value="([\d.]+)">1, at`).FindStringSubmatch(b.get(kept).Body)
	if start == nil {
		t.Fatal("no stroke to mark")
	}
	b.post(kept, url.Values{"do": {"mark"}, "version": {"2"}, "start_s": {start[1]}, "note": {"crab"}, "left_out": {"true"}, "by": {"x"}})
	uitest.WantIn(t, "marked", b.get(kept).Body, "crab <small>anna</small>")
	everything := b.get(fmt.Sprintf("/athletes/%d/everything.json", own)).Body
	uitest.WantIn(t, "export", everything, "pair.csv", `"entered_by": "anna"`)
}

// TestAnUploadIsForWhoSentIt holds every way to an upload, and to the job that
// measures it, against another athlete and a boatman; the coach is let in.
func TestAnUploadIsForWhoSentIt(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, anna, own := s.club()
	ben, other := s.second(coach, own.ID)
	upload := member[string](t, anna.sendFile("/api/v1/uploads", "pair.csv", pairFile()), "id")
	analyse := map[string]any{"force": "handle", "seat": "1"}
	p := anna.sendJSON(http.MethodPost, "/api/v1/uploads/"+upload+"/analyse", analyse, "Prefer", "respond-async")
	wantStatus(t, "as a job", p, http.StatusAccepted)
	job := member[string](t, p, "id")
	keep := func(athlete int64, seat string) map[string]any {
		return map[string]any{"upload": upload, "force": "handle", "recorded_on": s.service.Club.Today(), "seats": []any{map[string]any{"seat": seat, "athlete_id": athlete}}}
	}
	curves := map[string]any{"upload": upload, "force": "handle", "recorded_on": s.service.Club.Today(), "curves": []any{map[string]any{"name": "1", "athlete_id": other}}}
	page := "/recordings/import/" + upload
	for who, b := range map[string]*reader{"another athlete": ben, "the boatman": boatman} {
		want := map[string]int{"another athlete": http.StatusNotFound, "the boatman": http.StatusForbidden}[who]
		for what, p := range map[string]uitest.Reply{
			"reading":          b.get("/api/v1/uploads/" + upload),
			"curves":           b.get("/api/v1/uploads/" + upload + "/curves"),
			"analysing":        b.sendJSON(http.MethodPost, "/api/v1/uploads/"+upload+"/analyse", analyse),
			"removing":         b.send(http.MethodDelete, "/api/v1/uploads/"+upload, nil),
			"keeping":          b.sendJSON(http.MethodPost, "/api/v1/recordings", keep(other, "1")),
			"keeping curves":   b.sendJSON(http.MethodPost, "/api/v1/curves", curves),
			"the job":          b.get("/api/v1/jobs/" + job),
			"stopping the job": b.send(http.MethodDelete, "/api/v1/jobs/"+job, nil),
			"the mapping":      b.get(page),
			"measuring":        b.send(http.MethodPost, page, url.Values{"force": {"handle"}, "own_seat": {"1"}}),
			"the result":       b.get(page + "/" + job),
			"keeping by form":  b.send(http.MethodPost, page+"/"+job, url.Values{"recorded_on": {s.service.Club.Today()}}),
			"curves by form":   b.send(http.MethodPost, page+"/curves", url.Values{"athlete0": {fmt.Sprint(other)}, "force": {"handle"}}),
			"stopping by form": b.send(http.MethodPost, page+"/"+job+"/cancel", nil),
		} {
			wantStatus(t, who+", "+what, p, want)
		}
	}
	mine := member[string](t, ben.sendFile("/api/v1/uploads", "mine.csv", string(demo.StrokeSample())), "id")
	wantStatus(t, "another's job under one's own upload", ben.get("/recordings/import/"+mine+"/"+job), http.StatusNotFound)
	wantStatus(t, "another's job on one's own mapping", ben.get("/recordings/import/"+mine+"?job="+job), http.StatusOK)
	if strings.Contains(coach.get("/api/v1/recordings").Body, "pair.csv") {
		t.Error("something of the file was kept")
	}
	for what, p := range map[string]uitest.Reply{
		"the coach reads": coach.get("/api/v1/uploads/" + upload), "the coach sees the job": coach.get("/api/v1/jobs/" + job), "the coach's page": coach.get(page),
		"the sender reads": anna.get("/api/v1/uploads/" + upload), "the sender's job": anna.get("/api/v1/jobs/" + job), "the sender's page": anna.get(page + "/" + job),
	} {
		wantStatus(t, what, p, http.StatusOK)
	}
}

// TestAnAthleteKeepsNobodyElseByAPI: what the API measures for an athlete, and lets
// them keep, is one seat.
func TestAnAthleteKeepsNobodyElseByAPI(t *testing.T) {
	s := newServer(t, false)
	coach, _, anna, own := s.club()
	_, other := s.second(coach, own.ID)
	upload := member[string](t, anna.sendFile("/api/v1/uploads", "pair.csv", pairFile()), "id")
	at := "/api/v1/uploads/" + upload + "/analyse"
	p := anna.sendJSON(http.MethodPost, at, map[string]any{"force": "handle"})
	wantStatus(t, "no seat", p, http.StatusUnprocessableEntity)
	if strings.Contains(p.Body, "peak_n") || !strings.Contains(p.Body, "/seat") {
		t.Errorf("no seat: %.300s", p.Body)
	}
	if seats := member[[]any](t, anna.sendJSON(http.MethodPost, at, map[string]any{"force": "handle", "seat": "2"}), "seats"); len(seats) != 1 {
		t.Errorf("%d seats are measured", len(seats))
	}
	if seats := member[[]any](t, coach.sendJSON(http.MethodPost, at, map[string]any{"force": "handle"}), "seats"); len(seats) != 2 {
		t.Errorf("%d seats are measured for the coach", len(seats))
	}
	before := coach.get("/api/v1/recordings").Body
	seat := func(name string, athlete any) map[string]any {
		return map[string]any{"seat": name, "athlete_id": athlete}
	}
	for what, seats := range map[string][]any{
		"another": {seat("1", other)}, "nobody": {seat("1", nil)}, "oneself and another": {seat("1", own.ID), seat("2", other)},
		"both as oneself": {seat("1", own.ID), seat("2", own.ID)}, "one who is not there": {seat("1", 987654)},
	} {
		p := anna.sendJSON(http.MethodPost, "/api/v1/recordings", map[string]any{"upload": upload, "force": "handle", "recorded_on": s.service.Club.Today(), "seats": seats})
		wantStatus(t, what, p, http.StatusUnprocessableEntity)
		if strings.Contains(p.Body, "not on record") {
			t.Errorf("%s: told who is on record: %s", what, p.Body)
		}
	}
	if coach.get("/api/v1/recordings").Body != before {
		t.Error("something was kept")
	}
	p = anna.sendJSON(http.MethodPost, "/api/v1/recordings", map[string]any{"upload": upload, "force": "handle", "recorded_on": s.service.Club.Today(), "seats": []any{seat("2", own.ID)}})
	wantStatus(t, "oneself", p, http.StatusCreated)
	uitest.WantIn(t, "oneself", p.Body, `"entered_by":"anna"`)
	for what, p := range map[string]uitest.Reply{
		"measuring without an upload": anna.sendJSON(http.MethodPost, "/api/v1/strokes/analyse", nil), "saving a mapping": anna.sendJSON(http.MethodPut, "/api/v1/mappings/x", nil),
		"saving by form": anna.send(http.MethodPost, "/recordings/import/"+upload+"/mapping", nil), "a posture": anna.send(http.MethodPost, "/recordings/posture/1", nil),
	} {
		wantStatus(t, what, p, http.StatusForbidden)
	}
}

// TestARemovedAthletesUploadGoesToo: nothing that they sent waits on, nor what was measured
// of it.
func TestARemovedAthletesUploadGoesToo(t *testing.T) {
	s := newServer(t, false)
	coach, _, anna, own := s.club()
	upload := member[string](t, anna.sendFile("/api/v1/uploads", "pair.csv", pairFile()), "id")
	job := member[string](t, anna.sendJSON(http.MethodPost, "/api/v1/uploads/"+upload+"/analyse", map[string]any{"force": "handle", "seat": "1"}, "Prefer", "respond-async"), "id")
	wantStatus(t, "before", coach.get("/api/v1/uploads/"+upload), http.StatusOK)
	wantStatus(t, "removing", coach.send(http.MethodDelete, fmt.Sprintf("/api/v1/athletes/%d", own.ID), nil), http.StatusOK)
	wantStatus(t, "the upload", coach.get("/api/v1/uploads/"+upload), http.StatusNotFound)
	wantStatus(t, "the job", coach.get("/api/v1/jobs/"+job), http.StatusNotFound)
	wantStatus(t, "who sent it", anna.get("/api/v1/uploads/"+upload), http.StatusUnauthorized)
}

// TestBothOarsOfASculler holds that they are one seat, and hers alone.
func TestBothOarsOfASculler(t *testing.T) {
	s := newServer(t, false)
	_, _, anna, own := s.club()
	lines := strings.Split(strings.TrimSpace(pairFile()), "\n")
	oars := []string{strings.Replace(lines[0], "seat", "seat,side", 1)}
	for _, line := range lines[1:] {
		for _, side := range []string{"port", "starboard"} {
			cells := strings.SplitN(line, ",", 3)
			oars = append(oars, strings.Join([]string{cells[0], cells[1], side, cells[2]}, ","))
		}
	}
	upload := member[string](t, anna.sendFile("/api/v1/uploads", "double.csv", strings.Join(oars, "\n")+"\n"), "id")
	p := anna.get("/recordings/import/" + upload)
	uitest.WantIn(t, "mapping", p.Body, "<option>1</option>", "<option>2</option>")
	if strings.Contains(p.Body, "<option>1 port</option>") {
		t.Error("an oar is offered as a seat")
	}
	p = anna.sendJSON(http.MethodPost, "/api/v1/uploads/"+upload+"/analyse", map[string]any{"force": "handle", "seat": "2"})
	if seats := member[[]any](t, p, "seats"); len(seats) != 1 || strings.Count(p.Body, `"sample_rate_hz"`) != 3 { // two oars, and the mapping
		t.Errorf("%d seats: %.300s", len(seats), p.Body)
	}
	p = anna.sendJSON(http.MethodPost, "/api/v1/recordings", map[string]any{
		"upload": upload, "force": "handle", "recorded_on": s.service.Club.Today(), "seats": []any{map[string]any{"seat": "2", "athlete_id": own.ID}},
	})
	wantStatus(t, "keeping", p, http.StatusCreated)
	ids := regexp.MustCompile(`"id":(\d+),"version"`).FindAllStringSubmatch(p.Body, -1)
	if len(ids) != 2 {
		t.Fatalf("%d recordings of two oars", len(ids))
	}
	for _, id := range ids {
		uitest.WantIn(t, "hers alone", anna.get("/api/v1/recordings/"+id[1]).Body, `"holds_others":false`)
		wantStatus(t, "removing one oar", anna.send(http.MethodDelete, "/api/v1/recordings/"+id[1], nil), http.StatusOK)
	}
}

// TestWhatCameWithOthersIsTheCoachs: an athlete sees their own seat of a crew's file and
// changes nothing of it, until it is theirs alone.
func TestWhatCameWithOthersIsTheCoachs(t *testing.T) {
	s := newServer(t, false)
	coach, _, anna, own := s.club()
	_, other := s.second(coach, own.ID)
	upload := member[string](t, coach.sendFile("/api/v1/uploads", "crew.csv", pairFile()), "id")
	p := coach.sendJSON(http.MethodPost, "/api/v1/recordings", map[string]any{"upload": upload, "force": "handle", "recorded_on": s.service.Club.Today(), "seats": []any{
		map[string]any{"seat": "1", "athlete_id": own.ID}, map[string]any{"seat": "2", "athlete_id": other},
	}})
	wantStatus(t, "keeping a crew", p, http.StatusCreated)
	ids := regexp.MustCompile(`"id":(\d+),"version"`).FindAllStringSubmatch(p.Body, -1)
	mine, theirs := "/recordings/"+ids[0][1], "/recordings/"+ids[1][1]
	edit := func(athlete int64) map[string]any {
		return map[string]any{"version": 1, "athlete_id": athlete, "seat": "1", "side": "", "recorded_on": s.service.Club.Today(), "note": "mine", "by": ""}
	}
	for address, want := range map[string]int{mine: http.StatusForbidden, theirs: http.StatusNotFound} {
		for what, p := range map[string]uitest.Reply{
			"correcting":         anna.sendJSON(http.MethodPut, "/api/v1"+address, edit(own.ID)),
			"marking":            anna.sendJSON(http.MethodPut, "/api/v1"+address+"/mark", map[string]any{"version": 1, "start_s": 1, "note": "x", "by": ""}),
			"removing":           anna.send(http.MethodDelete, "/api/v1"+address, nil),
			"removing by form":   anna.send(http.MethodPost, address, url.Values{"do": {"remove"}}),
			"correcting by form": anna.send(http.MethodPost, address, url.Values{"do": {"correct"}, "version": {"1"}, "recorded_on": {s.service.Club.Today()}}),
		} {
			wantStatus(t, what+" "+address, p, want)
		}
	}
	page := anna.get(mine)
	wantStatus(t, "one's own", page, http.StatusOK)
	uitest.WantIn(t, "one's own", page.Body, "a coach corrects or removes this recording", "added by <span class=\"typed\">Carla</span>")
	if strings.Contains(page.Body, "Correct this recording") || strings.Contains(page.Body, "Remove for good") || strings.Contains(page.Body, "Mark a stroke") {
		t.Error("forms are shown that would be refused")
	}
	wantStatus(t, "the other's", anna.get(theirs), http.StatusNotFound)
	wantStatus(t, "the coach removes the other's", coach.send(http.MethodDelete, "/api/v1"+theirs, nil), http.StatusOK)
	wantStatus(t, "theirs alone", anna.sendJSON(http.MethodPut, "/api/v1"+mine, edit(own.ID)), http.StatusOK)
	wantStatus(t, "removing it", anna.send(http.MethodDelete, "/api/v1"+mine, nil), http.StatusOK)
}

// TestMeanCurvesOfOneself: an athlete adds their own curve of a file of two, and does not
// see the other's.
func TestMeanCurvesOfOneself(t *testing.T) {
	s := newServer(t, false)
	coach, _, anna, own := s.club()
	_, other := s.second(coach, own.ID)
	p := anna.sendFile("/recordings/import", "curves.csv", meanCurves())
	wantStatus(t, "sending", p, http.StatusSeeOther)
	at := p.Header.Get("Location")
	p = anna.get(at)
	uitest.WantIn(t, "curves", p.Body, "Say which curve is yours", ">mine<", "Anna", "Bea")
	if strings.Contains(p.Body, "strokeplot") || strings.Contains(p.Body, "not assigned") {
		t.Error("the other's curve is drawn, or can be kept for nobody")
	}
	api := anna.get("/api/v1/uploads/" + strings.TrimPrefix(at, "/recordings/import/") + "/curves")
	if api.Status != http.StatusOK || strings.Count(api.Body, `"force_n":[]`) != 2 {
		t.Errorf("%d %.300s", api.Status, api.Body)
	}
	form := url.Values{"force": {"handle"}, "catch_deg": {"55"}, "finish_deg": {"35"}, "recorded_on": {s.service.Club.Today()}}
	for _, whose := range []string{fmt.Sprint(other), "nobody"} {
		form.Set("athlete1", whose)
		wantStatus(t, "keeping for "+whose, anna.send(http.MethodPost, at+"/curves", form), http.StatusUnprocessableEntity)
	}
	form.Set("athlete1", fmt.Sprint(own.ID))
	kept := anna.post(at+"/curves", form)
	if !regexp.MustCompile(`^/recordings/\d+$`).MatchString(kept) {
		t.Fatalf("kept at %s", kept)
	}
	uitest.WantIn(t, "the curve", anna.get(kept).Body, "Bea", "Correct this recording")
}

// meanCurves is a file of two curves over the share of the drive.
func meanCurves() string {
	var text strings.Builder
	text.WriteString("share_pct,Anna,Bea\n")
	for i := 0; i <= 100; i += 2 {
		f := float64(i) / 100
		fmt.Fprintf(&text, "%d,%.1f,%.1f\n", i, 2400*f*(1-f)+1, 2000*f*(1-f)+1)
	}
	return text.String()
}
