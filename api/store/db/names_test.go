package db_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"

	"pgregory.net/rapid"
)

func TestNamesAreFolded(t *testing.T) {
	for name, want := range map[string]string{
		"Zoë": "zoe", "MÜLLER": "muller", "Müller": "muller", "Groß": "gross", "Łukasz  Øster ": "lukasz oster", "Æsir": "aesir",
		"ÅSA": "asa", "İpek": "ipek", "Dvořák": "dvorak", "ﬁn": "fin", "李 雷": "李 雷", " \t": "",
	} {
		if got := store.NameKey(name); got != want {
			t.Errorf("%q is folded to %q, want %q", name, got, want)
		}
	}
}

func TestFoldingTwiceIsFoldingOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		once := store.NameKey(rapid.String().Draw(t, "name"))
		if twice := store.NameKey(once); twice != once {
			t.Fatalf("%q becomes %q", once, twice)
		}
	})
}

func TestNamesAreSplitAsTheyAreWritten(t *testing.T) {
	for name, want := range storetest.Splits {
		given, family := store.SplitName(name)
		if got := given + "|" + family; got != want {
			t.Errorf("%q is split as %s, want %s", name, got, want)
		}
	}
	given, family := store.SplitName("  ")
	storetest.WantEqual(t, given+family, "")
}
