package intake

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"thole/api/cells"
	"thole/api/columns"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/squadfile"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// boatsReading turns a file into boats.
type boatsReading struct {
	columns.Reading
	service    *Service
	known      map[string][]fleet.BoatSummary // by the key of the name
	oars       map[string]fleet.OarSet        // by the key of the name
	boats      []*tableBoat
	askedSides bool
}

// given is a cell with what it says.
type given struct {
	meaning columns.Meaning
	text    string
	at      columns.At
}

// boatRow is a row of the file on its way.
type boatRow struct {
	number int
	cells  map[columns.Meaning]given
	name   string
}

// tableBoat is one boat of a table.
type tableBoat struct {
	name, class string
	row         int           // its first
	old         *fleet.Boat   // on record, nil for a new one
	oars        *fleet.OarSet // that the table names; nil for none
	values      []boatValue
	said        map[saidAt]given
	write       fleet.BoatWrite
	plan        store.FleetBoat
}

// saidAt is what a value is of: a seat, 0 for the hull.
type saidAt struct {
	seat    int
	meaning columns.Meaning
}

// boatValue is one value of a table.
type boatValue struct {
	given
	seat  int // 0 for the hull
	put   func(w *fleet.BoatWrite) wire.Place
	place wire.Place // in the last writing
}

// lookAtBoats reads a file of boats.
func (s *Service) lookAtBoats(ctx context.Context, f columns.File) (TableLook, error) {
	opened, err := columns.Open(columns.Boats, &f, "boat, class, seat, span, inboard or height")
	if err != nil {
		return TableLook{}, err
	}
	r := boatsReading{Reading: opened, service: s, known: map[string][]fleet.BoatSummary{}}
	look := TableLook{Kind: columns.Boats}
	if err := r.propose(ctx, &f, &look); err != nil {
		return TableLook{}, err
	}
	if r.Has(columns.BoatName) < 0 {
		look.Asks = append(look.Asks, "name")
	}
	if err := r.read(ctx); err != nil {
		return TableLook{}, err
	}
	if r.askedSides {
		look.Asks = append(look.Asks, "sides")
	}
	if len(look.Asks) == 0 {
		r.plan(&look)
	}
	look.fill(&r.Reading)
	return look, nil
}

// propose takes what was said of the columns, what is kept for such headings, or
// what the headings say.
func (r *boatsReading) propose(ctx context.Context, f *columns.File, look *TableLook) error {
	if err := r.service.takeKept(ctx, columns.Boats, f, &r.Reading, look); err != nil {
		return err
	}
	r.Guess(f.How)
	if f.How == nil {
		if span, spread := r.Has("span_cm"), r.Has("spread_cm"); span < 0 != (spread < 0) {
			r.Columns[max(span, spread)].Meaning = columns.Pins
		}
		r.Once()
		r.SettleUnits()
	}
	r.Settle()
	r.How.Sides = cmp.Or(f.Sides, r.How.Sides, r.SeenSides())
	return nil
}

// read goes through the rows and gathers what they say of each boat.
func (r *boatsReading) read(ctx context.Context) error {
	list, err := r.service.fleet.Boats(ctx, records.ListRequest{Archived: true})
	if err != nil {
		return err
	}
	for _, b := range list.Boats {
		key := store.NameKey(b.Name)
		r.known[key] = append(r.known[key], b)
	}
	sets, err := r.service.fleet.OarSets(ctx, records.ListRequest{})
	if err != nil {
		return err
	}
	r.oars = map[string]fleet.OarSet{}
	for _, o := range sets.OarSets {
		r.oars[store.NameKey(o.Name)] = o
	}
	var last *tableBoat
	for _, line := range r.Below() {
		row := r.rowOf(&line)
		if len(row.cells) == 0 || cells.IsCox(row.cells[columns.SeatAt].text) {
			continue
		}
		if last, err = r.boatOf(ctx, &row, last); err != nil {
			return err
		}
		if last != nil {
			r.take(last, &row)
		}
	}
	return nil
}

// rowOf are the cells of a row that say something.
func (r *boatsReading) rowOf(line *squadfile.FileRow) boatRow {
	row := boatRow{number: line.Number, cells: map[columns.Meaning]given{}}
	for i := range r.Columns {
		m, at := r.Columns[i].Meaning, columns.At{Row: line.Number, Column: i}
		text := r.Cell(line, i)
		switch {
		case m == columns.Unused:
		case r.Unsolved(line, i):
			r.Complain(at, columns.NoResult)
		case !cells.IsBlank(text):
			row.cells[m] = given{m, text, at}
		}
	}
	row.name = strings.Join(strings.Fields(row.cells[columns.BoatName].text), " ")
	return row
}

// boatOf finds the boat that a row is of; one without a name is of the boat above.
// Nil is a row that cannot be used, whose complaint stands.
func (r *boatsReading) boatOf(ctx context.Context, row *boatRow, last *tableBoat) (*tableBoat, error) {
	if row.name == "" {
		if last == nil {
			r.Complain(columns.At{Row: row.number, Column: -1}, "This row names no boat.")
		}
		return last, nil
	}
	class, ok := r.classOf(row, last)
	if !ok {
		return nil, nil
	}
	for _, b := range r.boats {
		if store.NameKey(b.name) == store.NameKey(row.name) && b.class == class {
			return b, nil
		}
	}
	b := &tableBoat{name: row.name, class: class, row: row.number, said: map[saidAt]given{}}
	for _, known := range r.known[store.NameKey(row.name)] {
		if known.BoatClass != class || b.old != nil && known.Archived {
			continue
		}
		old, err := r.service.fleet.Boat(ctx, records.IDRequest{ID: known.ID})
		if err != nil {
			return nil, err
		}
		b.old = &old
	}
	r.boats = append(r.boats, b)
	return b, nil
}

// classOf is the class of a row's boat: as it says, as the row above of the same
// boat said, or as it stands on record.
func (r *boatsReading) classOf(row *boatRow, last *tableBoat) (code string, ok bool) {
	if cell, said := row.cells[columns.BoatClass]; said {
		code, complaint := cells.Class(cell.text)
		if complaint != "" {
			r.Complain(cell.at, complaint)
		}
		return code, complaint == ""
	}
	if last != nil && store.NameKey(last.name) == store.NameKey(row.name) {
		return last.class, true
	}
	classes := map[string]bool{}
	for _, b := range r.known[store.NameKey(row.name)] {
		code, classes[b.BoatClass] = b.BoatClass, true
	}
	if len(classes) != 1 {
		r.Complain(columns.At{Row: row.number, Column: r.Has(columns.BoatClass)}, "Say the class of "+row.name+", such as 2x, 4- or 8+.")
	}
	return code, len(classes) == 1
}

// take gathers the values of a row.
func (r *boatsReading) take(b *tableBoat, row *boatRow) {
	class, _ := rigging.ClassByCode(b.class)
	seats := cells.AllSeats(class)
	if cell, said := row.cells[columns.SeatAt]; said {
		list, ok := cells.Seats(cell.text, class)
		if !ok {
			r.Complain(cell.at, fmt.Sprintf("%s is no seat of a %s: write 1 for bow to %d for stroke.", cells.Quoted(cell.text), class.Code, class.Rowers))
			return
		}
		seats = list
	}
	for _, f := range columns.Boats.Fields() {
		cell, said := row.cells[f.Meaning]
		if !said {
			continue
		}
		switch {
		case f.Meaning == columns.BoatName, f.Meaning == columns.BoatClass, f.Meaning == columns.SeatAt:
		case f.Meaning.OfSeat():
			for _, n := range seats {
				r.takeSeat(b, class, n, cell)
			}
		default:
			r.takeHull(b, cell)
		}
	}
}

// takeSeat reads a cell that says something of a seat.
func (r *boatsReading) takeSeat(b *tableBoat, class rigging.Class, number int, cell given) {
	at := wire.At("seats").Item(number - 1)
	switch cell.meaning {
	case columns.Side:
		r.takeSide(b, class, number, cell)
	case columns.BothSides:
		word, ok := cells.Answers[store.NameKey(cell.text)]
		if !ok {
			r.ComplainOnce(cell.at, cells.Quoted(cell.text)+" does not fit: write yes or no.")
			return
		}
		r.put(b, number, cell, word, func(w *fleet.BoatWrite) wire.Place {
			w.Seats[number-1].CanChangeSides = word == "yes"
			return at.Name("can_change_sides")
		})
	case columns.Blade:
		code, ok := cells.Blades[cells.Folded(cell.text)]
		if !ok {
			r.ComplainOnce(cell.at, cells.Quoted(cell.text)+" is no blade that is known here: write hatchet, Macon or large.")
			return
		}
		r.put(b, number, cell, code, func(w *fleet.BoatWrite) wire.Place {
			w.Seats[number-1].Blade = code
			return at.Name("blade")
		})
	default:
		r.takeSetting(b, class, number, cell)
	}
}

func (r *boatsReading) takeSetting(b *tableBoat, class rigging.Class, number int, cell given) {
	if cell.meaning == heelToPin && r.ownReading(cell) {
		r.takeMark(b, number, cell)
		return
	}
	v, complaint := cells.Measure(cell.text, cell.meaning.Unit(), r.Columns[cell.at.Column].Unit)
	if complaint != "" {
		r.ComplainOnce(cell.at, complaint)
		return
	}
	name := string(cell.meaning)
	if cell.meaning == columns.Pins {
		name = map[bool]string{true: "span_cm", false: "spread_cm"}[class.Scull]
	}
	r.put(b, number, cell, number0(v), func(w *fleet.BoatWrite) wire.Place {
		w.Rig = append(w.Rig, fleet.RigSetting{Seat: number, Setting: name, Value: &v})
		return wire.At("rig").Item(len(w.Rig) - 1).Name("value")
	})
}

// heelToPin is where a stretcher stands.
const heelToPin columns.Meaning = "heel_to_pin_cm"

// ownReading reports whether a cell may hold what the boat's stretcher itself reads: it
// says so, or neither the cell nor its heading says what is measured.
func (r *boatsReading) ownReading(cell given) bool {
	heading, unit := columns.Folded(r.Columns[cell.at.Column].Heading)
	return seat.SaysMark(cell.text) || unit == "" && !strings.Contains(" "+heading, " pin") && len(wire.Readings(cell.text)) == 1
}

// takeMark reads a stretcher in the boat's own number where the boat has one, which may
// stand further on in the table, and else as a measure.
func (r *boatsReading) takeMark(b *tableBoat, number int, cell given) {
	v, complaint := cells.Measure(cell.text, heelToPin.Unit(), r.Columns[cell.at.Column].Unit)
	r.put(b, number, cell, cell.text, func(w *fleet.BoatWrite) wire.Place {
		heel, wrong := v, complaint
		if w.Stretcher != nil || seat.SaysMark(cell.text) {
			heel, wrong, _ = w.Stretcher.ReadMark("mark "+strings.TrimLeft(strings.ToLower(cell.text), "abcdefghijklmnopqrstuvwxyz.# "), b.plateOf(w, number))
		}
		if wrong != "" {
			r.ComplainOnce(cell.at, wrong)
			return wire.Place{}
		}
		w.Rig = append(w.Rig, fleet.RigSetting{Seat: number, Setting: string(heelToPin), Value: &heel})
		return wire.At("rig").Item(len(w.Rig) - 1).Name("value")
	})
}

// plateOf is the angle of a seat's plate as the table has it, or as it stands.
func (b *tableBoat) plateOf(w *fleet.BoatWrite, number int) float64 {
	stands := seat.Seat{}
	if b.old != nil {
		stands = b.old.Seats[number-1].Standing()
	}
	for _, v := range w.Rig {
		if v.Seat == number && v.Setting == settings.Name(rigging.SettingPlateAngle) {
			stands.PlateAngleDeg = v.Value
		}
	}
	return stands.PlateDeg()
}

func (r *boatsReading) takeSide(b *tableBoat, class rigging.Class, number int, cell given) {
	marks, ask, ok := cells.Side(cell.text, r.How.Sides)
	side := map[string]string{"p": "port", "s": "starboard"}[marks]
	switch {
	case ask:
		r.askedSides = true
	case class.Scull && (marks == "x" || marks == "b"):
	case !ok || side == "" && !class.Scull:
		r.ComplainOnce(cell.at, cells.Quoted(cell.text)+" is no side: write port or starboard.")
	default:
		r.put(b, number, cell, side, func(w *fleet.BoatWrite) wire.Place {
			w.Seats[number-1].Side = side
			return wire.At("seats").Item(number - 1).Name("side")
		})
	}
}

// takeHull reads a cell that says something of the hull.
func (r *boatsReading) takeHull(b *tableBoat, cell given) {
	switch cell.meaning {
	case columns.Note:
		r.put(b, 0, cell, cell.text, func(w *fleet.BoatWrite) wire.Place { w.Note = cell.text; return wire.At("note") })
		return
	case columns.Mark:
		mark, ok := cells.Marks[cells.Folded(cell.text)]
		if !ok {
			r.ComplainOnce(cell.at, cells.Quoted(cell.text)+" is nothing that a stretcher is read at: write heel, toe or hole.")
			return
		}
		r.put(b, 0, cell, mark, func(w *fleet.BoatWrite) wire.Place {
			scaleOf(w).Mark = mark
			return wire.At("stretcher", "mark")
		})
		return
	}
	if cell.meaning == columns.BoatOars {
		r.takeOars(b, cell)
		return
	}
	v, complaint := cells.Measure(cell.text, cell.meaning.Unit(), r.Columns[cell.at.Column].Unit)
	if complaint != "" {
		r.ComplainOnce(cell.at, complaint)
		return
	}
	r.put(b, 0, cell, number0(v), func(w *fleet.BoatWrite) wire.Place {
		field, at := hullField(w, cell.meaning)
		*field = &v
		return at
	})
}

// takeOars finds the set of oars that a boat goes with.
func (r *boatsReading) takeOars(b *tableBoat, cell given) {
	set, ok := r.oars[store.NameKey(cell.text)]
	if class, _ := rigging.ClassByCode(b.class); ok && (set.Kind == store.Scull) != class.Scull {
		r.ComplainOnce(cell.at, "A "+class.Code+" does not go with "+set.Name+".")
		return
	}
	if !ok {
		r.ComplainOnce(cell.at, cells.Quoted(cell.text)+" is no set of oars on record: import the oars first.")
		return
	}
	r.put(b, 0, cell, number0(float64(set.ID)), func(w *fleet.BoatWrite) wire.Place { w.OarSetID = &set.ID; return wire.At("oar_set_id") })
	b.oars = &set
}

// scaleOf is how the stretchers are read, made where there is none.
func scaleOf(w *fleet.BoatWrite) *seat.Stretcher {
	if w.Stretcher == nil {
		w.Stretcher = &seat.Stretcher{Mark: string(rigging.MarkHeel)}
	}
	return w.Stretcher
}

// hullField is the number of the hull that a meaning stands for.
func hullField(w *fleet.BoatWrite, m columns.Meaning) (**float64, wire.Place) {
	switch m {
	case "hull_mass_kg":
		return &w.HullMassKg, wire.At(string(m))
	case "built_for_kg":
		return &w.BuiltForKg, wire.At(string(m))
	case "waterline_length_m":
		return &w.WaterlineLengthM, wire.At(string(m))
	case "waterline_beam_m":
		return &w.WaterlineBeamM, wire.At(string(m))
	case "seat_over_water_cm":
		return &w.SeatOverWaterCm, wire.At(string(m))
	case "washer_mm":
		return &w.WasherMm, wire.At(string(m))
	case "clam_mm":
		return &w.ClamMm, wire.At(string(m))
	case "insert_deg":
		return &w.InsertDeg, wire.At(string(m))
	case "stretcher_offset_cm":
		return &scaleOf(w).OffsetCm, wire.At("stretcher", "offset_cm")
	case "stretcher_toe_along_cm":
		return &scaleOf(w).ToeAlongCm, wire.At("stretcher", "toe_along_cm")
	case "stretcher_hole_pitch_cm":
		return &scaleOf(w).HolePitchCm, wire.At("stretcher", "hole_pitch_cm")
	}
	panic("intake: no field of a hull: " + string(m))
}

// put keeps a value of a boat, unless the table says another one elsewhere.
func (r *boatsReading) put(b *tableBoat, number int, cell given, value string, put func(*fleet.BoatWrite) wire.Place) {
	key := saidAt{number, cell.meaning}
	if before, twice := b.said[key]; twice {
		if before.text != value {
			r.ComplainOnce(cell.at, fmt.Sprintf("Row %d says %s of the same: which is right?", before.at.Row, cells.Quoted(r.FileCell(before.at.Row, before.at.Column))))
		}
		return
	}
	b.said[key] = given{cell.meaning, value, cell.at}
	b.values = append(b.values, boatValue{given: cell, seat: number, put: put})
}

func number0(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// plan checks each boat; a value that cannot be used is left out with its
// complaint, and the rest of the boat is used.
func (r *boatsReading) plan(look *TableLook) {
	for _, b := range r.boats {
		if r.planBoat(b) {
			look.add(r.boatItem(b))
			look.fleet.Boats = append(look.fleet.Boats, b.plan)
		}
	}
}

// planBoat reports whether a boat can be used.
func (r *boatsReading) planBoat(b *tableBoat) bool {
	for {
		b.build(r.service.fleet)
		var err error
		if b.plan, err = fleet.PlanBoat(b.old, &b.write); err == nil {
			return true
		}
		dropped, rest := r.drop(b, err)
		if dropped {
			continue
		}
		r.Complain(columns.At{Row: b.row, Column: -1}, b.name+": "+rest)
		return false
	}
}

// build puts the values of the table over what is on record, or over a new boat.
func (b *tableBoat) build(s *fleet.Service) {
	b.write = fleet.BoatWrite{BoatFields: fleet.BoatFields{Name: b.name, BoatClass: b.class}}
	if b.old != nil {
		b.write.BoatFields = b.old.BoatFields
		if scale := b.old.Stretcher; scale != nil {
			own := *scale
			b.write.Stretcher = &own
		}
		b.write.Seats = b.old.SeatFields()
	} else {
		b.write.Seats = s.UsualSeats(b.class)
	}
	// The hull first, which says how stretchers are read, and the plates before them.
	for _, now := range []func(v *boatValue) bool{
		func(v *boatValue) bool { return v.seat == 0 },
		func(v *boatValue) bool { return v.seat > 0 && v.meaning != heelToPin },
		func(v *boatValue) bool { return v.meaning == heelToPin },
	} {
		for i := range b.values {
			if now(&b.values[i]) {
				b.values[i].place = b.values[i].put(&b.write)
			}
		}
	}
	if id := b.write.OarSetID; b.oars != nil && id != nil && *id == b.oars.ID && (b.old == nil || wire.Or(b.old.OarSetID, 0) != *id) {
		b.oars.Dress(&b.write)
	}
}

// drop takes out the values that are complained of; rest is what is said of none.
func (r *boatsReading) drop(b *tableBoat, err error) (dropped bool, rest string) {
	bad, ok := err.(*wire.Invalid)
	if !ok {
		return false, err.Error()
	}
	for i := range bad.Fields {
		at := bad.Fields[i].Place()
		k := slices.IndexFunc(b.values, func(v boatValue) bool { return v.place.Pointer == at.Pointer })
		if k < 0 {
			k = slices.IndexFunc(b.values, func(v boatValue) bool { return v.place.First() == at.First() && at.First() == "stretcher" })
		}
		if k < 0 && at.First() == "rig" { // what the set of oars brings
			k = slices.IndexFunc(b.values, func(v boatValue) bool { return v.meaning == columns.BoatOars })
		}
		if k < 0 {
			rest = bad.Fields[i].Detail
			continue
		}
		r.ComplainOnce(b.values[k].at, bad.Fields[i].Detail)
		b.values[k].put = nil
		dropped = true
	}
	b.values = slices.DeleteFunc(b.values, func(v boatValue) bool { return v.put == nil })
	return dropped, rest
}

// boatItem reports what becomes of a boat.
func (r *boatsReading) boatItem(b *tableBoat) Item {
	next := fleet.Planned(b.old, &b.write, &b.plan)
	item := Item{Name: b.name, Class: b.class, Action: actionNew, Changes: []string{}, Row: b.row}
	switch {
	case b.old == nil:
		item.Changes = newBoatWords(&next)
	default:
		item.ID = b.old.ID
		item.Changes = boatChanges(b.old, &next)
		if item.Action = actionChanged; len(item.Changes) == 0 {
			item.Action = actionKnown
		}
	}
	var checks []string
	if next.Archived {
		checks = append(checks, "The boat is archived, and stays out of the lists.")
	}
	for _, c := range next.Cautions {
		if c.Weight == "warning" {
			checks = append(checks, c.Text)
		}
	}
	item.Check = strings.Join(checks, " ")
	return item
}
