package ergometer

import (
	"context"

	"thole/api/records"
	out "thole/api/table"
)

var testColumns = []out.Column{
	out.Days("Tested on", "YYYY-MM-DD."), out.Texts("Fixed", "distance or time: which of the two was set."), out.Numbers("Distance, m", 0, "Rowed in the test."), out.Times("Time", "Such as 6:32.4."),
	out.Times("Per 500 m", "Mean pace; blank for a test whose values are impossible."), out.Numbers("Power, W", 0, "That belongs to the mean pace; blank for a test whose values are impossible."),
	out.Numbers("Expected, W", 0, "What the athlete's other tests let expect; blank where there are none."), out.Numbers("Share", 2, "In the race power; blank for a test not used."),
	out.Numbers("Mass, kg", 1, "On the day."), out.Texts("To check", "Why to check it, or why it was not used."), out.Texts("Note", "On the test."),
}

// TestTable lists an athlete's ergometer tests, newest first.
func (s *Service) TestTable(ctx context.Context, r records.IDRequest) (out.Table, string, error) {
	t := out.New("Ergometer tests", testColumns...)
	e, err := s.Ergometer(ctx, r)
	for i := range e.Tests {
		x := &e.Tests[i]
		t.Add(x.TestedOn, x.Fixed, x.DistanceM, x.TimeS, x.Pace500mS, x.PowerW, x.ExpectedW, x.Weight, x.MassKg, x.Doubt+x.LeftOut, x.Note)
	}
	return t, e.Name + " ergometer tests", err
}
