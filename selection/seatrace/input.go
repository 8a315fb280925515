package seatrace

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"thole/rigging"
	"thole/selection"
)

// Speeds that a rowing boat keeps over a piece, in m/s; beyond them a time or
// the distance is mistyped (common practice: novices paddle above 1.5 m/s, and
// the best eights stay below 6.5 m/s in still water).
const slowest, fastest = 1.5, 7.5

// row is one boat in one piece that has a time.
type row struct {
	piece, boat int
	crew        []int
	time        float64 // s
}

// table holds pieces that were read and found sound.
type table struct {
	ids    []string // sorted
	index  map[string]int
	pieces int
	rows   []row
	size   int // rowers in a boat
}

// reader gathers problems while it reads pieces.
type reader struct {
	errs rigging.FieldErrors
	size int // rowers in a boat; 0 takes the most frequent number
}

// fault notes a problem of one boat; boat -1 stands for the whole piece.
func (rd *reader) fault(piece, boat int, field rigging.Field, kind rigging.Problem, format string, args ...any) {
	at, where := rigging.PlaceOf(selection.FieldPieces).Item(piece).Then(field), fmt.Sprintf("piece %d", piece+1)
	if boat >= 0 {
		at = at.Item(boat)
		where += fmt.Sprintf(", boat %d", boat+1)
	}
	rd.errs = append(rd.errs, selection.ErrorAt(at, kind, "%s: %s", where, fmt.Sprintf(format, args...)))
}

// readCrews checks the crews of the pieces and returns the sorted athletes.
func (rd *reader) readCrews(pieces []selection.Piece) []string {
	if len(pieces) == 0 {
		rd.errs = append(rd.errs, selection.ErrorAt(rigging.PlaceOf(selection.FieldPieces), rigging.ProblemMissing, "no piece is given"))
	}
	if rd.size == 0 {
		rd.size = usualSize(pieces)
	}
	seen := map[string]bool{}
	for r, p := range pieces {
		rd.readPiece(r, p, seen)
	}
	ids := make([]string, 0, len(seen))
	for id := range seen {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	return ids
}

// readPiece checks the crews of one piece and adds its athletes to seen.
func (rd *reader) readPiece(r int, p selection.Piece, seen map[string]bool) {
	if len(p.Crews) == 0 {
		rd.fault(r, -1, selection.FieldCrews, rigging.ProblemMissing, "no boat is given")
	}
	boatOf := map[string]int{}
	for b, crew := range p.Crews {
		switch {
		case len(crew) == 0:
			rd.fault(r, b, selection.FieldCrews, rigging.ProblemMissing, "no rower is given")
		case len(crew) != rd.size:
			rd.fault(r, b, selection.FieldCrews, rigging.ProblemMismatch, "the crew has %d rowers instead of %d", len(crew), rd.size)
		}
		for _, id := range crew {
			rd.readRower(r, b, id, boatOf)
			seen[id] = true
		}
	}
}

// readRower checks one name of a crew against those before it.
func (rd *reader) readRower(r, b int, id string, boatOf map[string]int) {
	other, again := boatOf[id]
	boatOf[id] = b
	switch {
	case strings.TrimSpace(id) == "":
		rd.fault(r, b, selection.FieldCrews, rigging.ProblemMissing, "a rower has no name")
	case again && other == b:
		rd.fault(r, b, selection.FieldCrews, rigging.ProblemMismatch, "%s is named twice", id)
	case again:
		rd.fault(r, b, selection.FieldCrews, rigging.ProblemMismatch, "%s rows in boat %d as well", id, other+1)
	}
}

// usualSize returns the most frequent crew size, the larger of equals.
func usualSize(pieces []selection.Piece) int {
	count := map[int]int{}
	for _, p := range pieces {
		for _, crew := range p.Crews {
			count[len(crew)]++
		}
	}
	best := 0
	for size, n := range count {
		if n > count[best] || n == count[best] && size > best {
			best = size
		}
	}
	return best
}

// timed reports whether t is the time of a boat that finished; a boat that
// stopped has the time 0 or not-a-number.
func timed(t float64) bool { return t > 0 && !math.IsInf(t, 1) }

// readTimes checks the times of the pieces over a distance in m.
func (rd *reader) readTimes(pieces []selection.Piece, distance float64) {
	all := allTimes(pieces)
	for r, p := range pieces {
		if len(p.Times) != len(p.Crews) {
			rd.fault(r, -1, selection.FieldTimes, rigging.ProblemMissing, "there are %d times for %d boats; give 0 for a boat that did not finish", len(p.Times), len(p.Crews))
			continue
		}
		for b, t := range p.Times {
			rd.readTime(r, b, t, distance, all)
		}
	}
}

// readTime checks one time, in s, against the distance and all other times.
func (rd *reader) readTime(r, b int, t, distance float64, all []float64) {
	switch {
	case t < 0 || math.IsInf(t, 0):
		rd.fault(r, b, selection.FieldTimes, rigging.ProblemRange, "the time is not a positive number of seconds")
	case !timed(t):
	case missedColon(t, all):
		rd.fault(r, b, selection.FieldTimes, rigging.ProblemMismatch, "%g s stands far from the other times: is it %s typed without the colon, which is %g s?", t, withColon(t), colonless(t))
	case distance/t < slowest:
		rd.fault(r, b, selection.FieldTimes, rigging.ProblemRange, "%g m in %g s is %.1f m/s, slower than any boat rows: was the watch not stopped? Check the time and the distance", distance, t, distance/t)
	case distance/t > fastest:
		rd.fault(r, b, selection.FieldTimes, rigging.ProblemRange, "%g m in %g s is %.1f m/s, which no boat rows: check the time and the distance", distance, t, distance/t)
	}
}

// allTimes returns the times of all boats that finished, sorted.
func allTimes(pieces []selection.Piece) []float64 {
	var all []float64
	for _, p := range pieces {
		for _, t := range p.Times {
			if timed(t) {
				all = append(all, t)
			}
		}
	}
	slices.Sort(all)
	return all
}

// colonless reads 302 as 3:02 and returns its seconds, or 0 when the digits
// cannot be minutes and seconds.
func colonless(t float64) float64 {
	minutes := math.Floor(t / 100)
	seconds := t - 100*minutes
	if minutes < 1 || seconds >= 60 {
		return 0
	}
	return 60*minutes + seconds
}

// withColon writes 302 as 3:02 and 302.5 as 3:02.5.
func withColon(t float64) string {
	minutes := math.Floor(t / 100)
	tenths := math.Round((t - 100*minutes) * 10)
	text := fmt.Sprintf("%.0f:%02.0f", minutes, math.Floor(tenths/10))
	if rest := math.Mod(tenths, 10); rest > 0 {
		text += fmt.Sprintf(".%.0f", rest)
	}
	return text
}

// missedColon reports whether t, read as minutes and seconds, falls within
// 10 % of the median of the other times while t itself is more than 25 % off; both
// shares are our judgement: crews of one trial are rarely further apart.
func missedColon(t float64, sorted []float64) bool {
	at, _ := slices.BinarySearch(sorted, t)
	others := slices.Delete(slices.Clone(sorted), at, at+1)
	if len(others) == 0 {
		return false
	}
	typical := others[(len(others)-1)/2]
	near := func(x, share float64) bool { return math.Abs(x-typical) < share*typical }
	return near(colonless(t), 0.10) && !near(t, 0.25)
}

// readRaces checks pieces with times and lays them out; boats without a time
// are left out.
func readRaces(pieces []selection.Piece, distance float64) (*table, rigging.FieldErrors) {
	var rd reader
	ids := rd.readCrews(pieces)
	rd.readTimes(pieces, distance)
	if rd.errs != nil {
		return nil, rd.errs
	}
	return newTable(pieces, ids, rd.size), nil
}

// newTable lays out sound pieces. Pieces without times, as in a schedule, get
// the time 1 for every boat.
func newTable(pieces []selection.Piece, ids []string, size int) *table {
	t := &table{ids: ids, index: map[string]int{}, pieces: len(pieces), size: size}
	for i, id := range ids {
		t.index[id] = i
	}
	for r, p := range pieces {
		for b, crew := range p.Crews {
			time := 1.0
			if p.Times != nil {
				time = p.Times[b]
			}
			if timed(time) {
				t.rows = append(t.rows, row{r, b, t.places(crew), time})
			}
		}
	}
	return t
}

// places returns the indices of a crew.
func (t *table) places(crew []string) []int {
	out := make([]int, len(crew))
	for k, id := range crew {
		out[k] = t.index[id]
	}
	return out
}

// raced returns for each piece how many boats have a time.
func (t *table) raced() []int {
	n := make([]int, t.pieces)
	for _, r := range t.rows {
		n[r.piece]++
	}
	return n
}
