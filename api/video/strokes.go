package video

import (
	"context"
	"fmt"
	"math"

	"thole/api/wire"
	"thole/rigging/camera"
)

// StrokesRequest is one end of several strokes, frame by frame.
type StrokesRequest struct {
	End          string       `json:"end" validate:"required,oneof=catch release" say:"Say catch or release."`
	Kind         string       `json:"kind" validate:"required,oneof=scull sweep" say:"Say scull or sweep."`
	FrameRate    float64      `json:"frame_rate" unit:"frames/s" validate:"gte=20,lte=1000" description:"Of the clip, frames a second."`
	PxPerM       *float64     `json:"px_per_m,omitempty" validate:"omitempty,gte=5,lte=5000" description:"At the blade; needed for heights."`
	PxPerMSd     *float64     `json:"px_per_m_sd,omitempty" validate:"omitempty,gte=0,lte=1000" description:"Without it, 3 % of it."`
	MarkSdPx     *float64     `json:"mark_sd_px,omitempty" validate:"omitempty,gte=0.5,lte=50" default:"1.5" description:"Standard deviation of a mark."`
	BladeWidthCm *float64     `json:"blade_width_cm,omitempty" validate:"omitempty,gte=10,lte=35" description:"From edge to edge; without it, 21.5 in sculls, 25 in sweep."`
	OutboardCm   *float64     `json:"outboard_cm,omitempty" validate:"omitempty,gte=120,lte=300" description:"Without it, 200 in sculls, 260 in sweep."`
	Strokes      []TurnFrames `json:"strokes" validate:"max=60"`
}

// TurnFrames are the frames of one end of one stroke. Times are those of the frames, from any
// moment.
type TurnFrames struct {
	ReversalS float64  `json:"reversal_s" validate:"gte=0,lte=36000" description:"The hands reverse."`
	EdgeS     float64  `json:"edge_s" validate:"gte=0,lte=36000" description:"Catch: the lower edge touches; release: the upper edge shows."`
	WholeS    float64  `json:"whole_s" validate:"gte=0,lte=36000" description:"Catch: the blade is covered; release: the blade is clear."`
	HeightPx  *float64 `json:"height_px,omitempty" validate:"omitempty,gte=-5000,lte=5000" description:"Of the lower edge over the water at the reversal; negative when it is under it."`
	FromDeg   *float64 `json:"from_deg,omitempty" validate:"omitempty,gte=-85,lte=80" description:"Angle at the reversal, from a picture."`
	FromSdDeg *float64 `json:"from_sd_deg,omitempty" validate:"omitempty,gt=0,lte=30"`
	ToDeg     *float64 `json:"to_deg,omitempty" validate:"omitempty,gte=-85,lte=80" description:"Angle when the blade is covered or clear, from a picture."`
	ToSdDeg   *float64 `json:"to_sd_deg,omitempty" validate:"omitempty,gt=0,lte=30"`
}

// Strokes are the means of several strokes; what no stroke shows is null.
type Strokes struct {
	Said        string `json:"said" description:"In one sentence."`
	EdgeMs      Mean   `json:"edge_ms" description:"From the reversal until the edge is at the water."`
	WholeMs     Mean   `json:"whole_ms" description:"From the reversal until the whole blade is through."`
	HeightCm    *Mean  `json:"height_cm" description:"Of the lower edge over the water at the reversal."`
	SpeedMS     *Mean  `json:"speed_m_s" description:"At which the blade goes through the water’s surface."`
	MissedDeg   *Mean  `json:"missed_deg" description:"The arc from the reversal until the whole blade is through."`
	MissedCm    *Mean  `json:"missed_cm" description:"The same on the path of the blade’s middle."`
	StartDownMs *Mean  `json:"start_down_ms" description:"When the blade starts down from its height at its speed, against the reversal; as the catch, to try, asks for it."`
	FrameMs     Mean   `json:"frame_ms" description:"From frame to frame, and the standard deviation of one frame’s moment."`
}

// Mean is a mean with its standard deviation.
type Mean struct {
	Value  float64 `json:"value" description:"In the unit of its name."`
	Sd     float64 `json:"sd" description:"Standard deviation of the mean, in the same unit."`
	Spread float64 `json:"spread" description:"Standard deviation from stroke to stroke; 0 for one."`
	Count  int     `json:"count" description:"Strokes that show it."`
}

// Widths of blades, m: the sweep's from Baudouin and Hawkins 2002, British
// Journal of Sports Medicine 36:396; the scull's common practice. Each ± 5 mm.
const (
	scullBlade, sweepBlade = .215, .25
	bladeSD                = .005
	halfBlade              = .25 // m from the tip to the blade's middle; common practice
)

// Strokes reads the frames. The error is an *Invalid.
func (s *Service) Strokes(_ context.Context, r StrokesRequest) (Strokes, error) {
	if err := r.check(); err != nil {
		return Strokes{}, err
	}
	scale := r.scale()
	var list []camera.Moments
	for i := range r.Strokes {
		list = append(list, r.Strokes[i].turn().Read(&scale))
	}
	w := Strokes{EdgeMs: *meanOf(list, func(m *camera.Moments) camera.Value { return m.Edge }, 1000), WholeMs: *meanOf(list, func(m *camera.Moments) camera.Value { return m.Whole }, 1000)}
	w.FrameMs = Mean{Value: wire.Round(1000/r.FrameRate, 100), Sd: wire.Round(1000*camera.FrameSD(scale.Frame), 100), Count: 1}
	for _, v := range []struct {
		into **Mean
		of   func(*camera.Moments) camera.Value
		unit float64
	}{
		{&w.HeightCm, func(m *camera.Moments) camera.Value { return m.Height }, 100},
		{&w.SpeedMS, func(m *camera.Moments) camera.Value { return m.Speed }, 1},
		{&w.MissedDeg, func(m *camera.Moments) camera.Value { return m.Missed }, 180 / math.Pi},
		{&w.MissedCm, func(m *camera.Moments) camera.Value { return m.MissedAt }, 100},
		{&w.StartDownMs, (*camera.Moments).StartDown, 1000},
	} {
		*v.into = meanOf(list, v.of, v.unit)
	}
	if r.End == "release" {
		w.StartDownMs = nil
	}
	w.Said = r.words(&w)
	return w, nil
}

func meanOf(list []camera.Moments, of func(*camera.Moments) camera.Value, unit float64) *Mean {
	var values []camera.Value
	for i := range list {
		values = append(values, of(&list[i]))
	}
	m := camera.MeanOf(values)
	if m.Count == 0 {
		return nil
	}
	return &Mean{wire.Round(m.Value.Value*unit, 100), wire.Round(m.SD*unit, 100), wire.Round(m.Spread*unit, 100), m.Count}
}

func (r *StrokesRequest) check() error {
	var p wire.Problems
	p.Check(wire.Place{}, r)
	if len(r.Strokes) == 0 {
		p.Add(wire.At("strokes").Problem("Give at least one stroke."))
	}
	for i, s := range r.Strokes {
		at := wire.At("strokes").Item(i)
		if s.WholeS < s.EdgeS {
			p.Add(at.Name("whole_s").Problem("The whole blade cannot be through before its edge: check both frames."))
		}
		if math.Abs(s.EdgeS-s.ReversalS) > 2 {
			p.Add(at.Name("edge_s").Problem("More than 2 s from the reversal: this is another stroke."))
		}
		if s.HeightPx != nil && r.PxPerM == nil {
			p.Add(wire.At("px_per_m").Problem("A height in pixels needs the pixels a metre: read an angle first, or give them."))
		}
	}
	return p.OrNil()
}

func (r *StrokesRequest) scale() camera.Scale {
	blade, outboard := scullBlade, 200.0
	if r.Kind == "sweep" {
		blade, outboard = sweepBlade, 260
	}
	perMetre := wire.Or(r.PxPerM, 0)
	return camera.Scale{
		Frame: 1 / r.FrameRate, PerMetre: perMetre, PerMetreSD: wire.Or(r.PxPerMSd, .03*perMetre), MarkSD: wire.Or(r.MarkSdPx, 1.5),
		Blade: wire.FromCm(wire.Or(r.BladeWidthCm, blade*100)), BladeSD: bladeSD, Outboard: wire.FromCm(wire.Or(r.OutboardCm, outboard)) - buttonOut - halfBlade,
	}
}

func (s *TurnFrames) turn() *camera.Turn {
	t := &camera.Turn{Reversal: s.ReversalS, Edge: s.EdgeS, Whole: s.WholeS, HeightPixels: wire.Or(s.HeightPx, math.NaN())}
	if s.FromDeg != nil && s.ToDeg != nil {
		t.FromAngle, t.ToAngle = wire.FromDeg(*s.FromDeg), wire.FromDeg(*s.ToDeg)
		t.FromAngleSD, t.ToAngleSD = wire.FromDeg(wire.Or(s.FromSdDeg, 1.5)), wire.FromDeg(wire.Or(s.ToSdDeg, 1.5))
	}
	return t
}

func (r *StrokesRequest) words(w *Strokes) string {
	what := "covered"
	if r.End == "release" {
		what = "clear"
	}
	when, ms := "after", w.WholeMs.Value
	if ms < 0 {
		when, ms = "before", -ms
	}
	text := fmt.Sprintf("The blade is %s %.0f ms ± %.0f %s the hands reverse", what, ms, w.WholeMs.Sd, when)
	if h := w.HeightCm; h != nil && r.End == "catch" {
		text += fmt.Sprintf(", carried %.0f cm ± %.0f over the water", h.Value, h.Sd)
	}
	return text + "."
}
