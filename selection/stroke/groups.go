package stroke

import "math"

// RateGroup is the strokes of an oar that were rowed at about one rate. A mean
// over strokes of 18 and of 38 a minute is that of a stroke nobody rowed.
//
// The rule: strokes are sorted into bins of one stroke a minute, those of all
// oars together, and the bins are cut into the fewest groups of neighbours in
// which the rate spreads by a standard deviation of no more than one stroke a
// minute, at most [MaxRateGroups]; of all ways to cut into so many the one of
// least spread (W. D. Fisher, Journal of the American Statistical Association
// 53:789, 1958). The bound is a judgement of this package: at a steady rate a
// crew's strokes differ by half of it.
type RateGroup struct {
	// Low and High are the bounds, Hz: a stroke belongs to the group when Low
	// ≤ rate < High.
	Low, High float64
	Count     int
	Features  [FeatureCount]Summary
	Curve     Curve
}

// MaxRateGroups is how many rates are told apart at most: no more fit a table that is
// read; our judgement.
const MaxRateGroups = 8

// Holds reports whether a stroke belongs to the group.
func (g *RateGroup) Holds(s *Stroke) bool {
	rate, _ := s.Value(Rate)
	bin := float64(binOf(rate))
	return bin >= math.Round(g.Low*60) && bin < math.Round(g.High*60)
}

// How rates are gathered into groups; engineering judgement: crews keep a rate to
// about one stroke a minute.
const (
	rateBins   = 80       // strokes a minute, beyond any that counts
	rateSpread = 1.0 / 60 // Hz, the standard deviation in a group
)

func binOf(rate float64) int { return min(max(int(rate*60), 0), rateBins-1) }

// bin gathers the strokes of one rate.
type bin struct {
	features [FeatureCount]moments
	curves   gather
}

func (b *bin) merge(o *bin) {
	for f := range b.features {
		b.features[f].merge(&o.features[f])
	}
	b.curves.merge(&o.curves)
}

// merge adds what another one has gathered (T. F. Chan, G. H. Golub and R. J.
// LeVeque, The American Statistician 37:242, 1983).
func (m *moments) merge(o *moments) {
	if o.n == 0 {
		return
	}
	n, d := m.n+o.n, o.mean-m.mean
	m.sumSq += o.sumSq + d*d*m.n*o.n/n
	m.mean += d * o.n / n
	m.n = n
}

func (g *gather) merge(o *gather) {
	for i := range Nodes {
		g.byAngle[i].merge(&o.byAngle[i])
		g.byTime[i].merge(&o.byTime[i])
	}
}

// span returns what the bins from low up to high hold together.
func (w *oarWork) span(low, high int) *bin {
	all := &bin{}
	for _, b := range w.bins[low:high] {
		if b != nil {
			all.merge(b)
		}
	}
	return all
}

func (b *bin) summaries() (s [FeatureCount]Summary) {
	for f := range s {
		s[f] = b.features[f].summary()
	}
	return s
}

// groups returns the strokes of an oar by the bounds of the groups.
func (w *oarWork) groups(bounds []int) []RateGroup {
	var out []RateGroup
	for k := 1; k < len(bounds); k++ {
		b := w.span(bounds[k-1], bounds[k])
		if n := int(b.features[Rate].n); n > 0 {
			out = append(out, RateGroup{float64(bounds[k-1]) / 60, float64(bounds[k]) / 60, n, b.summaries(), b.curves.curve()})
		}
	}
	return out
}

// rateBounds cuts the bins of all oars into groups; the bounds are where they
// begin and, the last, where they end. It is empty when there are no strokes.
func (a *analysis) rateBounds() []int {
	var bins []int
	var rates []moments
	for i := range rateBins {
		var m moments
		for _, w := range a.oars {
			if w.bins[i] != nil {
				m.merge(&w.bins[i].features[Rate])
			}
		}
		if m.n > 0 {
			bins, rates = append(bins, i), append(rates, m)
		}
	}
	if len(bins) == 0 {
		return nil
	}
	var bounds []int
	for _, first := range cutRates(rates) {
		bounds = append(bounds, bins[first])
	}
	return append(bounds, bins[len(bins)-1]+1)
}

// cutRates returns the first bin of each group.
func cutRates(rates []moments) []int {
	var total moments
	for i := range rates {
		total.merge(&rates[i])
	}
	p := newPartition(rates)
	for groups := 1; ; groups++ {
		if sd := math.Sqrt(p.spread(groups) / total.n); sd <= rateSpread || groups == min(MaxRateGroups, len(rates)) {
			return p.firsts(groups)
		}
	}
}

// partition finds the cuts of least spread by dynamic programming.
type partition struct {
	cost [][]float64 // cost[i][j]: the sum of squares of bins i to j
	best [][]float64 // best[k][j]: the least sum of the bins up to j in k+1 groups
	from [][]int     // the first bin of the last of them
}

func newPartition(rates []moments) *partition {
	p := &partition{cost: make([][]float64, len(rates))}
	for i := range rates {
		var m moments
		p.cost[i] = make([]float64, len(rates))
		for j := i; j < len(rates); j++ {
			m.merge(&rates[j])
			p.cost[i][j] = m.sumSq
		}
	}
	return p
}

// spread returns the least sum of squares of so many groups; they have to be
// asked for in turn.
func (p *partition) spread(groups int) float64 {
	n := len(p.cost)
	best, from := make([]float64, n), make([]int, n)
	for j := range n {
		best[j] = math.Inf(1)
		for i := groups - 1; i <= j; i++ {
			sum := p.cost[i][j]
			if groups > 1 {
				sum += p.best[groups-2][i-1]
			} else if i > 0 {
				break
			}
			if sum < best[j] {
				best[j], from[j] = sum, i
			}
		}
	}
	p.best, p.from = append(p.best, best), append(p.from, from)
	return best[n-1]
}

// firsts returns the first bin of each group of the partition into so many.
func (p *partition) firsts(groups int) []int {
	out := make([]int, groups)
	end := len(p.cost) - 1
	for k := groups - 1; k >= 0; k-- {
		out[k] = p.from[k][end]
		end = out[k] - 1
	}
	return out
}
