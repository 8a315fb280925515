package squadfile

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"

	"thole/api/club"
	"thole/api/gate"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// SquadImport is what a table of athletes and tests would do, or has done.
type SquadImport struct {
	Rows     int               `json:"rows"`
	Athletes []ImportedAthlete `json:"athletes"`
	Tests    []ImportedTest    `json:"tests"`
	Problems []TableProblem    `json:"problems" description:"What of the table is left out, with the reason."`
	Plan     string            `json:"plan" description:"Stands for all that the table does to the records as they are. Sent with the import, that does this or nothing."`
	Saved    bool              `json:"saved"`
}

// ImportedAthlete is one athlete of the table.
type ImportedAthlete struct {
	Row       int      `json:"row" description:"Where the athlete stands first, as the file counts its rows."`
	AthleteID int64    `json:"athlete_id,omitempty" description:"Left out for one who is not on record yet."`
	Name      string   `json:"name"`
	BirthDate *string  `json:"birth_date" description:"YYYY-MM-DD."`
	Action    string   `json:"action" enum:"new,changed,known"`
	Changes   []string `json:"changes" description:"Fields that the table changes, old to new."`
	Doubt     string   `json:"doubt,omitempty" description:"Why to check it."`

	said   athleteRow
	bare   bool           // named without a birth date at first
	old    *store.Athlete // nil for a new one
	record store.Athlete
	body   store.Body // what is not known already
	join   []string   // squads that the athlete is not in yet
}

// ImportedTest is one ergometer test of the table.
type ImportedTest struct {
	Row     int      `json:"row" description:"As the file counts its rows."`
	Name    string   `json:"name"`
	Date    string   `json:"date"`
	Test    string   `json:"test" description:"As people write it, such as 2000 m in 6:32.4."`
	Action  string   `json:"action" enum:"new,changed,known"`
	Changes []string `json:"changes" description:"What the table changes of a test on record, old to new."`
	Doubt   string   `json:"doubt,omitempty" description:"Why to check it."`

	Cell int `json:"-"` // place of the result's cell in the file's row, from 0; NoCell for none

	record store.ErgTest
	of     int // index of the athlete
}

// TableProblem is one cell or row that cannot be used.
type TableProblem struct {
	Row    int    `json:"row" description:"As the file counts its rows or lines, the first being 1."`
	Column string `json:"column,omitempty" description:"Its heading; left out where the whole row is meant."`
	Text   string `json:"text"`
	Cell   int    `json:"-"` // place of the cell in the file's row, from 0; NoCell for none
}

// NoCell is where a problem is about no cell of the file.
const NoCell = -1

// The actions of an import.
const (
	actionNew     = "new"
	actionChanged = "changed"
	actionKnown   = "known"
)

// Saving says how a table is put on record.
type Saving struct {
	By    string
	Plan  string // of the look before; "" saves whatever the table does now
	Whole bool   // refuse a table of which anything would be left out
}

// ErrStale says that the records have moved on since somebody looked.
var ErrStale = &wire.Refusal{Status: http.StatusConflict, Text: "the records have changed since: check the table again before you save it", Type: wire.RecordsMoved}

// Read reads a table and says what saving it would do, without saving.
// The error is an *Unreadable.
func (s *Service) Read(ctx context.Context, file io.Reader) (SquadImport, error) {
	return gate.Through(ctx, s.Gate, func(ctx context.Context) (SquadImport, error) {
		table, err := readTable(file)
		if err != nil {
			return SquadImport{}, err
		}
		return s.plan(ctx, &table)
	})
}

// plan reports what saving a table would do.
func (s *Service) plan(ctx context.Context, t *table) (SquadImport, error) {
	r, err := s.squadReader(ctx, t)
	if err != nil {
		return SquadImport{}, err
	}
	if err := r.read(); err != nil {
		return SquadImport{}, err
	}
	r.out.Plan = r.out.digest()
	return r.out, nil
}

// Save reads a table and puts it on record, all that can be used or
// nothing; rows with problems are left out. A test of the same athlete, day and
// distance or time is updated, so that the same table can come in again.
func (s *Service) Save(ctx context.Context, file io.Reader, by string) (SquadImport, error) {
	return s.Import(ctx, file, Saving{By: by})
}

// Import reads a table and puts it on record in one go. Errors: an
// *Invalid, which names row and column of what would be left out, an
// *Unreadable, or ErrStale; nothing is saved then.
func (s *Service) Import(ctx context.Context, file io.Reader, how Saving) (SquadImport, error) {
	return s.save(ctx, how, func() (SquadImport, error) { return s.Read(ctx, file) })
}

// save puts what a table does on record.
func (s *Service) save(ctx context.Context, how Saving, read func() (SquadImport, error)) (SquadImport, error) {
	var p wire.Problems
	p.Author(how.By)
	if err := p.OrNil(); err != nil {
		return SquadImport{}, err
	}
	plan, err := read()
	switch {
	case err != nil:
		return plan, err
	case how.Whole && len(plan.Problems) > 0:
		return plan, leftOut(plan.Problems)
	case how.Plan != "" && how.Plan != plan.Plan:
		return plan, ErrStale
	}
	return plan, s.commit(ctx, &plan, how.By)
}

// leftOut describes problems of a table as a refusal.
func leftOut(list []TableProblem) error {
	bad := &wire.Invalid{}
	for _, p := range list[:min(len(list), wire.MaxProblems)] {
		f := wire.At("file").Problem(p.sentence())
		f.Row, f.Column = p.Row, p.Column
		bad.Fields = append(bad.Fields, f)
	}
	return bad
}

// sentence names the place in front of the text.
func (p *TableProblem) sentence() string {
	if p.Column == "" {
		return fmt.Sprintf("Row %d: %s", p.Row, p.Text)
	}
	return fmt.Sprintf("Row %d, %s: %s", p.Row, p.Column, p.Text)
}

// commit writes what a table does in one transaction. What somebody else wrote
// between reading and writing makes it ErrStale.
func (s *Service) commit(ctx context.Context, plan *SquadImport, by string) error {
	squad := make([]store.SquadMember, len(plan.Athletes))
	for i := range plan.Athletes {
		a := &plan.Athletes[i]
		squad[i] = store.SquadMember{Athlete: a.record, Body: a.body, Join: a.join}
	}
	for i := range plan.Tests {
		if t := &plan.Tests[i]; t.Action != actionKnown {
			t.record.EnteredAt = s.Now()
			squad[t.of].Tests = append(squad[t.of].Tests, t.record)
		}
	}
	ids, err := s.Store.SaveSquad(ctx, squad, s.Today(), s.Signed(by))
	var moved *store.ErrConflict
	if errors.As(err, &moved) || errors.Is(err, store.ErrTaken) || errors.Is(err, store.ErrNotFound) {
		return fmt.Errorf("%w (%w)", ErrStale, err)
	}
	if err != nil {
		return records.RecordError(err)
	}
	for i := range plan.Athletes {
		plan.Athletes[i].AthleteID = ids[i]
	}
	plan.Saved = true
	return nil
}

// digest stands for everything that saving the plan would write, and for what
// it would write over.
func (p *SquadImport) digest() string {
	sum := sha256.New()
	out := json.NewEncoder(sum)
	for i := range p.Athletes {
		_ = out.Encode([]any{p.Athletes[i], p.Athletes[i].record, p.Athletes[i].body, p.Athletes[i].join}) // a hash takes everything
	}
	for i := range p.Tests {
		_ = out.Encode([]any{p.Tests[i], p.Tests[i].record, p.Tests[i].of})
	}
	_ = out.Encode(p.Problems)
	return hex.EncodeToString(sum.Sum(nil)[:16])
}

// athleteRow is what rows of a table say of an athlete; where tells the row of
// each column that was filled in.
type athleteRow struct {
	fields club.AthleteFields
	body   store.Body
	where  map[string]int
	ticks  bool // the costs of the sides say only that they are rowed
}

// finish settles what a table does to an athlete, after its last row. Blank
// cells change nothing.
func (a *ImportedAthlete) finish(known store.Body, squads []string) {
	a.Action, a.Changes = actionKnown, []string{}
	if a.old == nil {
		a.Action, a.record, a.body, a.join = actionNew, a.said.fields.Stored(), a.said.body, a.said.fields.NewSquads
		a.BirthDate = a.record.BirthDate
		return
	}
	a.record, a.AthleteID = *a.old, a.old.ID
	a.compare(known, squads)
	a.BirthDate = a.record.BirthDate
	if len(a.Changes) > 0 {
		a.Action = actionChanged
	}
	if a.old.Archived {
		a.Doubt = "The athlete is archived, and stays out of the squad until taken back."
	}
}

// compare puts what the table gives over what is on record.
func (a *ImportedAthlete) compare(known store.Body, squads []string) {
	f := &a.said.fields
	change := func(column, what, from, to string, apply func()) {
		if a.said.where[column] > 0 && from != to {
			a.Changes = append(a.Changes, changeText(what, from, to))
			apply()
		}
	}
	change("sex", "sex", a.old.Sex, f.Sex, func() { a.record.Sex = f.Sex })
	change("birth_date", "birth date", wire.Or(a.old.BirthDate, ""), wire.Or(f.BirthDate, ""), func() { a.record.BirthDate = f.BirthDate })
	if a.said.ticks {
		f.PortCostS, f.StarboardCostS = cmp.Or(a.old.PortCostS, f.PortCostS), cmp.Or(a.old.StarboardCostS, f.StarboardCostS)
	}
	change("port_cost_s", "port costs", amountOr(a.old.PortCostS, "s"), amountOr(f.PortCostS, "s"), func() { a.record.PortCostS = f.PortCostS })
	change("starboard_cost_s", "starboard costs", amountOr(a.old.StarboardCostS, "s"), amountOr(f.StarboardCostS, "s"), func() { a.record.StarboardCostS = f.StarboardCostS })
	change("sculls", "sculls", yesNo(a.old.Sculls), yesNo(f.Sculls), func() { a.record.Sculls = f.Sculls })
	change("coxes", "coxes", yesNo(a.old.Coxes), yesNo(f.Coxes), func() { a.record.Coxes = f.Coxes })
	if a.record.BirthDate == nil {
		change("birth_year", "birth year", yearOr(a.old.BirthYear), yearOr(f.BirthYear), func() { a.record.BirthYear = f.BirthYear })
	} else {
		a.record.BirthYear = nil // the date says it
	}
	for _, m := range bodyColumns {
		said := *m.of(&a.said.body)
		change(m.column, m.what, amountOr(*m.of(&known), m.unit), amountOr(said, m.unit), func() { *m.of(&a.body) = said })
	}
	for _, name := range f.NewSquads {
		if !slices.ContainsFunc(squads, func(in string) bool { return store.NameKey(in) == store.NameKey(name) }) {
			a.join, a.Changes = append(a.join, name), append(a.Changes, "joins "+name)
		}
	}
}

func changeText(what, from, to string) string {
	return fmt.Sprintf("%s: %s → %s", what, cmp.Or(from, "nothing"), cmp.Or(to, "nothing"))
}

// against settles what a table does to a test, given the one on record or nil.
// Blank cells change nothing.
func (t *ImportedTest) against(old *store.ErgTest) {
	t.Action, t.Changes = actionNew, []string{}
	if old == nil {
		return
	}
	e := &t.record
	t.Action, e.MassKg, e.Note = actionKnown, cmp.Or(e.MassKg, old.MassKg), cmp.Or(e.Note, old.Note)
	if sameTime(e.TimeS, old.TimeS) {
		e.TimeS = old.TimeS
	}
	for _, c := range []struct{ what, from, to string }{
		{"distance", amountOr(&old.DistanceM, "m"), amountOr(&e.DistanceM, "m")}, {"time", wire.FormatTime(old.TimeS), wire.FormatTime(e.TimeS)},
		{"mass", amountOr(old.MassKg, "kg"), amountOr(e.MassKg, "kg")}, {"note", old.Note, e.Note},
	} {
		if c.from != c.to {
			t.Action, t.Changes = actionChanged, append(t.Changes, changeText(c.what, strings.TrimSpace(c.from), c.to))
		}
	}
}
