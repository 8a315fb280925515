package intake

import (
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"thole/api/cells"
	"thole/api/columns"
	"thole/api/intake"
	"thole/api/rest"
	"thole/api/wire"
	"thole/ui/page"
)

// The import of a club's own table: chosen, its columns confirmed, looked at, mended
// in place, saved.

// kind is a kind of table that comes in.
type kind interface {
	about() about
	// look tells what a file does; the plan is nil while something is asked.
	look(ctx context.Context, f columns.File) (intake.Look, *plan, error)
	// save does it, given the digest of the look before.
	save(ctx context.Context, f columns.File, by, seen string) (*plan, error)
	// moved tells the error of records that have changed since the look.
	moved(err error) bool
}

// about is what the page of a kind says.
type about struct {
	Kind       columns.Kind
	Page       string // template
	Address    string
	Title      string
	Lead       string
	Things     string // whose names are asked for, such as “ of the boats”
	Foreseen   []string
	Export     page.Link // a filled-in table
	ExportSays string
	Next       []page.Link
}

// plan is what a table brings.
type plan struct {
	Seen     string // digest
	Saved    bool
	Verdict  string
	Sections []section
}

// section lists the changes of one kind of record.
type section struct {
	Title, Label, Second string
	Lines                []line
}

// line is one record of a plan.
type line struct {
	Name, Small, Action, Text string
	Changes                   []string
	Doubt                     string
}

// importPage is all that the page shows.
type importPage struct {
	about
	Plan    *plan // nil before a file is there, and while something is asked
	Problem string
	Moved   bool   // records have changed since the preview
	Name    string // of the file
	Content string // of the file, carried from the preview to the saving
	By      string
	ByWrong string
	Keep    string

	Columns  []importColumn
	Choices  []columns.Choice
	Used     int
	KeptAs   string
	Asks     []page.Value // what cannot be told
	Opened   bool         // the columns are unfolded
	Problems []importCell
	Doubts   []importCell
	Open     int // doubts that nobody has called right
	Notes    []string
	Fixed    []page.Entry // cells that were mended and are in order now
}

// importColumn is a column of the file as the page asks about it.
type importColumn struct {
	columns.Column
	Field, UnitField string
	Known            bool // used, or without anything in it
}

// Has reports whether a column has the unit.
func (c importColumn) Has(unit string) bool { return c.Unit == unit }

// importCell is a cell to mend, or to call right.
type importCell struct {
	columns.Problem
	Field  string // "" where no cell is meant
	Sure   string // name of the box that calls it right; "" for none
	Ticked bool
}

// largestImport bounds the upload; the reading has its own, lower bound; our judgement.
const largestImport = 12 << 20

// importer handles the import of a kind.
func (s *site) importer(k kind) page.Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		p := &importPage{about: k.about(), By: page.Who(r)}
		if r.Method == http.MethodGet {
			return s.showImport(w, http.StatusOK, p)
		}
		content, status, err := s.admitted(w, r, p)
		if err != nil {
			return err
		}
		if status != http.StatusOK {
			return s.showImport(w, status, p)
		}
		ctx, leave, err := s.Gate.Enter(r.Context())
		if err != nil {
			return err
		}
		defer leave()
		return s.service.Once.Read(w, r.WithContext(ctx), p.Next[0].Address, func(w http.ResponseWriter, r *http.Request) error {
			return s.answerImport(w, r, k, p, content)
		})
	}
}

func (s *site) showImport(w http.ResponseWriter, status int, p *importPage) error {
	return s.Pages.Show(w, status, p.Page, p)
}

// admitted is [importPage.receive] of a form that there is room for.
func (s *site) admitted(w http.ResponseWriter, r *http.Request, p *importPage) (content []byte, status int, err error) {
	done, err := s.Uploads.Admit(w, r)
	if err != nil {
		return nil, 0, err
	}
	defer done()
	content, status = p.receive(w, r)
	return content, status, nil
}

// receive takes the file from the first form, or its content from the second; the
// status is that of the answer where there is none.
func (p *importPage) receive(w http.ResponseWriter, r *http.Request) (content []byte, status int) {
	r.Body = http.MaxBytesReader(w, r.Body, largestImport)
	large := new(http.MaxBytesError)
	switch err := r.ParseMultipartForm(largestImport); {
	case errors.As(err, &large):
		p.Problem = "The file is larger than 8 MB."
		return nil, http.StatusRequestEntityTooLarge
	case err != nil && !errors.Is(err, http.ErrNotMultipart):
		p.Problem = "The file was cut off. Send it again."
		return nil, http.StatusUnprocessableEntity
	}
	content, p.Problem = p.sent(r)
	if p.Problem != "" {
		return nil, http.StatusUnprocessableEntity
	}
	return content, http.StatusOK
}

// sent returns the file of a form that arrived whole, or what is wrong with it.
func (p *importPage) sent(r *http.Request) (content []byte, problem string) {
	if kept := r.PostFormValue("content"); kept != "" {
		p.Name = r.PostFormValue("name")
		content, err := base64.StdEncoding.DecodeString(kept)
		if err != nil {
			return nil, "The file was cut off. Send it again."
		}
		return content, ""
	}
	file, header, err := r.FormFile("file")
	if err != nil {
		return nil, "Choose a file first."
	}
	defer file.Close()
	if content, err = io.ReadAll(file); err != nil {
		return nil, "The file was cut off. Send it again."
	}
	p.Name = header.Filename
	return content, ""
}

// fileOf is the file with what the form says of it.
func fileOf(k columns.Kind, content []byte, typed url.Values) columns.File {
	f := columns.File{Content: content, Fixes: map[columns.At]string{}, Keep: strings.TrimSpace(typed.Get("keep"))}
	if typed.Has("m0") {
		f.How = &columns.How{DayOrder: typed.Get("day_order"), Sides: typed.Get("sides"), TestDay: typed.Get("test_day")}
		for i := 0; typed.Has(fmt.Sprintf("m%d", i)); i++ {
			use := columns.Use{Meaning: columns.Meaning(typed.Get(fmt.Sprintf("m%d", i))), Unit: typed.Get(fmt.Sprintf("u%d", i))}
			if !k.Knows(use.Meaning) {
				use = columns.Use{}
			}
			if !slices.Contains(use.Units(), use.Unit) {
				use.Unit = ""
			}
			f.How.Uses = append(f.How.Uses, use)
		}
	}
	for name, values := range typed {
		var at columns.At
		if n, _ := fmt.Sscanf(name, "fix_%d_%d", &at.Row, &at.Column); n == 2 && values[0] != "" {
			f.Fixes[at] = values[0]
		}
	}
	return f
}

func cellField(kind string, at columns.At) string {
	return fmt.Sprintf("%s_%d_%d", kind, at.Row, at.Column)
}

// answerImport shows the preview, or saves what was previewed. A saving without
// the plan of a preview, or with something open, is shown the preview first.
func (s *site) answerImport(w http.ResponseWriter, r *http.Request, k kind, p *importPage, content []byte) error {
	p.Content = base64.StdEncoding.EncodeToString(content)
	seen, wanted := r.PostFormValue("plan"), r.PostFormValue("save") != ""
	if r.PostForm.Has("by") {
		p.By = strings.TrimSpace(r.PostFormValue("by"))
		page.Remember(w, p.By)
	}
	file := fileOf(p.Kind, content, r.PostForm)
	look, plan, err := k.look(r.Context(), file)
	if err != nil {
		return s.refuseTable(w, p, err)
	}
	p.Plan = plan
	p.look(&look, &file, r.PostForm)
	if !wanted || seen == "" || p.Plan == nil {
		return s.showImport(w, http.StatusOK, p)
	}
	p.Moved = seen != p.Plan.Seen
	if p.By == "" {
		p.ByWrong = "Say who you are: your name stands in the history."
	}
	switch {
	case p.ByWrong != "" || p.Open > 0:
		return s.showImport(w, http.StatusUnprocessableEntity, p)
	case p.Moved:
		return s.showImport(w, http.StatusConflict, p)
	}
	return s.saveImport(w, r, k, p, file, seen)
}

// saveImport puts the file on record as it was looked at.
func (s *site) saveImport(w http.ResponseWriter, r *http.Request, k kind, p *importPage, file columns.File, seen string) error {
	done, err := k.save(r.Context(), file, p.By, seen)
	var bad *wire.Invalid
	switch {
	case errors.As(err, &bad):
		p.ByWrong = bad.Fields[0].Detail
		return s.showImport(w, http.StatusUnprocessableEntity, p)
	case err != nil && k.moved(err):
		p.Moved = true
		return s.showImport(w, http.StatusConflict, p)
	case err != nil:
		return s.refuseTable(w, p, err)
	}
	p.Plan = done
	return s.showImport(w, http.StatusOK, p)
}

// refuseTable shows why a file cannot be used; other errors are passed on.
func (s *site) refuseTable(w http.ResponseWriter, p *importPage, err error) error {
	said := rest.Explain(err)
	if said.Status != http.StatusUnprocessableEntity && said.Status != http.StatusRequestEntityTooLarge {
		return err
	}
	p.Problem = said.Detail
	return s.showImport(w, said.Status, p)
}

// look fills the page from what a file would do.
func (p *importPage) look(l *intake.Look, f *columns.File, typed url.Values) {
	p.KeptAs, p.Notes, p.Choices, p.Keep = l.KeptAs, l.Notes, p.Kind.Choices(l.Columns), f.Keep
	for _, c := range l.Columns {
		v := importColumn{Column: c, Field: fmt.Sprintf("m%d", c.Index), UnitField: fmt.Sprintf("u%d", c.Index)}
		if v.Known = c.Meaning != columns.Unused || len(c.Samples) == 0; c.Meaning != columns.Unused {
			p.Used++
		}
		p.Columns = append(p.Columns, v)
	}
	p.ask(l)
	shown := map[columns.At]bool{}
	for _, problem := range l.Problems {
		cell := importCell{Problem: problem}
		if problem.Column >= 0 {
			cell.Field = cellField("fix", problem.At)
			shown[problem.At] = true
		}
		p.Problems = append(p.Problems, cell)
	}
	for _, d := range l.Doubts {
		p.doubt(d, shown, typed)
	}
	for at, text := range f.Fixes {
		if !shown[at] {
			p.Fixed = append(p.Fixed, page.Entry{Label: cellField("fix", at), Value: text})
		}
	}
	slices.SortFunc(p.Fixed, func(a, b page.Entry) int { return strings.Compare(a.Label, b.Label) })
}

// doubt asks about a value that is hardly right.
func (p *importPage) doubt(d columns.Doubt, shown map[columns.At]bool, typed url.Values) {
	cell := importCell{Problem: columns.Problem{At: d.At, Heading: d.Name, Cell: d.Cell, Text: d.Text}, Sure: cellField("sure", d.At)}
	if d.Column >= 0 {
		cell.Field = cellField("fix", d.At)
		shown[d.At] = true
	}
	if cell.Ticked = typed.Get(cell.Sure) != ""; !cell.Ticked {
		p.Open++
	}
	p.Doubts = append(p.Doubts, cell)
}

// ask puts the questions that a file leaves, and those that were answered.
func (p *importPage) ask(l *intake.Look) {
	add := func(name, value, problem string, v page.Value) {
		asked := slices.Contains(l.Asks, name)
		if !asked && value == "" {
			return
		}
		if v.Value = value; asked {
			v.Problem, v.Focus = problem, len(p.Asks) == 0
		}
		p.Asks = append(p.Asks, v)
	}
	if p.Opened = slices.Contains(l.Asks, "name"); p.Opened {
		p.Problem = "Which column holds the names" + p.Things + "? Say so below."
	}
	add("day_order", l.How.DayOrder, "Some days can be read both ways.", page.TextField("day_order", "Days such as 3/4/2026", "").Choose(
		page.Option{Value: cells.DayFirst, Label: "day first: 3 April"}, page.Option{Value: cells.MonthFirst, Label: "month first: 4 March"}))
	add("sides", l.How.Sides, "S and B can be read in several ways.", page.TextField("sides", "Letters of the sides", "").Choose(
		page.Option{Value: cells.PortStarboard, Label: "P port, S starboard, B both"}, page.Option{Value: cells.StrokeBow, Label: "S stroke side (port), B bow side (starboard)"},
		page.Option{Value: cells.BackSteuer, Label: "B Backbord (port), S Steuerbord (starboard)"}))
	add("test_day", l.How.TestDay, "Some tests have no day in the file.", page.TextField("test_day", "Day of the tests without one", "").As("date"))
}

// tally counts records by what becomes of them.
type tally struct{ New, Changed, Known int }

// count counts one record, and reports whether it is to be shown: what is unchanged
// and needs no check is left out.
func (t *tally) count(action, doubt string) bool {
	switch action {
	case "new":
		t.New++
	case "changed":
		t.Changed++
	default:
		t.Known++
	}
	return action != "known" || doubt != ""
}

// String returns the counts in words.
func (t tally) String() string {
	return fmt.Sprintf("%d new, %d changed, %d unchanged", t.New, t.Changed, t.Known)
}
