package seatrace

import (
	"fmt"
	"strings"
	"testing"

	"thole/api/records"
	"thole/api/schedule"
	"thole/api/seatrace"
)

// TestAScaleHoldsItsIntervalsWithRoom: a twenty-fifth of the span at both ends, of a tenth of
// a second at least. From −3 to 1 s that is 0.16 s of 4.32.
func TestAScaleHoldsItsIntervalsWithRoom(t *testing.T) {
	s := newEffectScale(-3, 1)
	near(t, "the lowest", s.At(-3), 100*0.16/4.32)
	near(t, "the highest", s.At(1), 100*4.16/4.32)
	near(t, "nought", s.Zero(), 100*3.16/4.32)
	i := s.interval(-1, 0, 1)
	near(t, "low", i.Low, 100*2.16/4.32)
	near(t, "width", i.Width, 100*2/4.32)
	near(t, "a tenth at least", newEffectScale(0, 0.05).Zero(), 100*0.004/0.058)
}

// TestTheChancesAreASquare: nobody is compared with themselves, and each pair is told both
// ways round.
func TestTheChancesAreASquare(t *testing.T) {
	e := &schedule.SeatRaceEstimate{}
	d := difference("Ann", "Bea", 1, -1, 3)
	d.ChanceFirstFaster, d.Certainty, d.Estimable = 0.7, "open", true
	e.Differences = []schedule.SeatRaceDifference{d}
	m := newChanceMatrix(e, []schedule.SeatRaceEffect{{ID: "Ann"}, {ID: "Bea"}}, nil, "All")
	told := ""
	for _, row := range m.Rows {
		for _, c := range row.Cells {
			told += map[bool]string{true: "itself", false: c.Text}[c.Self] + " "
		}
	}
	is(t, "cells", told, "itself 70 30 itself ")
}

// TestAFasterBoatThanExpectedStandsRight of the middle, the farthest of all at the end: 90 of
// 100 either way.
func TestAFasterBoatThanExpectedStandsRight(t *testing.T) {
	e := &schedule.SeatRaceEstimate{Pieces: []schedule.PieceVerdict{
		{Boats: []schedule.BoatVerdict{{Boat: 1, ResidualS: 0.5}, {Boat: 2, ResidualS: -2}}}, {}, {Boats: []schedule.BoatVerdict{{Boat: 1, ResidualS: 0}, {Boat: 5, ResidualS: 1}}},
	}}
	fits := fitsOf(e)
	is(t, "pieces with a result", len(fits), 2)
	is(t, "number", fits[1].Number, 3)
	for i, want := range []float64{122.5, 10, 100, 145} {
		near(t, fmt.Sprint(i), fits[i/2].Marks[i%2].X, want)
	}
	is(t, "words", fits[0].Marks[1].Text, "boat 2 −2.00 s")
	is(t, "the fifth has the shape of the first", strings.HasSuffix(fits[1].Marks[1].Outline, boatShapes[0]), true)
	e.Pieces = []schedule.PieceVerdict{{Boats: []schedule.BoatVerdict{{Boat: 1, ResidualS: 0.05}}}}
	near(t, "a tenth at least", fitsOf(e)[0].Marks[0].X, 145)
}

// TestTheFormOpensForTheFirstPieceToCome, for the one asked for, or for one more.
func TestTheFormOpensForTheFirstPieceToCome(t *testing.T) {
	for asked, want := range map[string]string{"": "2: here 2, later 3", "1": "1: here 1, later 23", "3": "3: here 3, later 2", "new": "4: here , later 23", "9": "0: here , later 23"} {
		p := racing([]float64{190, 192}, nil, nil)
		p.addPieces(asked)
		number, here, later := 0, "", ""
		if p.Entry != nil {
			number = p.Entry.Number
		}
		for _, v := range p.Pieces {
			if v.Here {
				here += fmt.Sprint(v.Piece.Number)
			}
		}
		for _, e := range p.Later {
			later += fmt.Sprint(e.Number)
		}
		is(t, "asked for "+asked, fmt.Sprintf("%d: here %s, later %s", number, here, later), want)
		is(t, "done", p.Done, 1)
	}
}

// TestWhatOthersEnteredIsShown of the last piece too; one more than there are has nothing.
func TestWhatOthersEnteredIsShown(t *testing.T) {
	pieces := []seatrace.RacePiece{*timed(190, 192), *timed(193, 0)}
	pieces[1].EnteredBy = "Udo"
	for n, want := range map[int]string{1: "Somebody entered: boat 1 3:10.0, boat 2 3:12.0 (raced).", 2: "Udo entered: boat 1 3:13.0, boat 2 no time (raced).", 3: ""} {
		e := &entryForm{Number: n}
		e.contend(&records.Conflict{Version: 4}, pieces)
		is(t, fmt.Sprint(n), e.Theirs, want)
		is(t, "version", e.Version, "4")
	}
}

// TestPairsAreFollowedPieceByPiece, four at most.
func TestPairsAreFollowedPieceByPiece(t *testing.T) {
	for n, want := range map[int]int{1: 1, 4: 4, 5: 4} {
		p := raceOf("2x", "", "", "", "", "", "")
		v := &judgedView{}
		var list []schedule.SeatRaceDifference
		for i := range n {
			d := difference("A", p.Race.Athletes[i+1].Name, 1, -1, 3)
			d.ChanceFirstFaster, d.Certainty, d.Estimable = 0.7, "open", true
			list = append(list, d)
			p.Race.Terms.Pairs = append(p.Race.Terms.Pairs, []string{d.First, d.Second})
		}
		v.Judgement.Estimate.Differences = list
		v.Judgement.Estimate.AfterEach = []schedule.AfterPiece{{Pieces: 2, Differences: list}, {Pieces: 3, Differences: list}}
		v.addProgress(p)
		is(t, fmt.Sprint(n), len(v.Progress), want)
	}
}

// TestThePairsOfTheReasonsNameTheLikelierFirst: below half the other; half and half stays.
func TestThePairsOfTheReasonsNameTheLikelierFirst(t *testing.T) {
	for chance, want := range map[float64]string{0.5: "A or B", 0.49: "B or A", 0.51: "A or B"} {
		p := raceOf("2x", "", "")
		p.Judged = &judgedView{}
		d := difference("A", "B", 1, -1, 3)
		d.ChanceFirstFaster, d.Certainty, d.Estimable = chance, "open", true
		p.Judged.Judgement.Estimate.Differences = []schedule.SeatRaceDifference{d}
		y := &whyPage{}
		y.read(p)
		is(t, fmt.Sprint(chance), y.Sorts[0].Pairs[0].Title, want)
		is(t, "answer", strings.HasSuffix(y.Answer, "0 firm, 0 likely, 1 open, 0 not compared."), true)
	}
}
