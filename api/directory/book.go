// Package directory tells athletes apart by how people call them: whole names and short
// labels that no two share, and who is meant by what was typed.
package directory

import (
	"slices"
	"strings"

	"thole/api/store"
)

// Book finds athletes by what people call them: the whole name either way
// round ("Ann Lee", "Lee, Ann"), the label, the family name, or it with an initial;
// case, accents and full stops make no difference.
type Book struct {
	people []Athlete
	tiers  [5]map[string][]int // indices of people by key, the surest first
}

// The tiers: the names that no other has, whole names, family names, family names
// with an initial or a part, given names.
const (
	tierUnique = iota
	tierWhole
	tierFamily
	tierPart
	tierGiven
)

// NewBook returns a directory of people with their labels.
func NewBook(people []Athlete) *Book {
	d := &Book{people: people}
	for t := range d.tiers {
		d.tiers[t] = map[string][]int{}
	}
	for i := range people {
		a := &people[i]
		d.add(tierUnique, i, a.Whole, a.Label)
		d.add(tierWhole, i, a.Name, a.Given+" "+a.Family, a.Family+" "+a.Given)
		first, _, more := strings.Cut(a.Given, " ")
		if a.Family != "" && a.Given != "" {
			letter := initial(a.Given)
			d.add(tierFamily, i, a.Family)
			d.add(tierPart, i, letter+" "+a.Family, a.Family+" "+letter)
			if more {
				d.add(tierPart, i, first+" "+a.Family, a.Family+" "+first)
			}
			d.add(tierGiven, i, a.Given, first)
		}
	}
	return d
}

// add takes names of a person into a tier.
func (d *Book) add(tier, person int, names ...string) {
	for _, name := range names {
		key := Key(name)
		if list := d.tiers[tier][key]; key != "" && !slices.Contains(list, person) {
			d.tiers[tier][key] = append(list, person)
		}
	}
}

var unmarked = strings.NewReplacer(",", " ", ".", " ")

// Key is what ways to type one name share: case, accents, commas and full stops make no
// difference.
func Key(name string) string { return store.NameKey(unmarked.Replace(name)) }

// Find returns who is called so. Several are those among whom the name does not
// decide; nobody is an empty list. Those who are not archived go before those who
// are.
func (d *Book) Find(name string) []Athlete { return d.find(name, tierGiven) }

// FindFull is [Book.Find] without given names alone, where a name may be
// somebody's who is not in the directory.
func (d *Book) FindFull(name string) []Athlete { return d.find(name, tierPart) }

func (d *Book) find(name string, last int) []Athlete {
	key := Key(name)
	for _, tier := range d.tiers[:last+1] {
		if list := tier[key]; key != "" && len(list) > 0 {
			return d.current(list)
		}
	}
	return nil
}

// current are those who are not archived, where there are some, or else all.
func (d *Book) current(list []int) []Athlete {
	var all, here []Athlete
	for _, i := range list {
		all = append(all, d.people[i])
		if !d.people[i].Archived {
			here = append(here, d.people[i])
		}
	}
	if len(here) > 0 {
		return here
	}
	return all
}

// WhichOne asks which of several athletes is meant.
func WhichOne(name string, several []Athlete) string {
	ways := make([]string, len(several))
	for i := range several {
		ways[i] = several[i].Label
		if ways[i] == "" || Key(ways[i]) == Key(name) {
			ways[i] = several[i].Whole
		}
	}
	last := len(ways) - 1
	return "“" + strings.TrimSpace(name) + "” can be " + strings.Join(ways[:last], ", ") + " or " + ways[last] + ": write which one."
}

// mostCommas is how many commas a name can hold, as in "Smith, John";
// our judgement: one more than that.
const mostCommas = 2

// Split parts a line of names. A semicolon parts names where there is one;
// otherwise commas do, but for one within a name that somebody has: "Lee, Ann,
// Okafor" is two athletes where there is an Ann Lee.
func (d *Book) Split(line string) []string {
	mark := ","
	if strings.Contains(line, ";") {
		mark = ";"
	}
	var words, list []string
	for word := range strings.SplitSeq(line, mark) {
		if word = strings.TrimSpace(word); word != "" {
			words = append(words, word)
		}
	}
	for len(words) > 0 {
		n := 1
		for k := min(mostCommas+1, len(words)); k > 1 && mark == ","; k-- {
			if d.oneName(words[:k]) {
				n = k
				break
			}
		}
		list, words = append(list, strings.Join(words[:n], ", ")), words[n:]
	}
	return list
}

// oneName reports whether words with commas between them are one athlete's name:
// somebody has it, and they are not each somebody's own.
func (d *Book) oneName(words []string) bool {
	if len(d.tiers[tierWhole][Key(strings.Join(words, " "))]) == 0 {
		return false
	}
	for _, word := range words {
		if len(d.tiers[tierUnique][Key(word)]) == 0 {
			return true
		}
	}
	return false
}
