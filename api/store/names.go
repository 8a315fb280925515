package store

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// plain spells letters that do not decompose into a letter and a mark.
var plain = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ı", "i")

// NameKey is what two names share that count as the same: case, accents and
// blanks make no difference. It is "" for a name that holds no letter or sign.
func NameKey(name string) string { return searchKey(name) }

// searchKey folds a name for search, order and comparison: lower case, no
// accents, single blanks.
func searchKey(name string) string {
	var key strings.Builder
	for _, r := range strings.ToLower(norm.NFKD.String(name)) {
		if !unicode.Is(unicode.Mn, r) {
			key.WriteRune(r)
		}
	}
	return strings.Join(strings.Fields(plain.Replace(key.String())), " ")
}
