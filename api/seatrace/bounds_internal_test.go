package seatrace

import (
	"strings"
	"testing"

	"thole/api/clock"
	"thole/api/schedule"
	"thole/api/store"
	"thole/api/wire"
)

// TestThePiecesShortestTimeIsTheFirst; a boat that did not finish has none.
func TestThePiecesShortestTimeIsTheFirst(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	for want, times := range map[float64][]*float64{188: {nil, v(190), v(188), v(189)}, 190: {v(190)}, 187: {v(187), v(187), nil}} {
		if got := (&RacePiece{TimesS: times}).first(); got != want {
			t.Errorf("%g, want %g", got, want)
		}
	}
}

// TestMarginsAreTakenUpToTheWidest, behind the first boat and not before it.
func TestMarginsAreTakenUpToTheWidest(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	var p wire.Problems
	times := clockless(&p, wire.At("margins_s"), []*float64{v(0), v(clock.MaxMargin), nil, v(-0.1), v(clock.MaxMargin + 0.1)}, 200)
	if *times[0] != 200 || *times[1] != 200+clock.MaxMargin || times[2] != nil || times[3] != nil || times[4] != nil {
		t.Errorf("%v", times)
	}
	if len(p.Fields) != 2 || p.Fields[0].Field != "margins_s[3]" || p.Fields[1].Field != "margins_s[4]" {
		t.Errorf("%+v", p.Fields)
	}
}

// TestPiecesAsATable: each boat with its time and how far it was behind the first; one
// without a time has neither.
func TestPiecesAsATable(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	w := &Race{}
	w.Pieces = []RacePiece{
		{Number: 1, State: "raced", Crews: [][]string{{"Ann", "Bea"}, {"Cat", "Dot"}, {"Eve"}}, TimesS: []*float64{v(191.5), v(190), nil}, MarginsOnly: true, Moved: []string{"Ann"}, EnteredAt: "2026-05-01T10:00:00Z"},
		{Number: 2, State: "planned", Crews: [][]string{{"Ann", "Cat"}}},
	}
	table := w.Table()
	var got []string
	for _, row := range table.Rows()[1:] {
		got = append(got, strings.Join(row, "|"))
	}
	want := []string{"1|raced|1|Ann, Bea|3:11.5|1.5|yes|Ann|||2026-05-01 10:00:00", "1|raced|2|Cat, Dot|3:10.0|0|yes|Ann|||2026-05-01 10:00:00", "1|raced|3|Eve|||yes|Ann|||2026-05-01 10:00:00", "2|planned|1|Ann, Cat|||no||||"}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestTheRankingPutsTheFastestFirst, and who cannot be compared last.
func TestTheRankingPutsTheFastestFirst(t *testing.T) {
	j := &RaceJudgement{}
	j.Estimate.Effects = []schedule.SeatRaceEffect{{ID: "Ann", EffectS: 0.5, Estimable: true}, {ID: "Bea", EffectS: 9}, {ID: "Cat", EffectS: 1.5, Estimable: true}, {ID: "Dot", EffectS: -1, Estimable: true}}
	table := j.Table()
	var got string
	for _, row := range table.Rows()[1:] {
		got += row[0] + " " + row[len(row)-1] + "; "
	}
	if got != "Cat yes; Ann yes; Dot yes; Bea no; " {
		t.Errorf("%s", got)
	}
}

// TestWhoAndWhichBoatIsMeant: an athlete of a race by id, and the first boat of the shortest
// time, dead heats to the first.
func TestWhoAndWhichBoatIsMeant(t *testing.T) {
	p := &RacePower{Athletes: []AthletePower{{AthleteID: 4}, {AthleteID: 9}}}
	for id, want := range map[int64]int{4: 0, 9: 1, 5: -1} {
		if got := p.At(id); got != want {
			t.Errorf("athlete %d at %d, want %d", id, got, want)
		}
	}
	time := func(v float64) *float64 { return &v }
	for want, boats := range map[int][]store.PieceBoat{
		0: {{TimeS: time(190)}, {TimeS: time(190)}}, 1: {{}, {TimeS: time(190)}, {TimeS: time(191)}}, 2: {{TimeS: time(192)}, {TimeS: time(191)}, {TimeS: time(190)}},
	} {
		if at, boat := firstTime(&store.Piece{Boats: boats}); boat != want || at != 190 {
			t.Errorf("boat %d in %g s, want %d in 190", boat, at, want)
		}
	}
}
