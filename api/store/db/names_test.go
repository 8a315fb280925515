package store

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNamesAreFolded(t *testing.T) {
	for name, want := range map[string]string{
		"Zoë": "zoe", "MÜLLER": "muller", "Müller": "muller", "Groß": "gross", "Łukasz  Øster ": "lukasz oster", "Æsir": "aesir",
		"ÅSA": "asa", "İpek": "ipek", "Dvořák": "dvorak", "ﬁn": "fin", "李 雷": "李 雷", " \t": "",
	} {
		if got := NameKey(name); got != want {
			t.Errorf("%q is folded to %q, want %q", name, got, want)
		}
	}
}

func TestFoldingTwiceIsFoldingOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		once := NameKey(rapid.String().Draw(t, "name"))
		if twice := NameKey(once); twice != once {
			t.Fatalf("%q becomes %q", once, twice)
		}
	})
}

// splits are names as clubs write them with their parts, given|family.
var splits = map[string]string{
	"Ann Lee": "Ann|Lee", "Lee, Ann": "Ann|Lee", " Lee ,  Ann ": "Ann|Lee", "Mensah-Bright, Kofi": "Kofi|Mensah-Bright", "Ann": "Ann|", "Anna B.": "Anna|B.",
	"Jan van der Berg": "Jan|van der Berg", "van der Berg, Jan": "Jan|van der Berg", "Ludwig van Beethoven": "Ludwig|van Beethoven", "Van Morrison": "Van|Morrison",
	"Vincent Van Gogh": "Vincent Van|Gogh", "Maria de la Cruz": "Maria|de la Cruz", "ann lee": "ann|lee", "ann marie lee": "ann marie|lee", "de Souza": "de|Souza",
	"John Smith Jr.": "John|Smith Jr.", "John Smith, Jr.": "John Smith, Jr.|", "Jan van Dyke III": "Jan|van Dyke III", "Lee, Ann, cox": "Lee, Ann, cox|", "Ann (cox)": "Ann (cox)|",
	"Lee,": "Lee,|", ", Ann": ", Ann|", "Erna 12": "Erna|12", "Åsa Östlund": "Åsa|Östlund", "Anna Maria Lee": "Anna Maria|Lee", "Lee Jr": "Lee|Jr",
}

func TestNamesAreSplitAsTheyAreWritten(t *testing.T) {
	for name, want := range splits {
		given, family := SplitName(name)
		if got := given + "|" + family; got != want {
			t.Errorf("%q is split as %s, want %s", name, got, want)
		}
	}
	given, family := SplitName("  ")
	wantEqual(t, given+family, "")
}

// TestOldNamesAreSplitAlike holds the step of the database against what the
// program does with a name that comes in today: neither loses a letter, and a
// name that somebody has already stays as it is written.
func TestOldNamesAreSplitAlike(t *testing.T) {
	path := fileOf(t, 11)
	db := connect(path, writerOptions, 1)
	for name := range splits {
		_, err := db.Exec(`INSERT INTO athletes (version, name, name_key, sex, sculls, note, archived) VALUES (1, ?, ?, '', 0, '', 0)`, strings.TrimSpace(name), NameKey(name))
		if err != nil && !strings.Contains(err.Error(), "UNIQUE") {
			t.Fatal(err)
		}
	}
	check(t, db.Close())
	s := openAt(t, path)
	kept := map[string]bool{}
	for _, a := range must(s.Athletes(ctx, Filter{Archived: true})) {
		given, family := SplitName(a.Name)
		wantEqual(t, []string{a.Given, a.Family}, []string{given, family})
		if join := JoinName(a.Given, a.Family); a.Name != join {
			kept[a.Name] = true
			if len(must(s.Athletes(ctx, Filter{Name: join}))) == 0 {
				t.Errorf("%q is not joined as %q, and nobody else is called so", a.Name, join)
			}
		}
		if key := NameKey(a.Name); len(must(s.Athletes(ctx, Filter{Name: key, Archived: true}))) == 0 {
			t.Errorf("%q is not found", a.Name)
		}
	}
	if len(kept) == 0 {
		t.Error("two spellings of one name did not meet")
	}
	for _, written := range []string{"Kofi Mensah-Bright", "Jan van der Berg", "Lee, Ann, cox", "Mia Ek"} {
		if len(must(s.Athletes(ctx, Filter{Name: written}))) != 1 {
			t.Errorf("%s is not on record", written)
		}
	}
}
