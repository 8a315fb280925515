package ergometer

import (
	"thole/api/access"
	"thole/api/rest"
)

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Tabled(rest.Get("/api/v1/athletes/:id/ergometer", "Read an athlete's ergometer tests", "Tests with what to check, race power, time adjusted to mass, critical power, predictions, and what is published about ergometer against water.", s.Ergometer).For(access.Coaches.OrOwn(access.Body, "id")),
			rest.Columns{First: testColumns}, s.TestTable),
		rest.Create("/api/v1/athletes/:id/ergometer", "Add an ergometer test", "One all-out test. The same again changes nothing; another result of the same day and distance or time is refused, as is one that is hard to believe unless it is called sure.", s.AddErgTest).For(access.Coaches),
		rest.Remove("/api/v1/athletes/:id/ergometer/:test", "Remove an ergometer test", "A wrong one; what it was stays in the athlete's history.", s.RemoveErgTest).For(access.Coaches),
	}
}
