package strokes

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"thole/api/jobs"
	"thole/api/records"
	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/wire"
	"thole/selection/stroke"
)

// KeepStrokesRequest puts seats of an upload on record.
type KeepStrokesRequest struct {
	Upload      string                       `json:"upload" required:"true" validate:"max=200" description:"Its id."`
	Mapping     *strokefile.StrokeMapping    `json:"mapping" description:"Without it, as detected, where that is certain."`
	Force       string                       `json:"force,omitempty" validate:"omitempty,oneof=handle gate" description:"Where the force was measured; needed where the mapping is left out."`
	Thresholds  *strokefile.StrokeThresholds `json:"thresholds" description:"Without it, 30 % of each stroke's own peak."`
	Levers      *strokefile.OarLevers        `json:"levers" description:"Without it, no work and no power."`
	MappingName string                       `json:"mapping_name" validate:"omitempty,max=80" description:"Under which the mapping is saved, if it is."`
	RecordedOn  string                       `json:"recorded_on" validate:"required,day" description:"YYYY-MM-DD."`
	BoatID      *int64                       `json:"boat_id" validate:"omitempty,gte=0"`
	Note        string                       `json:"note" validate:"omitempty,max=2000"`
	Seats       []KeptSeat                   `json:"seats" validate:"required,max=64" description:"Those to keep; the rest of the file is left."`
}

// KeptSeat says who sat in a seat of the file.
type KeptSeat struct {
	Seat      string `json:"seat" validate:"omitempty,max=80" description:"As the file calls it; empty for a file that names none."`
	AthleteID *int64 `json:"athlete_id" validate:"omitempty,gte=0" description:"Without it, not known."`
}

// maxKeptSamples bounds the samples of one oar that go on record, by our judgement: close to
// three hours at 100 a second.
const maxKeptSamples = 1_000_000

// Keeping is a file on its way into the records.
type Keeping struct {
	Service *Service
	Ask     *KeepStrokesRequest
	Name    string // of the file
	Size    int64
	Open    func() (io.ReadCloser, error)
	terms   string
	at      time.Time // when it was kept
	done    int64     // bytes of earlier passes
	total   int64
}

// KeepStrokes measures an upload and puts seats of it on record, all or none.
// The upload is removed then. Errors: ErrNotFound for the upload, an *Invalid,
// an *Unreadable or the context's.
func (s *Service) KeepStrokes(ctx context.Context, r KeepStrokesRequest) (RecordingList, error) {
	f, err := s.files.Waiting(ctx, r.Upload)
	if err != nil {
		return RecordingList{}, err
	}
	list, err := s.Keep(ctx, &Keeping{Service: s, Ask: &r, Name: f.Name, Size: f.Bytes, Open: f.Open})
	if err == nil {
		s.files.Done(ctx, r.Upload)
	}
	return list, err
}

// Keep runs once over the file to see who is in it, and once more for each oar
// that is kept, so that the samples of only one are in memory at a time. All
// come on record in one transaction, or none.
func (s *Service) Keep(ctx context.Context, k *Keeping) (RecordingList, error) {
	list := RecordingList{Recordings: []RecordingSummary{}}
	if err := k.check(ctx); err != nil {
		return list, err
	}
	k.at = s.Now()
	report, err := k.measure(ctx, nil)
	if err != nil {
		return list, err
	}
	oars, err := k.chosen(report)
	if err != nil {
		return list, err
	}
	k.total = k.Size * int64(1+len(oars))
	waiting, err := newSpool()
	if err != nil {
		return list, err
	}
	defer waiting.close()
	for _, o := range oars {
		if err := k.gatherOar(ctx, o, waiting); err != nil {
			return list, err
		}
	}
	kept, err := s.Store.AddRecordings(ctx, waiting.recordings())
	if err != nil {
		return list, records.RecordError(err)
	}
	return s.listed(ctx, kept)
}

func (s *Service) listed(ctx context.Context, ids []int64) (RecordingList, error) {
	list := RecordingList{Recordings: []RecordingSummary{}}
	n, err := s.names(ctx)
	for _, id := range ids {
		r, err := s.Store.Recording(ctx, id)
		if err != nil {
			return list, records.RecordError(err)
		}
		list.Recordings = append(list.Recordings, n.summary(&r))
	}
	return list, err
}

// check complains about what can be told before the file is read.
func (k *Keeping) check(ctx context.Context) error {
	var p wire.Problems
	s, r := k.Service, k.Ask
	p.PastDay(wire.At("recorded_on"), r.RecordedOn, "1990-01-01", s.Today())
	p.Check(wire.At(), r)
	if len(r.Seats) == 0 {
		p.Add(wire.At("seats").Problem("Say which seats to keep."))
	}
	n, err := s.names(ctx)
	if err != nil {
		return err
	}
	if r.BoatID != nil && n.boats[*r.BoatID] == "" {
		p.Add(wire.At("boat_id").Problem("This boat is not on record."))
	}
	checkSeats(ctx, &p, r.Seats, n.athletes)
	return p.OrNil()
}

// checkSeats complains about seats and athletes that come twice, athletes who are not
// on record, and what is not an athlete's own.
func checkSeats(ctx context.Context, p *wire.Problems, seats []KeptSeat, athletes map[int64]string) {
	taken := map[int64]bool{}
	named := map[string]bool{}
	for i, seat := range seats {
		at := wire.At("seats").Item(i)
		if named[seat.Seat] {
			p.Add(at.Name("seat").Problem("Seat " + seat.Seat + " is named twice."))
		}
		named[seat.Seat] = true
		if !keepsOwn(ctx, p, at.Name("athlete_id"), seat.AthleteID) || seat.AthleteID == nil {
			continue
		}
		id := *seat.AthleteID
		switch {
		case athletes[id] == "":
			p.Add(at.Name("athlete_id").Problem("This athlete is not on record."))
		case taken[id]:
			p.Add(at.Name("athlete_id").Problem(athletes[id] + " cannot sit in two seats."))
		}
		taken[id] = true
	}
}

// measure runs over the file; samples, where not nil, receives the cleaned
// samples.
func (k *Keeping) measure(ctx context.Context, samples func(stroke.Oar, stroke.Block) error) (*stroke.Report, error) {
	file, err := k.Open()
	if err != nil {
		return nil, err
	}
	defer file.Close()
	r := &strokefile.AnalyseStrokesRequest{Mapping: k.Ask.Mapping, Force: k.Ask.Force, Thresholds: k.Ask.Thresholds, Levers: k.Ask.Levers}
	tell, done := jobs.Progress(ctx), k.done
	inner := jobs.WithProgress(ctx, func(bytes, _ int64) { tell(done+bytes, k.total) })
	report, _, err := strokefile.Analyse(inner, r, file, k.Size, samples)
	k.done += k.Size
	if err == nil {
		err = k.settle(report)
	}
	return report, err
}

// settle notes how the file was measured, to measure the samples again alike.
func (k *Keeping) settle(report *stroke.Report) error {
	terms, err := json.Marshal(RecordingTerms{Thresholds: strokefile.WireThresholds(report.Thresholds), Force: report.Force.String(), Levers: k.Ask.Levers})
	k.terms = string(terms)
	return err
}

// chosenOar is an oar that goes on record with its rower.
type chosenOar struct {
	stroke.Oar
	athlete *int64
}

// chosen lists the oars of the seats to keep.
func (k *Keeping) chosen(report *stroke.Report) ([]chosenOar, error) {
	var p wire.Problems
	var list []chosenOar
	for i, seat := range k.Ask.Seats {
		at := wire.At("seats").Item(i)
		before := len(list)
		for j := range report.Oars {
			o := &report.Oars[j]
			switch {
			case o.Oar.Seat != seat.Seat:
			case o.Count == 0:
				p.Add(at.Name("seat").Problem(fmt.Sprintf("%s has no whole stroke to keep.", sentenceOf(o.Oar))))
			case o.Samples > maxKeptSamples:
				p.Add(at.Name("seat").Problem(fmt.Sprintf("%s has %d samples; at most %d can be kept: cut the file at a pause.", sentenceOf(o.Oar), o.Samples, maxKeptSamples)))
			default:
				list = append(list, chosenOar{o.Oar, seat.AthleteID})
			}
		}
		if len(list) == before {
			p.Add(at.Name("seat").Problem("The file has no seat “" + seat.Seat + "”."))
		}
	}
	return list, p.OrNil()
}

// sentenceOf begins a sentence about an oar.
func sentenceOf(o stroke.Oar) string {
	if o.Seat == "" {
		return "The rower"
	}
	return "Seat " + o.String()
}

// gatherOar gathers what goes on record of one oar.
func (k *Keeping) gatherOar(ctx context.Context, o chosenOar, into *spool) error {
	var m store.Samples
	report, err := k.measure(ctx, func(of stroke.Oar, b stroke.Block) error {
		if of == o.Oar {
			gather(&m, b)
		}
		return nil
	})
	if err != nil {
		return err
	}
	r := store.Recording{
		AthleteID: o.athlete, BoatID: k.Ask.BoatID, Seat: o.Seat, Side: o.Side.String(), RecordedOn: k.Ask.RecordedOn,
		SourceFile: k.Name, MappingName: k.Ask.MappingName, Thresholds: k.terms, Note: k.Ask.Note, EnteredAt: k.at, Samples: m,
	}
	for i := range report.Oars {
		if of := &report.Oars[i]; of.Oar == o.Oar {
			r.Features = storedFeatures(of)
			r.MeanCurve = of.Curve.ByAngle.Mean[:]
		}
	}
	return into.add(r)
}

// gather appends a block in the units of the record.
func gather(m *store.Samples, b stroke.Block) {
	m.TimeS = append(m.TimeS, b.Time...)
	m.ForceN = append(m.ForceN, b.Force...)
	m.SpeedMS = append(m.SpeedMS, b.Speed...)
	m.AngleDeg = appendDeg(m.AngleDeg, b.Angle)
	m.VerticalDeg = appendDeg(m.VerticalDeg, b.Vertical)
}

func appendDeg(to, rad []float64) []float64 {
	for _, v := range rad {
		to = append(to, v*strokefile.PerDegree)
	}
	return to
}

// storedFeatures lists the features of an oar: the means as stroke 0, and each
// stroke.
func storedFeatures(o *stroke.OarReport) []store.FeatureValue {
	var list []store.FeatureValue
	for _, f := range strokefile.Features {
		if s := o.Features[f.Of]; s.N > 0 {
			list = append(list, store.FeatureValue{Feature: f.Name, Value: f.Wire(s.Mean), SD: wire.Ptr(f.Wire(s.SD))})
		}
	}
	for i := range o.Strokes {
		for _, f := range strokefile.Features {
			if v, ok := o.Strokes[i].Value(f.Of); ok {
				list = append(list, store.FeatureValue{Stroke: i + 1, Feature: f.Name, Value: f.Wire(v)})
			}
		}
	}
	return list
}
