package stroke

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"

	"thole/rigging"
)

const deg = float64(rigging.Degree)

// oarsman is a rower with known strokes: the angle runs along half cosines
// from catch to finish and back, the force follows a given form over the arc.
type oarsman struct {
	catch, finish float64 // rad
	period        float64 // s
	drive         float64 // share of the period
	peak          float64 // N
	form          func(u float64) float64
	depth         float64 // rad at mid-drive, negative; 0 without vertical angle
	speed         float64 // m/s
	start         float64 // s into the cycle at which the file begins
}

// pull returns the reading at time t.
func (o oarsman) pull(t float64) sample {
	u := math.Mod(t+o.start, o.period) / o.period
	s := sample{t: t, vertical: 2.5 * deg, speed: o.speed}
	if u < o.drive {
		w := (1 - math.Cos(math.Pi*u/o.drive)) / 2
		s.angle = o.catch + (o.finish-o.catch)*w
		s.force = o.peak * o.form(w)
		s.vertical = 2.5*deg + (o.depth-2.5*deg)*math.Sin(math.Pi*w)
		return s
	}
	w := (1 + math.Cos(math.Pi*(u-o.drive)/(1-o.drive))) / 2
	s.angle = o.catch + (o.finish-o.catch)*w
	return s
}

func halfSine(u float64) float64 { return math.Sin(math.Pi * u) }

func sculler() oarsman {
	return oarsman{catch: -64 * deg, finish: 44 * deg, period: 2.0, drive: 0.45, peak: 600, form: halfSine, depth: -6 * deg, speed: 4.5, start: 1.2}
}

// disturbance is what a logger adds to the truth.
type disturbance struct {
	hz           float64
	angle, force float64 // standard deviations of noise, rad and N
	lost         float64 // share of samples that are missing
	seed         uint64
}

// record returns the readings of seconds of rowing.
func (o oarsman) record(seconds float64, d disturbance) []sample {
	rng := rand.New(rand.NewPCG(d.seed, 1))
	var out []sample
	for i := range int(seconds * d.hz) {
		s := o.pull(float64(i) / d.hz)
		s.angle += d.angle * rng.NormFloat64()
		s.force += d.force * rng.NormFloat64()
		if rng.Float64() >= d.lost {
			out = append(out, s)
		}
	}
	return out
}

// plain writes readings in Thole's own layout.
func plain(seat string, readings []sample) string {
	var b strings.Builder
	for _, s := range readings {
		fmt.Fprintf(&b, "%.4f,%s,%.4f,%.3f,%.4f,%.3f\n", s.t, seat, s.angle/deg, s.force, s.vertical/deg, s.speed)
	}
	return b.String()
}

func plainFile(bodies ...string) io.Reader {
	return strings.NewReader(PlainHeader + "\n" + strings.Join(bodies, ""))
}
