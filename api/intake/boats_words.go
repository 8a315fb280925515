package intake

import (
	"fmt"
	"strconv"
	"strings"

	"thole/api/columns"
	"thole/api/fleet"
	"thole/api/wire"
)

// hullWords are what is shown of a hull, by what it is called.
func hullWords(b *fleet.Boat) (labels, values []string) {
	w := fleet.BoatWrite{BoatFields: b.BoatFields}
	for _, f := range columns.Boats.Fields() {
		var text string
		switch unit := f.Meaning.Unit(); {
		case f.Meaning == columns.Note:
			text = b.Note
		case f.Meaning == columns.BoatOars:
			if b.OarSetID != nil {
				text = fmt.Sprintf("no. %d", *b.OarSetID)
			}
		case f.Meaning == columns.Mark && b.Stretcher != nil:
			text = b.Stretcher.Mark
		case strings.HasPrefix(string(f.Meaning), "stretcher_") && b.Stretcher == nil, f.Meaning.OfSeat(), unit == "":
		default:
			if v, _ := hullField(&w, f.Meaning); *v != nil {
				text = amount0(**v, unit)
			}
		}
		labels, values = append(labels, f.Label), append(values, text)
	}
	return labels, values
}

// seatWords are what is shown of a seat, by what it is called.
func seatWords(b *fleet.Boat, number int) (labels, values []string) {
	s := &b.Seats[number-1]
	labels, values = []string{"side", "fits both sides", "blade"}, []string{s.Side, map[bool]string{true: "yes", false: "no"}[s.CanChangeSides], s.Blade}
	for _, name := range b.Settings() {
		text := ""
		if v := s.Seat.Setting(name); v != nil {
			text = amount0(*v, columns.Meaning(name).Unit())
		}
		labels, values = append(labels, strings.ToLower(wire.SettingLabel(name))), append(values, text)
	}
	return labels, values
}

// amount0 writes a number with its unit.
func amount0(v float64, unit string) string {
	text := strings.Replace(strconv.FormatFloat(wire.Round(v, 1e4), 'f', -1, 64), "-", "−", 1)
	if unit == "deg" {
		return text + "°"
	}
	return text + " " + unit
}

// boatChanges reports what is different of a boat; what is the same at every seat is
// said once.
func boatChanges(old, next *fleet.Boat) []string {
	labels, from := hullWords(old)
	_, to := hullWords(next)
	changes := []string{}
	for i := range labels {
		if from[i] != to[i] {
			changes = append(changes, changeText(labels[i], from[i], to[i]))
		}
	}
	return append(changes, seatChanges(old, next)...)
}

// seatChanges reports what is different of the seats.
func seatChanges(old, next *fleet.Boat) []string {
	seats := map[string][]int{} // by what changes
	var order []string
	for n := 1; n <= len(next.Seats); n++ {
		labels, from := seatWords(old, n)
		_, to := seatWords(next, n)
		for i := range labels {
			if from[i] == to[i] {
				continue
			}
			text := changeText(labels[i], from[i], to[i])
			if seats[text] == nil {
				order = append(order, text)
			}
			seats[text] = append(seats[text], n)
		}
	}
	changes := []string{}
	for _, text := range order {
		changes = append(changes, seatsText(seats[text], len(next.Seats))+text)
	}
	return changes
}

// seatsText names seats in front of what is said of them.
func seatsText(seats []int, all int) string {
	switch {
	case all == 1:
		return ""
	case len(seats) == all:
		return "every seat, "
	case len(seats) == 1:
		return fmt.Sprintf("seat %d, ", seats[0])
	}
	list := make([]string, len(seats))
	for i, n := range seats {
		list[i] = strconv.Itoa(n)
	}
	return "seats " + strings.Join(list, ", ") + ", "
}

func changeText(what, from, to string) string {
	const none = "nothing"
	if from == "" {
		from = none
	}
	if to == "" {
		to = none
	}
	return what + ": " + from + " → " + to
}

// newBoatWords reports what a new boat comes with, and what has to be measured yet.
func newBoatWords(b *fleet.Boat) []string {
	known := map[string]bool{}
	missing := map[string]bool{}
	for i := range b.Seats {
		for _, name := range b.Settings() {
			if b.Seats[i].Seat.Setting(name) != nil {
				known[name] = true
			}
		}
		for _, name := range b.Seats[i].Missing {
			missing[name] = true
		}
	}
	words := []string{fmt.Sprintf("%d seats", len(b.Seats))}
	if len(b.Seats) == 1 {
		words[0] = "1 seat"
	}
	if list := labelled(b, known); list != "" {
		words = append(words, "with "+list)
	}
	if list := labelled(b, missing); list != "" {
		words = append(words, "not measured: "+list)
	}
	return words
}

func labelled(b *fleet.Boat, names map[string]bool) string {
	var list []string
	for _, name := range b.Settings() {
		if names[name] {
			list = append(list, strings.ToLower(wire.SettingLabel(name)))
		}
	}
	return strings.Join(list, ", ")
}
