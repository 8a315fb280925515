package rigging_test

import (
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// drawCase draws a case with stated hand heights that can be rowed.
func drawCase(t *rapid.T, some func(source) rigging.Setup) (rigging.Case, rigging.Stroke) {
	r := drawRowed(t, some)
	c := rigging.NewCase(r.setup, &rigging.Measures{Segments: r.body})
	c.Body.Body, c.Posture, c.Handle = r.body, r.posture, &r.handle
	return c, r.stroke
}

// wide are limits that nobody meets.
var wide = rigging.Limits{Lean: deg(60), Layback: deg(60), KneeFlexion: deg(200), TrunkThigh: deg(240)}

// TestNeededLeanRowsTheTarget: solved with the lean that a target asks for, the
// case rows the target.
func TestNeededLeanRowsTheTarget(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		rapid.Check(t, func(t *rapid.T) {
			c, stroke := drawCase(t, some)
			target := deg(rapid.Float64Range(-78, -48).Draw(t, "target"))
			d := c.Demand(&stroke, rigging.Targets{Catch: target}, wide).Catch
			if !d.Possible {
				t.Skip("out of reach")
			}
			c.Posture.Lean = d.Needed
			got, err := c.Solve()
			if err != nil || got.ArmSlope < 0 {
				t.Skip("hands above the shoulders")
			}
			near(t, "catch", float64(got.Catch), float64(target), 1e-9)
		})
	})
}

func TestNeededLaybackRowsTheTarget(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		rapid.Check(t, func(t *rapid.T) {
			c, stroke := drawCase(t, some)
			target := deg(rapid.Float64Range(20, 50).Draw(t, "target"))
			d := c.Demand(&stroke, rigging.Targets{Finish: target}, wide).Finish
			if !d.Possible || d.Needed < 0 || d.Needed > deg(50) {
				t.Skip("not by leaning back")
			}
			c.Posture.Layback = d.Needed
			near(t, "finish", float64(solved(t, &c).Finish), float64(target), 1e-9)
		})
	})
}

func TestHeelForFinishRowsTheTarget(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		rapid.Check(t, func(t *rapid.T) {
			c, stroke := drawCase(t, some)
			target := deg(rapid.Float64Range(25, 55).Draw(t, "target"))
			c.Setup.HeelToPin = c.Demand(&stroke, rigging.Targets{Finish: target}, wide).HeelForFinish
			got, err := c.Solve()
			if err != nil {
				t.Skip(err)
			}
			near(t, "finish", float64(got.Finish), float64(target), 1e-9)
		})
	})
}

// TestLimitsOfTheEndsAreWhatTheyRow: AtLimit is the end rowed with the lean at
// its limit, and Margin what lies between it and the target.
func TestLimitsOfTheEndsAreWhatTheyRow(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	stroke := solved(t, &c)
	limits := wide
	limits.Lean, limits.Layback = deg(29), deg(33)
	d := c.Demand(&stroke, longArc(c.Setup.Class), limits)
	c.Posture.Lean, c.Posture.Layback = limits.Lean, limits.Layback
	far := solved(t, &c)
	near(t, "catch", float64(d.Catch.AtLimit), float64(far.Catch), 1e-12)
	near(t, "finish", float64(d.Finish.AtLimit), float64(far.Finish), 1e-12)
	near(t, "margin of the catch", float64(d.Catch.Margin), float64(deg(-64)-far.Catch), 1e-12)
	near(t, "margin of the finish", float64(d.Finish.Margin), float64(far.Finish-deg(44)), 1e-12)
}

// TestReachHasThreeAnswers puts targets between the usual end, the end at the
// limit and beyond.
func TestReachHasThreeAnswers(t *testing.T) {
	for _, setup := range []rigging.Setup{scull(), sweep()} {
		c := rigging.NewCase(setup, adult())
		stroke := solved(t, &c)
		limits := wide
		limits.Lean, limits.Layback = deg(30), deg(35)
		ask := func(catch, finish rigging.Angle) rigging.Demand {
			return c.Demand(&stroke, rigging.Targets{Catch: catch, Finish: finish}, limits)
		}
		far := ask(stroke.Catch, stroke.Finish)
		catchLimit, finishLimit := far.Catch.AtLimit, far.Finish.AtLimit
		for _, row := range []struct {
			share float64 // of the way from the usual end to the end at the limit
			want  rigging.Reach
		}{
			{-0.5, rigging.ReachWithin}, {-0.01, rigging.ReachWithin}, {0.01, rigging.ReachEdge},
			{0.99, rigging.ReachEdge}, {1.01, rigging.ReachBeyond}, {3, rigging.ReachBeyond},
		} {
			share := rigging.Angle(row.share)
			d := ask(stroke.Catch+share*(catchLimit-stroke.Catch), stroke.Finish+share*(finishLimit-stroke.Finish))
			if d.Catch.Reach != row.want || d.Finish.Reach != row.want {
				t.Errorf("%s at %g: catch %s, finish %s, want %s", setup.Class.Code, row.share, d.Catch.Reach, d.Finish.Reach, row.want)
			}
		}
	}
}

func TestNoTargetNoDemand(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	stroke := solved(t, &c)
	if d := c.Demand(&stroke, rigging.Targets{}, rigging.DefaultLimits()); d != (rigging.Demand{}) {
		t.Errorf("demand of nothing: %+v", d)
	}
	if d := c.Demand(&stroke, rigging.Targets{Finish: deg(40)}, rigging.DefaultLimits()); d.Catch != nil || d.Finish == nil {
		t.Errorf("demand of a finish: %+v", d)
	}
}

func TestTrunkThighLimitsTheLean(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	stroke := solved(t, &c)
	limits := wide
	limits.TrunkThigh = stroke.TrunkThigh - deg(2)
	d := c.Demand(&stroke, rigging.Targets{Catch: deg(-64)}, limits).Catch
	if d.LimitedBy != rigging.SetbackTrunkThigh {
		t.Errorf("limited by %q", d.LimitedBy)
	}
	near(t, "limit", float64(d.Limit), float64(c.Posture.Lean-deg(2)), 1e-12)
	limits.TrunkThigh, limits.Lean = deg(200), deg(27)
	d = c.Demand(&stroke, rigging.Targets{Catch: deg(-64)}, limits).Catch
	if d.LimitedBy != rigging.SetbackLean || d.Limit != deg(27) {
		t.Errorf("limited by %q at %.2f", d.LimitedBy, d.Limit.Degrees())
	}
}

// TestUsualLeanOverItsLimit: a rower who leans further than the limits allow is
// within reach only of what the limits hold.
func TestUsualLeanOverItsLimit(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	c.Posture.Lean = deg(35)
	stroke := solved(t, &c)
	limits := wide
	limits.Lean = deg(30)
	if d := c.Demand(&stroke, rigging.Targets{Catch: stroke.Catch}, limits).Catch; d.Reach != rigging.ReachBeyond {
		t.Errorf("the usual catch is %s", d.Reach)
	}
	if d := c.Demand(&stroke, rigging.Targets{Catch: stroke.Catch + deg(15)}, limits).Catch; d.Reach != rigging.ReachWithin {
		t.Errorf("a catch 15° short of the usual one is %s", d.Reach)
	}
}

// TestSlideStopsWhereTheKneesReachTheirLimit: the shin named brings the knees
// to the limit, and the demand is worked out in that posture.
func TestSlideStopsWhereTheKneesReachTheirLimit(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	stroke := solved(t, &c)
	limits := wide
	limits.KneeFlexion = stroke.KneeFlexion - deg(6)
	target := deg(-60)
	d := c.Demand(&stroke, rigging.Targets{Catch: target}, limits).Catch
	if d.SlideStop <= c.Posture.Shin {
		t.Fatalf("slide stops at a shin of %.2f", d.SlideStop.Degrees())
	}
	c.Posture.Shin, c.Posture.Lean = d.SlideStop, d.Needed
	stopped := solved(t, &c)
	degrees(t, "knee flexion", stopped.KneeFlexion, limits.KneeFlexion.Degrees(), 0.001)
	degrees(t, "catch", stopped.Catch, -60, 1e-9)

	limits.KneeFlexion = stroke.KneeFlexion + deg(1)
	if d := c.Demand(&stroke, rigging.Targets{Catch: target}, limits).Catch; d.SlideStop != 0 {
		t.Errorf("slide stops at %.2f without need", d.SlideStop.Degrees())
	}
}

// TestShinThatRowsABeyondTarget: with the lean at its limit, the shin named
// reaches the target and a little less compression does not.
func TestShinThatRowsABeyondTarget(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	stroke := solved(t, &c)
	limits := wide
	limits.Lean = deg(26)
	target := stroke.Catch - deg(2)
	d := c.Demand(&stroke, rigging.Targets{Catch: target}, limits).Catch
	if d.Reach != rigging.ReachBeyond || d.Shin == 0 || d.Shin >= c.Posture.Shin {
		t.Fatalf("%s, shin %.2f", d.Reach, d.Shin.Degrees())
	}
	c.Posture.Lean, c.Posture.Shin = limits.Lean, d.Shin
	degrees(t, "catch", solved(t, &c).Catch, target.Degrees(), 0.001)

	limits.Lean = 0
	far := c.Demand(&stroke, rigging.Targets{Catch: deg(-84)}, limits).Catch
	if far.Shin != 0 {
		t.Errorf("a shin of %.2f is said to bring 84°", far.Shin.Degrees())
	}
}

// TestOutOfReachIsSaid: a target no lean reaches.
func TestOutOfReachIsSaid(t *testing.T) {
	m := adult()
	m.Segments.Arm = 0.50
	c := rigging.NewCase(scull(), m)
	c.Setup.HeelToPin = 0.30
	stroke := solved(t, &c)
	d := c.Demand(&stroke, rigging.Targets{Catch: deg(-84), Finish: deg(79)}, rigging.DefaultLimits())
	if d.Catch.Possible || d.Catch.Needed != 0 || d.Catch.Reach != rigging.ReachBeyond {
		t.Errorf("catch: %+v", *d.Catch)
	}
	if d.Finish.Needed < deg(60) || d.Finish.Reach != rigging.ReachBeyond {
		t.Errorf("finish: %+v", *d.Finish)
	}
}

// TestNoLaybackBringsHandsUnderTheHips: below the hip joint, leaning back moves
// the trunk's front to the stern.
func TestNoLaybackBringsHandsUnderTheHips(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	c.Handle = &rigging.Handle{Catch: 0.25, Finish: 0.06}
	stroke := solved(t, &c)
	d := c.Demand(&stroke, rigging.Targets{Finish: stroke.Finish + deg(20)}, rigging.DefaultLimits()).Finish
	if d.Possible || d.Needed != 0 || d.Reach != rigging.ReachBeyond {
		t.Errorf("%+v", *d)
	}
}

// TestEndsBeyondTheHullAreHeld: where the limits would carry the oar past the
// largest angle considered, a target short of it is held, not out of reach.
func TestEndsBeyondTheHullAreHeld(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	c.Setup.HeelToPin = 0.46
	c.Posture.Lean = deg(15)
	stroke := solved(t, &c)
	limits := wide
	limits.Lean = deg(50)
	d := c.Demand(&stroke, rigging.Targets{Catch: deg(-80)}, limits).Catch
	if d.Reach != rigging.ReachEdge || d.Needed >= limits.Lean {
		t.Errorf("catch at 80° needing %.1f of %.1f: %s", d.Needed.Degrees(), d.Limit.Degrees(), d.Reach)
	}
	degrees(t, "catch at the limit", d.AtLimit, -85, 1e-9)

	c = rigging.NewCase(scull(), adult())
	c.Setup.HeelToPin = 0.03
	c.Posture.Layback = deg(15)
	stroke = solved(t, &c)
	limits.Layback = deg(50)
	f := c.Demand(&stroke, rigging.Targets{Finish: deg(70)}, limits).Finish
	if f.Reach == rigging.ReachBeyond || f.Needed >= limits.Layback {
		t.Errorf("finish at 70° needing %.1f of %.1f: %s", f.Needed.Degrees(), f.Limit.Degrees(), f.Reach)
	}
	degrees(t, "finish at the limit", f.AtLimit, 85, 1e-9)
}
