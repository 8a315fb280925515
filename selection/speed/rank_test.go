package speed

import (
	"math"
	"math/rand/v2"
	"testing"

	"thole/rigging"
)

// planted is a sculler whose strokes are computed with a fault in them.
type planted struct {
	name string
	item Item
	set  func(*Seat)
	// What the model leaves to the fault alone.
	start, depth float64
}

const readAt = 0.30 // share of the peak at which slip is read

// The clean sculler loads 2.3° after the match, lets go 4° before the finish,
// enters 50 ms before the reversal and rows 1.5° below just covered.
const (
	cleanHold, cleanRelease = 7 * rigging.Degree, 4 * rigging.Degree
	cleanStart, cleanDepth  = -0.05, 1.5
	cleanHeight, cleanSink  = 0.05, 1.3
)

var faults = []planted{
	{"late", ItemCatchSlip, func(s *Seat) { s.Hold += 8 * rigging.Degree }, 0.10, 0},
	{"early", ItemEntryEarly, func(s *Seat) { s.Entry = Entry{cleanHeight, cleanSink, cleanStart - 0.20} }, -0.20, 0},
	{"deep", ItemDepth, func(s *Seat) { s.Depth += 7 * rigging.Degree }, 0, 7},
	{"washing out", ItemReleaseSlip, func(s *Seat) { s.Release += 9 * rigging.Degree }, 0, 0},
	{"short", ItemCatch, func(s *Seat) { s.Catch += 10 * rigging.Degree }, 0, 0},
}

func cleanSculler() Stroke {
	s := single()
	s.Seats[0].Hold, s.Seats[0].Release = cleanHold, cleanRelease
	s.Seats[0].Depth = cleanDepth * rigging.Degree
	return s
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
	for i > 0 && curve[i] > readAt*top {
		i--
	}
	for j < len(curve)-1 && curve[j] > readAt*top {
		j++
	}
	from := float64(i) + (readAt*top-curve[i])/(curve[i+1]-curve[i])
	to := float64(j) - (readAt*top-curve[j])/(curve[j-1]-curve[j])
	n := float64(len(curve) - 1)
	return from / n, 1 - to/n, (float64(at) - from) / (to - from)
}

// noisy is a row of readings of one feature.
type noisy []float64

func (n noisy) measure(reference float64) Measure {
	mean, sum := 0.0, 0.0
	for _, v := range n {
		mean += v / float64(len(n))
	}
	for _, v := range n {
		sum += (v - mean) * (v - mean)
	}
	return Measure{Mean: mean, SD: math.Sqrt(sum / float64(len(n)-1)), Reference: reference, Source: "the crew's median", Known: true}
}

// record measures strokes of a sculler with noise: 5 % on angles, on each point
// of the curve, on the boat's speed within the piece and on what the entry's
// times scale with, and 1° on depth.
func record(rng *rand.Rand, s Stroke, curve []float64, speed float64, fault planted, noise float64) Recording {
	const strokes = 20
	seat := s.Seats[0]
	var catch, finish, in, out, place, depth, height, sink, start noisy
	mean := make([]float64, Nodes)
	one := func() float64 { return 1 + noise*rng.NormFloat64() }
	for range strokes {
		c, f := -float64(seat.Catch)*one(), float64(seat.Finish)*one()
		noisyCurve := make([]float64, Nodes)
		for i := range curve {
			noisyCurve[i] = curve[i] * one()
			mean[i] += noisyCurve[i] / strokes
		}
		a, b, p := slips(noisyCurve)
		catch, finish = append(catch, c), append(finish, f)
		in, out, place = append(in, a*(c+f)*one()), append(out, b*(c+f)*one()), append(place, p)
		depth = append(depth, (cleanDepth+fault.depth)*math.Pi/180+noise*20*math.Pi/180*rng.NormFloat64())
		height, sink = append(height, cleanHeight*one()), append(sink, cleanSink*one())
		start = append(start, cleanStart+fault.start+noise*0.85*rng.NormFloat64())
	}
	clean := cleanSculler()
	a, b, p := slips(cleanCurve)
	arc := float64(clean.Seats[0].Finish - clean.Seats[0].Catch)
	r := Recording{
		Hull: 14, Rowers: 1, Rate: s.Rate, Speed: speed, Drag: s.Drag, Strokes: strokes, Seat: seat, Curve: mean, Level: readAt,
		Catch: catch.measure(-float64(clean.Seats[0].Catch)), Finish: finish.measure(float64(clean.Seats[0].Finish)),
		CatchSlip: in.measure(a * arc), ReleaseSlip: out.measure(b * arc), PeakPlace: place.measure(p),
		Depth: depth.measure(cleanDepth * math.Pi / 180), Height: height.measure(cleanHeight), Sink: sink.measure(cleanSink), Start: start.measure(cleanStart),
	}
	return r
}

var cleanCurve []float64

// plant returns the sculler with a fault, the force curve and the speed.
func plant(t testing.TB, fault planted) (Stroke, []float64, float64) {
	clean := cleanSculler()
	cleanCurve = forceCurve(t, clean)
	s := clean.with(EverySeat, func(s Seat) Seat {
		if fault.set != nil {
			fault.set(&s)
		}
		return s
	})
	steady := solve(t, s)
	return s, forceCurve(t, s), steady.Speed
}

func TestPlantedFaultsComeFirst(t *testing.T) {
	const cases = 40
	for i, fault := range faults {
		s, curve, speed := plant(t, fault)
		rng := rand.New(rand.NewPCG(7, uint64(i)))
		first := 0
		seen := map[Item]int{}
		for range cases {
			out, err := Rank(record(rng, s, curve, speed, fault, 0.05), 2000)
			if err != nil {
				t.Fatal(err)
			}
			if len(out.Findings) > 0 {
				seen[out.Findings[0].Item]++
				if out.Findings[0].Item == fault.item {
					first++
				}
			} else {
				seen["none"]++
			}
		}
		t.Logf("%s first in %d of %d: %v", fault.name, first, cases, seen)
		out, _ := Rank(record(rng, s, curve, speed, fault, 0.05), 2000)
		for _, f := range out.Findings {
			t.Logf("   %s %.1f→%.1f sd %.2f  %.1f [%.1f %.1f] / %.1f [%.1f %.1f] (%+.1f %%) %v %v", f.Item, f.Measure.Mean*57.3, f.Measure.Reference*57.3, f.Measure.SD*57.3, f.Price.ForceTime.Value, f.Price.ForceTime.Low, f.Price.ForceTime.High, f.Price.PowerTime.Value, f.Price.PowerTime.Low, f.Price.PowerTime.High, 100*f.Price.PowerForce.Value, f.CloseToNext, f.Causes)
		}
		truth := solve(t, s)
		cl := solve(t, cleanSculler())
		t.Logf("   truth %.1f s, drag %.3f", cl.Time(2000)-truth.Time(2000), out.Drag)
	}
}

func TestCleanStrokesGiveNothing(t *testing.T) {
	s, curve, speed := plant(t, planted{})
	rng := rand.New(rand.NewPCG(7, 99))
	n := 0
	for range 200 {
		out, err := Rank(record(rng, s, curve, speed, planted{}, 0.05), 2000)
		if err != nil {
			t.Fatal(err)
		}
		if len(out.Findings) > 0 {
			n++
			t.Log(out.Findings[0].Item)
		}
	}
	t.Log("named something", n)
}

func BenchmarkRank(b *testing.B) {
	s, curve, speed := plant(b, faults[0])
	r := record(rand.New(rand.NewPCG(1, 1)), s, curve, speed, faults[0], 0.05)
	for _, m := range []*Measure{&r.Catch, &r.Finish, &r.CatchSlip, &r.ReleaseSlip, &r.PeakPlace, &r.Depth, &r.Start} {
		m.SD = 1e-4
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Rank(r, 2000); err != nil {
			b.Fatal(err)
		}
	}
}
