package club

import (
	"context"
	"slices"
	"strings"

	"thole/api/records"
	"thole/api/rest"
	"thole/api/store"
	"thole/api/table"
	"thole/api/wire"
)

// What is on record as tables. The headings of the athletes are those that the
// import of a squad knows, so that the table can come in again.

var athleteColumns = []table.Column{
	table.Texts("name", "Of the athlete, the given name first."), table.Texts("given_name", "Its first part."), table.Texts("family_name", "Its last part."),
	table.Texts("sex", "female or male; blank where it is not known."),
	table.Days("birth_date", "YYYY-MM-DD."),
	table.Numbers("age_years", 1, "As of today."),
	table.Numbers("stature_cm", 1, "Height standing, the newest on record."),
	table.Numbers("mass_kg", 1, "The newest on record."),
	table.Days("measured_on", "Day of the newest measure, YYYY-MM-DD."),
	table.Texts("sculls", "yes or no."),
	table.Numbers("port_cost_s", table.Free, "What rowing on port costs over 2000 m, in s: 0 for the better side, blank for a side that is not rowed."),
	table.Numbers("starboard_cost_s", table.Free, "The same for starboard."),
	table.Texts("athlete_note", "On the athlete."),
}

// AthleteTable lists athletes as AthletesIn does.
func (s *Service) AthleteTable(ctx context.Context, r AthleteListRequest) (table.Table, string, error) {
	t := table.New("Athletes", athleteColumns...)
	list, err := s.AthletesIn(ctx, r)
	for i := range list.Athletes {
		a := &list.Athletes[i]
		t.Add(a.Name, a.GivenName, a.FamilyName, a.Sex, a.BirthDate, a.AgeYears, a.StatureCm, a.MassKg, a.MeasuredOn, table.YesNo(a.Sculls), a.PortCostS, a.StarboardCostS, a.Note)
	}
	return t, "athletes", err
}

var measureColumns = []table.Column{
	table.Days("Measured on", "YYYY-MM-DD."),
	table.Numbers("Height, cm", 1, "Standing, without shoes."), table.Numbers("Arm span, cm", 1, "Finger tip to finger tip."),
	table.Numbers("Sitting height, cm", 1, "Seat to the top of the head."), table.Numbers("Mass, kg", 1, "In rowing kit."),
	table.Numbers("Draw height, cm", 1, "Draw height: hands at the finish over the seat."),
	table.Numbers("Shank, cm", 1, "Ankle to knee."), table.Numbers("Thigh, cm", 1, "Knee to hip."), table.Numbers("Trunk, cm", 1, "Hip to shoulder."),
	table.Numbers("Arm, cm", 1, "Shoulder to the middle of the handle."), table.Numbers("Half shoulders, cm", 1, "Spine to shoulder."),
	table.Texts("Measured by", "Who measured."), table.Texts("Note", "On the measures."),
}

// MeasureTable lists what was measured of an athlete, newest first.
func (s *Service) MeasureTable(ctx context.Context, r IDRequest) (table.Table, string, error) {
	t := table.New("Measures", measureColumns...)
	list, err := s.Measures(ctx, r)
	for i := range list.Measures {
		m := &list.Measures[i]
		g := &m.SegmentsCm
		t.Add(m.MeasuredOn, m.StatureCm, m.ArmSpanCm, m.SittingHeightCm, m.MassKg, m.DrawHeightCm, g.Shank, g.Thigh, g.Trunk, g.Arm, g.HalfShoulder, m.MeasuredBy, m.Note)
	}
	return t, "measures", err
}

// rigSettings are the settings that a seat of any class has, in the order that
// people meet them at the boat.
var rigSettings = []string{
	"span_cm", "spread_cm", "inboard_cm", "oar_length_cm", "heel_to_pin_cm", "plate_angle_deg", "heel_depth_cm", "gate_height_cm", "gate_difference_cm",
	"blade_pitch_deg", "stern_pitch_deg", "outward_pitch_deg",
}

// SettingHeading is the heading of a column of a setting's values.
func SettingHeading(name string) string { return SettingLabel(name) + ", " + SettingUnit(name) }

// SettingUnit is the unit that a setting's name ends with, as people write it.
func SettingUnit(name string) string {
	if strings.HasSuffix(name, "_deg") {
		return "°"
	}
	return "cm"
}

var seatColumns = slices.Concat([]table.Column{
	table.Texts("Boat", "Its name."), table.Texts("Class", "Such as 8+."), table.Numbers("Seat", 0, "1 is bow."),
	table.Texts("Side", "Of the rigger in sweep; blank in sculling."), table.Texts("Can change sides", "yes or no: the rigger fits the other side, too."),
	table.Texts("Blade", "hatchet, macon or large."),
}, settingColumns(), hullColumns, []table.Column{table.Texts("Not measured", "What is needed and nobody has measured.")})

// hullColumns are of the boat, the same in the rows of all its seats.
var hullColumns = []table.Column{
	table.Numbers("Hull mass, kg", 1, "Of the boat; blank: as the class."), table.Numbers("Built for, kg", 1, "Mass of a rower that it was built for."),
	table.Numbers("Waterline length, m", 2, "Blank: as the class."), table.Numbers("Waterline beam, m", 3, "Blank: as the class."), table.Numbers("Seat height over the water, cm", 1, "Blank: as the class."),
	table.Texts("Stretcher read at", "heel, toe or hole; blank: heel, from the line of the pins."), table.Numbers("Stretcher mark reads, cm", 1, "With the mark on the line of the pins; of holes: line of the pins to the heel in hole 0."),
	table.Numbers("Stretcher heel to toe mark, cm", 1, "Along the plate."), table.Numbers("Stretcher hole to hole, cm", 2, "Negative where the numbers grow towards the bow."),
	table.Texts("Oars", "The set that it usually goes with."), table.Numbers("Washer, mm", 2, "Thickness of a washer under the gate."), table.Numbers("Clam, mm", 2, "Thickness of a clam on the oar."),
	table.Numbers("Insert, °", 2, "Pitch of one number of the inserts."),
	table.Texts("Note", "On the boat."),
}

// hullCells are the values of hullColumns.
func (b *Boat) hullCells(oars map[int64]string) []any {
	cells := []any{b.HullMassKg, b.BuiltForKg, b.WaterlineLengthM, b.WaterlineBeamM, b.SeatOverWaterCm}
	if s := b.Stretcher; s != nil {
		cells = append(cells, s.Mark, s.OffsetCm, s.ToeAlongCm, s.HolePitchCm)
	} else {
		cells = append(cells, nil, nil, nil, nil)
	}
	return append(cells, oars[wire.Or(b.OarSetID, 0)], b.WasherMm, b.ClamMm, b.InsertDeg, b.Note)
}

// oarNames names every set of oars by its id.
func (s *Service) oarNames(ctx context.Context) (map[int64]string, error) {
	list, err := s.OarSets(ctx, ListRequest{Archived: true})
	names := map[int64]string{}
	for i := range list.OarSets {
		names[list.OarSets[i].ID] = list.OarSets[i].Name
	}
	return names, err
}

func settingColumns() (columns []table.Column) {
	for _, name := range rigSettings {
		columns = append(columns, table.Numbers(SettingHeading(name), 1, "As found; blank where it was not measured, or the class has no such setting."))
	}
	return columns
}

// BoatTable lists the seats of every boat with their rig.
func (s *Service) BoatTable(ctx context.Context, r ListRequest) (table.Table, string, error) {
	t := table.New("Boats and seats", seatColumns...)
	list, err := s.Boats(ctx, r)
	if err != nil {
		return t, "", err
	}
	oars, err := s.oarNames(ctx)
	for i := range list.Boats {
		boat, err := s.Boat(ctx, IDRequest{ID: list.Boats[i].ID})
		if err != nil {
			return t, "", err
		}
		boat.addSeats(&t, oars)
	}
	return t, "boats", err
}

// SeatTable lists the seats of one boat with their rig.
func (s *Service) SeatTable(ctx context.Context, r IDRequest) (table.Table, string, error) {
	t := table.New("Seats", seatColumns...)
	boat, err := s.Boat(ctx, r)
	if err != nil {
		return t, "", err
	}
	oars, err := s.oarNames(ctx)
	boat.addSeats(&t, oars)
	return t, boat.Name + " seats", err
}

func (b *Boat) addSeats(t *table.Table, oars map[int64]string) {
	for i := range b.Seats {
		held := &b.Seats[i]
		row := []any{b.Name, b.BoatClass, held.Number, held.Side, table.YesNo(held.CanChangeSides), held.Blade}
		for _, name := range rigSettings {
			row = append(row, *held.Seat.SettingField(name))
		}
		t.Add(append(append(row, b.hullCells(oars)...), settingNames(held.Missing))...)
	}
}

// settingNames are settings as the screens call them.
func settingNames(settings []string) string {
	var labels []string
	for _, name := range settings {
		labels = append(labels, SettingLabel(name))
	}
	return strings.Join(labels, ", ")
}

var oarColumns = []table.Column{
	table.Texts("Name", "Of the set."), table.Texts("Kind", "scull or sweep."), table.Numbers("Oars", 0, "Not pairs."), table.Texts("Blade", "What the blade is called."), table.Texts("Blade kind", "hatchet, macon or large; blank: not said."),
	table.Numbers("Length, cm", 1, "As it is set."), table.Numbers("Length from, cm", 1, "Shortest."), table.Numbers("Length to, cm", 1, "Longest."), table.Numbers("Length step, cm", 1, "It is set by."),
	table.Numbers("Inboard, cm", 1, "As it is set."), table.Numbers("Inboard from, cm", 1, "Shortest."), table.Numbers("Inboard to, cm", 1, "Longest."), table.Numbers("Inboard step, cm", 1, "It is set by."),
	table.Texts("Boats", "That usually go with it, with semicolons between."), table.Texts("Note", "On the set."),
}

// boatsByOars names the boats that go with each set of oars.
func (s *Service) boatsByOars(ctx context.Context) (map[int64]string, error) {
	list, err := s.Boats(ctx, ListRequest{})
	names := map[int64][]string{}
	for i := range list.Boats {
		if set := list.Boats[i].OarSetID; set != nil {
			names[*set] = append(names[*set], list.Boats[i].Name)
		}
	}
	joined := map[int64]string{}
	for set, boats := range names {
		joined[set] = strings.Join(boats, "; ")
	}
	return joined, err
}

// OarTable lists the sets of oars.
func (s *Service) OarTable(ctx context.Context, r ListRequest) (table.Table, string, error) {
	t := table.New("Oars", oarColumns...)
	list, err := s.OarSets(ctx, r)
	if err != nil {
		return t, "", err
	}
	boats, err := s.boatsByOars(ctx)
	for i := range list.OarSets {
		o := &list.OarSets[i]
		t.Add(o.Name, o.Kind, o.Count, o.Blade, o.BladeKind, o.LengthCm, o.LengthMinCm, o.LengthMaxCm, o.LengthStepCm, o.InboardCm, o.InboardMinCm, o.InboardMaxCm, o.InboardStepCm, boats[o.ID], o.Note)
	}
	return t, "oars", err
}

var rigHistoryColumns = []table.Column{
	table.Moments("When", "At the club's clock."), table.Numbers("Seat", 0, "1 is bow."), table.Texts("Setting", "What was changed."),
	table.Numbers("From", 1, "Blank where it was not known."), table.Numbers("To", 1, "Blank where the first entry was taken back."), table.Texts("Unit", "cm or °."),
	table.Texts("Who", "Who changed it."), table.Texts("Why", "As it was said."), table.Numbers("Work sheet", 0, "Number of the one that it came from."),
	table.Texts("Undoes an entry", "yes or no."),
}

// RigHistoryTable lists the history of a boat's rig, newest first. It holds all
// that the request asks for, however many entries that is.
func (s *Service) RigHistoryTable(ctx context.Context, r RigHistoryRequest) (table.Table, string, error) {
	t := table.New("Rig history", rigHistoryColumns...)
	boat, err := s.Store.Boat(ctx, r.ID)
	if err != nil {
		return t, "", records.RecordError(err)
	}
	entries, err := s.Store.RigHistory(ctx, r.ID, store.RigFilter{Seat: r.Seat, Setting: r.Setting, Before: r.Before, Limit: r.Limit})
	for i := range entries {
		c := &entries[i]
		t.Add(c.At, c.Seat, SettingLabel(c.Setting), c.FromValue, c.ToValue, SettingUnit(c.Setting), c.By, c.Why, c.SheetID, table.YesNo(c.UndoesID != nil))
	}
	return t, boat.Name + " rig history", records.RecordError(err)
}

var changeColumns = []table.Column{
	table.Moments("When", "At the club's clock."), table.Texts("What", "Which field, with the seat, piece or day it belongs to."),
	table.Texts("From", "Blank for no value."), table.Texts("To", "Blank for no value."), table.Texts("Who", "Who changed it."),
	table.Numbers("Version", 0, "Of the record, after the change."),
}

// ChangeTable is the history of a record, oldest first.
func ChangeTable(list records.Changes) table.Table {
	t := table.New("History", changeColumns...)
	for i := range list.Changes {
		c := &list.Changes[i]
		t.Add(c.At, plainField(c.What), c.From, c.To, c.By, c.Version)
	}
	return t
}

// plainField writes the name of a field as people do: seat 3 Span, hull mass kg.
func plainField(what string) string {
	words := strings.Fields(what)
	for i, word := range words {
		if label := SettingLabel(word); label != "" {
			words[i] = label
			continue
		}
		words[i] = strings.ReplaceAll(word, "_", " ")
	}
	return strings.Join(words, " ")
}

// ChangesTabled lets the history of a record be had as a table.
func ChangesTabled(r rest.Route, use func(context.Context, records.ChangesRequest) (records.Changes, error)) rest.Route {
	return rest.Tabled(r, rest.Columns{First: changeColumns}, func(ctx context.Context, in records.ChangesRequest) (table.Table, string, error) {
		list, err := use(ctx, in)
		return ChangeTable(list), "history", err
	})
}
