package club

import (
	"fmt"

	"thole/api/store"
)

// Labels names each of several athletes by id, so that no two are called the same:
// by the name, where two share it with the year of birth behind it, the birth date
// or, last, the number on record.
func Labels(people []AthleteName) map[int64]string {
	count := map[string]int{}
	for i := range people {
		for _, form := range people[i].forms() {
			count[store.NameKey(form)]++
		}
	}
	labels := make(map[int64]string, len(people))
	for i := range people {
		for _, form := range people[i].forms() {
			labels[people[i].ID] = form
			if count[store.NameKey(form)] == 1 {
				break
			}
		}
	}
	return labels
}

// forms are the ways to call the athlete, the longer later.
func (a *AthleteName) forms() []string {
	list := []string{a.Name}
	add := func(what string) { list = append(list, a.Name+" ("+what+")") }
	if a.BirthDate != nil && len(*a.BirthDate) > 4 {
		add((*a.BirthDate)[:4])
		add(*a.BirthDate)
	}
	add(fmt.Sprintf("no. %d", a.ID))
	return list
}

// NamesOf lists athletes on record as they are chosen from.
func NamesOf(athletes []store.Athlete) []AthleteName {
	names := make([]AthleteName, 0, len(athletes))
	for i := range athletes {
		names = append(names, AthleteName{ID: athletes[i].ID, Name: athletes[i].Name, BirthDate: athletes[i].BirthDate})
	}
	labels := Labels(names)
	for i := range names {
		names[i].Label = labels[names[i].ID]
	}
	return names
}

// Labels calls no two athletes of the list the same; see [Labels].
func (l *AthleteList) Labels() map[int64]string {
	names := make([]AthleteName, len(l.Athletes))
	for i := range l.Athletes {
		a := &l.Athletes[i]
		names[i] = AthleteName{ID: a.ID, Name: a.Name, BirthDate: a.BirthDate}
	}
	return Labels(names)
}
