package page

import "testing"

// TestPlacesMarkThePageShown names the place and the link of a template, with
// the longest beginning deciding.
func TestPlacesMarkThePageShown(t *testing.T) {
	for template, want := range map[string]string{
		"boat_seat": "Boathouse/Boats", "oar_form": "Boathouse/Oars", "setup": "Boathouse/Set-ups", "sheet": "Boathouse/Work sheets", "seat": "Boathouse/Check a seat",
		"athlete_test": "Squad/Athletes", "squad": "Squad/Race power", "squad_evidence": "Squad/Evidence", "squad_import": "Squad/Import", "import_mappings": "Squad/Import", "boats_import": "Boathouse/Boats", "oars_import": "Boathouse/Oars", "stroke_compare": "Water/Compare", "stroke_progress": "Water/Recordings", "stroke_catch": "Water/The catch",
		"lineups": "Selection/Line-ups", "lineup_save": "Selection/Line-ups", "lineups_saved": "Selection/Saved line-ups", "lineup_saved": "Selection/Saved line-ups",
		"seatrace_new": "Selection/Seat racing", "seatraces": "Selection/Seat racing", "home": "", "message": "", "sources": "",
	} {
		got := ""
		for _, p := range placesFor(template) {
			for _, l := range p.Links {
				if l.Present != (l.Present && p.Present) {
					t.Errorf("%s: a link is marked in a place that is not", template)
				}
				if l.Present {
					got += p.Name + "/" + l.Name
				}
			}
		}
		if got != want {
			t.Errorf("%s: %q, want %q", template, got, want)
		}
	}
}
