package seatrace

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"thole/api/records"
	"thole/api/schedule"
	"thole/api/table"
)

// Seat races as tables: the schedule with its results, one row a boat of a
// piece, and the ranking.

var pieceColumns = []table.Column{
	table.Numbers("Piece", 0, "From 1."), table.Texts("State", "planned, raced or abandoned."), table.Numbers("Boat", 0, "From 1."), table.Texts("Crew", "Bow first."),
	table.Times("Time", "Blank where there is none."), table.Numbers("Behind, s", 1, "The first boat of the piece; blank where there is no time."),
	table.Texts("Only margins", "yes: no clock was read, and the first boat has the expected time."), table.Texts("Changes boats", "Who came from another boat or from ashore since the piece before."),
	table.Texts("Note", "On the piece."), table.Texts("Entered by", "Blank while planned."), table.Moments("Entered at", "At the club's clock; blank while planned."),
}

// PieceTable lists the pieces of a seat race with their results.
func (s *Service) PieceTable(ctx context.Context, r records.IDRequest) (table.Table, string, error) {
	race, err := s.Race(ctx, r)
	return race.Table(), race.Name + " pieces", err
}

// Table lists the pieces with their results.
func (w *Race) Table() table.Table {
	t := table.New("Pieces", pieceColumns...)
	for i := range w.Pieces {
		p := &w.Pieces[i]
		for k, crew := range p.Crews {
			var time, behind any
			if k < len(p.TimesS) && p.TimesS[k] != nil {
				time, behind = *p.TimesS[k], *p.TimesS[k]-p.first()
			}
			t.Add(p.Number, p.State, k+1, strings.Join(crew, ", "), time, behind, table.YesNo(p.MarginsOnly), strings.Join(p.Moved, ", "), p.Note, p.EnteredBy, p.enteredAt())
		}
	}
	return t
}

// first is the shortest time of the piece, s.
func (p *RacePiece) first() float64 {
	var first *float64
	for _, t := range p.TimesS {
		if t != nil && (first == nil || *t < *first) {
			first = t
		}
	}
	return *first
}

// enteredAt is nil while the piece is planned.
func (p *RacePiece) enteredAt() any {
	at, err := time.Parse(time.RFC3339, p.EnteredAt)
	if err != nil {
		return nil
	}
	return at
}

var rankingColumns = []table.Column{
	table.Texts("Athlete", "The fastest first."), table.Numbers("Effect, s", 2, "Seconds the boat gains over the distance, against the mean of those comparable."), table.Numbers("± SD, s", 2, "Standard deviation."),
	table.Numbers("From, s", 2, "Lower end of the interval."), table.Numbers("To, s", 2, "Upper end of the interval."), table.Numbers("Group", 0, "Athletes of one group have been made comparable by the racing."),
	table.Texts("Compared", "yes or no: the pieces tell something of the athlete."),
}

// RankingTable lists what a seat race has shown of its athletes.
func (s *Service) RankingTable(ctx context.Context, r JudgementRequest) (table.Table, string, error) {
	j, err := s.JudgeRace(ctx, r)
	return j.Table(), "ranking", err
}

// Table lists the athletes by their effect.
func (j *RaceJudgement) Table() table.Table {
	t := table.New("Ranking", rankingColumns...)
	for _, e := range slices.SortedStableFunc(slices.Values(j.Estimate.Effects), faster) {
		t.Add(e.ID, e.EffectS, e.SdS, e.LowS, e.HighS, e.Group, table.YesNo(e.Estimable))
	}
	return t
}

// faster puts who gains the boat more before others, and who is not compared last.
func faster(a, b schedule.SeatRaceEffect) int {
	return cmp.Or(cmp.Compare(known(b), known(a)), cmp.Compare(b.EffectS, a.EffectS))
}

func known(e schedule.SeatRaceEffect) int {
	if e.Estimable {
		return 1
	}
	return 0
}

var raceColumns = []table.Column{
	table.Days("Held on", "YYYY-MM-DD."), table.Texts("Name", "Of the seat race."), table.Texts("Class", "Such as 4-."), table.Numbers("Distance, m", 0, "Of a piece."), table.Texts("Archived", "yes or no."),
}

// RaceTable lists the seat races, the latest first.
func (s *Service) RaceTable(ctx context.Context, r records.ListRequest) (table.Table, string, error) {
	t := table.New("Seat races", raceColumns...)
	list, err := s.Races(ctx, r)
	for i := range list.Races {
		w := &list.Races[i]
		t.Add(w.HeldOn, w.Name, w.BoatClass, w.DistanceM, table.YesNo(w.Archived))
	}
	return t, "seat races", err
}
