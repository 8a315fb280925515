package stroke

import "math"

// Block is a run of cleaned samples of one oar in SI units and the signs of
// this package, times strictly ascending. Vertical and Speed are nil where
// they were not measured. The slices hold only during the call that hands
// them over.
type Block struct {
	Time     []float64 // s
	Angle    []float64 // rad
	Force    []float64 // N at the mapped site
	Vertical []float64 // rad
	Speed    []float64 // m/s
}

// track is the stretch of samples an oar's strokes are cut from.
type track struct{ t, angle, force, vertical, speed []float64 }

func (k *track) len() int { return len(k.t) }

func (k *track) columns() [5]*[]float64 {
	return [5]*[]float64{&k.t, &k.angle, &k.force, &k.vertical, &k.speed}
}

func (k *track) append(s sample) {
	k.t = append(k.t, s.t)
	k.angle = append(k.angle, s.angle)
	k.force = append(k.force, s.force)
	k.vertical = append(k.vertical, s.vertical)
	k.speed = append(k.speed, s.speed)
}

// drop forgets the first n samples.
func (k *track) drop(n int) {
	for _, c := range k.columns() {
		*c = append((*c)[:0], (*c)[n:]...)
	}
}

// cutLast forgets the last sample.
func (k *track) cutLast() {
	for _, c := range k.columns() {
		*c = (*c)[:len(*c)-1]
	}
}

// blocks hands the first n samples over, in runs within which vertical and
// speed are known throughout or not at all.
func (k *track) blocks(n int, give func(Block)) {
	known := func(i int) [2]bool { return [2]bool{!math.IsNaN(k.vertical[i]), !math.IsNaN(k.speed[i])} }
	for from := 0; from < n; {
		to := from + 1
		for to < n && known(to) == known(from) {
			to++
		}
		give(k.block(from, to, known(from)))
		from = to
	}
}

func (k *track) block(from, to int, known [2]bool) Block {
	b := Block{Time: k.t[from:to], Angle: k.angle[from:to], Force: k.force[from:to]}
	if known[0] {
		b.Vertical = k.vertical[from:to]
	}
	if known[1] {
		b.Speed = k.speed[from:to]
	}
	return b
}
