package seatrace

import (
	"math"
	"strings"
	"testing"

	"thole/api/clock"
	"thole/api/schedule"
	"thole/api/seatrace"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) < 1e-9) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// timed is a raced piece with the boats' times in s, 0 for one without.
func timed(times ...float64) *seatrace.RacePiece {
	p := &seatrace.RacePiece{State: "raced"}
	for _, v := range times {
		if v == 0 {
			p.TimesS = append(p.TimesS, nil)
		} else {
			p.TimesS = append(p.TimesS, &v)
		}
	}
	return p
}

// TestMarginsAreOfTheFirstAgainstTheSecond, whatever their order on the water, and
// no boat that did not finish counts.
func TestMarginsAreOfTheFirstAgainstTheSecond(t *testing.T) {
	for _, c := range []struct {
		piece *seatrace.RacePiece
		want  string
	}{
		{timed(190, 188.5, 195), "Boat 2 by 1.5 s."}, {timed(188, 190), "Boat 1 by 2.0 s."}, {timed(0, 190, 188), "Boat 3 by 2.0 s."},
		{timed(190, 190.03), "Boat 1 by 0.03 s."}, {timed(190.05, 190), "Boat 2 by 0.1 s."},
	} {
		is(t, "margin", marginText(c.piece), c.want)
	}
	is(t, "dead heat", strings.HasPrefix(marginText(timed(190, 195, 190)), "Dead heat of boats 1 and 3"), true)
	is(t, "alone", strings.Contains(marginText(timed(190, 0)), "by"), false)
	alone := timed(1, 2)
	alone.MarginsOnly = true
	is(t, "by margins", marginText(alone) != marginText(timed(1, 2)) && strings.HasPrefix(marginText(alone), "Boat 1 by 1.0 s"), true)
}

func TestTimesStandAsTheyCouldBeTyped(t *testing.T) {
	is(t, "minutes", entryText(timed(182.4), 182.4), "3:02.4")
	is(t, "tens", entryText(timed(192.25), 192.25), "3:12.25")
	is(t, "under a minute", entryText(timed(59), 59), "0:59")
	only := timed(190, 188.5)
	only.MarginsOnly = true
	is(t, "behind", entryText(only, 190), "+1.50")
	is(t, "the first", entryText(only, 188.5), "+0.00")
}

// TestMarginsAreDrawnWithoutTimes holds that no boat bears a time which nobody
// took.
func TestMarginsAreDrawnWithoutTimes(t *testing.T) {
	piece := timed(205.9, 204.4, 0)
	is(t, "clocked", strings.Join(takenOf(piece), "|"), clock.Format(205.9)+"|"+clock.Format(204.4)+"|")
	piece.MarginsOnly = true
	is(t, "margins", strings.Join(takenOf(piece), "|"), "+1.5 s|first|")
}

func TestIntervalsAreDrawnWithNought(t *testing.T) {
	s := newEffectScale(2, 8)
	near(t, "the lower end", s.At(0-0.32), 0)
	near(t, "the upper end", s.At(8.32), 100)
	near(t, "nought", s.Zero(), 100*0.32/8.64)
	x := s.interval(2, 3, 8)
	near(t, "low", x.Low, s.At(2))
	near(t, "middle", x.Middle, s.At(3))
	near(t, "width", x.Width, s.At(8)-s.At(2))
	is(t, "faster and slower", newEffectScale(-3, 1).Zero() > 50, true)
	is(t, "nothing", newEffectScale().Zero(), 50.0)
}

func difference(first, second string, d, low, high float64) schedule.SeatRaceDifference {
	return schedule.SeatRaceDifference{First: first, Second: second, DifferenceS: d, LowS: low, HighS: high, SdS: 1}
}

// TestAPairTurnedRound has its signs and ends exchanged.
func TestAPairTurnedRound(t *testing.T) {
	list := []schedule.SeatRaceDifference{difference("Ann", "Bea", 1, -1, 3)}
	d, ok := differenceOf(list, "Bea", "Ann")
	is(t, "turned", ok && d.First == "Bea" && d.Second == "Ann" && d.DifferenceS == -1 && d.LowS == -3 && d.HighS == 1, true)
	d, ok = differenceOf(list, "Ann", "Bea")
	is(t, "as it is", ok && d.DifferenceS == 1, true)
	_, ok = differenceOf(list, "Ann", "Cat")
	is(t, "none", ok, false)
}

func TestADifferenceAfterEachPiece(t *testing.T) {
	after := []schedule.AfterPiece{
		{Pieces: 1}, {Pieces: 2, Differences: []schedule.SeatRaceDifference{difference("Ann", "Bea", 1, -20, 22)}},
		{Pieces: 3, Differences: []schedule.SeatRaceDifference{difference("Ann", "Bea", 1, -2, 4)}},
	}
	d, ok := newProgress(after, "Ann", "Bea")
	is(t, "known", ok && len(d.Bars) == 2 && d.Bars[0].Label == "2" && d.Bars[1].Label == "3", true)
	is(t, "ends", d.Top+" "+d.Bottom, "+16.0 s \u221216.0 s")
	near(t, "too wide is cut off", d.Bars[0].Y1, 0)
	near(t, "too wide below", d.Bars[0].Y2, 110)
	near(t, "faster is up", d.Bars[1].Y, 55*(1-1.0/16))
	near(t, "upper end", d.Bars[1].Y1, 55*(1-4.0/16))
	near(t, "lower end", d.Bars[1].Y2, 55*(1+2.0/16))
	near(t, "steps", d.Bars[1].X-d.Bars[0].X, progressStep)
	is(t, "box", d.Box, "0 -12 112 146")
	_, ok = newProgress(after[:1], "Ann", "Bea")
	is(t, "never known", ok, false)
}

// TestDrawingsOfTheLaunchHaveRoom, or else crews stand in words.
func TestDrawingsOfTheLaunchHaveRoom(t *testing.T) {
	for _, c := range []struct {
		boats, pieces int
		many          bool
	}{{2, 6, false}, {2, 7, true}, {3, 4, false}, {3, 5, true}, {4, 1, true}} {
		p := &printPage{Race: seatrace.Race{Terms: schedule.RaceTerms{Boats: c.boats}}, Pieces: make([]printPiece, c.pieces)}
		is(t, "many", p.Many(), c.many)
	}
}
