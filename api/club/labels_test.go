package club

import (
	"testing"

	"thole/api/store"
)

// TestNamesakesAreToldApart holds that the shortest addition is taken that no
// other athlete answers to.
func TestNamesakesAreToldApart(t *testing.T) {
	day := func(text string) *string { return &text }
	names := NamesOf([]store.Athlete{
		{ID: 1, Name: "Ann", BirthDate: day("2001-02-03")}, {ID: 2, Name: "ann", BirthDate: day("2003-02-03")}, {ID: 3, Name: "Ann"},
		{ID: 4, Name: "Bea", BirthDate: day("2001-02-03")}, {ID: 5, Name: "Béa", BirthDate: day("2001-12-03")},
		{ID: 6, Name: "Cat"}, {ID: 7, Name: "Dot", BirthDate: day("2001-02-03")}, {ID: 8, Name: "Dot", BirthDate: day("2001-02-03")},
		{ID: 9, Name: "Eve", BirthDate: day("1999-01-01")}, {ID: 10, Name: "Eve", BirthDate: day("1998-01-01")}, {ID: 11, Name: "Eve (1999)"},
	})
	for i, want := range []string{
		"Ann (2001)", "ann (2003)", "Ann (no. 3)", "Bea (2001-02-03)", "Béa (2001-12-03)", "Cat", "Dot (no. 7)", "Dot (no. 8)",
		"Eve (1999-01-01)", "Eve (1998)", "Eve (1999) (no. 11)",
	} {
		if names[i].Label != want {
			t.Errorf("athlete %d is called %s, want %s", names[i].ID, names[i].Label, want)
		}
	}
}
