// Package clock reads the times of boats as people type them in a launch, and
// writes them as people read them.
package clock

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"thole/api/wire"
	"thole/selection/erg"
)

// boatEntry is what was typed for one boat in one piece.
type boatEntry struct {
	time   float64 // s, 0 for none
	margin float64 // s behind, where isMargin
	// isMargin: the boat is told against the others, not by the clock.
	isMargin bool
	out      bool // did not finish
}

// notFinished are the ways to say that a boat did not finish.
var notFinished = map[string]bool{"-": true, "x": true, "dnf": true, "out": true, "stopped": true}

// readEntry reads a time or margin as people type it in a launch: 3:02.4,
// 3.02,4, 182.4, +1.2, +1.2 s, 0 or level for the boat that margins are
// counted from, - or dnf for a boat that did not finish. About is a usual time
// in s, by which 302 is recognised for 3:02; 0 for none. The problem is "" for
// an entry that can be used.
func readEntry(text string, about float64) (e boatEntry, problem string) {
	text = strings.ToLower(strings.NewReplacer("−", "-", "–", "-", "—", "-", "\u00a0", " ").Replace(strings.TrimSpace(text)))
	bare := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(text, "s"), "sec"))
	switch {
	case text == "":
		return e, "The time is missing. Type it, or - for a boat that did not finish."
	case notFinished[text]:
		return boatEntry{out: true}, ""
	case text == "level" || text == "=" || strings.Trim(bare, "0.,+") == "":
		return boatEntry{isMargin: true}, ""
	case bare[0] == '+' || bare[0] == '-':
		return readMargin(bare)
	}
	return readTime(bare, about)
}

// readMargin reads a signed margin in seconds, also with minutes.
func readMargin(text string) (boatEntry, string) {
	sign := 1.0
	if text[0] == '-' {
		sign = -1
	}
	digits := strings.ReplaceAll(strings.TrimSpace(text[1:]), ",", ".")
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		r, err := erg.ParseTime(digits)
		if err != nil {
			return boatEntry{}, "“" + text + "” is no margin. Write it like +1.2."
		}
		v = r.Seconds
	}
	if v > MaxMargin {
		return boatEntry{}, fmt.Sprintf("A margin of %g s is too much. Is it a time? Then leave the sign out.", v)
	}
	return boatEntry{margin: sign * v, isMargin: true}, ""
}

// MaxMargin is the widest margin in s between boats of one race that is not a
// slip of the pen (engineering judgement).
const MaxMargin = 90

// readTime reads a time, and asks where the colon seems to have been left out.
func readTime(text string, about float64) (boatEntry, string) {
	r, err := erg.ParseTime(text)
	if err != nil {
		return boatEntry{}, "“" + text + "” is no time. Write it like 3:02.4."
	}
	if r.Other > 0 && farOff(r.Seconds, about) && !farOff(r.Other, about) {
		return boatEntry{}, fmt.Sprintf("%s as seconds is %s, far from the %s expected. If you mean %s, type it so.",
			text, erg.FormatTime(r.Seconds), erg.FormatTime(about), erg.FormatTime(r.Other))
	}
	return boatEntry{time: r.Seconds}, ""
}

// farOff reports whether a time is more than a quarter off the usual one; where none is
// known, every time is.
func farOff(time, about float64) bool { return math.Abs(time-about) > about/4 }

// Read turns what was typed for the boats of a piece into times, or into
// margins behind the first boat where no clock was read. A margin beside
// times counts from the best time. About is a usual time in s, 0 for none. Problems
// are reported at the items of a list.
func Read(p *wire.Problems, at wire.Place, typed []string, about float64) (times, margins []*float64) {
	entries, best, clocked := make([]boatEntry, len(typed)), math.Inf(1), false
	for b, text := range typed {
		var problem string
		if entries[b], problem = readEntry(text, about); problem != "" {
			p.Add(at.Item(b).Problem(problem))
		}
		if t := entries[b].time; t > 0 {
			best, clocked = min(best, t), true
		}
	}
	if !clocked {
		return nil, marginsOf(entries)
	}
	times = make([]*float64, len(entries))
	for b, e := range entries {
		switch {
		case e.time > 0:
			times[b] = wire.Ptr(wire.ToSeconds(e.time))
		case e.isMargin:
			times[b] = wire.Ptr(wire.ToSeconds(best + e.margin))
		}
	}
	return times, nil
}

// marginsOf counts margins from the boat that came in first.
func marginsOf(entries []boatEntry) []*float64 {
	first := math.Inf(1)
	for _, e := range entries {
		if e.isMargin {
			first = min(first, e.margin)
		}
	}
	margins := make([]*float64, len(entries))
	for b, e := range entries {
		if e.isMargin {
			margins[b] = wire.Ptr(wire.ToSeconds(e.margin - first))
		}
	}
	return margins
}

// ReadOne reads one time as people type it, in s; ok is false for anything else.
func ReadOne(text string) (seconds float64, ok bool) {
	e, problem := readEntry(text, 0)
	return e.time, problem == "" && e.time > 0
}

// Format writes a time in s as people read it, to a tenth: 3:02.4.
func Format(seconds float64) string { return wire.FormatTenths(max(seconds, 0)) }
