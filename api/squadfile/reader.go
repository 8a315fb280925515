package squadfile

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"thole/api/club"
	"thole/api/ergometer"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/erg"
)

// squadReader turns the rows of a table into athletes and tests, seen against
// what is on record.
type squadReader struct {
	service *Service
	today   string
	table   *table
	columns map[string]int // place of each of ours
	named   []bool         // which places have a heading
	row     int
	cells   []string
	source  map[string]int // of the row
	parts   [2]string      // given and family name, where the row tells them apart
	ticks   bool
	more    bool // the row is another test of the one before
	out     SquadImport
	current int              // athlete of the rows without a name, -1 for none
	above   map[string][]int // athletes of the table by the key of their name
	seen    map[testKey]int  // row of each test

	known   map[string][]*store.Athlete // by the key of their name
	bodies  map[int64]store.Body
	squads  map[int64][]string
	tests   map[testKey]*store.ErgTest // on record, by the athlete's id
	claimed map[int64]bool             // athletes on record that the table has named
}

// squadReader gathers what a table is compared with.
func (s *Service) squadReader(ctx context.Context, t *table) (*squadReader, error) {
	r := &squadReader{
		service: s, today: s.Today(), table: t, current: -1, above: map[string][]int{}, seen: map[testKey]int{},
		known: map[string][]*store.Athlete{}, bodies: map[int64]store.Body{}, tests: map[testKey]*store.ErgTest{}, claimed: map[int64]bool{},
		out: SquadImport{Athletes: []ImportedAthlete{}, Tests: []ImportedTest{}, Problems: []TableProblem{}},
	}
	athletes, err := s.Store.Athletes(ctx, store.Filter{Archived: true})
	if err != nil {
		return nil, records.RecordError(err)
	}
	for i := range athletes {
		key := store.NameKey(athletes[i].Name)
		r.known[key] = append(r.known[key], &athletes[i])
	}
	measures, err := s.Store.AllLatestMeasures(ctx, r.today)
	if err != nil {
		return nil, records.RecordError(err)
	}
	for id := range measures {
		r.bodies[id] = measures[id].Body
	}
	if r.squads, err = s.squadNames(ctx); err != nil {
		return nil, err
	}
	tests, err := s.Store.ErgTestsSince(ctx, "0001-01-01")
	for i := range tests {
		r.tests[keyOf(&tests[i], tests[i].AthleteID)] = &tests[i]
	}
	return r, records.RecordError(err)
}

// read goes through the rows; it errs when the heading is of no use.
func (r *squadReader) read() error {
	if err := r.heading(); err != nil {
		return err
	}
	for _, line := range r.table.rows[1:] {
		r.row, r.cells, r.source, r.more, r.ticks = line.number, line.cells, line.source, line.more, line.ticks
		if !r.more {
			r.out.Rows++
		}
		r.line()
	}
	for i := range r.out.Athletes {
		a := &r.out.Athletes[i]
		if a.old == nil {
			a.finish(store.Body{}, nil)
			r.doubtNamesake(a)
			continue
		}
		a.finish(r.bodies[a.old.ID], r.squads[a.old.ID])
	}
	return nil
}

// doubtNamesake asks about a new athlete whose name is on record with another
// birth date: it may be a slip in the date.
func (r *squadReader) doubtNamesake(a *ImportedAthlete) {
	for _, other := range r.known[store.NameKey(a.Name)] {
		a.Doubt = "Another athlete of this name is on record, without a birth date."
		if other.BirthDate != nil {
			a.Doubt = "Another athlete of this name is on record, born " + *other.BirthDate + "."
		}
	}
}

// heading maps the names of the first row; names that are not ours are told.
func (r *squadReader) heading() error {
	rows := r.table.rows
	if len(rows) < 2 {
		return &wire.Unreadable{Text: "The table needs a heading and at least one row: " + strings.Join(squadColumns, ", ") + "."}
	}
	r.columns, r.row, r.named = map[string]int{}, rows[0].number, make([]bool, len(rows[0].cells))
	if r.table.others {
		r.complain("", "Only the first sheet, "+shown(r.table.sheet)+", is read.")
	}
	for i, cell := range rows[0].cells {
		cell = strings.TrimSpace(cell)
		name := strings.ToLower(strings.Join(strings.Fields(cell), "_"))
		_, twice := r.columns[name]
		switch {
		case name == "":
			continue
		case !slices.Contains(squadColumns, name):
			r.complain(cut(cell), "This column is not known and is passed over.")
		case twice:
			return &wire.Unreadable{Text: fmt.Sprintf("Row %d: the column %s stands there twice, as columns %d and %d. Keep one.", r.row, name, r.columns[name]+1, i+1)}
		default:
			r.columns[name] = i
		}
		r.named[i] = true
	}
	if _, ok := r.columns["name"]; !ok {
		return &wire.Unreadable{Text: fmt.Sprintf("Row %d should name the columns, and none is called name. The columns are: %s.", r.row, strings.Join(squadColumns, ", "))}
	}
	return nil
}

func (r *squadReader) complain(column, text string) {
	p := TableProblem{Row: r.row, Column: column, Text: text, Cell: NoCell}
	if at, ok := r.source[column]; ok {
		p.Cell = at
	}
	r.out.Problems = append(r.out.Problems, p)
}

// complainOf is complain for a field of the records, which may be none of the
// table.
func (r *squadReader) complainOf(err error) {
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		for _, f := range bad.Fields {
			r.complain(f.Field, f.Detail)
		}
	}
}

// lineEnds makes one of the ways to end a line within a cell.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// cell returns a cell without blanks, "" where there is none.
func (r *squadReader) cell(column string) string {
	i, ok := r.columns[column]
	if !ok || i >= len(r.cells) {
		return ""
	}
	text := strings.TrimSpace(lineEnds.Replace(r.cells[i]))
	if r.table.sheet == "" {
		return unguarded(text)
	}
	return r.fromSheet(column, text)
}

// The numbers of days that spreadsheets mean when they hold a day or a time:
// days from 1910 on, so that a bare year is none, and times of up to 100 hours,
// which is what 100 minutes typed as 100:00 come to.
const (
	firstSerial = 3654
	lastSerial  = 73_051 // 2100
	longestTime = 100.0 / 24
)

// fromSheet writes days and times, which a spreadsheet may hold as numbers of
// days, as people do.
func (r *squadReader) fromSheet(column, text string) string {
	days, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return text
	}
	switch column {
	case "birth_date", "test_date":
		at, err := excelize.ExcelDateToTime(days, r.table.since04)
		if err == nil && days >= firstSerial && days <= lastSerial {
			return at.Format(wire.DayLayout)
		}
	case "test_time":
		if days > 0 && days <= longestTime {
			return clockText(days * 24 * 3600)
		}
	}
	return text
}

// clockText writes a time with hours, always, and without a fraction where it
// has none, as it was typed.
func clockText(seconds float64) string {
	text := strings.TrimSuffix(wire.FormatTime(seconds), ".0")
	switch {
	case strings.Count(text, ":") == 2:
		return text
	case strings.Index(text, ":") == 1:
		return "0:0" + text
	}
	return "0:" + text
}

// number reads an optional number of the row; false when it cannot be used.
func (r *squadReader) number(column string, low, high float64) (*float64, bool) {
	text := r.cell(column)
	if text == "" {
		return nil, true
	}
	v, complaint := readNumber(text, low, high)
	if complaint != "" {
		r.complain(column, complaint)
		return nil, false
	}
	return &v, true
}

// day reads an optional day of the row; false when it cannot be used.
func (r *squadReader) day(column string) (string, bool) {
	text := r.cell(column)
	if text == "" {
		return "", true
	}
	day, complaint := readDay(text)
	if complaint != "" {
		r.complain(column, complaint)
	}
	return day, complaint == ""
}

// yes reads a cell that says yes or no; blank is no.
func (r *squadReader) yes(column string) (yes, ok bool) {
	text := r.cell(column)
	if text == "" {
		return false, true
	}
	yes, ok = yesWords[strings.ToLower(text)]
	if !ok {
		r.complain(column, shown(text)+" does not fit: say yes or no.")
	}
	return yes, ok
}

// line reads one row: who, and perhaps a test.
func (r *squadReader) line() {
	name := r.cell("name")
	r.parts = [2]string{}
	if strings.Contains(name, ",") { // Surname, First
		r.parts[0], r.parts[1] = store.SplitName(name)
		name = store.JoinName(r.parts[0], r.parts[1])
	}
	if !r.sound() {
		if name != "" {
			r.current = -1
		}
		return
	}
	if name != "" && !r.athlete(name) {
		r.current = -1
		return
	}
	if r.current < 0 && r.more {
		return // that nobody is named was said at the row's beginning
	}
	if r.current < 0 {
		r.complain("name", "This row names nobody, and no usable athlete stands above it.")
		return
	}
	if name == "" && !r.ownColumns(r.out.Athletes[r.current].Name) {
		return
	}
	for _, column := range []string{"test_date", "test_time", "test_distance_m", "test_mass_kg", "note"} {
		if r.cell(column) != "" {
			r.test()
			return
		}
	}
}

// sound reports whether every cell of the row stands under a heading and holds a
// value.
func (r *squadReader) sound() bool {
	before := len(r.out.Problems)
	for i, cell := range r.cells {
		if strings.TrimSpace(cell) != "" && (i >= len(r.named) || !r.named[i]) {
			r.complain(fmt.Sprintf("column %d", i+1), shown(cell)+" stands under no heading. Is a separator within a cell, such as a decimal comma? Such cells need quotation marks.")
			break
		}
	}
	for _, column := range squadColumns {
		i, ok := r.columns[column]
		switch {
		case !ok:
		case formulaErrors.MatchString(r.cell(column)):
			r.complain(column, shown(r.cell(column))+" is what a formula gives that fails.")
		case r.table.unsolved[cellAt{r.row, i}]:
			r.complain(column, "This cell holds a formula without its result: open the file in a spreadsheet, save it, and import it again.")
		}
	}
	return len(r.out.Problems) == before
}

// athlete reads the athlete of a row; false when the row cannot be used.
func (r *squadReader) athlete(name string) bool {
	said, ok := r.said(name)
	if !ok {
		return false
	}
	i, ok := r.place(name, wire.Or(said.fields.BirthDate, ""))
	if !ok {
		return false
	}
	if i >= 0 {
		r.current = i
		return r.join(&r.out.Athletes[i], &said)
	}
	old, ok := r.onRecord(name, wire.Or(said.fields.BirthDate, ""))
	if !ok {
		return false
	}
	if old == nil && !r.distinct(name) {
		return false
	}
	r.begin(ImportedAthlete{Row: r.row, Name: said.fields.Name, said: said, old: old, bare: said.fields.BirthDate == nil})
	return true
}

// begin takes in an athlete who is new to the table.
func (r *squadReader) begin(a ImportedAthlete) {
	if a.old != nil {
		a.Name = a.old.Name
		r.claimed[a.old.ID] = true
	}
	r.current = len(r.out.Athletes)
	key := store.NameKey(a.Name)
	r.above[key] = append(r.above[key], r.current)
	r.out.Athletes = append(r.out.Athletes, a)
}

// distinct reports whether a new athlete can be told from those above. A row
// above with the bare name stood for the only one on record so far; once there
// are two, the same table would be read in another way.
func (r *squadReader) distinct(name string) bool {
	for _, i := range r.above[store.NameKey(name)] {
		if a := &r.out.Athletes[i]; a.bare && a.born() != "" {
			r.complain("birth_date", fmt.Sprintf("Row %d names %s without a birth date, and %s is on record: add the date there, if these are two.", a.Row, a.Name, a.born()))
			return false
		}
	}
	return true
}

// ownColumns reads the athlete's own columns of a row without a name.
func (r *squadReader) ownColumns(name string) bool {
	said, ok := r.said(name)
	if !ok {
		return false
	}
	a := &r.out.Athletes[r.current]
	if birth := wire.Or(said.fields.BirthDate, ""); birth != "" && birth != a.born() {
		r.complain("birth_date", fmt.Sprintf("Row %d names %s with another birth date or without: name the athlete of this row.", a.Row, a.Name))
		return false
	}
	return r.join(a, &said)
}

// said reads the athlete's own columns.
func (r *squadReader) said(name string) (a athleteRow, ok bool) {
	before := len(r.out.Problems)
	a = athleteRow{ticks: r.ticks, fields: club.AthleteFields{Name: name, Sex: sexWord(r.cell("sex"))}, where: map[string]int{}}
	for _, column := range squadColumns {
		if r.cell(column) != "" {
			a.where[column] = r.row
		}
	}
	if day, ok := r.day("birth_date"); ok && day != "" {
		a.fields.BirthDate = &day
	}
	a.fields.PortCostS, _ = r.number("port_cost_s", 0, club.LongestSideCost)
	a.fields.StarboardCostS, _ = r.number("starboard_cost_s", 0, club.LongestSideCost)
	a.fields.Sculls, _ = r.yes("sculls")
	a.fields.Coxes, _ = r.yes("coxes")
	if year, _ := r.number("birth_year", 1900, 2200); year != nil && a.fields.BirthDate == nil {
		a.fields.BirthYear = wire.Ptr(int64(*year))
	}
	for name := range strings.SplitSeq(r.cell("squads"), ";") {
		if name = strings.Join(strings.Fields(name), " "); name != "" {
			a.fields.NewSquads = append(a.fields.NewSquads, name)
		}
	}
	for _, m := range bodyColumns {
		least, most := m.ends()
		*m.of(&a.body), _ = r.number(m.column, least, most)
	}
	a.fields.GivenName, a.fields.FamilyName = r.parts[0], r.parts[1]
	r.complainOf(r.service.club.CheckAthlete(&a.fields, "import"))
	return a, len(r.out.Problems) == before
}

// born is the birth date as far as it is known, "" for not known.
func (a *ImportedAthlete) born() string {
	if b := a.said.fields.BirthDate; b != nil || a.old == nil {
		return wire.Or(b, "")
	}
	return wire.Or(a.old.BirthDate, "")
}

// place finds an athlete in the rows above, -1 for none. A name alone stands
// for the athlete who was named so before, or for the only one of the name.
func (r *squadReader) place(name, birth string) (i int, ok bool) {
	above := r.above[store.NameKey(name)]
	for _, i := range above {
		a := &r.out.Athletes[i]
		if birth != "" && birth == a.born() || birth == "" && a.bare {
			return i, true
		}
	}
	switch {
	case birth != "" || len(above) == 0:
		return -1, true
	case len(above) == 1:
		return above[0], true
	}
	r.complain("name", fmt.Sprintf("Several athletes of this name stand above, the first in row %d: add the birth date.", r.out.Athletes[above[0]].Row))
	return -1, false
}

// onRecord finds an athlete on record, nil for none. A name alone stands for
// the athlete whose birth date is not known, or for the only one of the name; a
// birth date stands for the athlete of that date, or for the one without.
func (r *squadReader) onRecord(name, birth string) (old *store.Athlete, ok bool) {
	list := r.known[store.NameKey(name)]
	for _, a := range list {
		if wire.Or(a.BirthDate, "") == birth {
			return a, true
		}
	}
	if birth != "" {
		for _, a := range list {
			if a.BirthDate == nil && !r.claimed[a.ID] {
				return a, true
			}
		}
		return nil, true
	}
	switch len(list) {
	case 0:
		return nil, true
	case 1:
		return list[0], true
	}
	r.complain("name", "Several athletes on record have this name: add the birth date.")
	return nil, false
}

// join takes over what a further row says of an athlete; a row that
// contradicts one above is refused.
func (r *squadReader) join(a *ImportedAthlete, more *athleteRow) bool {
	f, g, ok := &a.said.fields, &more.fields, true
	var news []func()
	for _, c := range []joined{
		{"birth_date", wire.Or(f.BirthDate, ""), wire.Or(g.BirthDate, ""), func() { f.BirthDate = g.BirthDate }},
		{"sex", f.Sex, g.Sex, func() { f.Sex = g.Sex }},
		{"sculls", yesNo(f.Sculls), yesNo(g.Sculls), func() { f.Sculls = g.Sculls }},
		{"port_cost_s", numberOr(f.PortCostS), numberOr(g.PortCostS), func() { f.PortCostS = g.PortCostS }},
		{"starboard_cost_s", numberOr(f.StarboardCostS), numberOr(g.StarboardCostS), func() { f.StarboardCostS = g.StarboardCostS }},
		{"birth_year", yearOr(f.BirthYear), yearOr(g.BirthYear), func() { f.BirthYear = g.BirthYear }},
		{"coxes", yesNo(f.Coxes), yesNo(g.Coxes), func() { f.Coxes = g.Coxes }},
		{"squads", strings.Join(f.NewSquads, "; "), strings.Join(g.NewSquads, "; "), func() { f.NewSquads = g.NewSquads }},
		a.bodyJoin(more, 0), a.bodyJoin(more, 1), a.bodyJoin(more, 2), a.bodyJoin(more, 3),
	} {
		switch said := a.said.where[c.column]; {
		case more.where[c.column] == 0:
		case said == 0:
			news = append(news, func() { a.said.where[c.column] = r.row; c.take() })
		case c.was != c.is:
			r.complain(c.column, fmt.Sprintf("Row %d says %s of %s, this one %s.", said, c.was, a.Name, c.is))
			ok = false
		}
	}
	for _, take := range news {
		if ok { // a row counts as a whole
			take()
		}
	}
	return ok
}

// joined is a column of an athlete in two rows, and how to take the later one.
type joined struct {
	column, was, is string
	take            func()
}

func (a *ImportedAthlete) bodyJoin(more *athleteRow, k int) joined {
	m := bodyColumns[k]
	was, is := m.of(&a.said.body), m.of(&more.body)
	return joined{m.column, numberOr(*was), numberOr(*is), func() { *was = *is }}
}

// bodyColumn is a measure of a body that a table can hold.
type bodyColumn struct {
	column, what, unit string
	field              rigging.Field
	of                 func(*store.Body) **float64
}

// ends returns the ends of the plausible range, in the column's unit.
func (m *bodyColumn) ends() (least, most float64) {
	r, _ := rigging.RangeOf(rigging.PlaceOf(rigging.FieldRower, m.field), rigging.Class{})
	factor := wire.Units[r.Quantity].Factor
	return wire.Round(r.Low*factor, 10), wire.Round(r.High*factor, 10)
}

var bodyColumns = []bodyColumn{
	{"mass_kg", "mass", "kg", rigging.FieldMass, func(b *store.Body) **float64 { return &b.MassKg }},
	{"height_cm", "height", "cm", rigging.FieldStature, func(b *store.Body) **float64 { return &b.StatureCm }},
	{"arm_span_cm", "arm span", "cm", rigging.FieldArmSpan, func(b *store.Body) **float64 { return &b.ArmSpanCm }},
	{"sitting_height_cm", "sitting height", "cm", rigging.FieldSittingHeight, func(b *store.Body) **float64 { return &b.SittingHeightCm }},
}

func yearOr(year *int64) string {
	if year == nil {
		return ""
	}
	return strconv.FormatInt(*year, 10)
}

// test reads the test of a row.
func (r *squadReader) test() {
	before := len(r.out.Problems)
	day, ok := r.day("test_date")
	if ok {
		var p wire.Problems
		p.PastDay(wire.At("test_date"), day, cmp.Or(r.out.Athletes[r.current].born(), ergometer.EarliestTest), r.today)
		r.complainOf(p.OrNil())
	}
	e := store.ErgTest{TestedOn: day, Fixed: strings.ToLower(r.cell("test_fixed")), Note: r.cell("note")}
	if e.Fixed != "" && e.Fixed != store.FixedDistance && e.Fixed != store.FixedTime {
		r.complain("test_fixed", "Say distance or time: which of the two was set.")
	}
	e.MassKg, _ = r.number("test_mass_kg", ergometer.LightestTested, ergometer.HeaviestTested)
	doubt := r.effort(&e)
	var p wire.Problems
	p.Note(wire.At("note"), e.Note)
	p.Printable(wire.At("note"), e.Note, "\n\t")
	r.complainOf(p.OrNil())
	if len(r.out.Problems) == before {
		r.addTest(&e, doubt)
	}
}

// effort reads distance and time of a test.
func (r *squadReader) effort(e *store.ErgTest) (doubt string) {
	distance, ok := r.number("test_distance_m", ergometer.ShortestDistance, ergometer.LongestDistance)
	switch {
	case !ok:
		return ""
	case distance == nil:
		r.complain("test_distance_m", "Say how far it was.")
		return ""
	}
	e.DistanceM = *distance
	var complaint string
	if e.TimeS, doubt, complaint = readTestTime(r.cell("test_time"), e.DistanceM); complaint != "" {
		r.complain("test_time", complaint)
	}
	return doubt
}

// addTest takes a test in, unless the table has held it already.
func (r *squadReader) addTest(e *store.ErgTest, doubt string) {
	a := &r.out.Athletes[r.current]
	old := r.testOnRecord(a, e)
	e.Fixed = cmp.Or(e.Fixed, store.FixedDistance)
	key := keyOf(e, int64(r.current))
	if row, twice := r.seen[key]; twice {
		r.complain("test_date", fmt.Sprintf("This test of %s stands in row %d already.", a.Name, row))
		return
	}
	r.seen[key] = r.row
	t := ImportedTest{
		Row: r.row, Name: a.Name, Date: e.TestedOn, of: r.current, record: *e,
		Doubt: cmp.Or(doubt, erg.Effort{Distance: e.DistanceM, Time: e.TimeS}.Doubt()), Cell: NoCell,
		Test: fmt.Sprintf("%s m in %s", numberOr(&e.DistanceM), wire.FormatTime(e.TimeS)),
	}
	if at, ok := r.source["test_time"]; ok {
		t.Cell = at
	} else if at, ok := r.source["test_distance_m"]; ok {
		t.Cell = at
	}
	if pace := 500 * e.TimeS / e.DistanceM; r.source != nil && t.Doubt == "" && pace > slowestGuess {
		t.Doubt = fmt.Sprintf("%s is %s per 500 m, which is slow", t.Test, wire.FormatTime(pace))
	}
	t.against(old)
	r.out.Tests = append(r.out.Tests, t)
}

// slowestGuess is the pace, s per 500 m, beyond which a result in a table of
// unknown columns is asked about; engineering judgement: 12 minutes over 2000 m.
const slowestGuess = 180

// testOnRecord finds the test on record that a row is about, nil for none. A
// row that leaves open what was set is about a test over time, too, when
// distance and time are that test's.
func (r *squadReader) testOnRecord(a *ImportedAthlete, e *store.ErgTest) *store.ErgTest {
	if a.old == nil {
		return nil
	}
	probe := *e
	probe.Fixed = cmp.Or(e.Fixed, store.FixedDistance)
	if old := r.tests[keyOf(&probe, a.old.ID)]; old != nil || e.Fixed != "" {
		return old
	}
	probe.Fixed = store.FixedTime
	if old := r.tests[keyOf(&probe, a.old.ID)]; old != nil && old.DistanceM == e.DistanceM {
		e.Fixed = store.FixedTime
		return old
	}
	return nil
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
		amount = wire.ToThousandths(t.TimeS)
	}
	return testKey{athlete, t.TestedOn, t.Fixed, amount}
}
