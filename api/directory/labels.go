package directory

import (
	"fmt"
	"strconv"

	"thole/api/store"
)

// Athlete is an athlete to choose.
type Athlete struct {
	ID            int64
	Name          string // the given name, then the family name
	Given, Family string
	BirthDate     *string // YYYY-MM-DD
	BirthYear     *int64  // where the day is not known
	Archived      bool
	Whole         string // of [WholeNames]; no other in the list has it
	Label         string // of [Labels], in short; no other in the list has it
}

// WholeNames names each of several athletes by id in full, so that no two are
// called the same: by the name, where two share it with the year of birth behind
// it, the birth date or, last, the number on record. An archived athlete makes no
// one else's name longer.
func WholeNames(people []Athlete) map[int64]string {
	return unlike(people, (*Athlete).wholeForms)
}

// Labels calls each of several athletes by id in short, so that no two are called
// the same: by the family name, with the initial where two share it, or by the whole
// name, with what tells it from another. It holds no comma, so that labels can be
// listed with commas.
func Labels(people []Athlete) map[int64]string {
	return unlike(people, (*Athlete).shortForms)
}

// unlike gives each athlete the first form that nobody else answers to; those
// archived give way to those who are not.
func unlike(people []Athlete, formsOf func(*Athlete) []string) map[int64]string {
	everybody, current := map[string]int{}, map[string]int{}
	for i := range people {
		for key := range keysOf(formsOf(&people[i])) {
			everybody[key]++
			if !people[i].Archived {
				current[key]++
			}
		}
	}
	called := make(map[int64]string, len(people))
	for i := range people {
		count := current
		if people[i].Archived {
			count = everybody
		}
		for _, form := range formsOf(&people[i]) {
			called[people[i].ID] = form
			if count[store.NameKey(form)] == 1 {
				break
			}
		}
	}
	return called
}

// keysOf are the keys of forms, each once.
func keysOf(forms []string) map[string]bool {
	keys := make(map[string]bool, len(forms))
	for _, form := range forms {
		keys[store.NameKey(form)] = true
	}
	return keys
}

// wholeForms are the ways to call the athlete in full, the longer later.
func (a *Athlete) wholeForms() []string {
	list := []string{a.Name}
	add := func(what string) { list = append(list, a.Name+" ("+what+")") }
	if a.BirthDate != nil && len(*a.BirthDate) > 4 {
		add((*a.BirthDate)[:4])
		add(*a.BirthDate)
	} else if a.BirthYear != nil {
		add(strconv.FormatInt(*a.BirthYear, 10))
	}
	add(fmt.Sprintf("no. %d", a.ID))
	return list
}

// shortForms are the ways to call the athlete, the longer later.
func (a *Athlete) shortForms() []string {
	if a.Given == "" || !a.hasFamily() {
		return a.wholeForms()
	}
	return append([]string{a.Family, a.Family + " " + initial(a.Given) + "."}, a.wholeForms()...)
}

// hasFamily reports whether the family name can stand alone: "B." of "Anna B." and
// "12" cannot, and one that holds a comma would be cut in a list.
func (a *Athlete) hasFamily() bool {
	letters := 0
	for _, r := range a.Family {
		if r == ',' {
			return false
		}
		if !isMark(r) {
			letters++
		}
	}
	return letters > 1
}

// isMark reports whether a sign makes no name.
func isMark(r rune) bool {
	return r >= '0' && r <= '9' || r == '.' || r == ' ' || r == '-' || r == '\''
}

func initial(name string) string {
	for _, r := range name {
		return string(r)
	}
	return ""
}

// Of lists athletes on record as they are chosen from.
func Of(athletes []store.Athlete) []Athlete {
	names := make([]Athlete, 0, len(athletes))
	for i := range athletes {
		a := &athletes[i]
		names = append(names, Athlete{ID: a.ID, Name: a.Name, Given: a.Given, Family: a.Family, BirthDate: a.BirthDate, BirthYear: a.BirthYear, Archived: a.Archived})
	}
	return named(names)
}

// Named is somebody known by a name alone.
func Named(id int64, name string) Athlete {
	given, family := store.SplitName(name)
	return Athlete{ID: id, Name: name, Given: given, Family: family, Whole: name}
}

func named(names []Athlete) []Athlete {
	whole, labels := WholeNames(names), Labels(names)
	for i := range names {
		names[i].Whole, names[i].Label = whole[names[i].ID], labels[names[i].ID]
	}
	return names
}
