package video

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"thole/api/wire"
	"thole/rigging"
	"thole/rigging/camera"
)

// Mark is a place in a picture.
type Mark struct {
	UPx float64 `json:"u_px" validate:"gte=-20000,lte=20000" description:"From the left edge."`
	VPx float64 `json:"v_px" validate:"gte=-20000,lte=20000" description:"From the upper edge."`
}

// AngleRequest is one picture with what was marked in it.
type AngleRequest struct {
	WidthPx       float64      `json:"width_px" validate:"gte=100,lte=20000" description:"Of the picture."`
	HeightPx      float64      `json:"height_px" validate:"gte=100,lte=20000" description:"Of the picture."`
	View          string       `json:"view" validate:"required,oneof=abeam above astern" say:"Say abeam, above or astern." description:"From where it was taken."`
	SeenFrom      string       `json:"seen_from" validate:"required,oneof=port starboard" say:"Say port or starboard." description:"Side of the boat that the camera stood on."`
	DistanceM     float64      `json:"distance_m" validate:"gte=2,lte=300" description:"From the boat to the camera; a guess to a third will do."`
	CameraHeightM *float64     `json:"camera_height_m,omitempty" validate:"omitempty,gte=0.1,lte=120" default:"1.7" description:"Over the water."`
	MarkSdPx      *float64     `json:"mark_sd_px,omitempty" validate:"omitempty,gte=0.5,lte=50" description:"Standard deviation of a mark; without it, from what was marked twice, else 1.5."`
	Twice         []Pair       `json:"twice,omitempty" validate:"max=50" description:"Points that were marked twice."`
	Points        []KnownPoint `json:"points" validate:"max=60" description:"Known points, three at least."`
	Oar           Oar          `json:"oar"`
}

// Pair is one point that was marked twice.
type Pair struct {
	First  Mark `json:"first"`
	Second Mark `json:"second"`
}

// KnownPoint is a place on the boat or at the waterline that is known and marked.
type KnownPoint struct {
	Name  string   `json:"name" validate:"max=60"`
	XCm   float64  `json:"x_cm" validate:"gte=-2000,lte=2000" description:"From the line of the pins towards the stern."`
	YCm   float64  `json:"y_cm" validate:"gte=-500,lte=500" description:"From the centreline towards starboard."`
	ZCm   float64  `json:"z_cm" validate:"gte=-50,lte=200" description:"Over the water."`
	SdCm  *float64 `json:"sd_cm,omitempty" validate:"omitempty,gte=0,lte=100" default:"1" description:"How well the place is known."`
	XSdCm *float64 `json:"x_sd_cm,omitempty" validate:"omitempty,gte=0,lte=1000" description:"Along the boat where it differs, as for a point of the waterline anywhere."`
	UPx   float64  `json:"u_px" validate:"gte=-20000,lte=20000" description:"From the left edge."`
	VPx   float64  `json:"v_px" validate:"gte=-20000,lte=20000" description:"From the upper edge."`
}

// Oar is the oar whose angle is asked for.
type Oar struct {
	Kind            string    `json:"kind" validate:"required,oneof=scull sweep" say:"Say scull or sweep."`
	Side            string    `json:"side" validate:"required,oneof=port starboard" say:"Say port or starboard."`
	End             string    `json:"end" validate:"required,oneof=catch drive finish" say:"Say catch, drive or finish." description:"Drive is the middle of it, for the depth."`
	PinOutCm        float64   `json:"pin_out_cm" validate:"gte=50,lte=100" description:"Centreline to pin: half the span, or the spread."`
	GateOverWaterCm *float64  `json:"gate_over_water_cm,omitempty" validate:"omitempty,gte=5,lte=60" default:"26"`
	GateSdCm        *float64  `json:"gate_sd_cm,omitempty" validate:"omitempty,gte=0,lte=20" default:"3"`
	InboardCm       float64   `json:"inboard_cm" validate:"gte=60,lte=140"`
	OarLengthCm     float64   `json:"oar_length_cm" validate:"gte=200,lte=420"`
	Marks           []OarMark `json:"marks" validate:"max=10"`
}

// OarMark is a point of the oar in the picture.
type OarMark struct {
	Place string  `json:"place" validate:"required,oneof=handle_end hand pin tip" say:"Say handle_end, hand, pin or tip." description:"Pin is where the oar bears on it."`
	UPx   float64 `json:"u_px" validate:"gte=-20000,lte=20000" description:"From the left edge."`
	VPx   float64 `json:"v_px" validate:"gte=-20000,lte=20000" description:"From the upper edge."`
}

// Angle is what a picture tells of an oar.
type Angle struct {
	AngleDeg    float64     `json:"angle_deg" description:"Negative before square."`
	SdDeg       float64     `json:"sd_deg" description:"Standard deviation."`
	WithinDeg   float64     `json:"within_deg" description:"± that holds 95 of 100 such readings: two standard deviations."`
	Tells       bool        `json:"tells" description:"False when the angle is not known to 5°: film better."`
	Said        string      `json:"said" description:"In one sentence."`
	Advice      []string    `json:"advice" description:"How to get a smaller ±."`
	Doubtful    string      `json:"doubtful" description:"The mark that fits worst, where one misses by more than three standard deviations."`
	Misfit      float64     `json:"misfit" description:"χ² for each degree of freedom."`
	TiltDeg     float64     `json:"tilt_deg" description:"Of the shaft, handle higher than blade."`
	TiltSdDeg   float64     `json:"tilt_sd_deg"`
	Heights     []OarHeight `json:"heights" description:"Of the marked points of the oar over the water."`
	BladeCm     float64     `json:"blade_cm" description:"Of the blade’s middle over the water, with a straight shaft; negative under it."`
	BladeSdCm   float64     `json:"blade_sd_cm"`
	PxPerM      float64     `json:"px_per_m" description:"At the blade, pixels a metre."`
	DistanceM   float64     `json:"distance_m" description:"From the middle of the pins to the camera, as calculated."`
	FocalPx     float64     `json:"focal_px" description:"Of the camera, as it was found."`
	MarkSdPx    float64     `json:"mark_sd_px" description:"Of one mark, as it was used."`
	Assumptions string      `json:"assumptions"`
}

// OarHeight is how high a point of the oar is over the water.
type OarHeight struct {
	Place    string  `json:"place"`
	HeightCm float64 `json:"height_cm"`
	SdCm     float64 `json:"sd_cm"`
}

// Angle fits the camera and the oar to the marks. The error is an *Invalid.
func (s *Service) Angle(_ context.Context, r AngleRequest) (Angle, error) {
	if err := r.check(); err != nil {
		return Angle{}, err
	}
	p := r.picture()
	res, err := camera.Read(&p)
	if errors.Is(err, camera.ErrNoFit) {
		return Angle{}, wire.At("points").Invalid("No place of a camera explains these marks: check which point is which, the side and the view.")
	}
	if err != nil {
		return Angle{}, err
	}
	return r.answer(&p, &res), nil
}

// check holds the request against its limits and what a reading needs.
func (r *AngleRequest) check() error {
	var p wire.Problems
	p.Check(wire.Place{}, r)
	if len(r.Points) < camera.FewestPoints {
		p.Add(wire.At("points").Problem(fmt.Sprintf("Mark at least %d known points: pins, strips of tape, the waterline. Without a known length no picture can be measured.", camera.FewestPoints)))
	}
	if !slices.ContainsFunc(r.Oar.Marks, func(m OarMark) bool { return m.Place != "pin" }) {
		p.Add(wire.At("oar", "marks").Problem("Mark the handle’s end, the hand or the blade’s tip."))
	}
	if r.Oar.OarLengthCm-r.Oar.InboardCm < r.Oar.InboardCm && len(p.Fields) == 0 {
		p.Add(wire.At("oar", "inboard_cm").Problem("The outboard is shorter than the inboard: check inboard and oar length."))
	}
	if len(r.Points) > 0 && len(p.Fields) == 0 && r.flat() {
		p.Add(wire.At("points").Problem("All marks stand at one place of the picture: mark points that are apart."))
	}
	return p.OrNil()
}

// flat reports whether the known points are marked within three pixels.
func (r *AngleRequest) flat() bool {
	for _, m := range r.Points {
		if math.Hypot(m.UPx-r.Points[0].UPx, m.VPx-r.Points[0].VPx) > 3 {
			return false
		}
	}
	return true
}

// starboard is 1 for starboard and −1 for port.
func starboard(side string) float64 {
	if side == "port" {
		return -1
	}
	return 1
}

func (r *AngleRequest) markSD() float64 {
	var pairs [][2]float64
	for _, t := range r.Twice {
		pairs = append(pairs, [2]float64{t.First.UPx - t.Second.UPx, t.First.VPx - t.Second.VPx})
	}
	return wire.Or(r.MarkSdPx, camera.MarkSD(pairs))
}

// picture turns the request into the domain's. The distance is taken to be
// guessed to a third and the height to a third, at least half a metre.
func (r *AngleRequest) picture() camera.Picture {
	height := wire.Or(r.CameraHeightM, 1.7)
	p := camera.Picture{
		Width: r.WidthPx, Height: r.HeightPx, View: camera.View(r.View), Side: starboard(r.SeenFrom), MarkSD: r.markSD(),
		Distance: r.DistanceM, DistanceSD: r.DistanceM / 3, CameraHeight: height, HeightSD: max(.5, height/3), Oar: r.Oar.domain(),
	}
	for _, m := range r.Points {
		sd := wire.FromCm(wire.Or(m.SdCm, TapeSdCm))
		p.Points = append(p.Points, camera.Point{
			Name: m.Name, Place: camera.Vector{wire.FromCm(m.XCm), wire.FromCm(m.YCm), wire.FromCm(m.ZCm)},
			SD: camera.Vector{wire.FromCm(wire.Or(m.XSdCm, sd*100)), sd, sd}, U: m.UPx, V: m.VPx,
		})
	}
	return p
}

// Where the points of an oar are: the button bears on the gate 2 cm outboard of
// the pin's centre, and a hand holds the handle with its middle 6 cm from the
// end in sculling and, the outside hand, 5 cm in sweep (common practice, as the
// reach reckons with), ± 1 and 2 cm. The handle's end is where the inboard was
// measured to, ± 4 mm; so it tells the angle better than the hand does.
const (
	buttonOut = .02
	scullHand = .06
	sweepHand = .05

	tipSD, endSD         = .01, .004
	scullGrip, sweepGrip = .01, .02
)

func (o *Oar) domain() camera.Oar {
	gate, gateSD := wire.FromCm(wire.Or(o.GateOverWaterCm, 26)), wire.FromCm(wire.Or(o.GateSdCm, 3))
	d := camera.Oar{
		Pin: camera.Vector{0, starboard(o.Side) * wire.FromCm(o.PinOutCm), gate}, PinSD: camera.Vector{.005, .005, gateSD},
		Side: starboard(o.Side), Angle: -55 * rigging.Degree,
	}
	switch o.End {
	case "finish":
		d.Angle = 38 * rigging.Degree
	case "drive":
		d.Angle = 0
	}
	d.Middle = wire.FromCm(o.OarLengthCm-o.InboardCm) - buttonOut - halfBlade
	inboard := wire.FromCm(o.InboardCm) + buttonOut
	for _, m := range o.Marks {
		mark := camera.OarMark{Name: m.Place, SD: tipSD, U: m.UPx, V: m.VPx}
		switch {
		case m.Place == "tip":
			mark.Distance = wire.FromCm(o.OarLengthCm) - inboard
		case m.Place == "handle_end":
			mark.Distance, mark.SD = -inboard, endSD
		case m.Place == "pin":
			mark.Distance = 0
		case o.Kind == "sweep":
			mark.Distance, mark.SD = sweepHand-inboard, sweepGrip
		default:
			mark.Distance, mark.SD = scullHand-inboard, scullGrip
		}
		d.Marks = append(d.Marks, mark)
	}
	return d
}

func (r *AngleRequest) answer(p *camera.Picture, res *camera.Result) Angle {
	w := Angle{
		AngleDeg: wire.ToDeg(res.Angle), SdDeg: wire.ToDeg(res.AngleSD), WithinDeg: wire.ToDeg(2 * res.AngleSD), Tells: res.Tells,
		Doubtful: res.Doubtful, Misfit: wire.ToRatio(res.Misfit), TiltDeg: wire.ToDeg(res.Tilt), TiltSdDeg: wire.ToDeg(res.TiltSD),
		FocalPx: wire.Round(res.Camera.Focal, 10), MarkSdPx: wire.Round(p.MarkSD, 100), Heights: []OarHeight{}, Advice: []string{},
		Assumptions: "A pinhole camera with its axis at the picture’s middle and no distortion of the lens: keep marks out of the outer tenth.",
	}
	c := res.Camera.Place
	w.DistanceM = wire.Round(math.Sqrt(c[0]*c[0]+c[1]*c[1]+c[2]*c[2]), 10)
	blade := (&p.Oar).Blade(res.Angle, res.Tilt, wire.FromCm(r.Oar.OarLengthCm-r.Oar.InboardCm)-buttonOut)
	w.PxPerM = wire.Round(res.Camera.PerMetre(blade), 10)
	w.BladeCm, w.BladeSdCm = wire.ToCm(res.Blade.Value), wire.ToCm(res.Blade.SD)
	for i := range p.Oar.Marks {
		w.Heights = append(w.Heights, OarHeight{p.Oar.Marks[i].Name, wire.ToCm(res.Heights[i]), wire.ToCm(res.HeightSDs[i])})
	}
	w.Said = angleWords(&r.Oar, &w)
	w.Advice = append(w.Advice, r.advice(&w)...)
	return w
}

func angleWords(o *Oar, w *Angle) string {
	if o.End == "drive" {
		return driveWords(w)
	}
	end := map[string]string{"catch": "Catch", "finish": "Finish"}[o.End]
	if !w.Tells {
		return fmt.Sprintf("This picture cannot tell the %s: ± %.0f° at best.", o.End, w.SdDeg)
	}
	return fmt.Sprintf("%s %.1f° ± %.1f°.", end, math.Abs(w.AngleDeg), w.SdDeg)
}

// driveWords tell the depth in the drive.
func driveWords(w *Angle) string {
	where := "over"
	if w.BladeCm < 0 {
		where = "under"
	}
	return fmt.Sprintf("In the drive, at %.0f° ± %.0f°, the blade’s middle is %.0f cm ± %.0f %s the water.", w.AngleDeg, w.SdDeg, math.Abs(w.BladeCm), w.BladeSdCm, where)
}

// advice reports how to film and mark for a smaller ±, most useful first.
func (r *AngleRequest) advice(w *Angle) []string {
	var list []string
	if w.Doubtful != "" {
		list = append(list, "Check the mark “"+w.Doubtful+"”: it does not fit the others.")
	}
	if w.WithinDeg <= 2.5 {
		return list
	}
	if r.View == "astern" {
		list = append(list, "Film from abeam: from astern the boat’s marks lie behind one another.")
	}
	if w.PxPerM < 200 {
		list = append(list, "Zoom in until the boat fills a third of the picture or more.")
	}
	if w.MarkSdPx > 2 {
		list = append(list, "Zoom into the picture when marking, and mark again.")
	}
	if len(r.Points) < 8 {
		list = append(list, "Mark more known points: four strips of tape on the saxboards, both pins, two points of the waterline.")
	}
	if !slices.ContainsFunc(r.Oar.Marks, func(m OarMark) bool { return m.Place == "handle_end" }) {
		list = append(list, "Mark the end of the handle: where it is, is known better than the hand.")
	}
	if len(r.Oar.Marks) < 2 {
		list = append(list, "Mark the blade’s tip too.")
	}
	return list
}
