package seatrace

import (
	"slices"
	"testing"

	"thole/rigging"
	"thole/selection"
)

// reasons judges crews that all finish level and returns what stays open.
func reasons(t *testing.T, pieces []selection.Piece, o Options) []string {
	t.Helper()
	return estimate(t, world{base: 190}.race(pieces, nil), o).NotEstimable
}

// wantReasons fails unless the reasons are these.
func wantReasons(t *testing.T, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("reasons are\n%q, want\n%q", got, want)
	}
}

func TestWordsForCrewsThatNeverMixed(t *testing.T) {
	got := reasons(t, schedule("AABB", "AABB", "BBAA"), Options{})
	wantReasons(t, got, "a and b were always in the same boat", "a and b never mixed with c and d", "c and d were always in the same boat")
}

func TestWordsForSidesInEveryBoat(t *testing.T) {
	sides := map[string]rigging.Side{"a": rigging.Port, "b": rigging.Port, "c": rigging.Starboard, "d": rigging.Starboard}
	pieces := schedule("ABAB", "ABBA", "BABA")
	got := reasons(t, pieces, Options{Sides: sides})
	wantReasons(t, got, "the boats of a piece always had the same number of the port rowers (a and b), so that they cannot be compared with the starboard rowers (c and d)")
	got = reasons(t, pieces, Options{})
	wantReasons(t, got, "the boats of a piece always had the same number of a and b, so that they cannot be compared with c and d")
}

func TestWordsForSidesWithinWhichMuchIsOpen(t *testing.T) {
	sides := map[string]rigging.Side{}
	for i, id := range letters(8) {
		sides[id] = rigging.Port
		if i > 3 {
			sides[id] = rigging.Starboard
		}
	}
	r := estimate(t, world{base: 190}.race(schedule("AABBAABB", "ABABAABB"), nil), Options{Sides: sides})
	if d := r.Racing.Difference("b", "c"); !d.Estimable {
		t.Error("b and c changed places and are not comparable:", d.Why)
	}
	d := r.Racing.Difference("b", "e")
	if !containsAll(d.Why, []string{"the same number of the port rowers (b and c)"}) {
		t.Errorf("b against e: %q", d.Why)
	}
	r = estimate(t, world{base: 190}.race(schedule("AABBAABB", "AABBBBAA", "ABABABAB"), nil), Options{Sides: sides})
	if d := r.Racing.Difference("a", "e"); !containsAll(d.Why, []string{"the port rowers (a, b, c and d)", "the starboard rowers (e, f, g and h)"}) {
		t.Errorf("a against e: %q", d.Why)
	}
	if d.Seconds != 0 || d.SD != 0 || d.ChanceFirstFaster != 0.5 {
		t.Errorf("invented numbers: %+v", d)
	}
}

func TestWordsForSquadsThatNeverMet(t *testing.T) {
	pieces := []selection.Piece{
		{Crews: [][]string{{"a"}, {"b"}}},
		{Crews: [][]string{{"c"}, {"d"}}},
	}
	wantReasons(t, reasons(t, pieces, Options{}), "a and b never raced in the same pieces as c and d")
}

func TestWordsForHulls(t *testing.T) {
	pieces := []selection.Piece{{Crews: [][]string{{"a"}, {"b"}}}, {Crews: [][]string{{"a"}, {"c"}}}}
	wantReasons(t, reasons(t, pieces, Options{Model: Model{Hulls: true}}), "a stayed in the same boats, so that they cannot be separated from the hulls")
}

func TestWordsForTooFewCrews(t *testing.T) {
	got := reasons(t, schedule("AAAABBBB", "AABBAABB", "ABABABAB"), Options{})
	wantReasons(t, got, "too few different crews: they settle 3 of the 7 independent differences between 8 athletes")
}

func TestWordsForOnePiece(t *testing.T) {
	r := estimate(t, world{base: 190, noise: 1}.race(schedule("AABB"), seeded(1)), Options{})
	wantReasons(t, r.NotEstimable, "a and b were always in the same boat", "a and b never mixed with c and d", "c and d were always in the same boat")
	for _, e := range r.Racing.Effects {
		if e.Estimable || e.Seconds != 0 {
			t.Errorf("one piece gave %+v", e)
		}
	}
}

func TestWordsForAnAthleteWithoutAMargin(t *testing.T) {
	pieces := []selection.Piece{
		{Crews: [][]string{{"a"}, {"b"}}, Times: []float64{200, 201}},
		{Crews: [][]string{{"a"}, {"c"}}, Times: []float64{200, 0}},
		{Crews: [][]string{{"c"}, {"b"}}, Times: []float64{200, 0}},
	}
	wantReasons(t, estimate(t, pieces, Options{}).NotEstimable, "c rowed in no piece in which two boats have a time")
}

func TestGroupsAreComparable(t *testing.T) {
	r := estimate(t, world{base: 190}.race(schedule("ABAB", "ABBA", "BABA"), nil), Options{})
	var groups []int
	for _, e := range r.Racing.Effects {
		groups = append(groups, e.Group)
	}
	if !slices.Equal(groups, []int{0, 0, 1, 1}) {
		t.Errorf("groups %v", groups)
	}
}
