package api

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"thole/api/store"
	"thole/selection/erg"
)

// SquadImport is what a table of athletes and tests would do, or has done.
type SquadImport struct {
	Rows     int               `json:"rows"`
	Athletes []ImportedAthlete `json:"athletes"`
	Tests    []ImportedTest    `json:"tests"`
	Problems []TableProblem    `json:"problems" description:"Rows that are left out, with the reason."`
	Saved    bool              `json:"saved"`
}

// ImportedAthlete is one athlete of the table.
type ImportedAthlete struct {
	Name    string   `json:"name"`
	Action  string   `json:"action" enum:"new,changed,known"`
	Changes []string `json:"changes" description:"Fields that the table changes, old to new."`

	record store.Athlete
	mass   *float64
}

// ImportedTest is one ergometer test of the table.
type ImportedTest struct {
	Name   string `json:"name"`
	Date   string `json:"date"`
	Test   string `json:"test" description:"As people write it, such as 2000 m in 6:32.4."`
	Action string `json:"action" enum:"new,changed,known"`
	Doubt  string `json:"doubt,omitempty" description:"Why to look at it again."`

	record store.ErgTest
	of     int // index of the athlete
}

// TableProblem is one cell or row that cannot be used.
type TableProblem struct {
	Row    int    `json:"row" description:"From 1, the heading being row 1."`
	Column string `json:"column,omitempty"`
	Text   string `json:"text"`
}

// ReadSquad reads a table and tells what saving it would do, without saving.
// The error is an *Unreadable.
func (s *Service) ReadSquad(ctx context.Context, file io.Reader) (SquadImport, error) {
	table, err := readTable(file)
	if err != nil {
		return SquadImport{}, err
	}
	known, err := s.store.Athletes(ctx, store.Filter{Archived: true})
	if err != nil {
		return SquadImport{}, recordError(err)
	}
	r := squadReader{today: s.today(), known: known, service: s, table: table, seen: map[testKey]int{}}
	if err := r.read(); err != nil {
		return SquadImport{}, err
	}
	return r.out, s.compareTests(ctx, &r.out)
}

// SaveSquad reads a table and puts it on record; rows with problems are left
// out. A test of the same athlete, day and distance or time is updated, so that
// the same table can come in again.
func (s *Service) SaveSquad(ctx context.Context, file io.Reader, by string) (SquadImport, error) {
	var p problems
	p.author(by)
	if err := p.orNil(); err != nil {
		return SquadImport{}, err
	}
	plan, err := s.ReadSquad(ctx, file)
	if err != nil {
		return plan, err
	}
	for i := range plan.Athletes {
		if err := s.saveImported(ctx, &plan.Athletes[i], by); err != nil {
			return plan, recordError(err)
		}
	}
	var tests []store.ErgTest
	for _, t := range plan.Tests {
		t.record.AthleteID, t.record.EnteredAt = plan.Athletes[t.of].record.ID, s.now()
		tests = append(tests, t.record)
	}
	_, err = s.store.SaveErgTests(ctx, tests)
	plan.Saved = err == nil
	return plan, recordError(err)
}

// saveImported adds or updates one athlete, and the mass where it is new.
func (s *Service) saveImported(ctx context.Context, a *ImportedAthlete, by string) (err error) {
	switch a.Action {
	case "new":
		a.record.ID, err = s.store.AddAthlete(ctx, a.record, s.signed(by))
	case "changed":
		_, err = s.store.UpdateAthlete(ctx, a.record, s.signed(by))
	}
	if err != nil || a.mass == nil {
		return err
	}
	latest, err := s.store.LatestMeasures(ctx, a.record.ID, s.today())
	if err != nil || latest.MassKg != nil && *latest.MassKg == *a.mass {
		return err
	}
	_, err = s.store.AddMeasures(ctx, store.Measures{AthleteID: a.record.ID, MeasuredOn: s.today(), MeasuredBy: by, Body: store.Body{MassKg: a.mass}})
	return err
}

// squadReader turns rows into athletes and tests.
type squadReader struct {
	service *Service
	today   string
	known   []store.Athlete
	table   table
	columns map[string]int
	row     int
	cells   []string
	seen    map[testKey]int // row of each test
	out     SquadImport
	current int // athlete of the rows without a name
}

// read goes through the rows; it errs when the heading is of no use.
func (r *squadReader) read() error {
	rows := r.table.rows
	r.out = SquadImport{Athletes: []ImportedAthlete{}, Tests: []ImportedTest{}, Problems: []TableProblem{}}
	if err := r.heading(rows); err != nil {
		return err
	}
	r.current = -1
	for i, cells := range rows[1:] {
		r.row, r.cells = i+2, cells
		if strings.TrimSpace(strings.Join(cells, "")) == "" {
			continue
		}
		r.out.Rows++
		r.line()
	}
	return nil
}

// heading maps the names of the first row; names that are not ours are told.
func (r *squadReader) heading(rows [][]string) error {
	if len(rows) < 2 {
		return &Unreadable{Text: "The table needs a heading and at least one row: " + strings.Join(squadColumns, ", ") + "."}
	}
	r.columns, r.row = map[string]int{}, 1
	if r.table.others {
		r.complain("", "Only the first sheet, “"+r.table.sheet+"”, is read.")
	}
	for i, cell := range rows[0] {
		name := strings.ToLower(strings.ReplaceAll(strings.TrimSpace(cell), " ", "_"))
		switch {
		case name == "":
		case !slices.Contains(squadColumns, name):
			r.complain(cell, "This column is not known and is passed over.")
		default:
			r.columns[name] = i
		}
	}
	if _, ok := r.columns["name"]; !ok {
		return &Unreadable{Text: "No column is called name. The columns are: " + strings.Join(squadColumns, ", ") + "."}
	}
	return nil
}

func (r *squadReader) complain(column, text string) {
	r.out.Problems = append(r.out.Problems, TableProblem{Row: r.row, Column: column, Text: text})
}

// cell returns a cell without blanks, "" where there is none.
func (r *squadReader) cell(column string) string {
	i, ok := r.columns[column]
	if !ok || i >= len(r.cells) {
		return ""
	}
	text := strings.TrimSpace(r.cells[i])
	if r.table.sheet == "" {
		return unguarded(text)
	}
	return r.fromSheet(column, text)
}

// fromSheet writes days and times, which a spreadsheet may hold as numbers of
// days, as people do.
func (r *squadReader) fromSheet(column, text string) string {
	days, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(days) {
		return text
	}
	switch column {
	case "birth_date", "test_date":
		if at, err := excelize.ExcelDateToTime(days, r.table.since04); err == nil {
			return at.Format(dayLayout)
		}
	case "test_time":
		if days > 0 && days < 1 {
			return erg.FormatTime(days * 24 * 3600)
		}
	}
	return text
}

// number reads an optional number of the row; false when it cannot be used.
func (r *squadReader) number(column string, low, high float64) (*float64, bool) {
	text := strings.ReplaceAll(r.cell(column), ",", ".")
	if text == "" {
		return nil, true
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v >= low && v <= high) {
		r.complain(column, fmt.Sprintf("“%s” does not fit: give a number from %g to %g.", r.cell(column), low, high))
		return nil, false
	}
	return &v, true
}

// line reads one row: who, and perhaps a test.
func (r *squadReader) line() {
	if name := r.cell("name"); name != "" && !r.athlete(name) {
		r.current = -1
		return
	}
	if r.current < 0 {
		r.complain("name", "This row names nobody, and no usable athlete stands above it.")
		return
	}
	if r.cell("test_date") != "" || r.cell("test_time") != "" || r.cell("test_distance_m") != "" {
		r.test()
	}
}

// athlete reads the athlete of a row; false when the row cannot be used.
func (r *squadReader) athlete(name string) bool {
	fields, given, ok := r.fields(name)
	if !ok {
		return false
	}
	birth := or(fields.BirthDate, "")
	for i := range r.out.Athletes {
		if a := &r.out.Athletes[i]; foldName(a.Name) == foldName(name) && (birth == "" || birth == or(a.record.BirthDate, "")) {
			r.current = i
			return true
		}
	}
	old, several := r.onRecord(name, birth)
	if several {
		r.complain("name", "Several athletes on record have this name: add the birth date.")
		return false
	}
	mass, ok := r.number("mass_kg", 20, 200)
	if !ok {
		return false
	}
	a := ImportedAthlete{Name: name, Action: "new", record: fields.stored(), Changes: []string{}, mass: mass}
	if old != nil {
		a = merged(old, &fields, given)
		a.mass = mass
	}
	r.out.Athletes = append(r.out.Athletes, a)
	r.current = len(r.out.Athletes) - 1
	return true
}

// fields reads the athlete's own columns; given tells which were filled in.
func (r *squadReader) fields(name string) (f AthleteFields, given map[string]bool, ok bool) {
	given = map[string]bool{}
	for _, column := range squadColumns {
		given[column] = r.cell(column) != ""
	}
	f = AthleteFields{Name: name, Sex: sexWord(r.cell("sex")), Note: ""}
	if b := r.cell("birth_date"); b != "" {
		f.BirthDate = &b
	}
	port, ok1 := r.number("port_cost_s", 0, longestSideCost)
	starboard, ok2 := r.number("starboard_cost_s", 0, longestSideCost)
	f.PortCostS, f.StarboardCostS = port, starboard
	sculls, ok3 := r.yes("sculls")
	f.Sculls = sculls
	if err := r.service.checkAthlete(&f, "import"); err != nil {
		var bad *Invalid
		if errors.As(err, &bad) {
			for _, p := range bad.Fields {
				r.complain(p.Field, p.Detail)
			}
		}
		return f, given, false
	}
	return f, given, ok1 && ok2 && ok3
}

// yes reads a cell that says yes or no; blank is no.
func (r *squadReader) yes(column string) (yes, ok bool) {
	switch text := strings.ToLower(r.cell(column)); text {
	case "yes", "y", "true", "1", "x":
		return true, true
	case "", "no", "n", "false", "0":
		return false, true
	}
	r.complain(column, "“"+r.cell(column)+"” does not fit: say yes or no.")
	return false, false
}

// sexWord takes the short ways of saying it, too.
func sexWord(text string) string {
	switch strings.ToLower(text) {
	case "f", "w", "woman", "women":
		return "female"
	case "m", "man", "men":
		return "male"
	}
	return strings.ToLower(text)
}

func foldName(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// onRecord finds the athlete of the name, by birth date where one is given.
func (r *squadReader) onRecord(name, birth string) (found *store.Athlete, several bool) {
	for i := range r.known {
		a := &r.known[i]
		if foldName(a.Name) != foldName(name) || birth != "" && a.BirthDate != nil && *a.BirthDate != birth {
			continue
		}
		if found != nil {
			return nil, true
		}
		found = a
	}
	return found, false
}

// merged puts what the table gives over what is on record; blank cells change
// nothing.
func merged(old *store.Athlete, f *AthleteFields, given map[string]bool) ImportedAthlete {
	a := ImportedAthlete{Name: old.Name, Action: "known", record: *old, Changes: []string{}}
	change := func(what, from, to string, apply func()) {
		if from != to {
			a.Action = "changed"
			a.Changes = append(a.Changes, fmt.Sprintf("%s: %s → %s", what, orNone(from), orNone(to)))
			apply()
		}
	}
	if given["sex"] {
		change("sex", old.Sex, f.Sex, func() { a.record.Sex = f.Sex })
	}
	if given["birth_date"] {
		change("birth date", or(old.BirthDate, ""), or(f.BirthDate, ""), func() { a.record.BirthDate = f.BirthDate })
	}
	if given["port_cost_s"] {
		change("port costs", numberOr(old.PortCostS), numberOr(f.PortCostS), func() { a.record.PortCostS = f.PortCostS })
	}
	if given["starboard_cost_s"] {
		change("starboard costs", numberOr(old.StarboardCostS), numberOr(f.StarboardCostS), func() { a.record.StarboardCostS = f.StarboardCostS })
	}
	if given["sculls"] {
		change("sculls", yesNo(old.Sculls), yesNo(f.Sculls), func() { a.record.Sculls = f.Sculls })
	}
	return a
}

func orNone(text string) string {
	if text == "" {
		return "nothing"
	}
	return text
}

func numberOr(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// test reads the test of a row.
func (r *squadReader) test() {
	before := len(r.out.Problems)
	date := r.cell("test_date")
	var p problems
	p.pastDay("test_date", date, "1900-01-01", r.today)
	p.note("note", r.cell("note"))
	for _, f := range p.fields {
		r.complain(f.Field, f.Detail)
	}
	distance, ok := r.number("test_distance_m", 50, 100_000)
	reading, err := erg.ParseTime(r.cell("test_time"))
	if err != nil {
		r.complain("test_time", "“"+r.cell("test_time")+"” is no time: write 6:32.4.")
	}
	mass, _ := r.number("test_mass_kg", 20, 200)
	if distance == nil && ok {
		r.complain("test_distance_m", "Say how far it was.")
	}
	fixed := cmp.Or(strings.ToLower(r.cell("test_fixed")), store.FixedDistance)
	if fixed != store.FixedDistance && fixed != store.FixedTime {
		r.complain("test_fixed", "Say distance or time: which of the two was set.")
	}
	if len(r.out.Problems) == before {
		r.addTest(store.ErgTest{TestedOn: date, Fixed: fixed, DistanceM: *distance, TimeS: reading.Seconds, MassKg: mass, Note: r.cell("note")}, reading)
	}
}

// addTest takes a test in, unless the table has held it already.
func (r *squadReader) addTest(test store.ErgTest, reading erg.Reading) {
	key := keyOf(&test, int64(r.current))
	if row, twice := r.seen[key]; twice {
		r.complain("test_date", fmt.Sprintf("This test of %s stands in row %d already.", r.out.Athletes[r.current].Name, row))
		return
	}
	r.seen[key] = r.row
	r.out.Tests = append(r.out.Tests, ImportedTest{
		Name: r.out.Athletes[r.current].Name, Date: test.TestedOn, of: r.current, Action: "new", record: test,
		Doubt: cmp.Or(reading.Doubt(test.DistanceM), erg.Effort{Distance: test.DistanceM, Time: test.TimeS}.Doubt()),
		Test:  fmt.Sprintf("%s m in %s", strconv.FormatFloat(test.DistanceM, 'f', -1, 64), erg.FormatTime(test.TimeS)),
	})
}

// testKey is what makes two tests the same one: whose, which day, and what was
// set.
type testKey struct {
	athlete int64
	day     string
	fixed   string
	amount  float64
}

func keyOf(t *store.ErgTest, athlete int64) testKey {
	amount := t.DistanceM
	if t.Fixed == store.FixedTime {
		amount = t.TimeS
	}
	return testKey{athlete, t.TestedOn, t.Fixed, amount}
}

// compareTests tells new tests from those on record.
func (s *Service) compareTests(ctx context.Context, plan *SquadImport) error {
	tests, err := s.store.ErgTestsSince(ctx, "0001-01-01")
	if err != nil {
		return recordError(err)
	}
	old := map[testKey]store.ErgTest{}
	for _, t := range tests {
		old[keyOf(&t, t.AthleteID)] = t
	}
	for i := range plan.Tests {
		t := &plan.Tests[i]
		if was, ok := old[keyOf(&t.record, plan.Athletes[t.of].record.ID)]; ok {
			t.Action = "changed"
			if math.Abs(was.TimeS-t.record.TimeS) < 1e-9 && was.DistanceM == t.record.DistanceM && numberOr(was.MassKg) == numberOr(t.record.MassKg) && was.Note == t.record.Note {
				t.Action = "known"
			}
		}
	}
	return nil
}

// SquadTable returns every athlete with every test as a table, heading first:
// what ReadSquad reads.
func (s *Service) SquadTable(ctx context.Context) ([][]string, error) {
	g, err := s.gatherSquad(ctx)
	if err != nil {
		return nil, err
	}
	tests, err := s.store.ErgTestsSince(ctx, "0001-01-01")
	if err != nil {
		return nil, recordError(err)
	}
	of := map[int64][]store.ErgTest{}
	for _, t := range tests {
		of[t.AthleteID] = append(of[t.AthleteID], t)
	}
	rows := [][]string{squadColumns}
	for i := range g.athletes {
		a := &g.athletes[i]
		own := []string{a.Name, a.Sex, or(a.BirthDate, ""), yesNo(a.Sculls), numberOr(a.PortCostS), numberOr(a.StarboardCostS), numberOr(someOf(g.powers.masses[a.ID]))}
		if len(of[a.ID]) == 0 {
			rows = append(rows, append(own, make([]string, len(squadColumns)-len(own))...))
		}
		for _, t := range of[a.ID] {
			rows = append(rows, append(slices.Clone(own), t.TestedOn, t.Fixed, numberOr(&t.DistanceM), erg.FormatTime(t.TimeS), numberOr(t.MassKg), t.Note))
		}
	}
	return rows, nil
}

// WriteSquad writes the squad's table as csv or xlsx; any other kind is
// ErrNotFound.
func (s *Service) WriteSquad(ctx context.Context, kind string, w io.Writer) error {
	rows, err := s.SquadTable(ctx)
	if err != nil {
		return err
	}
	switch kind {
	case "csv":
		return writeCSV(w, rows)
	case "xlsx":
		return writeSheet(w, rows)
	}
	return ErrNotFound
}
