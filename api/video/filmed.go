package video

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
)

// NewFilmedReading keeps what was read of an athlete in a seat of a boat. The figures
// are worked out from the marks again: what is kept cannot differ from them.
type NewFilmedReading struct {
	AthleteID int64           `path:"id" json:"-" validate:"gte=1"`
	BoatID    int64           `json:"boat_id" validate:"gte=1" say:"Choose the boat."`
	Seat      int             `json:"seat" validate:"gte=1,lte=8" say:"Say which seat, 1 is bow."`
	FilmedOn  string          `json:"filmed_on" validate:"required,day" description:"YYYY-MM-DD."`
	End       string          `json:"end" validate:"required,oneof=catch drive finish" say:"Say catch, drive or finish." description:"Drive is the middle of it, for the depth."`
	Picture   *AngleRequest   `json:"picture,omitempty" description:"The marks of one picture."`
	Frames    *StrokesRequest `json:"frames,omitempty" description:"The frames of several strokes."`
	Note      string          `json:"note,omitempty" validate:"omitempty,max=2000"`
	By        string          `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who read it."`
}

// FilmedReading is what was filmed of an athlete on one day. What was not read is null.
type FilmedReading struct {
	ID          int64         `json:"id"`
	AthleteID   int64         `json:"athlete_id"`
	BoatID      int64         `json:"boat_id" description:"0 once the boat is deleted."`
	Boat        string        `json:"boat"`
	BoatClass   string        `json:"boat_class"`
	Seat        int           `json:"seat" description:"1 is bow."`
	FilmedOn    string        `json:"filmed_on"`
	End         string        `json:"end" enum:"catch,drive,finish"`
	AngleDeg    *float64      `json:"angle_deg" description:"Negative before square."`
	SdDeg       *float64      `json:"sd_deg" description:"Standard deviation of the reading."`
	Tells       bool          `json:"tells" description:"The angle is known well enough to calibrate the athlete’s posture."`
	BladeCm     *FilmedFigure `json:"blade_cm" description:"Of the blade’s middle over the water in the drive; negative under it."`
	EdgeMs      *FilmedFigure `json:"edge_ms" description:"From the reversal until the edge is at the water."`
	WholeMs     *FilmedFigure `json:"whole_ms" description:"From the reversal until the whole blade is through."`
	HeightCm    *FilmedFigure `json:"height_cm" description:"Of the lower edge over the water at the reversal."`
	SpeedMS     *FilmedFigure `json:"speed_m_s" description:"At which the blade goes through the water’s surface."`
	StartDownMs *FilmedFigure `json:"start_down_ms" description:"When the blade starts down, against the reversal."`
	Strokes     int           `json:"strokes" description:"That the moments are the mean of."`
	Note        string        `json:"note"`
	Said        string        `json:"said" description:"In one sentence; ± is one standard deviation."`
	Still       *Still        `json:"still" description:"Its picture, where one is kept."`
	By          string        `json:"by"`
	At          time.Time     `json:"at" description:"When it was kept."`
}

// FilmedFigure is a mean with the standard deviation of the mean.
type FilmedFigure struct {
	Value float64 `json:"value" description:"In the unit of its name."`
	Sd    float64 `json:"sd" description:"Standard deviation, in the same unit."`
}

// FilmedReadings is everything filmed of an athlete.
type FilmedReadings struct {
	Readings []FilmedReading `json:"readings" description:"Newest first."`
}

// FilmedReadingRequest names a reading.
type FilmedReadingRequest struct {
	AthleteID int64 `path:"id" json:"-" validate:"gte=1"`
	ReadingID int64 `path:"reading" json:"-" validate:"gte=1"`
}

// Keep keeps a reading. Errors: ErrNotFound for an athlete or boat that is not
// on record, or an *Invalid.
func (s *Service) Keep(ctx context.Context, r NewFilmedReading) (FilmedReading, error) {
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: r.BoatID})
	if err != nil && !errors.Is(err, wire.ErrNotFound) {
		return FilmedReading{}, err
	}
	if err := s.checkReading(&r, &boat, err != nil); err != nil {
		return FilmedReading{}, err
	}
	f := store.FilmedReading{
		AthleteID: r.AthleteID, BoatID: &boat.ID, Boat: boat.Name, ClassCode: boat.BoatClass, Seat: r.Seat, FilmedOn: r.FilmedOn, End: r.End, Note: r.Note,
		Blade: boat.Seats[r.Seat-1].Blade, Side: boat.Seats[r.Seat-1].Side, Rig: fleet.RigOfSeat(&boat.Seats[r.Seat-1].Seat),
	}
	if err := s.read(ctx, &r, &f); err != nil {
		return FilmedReading{}, err
	}
	f, err = s.Store.AddFilmedReading(ctx, f, s.Signed(r.By))
	if err != nil {
		return FilmedReading{}, records.RecordError(err)
	}
	return wireReading(&f), nil
}

// firstFilms bounds the day from below: nobody filmed rowing before.
const firstFilms = "1900-01-01"

func (s *Service) checkReading(r *NewFilmedReading, boat *fleet.Boat, gone bool) error {
	var p wire.Problems
	if gone {
		p.Add(wire.At("boat_id").Problem("This boat is not on record."))
	} else if r.Seat < 1 || r.Seat > len(boat.Seats) {
		p.Add(wire.At("seat").Problem(fmt.Sprintf("%s has seats 1 to %d.", boat.Name, len(boat.Seats))))
	}
	if r.Picture == nil && r.Frames == nil {
		p.Add(wire.At("picture").Problem("Mark a picture, or give the frames of a stroke."))
	}
	p.PastDay(wire.At("filmed_on"), r.FilmedOn, firstFilms, s.Today())
	p.Author(r.By)
	p.Note(wire.At("note"), r.Note)
	if !gone {
		r.checkKind(&p, boat)
	}
	p.Check(wire.At(), r)
	return p.OrNil()
}

// checkKind complains about marks of another kind of rowing, or another end,
// than what they are kept as.
func (r *NewFilmedReading) checkKind(p *wire.Problems, boat *fleet.Boat) {
	kind := "sweep"
	if class, err := seat.ClassOf(boat.BoatClass); err == nil && class.Scull {
		kind = "scull"
	}
	wrong := boat.Name + " is a " + boat.BoatClass + ": the marks are of " + map[string]string{"scull": "a sweep oar", "sweep": "sculls"}[kind] + "."
	if r.Picture != nil && r.Picture.Oar.Kind != kind {
		p.Add(wire.At("picture", "oar", "kind").Problem(wrong))
	}
	if r.Picture != nil && r.Picture.Oar.End != r.End {
		p.Add(wire.At("picture", "oar", "end").Problem("The marks are of the other end of the stroke."))
	}
	if r.Frames != nil && r.Frames.Kind != kind {
		p.Add(wire.At("frames", "kind").Problem(wrong))
	}
	if r.Frames != nil && (r.Frames.End == "catch") != (r.End == "catch") || r.Frames != nil && r.End == "drive" {
		p.Add(wire.At("frames", "end").Problem("The frames are of the other end of the stroke."))
	}
}

// read works out the figures to keep.
func (s *Service) read(ctx context.Context, r *NewFilmedReading, f *store.FilmedReading) error {
	if r.Picture != nil {
		a, err := s.Angle(ctx, *r.Picture)
		if err != nil {
			return within(err, "picture")
		}
		f.AngleDeg, f.AngleSdDeg, f.Tells = &a.AngleDeg, &a.SdDeg, a.Tells && a.Doubtful == "" && r.End != "drive"
		if r.End == "drive" {
			f.BladeCm, f.BladeSdCm = &a.BladeCm, &a.BladeSdCm
		}
	}
	if r.Frames != nil {
		m, err := s.Strokes(ctx, *r.Frames)
		if err != nil {
			return within(err, "frames")
		}
		f.Strokes = len(r.Frames.Strokes)
		f.EdgeMs, f.EdgeSdMs = m.EdgeMs.kept()
		f.WholeMs, f.WholeSdMs = m.WholeMs.kept()
		f.HeightCm, f.HeightSdCm = m.HeightCm.kept()
		f.SpeedMS, f.SpeedSdMS = m.SpeedMS.kept()
		f.StartDownMs, f.StartDownSdMs = m.StartDownMs.kept()
	}
	marks, err := json.Marshal(struct {
		Picture *AngleRequest   `json:"picture,omitempty"`
		Frames  *StrokesRequest `json:"frames,omitempty"`
	}{r.Picture, r.Frames})
	f.Marks = string(marks)
	return err
}

// within carries complaints about a part over to its place in the request.
func within(err error, part string) error { return wire.Move(err, wire.Place{}, wire.At(part)) }

func (m *Mean) kept() (value, sd *float64) {
	if m == nil {
		return nil, nil
	}
	return &m.Value, &m.Sd
}

func figure(value, sd *float64) *FilmedFigure {
	if value == nil || sd == nil {
		return nil
	}
	return &FilmedFigure{*value, *sd}
}

func wireReading(f *store.FilmedReading) FilmedReading {
	w := FilmedReading{
		ID: f.ID, AthleteID: f.AthleteID, BoatID: wire.Or(f.BoatID, 0), Boat: f.Boat, BoatClass: f.ClassCode, Seat: f.Seat, FilmedOn: f.FilmedOn, End: f.End,
		AngleDeg: f.AngleDeg, SdDeg: f.AngleSdDeg, Tells: f.Tells, Strokes: f.Strokes, Note: f.Note, By: f.By, At: f.At,
		BladeCm: figure(f.BladeCm, f.BladeSdCm), EdgeMs: figure(f.EdgeMs, f.EdgeSdMs), WholeMs: figure(f.WholeMs, f.WholeSdMs), HeightCm: figure(f.HeightCm, f.HeightSdCm),
		SpeedMS: figure(f.SpeedMS, f.SpeedSdMS), StartDownMs: figure(f.StartDownMs, f.StartDownSdMs),
	}
	w.Said = w.words()
	return w
}

// words tell angle and moments.
func (w *FilmedReading) words() string {
	var parts []string
	if b := w.BladeCm; b != nil {
		return fmt.Sprintf("Drive: blade’s middle %.0f cm ± %.0f under the water.", -b.Value, b.Sd)
	}
	if w.AngleDeg != nil {
		parts = append(parts, fmt.Sprintf("%s %.1f° ± %.1f°", w.End, math.Abs(*w.AngleDeg), *w.SdDeg))
	}
	if m := w.WholeMs; m != nil {
		word := map[string]string{"catch": "covered", "finish": "clear"}[w.End]
		parts = append(parts, fmt.Sprintf("blade %s %.0f ms ± %.0f after the hands reverse", word, m.Value, m.Sd))
	}
	if h := w.HeightCm; h != nil {
		parts = append(parts, fmt.Sprintf("carried %.0f cm ± %.0f over the water", h.Value, h.Sd))
	}
	return wire.Sentence(strings.Join(parts, ", "))
}

// Readings lists what was filmed of an athlete.
func (s *Service) Readings(ctx context.Context, r records.IDRequest) (FilmedReadings, error) {
	if _, err := s.Store.Athlete(ctx, r.ID); err != nil {
		return FilmedReadings{}, records.RecordError(err)
	}
	found, err := s.Store.FilmedReadings(ctx, r.ID, "")
	if err != nil {
		return FilmedReadings{}, records.RecordError(err)
	}
	stills, err := s.Store.StillsOf(ctx, r.ID)
	list := FilmedReadings{Readings: make([]FilmedReading, 0, len(found))}
	for i := range found {
		reading := wireReading(&found[i])
		if p, ok := stills[reading.ID]; ok {
			reading.Still = wire.Ptr(wireStill(&p))
		}
		list.Readings = append(list.Readings, reading)
	}
	return list, records.RecordError(err)
}

// Remove removes a reading.
func (s *Service) Remove(ctx context.Context, r FilmedReadingRequest) (records.Removed, error) {
	return records.Gone(r.ReadingID, s.Store.DeleteFilmedReading(ctx, r.AthleteID, r.ReadingID))
}
