package season

import (
	"context"
	"fmt"
	"math"

	"thole/api/columns"
	"thole/api/intake"
	"thole/api/video"
	"thole/api/wire"
)

// filmed is what a clip would have shown of a rower on one day.
type filmed struct {
	ago     int
	name    string
	boat    string
	seat    int
	end     string  // catch or finish
	degrees float64 // 0: the frames alone
	missed  float64 // s from the reversal until the blade is through
	note    string

	pictured bool // a still is kept with it
}

// clips show a sculler whose catch grows longer and quicker over a season, and two of
// the four.
var clips = []filmed{
	{160, "Sanna Pirkola", "Wren", 1, "catch", -60.5, 0.167, "First clip from the launch.", true},
	{95, "Sanna Pirkola", "Wren", 1, "catch", -62.5, 0.150, "", false},
	{46, "Sanna Pirkola", "Wren", 1, "catch", -63.5, 0.133, "Hands away earlier.", false},
	{46, "Sanna Pirkola", "Wren", 1, "finish", 43, 0.117, "", false},
	{11, "Sanna Pirkola", "Wren", 1, "catch", -64.5, 0.117, "", true},
	{70, "Ingrid Sollberg", "Old Friday", 4, "catch", 0, 0.150, "", false},
	{16, "Ingrid Sollberg", "Old Friday", 4, "catch", 0, 0.133, "", false},
	{24, "Aurel Dascalu", "Marl", 3, "catch", 0, 0.183, "Dips before the reach is full.", false},
	{16, "Ruth Amsel", "Old Friday", 2, "catch", 0, 0.217, "Waits with the blade at the water.", false},
}

func (f *filling) films(ctx context.Context) error {
	for _, c := range clips {
		ask := video.NewFilmedReading{AthleteID: f.ids[c.name], BoatID: f.boats[c.boat], Seat: c.seat, FilmedOn: f.day(c.ago), End: c.end, Frames: c.frames(), Note: c.note, By: coach}
		if c.degrees != 0 {
			ask.Picture = c.picture()
		}
		kept, err := f.ago(c.ago).video.Keep(ctx, ask)
		if err == nil && c.pictured {
			err = f.still(ctx, &c, kept.ID)
		}
		if err != nil {
			return fmt.Errorf("clip of %s, %d days ago: %w", c.name, c.ago, err)
		}
	}
	return nil
}

// frames are three strokes at 60 frames a second.
func (c *filmed) frames() *video.StrokesRequest {
	r := &video.StrokesRequest{End: "catch", Kind: "sweep", FrameRate: 60}
	if c.end == "finish" {
		r.End = "release"
	}
	if c.degrees != 0 {
		r.Kind, r.PxPerM = "scull", wire.Ptr(310.0)
	}
	for i, later := range []float64{0, 0.017, -0.017} {
		at := 1 + 2.1*float64(i)
		turn := video.TurnFrames{ReversalS: at, EdgeS: at + (c.missed+later)*0.4, WholeS: at + c.missed + later}
		if r.PxPerM != nil {
			turn.HeightPx = wire.Ptr(26 + 300*later)
		}
		r.Strokes = append(r.Strokes, turn)
	}
	return r
}

// The camera is held level, 12 m to starboard of the boat's middle and 1 m over the
// water.
const (
	focalPx, farM, highM = 4500.0, 12.0, 1.0
	widthPx, heightPx    = 1920, 1080
)

// seen is where a point, m, shows by similar triangles, with the hand's own pixel of
// error left out.
func seen(x, y, z float64) (u, v float64) {
	scale := focalPx / (farM - y)
	return wire.Round(widthPx/2-scale*x, 10), wire.Round(heightPx/2+scale*(highM-z), 10)
}

// The light single: span 158 cm, inboard 87, oars of 285 cm, the starboard gate 24 cm
// over the water, the shaft 8° down. The pin stands 2 cm outboard of the collar's face,
// which inboards are measured to.
const (
	pinM, gateM, inboardM, handleM, tipM = 0.79, 0.24, 0.87, 0.89, 1.96
	tiltRad                              = 8 * math.Pi / 180
)

// picture holds the marks of a sculler in the light single.
func (c *filmed) picture() *video.AngleRequest {
	r := &video.AngleRequest{
		WidthPx: widthPx, HeightPx: heightPx, View: "abeam", SeenFrom: "starboard", DistanceM: farM, CameraHeightM: wire.Ptr(highM),
		Oar: video.Oar{Kind: "scull", Side: "starboard", End: c.end, PinOutCm: 100 * pinM, GateOverWaterCm: wire.Ptr(100 * gateM), InboardCm: 100 * inboardM, OarLengthCm: 285},
	}
	for _, p := range []struct {
		name    string
		x, y, z float64
	}{
		{"Far pin", 0, -pinM, gateM}, {"Near tape, bow", -1, .25, .18}, {"Near tape, stern", 1, .25, .18}, {"Far tape, bow", -1, -.25, .18}, {"Far tape, stern", 1, -.25, .18},
	} {
		u, v := seen(p.x, p.y, p.z)
		r.Points = append(r.Points, video.KnownPoint{Name: p.name, XCm: 100 * p.x, YCm: 100 * p.y, ZCm: 100 * p.z, SdCm: wire.Ptr(1.0), UPx: u, VPx: v})
	}
	sin, cos := math.Sincos(c.degrees * math.Pi / 180)
	for _, m := range []struct {
		place string
		along float64 // m, outboard of the pin
	}{{"pin", 0}, {"handle_end", -handleM}, {"tip", tipM}} {
		u, v := seen(m.along*sin*math.Cos(tiltRad), pinM+m.along*cos*math.Cos(tiltRad), gateM-m.along*math.Sin(tiltRad))
		r.Oar.Marks = append(r.Oar.Marks, video.OarMark{Place: m.place, UPx: u, VPx: v})
	}
	return r
}

// mapping keeps how the boathouse's own list of oars is read.
func (f *filling) mapping(ctx context.Context) error {
	list := "Set;Kind;Length (mm);Rack\nSculls, blue sleeves;sculls;2880;top\n"
	_, err := f.ago(200).intake.SaveTable(ctx, columns.Oars, columns.File{Content: []byte(list), Keep: "The boathouse’s list"}, intake.Saving{By: boatman})
	return err
}
