package rest

import (
	"slices"

	"github.com/swaggest/openapi-go/openapi31"
)

// Area is a part of the interface: the operations whose paths begin alike.
type Area struct{ Name, Title, Text string }

// Areas are all parts, in the order in which people come to need them.
var Areas = []Area{
	{"rigging", "Calculators of a seat and a boat", "Work out what a rig does to a body, without any record."},
	{"selection", "Calculators of line-ups", "Find, cost and explain line-ups of a squad."},
	{"seat-races", "Seat races", "Plan a schedule, enter results, and see what they say."},
	{"strokes", "Strokes of a file", "Work a file of strokes out without keeping it."},
	{"video", "Video", "Read angles, the catch and lengths of a body from marks in pictures."},
	{"catch", "The catch", "Try how the blade goes in."},
	{"athletes", "Athletes", "Who rows, with measures, tests, opinions, seats kept for them and what they said to their records."},
	{"squads", "Squads", "Athletes who train together."},
	{"squad", "The squad's table", "Tests and power of all athletes, taken in and out as a table."},
	{"boats", "Boats", "Hulls with their seats, rigs, crews and histories."},
	{"oars", "Oars", "Sets of oars, and the boats that they go with."},
	{"sheets", "Work sheets", "What is to be moved at a boat, seat by seat, with what was measured."},
	{"lineups", "Line-ups on record", "Crews that were saved."},
	{"recordings", "Recordings", "Strokes on record: compared, corrected, marked, reported."},
	{"uploads", "Uploads", "Files of strokes on their way in."},
	{"curves", "Curves", "Force curves that came as curves."},
	{"mappings", "Mappings of stroke files", "What the columns of a device's files mean."},
	{"table-mappings", "Mappings of tables", "What the columns of the club's own tables mean."},
	{"tasks", "Tasks", "What the boatman was asked to do."},
	{"links", "Links", "Read-only links to one page, with an end."},
	{"invitations", "Invitations", "Links by which people come to have accounts."},
	{"accounts", "Accounts", "Who may use the server, as what."},
	{"usage", "Units and words", "How the club's pages have units and words; each account's own stands under me."},
	{"tokens", "Tokens", "What programs show to be let in as somebody."},
	{"me", "Who asks", "The account behind the request."},
	{"examples", "Examples", "An invented club to try things out on, loaded and removed as a whole."},
	{"jobs", "Jobs", "Long calculations, which run while other requests are answered."},
}

// describeAreas lists the areas that have operations, and where the server is.
func (d *describer) describeAreas() {
	spec := d.reflector.Spec
	spec.Servers = []openapi31.Server{{URL: "/"}}
	for _, a := range Areas {
		if slices.ContainsFunc(d.routes, func(r Route) bool { return r.tag() == a.Name }) {
			spec.Tags = append(spec.Tags, *(&openapi31.Tag{Name: a.Name}).WithDescription(a.Title + ". " + a.Text))
		}
	}
}
