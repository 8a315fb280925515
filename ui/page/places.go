package page

import "strings"

// Place is one of the four places of the navigation, with its pages.
type Place struct {
	Name    string
	Mark    string // name of its mark in the layout
	Links   []Link
	Present bool // the page shown belongs to it
}

// Address is where the place itself leads: to its first page.
func (p Place) Address() string { return p.Links[0].Address }

// Link is one page of a place.
type Link struct {
	Name, Address string
	Present       bool

	pages []string // beginnings of the names of the templates that it leads to
}

// places are the navigation, in its order.
var places = []Place{
	{Name: "Boathouse", Mark: "boathouse", Links: []Link{
		{Name: "Boats", Address: "/boats", pages: []string{"boat"}},
		{Name: "Oars", Address: "/oars", pages: []string{"oar"}},
		{Name: "Set-ups", Address: "/setup", pages: []string{"setup"}},
		{Name: "Work sheets", Address: "/sheets", pages: []string{"sheet"}},
		{Name: "Check a seat", Address: "/seat", pages: []string{"seat"}},
	}},
	{Name: "Squad", Mark: "squad", Links: []Link{
		{Name: "Athletes", Address: "/athletes", pages: []string{"athlete"}},
		{Name: "Squads", Address: "/squads", pages: []string{"squads"}},
		{Name: "Race power", Address: "/squad", pages: []string{"squad"}},
		{Name: "Evidence", Address: "/squad/evidence", pages: []string{"squad_evidence"}},
		{Name: "Import", Address: "/squad/import", pages: []string{"squad_import", "import_mappings"}},
	}},
	{Name: "Water", Mark: "water", Links: []Link{
		{Name: "Recordings", Address: "/recordings", pages: []string{"stroke"}},
		{Name: "The catch", Address: "/catch", pages: []string{"stroke_catch"}},
		{Name: "From a video", Address: "/video", pages: []string{"stroke_video", "filmed"}},
		{Name: "Compare", Address: "/recordings/compare", pages: []string{"stroke_compare"}},
		{Name: "Squad’s curves", Address: "/recordings/squad", pages: []string{"stroke_squad"}},
	}},
	{Name: "Selection", Mark: "selection", Links: []Link{
		{Name: "Line-ups", Address: "/line-ups", pages: []string{"lineup"}},
		{Name: "Saved line-ups", Address: "/line-ups/saved", pages: []string{"lineups_saved", "lineup_saved"}},
		{Name: "Seat racing", Address: "/seat-races", pages: []string{"seatrace"}},
	}},
}

// placesFor lists the places with the one marked to which a template belongs,
// and the link in it; none for the start page and messages.
func placesFor(template string) []Place {
	place, link, longest := -1, -1, 0
	for i, p := range places {
		for k, l := range p.Links {
			for _, name := range l.pages {
				if strings.HasPrefix(template, name) && len(name) > longest {
					place, link, longest = i, k, len(name)
				}
			}
		}
	}
	marked := append([]Place(nil), places...)
	if place >= 0 {
		marked[place].Present = true
		marked[place].Links = append([]Link(nil), marked[place].Links...)
		marked[place].Links[link].Present = true
	}
	return marked
}
