package cells

import (
	"regexp"
	"slices"
	"strings"
	"thole/api/store"
	"thole/rigging"
)

// What tables of boats and oars say in words.

// Blades are the kinds of blades as clubs write them; common practice.
var Blades = map[string]string{
	"hatchet": "hatchet", "cleaver": "hatchet", "big blade": "hatchet", "bigblade": "hatchet", "hache": "hatchet", "hacke": "hatchet", "beil": "hatchet", "hakmes": "hatchet",
	"macon": "macon", "spoon": "macon", "tulip": "macon", "loffel": "macon", "cuillere": "macon",
	"large": "large", "large hatchet": "large",
}

// Marks are what a stretcher is read at.
var Marks = map[string]string{"heel": "heel", "heels": "heel", "ferse": "heel", "talon": "heel", "toe": "toe", "toes": "toe", "zehe": "toe", "hole": "hole", "holes": "hole", "number of the hole": "hole", "loch": "hole", "trou": "hole", "gat": "hole"}

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

// Class reads a boat class as people write it, such as M8+, 4x- or quad.
func Class(cell string) (code, complaint string) {
	text := strings.NewReplacer("–", "-", "−", "-").Replace(store.NameKey(cell))
	if code, ok := classWords[Folded(text)]; ok {
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
	return "", Quoted(cell) + " is no class that is known here: write 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."
}

// IsCox tells a row that is of the coxswain's seat.
func IsCox(seat string) bool {
	return slices.Contains([]string{"cox", "c", "coxswain", "stm", "steuer", "steuermann", "barreur", "stuur", "timoniere"}, Folded(seat))
}

var (
	seatNumber = regexp.MustCompile(`^(?:seat|sitz|platz|no|nr|n|#|siege|place|plaats|posto)?\s*\.?\s*([1-8])\.?$`)
	seatSpan   = regexp.MustCompile(`^([1-8])\s*(?:-|–|to|bis|a)\s*([1-8])$`)
)

// Seats reads which seats a row is of: a number, bow or stroke, several as 1-4,
// or all.
func Seats(cell string, class rigging.Class) (seats []int, ok bool) {
	text := strings.TrimSpace(store.NameKey(cell))
	if m := seatSpan.FindStringSubmatch(text); m != nil {
		for n := Whole(m[1]); n <= Whole(m[2]); n++ {
			seats = append(seats, n)
		}
		return seats, len(seats) > 0 && seats[len(seats)-1] <= class.Rowers
	}
	if m := seatNumber.FindStringSubmatch(text); m != nil {
		return []int{Whole(m[1])}, Whole(m[1]) <= class.Rowers
	}
	switch Folded(text) {
	case "bow", "b", "bug", "proue", "boeg", "prua", "proa":
		return []int{1}, true
	case "stroke", "s", "schlag", "nage", "slag", "capovoga", "marca":
		return []int{class.Rowers}, true
	case "all", "alle", "tous", "tutti", "todos", "every":
		return AllSeats(class), true
	}
	return nil, false
}

// AllSeats are the numbers of a class’s seats.
func AllSeats(class rigging.Class) []int {
	var list []int
	for n := 1; n <= class.Rowers; n++ {
		list = append(list, n)
	}
	return list
}

// OarKinds are the kinds of oars as clubs write them; common practice.
var OarKinds = map[string]string{
	"scull": store.Scull, "sculls": store.Scull, "sculling": store.Scull, "skull": store.Scull, "skulls": store.Scull, "x": store.Scull, "couple": store.Scull, "de couple": store.Scull, "coppia": store.Scull,
	"sweep": store.Sweep, "sweep oars": store.Sweep, "sweep oar": store.Sweep, "oars": store.Sweep, "riemen": store.Sweep, "pointe": store.Sweep, "de pointe": store.Sweep, "punta": store.Sweep, "boordriemen": store.Sweep,
}

// OarCount is how many oars a set has, perhaps in pairs.
var OarCount = regexp.MustCompile(`^(\d{1,3})\s*(pairs?|prs?|paar|paires?|paia|pares)?\.?$`)
