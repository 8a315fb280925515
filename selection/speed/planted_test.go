package speed

import (
	"math"
	"math/rand/v2"
	"testing"

	"thole/rigging"
)

// fault is what is wrong with a sculler whose strokes are computed.
type fault struct {
	name  string
	item  Item
	set   func(*Seat)
	start float64 // s, of the entry later than the clean one
	depth float64 // degrees deeper
}

// The clean sculler loads from 7° on, lets go 4° before the finish, starts the
// blade down 50 ms before the reversal from 5 cm at 1.3 m/s, and rows 1.5° below
// just covered.
const (
	cleanHold, cleanRelease = 7 * rigging.Degree, 4 * rigging.Degree
	cleanDepth              = 1.5 * rigging.Degree
	slipLevel               = 0.30
	strokesMeasured         = 20
)

var cleanEntry = Entry{Height: 0.05, Sink: 1.3, Start: -0.05}

var faults = []fault{
	{"late", ItemCatchSlip, func(s *Seat) { s.Hold += 8 * rigging.Degree }, 0.10, 0},
	{"early", ItemEntryEarly, func(s *Seat) {
		s.Hold, s.Entry = 0, Entry{cleanEntry.Height, cleanEntry.Sink, cleanEntry.Start - 0.20}
	}, -0.20, 0},
	{"deep", ItemDepth, func(s *Seat) { s.Depth += 7 * rigging.Degree }, 0, 7},
	{"washing out", ItemReleaseSlip, func(s *Seat) { s.Release += 9 * rigging.Degree }, 0, 0},
	{"short", ItemCatch, func(s *Seat) { s.Catch += 10 * rigging.Degree }, 0, 0},
}

var clean = fault{name: "clean", set: func(*Seat) {}}

// cleanSculler is the base single with the clean sculler in it.
func cleanSculler() Stroke {
	s := single()
	s.Seats[0].Hold, s.Seats[0].Release, s.Seats[0].Depth = cleanHold, cleanRelease, cleanDepth
	return s
}

// planted is a sculler with a fault, computed: what a gate would record.
type planted struct {
	fault  fault
	stroke Stroke
	speed  float64
	curve  []float64
	// Slips in rad and place of the peak of the clean curve.
	catchSlip, releaseSlip, place float64
}

func plant(t testing.TB, f fault) planted {
	base := cleanSculler()
	p := planted{fault: f, stroke: base.with(EverySeat, func(s Seat) Seat { f.set(&s); return s })}
	arc := float64(base.Seats[0].Finish - base.Seats[0].Catch)
	a, b, place := slips(forceCurve(t, base))
	p.catchSlip, p.releaseSlip, p.place = a*arc, b*arc, place
	p.speed, p.curve = solve(t, p.stroke).Speed, forceCurve(t, p.stroke)
	return p
}

// forceCurve returns the handle force of the steady stroke at Nodes angles from
// catch to finish.
func forceCurve(t testing.TB, s Stroke) []float64 {
	path, err := s.Path(0)
	if err != nil {
		t.Fatal(err)
	}
	seat := s.Seats[0]
	out := make([]float64, Nodes)
	at := 0
	for i := range out {
		angle := seat.Catch + (seat.Finish-seat.Catch)*rigging.Angle(i)/(Nodes-1)
		for at+2 < len(path) && path[at+1].Angle < angle {
			at++
		}
		a, b := path[at], path[at+1]
		share := 0.0
		if b.Angle > a.Angle {
			share = float64((angle - a.Angle) / (b.Angle - a.Angle))
		}
		out[i] = a.Force + share*(b.Force-a.Force)
	}
	return out
}

// slips reads both slips of a curve as shares of its arc, and the place of the
// peak between them.
func slips(curve []float64) (catch, release, place float64) {
	top, at := 0.0, 0
	for i, f := range curve {
		if f > top {
			top, at = f, i
		}
	}
	i, j := at, at
	for i > 0 && curve[i] > slipLevel*top {
		i--
	}
	for j < len(curve)-1 && curve[j] > slipLevel*top {
		j++
	}
	from := float64(i) + (slipLevel*top-curve[i])/(curve[i+1]-curve[i])
	to := float64(j) - (slipLevel*top-curve[j])/(curve[j-1]-curve[j])
	n := float64(len(curve) - 1)
	return from / n, 1 - to/n, (float64(at) - from) / (to - from)
}

// readings are those of one feature, stroke by stroke.
type readings []float64

// against returns their mean and SD, held against a reference.
func (n readings) against(reference float64) Measure {
	mean, sum := 0.0, 0.0
	for _, v := range n {
		mean += v / float64(len(n))
	}
	for _, v := range n {
		sum += (v - mean) * (v - mean)
	}
	return Measure{Mean: mean, SD: math.Sqrt(sum / float64(max(len(n)-1, 1))), Reference: reference, Source: "the crew's median", Known: true}
}

// record measures strokes of a planted sculler with noise, in parts of one: on
// angles, on every point of the curve, on slips once more, on height and
// sinking speed; 20° times it on depth and the time of the drive, .85 s, times
// it on the moment of entry.
func (p planted) record(rng *rand.Rand, noise float64) Recording {
	seat := p.stroke.Seats[0]
	var catch, finish, in, out, place, depth, height, sink, start readings
	mean := make([]float64, Nodes)
	one := func() float64 { return 1 + noise*rng.NormFloat64() }
	for range strokesMeasured {
		c, f := -float64(seat.Catch)*one(), float64(seat.Finish)*one()
		curve := make([]float64, Nodes)
		for i := range curve {
			curve[i] = p.curve[i] * one()
			mean[i] += curve[i] / strokesMeasured
		}
		a, b, at := slips(curve)
		catch, finish, place = append(catch, c), append(finish, f), append(place, at)
		in, out = append(in, a*(c+f)*one()), append(out, b*(c+f)*one())
		off := float64(20*rigging.Degree) * noise * rng.NormFloat64()
		depth = append(depth, float64(cleanDepth)+p.fault.depth*math.Pi/180+off)
		height, sink = append(height, cleanEntry.Height*one()), append(sink, cleanEntry.Sink*one())
		start = append(start, cleanEntry.Start+p.fault.start+0.85*noise*rng.NormFloat64())
	}
	was := cleanSculler().Seats[0]
	return Recording{
		Hull: 14, Rowers: 1, Rate: p.stroke.Rate, Speed: p.speed, Drag: p.stroke.Drag, Strokes: strokesMeasured, Seat: seat, Curve: mean, Level: slipLevel,
		Catch: catch.against(-float64(was.Catch)), Finish: finish.against(float64(was.Finish)),
		CatchSlip: in.against(p.catchSlip), ReleaseSlip: out.against(p.releaseSlip), PeakPlace: place.against(p.place),
		Depth: depth.against(float64(cleanDepth)), Height: height.against(cleanEntry.Height), Sink: sink.against(cleanEntry.Sink), Start: start.against(cleanEntry.Start),
	}
}

func rank(t testing.TB, r Recording) Ranking {
	t.Helper()
	out, err := Rank(r, 2000)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// cases is how many recordings of each fault are ranked.
func cases() int {
	if testing.Short() {
		return 40
	}
	return 200
}

func TestPlantedFaultsComeFirst(t *testing.T) {
	for i, f := range faults {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			p, rng := plant(t, f), rand.New(rand.NewPCG(7, uint64(i)))
			first := map[Item]int{}
			for range cases() {
				if out := rank(t, p.record(rng, 0.05)); len(out.Findings) > 0 {
					first[out.Findings[0].Item]++
				}
			}
			t.Logf("of %d: %v", cases(), first)
			if share := float64(first[f.item]) / float64(cases()); share < 0.95 {
				t.Errorf("%s first in only %.3f: %v", f.item, share, first)
			}
		})
	}
}

func TestCleanStrokesAreLeftAlone(t *testing.T) {
	p, rng := plant(t, clean), rand.New(rand.NewPCG(7, 99))
	named := map[Item]int{}
	for range 200 {
		if out := rank(t, p.record(rng, 0.05)); len(out.Findings) > 0 {
			named[out.Findings[0].Item]++
		}
	}
	if len(named) > 0 {
		t.Errorf("named something in clean strokes: %v", named)
	}
}

func TestOwnBestStrokesAloneAreNoFault(t *testing.T) {
	// The best tenth of twenty strokes lies off their mean by chance alone.
	p, rng := plant(t, clean), rand.New(rand.NewPCG(7, 101))
	named := 0
	for range 200 {
		r := p.record(rng, 0.05)
		for _, m := range []*Measure{&r.CatchSlip, &r.ReleaseSlip, &r.Depth} {
			m.Reference, m.OwnBest = m.Mean-(1.755+0.4*rng.NormFloat64())*m.SD, true
		}
		if out := rank(t, r); len(out.Findings) > 0 {
			named++
		}
	}
	if named > 10 {
		t.Errorf("named something in %d of 200", named)
	}
}

func TestPricesOfPlantedFaultsAreTheTruth(t *testing.T) {
	// Without noise, what mending a fault is said to be worth is the difference
	// between the boats. Less than a second is left to reading slips off a curve, and
	// for the release a third: there the planted force is the whole curve
	// squeezed into less arc, while the rule moves only the last flank.
	for _, f := range faults {
		p := plant(t, f)
		r := p.record(rand.New(rand.NewPCG(1, 1)), 0)
		got := rank(t, r).Findings[0]
		if got.Item != f.item {
			t.Errorf("%s: %+v", f.name, got)
		}
		truth := new(solve(t, cleanSculler())).Time(2000) - 2000/p.speed
		if f.item == ItemEntryEarly {
			r := p.stroke.with(EverySeat, Enter(cleanEntry))
			truth = new(solve(t, r)).Time(2000) - 2000/p.speed
		}
		tolerance := 0.8
		if f.item == ItemReleaseSlip {
			tolerance = math.Abs(truth) / 3
		}
		near(t, f.name, got.Price.ForceTime.Value, truth, tolerance)
	}
}
