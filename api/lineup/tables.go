package lineup

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"thole/api/table"
)

// Line-ups as tables: the best with their cost, and the squad of a boat.

var orderColumns = []table.Column{
	table.Numbers("Rank", 0, "1 is the best."), table.Numbers("Cost, s", 2, "Over 2000 m, the sum of the terms."), table.Numbers("Pace, s", 2, "Against the strongest crew."), table.Numbers("Sides, s", 2, "Rowing on the worse side."),
	table.Numbers("Seats, s", 2, "The coach's seat preferences."), table.Numbers("Curve match, s", 2, "Unlike curves, as weighted."), table.Numbers("Yaw, s", 2, "Steering moment, as weighted."), table.Numbers("Speed, m/s", 3, "In still water."),
}

// orderMore says what the columns of the seats are.
const orderMore = "Who sits there, with the side of the oar in sweep. A column a seat, bow first."

// LineupTable lists the best line-ups of a squad.
func (s *Service) LineupTable(ctx context.Context, r LineupsRequest) (table.Table, string, error) {
	a, err := s.FindLineups(ctx, r)
	return a.Table(r.called()), r.BoatClass + " line-ups", err
}

// called is what the candidates are called, by id.
func (r *LineupProblem) called() map[string]string {
	names := map[string]string{}
	for _, c := range r.Candidates {
		names[c.ID] = cmp.Or(c.Name, c.ID)
	}
	return names
}

// Table lists the line-ups, with names by the candidates' ids.
func (a *LineupsAnswer) Table(names map[string]string) table.Table {
	t := table.New("Line-ups", withSeats(orderColumns, a.Lineups)...)
	for i := range a.Lineups {
		t.Add(append([]any{i + 1}, a.Lineups[i].row(names)...)...)
	}
	return t
}

// withSeats adds a column for each seat of some line-ups.
func withSeats(columns []table.Column, lineups []RankedLineup) []table.Column {
	columns = slices.Clone(columns)
	if len(lineups) > 0 {
		for i := range lineups[0].Seats {
			columns = append(columns, table.Texts(fmt.Sprintf("Seat %d", i+1), orderMore))
		}
	}
	return columns
}

// row is a line-up's line in a table but for its rank.
func (l *RankedLineup) row(names map[string]string) []any {
	row := []any{l.TotalS, l.Terms.PaceS, l.Terms.SideS, l.Terms.SeatS, l.Terms.LikenessS, l.Terms.YawS, l.SpeedMS}
	for k, id := range l.Seats {
		who := names[id]
		if k < len(l.Sides) {
			who += " (" + l.Sides[k] + ")"
		}
		row = append(row, who)
	}
	return row
}

// crewColumns are those of a table of crews.
var crewColumns = append([]table.Column{table.Numbers("Crew", 0, "1 is the best; each other people."), table.Numbers("Line-up", 0, "Of these people, 1 is the best.")}, orderColumns[1:]...)

// CrewsTable lists the best crews of a squad.
func (s *Service) CrewsTable(ctx context.Context, r CrewsRequest) (table.Table, string, error) {
	a, err := s.FindCrews(ctx, r)
	return a.Table(r.called()), r.BoatClass + " crews", err
}

// Table lists the line-ups of the crews, with names by the candidates' ids.
func (a *CrewsAnswer) Table(names map[string]string) table.Table {
	var some []RankedLineup
	if len(a.Crews) > 0 {
		some = a.Crews[0].Lineups
	}
	t := table.New("Crews", withSeats(crewColumns, some)...)
	for i := range a.Crews {
		for k := range a.Crews[i].Lineups {
			t.Add(append([]any{i + 1, k + 1}, a.Crews[i].Lineups[k].row(names)...)...)
		}
	}
	return t
}

var powerColumns = []table.Column{
	table.Texts("Athlete", "The strongest first; those who cannot be judged yet last."), table.Texts("Sex", "female or male; blank where it is not known."), table.Numbers("Band", 0, "Athletes of one band are too close to tell."),
	table.Numbers("Race power, W", 0, "Over 2000 m."), table.Numbers("From, W", 0, "Lower end of the 90 % interval."), table.Numbers("To, W", 0, "Upper end of the 90 % interval."),
	table.Numbers("Ergometer, W", 0, "By the ergometer, also where racing replaces it."), table.Numbers("Mass, kg", 1, "The newest on record."), table.Numbers("Power to mass, W/kg", 2, "Race power by mass."),
	table.Texts("From what", "ergometer or racing."), table.Numbers("Tests", 0, "Ergometer tests that it rests on."), table.Texts("To check", "Tests to check or not used, and what is missing."),
}

// PowerTable ranks the athletes on record by their race power.
func (s *Service) PowerTable(ctx context.Context, r BoatSquadRequest) (table.Table, string, error) {
	w, err := s.SquadFor(ctx, r)
	return w.Table(), "race power", err
}

// Table ranks the candidates, and adds those who cannot be judged yet.
func (w *BoatSquad) Table() table.Table {
	t := table.New("Race power", powerColumns...)
	for i := range w.Candidates {
		c := &w.Candidates[i]
		t.Add(c.Name, c.Sex, c.Band, c.PowerW, c.LowW, c.HighW, c.ErgPowerW, c.MassKg, c.PowerW/c.MassKg, c.Source, c.Tests, strings.Join(slices.Concat(c.Doubts, c.LeftOut), " "))
	}
	for _, m := range w.Missing {
		t.Add(m.Name, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, m.Missing)
	}
	return t
}
