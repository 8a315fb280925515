package intake

import (
	"cmp"
	"context"
	"mime/multipart"
	"net/http"
	"time"

	"thole/api/access"
	"thole/api/cells"
	"thole/api/columns"
	"thole/api/gate"
	"thole/api/rest"
	"thole/api/squadfile"
	"thole/api/wire"
)

// ListImport is what a club's list of athletes and tests does, or has done.
type ListImport struct {
	Columns  []ImportColumn              `json:"columns" description:"Of the file, in its order."`
	KeptAs   string                      `json:"kept_as" description:"The mapping by which it was read; empty for none."`
	Asks     []string                    `json:"asks" description:"What must be said before it can be read: name, which column names the athletes; day_order; sides, what the letters mean; test_day, of tests without a day."`
	Rows     int                         `json:"rows" description:"Below the heading; 0 while something must be said first."`
	Athletes []squadfile.ImportedAthlete `json:"athletes"`
	Tests    []squadfile.ImportedTest    `json:"tests"`
	Problems []ImportProblem             `json:"problems" description:"What is not used, and why."`
	Doubts   []ImportProblem             `json:"doubts" description:"What is used and hardly is right."`
	Notes    []string                    `json:"notes"`
	Plan     string                      `json:"plan" description:"Stands for what saving would write: send it with the import, so that nothing is written over that was saved in between."`
	Saved    bool                        `json:"saved"`
}

func (l *SquadLook) wire() ListImport {
	t := (&TableLook{Look: l.Look}).wire()
	list := ListImport{
		Columns: t.Columns, KeptAs: t.KeptAs, Asks: t.Asks, Problems: t.Problems, Notes: t.Notes, Doubts: []ImportProblem{},
		Rows: l.Plan.Rows, Athletes: orEmpty(l.Plan.Athletes), Tests: orEmpty(l.Plan.Tests), Plan: l.Plan.Plan, Saved: l.Plan.Saved,
	}
	for _, d := range l.Doubts {
		p := ImportProblem{Row: d.Row, Cell: d.Cell, Text: d.Text}
		if d.Column >= 0 {
			p.Column = l.Columns[d.Column].Heading
		}
		list.Doubts = append(list.Doubts, p)
	}
	return list
}

// listPreview is the multipart request to preview a club's list.
type listPreview struct {
	File     multipart.File `formData:"file" required:"true" description:"CSV in UTF-8, UTF-16 or Windows-1252, or .xlsx; 8 MB and 20,000 rows at the most."`
	Columns  string         `formData:"columns" description:"What the columns hold, where their headings do not say it: a JSON list with an entry a column, such as [{\"meaning\": \"name\"}, {\"meaning\": \"stature_cm\", \"unit\": \"cm\"}]. Without it, by the headings, or by the mapping that fits them."`
	Sides    string         `formData:"sides" description:"What the letters of the sides mean: port_starboard (P and S), stroke_bow (S and B) or back_steuer (B and S). Without it, as the file shows it."`
	DayOrder string         `formData:"day_order" description:"Of days such as 3/4/2026: dmy or mdy. Without it, as the file shows it."`
	TestDay  string         `formData:"test_day" description:"YYYY-MM-DD, of tests that have no day in the file."`
}

// listUpload is the multipart request to import a club's list.
type listUpload struct {
	File     multipart.File `formData:"file" required:"true" description:"As for the preview."`
	By       string         `formData:"by" required:"true" description:"Who imports it, for the history."`
	Plan     string         `formData:"plan" description:"From the answer of the preview. Without it, whatever the list changes now."`
	LeaveOut bool           `formData:"leave_out" description:"Save the rest of a list of which something cannot be used. Without it, false."`
	Columns  string         `formData:"columns" description:"As for the preview."`
	Sides    string         `formData:"sides" description:"As for the preview."`
	DayOrder string         `formData:"day_order" description:"As for the preview."`
	TestDay  string         `formData:"test_day" description:"As for the preview."`
	Keep     string         `formData:"keep" description:"Name under which the way to read these columns is kept."`
}

// listRoutes lists the operations of a club's list of athletes.
func (s *Service) listRoutes() []rest.Route {
	const read = "CSV or .xlsx in the club's own headings: one row an athlete with several tests side by side, or one row a test. Athletes are matched by name and birth date. "
	return []rest.Route{
		rest.Custom(rest.Route{
			Method: http.MethodPost, Path: "/api/v1/athletes/preview", Summary: "Preview a club's list of athletes and tests",
			Description: read + "Blank cells change nothing. Returns what each column is taken for, what saving would change, what hardly is right, and with row and column what would not be used. Saves nothing.",
			In:          listPreview{}, Out: ListImport{}, Access: access.Coaches.Calculating(),
		}, s.listHandler(s.previewList, "file", "columns", "sides", "day_order", "test_day")),
		rest.Custom(rest.Route{
			Method: http.MethodPost, Path: "/api/v1/athletes/import", Summary: "Import a club's list of athletes and tests",
			Description: read + "All is saved or nothing. A list of which something cannot be used is refused with row and column, unless leave_out says that the rest may be saved. " +
				"With the plan of a preview, 409 says that the records have changed since.",
			In: listUpload{}, Out: ListImport{}, Counted: true, Access: access.Coaches,
		}, s.listHandler(s.saveList, "file", "by", "plan", "leave_out", "columns", "sides", "day_order", "test_day", "keep")),
	}
}

// listHandler reads the form and answers what a list would do or has done.
func (s *Service) listHandler(use func(context.Context, *rest.TableForm) (SquadLook, error), known ...string) func(*rest.Call) error {
	return func(c *rest.Call) error {
		form, err := c.TableForm(s.Uploads, known)
		if err != nil {
			return c.FailUpload(err)
		}
		look, err := gate.Through(c.Context(), s.Gate, func(ctx context.Context) (SquadLook, error) { return use(ctx, form) })
		if err != nil {
			return c.FailUpload(err)
		}
		return c.Send(look.wire())
	}
}

func (s *Service) previewList(ctx context.Context, form *rest.TableForm) (SquadLook, error) {
	f, err := listOf(form)
	if err != nil {
		return SquadLook{}, err
	}
	return s.LookAtSquad(ctx, f)
}

func (s *Service) saveList(ctx context.Context, form *rest.TableForm) (SquadLook, error) {
	f, err := listOf(form)
	if err != nil {
		return SquadLook{}, err
	}
	leave, err := form.Flag("leave_out")
	if err != nil {
		return SquadLook{}, err
	}
	look, err := s.LookAtSquad(ctx, f)
	if err == nil && (!leave || len(look.Asks) > 0) {
		err = look.leftOut()
	}
	if err != nil {
		return look, err
	}
	return s.SaveSquad(ctx, f, form.Text["by"], cmp.Or(form.Text["plan"], look.Plan.Plan))
}

// listOf is the file with what the form says of it.
func listOf(form *rest.TableForm) (columns.File, error) {
	f, err := fileOf(columns.Squad, form)
	if err != nil {
		return f, err
	}
	order, day := form.Text["day_order"], form.Text["test_day"]
	if order != "" && order != cells.DayFirst && order != cells.MonthFirst {
		return f, wire.At("day_order").Invalid("Say dmy or mdy.")
	}
	if _, err := time.Parse(wire.DayLayout, day); day != "" && err != nil {
		return f, wire.At("test_day").Invalid("Write the day as YYYY-MM-DD.")
	}
	if f.How == nil {
		f.How = &columns.How{}
	}
	f.How.DayOrder, f.How.TestDay, f.How.Sides = order, day, f.Sides
	return f, nil
}
