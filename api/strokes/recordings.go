package strokes

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/stroke"
)

// RecordingSummary is what one oar of one rower did in one file.
type RecordingSummary struct {
	ID          int64     `json:"id"`
	Version     int64     `json:"version" description:"Counts what was corrected."`
	AthleteID   *int64    `json:"athlete_id"`
	Athlete     string    `json:"athlete"`
	BoatID      *int64    `json:"boat_id"`
	Boat        string    `json:"boat"`
	Seat        string    `json:"seat" description:"As the file calls it."`
	Side        string    `json:"side" validate:"omitempty,oneof=port starboard"`
	RecordedOn  string    `json:"recorded_on" description:"YYYY-MM-DD."`
	SourceFile  string    `json:"source_file"`
	MappingName string    `json:"mapping_name"`
	Note        string    `json:"note"`
	EnteredAt   time.Time `json:"entered_at"`
	EnteredBy   string    `json:"entered_by" description:"Name of the account that kept it; empty where there was none."`
}

// RecordingList lists recordings.
type RecordingList struct {
	Recordings []RecordingSummary `json:"recordings"`
}

// RecordingsRequest picks recordings.
type RecordingsRequest struct {
	AthleteID int64 `query:"athlete_id" json:"-" validate:"omitempty,gte=1" description:"Without it, of everybody."`
	BoatID    int64 `query:"boat_id" json:"-" validate:"omitempty,gte=1" description:"Without it, in every boat."`
}

// RecordingRequest asks for a recording, measured at thresholds of choice.
// With none stated those of the import are used.
type RecordingRequest struct {
	ID          int64    `path:"id" json:"-" validate:"gte=1"`
	CatchN      *float64 `query:"catch_n" json:"-" validate:"omitempty,gte=1,lte=2000" description:"Force at the catch, as measured."`
	ReleaseN    *float64 `query:"release_n" json:"-" validate:"omitempty,gte=1,lte=2000" description:"Force at the release, as measured."`
	ShareOfPeak *float64 `query:"share_of_peak" json:"-" validate:"omitempty,gte=0.01,lte=0.95" description:"Share of the stroke's peak force, 0 to 1."`
	CoveredDeg  *float64 `query:"covered_deg" json:"-" validate:"omitempty,gte=-20,lte=0" description:"Vertical angle below which the blade is covered."`
	RowerOars   int      `query:"rower_oars" json:"-" validate:"gte=0,lte=2" description:"Whose forces catch_n and release_n are: 0 that of each oar, 1 or 2 that of a rower with so many oars."`
	RatePerMin  float64  `query:"rate_per_min" json:"-" validate:"omitempty,gte=8,lte=68" unit:"a minute" description:"Only the strokes rowed at about this rate; without it, all."`
}

// Recording is a recording as measured from its samples.
type Recording struct {
	RecordingSummary
	Thresholds  strokefile.StrokeThresholds `json:"thresholds" description:"That every slip refers to."`
	Threshold   string                      `json:"threshold" description:"The same in words, to be printed with every slip."`
	Force       string                      `json:"force" enum:"handle,gate"`
	Levers      *strokefile.OarLevers       `json:"levers,omitempty" description:"As stated at the import."`
	Oar         strokefile.StrokeOar        `json:"oar"`
	Path        []BladePoint                `json:"path" description:"Mean blade path, 41 points of the drive and 41 of the recovery, evenly spaced in time; empty without vertical angle."`
	Warnings    []strokefile.StrokeWarning  `json:"warnings"`
	OtherOar    *int64                      `json:"other_oar" description:"The recording of the sculler's other oar."`
	Marks       []StrokeMark                `json:"marks" description:"What was said of single strokes, by time."`
	HoldsOthers bool                        `json:"holds_others" description:"Recordings of others, or of nobody, were kept from the same file: only a coach changes it then."`
}

// BladePoint is one place of the blade on its mean way.
type BladePoint struct {
	AngleDeg      float64 `json:"angle_deg"`
	VerticalDeg   float64 `json:"vertical_deg" description:"Negative below the water."`
	VerticalSdDeg float64 `json:"vertical_sd_deg"`
}

// SampleSeries are the cleaned samples of a recording.
type SampleSeries struct {
	TimeS       []float64 `json:"time_s"`
	AngleDeg    []float64 `json:"angle_deg"`
	ForceN      []float64 `json:"force_n"`
	VerticalDeg []float64 `json:"vertical_deg" description:"Empty where it was not measured."`
	SpeedMS     []float64 `json:"speed_m_s" description:"Empty where it was not measured."`
}

// RecordingTerms is how a recording was measured, as it is kept with it.
type RecordingTerms struct {
	Thresholds strokefile.StrokeThresholds `json:"thresholds"`
	Force      string                      `json:"force"`
	Levers     *strokefile.OarLevers       `json:"levers,omitempty"`
}

// names holds what athletes and boats are called.
type names struct{ athletes, boats map[int64]string }

func (s *Service) names(ctx context.Context) (names, error) {
	n := names{map[int64]string{}, map[int64]string{}}
	athletes, err := s.Store.Athletes(ctx, store.Filter{Archived: true})
	if err != nil {
		return n, records.RecordError(err)
	}
	for i := range athletes {
		n.athletes[athletes[i].ID] = athletes[i].Name
	}
	boats, err := s.Store.Boats(ctx, store.Filter{Archived: true})
	for i := range boats {
		n.boats[boats[i].ID] = boats[i].Name
	}
	return n, records.RecordError(err)
}

func (n *names) summary(r *store.Recording) RecordingSummary {
	return RecordingSummary{
		ID: r.ID, Version: r.Version, AthleteID: r.AthleteID, Athlete: n.athletes[wire.Or(r.AthleteID, 0)], BoatID: r.BoatID, Boat: n.boats[wire.Or(r.BoatID, 0)],
		Seat: r.Seat, Side: r.Side, RecordedOn: r.RecordedOn, SourceFile: r.SourceFile, MappingName: r.MappingName, Note: r.Note,
		EnteredAt: r.EnteredAt, EnteredBy: r.EnteredBy,
	}
}

// Recordings lists what is on record, newest first.
func (s *Service) Recordings(ctx context.Context, r RecordingsRequest) (RecordingList, error) {
	list := RecordingList{Recordings: []RecordingSummary{}}
	found, err := s.Store.Recordings(store.Paged(ctx), store.RecordingFilter{AthleteID: r.AthleteID, BoatID: r.BoatID})
	if err != nil {
		return list, records.RecordError(err)
	}
	n, err := s.names(ctx)
	for i := range found {
		list.Recordings = append(list.Recordings, n.summary(&found[i]))
	}
	return list, err
}

// DeleteRecording removes a recording with its samples and wipes the file.
func (s *Service) DeleteRecording(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Gone(r.ID, s.Store.DeleteRecording(ctx, r.ID))
}

// RecordingSamples returns the cleaned series of a recording.
func (s *Service) RecordingSamples(ctx context.Context, r records.IDRequest) (SampleSeries, error) {
	m, err := s.Store.Samples(ctx, r.ID)
	if err != nil {
		return SampleSeries{}, records.RecordError(err)
	}
	return SampleSeries{
		TimeS: strokefile.Rounded(m.TimeS, 1e4), AngleDeg: strokefile.Rounded(m.AngleDeg, 100), ForceN: strokefile.Rounded(m.ForceN, 100),
		VerticalDeg: strokefile.Rounded(m.VerticalDeg, 100), SpeedMS: strokefile.Rounded(m.SpeedMS, 1e4),
	}, nil
}

// Recording returns a recording, measured afresh from its samples. Errors:
// ErrNotFound, or an *Invalid for thresholds that cannot be used.
func (s *Service) Recording(ctx context.Context, r RecordingRequest) (Recording, error) {
	m, err := s.MeasureAgain(ctx, &r)
	if err != nil {
		return Recording{}, err
	}
	n, err := s.names(ctx)
	if err != nil {
		return Recording{}, err
	}
	w := Recording{
		RecordingSummary: n.summary(&m.Stored), Thresholds: strokefile.WireThresholds(m.Report.Thresholds), Threshold: m.Report.Thresholds.String(),
		Force: m.Report.Force.String(), Levers: m.Terms.Levers, Oar: strokefile.WireOar(m.Oar), Warnings: strokefile.WireWarnings(m.Report.Warnings),
		Path: m.Path, Marks: wireMarks(m.marks),
	}
	other, err := s.OtherOar(ctx, &m.Stored)
	if other != nil {
		w.OtherOar = &other.ID
	}
	if err != nil {
		return w, err
	}
	w.HoldsOthers, err = s.Store.HoldsOthers(ctx, r.ID)
	return w, records.RecordError(err)
}

// Remeasured is a recording with what its samples give.
type Remeasured struct {
	Stored  store.Recording
	Terms   RecordingTerms
	samples store.Samples
	marks   []store.Mark
	Report  *stroke.Report
	Oar     *stroke.OarReport
	Path    []BladePoint
}

// MeasureAgain measures the samples of a recording at the thresholds asked for
// and leaves the strokes of the rate asked for.
func (s *Service) MeasureAgain(ctx context.Context, r *RecordingRequest) (*Remeasured, error) {
	return s.MeasureWith(ctx, r, nil)
}

// MeasureWith measures with levers in place of those of the import, where they
// are not nil.
func (s *Service) MeasureWith(ctx context.Context, r *RecordingRequest, levers *strokefile.OarLevers) (*Remeasured, error) {
	stored, err := s.Store.RecordingRow(ctx, r.ID)
	if err != nil {
		return nil, records.RecordError(err)
	}
	m := &Remeasured{Stored: stored}
	if err := json.Unmarshal([]byte(stored.Thresholds), &m.Terms); err != nil {
		return nil, fmt.Errorf("recording %d: its terms: %w", r.ID, err)
	}
	th := m.Terms.Thresholds
	if asked := (strokefile.StrokeThresholds{CatchN: r.CatchN, ReleaseN: r.ReleaseN, ShareOfPeak: r.ShareOfPeak, CoveredDeg: r.CoveredDeg, RowerOars: r.RowerOars}); asked != (strokefile.StrokeThresholds{}) {
		th = asked
	}
	thresholds, err := th.Domain()
	if err != nil {
		return nil, err
	}
	if levers != nil {
		m.Terms.Levers = levers
	}
	key := fmt.Sprintf("%d %d %+v %+v", r.ID, stored.Version, thresholds, wire.Or(m.Terms.Levers, strokefile.OarLevers{}))
	if kept, ok := s.measurings.Get(key); ok {
		return kept.Chosen(r.RatePerMin)
	}
	if err := s.measureSamples(ctx, m, thresholds); err != nil {
		return nil, err
	}
	if len(m.samples.TimeS) <= mostKeptSamples {
		s.measurings.Put(key, m)
	}
	return m.Chosen(r.RatePerMin)
}

// mostKeptSamples bounds the samples of a recording that stays in memory, by our judgement: a
// quarter of an hour at 50 a second.
const mostKeptSamples = 50_000

func (s *Service) measureSamples(ctx context.Context, m *Remeasured, thresholds stroke.Thresholds) (err error) {
	if m.samples, err = s.Store.Samples(ctx, m.Stored.ID); err != nil {
		return records.RecordError(err)
	}
	if len(m.samples.TimeS) == 0 {
		return s.measureCurve(ctx, m, thresholds)
	}
	if m.marks == nil {
		if m.marks, err = s.Store.Marks(ctx, m.Stored.ID); err != nil {
			return records.RecordError(err)
		}
	}
	src, mapping := newSampleText(&m.Stored, &m.samples, strokefile.SiteOf(m.Terms.Force))
	m.Report, err = stroke.Analyse(ctx, src, mapping, thresholds, stroke.Options{Levers: m.Terms.Levers.ByOar(), Skip: skips(m.marks)})
	if err != nil {
		return strokefile.ReadingError(err)
	}
	m.Oar = &m.Report.Oars[0]
	m.Path = bladePath(&m.samples, m.Oar.Strokes)
	return nil
}

// Chosen leaves the strokes of one rate, a minute, and what they give; 0 takes
// all.
func (m *Remeasured) Chosen(perMin float64) (*Remeasured, error) {
	if perMin == 0 {
		return m, nil
	}
	for i := range m.Oar.Rates {
		g := &m.Oar.Rates[i]
		if perMin/60 < g.Low-1e-9 || perMin/60 >= g.High {
			continue
		}
		own, oar := *m, *m.Oar
		oar.Features, oar.Curve, oar.Count = g.Features, g.Curve, g.Count
		oar.Strokes = slices.DeleteFunc(slices.Clone(oar.Strokes), func(s stroke.Stroke) bool { return !g.Holds(&s) })
		own.Oar, own.Path = &oar, bladePath(&m.samples, oar.Strokes)
		return &own, nil
	}
	return nil, wire.At("rate_per_min").Invalid("No strokes were rowed at this rate.")
}

// sampleText writes samples as rows of text, to be measured again. Numbers
// keep every digit, so that nothing changes on the way.
type sampleText struct {
	series [][]float64
	next   int
	text   []byte // written and not yet read
}

// newSampleText returns the reader and the mapping of its rows.
func newSampleText(r *store.Recording, m *store.Samples, force stroke.Site) (*sampleText, stroke.Mapping) {
	side, _ := rigging.ParseSide(r.Side)
	mapping := stroke.Mapping{Separator: ',', Force: force}
	t := new(sampleText)
	for _, c := range []struct {
		values   []float64
		quantity stroke.Quantity
		unit     stroke.Unit
	}{
		{m.TimeS, stroke.Time, stroke.Second}, {m.AngleDeg, stroke.OarAngle, stroke.Degree}, {m.ForceN, stroke.Force, stroke.Newton},
		{m.VerticalDeg, stroke.VerticalAngle, stroke.Degree}, {m.SpeedMS, stroke.BoatSpeed, stroke.MetrePerSecond},
	} {
		if len(c.values) == 0 {
			continue
		}
		column := stroke.Column{Index: len(t.series), Quantity: c.quantity, Unit: c.unit}
		if c.quantity != stroke.Time && c.quantity != stroke.BoatSpeed {
			column.Seat, column.Side = r.Seat, side
		}
		mapping.Columns = append(mapping.Columns, column)
		t.series = append(t.series, c.values)
	}
	mapping.Width = len(t.series)
	return t, mapping
}

// Read writes rows until p is full.
func (t *sampleText) Read(p []byte) (int, error) {
	for len(t.text) < len(p) && t.next < len(t.series[0]) {
		for i, values := range t.series {
			if i > 0 {
				t.text = append(t.text, ',')
			}
			if v := values[t.next]; v == v {
				t.text = strconv.AppendFloat(t.text, v, 'f', -1, 64)
			}
		}
		t.text = append(t.text, '\n')
		t.next++
	}
	n := copy(p, t.text)
	t.text = t.text[:copy(t.text, t.text[n:])]
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}

// OtherOar returns the recording of the sculler's other oar, nil when there is
// none: the one of the same file, day and seat.
func (s *Service) OtherOar(ctx context.Context, r *store.Recording) (*store.Recording, error) {
	if r.Side == "" || r.AthleteID == nil {
		return nil, nil
	}
	all, err := s.Store.Recordings(ctx, store.RecordingFilter{AthleteID: *r.AthleteID})
	for i := range all {
		if SameOuting(r, &all[i]) {
			return &all[i], nil
		}
	}
	return nil, records.RecordError(err)
}

// SameOuting reports whether two recordings are of the two oars of one sculler
// at one time.
func SameOuting(a, b *store.Recording) bool {
	return a.Side != b.Side && b.Side != "" && a.Seat == b.Seat && a.SourceFile == b.SourceFile && a.RecordedOn == b.RecordedOn &&
		wire.Or(a.AthleteID, 0) == wire.Or(b.AthleteID, 0) && a.EnteredAt.Sub(b.EnteredAt).Abs() < time.Minute
}
