package savedlineup

import (
	"context"

	"thole/api/records"
	"thole/api/table"
)

var savedColumns = []table.Column{
	table.Texts("Line-up", "Its name."), table.Texts("Class", "Such as 8+."), table.Days("Rows on", "YYYY-MM-DD; blank where no day is set."), table.Numbers("Seat", 0, "1 is bow."),
	table.Texts("Rower", "Blank for an empty seat."), table.Texts("Side", "Of the oar in sweep."), table.Texts("Chosen by", "How the seats were chosen."),
	table.Texts("Saved by", "Who saved it as it stands."), table.Moments("Saved at", "At the club's clock."), table.Texts("Note", "On the line-up."),
}

// Table lists the seats of every line-up on record.
func (s *Service) Table(ctx context.Context, r records.ListRequest) (table.Table, string, error) {
	t := table.New("Line-ups", savedColumns...)
	list, err := s.Lineups(ctx, r)
	for i := range list.Lineups {
		l, err := s.Lineup(ctx, records.IDRequest{ID: list.Lineups[i].ID}) // with its seats
		if err != nil {
			return t, "", err
		}
		l.addSeats(&t)
	}
	return t, "line-ups", err
}

// CrewTable lists the seats of one line-up.
func (s *Service) CrewTable(ctx context.Context, r records.IDRequest) (table.Table, string, error) {
	t := table.New("Line-up", savedColumns...)
	l, err := s.Lineup(ctx, r)
	l.addSeats(&t)
	return t, l.Name + " line-up", err
}

func (l *SavedLineup) addSeats(t *table.Table) {
	for i, place := range l.Seats {
		t.Add(l.Name, l.BoatClass, l.RowsOn, i+1, place.Name, place.Side, l.Source, l.SavedBy, l.SavedAt, l.Note)
	}
}
