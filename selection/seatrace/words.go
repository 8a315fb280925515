package seatrace

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"thole/rigging"
)

// comparison knows which athletes the pieces make comparable, and why not.
type comparison struct {
	ids     []string
	group   []int   // athletes with equal numbers can be compared
	members [][]int // by group
	alike   [][]int // by athlete: those in the same boat in every piece that counts
	met     []int   // equal numbers: linked by pieces rowed together
	counts  []bool  // by athlete: rowed in a piece that counts
	rank    int
	t       *table
	z       *mat.Dense
	model   Model
	sides   map[string]rigging.Side
}

// newComparison reads the groups off a solved design. Two athletes can be
// compared when their contrast lies in the row space.
func newComparison(t *table, d *design, s *solution, m Model, sides map[string]rigging.Side) *comparison {
	open := s.open()
	c := &comparison{ids: t.ids, rank: s.rank, t: t, z: d.z, model: m, sides: sides}
	c.group, c.members = partition(len(t.ids), func(i, j int) bool { return roughlyZero(pairForm(open, i, j)) })
	c.alike = c.readAlike()
	c.met = c.readMet()
	return c
}

// partition numbers the classes of an equivalence of n things.
func partition(n int, same func(i, j int) bool) (class []int, members [][]int) {
	class = make([]int, n)
	for i := range n {
		at := slices.IndexFunc(members, func(m []int) bool { return same(m[0], i) })
		if at < 0 {
			at, members = len(members), append(members, nil)
		}
		class[i], members[at] = at, append(members[at], i)
	}
	return class, members
}

// readAlike finds for each athlete those who were always in the same boat in
// the pieces that count, and marks who rowed in such one. A piece counts when
// two boats have a time; in the absolute view every piece does.
func (c *comparison) readAlike() [][]int {
	raced := c.t.raced()
	trace := make([][]int, len(c.ids)) // rows an athlete rowed in
	c.counts = make([]bool, len(c.ids))
	for k, r := range c.t.rows {
		for _, i := range r.crew {
			if c.model.Absolute || raced[r.piece] > 1 {
				trace[i] = append(trace[i], k)
				c.counts[i] = true
			}
		}
	}
	class, members := partition(len(c.ids), func(i, j int) bool { return slices.Equal(trace[i], trace[j]) })
	out := make([][]int, len(c.ids))
	for i := range out {
		out[i] = members[class[i]]
	}
	return out
}

// readMet numbers the sets of athletes linked by pieces rowed together; the
// absolute view links everybody.
func (c *comparison) readMet() []int {
	met := make([]int, len(c.ids))
	if c.model.Absolute {
		return met
	}
	for i := range met {
		met[i] = i
	}
	last := make([]int, c.t.pieces)
	for k := range last {
		last[k] = -1
	}
	for _, r := range c.t.rows {
		for _, i := range r.crew {
			if a := last[r.piece]; a >= 0 {
				relabel(met, met[i], met[a])
			}
			last[r.piece] = i
		}
	}
	return met
}

// relabel replaces one number by another.
func relabel(x []int, from, to int) {
	for k := range x {
		if x[k] == from {
			x[k] = to
		}
	}
}

// place returns the place of an athlete and panics for a stranger.
func (c *comparison) place(id string) int {
	i, ok := slices.BinarySearch(c.ids, id)
	if !ok {
		panic("seatrace: no piece was rowed by " + id)
	}
	return i
}

// same reports whether the pieces make two athletes comparable.
func (c *comparison) same(i, j int) bool { return c.group[i] == c.group[j] }

// company reports whether an athlete can be compared with anybody.
func (c *comparison) company(i int) bool { return len(c.members[c.group[i]]) > 1 }

// names lists athletes by name.
func (c *comparison) names(set []int) string {
	out := make([]string, len(set))
	for k, i := range set {
		out[k] = c.ids[i]
	}
	return nameList(out)
}

// why reports why two athletes of different groups cannot be compared.
func (c *comparison) why(i, j int) string {
	for _, k := range []int{i, j} {
		if !c.counts[k] {
			return c.ids[k] + " rowed in no piece in which two boats have a time"
		}
	}
	if slices.Contains(c.alike[i], j) {
		return c.names(c.alike[i]) + " were always in the same boat"
	}
	if c.met[i] != c.met[j] {
		return fmt.Sprintf("%s never raced in the same pieces as %s", c.names(c.linked(i)), c.names(c.linked(j)))
	}
	if (len(c.alike[i]) > 1 || len(c.alike[j]) > 1) && !c.sharedBoat(i, j) {
		return fmt.Sprintf("%s never mixed with %s", c.names(c.alike[i]), c.names(c.alike[j]))
	}
	for _, set := range [][]int{c.members[c.group[i]], c.members[c.group[j]], c.onSide(i), c.onSide(j)} {
		if slices.Contains(set, i) != slices.Contains(set, j) && c.untouched(set) {
			return c.whyUntouched(set)
		}
	}
	return c.tooFew()
}

// sharedBoat reports whether two athletes ever rowed in one boat.
func (c *comparison) sharedBoat(i, j int) bool {
	return slices.ContainsFunc(c.t.rows, func(r row) bool {
		return slices.Contains(r.crew, i) && slices.Contains(r.crew, j)
	})
}

// linked returns the athletes linked to i by pieces rowed together.
func (c *comparison) linked(i int) []int {
	var out []int
	for k, m := range c.met {
		if m == c.met[i] {
			out = append(out, k)
		}
	}
	return out
}

// onSide returns the athletes who row the side of athlete i, if it is known.
func (c *comparison) onSide(i int) []int {
	var out []int
	for k, id := range c.ids {
		if side, ok := c.sides[id]; ok && side == c.sides[c.ids[i]] {
			out = append(out, k)
		}
	}
	return out
}

// untouched reports whether the pieces say nothing about how a set of
// athletes as a whole compares with the others.
func (c *comparison) untouched(set []int) bool {
	n, _ := c.z.Dims()
	total := 0.0
	for r := range n {
		part := 0.0
		for _, i := range set {
			part += c.z.At(r, i)
		}
		total += part * part
	}
	return roughlyZero(total)
}

// whyUntouched words the reason of untouched.
func (c *comparison) whyUntouched(set []int) string {
	name, rest := c.setName(set), c.setName(c.others(set))
	if c.evenSplit(set) {
		return fmt.Sprintf("the boats of a piece always had the same number of %s, so that they cannot be compared with %s", name, rest)
	}
	return fmt.Sprintf("%s stayed in the same boats, so that they cannot be separated from the hulls", name)
}

// others returns the athletes who are not in a set.
func (c *comparison) others(set []int) []int {
	var out []int
	for i := range c.ids {
		if !slices.Contains(set, i) {
			out = append(out, i)
		}
	}
	return out
}

// setName names a set by its side, if it has one, and its members.
func (c *comparison) setName(set []int) string {
	side := rigging.Side(0)
	for k, i := range set {
		s := c.sides[c.ids[i]]
		if k > 0 && s != side {
			s = 0
		}
		if side = s; s == 0 {
			break
		}
	}
	if side == 0 {
		return c.names(set)
	}
	return fmt.Sprintf("the %s rowers (%s)", side, c.names(set))
}

// evenSplit reports whether the boats of each piece, or of all pieces in the
// absolute view, held equally many of a set.
func (c *comparison) evenSplit(set []int) bool {
	held := map[int]int{}
	for _, r := range c.t.rows {
		n := 0
		for _, i := range r.crew {
			if slices.Contains(set, i) {
				n++
			}
		}
		block := r.piece
		if c.model.Absolute {
			block = 0
		}
		if before, ok := held[block]; ok && before != n {
			return false
		}
		held[block] = n
	}
	return true
}

// tooFew words the lack of different crews.
func (c *comparison) tooFew() string {
	return fmt.Sprintf("too few different crews: they settle %d of the %d independent differences between %d athletes", c.rank, len(c.ids)-1, len(c.ids))
}

// sentences says for every two groups why they cannot be compared, each
// reason once.
func (c *comparison) sentences() []string {
	var out []string
	for g, a := range c.members {
		for _, b := range c.members[g+1:] {
			if text := c.why(a[0], b[0]); !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
	}
	return out
}
