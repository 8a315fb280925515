package schedule

import (
	"slices"
	"testing"

	"thole/api/directory"
	"thole/api/seat"
	"thole/api/seatrace"
)

// TestWhoFitsTheBoatIsOffered: scullers for sculls, sweep rowers for sweep, who is said
// to do neither for both; no cox, and nobody who is in the squad already.
func TestWhoFitsTheBoatIsOffered(t *testing.T) {
	names := []seatrace.SquadName{
		{Athlete: directory.Athlete{ID: 1, Whole: "Scull"}, Sculls: true}, {Athlete: directory.Athlete{ID: 2, Whole: "Sweep"}, Sweeps: true}, {Athlete: directory.Athlete{ID: 3, Whole: "Both"}, Sculls: true, Sweeps: true},
		{Athlete: directory.Athlete{ID: 4, Whole: "Unsaid"}}, {Athlete: directory.Athlete{ID: 5, Whole: "Cox"}, Coxes: true, Sculls: true}, {Athlete: directory.Athlete{ID: 6, Whole: "In"}, Sculls: true, Sweeps: true}, {Athlete: directory.Athlete{ID: 7, Whole: "In too"}},
	}
	squad := []seatrace.RaceParticipant{{Name: "in"}, {Name: "In Too"}}
	for scull, want := range map[bool][]string{true: {"Scull", "Both", "Unsaid"}, false: {"Sweep", "Both", "Unsaid"}} {
		p := &schedulePage{Class: seat.BoatClass{Scull: scull}}
		p.offer(names, squad, nil)
		var got []string
		for _, pick := range p.Record {
			got = append(got, pick.Name)
		}
		if !slices.Equal(got, want) {
			t.Errorf("sculls %v: %q, want %q", scull, got, want)
		}
	}
	p := &schedulePage{Class: seat.BoatClass{Scull: true}}
	p.offer(names, nil, func(id int64) bool { return id == 3 })
	if len(p.Record) != 1 || p.Record[0].Name != "Both" {
		t.Errorf("among one: %+v", p.Record)
	}
}
