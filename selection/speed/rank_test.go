package speed

import (
	"errors"
	"math/rand/v2"
	"slices"
	"testing"

	"thole/rigging"
)

// exact is a recording without noise.
func exact(t testing.TB, f fault) Recording {
	return plant(t, f).record(rand.New(rand.NewPCG(1, 1)), 0)
}

func TestRankingSaysWhatItHolds(t *testing.T) {
	r := exact(t, faults[0])
	r.Power, r.Hands = 300, 0.5
	out := rank(t, r)
	near(t, "model's speed is the one measured", out.Steady.Speed, r.Speed, 1e-5)
	near(t, "drag of the day", out.Drag, 3.16, 0.1)
	near(t, "power off", out.PowerOff, out.Steady.Seats[0].Handle/300-1, 1e-12)
	near(t, "idle share", out.Idle, (r.CatchSlip.Mean+r.ReleaseSlip.Mean)/(r.Catch.Mean+r.Finish.Mean), 1e-12)
	// The hands that match the water where load begins: v·cos θ·R_in/R_out, at
	// 4 m/s and −49° about 1.25 m/s.
	near(t, "matching speed", out.MatchSpeed, 1.25, 0.15)
	if len(out.Gaps) != 0 || len(out.Findings) == 0 || out.Beyond < len(out.Findings) {
		t.Errorf("%+v", out)
	}
	first := out.Findings[0]
	near(t, "change", first.Change, r.CatchSlip.Reference-r.CatchSlip.Mean, 1e-12)
	if first.Measure != r.CatchSlip || !slices.Equal(first.Causes, []Cause{CauseLateEntry, CauseSlowHands}) {
		t.Errorf("%+v", first)
	}
	for _, f := range out.Findings {
		if f.Item == ItemEntryLate {
			t.Error("a late entry is told twice")
		}
	}
}

func TestTheFadeWidensTheRange(t *testing.T) {
	// With both measures as exact as here only model and fade are left in the
	// range; each of the two fades must lie within it.
	r := exact(t, faults[3])
	out := rank(t, r)
	s, err := r.stroke()
	if err != nil {
		t.Fatal(err)
	}
	if s, err = s.AtSpeed(r.Speed); err != nil {
		t.Fatal(err)
	}
	before := solve(t, s)
	by := rigging.Angle(-out.Findings[0].Change)
	var gains []float64
	for _, fade := range []rigging.Angle{ShortFade, FadeArc, LongFade} {
		after := s.with(0, moveRelease(by, fade, r.Level))
		gains = append(gains, new(solve(t, after)).Time(2000)-before.Time(2000))
	}
	price := out.Findings[0].Price.ForceTime
	near(t, "price by the rule", price.Value, gains[1], 0.01)
	if !(price.Low <= gains[0]+0.01 && price.Low <= gains[2]+0.01 && price.High >= gains[0]-0.01 && price.High >= gains[2]-0.01) || gains[0] == gains[2] {
		t.Errorf("%+v does not hold %v", price, gains)
	}
}

func TestNothingBelowTheNoiseIsRanked(t *testing.T) {
	r := exact(t, faults[4])
	gap := r.Catch.Reference - r.Catch.Mean
	for _, row := range []struct {
		sd   float64
		said bool
	}{{gap / 2.1, true}, {gap / 1.9, false}} {
		r.Catch.SD = row.sd
		if said := len(rank(t, r).Findings) > 0; said != row.said {
			t.Errorf("SD %g of a gap of %g: said %v", row.sd, gap, said)
		}
	}
	r.Catch.SD, r.Catch.OwnBest = gap/2.5, true
	if len(rank(t, r).Findings) > 0 {
		t.Error("own best strokes are held to the same two SD")
	}
}

func TestNoReferenceAsksForMoreThanTheBodyReaches(t *testing.T) {
	r := exact(t, faults[4])
	free := rank(t, r).Findings[0]
	r.Reach = r.Catch.Mean + 0.05
	held := rank(t, r).Findings[0]
	near(t, "change", held.Change, 0.05, 1e-9)
	if free.Limited || !held.Limited || !(held.Price.ForceTime.Value > free.Price.ForceTime.Value) {
		t.Errorf("%+v, limited %+v", free, held)
	}
	r.Reach = r.Catch.Mean - 0.05
	for _, f := range rank(t, r).Findings {
		if f.Item == ItemCatch {
			t.Errorf("beyond reach: %+v", f)
		}
	}
}

func TestNoSlipGoesBelowTheFreeBlade(t *testing.T) {
	// The blade cannot hold before the reversal nor after the finish: a
	// reference of no slip at all is held to what the flanks stand off.
	r := exact(t, clean)
	r.CatchSlip.Reference, r.ReleaseSlip.Reference = 0, 0
	s, err := r.stroke()
	if err != nil {
		t.Fatal(err)
	}
	out := rank(t, r)
	if len(out.Findings) != 2 {
		t.Fatalf("%+v", out.Findings)
	}
	for _, f := range out.Findings {
		able := s.Seats[0].Hold
		if f.Item == ItemReleaseSlip {
			able = s.Seats[0].Release
		}
		near(t, string(f.Item), f.Change, -float64(able), 1e-9)
		if !f.Limited {
			t.Errorf("%s: not said to be limited", f.Item)
		}
	}
}

func TestSmallGainsAreToldAndNoneAreNot(t *testing.T) {
	for _, row := range []struct {
		longer rigging.Angle
		said   bool
	}{{0.2 * rigging.Degree, true}, {0.02 * rigging.Degree, false}} {
		r := exact(t, clean)
		r.Catch.Reference = r.Catch.Mean + float64(row.longer)
		out := rank(t, r)
		if said := len(out.Findings) == 1; said != row.said || out.Beyond != 1 {
			t.Errorf("%g°: %+v", row.longer.Degrees(), out.Findings)
		}
	}
}

func TestThePlaceOfThePeakIsPricedAlone(t *testing.T) {
	// At the same mean force over the arc a later or earlier peak changes the
	// work by little; a fuller curve would not pass for a better place.
	told := 0
	for _, by := range []float64{-0.1, 0.1} {
		r := exact(t, clean)
		r.PeakPlace.Reference = r.PeakPlace.Mean + by
		for _, f := range rank(t, r).Findings {
			told++
			near(t, "change", f.Change, by, 1e-12)
			near(t, "power", f.Price.ForcePower.Value, 0, 0.02)
			if f.Item != ItemPeakPlace {
				t.Errorf("%+v", f)
			}
		}
	}
	if told != 1 {
		t.Errorf("%d told: one direction gains, the other costs", told)
	}
}

func TestClosePricesAreTooCloseToTell(t *testing.T) {
	both := fault{"both", ItemCatchSlip, func(s *Seat) { s.Release += 6 * rigging.Degree; s.Hold += 5 * rigging.Degree }, 0, 0}
	r := plant(t, both).record(rand.New(rand.NewPCG(1, 2)), 0.05)
	r.CatchSlip.SD, r.ReleaseSlip.SD = 0.02, 0.02
	out := rank(t, r)
	if len(out.Findings) < 2 {
		t.Fatalf("%+v", out.Findings)
	}
	for i := range len(out.Findings) - 1 {
		a, b := out.Findings[i].Price.ForceTime, out.Findings[i+1].Price.ForceTime
		if a.Value > b.Value || out.Findings[i].CloseToNext != (a.Holds(b.Value) && b.Holds(a.Value)) {
			t.Errorf("%+v before %+v", out.Findings[i], out.Findings[i+1])
		}
	}
	if !out.Findings[0].CloseToNext {
		t.Errorf("%+v and %+v", out.Findings[0].Price, out.Findings[1].Price)
	}
}

func TestAtMostThreeThingsAreTold(t *testing.T) {
	all := fault{"all", ItemCatchSlip, func(s *Seat) {
		s.Hold += 6 * rigging.Degree
		s.Release += 6 * rigging.Degree
		s.Depth += 8 * rigging.Degree
		s.Catch += 6 * rigging.Degree
		s.Finish -= 5 * rigging.Degree
	}, 0.1, 8}
	out := rank(t, exact(t, all))
	if len(out.Findings) != 3 || out.Beyond < 4 {
		t.Errorf("%d told of %d", len(out.Findings), out.Beyond)
	}
}

func TestWhatIsMissingIsNamedAndTheRestIsSaid(t *testing.T) {
	r := exact(t, faults[3])
	r.Speed, r.Curve, r.Strokes = 0, nil, 1
	r.Height, r.Start, r.Depth, r.PeakPlace = Measure{}, Measure{}, Measure{}, Measure{}
	out := rank(t, r)
	if want := []Gap{GapSpeed, GapCurve, GapVertical, GapPeak, GapStrokes}; !slices.Equal(out.Gaps, want) {
		t.Errorf("gaps %v, want %v", out.Gaps, want)
	}
	if len(out.Findings) == 0 || out.Findings[0].Item != ItemReleaseSlip {
		t.Errorf("%+v", out.Findings)
	}
	near(t, "drag of the class", out.Drag, r.Drag, 0)
	var bare Recording = r
	for _, m := range []*Measure{&bare.Catch, &bare.Finish, &bare.CatchSlip, &bare.ReleaseSlip, &bare.Sink} {
		m.Source = ""
	}
	if out := rank(t, bare); len(out.Findings) != 0 || !slices.Contains(out.Gaps, GapReference) {
		t.Errorf("without a reference: %+v, %v", out.Findings, out.Gaps)
	}
}

func TestMeasuresThatDoNotGoTogetherAreToldAsSuch(t *testing.T) {
	// A blade that starts down .4 s after the reversal from 30 cm never holds;
	// the rest is ranked all the same.
	r := exact(t, faults[3])
	r.Height.Mean, r.Sink.Mean, r.Start.Mean = 0.3, 0.4, 0.4
	out := rank(t, r)
	if !slices.Equal(out.Unpriced, []Item{ItemEntryLate}) || len(out.Findings) == 0 || out.Findings[0].Item != ItemReleaseSlip {
		t.Errorf("%v, %+v", out.Unpriced, out.Findings)
	}
	r.Speed, r.Rate = 7.9, 18
	var errs rigging.FieldErrors
	if _, err := Rank(r, 2000); !errors.As(err, &errs) || errs[0].Place.String() != "speed" {
		t.Error(err)
	}
}

func TestOneRowerOfACrewIsPricedAlone(t *testing.T) {
	// The same fault in one of two seats is worth half of what it is in both.
	r := exact(t, faults[3])
	alone := rank(t, r).Findings[0].Price.ForceTime.Value
	r.Rowers, r.Hull, r.Speed, r.Drag = 2, 28, 0, 2*r.Drag
	near(t, "share", rank(t, r).Findings[0].Price.ForceTime.Value/alone, 0.5, 0.05)
}

func TestDeeperBladesCostMore(t *testing.T) {
	// From 2° on; up to there the shaft next to the blade works like more of it,
	// for 0.2 s.
	last := 0.0
	for _, depth := range []rigging.Angle{2, 4, 6, 8, 12} {
		s := single()
		s.Seats[0].Depth = depth * rigging.Degree
		now := new(solve(t, s)).Time(2000)
		if !(now > last) {
			t.Errorf("%g° deep: %.3f s after %.3f s", float64(depth), now, last)
		}
		last = now
	}
}

func BenchmarkRankSevenMeasures(b *testing.B) {
	r := plant(b, faults[0]).record(rand.New(rand.NewPCG(1, 1)), 0.05)
	for _, m := range []*Measure{&r.Catch, &r.Finish, &r.CatchSlip, &r.ReleaseSlip, &r.PeakPlace, &r.Depth, &r.Start} {
		m.Reference, m.SD = m.Reference*0.97, 1e-3*m.Mean
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Rank(r, 2000); err != nil {
			b.Fatal(err)
		}
	}
}
