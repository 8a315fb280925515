package store

import (
	"context"
	"slices"
)

// Boat is a hull with its seats. A value left out stands for that of the
// class.
type Boat struct {
	ID, Version      int64
	Example          bool // see [AsExample]; never written with the record
	Name             string
	ClassCode        string // as in package rigging, such as "4+"
	HullMassKg       *float64
	BuiltForKg       *float64 // mass of a rower it was built for
	WaterlineLengthM *float64
	WaterlineBeamM   *float64
	SeatOverWaterCm  *float64
	// How the stretchers are read: heel, toe or hole, or empty for the heel
	// from the line of work. See rigging.StretcherScale.
	StretcherMark        string
	StretcherOffsetCm    float64
	StretcherToeAlongCm  float64
	StretcherHolePitchCm float64
	OarSetID             *int64   // the set of oars it usually goes with
	WasherMm             *float64 // thickness of a washer under the gate
	ClamMm               *float64 // thickness of a clam on the oar
	InsertDeg            *float64 // of one step of the pitch inserts
	Note                 string
	Archived             bool
	Seats                []Seat // by number; nil in lists
}

// Seat is one rowing seat of a boat.
type Seat struct {
	Number         int    // 1 is bow
	Side           string // of the rigger in sweep, port or starboard; empty in sculling
	CanChangeSides bool   // the rigger fits the other side, too
	Blade          string // hatchet, macon or large; empty: not said, taken as hatchet
	Adjustments    []Adjustment
	Starts         []SeatStart
	Rig            Rig // as found
}

// SeatStart is a value to calculate with until somebody has measured the setting.
type SeatStart struct {
	Setting string // a name of Settings
	Value   float64
}

func (v *SeatStart) columns() []column {
	return []column{{"setting", &v.Setting}, {"value", &v.Value}}
}

// Rig is the value of every setting of one seat; nil is not known. The names
// and units are those of the wire.
type Rig struct {
	SpanCm, SpreadCm             *float64
	HeelToPinCm, HeelDepthCm     *float64
	PlateAngleDeg                *float64
	GateHeightCm                 *float64
	GateDifferenceCm             *float64
	BladePitchDeg, SternPitchDeg *float64
	OutwardPitchDeg              *float64
	InboardCm, OarLengthCm       *float64
}

// values lists the settings in their order.
func (r *Rig) values() []namedValue {
	return []namedValue{
		{"span_cm", &r.SpanCm}, {"spread_cm", &r.SpreadCm}, {"heel_to_pin_cm", &r.HeelToPinCm}, {"heel_depth_cm", &r.HeelDepthCm},
		{"plate_angle_deg", &r.PlateAngleDeg}, {"gate_height_cm", &r.GateHeightCm}, {"gate_difference_cm", &r.GateDifferenceCm},
		{"blade_pitch_deg", &r.BladePitchDeg}, {"stern_pitch_deg", &r.SternPitchDeg}, {"outward_pitch_deg", &r.OutwardPitchDeg},
		{"inboard_cm", &r.InboardCm}, {"oar_length_cm", &r.OarLengthCm},
	}
}

// Settings returns the names of the settings, which are the same on the wire.
func Settings() []string {
	var list []string
	for _, v := range new(Rig).values() {
		list = append(list, v.name)
	}
	return list
}

func (b *Boat) columns() []column {
	return []column{
		{"name", &b.Name}, {"class_code", &b.ClassCode}, {"hull_mass_kg", &b.HullMassKg}, {"built_for_kg", &b.BuiltForKg},
		{"waterline_length_m", &b.WaterlineLengthM}, {"waterline_beam_m", &b.WaterlineBeamM},
		{"seat_over_water_cm", &b.SeatOverWaterCm}, {"stretcher_mark", &b.StretcherMark}, {"stretcher_offset_cm", &b.StretcherOffsetCm},
		{"stretcher_toe_along_cm", &b.StretcherToeAlongCm}, {"stretcher_hole_pitch_cm", &b.StretcherHolePitchCm},
		{"oar_set_id", &b.OarSetID}, {"washer_mm", &b.WasherMm}, {"clam_mm", &b.ClamMm}, {"insert_deg", &b.InsertDeg},
		{"note", &b.Note}, {"archived", &b.Archived},
	}
}

func (b *Boat) stored() []column {
	return append(b.columns(), column{"id", &b.ID}, column{"version", &b.Version}, column{"example", &b.Example})
}

// record compares the seats as well, their rig apart, which has a history of
// its own.
func (b *Boat) record() record {
	r := record{subject: BoatRecord, id: b.ID, version: b.Version, name: b.Name, columns: b.columns()}
	for i := range b.Seats {
		s := &b.Seats[i]
		of := func(field string, value any) detail { return detail{Part{Field: field, Seat: s.Number}, value} }
		r.details = append(r.details, of("side", &s.Side), of("can_change_sides", &s.CanChangeSides), of("blade", &s.Blade))
		for _, a := range s.Adjustments {
			r.details = append(r.details, detail{Part{Field: a.Setting, Seat: s.Number, Ranged: true}, &rangeValue{a.Min, a.Max, a.Step, a.Cost}})
		}
		for k := range s.Starts {
			r.details = append(r.details, of("start_"+s.Starts[k].Setting, &s.Starts[k].Value))
		}
	}
	return r
}

// AddBoat puts a boat with its seats, numbered from 1, and their rig on record
// and returns the id. A boat of the class that has the name and is not archived
// is ErrTaken.
func (s *Store) AddBoat(ctx context.Context, b Boat, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) { return t.addBoat(&b, cause{By: by}) })
}

func (t *tx) addBoat(b *Boat, c cause) (int64, error) {
	id, err := t.create(b.record(), c.By)
	if err != nil {
		return 0, err
	}
	if err := t.addSeats(id, b.Seats); err != nil {
		return 0, err
	}
	_, err = t.applyRig(id, 1, asSettings(b.Seats), c)
	return id, err
}

func (t *tx) addSeats(boatID int64, seats []Seat) error {
	for i, seat := range seats {
		if seat.Number != i+1 {
			return refuse("seat %d stands where seat %d is due", seat.Number, i+1)
		}
		columns := append(seat.columns(), column{"boat_id", &boatID})
		if _, err := t.insert("seats", columns); err != nil {
			return err
		}
	}
	return t.addBelow(boatID, seats)
}

// addBelow adds what belongs to the seats.
func (t *tx) addBelow(boatID int64, seats []Seat) error {
	for i := range seats {
		for _, v := range seats[i].Starts {
			if err := checkSetting(v.Setting); err != nil {
				return err
			}
			if _, err := t.insert("seat_starts", append(v.columns(), column{"boat_id", &boatID}, column{"seat", &seats[i].Number})); err != nil {
				return err
			}
		}
	}
	return t.addAdjustments(boatID, seats)
}

func (s *Seat) columns() []column {
	return []column{{"number", &s.Number}, {"side", &s.Side}, {"can_change_sides", &s.CanChangeSides}, {"blade", &s.Blade}}
}

func (t *tx) addAdjustments(boatID int64, seats []Seat) error {
	for _, seat := range seats {
		for _, a := range seat.Adjustments {
			if err := checkSetting(a.Setting); err != nil {
				return err
			}
			if _, err := t.insert("adjustments", append(a.columns(), column{"boat_id", &boatID}, column{"seat", &seat.Number})); err != nil {
				return err
			}
		}
	}
	return nil
}

func checkSetting(name string) error {
	if !slices.Contains(Settings(), name) {
		return refuse("%q is not a setting", name)
	}
	return nil
}

// UpdateBoat writes a boat read at b.Version with its seats and returns the new
// version. The number of seats stays, and the rig is left alone: see ChangeRig.
func (s *Store) UpdateBoat(ctx context.Context, b Boat, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) { return t.updateBoat(&b, by) })
}

func (t *tx) updateBoat(b *Boat, by By) (int64, error) {
	old, err := t.boat(b.ID)
	if err != nil {
		return 0, err
	}
	if len(b.Seats) != len(old.Seats) {
		return 0, refuse("the boat has %d seats, not %d", len(old.Seats), len(b.Seats))
	}
	version, err := t.revise(old.record(), b.record(), by)
	if err != nil || version == old.Version {
		return version, err
	}
	return version, t.rewriteSeats(b)
}

func (t *tx) rewriteSeats(b *Boat) error {
	for i, seat := range b.Seats {
		if seat.Number != i+1 {
			return refuse("seat %d stands where seat %d is due", seat.Number, i+1)
		}
		err := t.exec("UPDATE seats SET side = ?, can_change_sides = ?, blade = ? WHERE boat_id = ? AND number = ?",
			seat.Side, seat.CanChangeSides, seat.Blade, b.ID, seat.Number)
		if err != nil {
			return err
		}
	}
	for _, table := range []string{"adjustments", "seat_starts"} {
		if err := t.exec("DELETE FROM "+table+" WHERE boat_id = ?", b.ID); err != nil {
			return err
		}
	}
	return t.addBelow(b.ID, b.Seats)
}

// Boat returns a boat with its seats.
func (s *Store) Boat(ctx context.Context, id int64) (Boat, error) {
	return read(ctx, s, func(t *tx) (Boat, error) { return t.boat(id) })
}

func (t *tx) boat(id int64) (Boat, error) {
	b, err := one(t, (*Boat).stored, "boats WHERE id = ?", id)
	if err != nil {
		return Boat{}, err
	}
	b.Seats, err = list(t, (*Seat).columns, "seats WHERE boat_id = ? ORDER BY number", id)
	if err != nil {
		return Boat{}, err
	}
	if err := t.loadAdjustments(&b); err != nil {
		return Boat{}, err
	}
	if err := t.loadStarts(&b); err != nil {
		return Boat{}, err
	}
	return b, t.loadRig(&b)
}

// loadStarts reads the values to start from.
func (t *tx) loadStarts(b *Boat) error {
	type row struct {
		seat int
		SeatStart
	}
	rows, err := list(t, func(r *row) []column { return append(r.columns(), column{"seat", &r.seat}) }, "seat_starts WHERE boat_id = ? ORDER BY setting", b.ID)
	for _, r := range rows {
		seat := &b.Seats[r.seat-1]
		seat.Starts = append(seat.Starts, r.SeatStart)
	}
	return err
}

// loadAdjustments reads the ranges in the order of the settings.
func (t *tx) loadAdjustments(b *Boat) error {
	type row struct {
		seat int
		Adjustment
	}
	rows, err := list(t, func(r *row) []column { return append(r.columns(), column{"seat", &r.seat}) },
		"adjustments WHERE boat_id = ?", b.ID)
	if err != nil {
		return err
	}
	settings := Settings()
	slices.SortFunc(rows, func(x, y row) int { return slices.Index(settings, x.Setting) - slices.Index(settings, y.Setting) })
	for _, r := range rows {
		seat := &b.Seats[r.seat-1]
		seat.Adjustments = append(seat.Adjustments, r.Adjustment)
	}
	return nil
}

func (t *tx) loadRig(b *Boat) error {
	type row struct {
		seat    int
		setting string
		value   *float64
	}
	rows, err := list(t, func(r *row) []column {
		return []column{{"seat", &r.seat}, {"setting", &r.setting}, {"value", &r.value}}
	}, "rig WHERE boat_id = ?", b.ID)
	if err != nil {
		return err
	}
	for _, r := range rows {
		for _, v := range b.Seats[r.seat-1].Rig.values() {
			if v.name == r.setting {
				*v.value = r.value
			}
		}
	}
	return nil
}

// Boats lists boats by name, without their seats.
func (s *Store) Boats(ctx context.Context, f Filter) ([]Boat, error) {
	return read(ctx, s, func(t *tx) ([]Boat, error) {
		return list(t, (*Boat).stored, "boats"+filtered, f.args()...)
	})
}

// BoatsWithOars lists the boats that usually go with a set of oars, by name, without
// their seats.
func (s *Store) BoatsWithOars(ctx context.Context, set int64) ([]Boat, error) {
	return read(ctx, s, func(t *tx) ([]Boat, error) {
		return list(t, (*Boat).stored, "boats WHERE oar_set_id = ? AND NOT archived ORDER BY name_key, id", set)
	})
}

// DeleteBoat removes a boat with its seats, the history of its rig and its work
// sheets. Line-ups and recordings stay and forget the boat.
func (s *Store) DeleteBoat(ctx context.Context, id int64) error {
	return erase(ctx, s, "boats", id)
}
