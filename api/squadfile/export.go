package squadfile

import (
	"bytes"
	"cmp"
	"context"
	"io"
	"slices"
	"strings"

	"thole/api/access"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/store"
	out "thole/api/table"
	"thole/api/wire"
	"thole/selection/erg"
)

// A squad travels as a table, one row a test, the athlete's own columns
// repeated or left blank below the first. The same columns go in and out, as
// CSV (RFC 4180) or in the first sheet of a spreadsheet.

// squadTable are the columns in the order they are written.
var squadTable = []out.Column{
	{Heading: "name", Meaning: "Of the athlete."},
	{Heading: "sex", Meaning: "female or male; blank where it is not known."},
	{Heading: "birth_date", Kind: out.Day, Meaning: "YYYY-MM-DD."},
	{Heading: "sculls", Meaning: "yes or no."},
	{Heading: "port_cost_s", Kind: out.Number, Digits: out.Free, Meaning: "What rowing on port costs the athlete over 2000 m, in s: 0 for the better side, blank for a side that the athlete does not row."},
	{Heading: "starboard_cost_s", Kind: out.Number, Digits: out.Free, Meaning: "The same for starboard."},
	{Heading: "mass_kg", Kind: out.Number, Digits: out.Free, Meaning: "Of the athlete, the newest on record."},
	{Heading: "test_date", Kind: out.Day, Meaning: "Day of the ergometer test, YYYY-MM-DD; it and the columns after it are blank for an athlete without a test."},
	{Heading: "test_fixed", Meaning: "What was set on the ergometer: distance or time."},
	{Heading: "test_distance_m", Kind: out.Number, Digits: out.Free, Meaning: "Rowed in the test."},
	{Heading: "test_time", Kind: out.Time, Meaning: "Taken by the test, such as 6:32.4."},
	{Heading: "test_mass_kg", Kind: out.Number, Digits: out.Free, Meaning: "Of the athlete at the test; blank where it was not taken."},
	{Heading: "note", Meaning: "On the test."},
	{Heading: "birth_year", Meaning: "Where the day is not known."},
	{Heading: "coxes", Meaning: "yes or no."},
	{Heading: "squads", Meaning: "The squads of the athlete by name, with semicolons between them; squads that are not there yet are added."},
	{Heading: "height_cm", Kind: out.Number, Digits: out.Free, Meaning: "Of the athlete, the newest on record."},
	{Heading: "arm_span_cm", Kind: out.Number, Digits: out.Free, Meaning: "The same of the arm span."},
	{Heading: "sitting_height_cm", Kind: out.Number, Digits: out.Free, Meaning: "The same of the height when sitting."},
}

// squadColumns are the headings.
var squadColumns = func() (names []string) {
	for _, c := range squadTable {
		names = append(names, c.Heading)
	}
	return names
}()

// ownColumns and moreColumns are how many of the columns before and behind the tests
// are the athlete's own, by definition of the list above.
const (
	ownColumns  = 7
	moreColumns = 6
)

// Table returns every athlete with every test as a table: what Read
// reads. Equal records give equal tables, whatever the order they were entered
// in.
func (s *Service) Table(ctx context.Context) (out.Table, error) {
	t := out.New("Squad", squadTable...)
	athletes, err := s.Store.Athletes(ctx, store.Filter{})
	if err != nil {
		return t, records.RecordError(err)
	}
	measures, err := s.Store.AllLatestMeasures(ctx, s.Today())
	if err != nil {
		return t, records.RecordError(err)
	}
	tests, err := s.Store.ErgTestsSince(ctx, "0001-01-01")
	if err != nil {
		return t, records.RecordError(err)
	}
	of := map[int64][]*store.ErgTest{}
	for i := range tests {
		of[tests[i].AthleteID] = append(of[tests[i].AthleteID], &tests[i])
	}
	slices.SortStableFunc(athletes, byNameThenBirth)
	squads, err := s.squadNames(ctx)
	if err != nil {
		return t, err
	}
	for i := range athletes {
		a, m := &athletes[i], measures[athletes[i].ID]
		own := []any{a.Name, a.Sex, a.BirthDate, out.YesNo(a.Sculls), a.PortCostS, a.StarboardCostS, m.MassKg}
		more := []any{yearOr(a.BirthYear), out.YesNo(a.Coxes), strings.Join(squads[a.ID], "; "), m.StatureCm, m.ArmSpanCm, m.SittingHeightCm}
		addTests(&t, own, of[a.ID], more)
	}
	return t, nil
}

// squadNames lists the names of the squads of each athlete.
func (s *Service) squadNames(ctx context.Context) (map[int64][]string, error) {
	all, err := s.Store.Squads(ctx)
	of := map[int64][]string{}
	for i := range all {
		for _, athlete := range all[i].Athletes {
			of[athlete] = append(of[athlete], all[i].Name)
		}
	}
	return of, records.RecordError(err)
}

// byNameThenBirth puts the namesake without a birth date first: in reading, one
// who comes later would be taken for the one before.
func byNameThenBirth(a, b store.Athlete) int {
	return cmp.Or(strings.Compare(store.NameKey(a.Name), store.NameKey(b.Name)), strings.Compare(wire.Or(a.BirthDate, ""), wire.Or(b.BirthDate, "")))
}

// addTests puts the tests of an athlete between what is the athlete's own, the
// newest first.
func addTests(t *out.Table, own []any, tests []*store.ErgTest, more []any) {
	if len(tests) == 0 {
		t.Add(slices.Concat(own, make([]any, len(squadTable)-ownColumns-moreColumns), more)...)
	}
	slices.SortStableFunc(tests, func(a, b *store.ErgTest) int {
		return cmp.Or(strings.Compare(b.TestedOn, a.TestedOn), strings.Compare(a.Fixed, b.Fixed), cmp.Compare(a.DistanceM, b.DistanceM), cmp.Compare(a.TimeS, b.TimeS))
	})
	for _, e := range tests {
		test := []any{e.TestedOn, e.Fixed, e.DistanceM, timeCell(e), e.MassKg, e.Note}
		t.Add(slices.Concat(own, test, more)...)
	}
}

// timeCell is the time of a test. One that is hard to believe stays a text, with
// its fraction: as a number it might have been typed as 6:23 and understood as
// hours, which the reader would ask about.
func timeCell(e *store.ErgTest) any {
	if (erg.Effort{Distance: e.DistanceM, Time: e.TimeS}).Doubt() != "" {
		return wire.FormatTime(e.TimeS)
	}
	return e.TimeS
}

// Write writes the squad's table as csv or xlsx; any other kind is
// ErrNotFound.
func (s *Service) Write(ctx context.Context, kind string, w io.Writer) error {
	ctx, leave, err := s.Gate.Enter(ctx)
	if err != nil {
		return err
	}
	defer leave()
	format, ok := out.FormatNamed(kind)
	if !ok {
		return wire.ErrNotFound
	}
	t, err := s.Table(ctx)
	if err != nil {
		return err
	}
	body, err := format.File(&t)
	if err != nil {
		return err
	}
	_, err = w.Write(body)
	return err
}

// squadFile describes an export.
func (s *Service) squadFile(format out.Format, summary, description string) rest.Route {
	return rest.Custom(rest.Route{
		Method: "GET", Path: "/api/v1/squad/table." + format.Name, Summary: summary, Description: description, Media: format.Media, Columns: rest.Columns{First: squadTable}, Access: access.Coaches,
	}, func(c *rest.Call) error {
		var body bytes.Buffer
		if err := s.Write(c.Context(), format.Name, &body); err != nil {
			return c.Fail(err)
		}
		return c.SendFile(format.ContentType(), "squad."+format.Name, body.Bytes())
	})
}

// unguarded takes off the apostrophe that the export puts before what is no
// formula.
func unguarded(cell string) string { return out.Unguarded(cell) }
