package store

import (
	"testing"

	"pgregory.net/rapid"
)

func TestNamesAreFolded(t *testing.T) {
	for name, want := range map[string]string{
		"Zoë": "zoe", "MÜLLER": "muller", "Müller": "muller", "Groß": "gross", "Łukasz  Øster ": "lukasz oster", "Æsir": "aesir",
		"ÅSA": "asa", "İpek": "ipek", "Dvořák": "dvorak", "ﬁn": "fin", "李 雷": "李 雷", " \t": "",
	} {
		if got := searchKey(name); got != want {
			t.Errorf("%q is folded to %q, want %q", name, got, want)
		}
	}
}

func TestFoldingTwiceIsFoldingOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		once := searchKey(rapid.String().Draw(t, "name"))
		if twice := searchKey(once); twice != once {
			t.Fatalf("%q becomes %q", once, twice)
		}
	})
}
