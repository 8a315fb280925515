package strokes

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/demo"
	"thole/api/exports"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/ui/page"
)

// strokePages lists the pages of measured strokes.
func (s *site) strokePages() map[string]page.Route {
	self, sent, asked := access.Coaches.OrForThemselves(), access.Coaches.OrSent(access.Upload, "upload"), access.Coaches.OrSent(access.Job, "job")
	return map[string]page.Route{
		"GET /recordings":                               page.For(access.Coaches.Narrowed("athlete_id"), s.strokes),
		"GET /recordings/layout":                        page.For(access.Everyone, s.strokeLayout),
		"GET /recordings/layout.csv":                    page.For(access.Everyone, s.strokeSample),
		"GET /recordings/import":                        page.For(self, s.strokeImport),
		"POST /recordings/import":                       page.For(self, s.strokeUpload),
		"GET /recordings/import/{upload}":               page.For(sent, s.strokeMapping),
		"POST /recordings/import/{upload}":              page.For(sent, s.strokeMeasure),
		"POST /recordings/import/{upload}/mapping":      page.For(access.Coaches, s.strokeSaveMapping),
		"POST /recordings/import/{upload}/curves":       page.For(sent, s.strokeKeepCurves),
		"GET /recordings/import/{upload}/{job}":         page.For(asked, s.strokeResult),
		"POST /recordings/import/{upload}/{job}":        page.For(asked, s.strokeKeep),
		"POST /recordings/import/{upload}/{job}/cancel": page.For(asked, s.strokeCancel),
		"GET /recordings/compare":                       page.For(access.Coaches, s.strokeCompare),
		"GET /catch":                                    page.For(access.Everyone, s.catch),
		"GET /recordings/squad":                         page.For(access.Coaches, s.strokeSquad),
		"GET /recordings/{recording}":                   page.For(access.Coaches.OrOwn(access.Recording, "recording").SharedAs("recording"), s.stroke),
		"POST /recordings/{recording}":                  page.For(access.Coaches.OrOwn(access.Alone, "recording"), s.strokeChange),
		"POST /recordings/posture/{recording}":          page.For(access.Coaches, s.strokePosture),
	}
}

// strokesPage lists what is on record.
type strokesPage struct {
	Recordings []strokes.RecordingSummary
	Athletes   []strokes.RecordingSummary // the newest of each, to compare
	Kept       string
	Own        bool // an athlete looks at theirs
	Files      *page.Files
}

func (s *site) strokes(w http.ResponseWriter, r *http.Request) error {
	athlete, _ := strconv.ParseInt(r.URL.Query().Get("athlete_id"), 10, 64) // 0 is everybody's
	list, err := s.service.Strokes.Recordings(r.Context(), strokes.RecordingsRequest{AthleteID: athlete})
	if err != nil {
		return s.Fail(w, err)
	}
	p := &strokesPage{Recordings: list.Recordings, Kept: r.URL.Query().Get("kept"), Own: selfOf(r) != 0, Files: page.NewFiles(r.URL, "recordings",
		page.FileOf(r.Context(), "recordings", "Recordings", exports.Recordings{Service: s.service.Strokes}.RecordingTable, strokes.RecordingsRequest{AthleteID: athlete}))}
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "strokes", p)
}

// recordingLabel names a recording in a choice.
func recordingLabel(r *strokes.RecordingSummary) string {
	parts := []string{r.Athlete, r.Boat}
	if r.Athlete == "" {
		parts[0] = seatLabel(r.Seat)
	} else if r.Boat != "" && r.Seat != "" {
		parts[1] += " " + r.Seat
	}
	parts = append(parts, r.Side, page.Day(r.RecordedOn))
	return strings.Join(strings.FieldsFunc(strings.Join(parts, "\x00"), func(c rune) bool { return c == 0 }), ", ")
}

// recordingOptions lists recordings to choose from.
func recordingOptions(list []strokes.RecordingSummary) []page.Option {
	var options []page.Option
	for i := range list {
		options = append(options, page.Option{Value: fmt.Sprint(list[i].ID), Label: recordingLabel(&list[i])})
	}
	return options
}

func (s *site) strokeLayout(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "stroke_layout", nil)
}

// strokeSample answers a small file in the plain layout.
func (s *site) strokeSample(w http.ResponseWriter, _ *http.Request) error {
	h := w.Header()
	h.Set("Content-Type", "text/csv; charset=utf-8; header=present")
	h.Set("Content-Disposition", `attachment; filename="strokes-sample.csv"`)
	_, err := w.Write(demo.StrokeSample())
	return err
}

// thresholdForm is how the slip is told, as typed.
type thresholdForm struct {
	Basis                          string
	Catch, Release, Share, Covered string
	Oars                           string // 0 for forces of each oar, 1 or 2 for those of a rower
	Problem                        string
}

// readThresholds reads the thresholds of a form or an address; nil when none
// are stated.
func readThresholds(typed url.Values) (*strokefile.StrokeThresholds, thresholdForm) {
	f := thresholdForm{
		Basis: typed.Get("basis"), Catch: strings.TrimSpace(typed.Get("catch_n")), Release: strings.TrimSpace(typed.Get("release_n")),
		Share: strings.TrimSpace(typed.Get("share")), Covered: strings.TrimSpace(typed.Get("covered_deg")),
		Oars: typed.Get("rower_oars"),
	}
	number := func(text string) *float64 {
		v, complaint := wire.ReadNumber(strings.TrimSuffix(strings.TrimSuffix(text, "%"), "N"))
		if text == "" {
			return nil
		}
		if complaint != "" {
			f.Problem = complaint
			return nil
		}
		return &v
	}
	th := new(strokefile.StrokeThresholds)
	switch f.Basis {
	case "share":
		if th.ShareOfPeak = number(f.Share); th.ShareOfPeak != nil {
			*th.ShareOfPeak /= 100
		}
	case "depth":
		th.CoveredDeg = number(f.Covered)
	case "force":
		th.CatchN, th.ReleaseN = number(f.Catch), number(f.Release)
		if f.Oars == "1" || f.Oars == "2" {
			th.RowerOars = int(f.Oars[0] - '0')
		}
		if f.Problem == "" && (th.CatchN == nil) != (th.ReleaseN == nil) {
			f.Problem = "Give both forces, at the catch and at the release."
		}
	}
	if *th == (strokefile.StrokeThresholds{}) {
		th = nil
	}
	return th, f
}

// fill shows the thresholds that were used where nothing was typed.
func (f *thresholdForm) fill(used *strokefile.StrokeThresholds) {
	if f.Problem != "" {
		return
	}
	f.Basis, f.Catch, f.Release, f.Oars, f.Share, f.Covered = "share", "", "", "0", "30", "−3"
	switch {
	case used.ShareOfPeak != nil:
		f.Share = page.Plain(100 * *used.ShareOfPeak)
	case used.CatchN != nil:
		f.Basis, f.Catch, f.Release, f.Oars = "force", page.Plain(*used.CatchN), page.Plain(*used.ReleaseN), strconv.Itoa(used.RowerOars)
	case used.CoveredDeg != nil:
		f.Basis, f.Covered = "depth", page.Plain(*used.CoveredDeg)
	}
}
