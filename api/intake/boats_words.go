package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"thole/api/cells"
	"thole/api/club"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// bladeWords are the kinds of blades as clubs write them; common practice.
var bladeWords = map[string]string{
	"hatchet": "hatchet", "cleaver": "hatchet", "big blade": "hatchet", "bigblade": "hatchet", "hache": "hatchet", "hacke": "hatchet", "beil": "hatchet", "hakmes": "hatchet",
	"macon": "macon", "spoon": "macon", "tulip": "macon", "loffel": "macon", "cuillere": "macon",
	"large": "large", "large hatchet": "large",
}

// markWords are what a stretcher is read at.
var markWords = map[string]string{"heel": "heel", "heels": "heel", "ferse": "heel", "talon": "heel", "toe": "toe", "toes": "toe", "zehe": "toe", "hole": "hole", "holes": "hole", "number of the hole": "hole", "loch": "hole", "trou": "hole", "gat": "hole"}

// classWords are boat classes in words, in the languages of the headings; common
// practice.
var classWords = map[string]string{
	"single": "1x", "single scull": "1x", "einer": "1x", "skiff": "1x", "singolo": "1x", "un de couple": "1x",
	"double": "2x", "double scull": "2x", "doppelzweier": "2x", "deux de couple": "2x", "doppio": "2x", "doble": "2x", "dubbeltwee": "2x",
	"quad": "4x", "quadruple": "4x", "quadruple scull": "4x", "quad scull": "4x", "doppelvierer": "4x", "quatre de couple": "4x", "quattro di coppia": "4x", "dubbelvier": "4x",
	"pair": "2-", "coxless pair": "2-", "straight pair": "2-", "zweier ohne": "2-", "deux sans barreur": "2-", "deux sans": "2-", "due senza": "2-", "twee zonder": "2-",
	"coxed pair": "2+", "zweier mit": "2+", "deux avec barreur": "2+", "deux barre": "2+", "due con": "2+",
	"coxless four": "4-", "straight four": "4-", "vierer ohne": "4-", "quatre sans barreur": "4-", "quatre sans": "4-", "quattro senza": "4-", "vier zonder": "4-",
	"coxed four": "4+", "vierer mit": "4+", "quatre avec barreur": "4+", "quatre barre": "4+", "quattro con": "4+", "vier met": "4+",
	"eight": "8+", "achter": "8+", "huit": "8+", "acht": "8+", "otto": "8+", "ocho": "8+", "oito": "8+",
}

var classCode = regexp.MustCompile(`^(?:[a-z]{0,4} ?)?([1248])\s?(x|\+|-)?-?$`)

// readClass reads a boat class as people write it, such as M8+, 4x- or quad.
func readClass(cell string) (code, complaint string) {
	text := strings.NewReplacer("–", "-", "−", "-").Replace(store.NameKey(cell))
	if code, ok := classWords[cells.Folded(text)]; ok {
		return code, ""
	}
	if m := classCode.FindStringSubmatch(text); m != nil {
		code := m[1] + m[2]
		if _, ok := rigging.ClassByCode(code); ok {
			return code, ""
		}
		if code == "8" || code == "1" {
			return map[string]string{"8": "8+", "1": "1x"}[code], ""
		}
	}
	return "", cells.Quoted(cell) + " is no class that is known here: write 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."
}

// isCox tells a row that is of the coxswain's seat.
func isCox(seat string) bool {
	return slices.Contains([]string{"cox", "c", "coxswain", "stm", "steuer", "steuermann", "barreur", "stuur", "timoniere"}, cells.Folded(seat))
}

var (
	seatNumber = regexp.MustCompile(`^(?:seat|sitz|platz|no|nr|n|#|siege|place|plaats|posto)?\s*\.?\s*([1-8])\.?$`)
	seatSpan   = regexp.MustCompile(`^([1-8])\s*(?:-|–|to|bis|a)\s*([1-8])$`)
)

// readSeats reads which seats a row is of: a number, bow or stroke, several as 1-4,
// or all.
func readSeats(cell string, class rigging.Class) (seats []int, ok bool) {
	text := strings.TrimSpace(store.NameKey(cell))
	if m := seatSpan.FindStringSubmatch(text); m != nil {
		for n := cells.Whole(m[1]); n <= cells.Whole(m[2]); n++ {
			seats = append(seats, n)
		}
		return seats, len(seats) > 0 && seats[len(seats)-1] <= class.Rowers
	}
	if m := seatNumber.FindStringSubmatch(text); m != nil {
		return []int{cells.Whole(m[1])}, cells.Whole(m[1]) <= class.Rowers
	}
	switch cells.Folded(text) {
	case "bow", "b", "bug", "proue", "boeg", "prua", "proa":
		return []int{1}, true
	case "stroke", "s", "schlag", "nage", "slag", "capovoga", "marca":
		return []int{class.Rowers}, true
	case "all", "alle", "tous", "tutti", "todos", "every":
		return allSeats(class), true
	}
	return nil, false
}

// hullWords are what is shown of a hull, by what it is called.
func hullWords(b *club.Boat) (labels, values []string) {
	w := club.BoatWrite{BoatFields: b.BoatFields}
	for _, f := range boatFields {
		var text string
		switch unit := f.meaning.unitOf(); {
		case f.meaning == Note:
			text = b.Note
		case f.meaning == BoatOars:
			if b.OarSetID != nil {
				text = fmt.Sprintf("no. %d", *b.OarSetID)
			}
		case f.meaning == Mark && b.Stretcher != nil:
			text = b.Stretcher.Mark
		case strings.HasPrefix(string(f.meaning), "stretcher_") && b.Stretcher == nil, f.meaning.ofSeat(), unit == "":
		default:
			if v, _ := hullField(&w, f.meaning); *v != nil {
				text = amount0(**v, unit)
			}
		}
		labels, values = append(labels, f.label), append(values, text)
	}
	return labels, values
}

// seatWords are what is shown of a seat, by what it is called.
func seatWords(b *club.Boat, number int) (labels, values []string) {
	s := &b.Seats[number-1]
	labels, values = []string{"side", "fits both sides", "blade"}, []string{s.Side, map[bool]string{true: "yes", false: "no"}[s.CanChangeSides], s.Blade}
	for _, name := range b.Settings() {
		text := ""
		if v := s.Seat.Setting(name); v != nil {
			text = amount0(*v, Meaning(name).unitOf())
		}
		labels, values = append(labels, strings.ToLower(club.SettingLabel(name))), append(values, text)
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

// boatChanges says what is different of a boat; what is the same at every seat is
// said once.
func boatChanges(old, next *club.Boat) []string {
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

// seatChanges says what is different of the seats.
func seatChanges(old, next *club.Boat) []string {
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

// newBoatWords says what a new boat comes with, and what has to be measured yet.
func newBoatWords(b *club.Boat) []string {
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

func labelled(b *club.Boat, names map[string]bool) string {
	var list []string
	for _, name := range b.Settings() {
		if names[name] {
			list = append(list, strings.ToLower(club.SettingLabel(name)))
		}
	}
	return strings.Join(list, ", ")
}
