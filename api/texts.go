package api

import (
	"fmt"
	"strings"
	"time"
)

// Bounds of texts people type in.
const (
	longestName = 80
	longestNote = 2000
)

// name complains about a name that is missing or does not fit a line.
func (p *problems) name(field, text, missing string) {
	switch {
	case strings.TrimSpace(text) == "":
		p.tell(fieldProblem(field, missing))
	case len([]rune(text)) > longestName:
		p.tell(fieldProblem(field, fmt.Sprintf("Use at most %d characters.", longestName)))
	}
}

// author complains about an edit that nobody signs.
func (p *problems) author(by string) {
	p.name("by", by, "Say who you are: your name stands in the history.")
}

func (p *problems) note(field, text string) {
	if len([]rune(text)) > longestNote {
		p.tell(fieldProblem(field, fmt.Sprintf("Use at most %d characters.", longestNote)))
	}
}

// dayLayout is how calendar days are written.
const dayLayout = time.DateOnly

// pastDay complains about a text that is no day, or one from today's morrow on
// or before earliest.
func (p *problems) pastDay(field, text, earliest, today string) {
	_, err := time.Parse(dayLayout, text)
	switch {
	case err != nil:
		p.tell(fieldProblem(field, "Write the day as year-month-day, such as "+today+"."))
	case text > today:
		p.tell(fieldProblem(field, "This day is still to come."))
	case text < earliest:
		p.tell(fieldProblem(field, "This day is too long ago to be right."))
	}
}
