package evidence

import (
	"context"

	"thole/api/access"
	"thole/api/rest"
	"thole/api/table"
)

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Tabled(rest.Get("/api/v1/squad/evidence", "Read what is known of a squad's power",
			"Ergometer, seat races, recordings and the coach's opinion, each with its ±, joined by precision into one figure an athlete, and what each source moved.", s.Squad).For(access.Coaches),
			rest.Columns{First: evidenceColumns}, s.Table),
		rest.Get("/api/v1/athletes/:id/opinions", "Read the coach's opinions of an athlete", "Newest first; the newest counts.", s.Opinions).Paged().For(access.Coaches),
		rest.Create("/api/v1/athletes/:id/opinions", "Add a coach's opinion of an athlete",
			"What an athlete's power on the water is held to be, with its ±. It stays out of the athlete's history, which the athlete reads.", s.AddOpinion).For(access.Coaches),
		rest.Remove("/api/v1/athletes/:id/opinions/:opinion", "Remove a coach's opinion", "The one before it counts again.", s.RemoveOpinion).For(access.Coaches),
	}
}

var evidenceColumns = []table.Column{
	table.Texts("Athlete", "The strongest first; those without any evidence last."),
	table.Numbers("Ergometer, W", 0, "From tests."), table.Numbers("± W, ergometer", 0, "On the water."),
	table.Numbers("Racing, W", 0, "More than the mean of those raced against."), table.Numbers("± W, racing", 0, "Of that difference."),
	table.Numbers("Recordings, W", 0, "More than the mean of the crew."), table.Numbers("± W, recordings", 0, "Of that difference."),
	table.Numbers("Coach, W", 0, "The newest opinion."), table.Numbers("± W, coach", 0, "As it has aged."),
	table.Numbers("Joined, W", 0, "By all sources."), table.Numbers("± W, joined", 0, "Standard deviation."), table.Texts("In words", "What each source moved."),
}

// Table lists a squad, a line an athlete.
func (s *Service) Table(ctx context.Context, r Request) (table.Table, string, error) {
	a, err := s.Squad(ctx, r)
	t := table.New("Evidence", evidenceColumns...)
	for i := range a.Athletes {
		x := &a.Athletes[i]
		row := []any{x.Name}
		row = append(row, x.Ergometer.cells()...)
		row = append(row, x.Racing.cells()...)
		row = append(row, x.Strokes.cells()...)
		row = append(row, x.Coach.cells()...)
		row = append(row, x.Joined.cells()...)
		t.Add(append(row, x.Words)...)
	}
	return t, "evidence", err
}

func (f *Figure) cells() []any {
	if f == nil {
		return []any{nil, nil}
	}
	return []any{f.PowerW, f.SdW}
}

func (o *Said) cells() []any {
	if o == nil {
		return []any{nil, nil}
	}
	return []any{o.PowerW, o.SdW}
}

func (d *Difference) cells() []any {
	if d == nil {
		return []any{nil, nil}
	}
	return []any{d.DifferenceW, d.SdW}
}

func (j *Joined) cells() []any {
	if j == nil {
		return []any{nil, nil}
	}
	return []any{j.PowerW, j.SdW}
}
