package seatrace

import (
	"strings"
	"testing"

	"thole/api/schedule"
	"thole/api/seatrace"
)

// TestEquallyGoodIsOpenWithEveryOther of the group, not with the neighbour alone; who
// stands by himself is in none.
func TestEquallyGoodIsOpenWithEveryOther(t *testing.T) {
	p := &racePage{Race: seatrace.Race{BoatClass: "4x"}, Judged: &judgedView{}}
	for i, id := range []string{"Ann", "Bea", "Cat", "Dot", "Eva"} {
		p.Judged.Judgement.Estimate.Effects = append(p.Judged.Judgement.Estimate.Effects, schedule.SeatRaceEffect{ID: id, EffectS: -float64(i)})
		p.Race.Athletes = append(p.Race.Athletes, seatrace.RaceAthlete{Name: id, Label: id})
	}
	open := map[[2]string]bool{}
	for _, pair := range []string{"Ann Bea", "Bea Cat", "Cat Dot"} {
		first, second, _ := strings.Cut(pair, " ")
		open[[2]string{first, second}], open[[2]string{second, first}] = true, true
	}
	is(t, "groups", strings.Join(p.equals(open), "; "), "Ann and Bea; Cat and Dot")
	open[[2]string{"Ann", "Cat"}] = true
	is(t, "three", strings.Join(p.equals(open), "; "), "Ann, Bea and Cat")
}

// TestOwnSwapsSpeakForAPair, counted for the first of it whichever way they are listed.
func TestOwnSwapsSpeakForAPair(t *testing.T) {
	swaps := []schedule.BareSwap{
		{BeforePiece: 1, AfterPiece: 2, First: "Ann", Second: "Bea", ByMarginS: 0.5}, {BeforePiece: 2, AfterPiece: 4, First: "Bea", Second: "Ann", ByMarginS: 0.25},
		{BeforePiece: 1, AfterPiece: 3, First: "Ann", Second: "Cat", ByMarginS: 9},
	}
	is(t, "both ways", becauseOf(swaps, "Ann", "Bea"), "Their own swaps: pieces 1 and 2 +0.50 s, pieces 2 and 4 −0.25 s.")
	is(t, "none", strings.HasPrefix(becauseOf(swaps, "Bea", "Cat"), "Never swapped"), true)
}
