package seatrace

import (
	"errors"
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"thole/api/schedule"
	"thole/api/seatrace"
	"thole/api/wire"
)

// racing is a race of four athletes with pieces of boats' times, s; one without a time is
// planned.
func racing(times ...[]float64) *racePage {
	p := raceOf("2x", "", "", "", "")
	for i := range p.Race.Athletes {
		p.Race.Athletes[i].Label = p.Race.Athletes[i].Name
	}
	for i, boats := range times {
		piece := seatrace.RacePiece{State: "planned", TimesS: []*float64{nil, nil}}
		if len(boats) > 0 {
			piece = *timed(boats...)
		}
		piece.Number, piece.Crews = i+1, [][]string{{"A", "B"}, {"C", "D"}}
		p.Race.Pieces = append(p.Race.Pieces, piece)
	}
	return p
}

// TestTheLatestPieceIsTheLastWithAResult, which may be the first, and none before there is
// one.
func TestTheLatestPieceIsTheLastWithAResult(t *testing.T) {
	p := racing(nil, nil)
	p.addLatest()
	is(t, "none", p.Latest, nil)
	p = racing([]float64{190, 192}, nil, nil)
	p.addLatest()
	is(t, "the first", p.Latest.Title+" "+p.Latest.Says, "Piece 1: boat 1 by 2.0 s The comparison starts after the first swap.")
	p = racing([]float64{190, 192}, []float64{193, 190}, nil)
	p.Race.Pieces[1].Moved = []string{"A", "C"}
	p.addLatest()
	is(t, "the second", p.Latest.Title+" "+p.Latest.Swap, "Piece 2: boat 2 by 3.0 s A and C changed boats.")
}

// TestASwapNamesTheFasterFirst, with their own chance: that of the other is what is missing
// to all.
func TestASwapNamesTheFasterFirst(t *testing.T) {
	for _, c := range []struct {
		by, chance float64
		want       string
	}{{1.25, 0.88, "1.25 s faster with Ann than with Bea, ± 0.60: likely, 88 %."}, {-1.25, 0.12, "1.25 s faster with Bea than with Ann, ± 0.60: likely, 88 %."}, {0, 0.5, "0.00 s faster with Ann than with Bea, ± 0.60: likely, 50 %."}} {
		l := &latestPiece{}
		l.readSwap(schedule.BareSwap{BeforePiece: 1, AfterPiece: 2, First: "a", Second: "b", ByMarginS: c.by, SdS: 0.6, ChanceFirstFaster: c.chance, Certainty: "likely"}, map[string]string{"a": "Ann", "b": "Bea"})
		is(t, fmt.Sprint(c.by), l.Says, "Against piece 1 the boat is "+c.want)
	}
}

// TestASwapIsReadAgainstTheNearestPiece before it, of those that end with the piece.
func TestASwapIsReadAgainstTheNearestPiece(t *testing.T) {
	swaps := []schedule.BareSwap{{BeforePiece: 1, AfterPiece: 4, First: "far"}, {BeforePiece: 2, AfterPiece: 4, First: "near"}, {BeforePiece: 3, AfterPiece: 5, First: "other"}, {BeforePiece: 1, AfterPiece: 4, First: "far"}}
	w, ok := bareSwapOf(swaps, 4)
	is(t, "nearest", w.First, "near")
	is(t, "found", ok, true)
	_, ok = bareSwapOf(swaps, 3)
	is(t, "none", ok, false)
}

// TestSeveralSwapsAtOnceAreNotToldApart; two who changed places are one swap.
func TestSeveralSwapsAtOnceAreNotToldApart(t *testing.T) {
	for n, want := range map[int]string{2: "", 3: "Several swaps at once: this piece alone cannot tell them apart."} {
		p := racing([]float64{190, 192}, []float64{193, 190})
		p.Judged, p.Race.Pieces[1].Moved = &judgedView{}, []string{"A", "C", "D"}[:n]
		is(t, fmt.Sprint(n), p.newLatest(&p.Race.Pieces[1]).Says, want)
	}
}

// TestAPairIsToldFromHalfOnAsItIs, and turned round below: then the other is the faster.
func TestAPairIsToldFromHalfOnAsItIs(t *testing.T) {
	for _, c := range []struct {
		by, chance float64
		want       string
	}{{1, 0.5, "A faster than C by 1.00 s ± 1.00: open, 50 %"}, {-1, 0.49, "C faster than A by 1.00 s ± 1.00: open, 51 %"}} {
		p := racing([]float64{190, 192}, []float64{193, 190})
		p.Judged = &judgedView{}
		d := difference("A", "C", c.by, c.by-2, c.by+2)
		d.ChanceFirstFaster, d.Certainty, d.Estimable = c.chance, "open", true
		p.Judged.Judgement.Estimate.Differences = []schedule.SeatRaceDifference{d}
		l := &latestPiece{}
		if l.addPairs(p, []string{"A", "C"}); len(l.All) != 1 || l.All[0].Text != c.want {
			t.Errorf("%g: %v, want %s", c.chance, l.All, c.want)
		}
	}
}

// TestACellOfTheChancesIsSlowerBelowHalf, and unknown where nothing compares the two.
func TestACellOfTheChancesIsSlowerBelowHalf(t *testing.T) {
	for chance, want := range map[float64]string{0.5: "50 likely", 0.499: "50 likely slower", 0.51: "51 likely", 0.2: "20 likely slower"} {
		c := newChanceCell(schedule.SeatRaceDifference{ChanceFirstFaster: chance, Certainty: "likely", Estimable: true}, false)
		is(t, fmt.Sprint(chance), c.Text+" "+c.Class, want)
	}
	is(t, "not compared", newChanceCell(schedule.SeatRaceDifference{ChanceFirstFaster: 0.5}, false).Class, "unknown")
	is(t, "joined", newChanceCell(schedule.SeatRaceDifference{ChanceFirstFaster: 0.5, Certainty: "open"}, true).Class, "open")
}

// TestTheNextPieceSaysWhatItLeavesOpen, from one pair on.
func TestTheNextPieceSaysWhatItLeavesOpen(t *testing.T) {
	for _, c := range []struct {
		missing int
		swapped []string
		want    string
	}{
		{0, nil, "With the same crews again the pairs would be ± 0.80 s on average."}, {1, nil, "With the same crews again the pairs would be ± 0.80 s on average, 1 still not compared."},
		{0, []string{"A", "C"}, "With A and C swapped the pairs would be ± 0.80 s on average."}, {2, []string{"A", "C"}, "With A and C swapped the pairs would be ± 0.80 s on average, 2 still not compared."},
	} {
		v := &judgedView{}
		v.Judgement.Estimate.Next = []schedule.NextPiece{{Crews: [][]string{{"A", "B"}, {"C", "D"}}, Swapped: c.swapped, Missing: c.missing, SdS: 0.8}}
		v.addNext(racing())
		is(t, c.want, v.Next[0].Text, c.want)
		is(t, "crews", v.Next[0].Crews, "A, B\nC, D")
	}
}

// TestPaperIsOfferedForSeveralPieces to come: one alone has its form already.
func TestPaperIsOfferedForSeveralPieces(t *testing.T) {
	for n, want := range map[int]bool{0: false, 1: false, 2: true} {
		s := &resultSheet{Lines: make([]resultLine, n)}
		is(t, fmt.Sprint(n), s.Offered(), want)
		s.Open = true
		is(t, "refused", s.Offered(), true)
	}
	p := racing([]float64{190, 192}, []float64{193, 190}, nil)
	for i := range p.Race.Pieces {
		p.Pieces = append(p.Pieces, racedPiece{Piece: p.Race.Pieces[i]})
	}
	p.addSheet(map[int]error{2: errors.New("wrong")})
	is(t, "refused and to come", len(p.Sheet.Lines), 2)
	is(t, "names", p.Sheet.Lines[0].Name+p.Sheet.Lines[1].Name, "p2p3")
}

// TestASwapIsMarkedFromTheSecondPieceOn: before the first nobody has changed boats.
func TestASwapIsMarkedFromTheSecondPieceOn(t *testing.T) {
	p := racing(nil, nil)
	for number, want := range map[int]string{1: "", 2: "◆ A and C"} {
		piece := &p.Race.Pieces[number-1]
		piece.Moved = []string{"A", "C"}
		is(t, fmt.Sprint(number), p.racedPiece(piece).Swap, want)
		piece.Moved = nil
		is(t, "the same crews", p.racedPiece(piece).Swap, "")
	}
}

// TestWhatIsOursToMendIsNoComplaint: from a fault on the answer is an error, and what can
// be mended is told on the page.
func TestWhatIsOursToMendIsNoComplaint(t *testing.T) {
	fault := errors.New("the disk is gone")
	if err := (&site{}).refuseEdit(httptest.NewRecorder(), httptest.NewRequest("POST", "/seat-races/1", strings.NewReader("")), fault); !errors.Is(err, fault) {
		t.Errorf("%v, want the fault itself", err)
	}
	s := &resultSheet{}
	is(t, "mendable", s.complain(&wire.Problem{Detail: "Say who you are."}, wire.ErrNotFound), "Say who you are.")
}
