package advice

import (
	"context"
	"math"
	"strings"

	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/rigging"
)

// RigOfRecording says in which rig a recording was rowed: a seat of a boat on
// record, or one that is typed in.
type RigOfRecording struct {
	BoatID     *int64     `json:"boat_id" validate:"omitempty,gte=0" description:"Without it, the boat of the recording, unless a rig is stated."`
	SeatNumber int        `json:"seat_number" validate:"gte=0,lte=8" description:"1 is bow; without it, the seat as the file calls it."`
	BoatClass  string     `json:"boat_class" validate:"omitempty,boatclass" description:"Of the rig that is stated."`
	Rig        *seat.Seat `json:"rig" description:"Stands in for a boat on record."`
}

// StrokeEntryRequest asks how the blade meets the water at the measured catch.
type StrokeEntryRequest struct {
	ID int64 `path:"id" json:"-" validate:"gte=1"`
	RigOfRecording
	Approach *seat.Approach `json:"approach" description:"Without a boat speed, as measured."`
}

// StrokeEntry is how the blade would meet the water at the measured catch.
type StrokeEntry struct {
	BoatClass   string     `json:"boat_class"`
	Boat        string     `json:"boat" description:"Empty for a rig that was stated."`
	SeatNumber  int        `json:"seat_number"`
	CatchDeg    float64    `json:"catch_deg" description:"As measured, mean of the strokes."`
	BoatSpeedMS float64    `json:"boat_speed_m_s" description:"As stated, or as measured, mean of the cycle."`
	Measured    bool       `json:"measured" description:"The boat speed was measured."`
	Entry       seat.Entry `json:"entry"`
}

// CalibrateRecordingRequest asks which posture explains the measured catch and
// finish.
type CalibrateRecordingRequest struct {
	ID int64 `path:"id" json:"-" validate:"gte=1"`
	RigOfRecording
}

// RecordingCalibration is the posture that explains a recording, ready to be
// added to the athlete.
type RecordingCalibration struct {
	AthleteID    int64   `json:"athlete_id"`
	CalibratedOn string  `json:"calibrated_on" description:"Day of the recording."`
	Kind         string  `json:"kind" enum:"scull,sweep"`
	BoatClass    string  `json:"boat_class"`
	CatchDeg     float64 `json:"catch_deg" description:"As measured; in sculling the mean of both oars, where both are on record."`
	FinishDeg    float64 `json:"finish_deg"`
	SdDeg        float64 `json:"sd_deg" description:"Taken for each: that of the sensor's zero and of the mean."`
	Oars         int     `json:"oars" description:"That the angles are the mean of."`

	Posture         seat.PostureValues `json:"posture"`
	LeanSdDeg       float64            `json:"lean_sd_deg"`
	LaybackSdDeg    float64            `json:"layback_sd_deg"`
	ProtractionSdCm float64            `json:"protraction_sd_cm"`
	CatchMissDeg    float64            `json:"catch_miss_deg" description:"Modelled less measured."`
	FinishMissDeg   float64            `json:"finish_miss_deg" description:"Modelled less measured."`
	Doubtful        bool               `json:"doubtful" description:"The arc asks for a posture far from any usual one: check rig, body and sensor."`
}

// sensorZero is how well the zero of an angle sensor is set, rad; engineering
// judgement.
const sensorZero = 0.5 * rigging.Degree

// foundRig is the rig a recording was rowed in.
type foundRig struct {
	class  rigging.Class
	code   string
	boat   string
	number int
	seat   seat.Seat
}

// rig finds the rig of a recording.
func (s *Service) rig(ctx context.Context, r *RigOfRecording, of *strokes.Remeasured) (foundRig, error) {
	if r.Rig != nil {
		class, err := seat.ClassOf(r.BoatClass)
		return foundRig{class: class, code: r.BoatClass, seat: *r.Rig, number: r.SeatNumber}, err
	}
	id := r.BoatID
	if id == nil {
		id = of.Stored.BoatID
	}
	if id == nil {
		return foundRig{}, wire.At("boat_id").Invalid("Name the boat, or type the rig in: without it the angles say nothing about the body.")
	}
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: *id})
	if err != nil {
		return foundRig{}, err
	}
	return rigOf(&boat, r.SeatNumber, of.Stored.Seat)
}

// rigOf returns the rig of a seat: the one asked for, or the one whose number
// the file says.
func rigOf(b *fleet.Boat, number int, called string) (foundRig, error) {
	if number == 0 {
		number = SeatNumber(called, len(b.Seats))
	}
	if number < 1 || number > len(b.Seats) {
		return foundRig{}, wire.At("seat_number").Invalid("Say which seat of " + b.Name + " this is.")
	}
	place := &b.Seats[number-1]
	if len(place.Missing) > 0 {
		return foundRig{}, wire.At("boat_id").Invalid("Not yet measured at this seat of " + b.Name + ": " + strings.Join(place.Missing, ", ") + ".")
	}
	class, err := seat.ClassOf(b.BoatClass)
	return foundRig{class: class, code: b.BoatClass, boat: b.Name, number: number, seat: place.Seat}, err
}

func classOf(code string) (rigging.Class, error) { return seat.ClassOf(code) }

// SeatNumber reads the number of a seat from what a file calls it; 0 when it
// tells none.
func SeatNumber(called string, seats int) int {
	called = strings.ToLower(strings.TrimSpace(called))
	switch {
	case seats == 1:
		return 1
	case strings.Contains(called, "bow"):
		return 1
	case strings.Contains(called, "stroke"):
		return seats
	}
	n := 0
	for _, c := range called {
		if c >= '0' && c <= '9' {
			n = min(n*10+int(c-'0'), 1000)
		}
	}
	return n
}

// StrokeEntry works out the entry at the measured catch. Errors: ErrNotFound,
// or an *Invalid.
func (s *Service) StrokeEntry(ctx context.Context, r StrokeEntryRequest) (StrokeEntry, error) {
	m, err := s.strokes.MeasureAgain(ctx, &strokes.RecordingRequest{ID: r.ID})
	if err != nil {
		return StrokeEntry{}, err
	}
	rig, err := s.rig(ctx, &r.RigOfRecording, m)
	if err != nil {
		return StrokeEntry{}, err
	}
	setup := rig.seat.Setup(rig.class)
	approach := r.Approach.Approach()
	speed := featureOf(m, "boat_speed_m_s")
	measured := (r.Approach == nil || r.Approach.BoatSpeedMS == nil) && speed > 0
	if measured {
		approach.BoatSpeed = speed
	}
	var p wire.Problems
	seat.CheckSeat(&p, wire.Place{}, &rig.seat, &setup, wire.Names{rigging.FieldSeat: {"rig"}})
	p.AddError(wire.Place{}, approach.Check())
	if err := p.OrNil(); err != nil {
		return StrokeEntry{}, err
	}
	catch, finish := featureOf(m, "catch_deg"), featureOf(m, "finish_deg")
	e := setup.Entry(&rigging.Stroke{Catch: wire.FromDeg(catch), Finish: wire.FromDeg(finish)}, approach)
	return StrokeEntry{
		BoatClass: rig.code, Boat: rig.boat, SeatNumber: rig.number, CatchDeg: catch, BoatSpeedMS: wire.ToSpeed(approach.BoatSpeed),
		Measured: measured, Entry: seat.WireEntry(e, rig.class),
	}, nil
}

// featureOf returns the mean of a feature by its name; 0 without any.
func featureOf(m *strokes.Remeasured, name string) float64 {
	for i := range strokefile.Features {
		if f := &strokefile.Features[i]; f.Name == name {
			return f.Wire(m.Oar.Features[f.Of].Mean)
		}
	}
	panic("api: no feature " + name)
}

// CalibrateRecording finds the posture that explains the measured catch and
// finish. Nothing is kept: see AddPosture. Errors: ErrNotFound, an *Invalid or
// an *Unreachable.
func (s *Service) CalibrateRecording(ctx context.Context, r CalibrateRecordingRequest) (RecordingCalibration, error) {
	m, err := s.strokes.MeasureAgain(ctx, &strokes.RecordingRequest{ID: r.ID})
	if err != nil {
		return RecordingCalibration{}, err
	}
	if m.Stored.AthleteID == nil {
		return RecordingCalibration{}, wire.At("athlete_id").Invalid("No athlete on record sat in this seat.")
	}
	rig, err := s.rig(ctx, &r.RigOfRecording, m)
	if err != nil {
		return RecordingCalibration{}, err
	}
	athlete, err := s.club.Athlete(ctx, club.AthleteRequest{ID: *m.Stored.AthleteID, AsOf: m.Stored.RecordedOn})
	if err != nil {
		return RecordingCalibration{}, err
	}
	w := RecordingCalibration{AthleteID: athlete.ID, CalibratedOn: m.Stored.RecordedOn, BoatClass: rig.code, Kind: "sweep"}
	if rig.class.Scull {
		w.Kind = "scull"
	}
	if err := s.ends(ctx, m, &w); err != nil {
		return w, err
	}
	c, err := s.seat.Calibrate(ctx, seat.CalibrateRequest{
		BoatClass: rig.code, Rower: athlete.Rower,
		Arcs: []seat.MeasuredArc{{Seat: rig.seat, CatchDeg: &w.CatchDeg, FinishDeg: &w.FinishDeg, SdDeg: &w.SdDeg}},
	})
	if err != nil {
		return w, wire.Move(err, wire.At("arcs").Item(0).Name("seat"), wire.At("rig"))
	}
	w.Posture, w.LeanSdDeg, w.LaybackSdDeg, w.ProtractionSdCm = c.Posture, c.LeanSdDeg, c.LaybackSdDeg, c.ProtractionSdCm
	w.CatchMissDeg, w.FinishMissDeg, w.Doubtful = *c.Misses[0].CatchDeg, *c.Misses[0].FinishDeg, c.Doubtful
	return w, nil
}

// ends fills in the measured catch and finish: the mean over the sculler's
// oars.
func (s *Service) ends(ctx context.Context, m *strokes.Remeasured, w *RecordingCalibration) error {
	all := []*strokes.Remeasured{m}
	other, err := s.strokes.OtherOar(ctx, &m.Stored)
	if err != nil {
		return err
	}
	if other != nil {
		o, err := s.strokes.MeasureAgain(ctx, &strokes.RecordingRequest{ID: other.ID})
		if err != nil {
			return err
		}
		all = append(all, o)
	}
	var catch, finish, scatter float64
	for _, o := range all {
		catch += featureOf(o, "catch_deg") / float64(len(all))
		finish += featureOf(o, "finish_deg") / float64(len(all))
		f := wire.FromDeg(featureOf(o, "catch_deg") - featureOf(m, "catch_deg"))
		scatter = max(scatter, math.Abs(float64(f))/2, endSpread(o))
	}
	w.Oars = len(all)
	w.CatchDeg, w.FinishDeg = wire.Round(catch, 100), wire.Round(finish, 100)
	w.SdDeg = wire.ToDeg(rigging.Angle(math.Hypot(float64(sensorZero), scatter)))
	return nil
}

// endSpread is the standard error of the less certain end, rad.
func endSpread(m *strokes.Remeasured) float64 {
	spread := 0.0
	for _, f := range strokefile.Features[:2] {
		s := m.Oar.Features[f.Of]
		spread = max(spread, s.SD/math.Sqrt(float64(max(1, s.N))))
	}
	return spread
}
