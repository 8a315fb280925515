package strokes

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"thole/api/records"
	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/stroke"
)

// KeepCurvesRequest puts mean curves of an upload on record.
type KeepCurvesRequest struct {
	Upload     string      `json:"upload" validate:"required,max=200" description:"Its id."`
	Unit       string      `json:"unit" validate:"omitempty,oneof=n kgf lbf" description:"Of the forces; without it, as the file names it, or N."`
	Force      string      `json:"force" validate:"required,oneof=handle gate" say:"Say whether the force was measured at the handle or at the gate." description:"Where the force was measured."`
	CatchDeg   *float64    `json:"catch_deg" validate:"omitempty,gte=-90,lte=-15" say:"Give the catch these curves begin at, −90° to −15°: the file tells none." description:"Negative; needed where the curves are written over a share of the drive."`
	FinishDeg  *float64    `json:"finish_deg" validate:"omitempty,gte=5,lte=80" say:"Give the finish these curves end at, 5° to 80°: the file tells none." description:"Needed where the curves are written over a share of the drive."`
	RecordedOn string      `json:"recorded_on" validate:"required,day" description:"YYYY-MM-DD."`
	BoatID     *int64      `json:"boat_id" validate:"omitempty,gte=0"`
	Note       string      `json:"note" validate:"omitempty,max=2000"`
	Curves     []KeptCurve `json:"curves" validate:"required,min=1,max=100" say:"Say which curves to keep, 100 at most." description:"Those to keep; the rest of the file is left."`
}

// KeptCurve says whose a curve of the file is.
type KeptCurve struct {
	Name      string `json:"name" validate:"required,max=200" description:"As the file heads it."`
	AthleteID *int64 `json:"athlete_id" validate:"omitempty,gte=0" description:"Without it, not known."`
}

// KeepCurves puts mean curves of an upload on record, all or none. The upload is
// removed then. Errors: ErrNotFound, an *Invalid or an *Unreadable.
func (s *Service) KeepCurves(ctx context.Context, r KeepCurvesRequest) (RecordingList, error) {
	t, err := s.files.CurveTable(ctx, r.Upload, r.Unit)
	if err != nil {
		return RecordingList{}, err
	}
	f, err := s.files.Waiting(ctx, r.Upload)
	if err != nil {
		return RecordingList{}, err
	}
	if err := s.checkCurves(ctx, &r, &t); err != nil {
		return RecordingList{}, err
	}
	kept, err := s.Store.AddRecordings(ctx, func(yield func(store.Recording, error) bool) {
		for _, c := range r.Curves {
			if !yield(s.curveRecording(&r, &t, c, f.Name)) {
				return
			}
		}
	})
	if err != nil {
		return RecordingList{}, records.RecordError(err)
	}
	s.files.Done(ctx, r.Upload)
	return s.listed(ctx, kept)
}

// checkCurves complains about what cannot be kept, and sets the ends of curves
// that are written over a share.
func (s *Service) checkCurves(ctx context.Context, r *KeepCurvesRequest, t *stroke.CurveTable) error {
	var p wire.Problems
	p.PastDay(wire.At("recorded_on"), r.RecordedOn, "1990-01-01", s.Today())
	setEnds(&p, r, t)
	n, err := s.names(ctx)
	if err != nil {
		return err
	}
	if r.BoatID != nil && n.boats[*r.BoatID] == "" {
		p.Add(wire.At("boat_id").Problem("This boat is not on record."))
	}
	for i, c := range r.Curves {
		at := wire.At("curves").Item(i)
		if curveNamed(t, c.Name) == nil {
			p.Add(at.Name("name").Problem("The file has no curve “" + c.Name + "”."))
		}
		if keepsOwn(ctx, &p, at.Name("athlete_id"), c.AthleteID) && c.AthleteID != nil && n.athletes[*c.AthleteID] == "" {
			p.Add(at.Name("athlete_id").Problem("This athlete is not on record."))
		}
	}
	p.Check(wire.Place{}, r)
	return p.OrNil()
}

func setEnds(p *wire.Problems, r *KeepCurvesRequest, t *stroke.CurveTable) {
	if t.Axis == stroke.OverAngle {
		return
	}
	if r.CatchDeg == nil {
		p.Add(wire.At("catch_deg").Problem("Give the catch these curves begin at, −90° to −15°: the file tells none."))
	}
	if r.FinishDeg == nil {
		p.Add(wire.At("finish_deg").Problem("Give the finish these curves end at, 5° to 80°: the file tells none."))
	}
	t.Catch, t.Finish = wire.FromDeg(wire.Or(r.CatchDeg, 0)), wire.FromDeg(wire.Or(r.FinishDeg, 0))
}

func curveNamed(t *stroke.CurveTable, name string) *stroke.MeanCurve {
	i := slices.IndexFunc(t.Curves, func(c stroke.MeanCurve) bool { return c.Name == name })
	if i < 0 {
		return nil
	}
	return &t.Curves[i]
}

func (s *Service) curveRecording(r *KeepCurvesRequest, t *stroke.CurveTable, c KeptCurve, file string) (store.Recording, error) {
	share := stroke.DefaultShare
	terms, err := json.Marshal(RecordingTerms{Thresholds: strokefile.StrokeThresholds{ShareOfPeak: &share}, Force: r.Force})
	if err != nil {
		return store.Recording{}, err
	}
	curve := curveNamed(t, c.Name)
	o := curveReport(curve.Force[:], t.Catch, t.Finish, share)
	return store.Recording{
		AthleteID: c.AthleteID, BoatID: r.BoatID, Seat: cut(c.Name, wire.LongestName), RecordedOn: r.RecordedOn, SourceFile: file, Thresholds: string(terms),
		Note: strings.TrimSpace(r.Note), EnteredAt: s.Now(), Features: storedFeatures(&o), MeanCurve: curve.Force[:],
	}, nil
}

// cut shortens a text to a number of bytes at most, between letters.
func cut(text string, most int) string {
	for len(text) > most {
		r := []rune(text)
		text = string(r[:len(r)-1])
	}
	return text
}

// curveReport is what a mean curve alone says of an oar, slips at a share of
// its peak: nothing of single strokes and of time.
func curveReport(force []float64, catch, finish rigging.Angle, share float64) stroke.OarReport {
	var o stroke.OarReport
	set := func(f stroke.Feature, v float64) { o.Features[f] = stroke.Summary{N: 1, Mean: v} }
	arc := float64(finish - catch)
	n := float64(len(force) - 1)
	top, sum := 0, 0.0
	for i, f := range force {
		sum += f
		if f > force[top] {
			top = i
		}
	}
	mean := (sum - (force[0]+force[len(force)-1])/2) / n
	up, down := crossing(force, top, -1, share*force[top]), crossing(force, top, 1, share*force[top])
	set(stroke.CatchAngle, float64(catch))
	set(stroke.FinishAngle, float64(finish))
	set(stroke.Arc, arc)
	set(stroke.PeakForce, force[top])
	set(stroke.PeakPlace, float64(top)/n)
	set(stroke.PeakAngle, float64(catch)+arc*float64(top)/n)
	set(stroke.MeanForce, mean)
	set(stroke.MeanToPeak, mean/force[top])
	set(stroke.CatchSlip, arc*up/n)
	set(stroke.ReleaseSlip, arc*(n-down)/n)
	set(stroke.EffectiveArc, arc*(down-up)/n)
	o.Count, o.Curve.Strokes = 1, 1
	copy(o.Curve.ByAngle.Mean[:], force)
	return o
}

// crossing walks from the peak and returns the place, in nodes, where the force
// falls to a level; the end of the curve where it never does.
func crossing(force []float64, from, step int, level float64) float64 {
	i := from
	for i+step >= 0 && i+step < len(force) && force[i+step] > level {
		i += step
	}
	if i+step < 0 || i+step >= len(force) {
		return float64(i)
	}
	return float64(i) + float64(step)*(force[i]-level)/(force[i]-force[i+step])
}

// measureCurve takes the mean curve of a recording that has no samples.
func (s *Service) measureCurve(ctx context.Context, m *Remeasured, th stroke.Thresholds) error {
	whole, err := s.Store.Recording(ctx, m.Stored.ID)
	if err != nil {
		return records.RecordError(err)
	}
	ends := map[string]float64{}
	for _, f := range whole.Features {
		if f.Stroke == 0 {
			ends[f.Feature] = f.Value
		}
	}
	if len(whole.MeanCurve) != stroke.Nodes {
		return fmt.Errorf("recording %d has neither samples nor a curve", m.Stored.ID)
	}
	if th.Basis != stroke.ByShare {
		return wire.At("thresholds").Invalid("A mean curve is measured at a share of its peak.")
	}
	o := curveReport(whole.MeanCurve, wire.FromDeg(ends["catch_deg"]), wire.FromDeg(ends["finish_deg"]), th.PeakShare())
	side, _ := rigging.ParseSide(m.Stored.Side)
	o.Oar = stroke.Oar{Seat: m.Stored.Seat, Side: side}
	o.Warnings = append(o.Warnings, stroke.Warning{Code: "curve_only", Text: "this is a mean curve: nothing is known of single strokes, of time and of the blade path"})
	m.Report = &stroke.Report{Thresholds: th, Force: strokefile.SiteOf(m.Terms.Force), Oars: []stroke.OarReport{o}}
	m.Oar, m.Path = &m.Report.Oars[0], []BladePoint{}
	return nil
}
