package intake

import (
	"context"
	"encoding/json"
	"fmt"
	"mime/multipart"
	"net/http"
	"time"

	"thole/api/access"
	"thole/api/cells"
	"thole/api/columns"
	"thole/api/gate"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/store"
	"thole/api/wire"
)

// TableImport is what a table of boats or oars does, or has done.
type TableImport struct {
	Columns  []ImportColumn  `json:"columns" description:"Of the file, in its order."`
	KeptAs   string          `json:"kept_as" description:"The mapping by which it was read; empty for none."`
	Asks     []string        `json:"asks" description:"What must be said before it can be read: name, which column names the boats or the sets; sides, what the letters S and B mean."`
	Rows     int             `json:"rows" description:"Below the heading."`
	Items    []Item          `json:"items" description:"The boats, or the sets of oars."`
	Problems []ImportProblem `json:"problems" description:"What is not used, and why."`
	Notes    []string        `json:"notes"`
	Plan     string          `json:"plan" description:"Stands for what saving would write: send it with the import, so that nothing is written over that was saved in between."`
	Saved    bool            `json:"saved"`
}

// ImportColumn is a column of a file with what it is taken for.
type ImportColumn struct {
	Heading string   `json:"heading"`
	Meaning string   `json:"meaning" description:"Such as boat, seat or span_cm; empty for a column that is not used."`
	Unit    string   `json:"unit" description:"Of its numbers: cm, mm, m, in, kg, lb; empty where it has none."`
	Samples []string `json:"samples" description:"Three of its cells at the most."`
}

// ImportProblem is a cell or a row that is not used.
type ImportProblem struct {
	Row    int    `json:"row" description:"As the file counts them."`
	Column string `json:"column" description:"Its heading; empty where a whole row is meant."`
	Cell   string `json:"cell"`
	Text   string `json:"text"`
}

func (l *TableLook) wire() TableImport {
	t := TableImport{KeptAs: l.KeptAs, Rows: l.Rows, Items: orEmpty(l.Items), Asks: orEmpty(l.Asks), Notes: orEmpty(l.Notes), Plan: l.Plan, Saved: l.Saved, Columns: []ImportColumn{}, Problems: []ImportProblem{}}
	for _, c := range l.Columns {
		t.Columns = append(t.Columns, ImportColumn{c.Heading, string(c.Meaning), c.Unit, orEmpty(c.Samples)})
	}
	for _, p := range l.Problems {
		t.Problems = append(t.Problems, ImportProblem{p.Row, p.Heading, p.Cell, p.Text})
	}
	return t
}

func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// tablePreview is the multipart request to preview a table.
type tablePreview struct {
	File    multipart.File `formData:"file" required:"true" description:"CSV in UTF-8, UTF-16 or Windows-1252, or .xlsx; 8 MB and 20,000 rows at the most."`
	Columns string         `formData:"columns" description:"What the columns hold, where their headings do not say it: a JSON list with an entry a column, such as [{\"meaning\": \"boat\"}, {\"meaning\": \"span_cm\", \"unit\": \"mm\"}]. Without it, by the headings, or by the mapping that fits them."`
	Sides   string         `formData:"sides" description:"What the letters of the sides mean: port_starboard (P and S), stroke_bow (S and B) or back_steuer (B and S). Without it, as the file shows it."`
}

// tableUpload is the multipart request to import a table.
type tableUpload struct {
	File     multipart.File `formData:"file" required:"true" description:"As for the preview."`
	By       string         `formData:"by" required:"true" description:"Who imports it, for the history."`
	Plan     string         `formData:"plan" description:"From the answer of the preview. Without it, whatever the table changes now."`
	LeaveOut bool           `formData:"leave_out" description:"Save the rest of a table of which something cannot be used. Without it, false."`
	Columns  string         `formData:"columns" description:"As for the preview."`
	Sides    string         `formData:"sides" description:"As for the preview."`
	Keep     string         `formData:"keep" description:"Name under which the way to read these columns is kept."`
}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	routes := []rest.Route{
		rest.Get("/api/v1/table-mappings", "List kept mappings of tables", "How the columns of the club's own tables are read, by kind and name.", s.Mappings).Paged().For(access.Staff),
		rest.Remove("/api/v1/table-mappings/:kind/:name", "Remove a mapping of tables", "Files with its headings are read by their headings again.", s.RemoveMapping).For(access.Staff),
	}
	routes = append(routes, s.listRoutes()...)
	for _, t := range []struct {
		kind             columns.Kind
		path, what, rows string
	}{
		{columns.Boats, "/api/v1/boats", "boats", "One row a seat, the columns of the boat repeated or only in its first row; a row without a seat is of all seats. Boats are matched by name and class. "},
		{columns.Oars, "/api/v1/oars", "sets of oars", "One row a set. Sets are matched by name. "},
	} {
		const read = "CSV or .xlsx with a heading in the words of the club; the table that the list exports comes in unchanged. "
		routes = append(routes,
			rest.Custom(rest.Route{
				Method: http.MethodPost, Path: t.path + "/preview", Summary: "Preview a table of " + t.what,
				Description: read + t.rows + "Blank cells change nothing. Returns what each column is taken for, what saving would change, and with row and column what would not be used. Saves nothing.",
				In:          tablePreview{}, Out: TableImport{}, Access: access.Staff.Calculating(),
			}, s.tableHandler(t.kind, s.preview, "file", "columns", "sides")),
			rest.Custom(rest.Route{
				Method: http.MethodPost, Path: t.path + "/import", Summary: "Import a table of " + t.what,
				Description: read + t.rows + "All is saved or nothing. A table of which something cannot be used is refused with row and column, unless leave_out says that the rest may be saved. " +
					"With the plan of a preview, 409 says that the records have changed since.",
				In: tableUpload{}, Out: TableImport{}, Counted: true, Access: access.Staff,
			}, s.tableHandler(t.kind, s.save, "file", "by", "plan", "leave_out", "columns", "sides", "keep")))
	}
	return routes
}

// tableHandler reads the form and answers what a table would do or has done.
func (s *Service) tableHandler(k columns.Kind, use func(context.Context, columns.Kind, *rest.TableForm) (TableLook, error), known ...string) func(*rest.Call) error {
	return func(c *rest.Call) error {
		form, err := c.TableForm(s.Uploads, known)
		if err != nil {
			return c.FailUpload(err)
		}
		look, err := gate.Through(c.Context(), s.Gate, func(ctx context.Context) (TableLook, error) { return use(ctx, k, form) })
		if err != nil {
			return c.FailUpload(err)
		}
		return c.Send(look.wire())
	}
}

func (s *Service) preview(ctx context.Context, k columns.Kind, form *rest.TableForm) (TableLook, error) {
	f, err := fileOf(k, form)
	if err != nil {
		return TableLook{}, err
	}
	return s.LookAtTable(ctx, k, f)
}

func (s *Service) save(ctx context.Context, k columns.Kind, form *rest.TableForm) (TableLook, error) {
	f, err := fileOf(k, form)
	if err != nil {
		return TableLook{}, err
	}
	leave, err := form.Flag("leave_out")
	if err != nil {
		return TableLook{}, err
	}
	if !leave {
		look, err := s.LookAtTable(ctx, k, f)
		if err == nil {
			err = look.leftOut()
		}
		if err != nil {
			return look, err
		}
	}
	return s.SaveTable(ctx, k, f, Saving{By: form.Text["by"], Plan: form.Text["plan"]})
}

// leftOut refuses a table of which something would not be used.
func (l *Look) leftOut() error {
	bad := &wire.Invalid{}
	for _, ask := range l.Asks {
		bad.Fields = append(bad.Fields, wire.At("file").Problem("Say first, in the other fields: "+ask+"."))
	}
	for _, p := range l.Problems[:min(len(l.Problems), wire.MaxProblems)] {
		where := fmt.Sprintf("Row %d", p.Row)
		if p.Heading != "" {
			where += ", " + p.Heading
		}
		f := wire.At("file").Problem(where + ": " + p.Text)
		f.Row, f.Column = p.Row, p.Heading
		bad.Fields = append(bad.Fields, f)
	}
	if len(bad.Fields) == 0 {
		return nil
	}
	return bad
}

// fileOf is the file with what the form says of it.
func fileOf(k columns.Kind, form *rest.TableForm) (columns.File, error) {
	f := columns.File{Content: form.File, Keep: form.Text["keep"]}
	uses, sides := form.Text["columns"], form.Text["sides"]
	if sides != "" && sides != cells.PortStarboard && sides != cells.StrokeBow && sides != cells.BackSteuer {
		return f, wire.At("sides").Invalid("Say port_starboard, stroke_bow or back_steuer.")
	}
	f.Sides = sides
	if uses == "" {
		return f, nil
	}
	var said []struct {
		Meaning columns.Meaning `json:"meaning"`
		Unit    string          `json:"unit"`
	}
	if err := json.Unmarshal([]byte(uses), &said); err != nil {
		return f, wire.At("columns").Invalid("Send a JSON list with an entry a column, such as [{\"meaning\": \"boat\"}].")
	}
	f.How = &columns.How{}
	for i, c := range said {
		if !k.Knows(c.Meaning) {
			return f, wire.At("columns").Invalid(fmt.Sprintf("Entry %d: no column of %s holds %s.", i+1, k, cells.Quoted(string(c.Meaning))))
		}
		f.How.Uses = append(f.How.Uses, columns.Use{Meaning: c.Meaning, Unit: c.Unit})
	}
	return f, nil
}

// KeptMapping is a way to read a club's own table, kept by name.
type KeptMapping struct {
	Kind    string        `json:"kind" validate:"oneof=squad boats oars"`
	Name    string        `json:"name"`
	SavedAt time.Time     `json:"saved_at"`
	Columns []KeptMeaning `json:"columns"`
}

// KeptMeaning is what a column of a kept mapping holds.
type KeptMeaning struct {
	Heading string `json:"heading"`
	Meaning string `json:"meaning" description:"Empty for a column that is not used."`
	Unit    string `json:"unit"`
}

// KeptMappings lists mappings by kind and name.
type KeptMappings struct {
	Mappings []KeptMapping `json:"mappings"`
}

// MappingRequest names a kept mapping; removing it answers the same.
type MappingRequest struct {
	Kind string `path:"kind" json:"-" validate:"max=200"`
	Name string `path:"name" json:"-" validate:"max=200"`
}

// RemovedMapping names a mapping that is gone.
type RemovedMapping struct {
	Kind string `json:"kind"`
	Name string `json:"name"`
}

// Mappings lists the kept mappings.
func (s *Service) Mappings(ctx context.Context, _ struct{}) (KeptMappings, error) {
	list := KeptMappings{Mappings: []KeptMapping{}}
	all, err := s.Store.AllTableMappings(ctx)
	for i := range all {
		list.Mappings = append(list.Mappings, wireMapping(&all[i]))
	}
	return list, records.RecordError(err)
}

func wireMapping(m *store.TableMapping) KeptMapping {
	kept := KeptMapping{Kind: m.Kind, Name: m.Name, SavedAt: m.SavedAt, Columns: []KeptMeaning{}}
	var k keptReading
	if json.Unmarshal([]byte(m.Mapping), &k) != nil {
		return kept // it fits no file, and can be removed
	}
	for _, c := range k.Columns {
		kept.Columns = append(kept.Columns, KeptMeaning{c.Heading, string(c.Meaning), c.Unit})
	}
	return kept
}

// RemoveMapping removes a kept mapping.
func (s *Service) RemoveMapping(ctx context.Context, r MappingRequest) (RemovedMapping, error) {
	return RemovedMapping(r), records.RecordError(s.Store.DeleteTableMapping(ctx, r.Kind, r.Name))
}
