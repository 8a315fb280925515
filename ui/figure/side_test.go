package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// TestSideLabelsAreClear draws bodies of 150 to 205 cm at five widths, both
// ends, and checks every label; among the bodies are random ones with random
// postures.
func TestSideLabelsAreClear(t *testing.T) {
	random := 12
	if testing.Short() {
		random = 0
	}
	pictures, captions := 0, 0
	for _, b := range sitters(random) {
		for _, width := range fiveWidths {
			for i, s := range b.sides(t, width) {
				d := s.Draw()
				pictures++
				captions += btoi(d.Caption != "")
				checkClear(t, fmt.Sprintf("%v, %v px, end %d", b, width, i), d, draw.Trunk, draw.Shank, draw.Water, draw.Ghost)
			}
		}
	}
	t.Logf("%d pictures, %d of them with a label in the caption", pictures, captions)
	// A label in the caption is legible, but the drawing should hold nearly
	// all of them; 5 % is our own measure.
	if captions*20 > pictures {
		t.Errorf("%d of %d pictures have a label in the caption", captions, pictures)
	}
}

// TestSideTellsEveryFigure: what is not on the drawing stands in its caption.
func TestSideTellsEveryFigure(t *testing.T) {
	terms := [2][]string{
		{"hands over seat", "lean", "trunk–thigh", "knee bends", "shin", "heel"},
		{"hands over seat", "layback", "trunk–thigh", "knee bends", "heel"},
	}
	for _, b := range sitters(6) {
		for i, s := range b.sides(t, 288) {
			d := s.Draw()
			words := d.Caption
			for _, l := range d.Labels {
				words += " " + l.Texts[0].Text
			}
			for _, term := range terms[i] {
				if !strings.Contains(words, term) {
					t.Errorf("%v: no %q in %q", b, term, words)
				}
			}
		}
	}
}

// TestSideFigures: the angles read off the joints are those package rigging
// reports for the same stroke.
func TestSideFigures(t *testing.T) {
	b := usual(rigging.Male, 1.84, 82)
	pair := b.sides(t, 440)
	p := &pair[0].Catch
	if got := p.LeanDeg; got != b.lean {
		t.Errorf("lean %v", got)
	}
	if got := p.kneeBend(); got > b.knee || got < b.knee-3 {
		t.Errorf("the knee bends %.2f°, the slide stops at %v°", got, b.knee)
	}
	if want := 90 + elevation(p.Hip, p.Knee) + b.lean; math.Abs(p.trunkThigh()-want) > 1e-9 {
		t.Errorf("trunk to thigh %v, not %v", p.trunkThigh(), want)
	}
	// The foot of the finish lies flat on the plate.
	if lift := pair[1].Finish.heelLift(42); math.Abs(lift) > 1e-9 {
		t.Errorf("the heel lifts %v at the finish", lift)
	}
	// 42° of plate and a shin of 94° ask for 38° of the ankle, 3° more than
	// the default dorsiflexion.
	if want := max(0, 42+90-p.shin()-35); math.Abs(p.heelLift(42)-want) > 1e-6 {
		t.Errorf("the heel lifts %.3f°, want %.3f°", p.heelLift(42), want)
	}
}

// TestBodyKeepsItsJoints: every joint lies within the part that belongs to it,
// the buttock touches the seat, the hand lies on the handle.
func TestBodyKeepsItsJoints(t *testing.T) {
	for _, b := range sitters(8) {
		for i, s := range b.sides(t, 440) {
			g, _ := s.stage(80)
			me := s.person(g, i == 1)
			parts, hand := me.body()
			for _, c := range []struct {
				kind  draw.Kind
				joint Joint
			}{{draw.Thigh, me.Hip}, {draw.Thigh, me.Knee}, {draw.Shank, me.Knee}, {draw.Shank, me.Ankle}, {draw.Trunk, me.Hip}, {draw.Shoe, me.Ankle}, {draw.Arm, me.Shoulder}, {draw.Arm, me.Hand}} {
				if !partContains(parts, c.kind, g.at(c.joint)) {
					t.Errorf("%v, end %d: a joint of kind %d lies outside", b, i, c.kind)
				}
			}
			if winding(hand.Lines[0], g.at(me.Hand)) == 0 {
				t.Errorf("%v: the hand is off the handle", b)
			}
			low := 0.0
			for _, p := range parts {
				if p.Kind == draw.Trunk || p.Kind == draw.Thigh && !me.bent {
					low = max(low, plane.Around(p.Lines[0]).Bottom())
				}
			}
			if gap := (g.at(Joint{}).Y - low) / g.scale; gap > 0.02 || gap < -0.05 {
				t.Errorf("%v, end %d: the buttock is %.3f m over the seat", b, i, gap)
			}
		}
	}
}

func partContains(parts []draw.Shape, kind draw.Kind, p Point) bool {
	return slices.ContainsFunc(parts, func(s draw.Shape) bool {
		return s.Kind == kind && slices.ContainsFunc(s.Lines, func(l []Point) bool { return winding(l, p) != 0 })
	})
}

// TestHeadStandsAtSittingHeight: sitting upright, the top of the head is at
// the sitting height over the seat.
func TestHeadStandsAtSittingHeight(t *testing.T) {
	s := usual(rigging.Female, 1.70, 62).sides(t, 440)[0]
	s.SittingHeight = 0.89
	trunk := math.Hypot(s.Catch.Shoulder.X-s.Catch.Hip.X, s.Catch.Shoulder.Z-s.Catch.Hip.Z)
	s.Catch.LeanDeg = 0
	s.Catch.Shoulder = Joint{s.Catch.Hip.X, s.Catch.Hip.Z + trunk}
	me := s.person(stage{scale: 1}, false)
	top := -plane.Around(me.skull().face().Lines[0]).Y
	if math.Abs(top-0.89) > 0.002 {
		t.Errorf("the head's top is at %.3f m", top)
	}
}

// TestHeavierIsThickerNotLonger: mass changes breadths only.
func TestHeavierIsThickerNotLonger(t *testing.T) {
	s := usual(rigging.Male, 1.80, 70).sides(t, 440)[0]
	light := s.person(stage{scale: 100}, false)
	s.Mass = 110
	heavy := s.person(stage{scale: 100}, false)
	if l, h := plane.Around(light.thigh().Lines[0]), plane.Around(heavy.thigh().Lines[0]); h.H <= l.H {
		t.Error("the heavy thigh is no thicker")
	}
	if light.skull().h != heavy.skull().h || light.at(light.Knee) != heavy.at(heavy.Knee) {
		t.Error("mass moved a joint or the head")
	}
}

// TestBothEndsShareOneScale: catch and finish lie on one stage, so that the
// pair can be compared.
func TestBothEndsShareOneScale(t *testing.T) {
	pair := usual(rigging.Male, 1.9, 88).sides(t, 440)
	a, _ := pair[0].stage(70)
	b, _ := pair[1].stage(70)
	if a != b {
		t.Errorf("%v and %v", a, b)
	}
}

// TestTooNarrowStillTells: where labels have no room at all they stand in the
// caption, and the drawing ends.
func TestTooNarrowStillTells(t *testing.T) {
	for _, s := range usual(rigging.Male, 1.8, 80).sides(t, 120) {
		d := s.Draw()
		for _, f := range faultsOf(d, every) {
			t.Error(f)
		}
		if !strings.Contains(d.Caption, "°") {
			t.Errorf("caption %q", d.Caption)
		}
	}
}

func TestSidePanicsOnNaN(t *testing.T) {
	s := usual(rigging.Male, 1.8, 80).sides(t, 440)[0]
	s.Catch.Hand.X = math.NaN()
	defer func() {
		if recover() == nil {
			t.Error("a pose that is no number was drawn")
		}
	}()
	s.Draw()
}

func BenchmarkSide(b *testing.B) {
	s := usual(rigging.Male, 1.84, 82).sides(b, 440)[0]
	for b.Loop() {
		s.Draw()
	}
}

func BenchmarkSideHTML(b *testing.B) {
	d := usual(rigging.Male, 1.84, 82).sides(b, 440)[0].Draw()
	for b.Loop() {
		d.HTML()
	}
}
