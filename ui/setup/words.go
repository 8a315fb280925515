package setup

import (
	"fmt"
	"slices"
	"strings"

	"thole/api/seat"
	"thole/api/setup"
	"thole/ui/page"
)

// verdictWord is a verdict as it stands on every page: a shape and a word.
type verdictWord struct{ Mark, Word, Class string }

// verdictWords writes the verdicts.
var verdictWords = map[string]verdictWord{
	"on_target":     {"●", "on target", "on"},
	"nearly":        {"◐", "nearly", "near"},
	"off":           {"○", "off", "out"},
	"measure_first": {"△", "measure first", "first"},
	"":              {"○", "cannot be rowed", "out"},
}

// verdictOf writes the verdict on a seat; nil: it cannot be rowed.
func verdictOf(o *setup.SeatOutcome) verdictWord {
	if o == nil {
		return verdictWords[""]
	}
	return verdictWords[o.Verdict.Verdict]
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// count writes a number with its word.
func count(n int, one, many string) string { return fmt.Sprintf("%d %s", n, pick(n == 1, one, many)) }

// targetLabels name the targets.
var targetLabels = map[string]string{"catch_deg": "Catch", "finish_deg": "Finish", "lever_ratio": "Lever ratio", "draw_height_cm": "Draw height"}

// targetEntry writes a common target as people say it.
func targetEntry(t seat.CommonTarget) page.Entry {
	e := page.Entry{Label: targetLabels[t.Target], Value: page.Plain(t.Value)}
	switch t.Target {
	case "catch_deg":
		e.Value = page.Plain(-t.Value) + "°"
	case "finish_deg":
		e.Value += "°"
	case "draw_height_cm":
		e.Value += " cm"
	}
	if t.Chosen {
		e.Value += ", automatic"
	}
	return e
}

// cautionView is a caution with its seats in words.
type cautionView struct{ Seats, Weight, Text string }

// splitCautions parts what this crew gives reason for from what always holds.
func splitCautions(list []setup.SeatCaution) (here, standing []cautionView) {
	for _, c := range list {
		v := cautionView{seatList(c.Seats), c.Weight, c.Text}
		if c.Weight == "standing" {
			standing = append(standing, v)
		} else {
			here = append(here, v)
		}
	}
	return here, standing
}

func seatList(seats []int) string {
	if len(seats) == 0 {
		return ""
	}
	seats = slices.Sorted(slices.Values(seats))
	var parts []string
	for _, n := range seats {
		parts = append(parts, fmt.Sprint(n))
	}
	return pick(len(seats) == 1, "Seat ", "Seats ") + strings.Join(parts, ", ")
}

// bareKnown writes a value without its unit, or a dash.
func bareKnown(v *float64) string {
	if v == nil {
		return "–"
	}
	return page.Plain(*v)
}

// markText writes a stretcher in the boat's own mark; empty where it has none.
func markText(m *setup.OwnMark) string {
	if m == nil {
		return ""
	}
	if m.Mark == "hole" {
		return "hole " + page.Plain(m.AsFound) + " → " + page.Plain(m.Target)
	}
	return m.Mark + " mark " + page.Plain(m.AsFound) + " → " + page.Plain(m.Target) + " cm"
}
