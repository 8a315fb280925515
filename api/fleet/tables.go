package fleet

import (
	"context"
	"slices"
	"strings"

	"thole/api/records"
	"thole/api/store"
	"thole/api/table"
	"thole/api/wire"
)

// rigSettings are the settings that a seat of any class has, in the order that
// people meet them at the boat.
var rigSettings = []string{
	"span_cm", "spread_cm", "inboard_cm", "oar_length_cm", "heel_to_pin_cm", "plate_angle_deg", "heel_depth_cm", "gate_height_cm", "gate_difference_cm",
	"blade_pitch_deg", "stern_pitch_deg", "outward_pitch_deg",
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
	list, err := s.OarSets(ctx, records.ListRequest{Archived: true})
	names := map[int64]string{}
	for i := range list.OarSets {
		names[list.OarSets[i].ID] = list.OarSets[i].Name
	}
	return names, err
}

func settingColumns() (columns []table.Column) {
	for _, name := range rigSettings {
		columns = append(columns, table.Numbers(wire.SettingHeading(name), 1, "As found; blank where it was not measured, or the class has no such setting."))
	}
	return columns
}

// BoatTable lists the seats of every boat with their rig.
func (s *Service) BoatTable(ctx context.Context, r records.ListRequest) (table.Table, string, error) {
	t := table.New("Boats and seats", seatColumns...)
	list, err := s.Boats(ctx, r)
	if err != nil {
		return t, "", err
	}
	oars, err := s.oarNames(ctx)
	for i := range list.Boats {
		boat, err := s.Boat(ctx, records.IDRequest{ID: list.Boats[i].ID})
		if err != nil {
			return t, "", err
		}
		boat.addSeats(&t, oars)
	}
	return t, "boats", err
}

// SeatTable lists the seats of one boat with their rig.
func (s *Service) SeatTable(ctx context.Context, r records.IDRequest) (table.Table, string, error) {
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
		labels = append(labels, wire.SettingLabel(name))
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
	list, err := s.Boats(ctx, records.ListRequest{})
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
func (s *Service) OarTable(ctx context.Context, r records.ListRequest) (table.Table, string, error) {
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
		t.Add(c.At, c.Seat, wire.SettingLabel(c.Setting), c.FromValue, c.ToValue, wire.SettingUnit(c.Setting), c.By, c.Why, c.SheetID, table.YesNo(c.UndoesID != nil))
	}
	return t, boat.Name + " rig history", records.RecordError(err)
}
