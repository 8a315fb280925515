package intake

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"thole/api/cells"
	"thole/api/columns"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/squadfile"
	"thole/api/store"
	"thole/api/wire"
)

// oarsReading turns a file into sets of oars.
type oarsReading struct {
	columns.Reading
	known map[string]fleet.OarSet // by the key of the name
	rows  map[string]int          // of the sets of the table
}

// lookAtOars reads a file of sets of oars.
func (s *Service) lookAtOars(ctx context.Context, f columns.File) (TableLook, error) {
	opened, err := columns.Open(columns.Oars, &f, "set, kind, length or inboard")
	if err != nil {
		return TableLook{}, err
	}
	r := oarsReading{Reading: opened, known: map[string]fleet.OarSet{}, rows: map[string]int{}}
	look := TableLook{Kind: columns.Oars}
	if err := s.takeKept(ctx, columns.Oars, &f, &r.Reading, &look); err != nil {
		return TableLook{}, err
	}
	r.Guess(f.How)
	if f.How == nil {
		r.Once()
		r.SettleUnits()
	}
	r.Settle()
	if r.Has(columns.OarName) < 0 {
		look.Asks = append(look.Asks, "name")
	}
	list, err := s.fleet.OarSets(ctx, records.ListRequest{Archived: true})
	if err != nil {
		return TableLook{}, err
	}
	for _, o := range slices.Backward(list.OarSets) {
		if key := store.NameKey(o.Name); !o.Archived || r.known[key].ID == 0 {
			r.known[key] = o
		}
	}
	if len(look.Asks) == 0 {
		for _, line := range r.Below() {
			r.line(&line, &look)
		}
	}
	if err := s.follow(ctx, &look); err != nil {
		return TableLook{}, err
	}
	look.fill(&r.Reading)
	return look, nil
}

// follow lets the boats that go with a set have the length and the inboard that are new.
func (s *Service) follow(ctx context.Context, look *TableLook) error {
	for i := range look.fleet.Oars {
		set := &look.fleet.Oars[i]
		if set.ID == 0 {
			continue
		}
		boats, err := s.fleet.BoatsToFollow(ctx, set)
		if err != nil {
			return err
		}
		for _, b := range boats {
			look.Items[i].Changes = append(look.Items[i].Changes, "at every seat of "+b.Boat.Name)
		}
		look.fleet.Boats = append(look.fleet.Boats, boats...)
	}
	return nil
}

// line reads one set.
func (r *oarsReading) line(line *squadfile.FileRow, look *TableLook) {
	var list []given
	name := ""
	for i := range r.Columns {
		m, at := r.Columns[i].Meaning, columns.At{Row: line.Number, Column: i}
		text := r.Cell(line, i)
		switch {
		case m == columns.Unused:
		case r.Unsolved(line, i):
			r.Complain(at, columns.NoResult)
		case cells.IsBlank(text):
		case m == columns.OarName:
			name = text
		default:
			list = append(list, given{m, text, at})
		}
	}
	key := store.NameKey(name)
	switch {
	case key == "" && len(list) == 0:
		return
	case key == "":
		r.Complain(columns.At{Row: line.Number, Column: -1}, "This row names no set of oars.")
		return
	case r.rows[key] > 0:
		r.Complain(columns.At{Row: line.Number, Column: -1}, "The set "+name+" stands in row "+strconv.Itoa(r.rows[key])+" already.")
		return
	}
	r.rows[key] = line.Number
	r.set(name, line.Number, list, look)
}

// set plans one set; a value that cannot be used is left out with its complaint.
func (r *oarsReading) set(name string, row int, list []given, look *TableLook) {
	old := r.known[store.NameKey(name)]
	list = slices.DeleteFunc(list, func(c given) bool { return !r.readable(c) })
	for {
		fields := old.OarFields
		if old.ID == 0 {
			fields.Name = name
		}
		for _, c := range list {
			r.put(&fields, c)
		}
		if fields.Kind == "" {
			fields.Kind = kindBySize(&fields)
		}
		if fields.Kind == "" {
			r.Complain(columns.At{Row: row, Column: r.Has(columns.OarKind)}, name+": say sculls or sweep, which no length tells here.")
			return
		}
		plan, err := fleet.PlanOars(&fields)
		if err == nil {
			plan.ID, plan.Version = old.ID, old.Version
			look.add(oarItem(&old, &fields, row))
			look.fleet.Oars = append(look.fleet.Oars, plan)
			return
		}
		kept, rest := r.drop(list, err)
		if len(kept) == len(list) {
			r.Complain(columns.At{Row: row, Column: -1}, name+": "+rest)
			return
		}
		list = kept
	}
}

// kindBySize tells sculls from sweep oars by their length; "" where none is known.
// Sculls are shorter than 330 cm and sweep oars longer; common practice.
func kindBySize(f *fleet.OarFields) string {
	const longestScull = 330 // cm, common practice as above
	switch v := f.LengthCm; {
	case v == nil:
		return ""
	case *v < longestScull:
		return store.Scull
	}
	return store.Sweep
}

// readable complains about a cell that says nothing that can be used.
func (r *oarsReading) readable(c given) bool {
	complaint := ""
	switch c.meaning {
	case columns.Note, columns.Blade:
	case columns.BladeKind:
		complaint = unlessKnown(cells.Blades[cells.Folded(c.text)], cells.Quoted(c.text)+" is no kind of blade that is known here: write hatchet, Macon or large.")
	case columns.OarKind:
		complaint = unlessKnown(cells.OarKinds[cells.Folded(c.text)], cells.Quoted(c.text)+" is no kind of oars: write sculls or sweep.")
	case columns.OarCount:
		complaint = unlessKnown(cells.OarCount.FindString(strings.ToLower(c.text)), cells.Quoted(c.text)+" is no number of oars: write it like 8 or 4 pairs.")
	default:
		_, complaint = cells.Measure(c.text, c.meaning.Unit(), r.Columns[c.at.Column].Unit)
	}
	if complaint != "" {
		r.Complain(c.at, complaint)
	}
	return complaint == ""
}

func unlessKnown(found, complaint string) string { return unless(found != "", complaint) }

// put gives a set one value.
func (r *oarsReading) put(f *fleet.OarFields, c given) {
	switch c.meaning {
	case columns.Note:
		f.Note = c.text
	case columns.Blade:
		f.Blade = c.text
	case columns.BladeKind:
		f.BladeKind = cells.Blades[cells.Folded(c.text)]
	case columns.OarKind:
		f.Kind = cells.OarKinds[cells.Folded(c.text)]
	case columns.OarCount:
		m := cells.OarCount.FindStringSubmatch(strings.ToLower(c.text))
		if f.Count = cells.Whole(m[1]); m[2] != "" {
			f.Count *= 2
		}
	default:
		v, _ := cells.Measure(c.text, c.meaning.Unit(), r.Columns[c.at.Column].Unit)
		*oarNumber(f, c.meaning) = &v
	}
}

// oarNumber is the number of a set that a meaning stands for.
func oarNumber(f *fleet.OarFields, m columns.Meaning) **float64 {
	return map[columns.Meaning]**float64{
		"length_cm": &f.LengthCm, "length_min_cm": &f.LengthMinCm, "length_max_cm": &f.LengthMaxCm, "length_step_cm": &f.LengthStepCm,
		"inboard_cm": &f.InboardCm, "inboard_min_cm": &f.InboardMinCm, "inboard_max_cm": &f.InboardMaxCm, "inboard_step_cm": &f.InboardStepCm,
	}[m]
}

// drop takes out the cells that are complained of.
func (r *oarsReading) drop(list []given, err error) (kept []given, rest string) {
	bad, ok := err.(*wire.Invalid)
	if !ok {
		return list, err.Error()
	}
	kept = slices.Clone(list)
	for i := range bad.Fields {
		m := columns.Meaning(bad.Fields[i].Place().First())
		k := slices.IndexFunc(kept, func(c given) bool { return c.meaning == m })
		if k < 0 {
			rest = bad.Fields[i].Detail
			continue
		}
		r.Complain(kept[k].at, bad.Fields[i].Detail)
		kept = slices.Delete(kept, k, k+1)
	}
	return kept, rest
}

// oarItem reports what becomes of a set.
func oarItem(old *fleet.OarSet, next *fleet.OarFields, row int) Item {
	item := Item{ID: old.ID, Name: next.Name, Class: next.Kind, Action: actionNew, Changes: []string{}, Row: row}
	labels, to := oarWords(next)
	_, from := oarWords(&old.OarFields)
	for i := range labels {
		switch {
		case from[i] == to[i]:
		case old.ID == 0:
			item.Changes = append(item.Changes, labels[i]+": "+to[i])
		default:
			item.Changes = append(item.Changes, changeText(labels[i], from[i], to[i]))
		}
	}
	if old.ID != 0 {
		if item.Action = actionChanged; len(item.Changes) == 0 {
			item.Action = actionKnown
		}
	}
	if next.Archived {
		item.Check = "The set is archived, and stays out of the lists."
	}
	return item
}

// oarWords are what is shown of a set, by what it is called.
func oarWords(f *fleet.OarFields) (labels, values []string) {
	for _, field := range columns.Oars.Fields() {
		text := ""
		switch field.Meaning {
		case columns.OarName:
			continue
		case columns.OarKind:
			text = f.Kind
		case columns.OarCount:
			text = strconv.Itoa(f.Count)
		case columns.Blade:
			text = f.Blade
		case columns.BladeKind:
			text = f.BladeKind
		case columns.Note:
			text = f.Note
		default:
			if v := *oarNumber(f, field.Meaning); v != nil {
				text = amount0(*v, "cm")
			}
		}
		labels, values = append(labels, field.Label), append(values, text)
	}
	return labels, values
}
