package seatrace

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"thole/selection"
)

// duel is a race of singles that the first wins.
func duel(winner, loser string) selection.Piece {
	return selection.Piece{Crews: [][]string{{winner}, {loser}}, Times: []float64{200, 201}}
}

// judgeWins judges pieces that must be sound.
func judgeWins(t *testing.T, pieces []selection.Piece, o Options) *Wins {
	t.Helper()
	o.Distance = 1000
	w, err := EstimateWins(pieces, o)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// Three wins to one: log odds ln 3, variance 1/3 + 1/1.
func TestWinsByHand(t *testing.T) {
	w := judgeWins(t, []selection.Piece{duel("a", "b"), duel("a", "b"), duel("a", "b"), duel("b", "a")}, Options{})
	d := w.Difference("a", "b")
	near(t, "log odds", d.LogOdds, math.Log(3), 1e-9)
	near(t, "standard deviation", d.SD, math.Sqrt(1.0/3+1), 1e-9)
	near(t, "log likelihood", w.LogLikelihood, 3*math.Log(0.75)+math.Log(0.25), 1e-12)
	near(t, "strength", w.Strengths[0].LogOdds, math.Log(3)/2, 1e-9)
	near(t, "strength's standard deviation", w.Strengths[0].SD, math.Sqrt(1.0/3+1)/2, 1e-9)
}

func TestDeadHeatIsHalfAWin(t *testing.T) {
	tie := duel("a", "b")
	tie.Times = []float64{200, 200}
	d := judgeWins(t, []selection.Piece{tie, tie, duel("a", "b"), duel("a", "b")}, Options{}).Difference("a", "b")
	near(t, "log odds", d.LogOdds, math.Log(3), 1e-9)
}

// Three boats once in each of the orders abc, acb, bac: by hand, with odds
// proportional to A, B, C the likelihood is (A/S)² (B/S) (B/(B+C)) (C/(B+C))
// (A/(A+C)); its maximum was checked by search over a grid.
func TestOrderOfThreeBoats(t *testing.T) {
	race := func(a, b, c float64) selection.Piece {
		return selection.Piece{Crews: [][]string{{"a"}, {"b"}, {"c"}}, Times: []float64{a, b, c}}
	}
	pieces := []selection.Piece{race(1, 2, 3), race(1, 3, 2), race(2, 1, 3), race(3, 2, 1)}
	for k := range pieces {
		for b := range pieces[k].Times {
			pieces[k].Times[b] += 199
		}
	}
	w := judgeWins(t, pieces, Options{})
	value := func(a, b, c float64) float64 {
		s := a + b + c
		return math.Log(a/s*b/(b+c)) + math.Log(a/s*c/(b+c)) + math.Log(b/s*a/(a+c)) + math.Log(c/s*b/(a+b))
	}
	at := func(i int) float64 { return math.Exp(w.Strengths[i].LogOdds) }
	near(t, "log likelihood", w.LogLikelihood, value(at(0), at(1), at(2)), 1e-12)
	for _, step := range [][3]float64{{1.01, 1, 1}, {1 / 1.01, 1, 1}, {1, 1.01, 1}, {1, 1 / 1.01, 1}, {1, 1, 1.01}, {1.01, 1 / 1.01, 1}} {
		if value(at(0)*step[0], at(1)*step[1], at(2)*step[2]) > w.LogLikelihood {
			t.Errorf("the likelihood rises along %v", step)
		}
	}
}

// Slope and curvature of the likelihood against finite differences.
func TestSlopeOfTheLikelihood(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		pieces, _ := drawPieces(rt)
		tab, errs := readRaces(pieces, 1000)
		if errs != nil {
			rt.Fatal(errs)
		}
		x, stages := crewMatrix(tab), stagesOf(tab)
		_, p := x.Dims()
		at := mat.NewVecDense(p, nil)
		for i := range p {
			at.SetVec(i, rapid.Float64Range(-1, 1).Draw(rt, "strength"))
		}
		_, slope, bend := likelihood(x, stages, at)
		const h = 1e-5
		for i := range p {
			value := func(step float64) (float64, *mat.VecDense) {
				moved := mat.VecDenseCopyOf(at)
				moved.SetVec(i, moved.AtVec(i)+step)
				v, s, _ := likelihood(x, stages, moved)
				return v, s
			}
			up, slopeUp := value(h)
			down, slopeDown := value(-h)
			agree(rt, "slope", slope.AtVec(i), (up-down)/(2*h), 1e-6)
			for j := range p {
				agree(rt, "curvature", bend.At(i, j), -(slopeUp.AtVec(j)-slopeDown.AtVec(j))/(2*h), 1e-6)
			}
		}
	})
}

func TestWinsWithoutBoundAreRefused(t *testing.T) {
	_, err := EstimateWins([]selection.Piece{duel("a", "b"), duel("a", "b")}, Options{Distance: 1000})
	if err == nil || !containsAll(err.Error(), []string{"no bound"}) {
		t.Errorf("error %v", err)
	}
	// c beats all others, who are bounded among themselves
	_, err = EstimateWins([]selection.Piece{duel("a", "b"), duel("b", "a"), duel("c", "a"), duel("c", "b")}, Options{Distance: 1000})
	if err == nil {
		t.Error("unbounded strength of c was judged")
	}
}

func TestWinsSayWhatTheyLeaveOpen(t *testing.T) {
	w := judgeWins(t, []selection.Piece{duel("a", "b"), duel("b", "a"), duel("c", "d"), duel("d", "c")}, Options{})
	d := w.Difference("a", "c")
	if d.Estimable || d.LogOdds != 0 || d.ChanceFirstFaster != 0.5 || d.Why == "" {
		t.Errorf("a against c: %+v", d)
	}
	if len(w.NotEstimable) != 1 || w.Rank != 2 {
		t.Errorf("rank %d, reasons %q", w.Rank, w.NotEstimable)
	}
}

func TestWinsOfBoatsWithoutARival(t *testing.T) {
	w := judgeWins(t, []selection.Piece{{Crews: [][]string{{"a"}, {"b"}}, Times: []float64{200, 0}}}, Options{})
	if w.Strengths[0].Estimable || w.Rank != 0 {
		t.Errorf("one time gave %+v", w)
	}
}
