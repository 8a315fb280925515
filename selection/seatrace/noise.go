package seatrace

import "math"

// TypicalNoise is the within-boat variation of race times, as a share of the
// time: 0.9 % in elite crews (T. B. Smith and W. G. Hopkins, "Variability and
// predictability of finals times of elite rowers", Medicine & Science in
// Sports & Exercise 43:2155, 2011). It was found between races; margins of
// boats that race side by side may well vary less.
const TypicalNoise = 0.009

// TypicalVenue is how much venue and weather move race times, as a share of
// the time: about 3 % (Smith & Hopkins 2011, as TypicalNoise). It counts where times are compared as
// they stand.
const TypicalVenue = 0.03

// noiseDoubt is the standard deviation of the logarithm of the noise before
// the pieces are seen: a factor of 1.5 either way, so that a handful of
// residuals outweighs the documented value. A judgement of ours, made on
// simulated trials.
const noiseDoubt = 0.4

// What is held of the factor on the standard deviations of a prior before the
// pieces are seen. Those who state a spread may be off by two either way, and
// chances err both ways: spreadBelief stands about 1. An interval that is too
// short does more harm than one too long, and people state ranges too narrow
// more often than too wide (M. Alpert and H. Raiffa, "A progress report on the
// training of probability assessors", 1982, from memory): spreadGuard, by which
// intervals are read, stands about 2.5. The widths are judgements of ours, made on
// simulated trials. Nodes are laid out by spreadBoth, which reaches over both.
var (
	spreadBelief = belief{mean: 0, sd: 0.7}
	spreadGuard  = belief{mean: math.Log(2.5), sd: 0.9}
	spreadBoth   = belief{mean: math.Log(2.5) / 2, sd: 0.9}
)

// NoiseSource names where the standard deviation of the noise comes from.
type NoiseSource string

// The sources of the noise.
const (
	NoiseEstimated NoiseSource = "estimated" // from the residuals and the documented scatter
	NoiseStated    NoiseSource = "stated"    // by Options.NoiseSD
	NoiseAssumed   NoiseSource = "assumed"   // the documented scatter alone, for want of residuals
)

// Noise is the scatter of one boat's times; a margin between two boats
// scatters √2 times as much.
//
// It is judged from the residuals together with the documented scatter of race times
// ([TypicalNoise], in the absolute view also [TypicalVenue]), which counts little
// beside a handful of residuals. Intervals and chances average over all noises that
// remain; when the noise is stated instead they are normal. With a prior the pieces
// also judge how far its standard deviations hold: a common factor on them is one more
// unknown that effects, intervals and chances average over.
type Noise struct {
	// SD is the root mean square of what the scatter may be, s: the
	// documented scatter before the pieces, and theirs after many.
	SD float64
	// Residual is the standard deviation of the residuals by themselves, s;
	// 0 without degrees of freedom.
	Residual float64
	DF       int // degrees of freedom of the residuals
	Source   NoiseSource
}

// documented returns the scatter that the model's times are known to have, as
// a share of the time.
func (m Model) documented() float64 {
	if m.Absolute {
		return math.Hypot(TypicalNoise, TypicalVenue)
	}
	return TypicalNoise
}

// noiseBelief returns what is held of the noise before the pieces are seen.
func (o *Options) noiseBelief(time float64) belief {
	if o.NoiseSD > 0 {
		return known(o.NoiseSD)
	}
	return about(o.Model.documented()*time, noiseDoubt)
}

// judgeNoise finds the scatter of a boat's time from df residuals of the sum
// of squares rss, in s², together with what is held of it; and the values it
// may have.
func (o *Options) judgeNoise(time, rss float64, df int) (Noise, []node) {
	q := scales{df: df, rss: rss, noise: o.noiseBelief(time)}
	nodes := q.nodes()
	n := Noise{DF: df, Source: NoiseEstimated, SD: math.Sqrt(meanOf(nodes, func(k int) float64 { return nodes[k].noise * nodes[k].noise }))}
	if df > 0 {
		n.Residual = math.Sqrt(rss / float64(df))
	}
	switch {
	case o.NoiseSD > 0:
		n.Source = NoiseStated
	case df < 1:
		n.Source = NoiseAssumed
	}
	return n, nodes
}

// meanOf returns the mean of a value over nodes.
func meanOf(nodes []node, value func(k int) float64) float64 {
	sum := 0.0
	for k := range nodes {
		sum += nodes[k].weight * value(k)
	}
	return sum
}

// scatterLaw is the distribution of an error in standard deviations when the
// noise may be that of any node: normal for one.
func (n Noise) scatterLaw(nodes []node) *mixture {
	m := &mixture{mean: make([]float64, len(nodes))}
	for _, at := range nodes {
		m.weight, m.guard, m.sd = append(m.weight, at.weight), append(m.guard, at.guard), append(m.sd, at.noise/n.SD)
	}
	return m
}
