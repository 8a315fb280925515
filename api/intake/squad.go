package intake

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"

	"thole/api/cells"
	"thole/api/columns"
	"thole/api/squadfile"
	"thole/api/store"
)

// SquadLook is what a file of athletes would do.
type SquadLook struct {
	Look
	Plan squadfile.SquadImport

	rows []squadfile.GivenRow
}

// LookAtSquad reads a file and tells what saving it would do, without saving. The
// error is an *Unreadable.
func (s *Service) LookAtSquad(ctx context.Context, f columns.File) (SquadLook, error) {
	opened, err := columns.Open(columns.Squad, &f, "name, height, weight, side or 2k")
	if err != nil {
		return SquadLook{}, err
	}
	r := squadReading{Reading: opened, today: s.Today()}
	look := SquadLook{}
	if f.How == nil || len(f.How.Uses) == 0 {
		var kept *columns.How
		if kept, look.KeptAs, err = s.kept(ctx, columns.Squad, r.Headings()); err != nil {
			return SquadLook{}, err
		}
		f.How = f.How.Over(kept)
	}
	r.propose(f.How)
	r.convert()
	look.Columns, look.How, look.Problems, look.rows = r.Columns, r.How, r.Problems, r.rows
	look.Asks, look.Notes = r.asks(), r.Notes()
	if len(look.Asks) == 0 {
		if look.Plan, err = s.squads.ReadGiven(ctx, r.rows); err != nil {
			return SquadLook{}, err
		}
		r.takeProblems(&look)
	}
	return look, nil
}

// SaveSquad puts a file on record as it was looked at: all that can be used or
// nothing. plan is that of the look.
func (s *Service) SaveSquad(ctx context.Context, f columns.File, by, plan string) (SquadLook, error) {
	look, err := s.LookAtSquad(ctx, f)
	if err != nil || len(look.Asks) > 0 {
		return look, err
	}
	look.Plan, err = s.squads.SaveGiven(ctx, look.rows, squadfile.Saving{By: by, Plan: plan})
	if err == nil {
		err = s.keep(ctx, columns.Squad, f.Keep, &look.Look)
	}
	return look, err
}

// squadReading turns a file into rows of the squad's table.
type squadReading struct {
	columns.Reading
	today string
	rows  []squadfile.GivenRow

	askedDay, askedSides, askedTestDay bool
}

// propose takes what was said of the columns, and guesses where nothing was.
func (r *squadReading) propose(how *columns.How) {
	r.Guess(how)
	if how == nil || len(how.Uses) == 0 {
		r.untangle()
	}
	r.Settle()
	if r.How.DayOrder == "" {
		r.How.DayOrder = r.seenOrder()
	}
	if r.How.Sides == "" {
		r.How.Sides = r.SeenSides()
	}
}

// untangle settles guesses that exclude each other: a name beside a given name is
// the family name, a second column of one meaning is not used.
func (r *squadReading) untangle() {
	if name := r.Has(columns.Name); name >= 0 && r.Has(columns.GivenName) >= 0 && r.Has(columns.FamilyName) < 0 {
		r.Columns[name].Meaning = columns.FamilyName
	}
	if family := r.Has(columns.FamilyName); family >= 0 && r.Has(columns.GivenName) < 0 && r.Has(columns.Name) < 0 && r.Has(columns.NameTurned) < 0 {
		r.Columns[family].Meaning = columns.Name // such as nom, which is both
	}
	r.Once(columns.Squads, columns.Born)
}

// seenOrder is the order that the days of the file show, "" where they show none or
// both.
func (r *squadReading) seenOrder() string {
	seen := map[string]bool{}
	for _, row := range r.Below() {
		for i := range r.Columns {
			if r.Columns[i].Meaning.IsDay() {
				seen[cells.OrderOf(r.Cell(&row, i))] = true
			}
		}
	}
	if seen[cells.DayFirst] != seen[cells.MonthFirst] {
		return map[bool]string{true: cells.DayFirst, false: cells.MonthFirst}[seen[cells.DayFirst]]
	}
	return ""
}

// asks lists what has to be said before the file can be read.
func (r *squadReading) asks() (list []string) {
	if !slices.ContainsFunc(r.Columns, func(c columns.Column) bool {
		return slices.Contains([]columns.Meaning{columns.Name, columns.NameTurned, columns.FamilyName, columns.GivenName}, c.Meaning)
	}) {
		list = append(list, "name")
	}
	for _, ask := range []struct {
		name  string
		asked bool
	}{{"day_order", r.askedDay}, {"sides", r.askedSides}, {"test_day", r.askedTestDay}} {
		if ask.asked {
			list = append(list, ask.name)
		}
	}
	return list
}

// takeProblems joins what the table's reader complains of to what was found here.
func (r *squadReading) takeProblems(look *SquadLook) {
	for _, p := range look.Plan.Problems {
		problem := columns.Problem{At: columns.At{Row: p.Row, Column: p.Cell}, Heading: p.Column, Text: p.Text}
		if p.Cell >= 0 {
			problem.Heading, problem.Cell = r.Columns[p.Cell].Heading, r.FileCell(p.Row, p.Cell)
		}
		look.Problems = append(look.Problems, problem)
	}
	slices.SortStableFunc(look.Problems, func(a, b columns.Problem) int { return cmp.Compare(a.Row, b.Row) })
	for _, t := range look.Plan.Tests {
		if t.Doubt != "" {
			d := columns.Doubt{At: columns.At{Row: t.Row, Column: t.Cell}, Name: t.Name, Text: t.Doubt}
			if t.Cell >= 0 {
				d.Cell = r.FileCell(t.Row, t.Cell)
			}
			look.Doubts = append(look.Doubts, d)
		}
	}
}

// convert turns every row below the heading.
func (r *squadReading) convert() {
	for _, row := range r.Below() {
		c := converted{squadReading: r, row: &row, given: squadfile.GivenRow{Number: row.Number, Values: map[string]string{}, Source: map[string]int{}}}
		c.read()
		r.rows = append(r.rows, c.all()...)
	}
}

// converted is one row on its way.
type converted struct {
	*squadReading
	row   *squadfile.FileRow
	given squadfile.GivenRow
	parts map[columns.Meaning]string
	tests map[string]*test // by effort, "" for the row's own test
	order []string
}

// test is one test of a row.
type test struct {
	values map[string]string
	source map[string]int
}

func (c *converted) read() {
	c.parts, c.tests = map[columns.Meaning]string{}, map[string]*test{}
	for i := range c.Columns {
		text := c.Cell(c.row, i)
		if c.Unsolved(c.row, i) && c.Columns[i].Meaning != columns.Unused {
			c.complain(i, columns.NoResult)
			continue
		}
		if c.Columns[i].Meaning != columns.Unused && !cells.IsBlank(text) {
			c.take(i, text)
		}
	}
	c.name()
}

func (c *converted) complain(column int, text string) {
	c.Reading.Complain(columns.At{Row: c.row.Number, Column: column}, text)
}

// put gives a value to a column of the table, or complains.
func (c *converted) put(name string, column int, value, complaint string) {
	if complaint != "" {
		c.complain(column, complaint)
		return
	}
	c.given.Values[name], c.given.Source[name] = value, column
}

// take reads one cell.
func (c *converted) take(i int, text string) {
	use := c.Columns[i].Use
	switch m := use.Meaning; m {
	case columns.Name, columns.NameTurned, columns.GivenName, columns.FamilyName:
		c.parts[m] = text
		c.given.Source["name"] = i
	case columns.Sex:
		value, ok := cells.Sexes[store.NameKey(text)]
		c.put("sex", i, value, unless(ok, cells.Quoted(text)+" is no sex that is known here: write female or male."))
	case columns.Born:
		c.born(i, text)
	case columns.Side:
		c.side(i, text)
	case columns.Sculls, columns.Coxes:
		value, ok := cells.Answers[store.NameKey(text)]
		c.put(string(m), i, value, unless(ok, cells.Quoted(text)+" does not fit: write yes or no."))
	case columns.Squads:
		c.squads(i, text)
	case columns.Height, columns.ArmSpan, columns.SittingHeight:
		v, complaint := cells.Length(text, use.Unit)
		c.put(string(m)+"_cm", i, number(v), complaint)
	case columns.Mass:
		v, complaint := cells.Mass(text, use.Unit)
		c.put("mass_kg", i, number(v), complaint)
	case columns.PortCost, columns.StarboardCost:
		c.put(string(m)+"_s", i, text, "")
	default:
		c.takeTest(i, text)
	}
}

func unless(ok bool, complaint string) string {
	if ok {
		return ""
	}
	return complaint
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// name joins the parts of a name, the family name first, so that the split is kept.
func (c *converted) name() {
	text := c.parts[columns.Name]
	if turned := c.parts[columns.NameTurned]; turned != "" {
		text = turned
		if at := strings.LastIndex(turned, " "); at > 0 && !strings.Contains(turned, ",") {
			text = turned[:at] + ", " + turned[at+1:]
		}
	}
	given, family := c.parts[columns.GivenName], c.parts[columns.FamilyName]
	switch {
	case given != "" && family != "" && !strings.Contains(given+family, ","):
		text = family + ", " + given
	case given+family != "":
		text = store.JoinName(given, family)
	}
	if text != "" {
		c.given.Values["name"] = text
	}
}

func (c *converted) born(i int, text string) {
	if cells.IsYear(text) {
		c.put("birth_year", i, text, "")
		return
	}
	if day, complaint := c.day(i, text); day != "" || complaint != "" {
		c.put("birth_date", i, day, complaint)
	}
}

// day reads a day; both are "" where the order of day and month must be said first.
func (c *converted) day(_ int, text string) (day, complaint string) {
	text = squadfile.SheetDay(text, c.File)
	day, both, complaint := cells.Day(text, c.How.DayOrder, c.today)
	if both {
		c.askedDay = true
		return "", ""
	}
	return day, complaint
}

func (c *converted) side(i int, text string) {
	marks, ask, ok := cells.Side(text, c.How.Sides)
	c.given.Ticks = true
	switch {
	case ask:
		c.askedSides = true
	case !ok:
		c.complain(i, cells.Quoted(text)+" is no side: write port, starboard or both.")
	}
	for _, mark := range marks {
		switch mark {
		case 'p':
			c.put("port_cost_s", i, "0", "")
		case 's':
			c.put("starboard_cost_s", i, "0", "")
		case 'b':
			c.put("port_cost_s", i, "0", "")
			c.put("starboard_cost_s", i, "0", "")
		case 'x':
			c.put("sculls", i, "yes", "")
		case 'c':
			c.put("coxes", i, "yes", "")
		}
	}
}

// squads reads the names of squads; several stand with commas, semicolons or
// slashes between.
func (c *converted) squads(i int, text string) {
	list := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(";,/|", r) })
	for k := range list {
		list[k] = strings.TrimSpace(list[k])
	}
	if before := c.given.Values["squads"]; before != "" {
		list = append([]string{before}, list...)
	}
	c.put("squads", i, strings.Join(list, "; "), "")
}

// takeTest reads a cell of a test.
func (c *converted) takeTest(i int, text string) {
	what, effort := c.Columns[i].Meaning.Parts()
	t := c.tests[effort]
	if t == nil {
		t = &test{values: map[string]string{}, source: map[string]int{}}
		c.tests[effort] = t
		c.order = append(c.order, effort)
	}
	put := func(name, value string) { t.values[name], t.source[name] = value, i }
	switch what {
	case "time", string(columns.TestTime):
		put("test_time", squadfile.SheetTime(text, c.File))
	case "metres":
		v, ok := readMetres(text)
		if !ok {
			c.complain(i, cells.Quoted(text)+" is no distance: write it in metres.")
			return
		}
		put("test_distance_m", v)
	case "mass", string(columns.TestMass):
		if v, complaint := cells.Mass(text, c.Columns[i].Unit); complaint != "" {
			c.complain(i, complaint)
		} else {
			put("test_mass_kg", number(v))
		}
	case "day", string(columns.TestDay):
		if day, complaint := c.day(i, text); complaint != "" {
			c.complain(i, complaint)
		} else if day != "" {
			put("test_date", day)
		}
	case string(columns.TestDistance):
		c.distance(i, text, put)
	case string(columns.TestFixed):
		put("test_fixed", text)
	case string(columns.TestNote):
		put("note", text)
	}
}

// distance reads what was rowed, such as 2k, 2000 m or 30 min.
func (c *converted) distance(i int, text string, put func(name, value string)) {
	switch effort := columns.EffortIn(text); {
	case strings.HasSuffix(effort, "m"):
		put("test_distance_m", strings.TrimSuffix(effort, "m"))
	case effort != "":
		c.complain(i, "For a test over a time, the distance that was rowed is needed: write it in metres.")
	default:
		if v, ok := readMetres(text); ok {
			put("test_distance_m", v)
			return
		}
		c.complain(i, cells.Quoted(text)+" is no distance: write it like 2000 or 2k.")
	}
}

// readMetres reads a distance in metres, such as 8012, 8.012 or 8,012 m.
func readMetres(text string) (string, bool) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.ToLower(text), "m"))
	v, err := strconv.ParseFloat(strings.NewReplacer(" ", "", ",", "", ".", "", "'", "").Replace(text), 64)
	if plain, err1 := strconv.ParseFloat(text, 64); err1 == nil && plain >= 100 {
		v, err = plain, nil
	}
	return number(v), err == nil && v >= 50 && v <= 100_000
}

// all are the rows of the table that come of a row of the file: the athlete with
// the first test, then the others.
func (c *converted) all() []squadfile.GivenRow {
	list := []squadfile.GivenRow{c.given}
	general := c.tests[""]
	first := true
	for _, effort := range c.order {
		t := c.tests[effort]
		if !c.complete(effort, t, general) {
			continue
		}
		row := &list[0]
		if !first {
			list = append(list, squadfile.GivenRow{Number: c.row.Number, More: true, Values: map[string]string{}, Source: map[string]int{}})
			row = &list[len(list)-1]
		}
		first = false
		for name, value := range t.values {
			row.Values[name] = value
			if at, ok := t.source[name]; ok {
				row.Source[name] = at
			}
		}
	}
	return list
}

// complete fills in what a test's heading and the row say of it; false for no test.
func (c *converted) complete(effort string, t, general *test) bool {
	if effort == "" {
		if t.values["test_time"] == "" && t.values["test_distance_m"] == "" {
			return false // a day alone, for the tests beside it, or a note
		}
	} else {
		amount := effort[:len(effort)-1]
		switch {
		case strings.HasSuffix(effort, "m"):
			t.values["test_distance_m"], t.values["test_fixed"] = amount, store.FixedDistance
		default:
			t.values["test_time"], t.values["test_fixed"] = amount, store.FixedTime
		}
		if t.values["test_time"] == "" || t.values["test_distance_m"] == "" {
			return false // a day without a result
		}
		if general != nil && t.values["test_date"] == "" {
			t.values["test_date"], t.source["test_date"] = general.values["test_date"], general.source["test_date"]
		}
	}
	if t.values["test_date"] == "" {
		if c.How.TestDay == "" && !slices.ContainsFunc(c.Problems, func(p columns.Problem) bool { return p.Row == c.row.Number && c.columnIsDay(p.Column) }) {
			c.askedTestDay = true
		}
		t.values["test_date"] = c.How.TestDay
	}
	return true
}

func (c *converted) columnIsDay(column int) bool {
	return column >= 0 && c.Columns[column].Meaning.IsDay()
}
