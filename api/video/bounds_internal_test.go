package video

import (
	"image"
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
)

// TestAdviceOnFilming: nothing where the ± is 2.5° or less; beyond it, each limit is the
// last value that needs no advice.
func TestAdviceOnFilming(t *testing.T) {
	good := func() (*AngleRequest, *Angle) {
		return &AngleRequest{View: "abeam", Points: make([]KnownPoint, 8), Oar: Oar{Marks: []OarMark{{Place: "handle_end"}, {Place: "tip"}}}}, &Angle{WithinDeg: 2.6, PxPerM: 200, MarkSdPx: 2}
	}
	for name, c := range map[string]struct {
		spoil func(*AngleRequest, *Angle)
		want  string
	}{
		"nothing":          {func(*AngleRequest, *Angle) {}, ""},
		"from astern":      {func(r *AngleRequest, _ *Angle) { r.View = "astern" }, "Film from abeam"},
		"small":            {func(_ *AngleRequest, w *Angle) { w.PxPerM = 199 }, "Zoom in until"},
		"rough marks":      {func(_ *AngleRequest, w *Angle) { w.MarkSdPx = 2.1 }, "Zoom into the picture"},
		"seven points":     {func(r *AngleRequest, _ *Angle) { r.Points = r.Points[:7] }, "Mark more known points"},
		"no end of handle": {func(r *AngleRequest, _ *Angle) { r.Oar.Marks = nil }, "Mark the end of the handle"},
		"sure enough":      {func(r *AngleRequest, w *Angle) { r.View, w.WithinDeg = "astern", 2.5 }, ""},
		"one that is off":  {func(_ *AngleRequest, w *Angle) { w.Doubtful, w.WithinDeg = "bow pin", 1 }, "Check the mark “bow pin”"},
	} {
		r, w := good()
		c.spoil(r, w)
		list := r.advice(w)
		if c.want == "" && len(list) > 0 || c.want != "" && !slices.ContainsFunc(list, func(s string) bool { return strings.HasPrefix(s, c.want) }) {
			t.Errorf("%s: %q", name, list)
		}
	}
}

// TestOutboardIsLongerThanInboard, or as long.
func TestOutboardIsLongerThanInboard(t *testing.T) {
	for length, refused := range map[float64]bool{220: false, 219.9: true} {
		r := AngleRequest{
			WidthPx: 1000, HeightPx: 500, View: "abeam", SeenFrom: "port", DistanceM: 20,
			Points: []KnownPoint{{Name: "a", UPx: 1}, {Name: "b", UPx: 200}, {Name: "c", UPx: 300, VPx: 40}},
			Oar:    Oar{Kind: "sweep", Side: "port", End: "catch", OarLengthCm: length, InboardCm: 110, PinOutCm: 80, Marks: []OarMark{{Place: "handle_end"}}},
		}
		err := r.check()
		if got := err != nil && strings.Contains(err.Error(), "outboard is shorter"); got != refused {
			t.Errorf("%g cm: %v", length, err)
		}
	}
}

// TestAnglesToStartFrom: a catch lies before square and a finish after it.
func TestAnglesToStartFrom(t *testing.T) {
	for end, want := range map[string]rigging.Angle{"catch": -55 * rigging.Degree, "finish": 38 * rigging.Degree, "drive": 0} {
		o := Oar{End: end, Side: "port", OarLengthCm: 288, InboardCm: 88}
		if got := o.domain().Angle; got != want {
			t.Errorf("%s: %v, want %v", end, got, want)
		}
	}
}

// TestAnArcNeedsBothAngles: one alone is none.
func TestAnArcNeedsBothAngles(t *testing.T) {
	from, to := -60.0, -52.0
	for _, c := range []struct {
		frames TurnFrames
		arc    bool
	}{{TurnFrames{}, false}, {TurnFrames{FromDeg: &from}, false}, {TurnFrames{ToDeg: &to}, false}, {TurnFrames{FromDeg: &from, ToDeg: &to}, true}} {
		turn := c.frames.turn()
		if got := turn.ToAngleSD > 0; got != c.arc || c.arc && math.Abs(float64(turn.ToAngle-turn.FromAngle)-8*math.Pi/180) > 1e-12 {
			t.Errorf("%+v", turn)
		}
	}
}

// TestWordsOfAnEnd: a height is that of a catch; before is before.
func TestWordsOfAnEnd(t *testing.T) {
	height := &Mean{Value: 6, Sd: 1}
	for _, c := range []struct {
		end    string
		ms     float64
		height *Mean
		want   string
	}{
		{"catch", 80, height, "The blade is covered 80 ms ± 5 after the hands reverse, carried 6 cm ± 1 over the water."},
		{"catch", 80, nil, "The blade is covered 80 ms ± 5 after the hands reverse."},
		{"release", -20, height, "The blade is clear 20 ms ± 5 before the hands reverse."},
	} {
		w := &Strokes{WholeMs: Mean{Value: c.ms, Sd: 5}, HeightCm: c.height}
		if got := (&StrokesRequest{End: c.end}).words(w); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestASmallPictureHasTheMeanOfItsColours: four squares become one.
func TestASmallPictureHasTheMeanOfItsColours(t *testing.T) {
	big := image.NewRGBA(image.Rect(0, 0, 2, 2))
	for i, c := range []color.RGBA{{200, 0, 40, 255}, {100, 80, 40, 255}, {0, 0, 40, 255}, {100, 0, 40, 255}} {
		big.SetRGBA(i%2, i/2, c)
	}
	small := shrunk(turned{Image: big, how: 1}, 1)
	if got, want := small.RGBAAt(0, 0), (color.RGBA{100, 20, 40, 255}); small.Bounds().Dx() != 1 || got != want {
		t.Errorf("%v of %v, want %v", got, small.Bounds(), want)
	}
}
