package directory

import (
	"slices"
	"strings"
	"testing"
)

func TestAnAthleteIsFoundByAnyOfTheirNames(t *testing.T) {
	book := NewBook(called("Mensah-Bright, Kofi", "Ann Lee", "Bea Lee", "Anna Maria Östlund", "Jan van der Berg", "Cher", "Ann Moor*", "Dot Lee*"))
	for typed, want := range map[string]string{
		"Kofi Mensah-Bright": "1", "Mensah-Bright, Kofi": "1", "mensah-bright kofi": "1", "MENSAH-BRIGHT": "1", "K. Mensah-Bright": "1", "Mensah-Bright, K.": "1", "Kofi": "1",
		"Ann Lee": "2", "Lee, Ann": "2", "Lee A.": "2", "A Lee": "2", "Lee": "2 3", "Bea": "3", "Lee B": "3", "Ann": "2", "ostlund": "4", "Östlund, Anna Maria": "4", "Anna Östlund": "4",
		"van der Berg, Jan": "5", "Berg": "", "Cher": "6", "Moor": "7", "Lee D.": "8", "Nobody": "", "": "", ",": "", "B. 9": "",
	} {
		if got := idsOf(book.Find(typed)); got != want {
			t.Errorf("%q finds %q, want %q", typed, got, want)
		}
	}
	if len(book.FindFull("Kofi")) != 0 || len(book.FindFull("Mensah-Bright K")) != 1 {
		t.Error("a given name alone can be somebody else's, a family name cannot")
	}
}

func idsOf(list []Athlete) string {
	var ids []string
	for _, a := range list {
		ids = append(ids, string(rune('0'+a.ID)))
	}
	return strings.Join(ids, " ")
}

// TestCommasInNamesCutNothing holds that a line of names is parted into those who
// are meant.
func TestCommasInNamesCutNothing(t *testing.T) {
	book := NewBook(called("Ann Lee", "Okafor, Ben", "Cat Moor", "John Smith", "Sam Smith", "Lee, Ann, cox"))
	for line, want := range map[string][]string{
		"Lee, Ann, Okafor, Moor":  {"Lee, Ann", "Okafor", "Moor"},
		"Ann Lee, Ben Okafor":     {"Ann Lee", "Ben Okafor"},
		"Lee, Ann; Moor, Cat":     {"Lee, Ann", "Moor, Cat"},
		"Smith, John, Smith, Sam": {"Smith, John", "Smith, Sam"},
		"Moor,Cat , Lee,Ann":      {"Moor, Cat", "Lee, Ann"},
		"Moor, Lee, Okafor":       {"Moor", "Lee", "Okafor"},
		"Lee, Ann, cox, Moor":     {"Lee, Ann, cox", "Moor"},
		"Stranger, Eve, Moor":     {"Stranger", "Eve", "Moor"},
		" , ":                     nil,
	} {
		if got := book.Split(line); !slices.Equal(got, want) {
			t.Errorf("%q is parted into %q, want %q", line, got, want)
		}
	}
	// Where both words are somebody's own names, they are two.
	if got := NewBook(called("Ann Lee", "Ann")).Split("Lee, Ann"); len(got) != 2 {
		t.Errorf("Lee and Ann are %q", got)
	}
}

func TestOneNameForTwoIsAQuestion(t *testing.T) {
	book := NewBook(called("John Smith", "Sam Smith", "Ann Lee", "Ann Lee"))
	for typed, want := range map[string]string{
		"Smith": "“Smith” can be Smith J. or Smith S.: write which one.", "Lee, Ann": "“Lee, Ann” can be Ann Lee (no. 3) or Ann Lee (no. 4): write which one.",
	} {
		if got := WhichOne(typed, book.Find(typed)); got != want {
			t.Errorf("%s: %s, want %s", typed, got, want)
		}
	}
}
