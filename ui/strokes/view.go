package strokes

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	files "thole/ui/strokefile"

	"thole/api/advice"
	"thole/api/club"
	"thole/api/exports"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/seat"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/ui/page"
	"thole/ui/plot"
)

// strokePage is one rower's recording.
type strokePage struct {
	R             strokes.Recording
	Title         string
	Head          []headline
	Thresholds    files.ThresholdForm
	ByTime        *plot.Plot
	Strips        []*plot.Plot
	Path          *plot.Plot
	LeftOut       string
	Tables        files.Tables
	Files         *page.Files
	Others        []page.Option
	Rig           rigForm
	Entry         *advice.StrokeEntry
	LowerBy       float64 // cm that the advice reckons with
	LowerSaves    float64
	Cal           *advice.RecordingCalibration
	CalValues     []page.Entry
	RigNeeds      string // what is lacking to work the entry out
	MeasuredSpeed string // of the boat, to stand in for what is not typed
	Problems      []page.Problem
	Address       string
	Kept          bool
	Own           bool // an athlete looks at theirs
	Correct       correctForm
	Mark          markForm
	StrokeOptions []page.Option
	First         *firstView // nil where there is nothing to tell
	Rate          float64    // of the strokes shown, a minute; 0 for all
	Rates         []rateLink
}

// rateLink leads to the strokes of one rate.
type rateLink struct {
	Label, Link string
	Current     bool
}

// rates links to the strokes of each rate, where there are several, and chooses
// the one that the address names, or the one with the most strokes.
func (p *strokePage) rates(typed url.Values) {
	list := p.R.Oar.Rates
	if len(list) < 2 {
		return
	}
	best := 0
	for i := range list {
		if list[i].Strokes >= list[best].Strokes {
			best = i
		}
	}
	asked, ok := page.ParseNumber(typed.Get("rate"))
	link := func(rate string) string {
		q := url.Values{}
		for name, values := range typed {
			q[name] = values
		}
		q.Set("rate", rate)
		return p.Address + "?" + q.Encode()
	}
	for i, g := range list {
		mean := g.Features["rate_per_min"].Mean
		current := !ok && typed.Get("rate") != "all" && i == best || ok && asked >= g.FromPerMin && asked < g.ToPerMin
		if current {
			p.Rate = mean
		}
		p.Rates = append(p.Rates, rateLink{fmt.Sprintf("%s a minute, %d strokes", page.Fix(0, mean), g.Strokes), link(page.Fix(1, mean)), current})
	}
	p.Rates = append(p.Rates, rateLink{fmt.Sprintf("all %d", p.R.Oar.Strokes), link("all"), p.Rate == 0})
}

// headline is one large number.
type headline struct{ Name, Value, Sure string }

// rigForm says in which rig the rower sat, as typed.
type rigForm struct {
	Boat, Seat, Speed, Edge string
	Class, Side             string
	Span, Inboard, Length   string
	Heel                    string
	Boats                   []page.Option
	Classes                 []seat.BoatClass
}

// MayChange reports whether the reader may correct and remove the recording.
func (p *strokePage) MayChange() bool { return !p.Own || !p.R.HoldsOthers }

func (s *site) stroke(w http.ResponseWriter, r *http.Request) error {
	p, err := s.strokePage(r)
	if err != nil {
		return s.Fail(w, err)
	}
	p.Files = p.Tables.Files(r, fmt.Sprintf("strokes-%d", p.R.ID))
	if done, err := p.Files.Send(w, r); done {
		return err
	}
	status := http.StatusOK
	if len(p.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.Pages.Show(w, status, "stroke", p)
}

// strokePage measures the recording and works out what hangs on the rig.
func (s *site) strokePage(r *http.Request) (*strokePage, error) {
	typed := r.URL.Query()
	th, form := files.ReadThresholds(typed)
	p := &strokePage{Thresholds: form, Address: r.URL.Path, Own: files.SelfOf(r) != 0, Kept: typed.Get("kept") != ""}
	ask := strokes.RecordingRequest{ID: page.PathID(r, "recording")}
	var err error
	if th != nil {
		ask.CatchN, ask.ReleaseN, ask.ShareOfPeak, ask.CoveredDeg, ask.RowerOars = th.CatchN, th.ReleaseN, th.ShareOfPeak, th.CoveredDeg, th.RowerOars
	}
	if p.R, err = s.service.Strokes.Recording(r.Context(), ask); err != nil && th != nil && p.complain("Thresholds", err) {
		p.R, err = s.service.Strokes.Recording(r.Context(), strokes.RecordingRequest{ID: ask.ID})
	}
	if err != nil {
		return nil, err
	}
	if form.Problem != "" {
		p.Problems = append(p.Problems, page.Problem{Field: "", Label: "Thresholds", Text: form.Problem})
	}
	if len(p.Problems) == 0 {
		p.Thresholds.Fill(&p.R.Thresholds)
	}
	if p.rates(typed); p.Rate != 0 {
		ask.RatePerMin = p.Rate
		if p.R, err = s.service.Strokes.Recording(r.Context(), ask); err != nil {
			return nil, err
		}
	}
	p.lay()
	if err := s.rigged(r.Context(), p, typed); err != nil {
		return nil, err
	}
	if err := s.fillCorrect(r, p); err != nil {
		return nil, err
	}
	return p, s.first(r.Context(), p)
}

// strokeFields are the fields of the page's forms.
var strokeFields = page.FieldsAt{
	{At: wire.At("boat_id"), ID: "boat", Label: "Boat"}, {At: wire.At("seat_number"), ID: "seat", Label: "Seat"},
	{At: wire.At("boat_class"), ID: "class", Label: "Boat class"}, {At: wire.At("rig", "side"), ID: "side", Label: "Side in sweep"},
	{At: wire.At("rig", "span_cm"), ID: "span_cm", Label: "Span"}, {At: wire.At("rig", "spread_cm"), ID: "span_cm", Label: "Spread"},
	{At: wire.At("rig", "inboard_cm"), ID: "inboard_cm", Label: "Inboard"}, {At: wire.At("inboard_cm"), ID: "inboard_cm", Label: "Inboard"},
	{At: wire.At("rig", "oar_length_cm"), ID: "oar_length_cm", Label: "Oar length"}, {At: wire.At("oar_length_cm"), ID: "oar_length_cm", Label: "Oar length"},
	{At: wire.At("rig", "heel_to_pin_cm"), ID: "heel_to_pin_cm", Label: "Stretcher position"},
	{At: wire.At("approach", "boat_speed_m_s"), ID: "speed", Label: "Boat speed"}, {At: wire.At("boat_speed_m_s"), ID: "speed", Label: "Boat speed"},
	{At: wire.At("approach", "edge_height_cm"), ID: "edge", Label: "Edge over the water"},
}

// rigTyped reports whether the address says anything of the rig: what is lacking in
// the records is a mistake only of those who asked.
func rigTyped(typed url.Values) bool {
	for _, name := range []string{"boat", "seat", "speed", "edge", "class", "posture"} {
		if typed.Get(name) != "" {
			return true
		}
	}
	return false
}

// complain shows what is wrong; false for what cannot be shown here.
func (p *strokePage) complain(label string, err error) bool {
	explained := rest.Explain(err)
	if explained.Status != http.StatusUnprocessableEntity {
		return false
	}
	for _, f := range strokeFields.Problems(explained.Errors) {
		f.Label = cmp.Or(f.Label, label)
		p.Problems = append(p.Problems, f)
	}
	if len(explained.Errors) == 0 {
		p.Problems = append(p.Problems, page.Problem{Field: "", Label: label, Text: explained.Detail})
	}
	return true
}

// lay builds the drawings and tables.
func (p *strokePage) lay() {
	o := &p.R.Oar
	p.Title = p.R.Athlete
	if p.Title == "" {
		p.Title = files.SeatLabel(p.R.Seat)
	}
	for _, h := range []struct{ name, label string }{
		{"catch_slip_deg", "Catch slip"}, {"release_slip_deg", "Release slip"}, {"catch_deg", "Catch"}, {"finish_deg", "Finish"}, {"peak_n", "Peak force"}, {"power_w", "Power"},
	} {
		if f, ok := o.Features[h.name]; ok {
			l := exports.FeatureNamed(h.name)
			unit := l.Unit
			if unit != "°" {
				unit = " " + unit
			}
			p.Head = append(p.Head, headline{h.label, page.Fix(l.Digits, math.Abs(f.Mean)) + unit, "± " + page.Fix(l.Digits, f.SD) + unit})
		}
	}
	if v, ok := o.Features["boat_speed_m_s"]; ok {
		p.MeasuredSpeed = page.Fix(2, v.Mean)
	}
	if _, timed := o.Features["drive_time_s"]; timed { // not of a mean curve
		p.ByTime = forceByTime(&p.R)
	}
	p.Strips = strips(o.List)
	p.LeftOut = files.LeftOut(&o.LeftOut)
	p.StrokeOptions = strokeOptions(o.List)
	p.Tables = files.Tables{featureTable(o.Features), strokeTable(o.List), curveTable("curve", "Mean curve",
		[]string{"By angle, N", "± SD", "By time, N", "± SD"}, o.Curve.AngleMean, o.Curve.AngleSD, o.Curve.TimeMean, o.Curve.TimeSD)}
	if len(p.R.Path) > 0 {
		p.Tables = append(p.Tables, pathTable(p.R.Path))
	}
}

// forceByTime draws the mean curve over the time of the drive.
func forceByTime(r *strokes.Recording) *plot.Plot {
	c, drive := &r.Oar.Curve, r.Oar.Features["drive_time_s"].Mean
	x := plot.Evenly(len(c.TimeMean), 0, drive)
	low, high := plot.PlusMinus(c.TimeMean, c.TimeSD)
	p := plot.New("Mean force over the time of the drive, "+page.Fix(2, drive)+" s", 150, [2]float64{0, drive}, plot.Extent([2]float64{0, 1}, high), "time from the catch, s", "force, N")
	p.Band("spread", x, low, high)
	p.Line("series s0", x, c.TimeMean)
	return p
}

// strips draw some features stroke by stroke.
func strips(list strokefile.StrokeList) []*plot.Plot {
	var plots []*plot.Plot
	for _, name := range []string{"catch_slip_deg", "catch_deg", "peak_n", "power_w"} {
		l := exports.FeatureNamed(name)
		var x, y []float64
		for i := range list {
			if v, ok := list[i].Features.Value(name); ok {
				x, y = append(x, float64(i+1)), append(y, v)
			}
		}
		if len(x) < 2 {
			continue
		}
		p := plot.New(l.Label+" in each of "+strconv.Itoa(len(list))+" strokes", 74, [2]float64{0.5, float64(len(list)) + 0.5}, plot.Extent([2]float64{y[0], y[0]}, y), "stroke", exports.Heading(l))
		p.Title += ", from " + page.Fix(l.Digits, plot.Extent([2]float64{y[0], y[0]}, y)[0]) + " to " + page.Fix(l.Digits, plot.Extent([2]float64{y[0], y[0]}, y)[1]) + " " + l.Unit
		p.Line("thread", x, y)
		if len(x) <= 400 {
			for i := range x {
				p.Dot("one", x[i], y[i])
			}
		}
		plots = append(plots, p)
	}
	return plots
}

func pathTable(path []strokes.BladePoint) *files.Table {
	t := &files.Table{Name: "path", Title: "Blade path", Head: []string{"Part", "Oar angle, °", "Vertical angle, °", "± SD"}, Wide: true}
	for i, b := range path {
		part := "drive"
		if i >= len(path)/2 {
			part = "recovery"
		}
		t.Rows = append(t.Rows, []string{part, page.Fix(1, b.AngleDeg), page.Fix(1, b.VerticalDeg), page.Fix(2, b.VerticalSdDeg)})
	}
	return t
}

// lowerCarry is the lower carry of the blade that the advice reckons with, cm; our judgement.
const lowerCarry = 3

// rigged works out the entry and, where it is asked for, the posture.
func (s *site) rigged(ctx context.Context, p *strokePage, typed url.Values) error {
	if err := s.fillRig(ctx, p, typed); err != nil {
		return err
	}
	rig, ok := p.Rig.read(p)
	if !ok {
		return nil
	}
	approach := &seat.Approach{}
	approach.BoatSpeedMS, approach.EdgeHeightCm = p.Rig.optional(p, "Boat speed", p.Rig.Speed), p.Rig.optional(p, "Edge over the water", p.Rig.Edge)
	meets, err := s.service.Advice.StrokeEntry(ctx, advice.StrokeEntryRequest{ID: p.R.ID, RigOfRecording: rig, Approach: approach})
	switch {
	case err == nil:
		p.Entry, p.LowerBy = &meets, lowerCarry
		p.LowerSaves = lowerCarry * meets.Entry.SavedDegPerCm
	case !rigTyped(typed):
		explained := rest.Explain(err)
		if explained.Status != http.StatusUnprocessableEntity || len(explained.Errors) == 0 {
			return err
		}
		p.RigNeeds = explained.Errors[0].Detail
	case !p.complain("Rig", err):
		return err
	}
	if typed.Get("posture") == "" || err != nil {
		return nil
	}
	cal, err := s.service.Advice.CalibrateRecording(ctx, advice.CalibrateRecordingRequest{ID: p.R.ID, RigOfRecording: rig})
	if err != nil {
		if !p.complain("Posture", err) {
			return err
		}
		return nil
	}
	p.Cal = &cal
	p.CalValues = []page.Entry{
		{Label: "Lean forward at the catch", Value: page.Fix(1, cal.Posture.LeanDeg) + " ± " + page.Fix(1, cal.LeanSdDeg) + "°"},
		{Label: "Lean back at the finish", Value: page.Fix(1, cal.Posture.LaybackDeg) + " ± " + page.Fix(1, cal.LaybackSdDeg) + "°"},
		{Label: "Shoulders forward", Value: page.Fix(1, cal.Posture.ProtractionCm) + " ± " + page.Fix(1, cal.ProtractionSdCm) + " cm"},
	}
	return nil
}

// fillRig takes the rig's form from the address, or from the recording.
func (s *site) fillRig(ctx context.Context, p *strokePage, typed url.Values) error {
	at := func(name string) string { return strings.TrimSpace(typed.Get(name)) }
	p.Rig = rigForm{
		Boat: at("boat"), Seat: at("seat"), Speed: at("speed"), Edge: at("edge"), Class: at("class"), Side: at("side"),
		Span: at("span_cm"), Inboard: at("inboard_cm"), Length: at("oar_length_cm"), Heel: at("heel_to_pin_cm"), Classes: s.service.Seat.BoatClasses(),
	}
	if p.Rig.Boat == "" && p.R.BoatID != nil {
		p.Rig.Boat = strconv.FormatInt(*p.R.BoatID, 10)
	}
	boats, err := s.service.Fleet.Boats(ctx, records.ListRequest{})
	for _, b := range boats.Boats {
		p.Rig.Boats = append(p.Rig.Boats, page.Option{Value: strconv.FormatInt(b.ID, 10), Label: b.Name + ", " + b.BoatClass})
	}
	if err != nil {
		return err
	}
	list, err := s.service.Strokes.Recordings(ctx, strokes.RecordingsRequest{})
	for i := range list.Recordings {
		if o := &list.Recordings[i]; o.ID != p.R.ID {
			p.Others = append(p.Others, page.Option{Value: strconv.FormatInt(o.ID, 10), Label: recordingLabel(o)})
		}
	}
	return err
}

// read turns the form into a rig; ok is false when none is named.
func (f *rigForm) read(p *strokePage) (rig advice.RigOfRecording, ok bool) {
	if seat, err := strconv.Atoi(f.Seat); err == nil {
		rig.SeatNumber = seat
	} else if f.Seat != "" {
		p.Problems = append(p.Problems, page.Problem{Field: "", Label: "Seat", Text: "“" + f.Seat + "” is not the number of a seat."})
		return rig, false
	}
	if f.Boat != "typed" {
		rig.BoatID = files.IDOf(f.Boat)
		return rig, rig.BoatID != nil
	}
	rig.BoatClass = f.Class
	rig.Rig = &seat.Seat{
		Side: f.Side, InboardCm: f.optional(p, "Inboard", f.Inboard), OarLengthCm: f.optional(p, "Oar length", f.Length), HeelToPinCm: f.optional(p, "Stretcher position", f.Heel),
	}
	span := f.optional(p, "Span or spread", f.Span)
	if f.scull() {
		rig.Rig.SpanCm, rig.Rig.Side = span, ""
	} else {
		rig.Rig.SpreadCm = span
	}
	return rig, len(p.Problems) == 0
}

func (f *rigForm) scull() bool {
	for _, c := range f.Classes {
		if c.Code == f.Class {
			return c.Scull
		}
	}
	return false
}

func (f *rigForm) optional(p *strokePage, label, text string) *float64 {
	if text == "" {
		return nil
	}
	v, complaint := wire.ReadNumber(text)
	if complaint != "" {
		p.Problems = append(p.Problems, page.Problem{Field: "", Label: label, Text: complaint})
		return nil
	}
	return &v
}

// strokeChange removes or corrects the recording, or marks a stroke of it.
func (s *site) strokeChange(w http.ResponseWriter, r *http.Request) error {
	form := s.Sent(w, r)
	if form == nil {
		return s.Broken(w)
	}
	switch form.Text("do") {
	case "remove":
		return s.strokeRemove(w, r)
	case "correct":
		return s.strokeCorrect(w, r, form)
	case "mark", "unmark":
		return s.strokeMark(w, r, form)
	}
	return s.Broken(w)
}

// strokePosture keeps the posture that was shown and confirmed.
func (s *site) strokePosture(w http.ResponseWriter, r *http.Request) error {
	form := s.Sent(w, r)
	if form == nil {
		return s.Broken(w)
	}
	p := &strokePage{Rig: rigForm{
		Boat: form.Text("boat"), Seat: form.Text("seat"), Class: form.Text("class"), Side: form.Text("side"),
		Span: form.Text("span_cm"), Inboard: form.Text("inboard_cm"), Length: form.Text("oar_length_cm"), Heel: form.Text("heel_to_pin_cm"), Classes: s.service.Seat.BoatClasses(),
	}}
	rig, ok := p.Rig.read(p)
	if !ok {
		return s.Broken(w)
	}
	id := page.PathID(r, "recording")
	cal, err := s.service.Advice.CalibrateRecording(r.Context(), advice.CalibrateRecordingRequest{ID: id, RigOfRecording: rig})
	if err != nil {
		return s.Fail(w, err)
	}
	posture := cal.Posture
	_, err = s.service.Club.AddPosture(r.Context(), club.PostureEdit{
		AthleteID: cal.AthleteID, CalibratedOn: cal.CalibratedOn, Kind: cal.Kind,
		Posture: seat.Posture{LeanDeg: &posture.LeanDeg, LaybackDeg: &posture.LaybackDeg, ProtractionCm: &posture.ProtractionCm},
		Note:    fmt.Sprintf("From measured strokes: catch %s°, finish %s°.", page.Fix(1, cal.CatchDeg), page.Fix(1, cal.FinishDeg)),
	})
	if err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, fmt.Sprintf("/athletes/%d", cal.AthleteID))
}

// strokeRemove removes a recording for good.
func (s *site) strokeRemove(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.Strokes.DeleteRecording(r.Context(), records.IDRequest{ID: page.PathID(r, "recording")}); err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, "/recordings")
}
