package db

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// plain spells letters that do not decompose into a letter and a mark.
var plain = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i")

// NameKey is what two names share that count as the same, and by which names are
// searched and sorted: lower case, no accents, single blanks. It is "" for a name
// that holds no letter or sign.
func NameKey(name string) string {
	var key strings.Builder
	for _, r := range strings.ToLower(norm.NFKD.String(name)) {
		if !unicode.Is(unicode.Mn, r) {
			key.WriteRune(r)
		}
	}
	return strings.Join(strings.Fields(plain.Replace(key.String())), " ")
}

// suffixes stand behind a family name and are no name of their own.
var suffixes = []string{"jr", "sr", "ii", "iii", "iv"}

func isSuffix(word string) bool {
	return slices.Contains(suffixes, strings.ToLower(strings.Trim(word, " .")))
}

// JoinName is the whole name of two parts, one of which may be empty.
func JoinName(given, family string) string {
	return strings.TrimSpace(strings.TrimSpace(given) + " " + strings.TrimSpace(family))
}

// SplitName parts a name as people write it, "First Surname" or "Surname,
// First". The family name is the last word with what belongs to it: words in
// lower case before it (van der Berg) and Jr. behind it. One word, brackets and
// several commas are left in the given part, so that nothing is lost.
func SplitName(name string) (given, family string) {
	name = strings.Join(strings.Fields(name), " ")
	before, after, comma := strings.Cut(name, ",")
	before, after = strings.TrimSpace(before), strings.TrimSpace(after)
	switch {
	case comma && before != "" && after != "" && !strings.Contains(after, ",") && !isSuffix(after):
		return after, before
	case comma || strings.Contains(name, "("):
		return name, ""
	}
	words := strings.Split(name, " ")
	at := len(words) - 1
	if at > 1 && isSuffix(words[at]) {
		at--
	}
	if !startsLower(words[at]) {
		for n := 0; at > 1 && n < mostParticles && startsLower(words[at-1]); n++ {
			at--
		}
	}
	if at == 0 {
		return name, ""
	}
	return strings.Join(words[:at], " "), strings.Join(words[at:], " ")
}

// mostParticles is how many words in lower case belong to a family name, as in
// "van de la Cruz".
const mostParticles = 3

func startsLower(word string) bool { return word != "" && word[0] >= 'a' && word[0] <= 'z' }
