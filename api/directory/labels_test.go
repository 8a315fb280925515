package directory

import (
	"strings"
	"testing"

	"thole/api/store"
)

// TestNamesakesAreToldApart holds that the shortest addition is taken that no
// other athlete answers to.
func TestNamesakesAreToldApart(t *testing.T) {
	day := func(text string) *string { return &text }
	names := Of([]store.Athlete{
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

// called lists people by name; a name with a star is archived.
func called(names ...string) []Athlete {
	var list []store.Athlete
	for i, name := range names {
		bare, archived := strings.CutSuffix(name, "*")
		given, family := store.SplitName(bare)
		list = append(list, store.Athlete{ID: int64(i + 1), Name: store.JoinName(given, family), Given: given, Family: family, Archived: archived})
	}
	return Of(list)
}

// TestLabelsAreShortAndUnlike holds that the family name is enough where nobody
// shares it, and that those who left make nobody's label longer.
func TestLabelsAreShortAndUnlike(t *testing.T) {
	for _, c := range []struct{ names, want []string }{
		{[]string{"Mensah-Bright, Kofi", "Ann Lee", "Jan van der Berg"}, []string{"Mensah-Bright", "Lee", "van der Berg"}},
		{[]string{"Ann Lee", "Bea Lee", "Cat Moor"}, []string{"Lee A.", "Lee B.", "Moor"}},
		{[]string{"Ann Lee", "Abe Lee", "Bea Lee"}, []string{"Ann Lee", "Abe Lee", "Lee B."}},
		{[]string{"Ann Lee", "Ann Lee", "Lee"}, []string{"Ann Lee (no. 1)", "Ann Lee (no. 2)", "Lee (no. 3)"}},
		{[]string{"Ann Lee", "Bea Lee*"}, []string{"Lee", "Lee B."}},
		{[]string{"Anna B.", "Erna 12", "Cher", "Lee, Ann, cox"}, []string{"Anna B.", "Erna 12", "Cher", "Lee, Ann, cox"}},
		{[]string{"Zoë Ng", "Li Wu"}, []string{"Ng", "Wu"}},
		{[]string{"Ann 0", "Bea 9", "Eve 09 -'."}, []string{"Ann 0", "Bea 9", "Eve 09 -'."}}, // figures and marks are no name
	} {
		people := called(c.names...)
		seen := map[string]bool{}
		for i := range people {
			if people[i].Label != c.want[i] {
				t.Errorf("of %q, %s is called %s, want %s", c.names, c.names[i], people[i].Label, c.want[i])
			}
			if key := store.NameKey(people[i].Label); seen[key] {
				t.Errorf("of %q, two are called %s", c.names, people[i].Label)
			} else {
				seen[key] = true
			}
		}
	}
}
