package wire

import (
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Printable complains about signs that cannot be written down, such as those
// that a file of another kind leaves behind; allowed lists exceptions.
func (p *Problems) Printable(at Place, text, allowed string) {
	for _, r := range text {
		if (unicode.IsControl(r) || unicode.Is(unicode.Noncharacter_Code_Point, r) || r == utf8.RuneError) && !strings.ContainsRune(allowed, r) {
			p.Add(at.Problem(fmt.Sprintf("There is a sign in it (%U) that cannot be printed.", r)))
			return
		}
	}
}

// The bounds of texts people type in, characters; our judgement: a line, and a page.
const (
	LongestName = 80
	longestNote = 2000
)

// Name complains about a name that is missing or does not fit a line.
func (p *Problems) Name(at Place, text, missing string) {
	switch {
	case strings.TrimSpace(text) == "":
		p.Add(at.Problem(missing))
	case len([]rune(text)) > LongestName:
		p.Add(at.Problem(fmt.Sprintf("Use at most %d characters.", LongestName)))
	}
}

// Author complains about an edit that nobody signs.
func (p *Problems) Author(by string) {
	p.Name(At("by"), by, "Say who you are: your name stands in the history.")
}

func (p *Problems) Note(at Place, text string) {
	if len([]rune(text)) > longestNote {
		p.Add(at.Problem(fmt.Sprintf("Use at most %d characters.", longestNote)))
	}
}

// DayLayout is how calendar days are written.
const DayLayout = time.DateOnly

// PastDay complains about a text that is no day, or one from today's morrow on
// or before earliest.
func (p *Problems) PastDay(at Place, text, earliest, today string) {
	_, err := time.Parse(DayLayout, text)
	switch {
	case err != nil:
		p.Add(at.Problem("Write the day as year-month-day, such as " + today + "."))
	case text > today:
		p.Add(at.Problem("This day is still to come."))
	case text < earliest:
		p.Add(at.Problem("This day is too long ago to be right."))
	}
}

// And writes a list in words: "a", "a and b" or "a, b and c"; "" for nothing.
func And(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " and " + words[last]
}
