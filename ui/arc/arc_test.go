package arc

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/apitest/same"
	"thole/api/strokefile"
	"thole/api/strokes"
)

// rowed is a stroke from −60° to 40°: a half sine of force, peak 500 N at −10°, with a
// path 4° deep when it is given.
func rowed(deep bool) (*advice.First, *strokes.Recording) {
	f := &advice.First{Idle: "18 % of the arc does no work.", Arc: []advice.ArcMark{
		{Name: "reach", AngleDeg: -60}, {Name: "touches", AngleDeg: -57}, {Name: "covered", AngleDeg: -55}, {Name: "holds", AngleDeg: -50},
		{Name: "release", AngleDeg: 32}, {Name: "out", AngleDeg: 36}, {Name: "finish", AngleDeg: 40},
	}}
	r := &strokes.Recording{}
	r.Oar.Features = map[string]strokefile.FeatureResult{"catch_deg": {Mean: -60}, "finish_deg": {Mean: 40}}
	for i := range 11 {
		r.Oar.Curve.AngleMean = append(r.Oar.Curve.AngleMean, 500*math.Sin(math.Pi*float64(i)/10))
		r.Oar.Curve.AngleSD = append(r.Oar.Curve.AngleSD, 30)
	}
	if deep {
		for i := range 16 {
			turn := 2 * math.Pi * float64(i) / 16
			r.Path = append(r.Path, strokes.BladePoint{AngleDeg: -10 - 52*math.Cos(turn), VerticalDeg: 0.5 - 4.5*math.Sin(turn)})
		}
	}
	return f, r
}

// TestFiguresAreAsLookedOver: every one was looked at before its lines were kept.
func TestFiguresAreAsLookedOver(t *testing.T) {
	for _, size := range []Size{Wide, Narrow, Paper} {
		for _, deep := range []bool{true, false} {
			f, r := rowed(deep)
			if !deep { // marks out of their order
				f.Arc[1].AngleDeg, f.Arc[4].AngleDeg, f.Arc[5].AngleDeg = -44, 37, 33
			}
			a := New(f, r, size)
			lines := []string{a.Box.String()}
			for _, part := range []any{a.Areas, a.Lines, a.Dots, a.Words, a.Hatched} {
				body, err := json.Marshal(part)
				if err != nil {
					t.Fatal(err)
				}
				lines = append(lines, strings.Split(strings.ReplaceAll(string(body), "},{", "},\n{"), "\n")...)
			}
			same.Lines(t, fmt.Sprintf("testdata/%s-%v.txt", a.Name, deep), lines)
		}
	}
}

// TestSlipIsWrittenAtItsEnd: the catch holds 10° after the reach, the release comes 8°
// before the finish, and what lies between works.
func TestSlipIsWrittenAtItsEnd(t *testing.T) {
	f, r := rowed(true)
	a := New(f, r, Wide)
	for _, c := range []struct {
		text string
		x    float64 // px: 66 at −60°, 820 at 40°
	}{{"slip 10.0°", 66}, {"works 82.0°", 66 + 754*0.51}, {"slip 8.0°", 820}, {"500 N at 10.0° before square", 66 + 754*0.5}} {
		found := false
		for _, w := range a.Words {
			found = found || w.Text == c.text && math.Abs(w.At.X-c.x) < 0.1
		}
		if !found {
			t.Errorf("no %q at %g px in %v", c.text, c.x, a.Words)
		}
	}
	if want := "The arc: reach 60.0° before square, touches 57.0° before square, covered 55.0° before square, holds 50.0° before square, " +
		"release 32.0° after square, out 36.0° after square, finish 40.0° after square. 18 % of the arc does no work."; a.Title != want {
		t.Errorf("%s, want %s", a.Title, want)
	}
}

// TestWithoutAnArcNothingIsDrawn, and none works where the blade lets go before it holds.
func TestWithoutAnArcNothingIsDrawn(t *testing.T) {
	f, r := rowed(true)
	f.Arc[3].AngleDeg, f.Arc[4].AngleDeg = 32, 32
	if a := New(f, r, Wide); len(a.Hatched) != 0 {
		t.Errorf("%v is hatched", a.Hatched)
	}
	f.Arc = f.Arc[:2]
	if New(f, r, Wide) == nil {
		t.Error("two marks are an arc")
	}
	f.Arc = f.Arc[:1]
	if New(f, r, Wide) != nil {
		t.Error("one mark is no arc")
	}
}

func TestAnglesInWords(t *testing.T) {
	for deg, want := range map[float64]string{-12.34: "12.3° before square", 0: "0.0° after square", 7: "7.0° after square"} {
		if got := angleWords(deg); got != want {
			t.Errorf("%v: %q, want %q", deg, got, want)
		}
	}
}

// TestForceIsReadBetweenPoints: half way between two of the curve lies their mean, and
// beyond its ends the last piece is drawn on.
func TestForceIsReadBetweenPoints(t *testing.T) {
	_, r := rowed(false)
	r.Oar.Curve.AngleMean = []float64{0, 100, 300, 200, 0}
	for deg, want := range map[float64]float64{-60: 0, -47.5: 50, -22.5: 200, -10: 300, 27.5: 100, 40: 0, 45: -40} {
		if got := forceAt(r, deg); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %v°: %v N, want %v", deg, got, want)
		}
	}
	if k := PeakOf([]float64{1, 5, 2, 5}); k != 1 {
		t.Errorf("the first of two equal peaks is at 1, not %d", k)
	}
}

// TestThePathHasRoom: at least from 5° under the water to 3° over it, and 1° beyond what
// was rowed.
func TestThePathHasRoom(t *testing.T) {
	for _, c := range []struct{ deepest, highest, low, high float64 }{{-2, 1, -5, 3}, {-7.5, 4, -8.5, 5}} {
		f, r := rowed(true)
		for i := range r.Path {
			r.Path[i].VerticalDeg = c.deepest
		}
		r.Path[3].VerticalDeg = c.highest
		if a := New(f, r, Wide); a.path.Low != c.low || a.path.High != c.high {
			t.Errorf("from %v to %v: drawn from %v to %v", c.deepest, c.highest, a.path.Low, a.path.High)
		}
	}
}

// TestThePeakAtAnEndIsNamedInTheFrame: its words stand 80 px from the end of the angles.
func TestThePeakAtAnEndIsNamedInTheFrame(t *testing.T) {
	for deg, want := range map[float64]float64{-60: 66 + 80, 40: 820 - 80} {
		f, r := rowed(false)
		r.Oar.Curve.AngleMean[0], r.Oar.Curve.AngleMean[10] = 20-10*deg, 420+10*deg
		at := -1.0
		for _, w := range New(f, r, Wide).Words {
			if strings.Contains(w.Text, " N at ") {
				at = w.At.X
			}
		}
		if at != want {
			t.Errorf("a peak at %v° is named at %v px, want %v", deg, at, want)
		}
	}
}
