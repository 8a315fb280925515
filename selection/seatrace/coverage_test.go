package seatrace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// twelveRaces are pieces of eight scullers of which the first seven settle
// every difference (rows of a Hadamard matrix) and every next one leaves one
// residual more.
func twelveRaces() []string {
	return []string{
		"ABABABAB", "AABBAABB", "ABBAABBA", "AAAABBBB", "ABABBABA", "AABBBBAA", "ABBABAAB",
		"BBBAABAA", "ABBBAAAB", "BABBABAA", "BABAABAB", "BBABAABA",
	}
}

// trial is a kind of simulated trial over 190 s: of how many pieces, how much
// the boats scatter as a share of the time, with how many degrees of freedom
// of Student's distribution (0 for normal), how many seconds boat 2 loses more
// from piece to piece, the standard deviation of the athletes in s, and that
// of the prior over it (0 for none).
type trial struct {
	pieces        int
	noise         float64
	heavy         int
	drift, spread float64
	prior         float64
	df            int // expected
}

// scatter draws an error of standard deviation 1.
func scatter(rng *rand.Rand, df int) float64 {
	z := rng.NormFloat64()
	if df == 0 {
		return z
	}
	chi := 0.0
	for range df {
		x := rng.NormFloat64()
		chi += x * x
	}
	return z * math.Sqrt(float64(df-2)/chi)
}

// run judges one simulated trial and returns it with the truth.
func (c trial) run(t *testing.T, seed uint64) (*Result, map[string]float64) {
	rng := seeded(seed)
	w := world{effect: map[string]float64{}, base: 190}
	for _, id := range letters(8) {
		w.effect[id] = c.spread * rng.NormFloat64()
	}
	pieces := w.race(schedule(twelveRaces()[:c.pieces]...), rng)
	for r := range pieces {
		for b := range pieces[r].Times {
			pieces[r].Times[b] += c.noise*190*scatter(rng, c.heavy) + c.drift*float64(r*b)
		}
	}
	o := Options{Model: Model{Trends: c.drift != 0}}
	if c.prior > 0 {
		o.Prior = &Prior{SD: c.prior * c.spread}
	}
	return estimate(t, pieces, o), w.effect
}

// tally counts intervals that hold the truth, and chances that come true.
type tally struct {
	all, held float64
	bins      [5]struct{ n, said, true float64 } // chances of 50 to 60 %, …
}

// add takes in the differences of one trial.
func (c *tally) add(e *Evidence, truth map[string]float64) {
	for _, d := range e.Differences() {
		want := truth[d.First] - truth[d.Second]
		if c.all++; d.Low <= want && want <= d.High {
			c.held++
		}
		chance, came := d.ChanceFirstFaster, want > 0
		if chance < 0.5 {
			chance, came = 1-chance, !came
		}
		bin := &c.bins[min(int((chance-0.5)*10), 4)]
		bin.n, bin.said = bin.n+1, bin.said+chance
		if came {
			bin.true++
		}
	}
}

// join takes in the chances of another tally.
func (c *tally) join(other *tally) {
	for k, b := range other.bins {
		c.bins[k].n += b.n
		c.bins[k].said += b.said
		c.bins[k].true += b.true
	}
}

// simulated runs 500 trials of a kind.
func (c trial) simulated(t *testing.T) *tally {
	out := new(tally)
	for seed := range uint64(500) {
		r, truth := c.run(t, seed)
		if seed == 0 && r.Noise.DF != c.df {
			t.Fatalf("%d degrees of freedom, want %d", r.Noise.DF, c.df)
		}
		out.add(r.Final(), truth)
	}
	return out
}

// coverageRows are the trials that the intervals have to hold in: the noise is
// the documented one unless said otherwise, and the athletes' spread 0.6 s.
func coverageRows() map[string]trial {
	rows := map[string]trial{}
	for df := range 6 {
		for _, prior := range []float64{0, 0.5, 1, 2} {
			rows[fmt.Sprintf("df %d, prior %g", df, prior)] = trial{pieces: 7 + df, noise: TypicalNoise, spread: 0.6, prior: prior, df: df}
		}
	}
	for _, prior := range []float64{0, 0.5, 1, 2} {
		rows[fmt.Sprintf("lane slows, prior %g", prior)] = trial{pieces: 12, noise: TypicalNoise, spread: 0.6, drift: 0.5, prior: prior, df: 3}
		rows[fmt.Sprintf("heavy tails, prior %g", prior)] = trial{pieces: 10, noise: TypicalNoise, heavy: 3, spread: 0.6, prior: prior, df: 3}
		rows[fmt.Sprintf("wide spread, prior %g", prior)] = trial{pieces: 10, noise: TypicalNoise, spread: 1.5, prior: prior, df: 3}
	}
	return rows
}

// Intervals of 95 % hold the truth in 93 to 97 % of the differences: with any
// number of residuals, when a lane slows from the first piece, when the errors
// have heavy tails, and when the prior is half or twice as wide as the truth.
// With a prior as wide as the truth, chances come true as often as said: within
// 3 % in each tenth.
func TestIntervalsHoldAndChancesAreCalibrated(t *testing.T) {
	if testing.Short() {
		t.Skip("a statement about thousands of draws")
	}
	rows := coverageRows()
	tallies := map[string]*tally{}
	for name := range rows {
		tallies[name] = new(tally)
	}
	t.Run("rows", func(t *testing.T) {
		for name, c := range rows {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				*tallies[name] = *c.simulated(t)
				near(t, "share of the intervals that hold", tallies[name].held/tallies[name].all, 0.95, 0.02)
			})
		}
	})
	var sum tally
	for name, c := range rows {
		if c.prior == 1 {
			sum.join(tallies[name])
		}
	}
	for k, b := range sum.bins {
		near(t, fmt.Sprintf("share of the chances from %d %% that came true", 50+10*k), b.true/b.n, b.said/b.n, 0.03)
	}
}
