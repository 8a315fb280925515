package intake

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"thole/api"
	"thole/api/columns"
	"thole/api/intake"
	"thole/api/squadfile"
	"thole/ui/page"
)

// squadKind is the table of athletes with their tests.
type squadKind struct{ service *api.Service }

func (squadKind) about() about {
	return about{
		Kind: columns.Squad, Page: "squad_import", Address: "/squad/import", Title: "Import the club’s list",
		Lead: "The club’s spreadsheet as it is: athletes with their measures, sides, squads and ergometer tests. You see what it changes before anything is saved.",
		Foreseen: []string{
			"One row an athlete with the tests side by side (2k, 2k date, 6k …), or one row a test. Columns are recognised by their headings in several languages: " +
				"name or given and family name, born, sex, side, squad, height, arm span, sitting height, weight, tests. Units may stand in the cells: 92 kg, 203 lb, 1.84 m, 6'2\".",
			"Blank cells change nothing. Import the same table again to update: none is doubled.",
		},
		Export: page.Link{Name: "Export the squad", Address: "/squad/squad.csv"}, ExportSays: "to see a filled-in table, with its columns from name to test_date, test_time.",
		Next: []page.Link{{Name: "see the athletes", Address: "/athletes"}, {Name: "their race power", Address: "/squad"}, {Name: "import the boats", Address: "/boats/import"}, {Name: "find line-ups", Address: "/line-ups"}},
	}
}

func (k squadKind) look(ctx context.Context, f columns.File) (intake.Look, *plan, error) {
	look, err := k.service.Intake.LookAtSquad(ctx, f)
	if err != nil || len(look.Asks) > 0 {
		return look.Look, nil, err
	}
	return look.Look, squadPlan(&look.Plan), nil
}

func (k squadKind) save(ctx context.Context, f columns.File, by, seen string) (*plan, error) {
	look, err := k.service.Intake.SaveSquad(ctx, f, by, seen)
	return squadPlan(&look.Plan), err
}

func (squadKind) moved(err error) bool { return errors.Is(err, squadfile.ErrStale) }

// squadPlan shows what a table of athletes brings.
func squadPlan(i *squadfile.SquadImport) *plan {
	var athletes, tests tally
	doubtful := 0
	people := section{Title: "Athletes", Label: "Athletes of the table", Second: "Changes, what to check"}
	for _, a := range i.Athletes {
		if a.Doubt != "" {
			doubtful++
		}
		if athletes.count(a.Action, a.Doubt) {
			l := line{Name: a.Name, Action: a.Action, Changes: a.Changes, Doubt: a.Doubt}
			if a.BirthDate != nil {
				l.Small = "born " + *a.BirthDate
			}
			people.Lines = append(people.Lines, l)
		}
	}
	efforts := section{Title: "Tests", Label: "Tests of the table", Second: "Test, changes, what to check"}
	for _, t := range i.Tests {
		if t.Doubt != "" {
			doubtful++
		}
		if tests.count(t.Action, t.Doubt) {
			efforts.Lines = append(efforts.Lines, line{Name: t.Name, Action: t.Action, Text: t.Date + ", " + t.Test, Changes: t.Changes, Doubt: t.Doubt})
		}
	}
	return &plan{Seen: i.Plan, Saved: i.Saved, Sections: []section{people, efforts}, Verdict: fmt.Sprintf("%d rows. Athletes: %s. Tests: %s.%s", i.Rows, athletes, tests, toCheck(doubtful))}
}

func toCheck(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(" %d to check.", n)
}

// tableKind is a table of boats or of oars.
type tableKind struct {
	service *api.Service
	says    about
	things  string // as a heading
}

func (k tableKind) about() about { return k.says }

func boatsKind(service *api.Service) tableKind {
	return tableKind{service, about{
		Kind: columns.Boats, Page: "boats_import", Address: "/boats/import", Title: "Import boats and rigs", Things: " of the boats",
		Lead: "The club’s own table: boats, seats and what was measured of the rig. You see what it changes before anything is saved.",
		Foreseen: []string{
			"One row a seat, seat 1 is bow; the boat’s own columns stand in every row or in its first. A row without a seat is of all its seats. Columns are recognised by their headings in several " +
				"languages: boat, class, seat, side, span or spread, inboard, oar length, stretcher, angle, heel depth, height, pitch, hull mass. Lengths in cm or mm, as the heading says.",
			"Blank cells change nothing: what is not measured stays so. Import the same table again to update: no boat is doubled, and the history keeps what was.",
		},
		Export: page.Link{Name: "Export the boats", Address: "/boats?csv=boats"}, ExportSays: "to see a filled-in table; it comes in again as it left.",
		Next: []page.Link{{Name: "see the boats", Address: "/boats"}, {Name: "import the oars", Address: "/oars/import"}, {Name: "set up a boat for a crew", Address: "/setup"}},
	}, "Boats"}
}

func oarsKind(service *api.Service) tableKind {
	return tableKind{service, about{
		Kind: columns.Oars, Page: "oars_import", Address: "/oars/import", Title: "Import oars", Things: " of the sets",
		Lead: "The club’s own table of oars, a row a set. You see what it changes before anything is saved.",
		Foreseen: []string{
			"Columns are recognised by their headings in several languages: set, sculls or sweep, how many, blade, length, inboard, and from where to where each can be set. Lengths in cm or mm, as the heading says.",
			"Blank cells change nothing. Import the same table again to update: no set is doubled.",
		},
		Export: page.Link{Name: "Export the oars", Address: "/oars?csv=oars"}, ExportSays: "to see a filled-in table; it comes in again as it left.",
		Next: []page.Link{{Name: "see the oars", Address: "/oars"}, {Name: "see the boats", Address: "/boats"}},
	}, "Sets of oars"}
}

func (k tableKind) look(ctx context.Context, f columns.File) (intake.Look, *plan, error) {
	look, err := k.service.Intake.LookAtTable(ctx, k.says.Kind, f)
	if err != nil || len(look.Asks) > 0 {
		return look.Look, nil, err
	}
	return look.Look, k.plan(&look), nil
}

func (k tableKind) save(ctx context.Context, f columns.File, by, seen string) (*plan, error) {
	look, err := k.service.Intake.SaveTable(ctx, k.says.Kind, f, intake.Saving{By: by, Plan: seen})
	return k.plan(&look), err
}

func (tableKind) moved(err error) bool { return errors.Is(err, intake.ErrMoved) }

// plan shows what a table of boats or oars brings.
func (k tableKind) plan(look *intake.TableLook) *plan {
	var all tally
	doubtful := 0
	list := section{Title: k.things, Label: k.things + " of the table", Second: "Changes, what to check"}
	for _, i := range look.Items {
		if i.Check != "" {
			doubtful++
		}
		if all.count(i.Action, i.Check) {
			list.Lines = append(list.Lines, line{Name: i.Name, Small: strings.Replace(i.Class, "scull", "sculls", 1), Action: i.Action, Changes: i.Changes, Doubt: i.Check})
		}
	}
	return &plan{Seen: look.Plan, Saved: look.Saved, Sections: []section{list}, Verdict: fmt.Sprintf("%d rows. %s: %s.%s", look.Rows, k.things, all, toCheck(doubtful))}
}
