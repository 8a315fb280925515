package boats

import (
	"context"
	"slices"
	"thole/api/store/db"
)

// Boat is a hull with its seats. A value left out stands for that of the
// class.
type Boat struct {
	ID, Version      int64
	Example          bool // see [db.AsExample]; never written with the record
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
	Adjustments    []db.Adjustment
	Starts         []SeatStart
	Rig            Rig // as found
}

// SeatStart is a value to calculate with until somebody has measured the setting.
type SeatStart struct {
	Setting string // a name of Settings
	Value   float64
}

func (v *SeatStart) columns() []db.Column {
	return []db.Column{{"setting", &v.Setting}, {"value", &v.Value}}
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

// Values lists the settings in their order.
func (r *Rig) Values() []db.NamedValue {
	return []db.NamedValue{
		{"span_cm", &r.SpanCm}, {"spread_cm", &r.SpreadCm}, {"heel_to_pin_cm", &r.HeelToPinCm}, {"heel_depth_cm", &r.HeelDepthCm},
		{"plate_angle_deg", &r.PlateAngleDeg}, {"gate_height_cm", &r.GateHeightCm}, {"gate_difference_cm", &r.GateDifferenceCm},
		{"blade_pitch_deg", &r.BladePitchDeg}, {"stern_pitch_deg", &r.SternPitchDeg}, {"outward_pitch_deg", &r.OutwardPitchDeg},
		{"inboard_cm", &r.InboardCm}, {"oar_length_cm", &r.OarLengthCm},
	}
}

// Settings returns the names of the settings, which are the same on the wire.
func Settings() []string {
	var list []string
	for _, v := range new(Rig).Values() {
		list = append(list, v.Name)
	}
	return list
}

func (b *Boat) columns() []db.Column {
	return []db.Column{
		{"name", &b.Name}, {"class_code", &b.ClassCode}, {"hull_mass_kg", &b.HullMassKg}, {"built_for_kg", &b.BuiltForKg},
		{"waterline_length_m", &b.WaterlineLengthM}, {"waterline_beam_m", &b.WaterlineBeamM},
		{"seat_over_water_cm", &b.SeatOverWaterCm}, {"stretcher_mark", &b.StretcherMark}, {"stretcher_offset_cm", &b.StretcherOffsetCm},
		{"stretcher_toe_along_cm", &b.StretcherToeAlongCm}, {"stretcher_hole_pitch_cm", &b.StretcherHolePitchCm},
		{"oar_set_id", &b.OarSetID}, {"washer_mm", &b.WasherMm}, {"clam_mm", &b.ClamMm}, {"insert_deg", &b.InsertDeg},
		{"note", &b.Note}, {"archived", &b.Archived},
	}
}

func (b *Boat) stored() []db.Column {
	return append(b.columns(), db.Column{"id", &b.ID}, db.Column{"version", &b.Version}, db.Column{"example", &b.Example})
}

// record compares the seats as well, their rig apart, which has a history of
// its own.
func (b *Boat) record() db.Record {
	r := db.Record{Subject: db.BoatRecord, ID: b.ID, Version: b.Version, Name: b.Name, Columns: b.columns()}
	for i := range b.Seats {
		s := &b.Seats[i]
		of := func(field string, value any) db.Detail {
			return db.Of(db.Part{Field: field, Seat: s.Number}, value)
		}
		r.Details = append(r.Details, of("side", &s.Side), of("can_change_sides", &s.CanChangeSides), of("blade", &s.Blade))
		for _, a := range s.Adjustments {
			r.Details = append(r.Details, a.Detail(s.Number))
		}
		for k := range s.Starts {
			r.Details = append(r.Details, of("start_"+s.Starts[k].Setting, &s.Starts[k].Value))
		}
	}
	return r
}

// AddBoat puts a boat with its seats, numbered from 1, and their rig on record
// and returns the id. A boat of the class that has the name and is not archived
// is ErrTaken.
func (s *Records) AddBoat(ctx context.Context, b Boat, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) { return addBoat(t, &b, cause{By: by}) })
}

func addBoat(t *db.Tx, b *Boat, c cause) (int64, error) {
	id, err := t.Create(b.record(), c.By)
	if err != nil {
		return 0, err
	}
	if err := addSeats(t, id, b.Seats); err != nil {
		return 0, err
	}
	_, err = applyRig(t, id, 1, RigOf(b.Seats), c)
	return id, err
}

func addSeats(t *db.Tx, boatID int64, seats []Seat) error {
	for i, seat := range seats {
		if seat.Number != i+1 {
			return db.Refuse("seat %d stands where seat %d is due", seat.Number, i+1)
		}
		columns := append(seat.columns(), db.Column{"boat_id", &boatID})
		if _, err := t.Insert("seats", columns); err != nil {
			return err
		}
	}
	return addBelow(t, boatID, seats)
}

// addBelow adds what belongs to the seats.
func addBelow(t *db.Tx, boatID int64, seats []Seat) error {
	for i := range seats {
		for _, v := range seats[i].Starts {
			if err := checkSetting(v.Setting); err != nil {
				return err
			}
			if _, err := t.Insert("seat_starts", append(v.columns(), db.Column{"boat_id", &boatID}, db.Column{"seat", &seats[i].Number})); err != nil {
				return err
			}
		}
	}
	return addAdjustments(t, boatID, seats)
}

func (s *Seat) columns() []db.Column {
	return []db.Column{{"number", &s.Number}, {"side", &s.Side}, {"can_change_sides", &s.CanChangeSides}, {"blade", &s.Blade}}
}

func addAdjustments(t *db.Tx, boatID int64, seats []Seat) error {
	for _, seat := range seats {
		for _, a := range seat.Adjustments {
			if err := checkSetting(a.Setting); err != nil {
				return err
			}
			if _, err := t.Insert("adjustments", append(a.Columns(), db.Column{"boat_id", &boatID}, db.Column{"seat", &seat.Number})); err != nil {
				return err
			}
		}
	}
	return nil
}

func checkSetting(name string) error {
	if !slices.Contains(Settings(), name) {
		return db.Refuse("%q is not a setting", name)
	}
	return nil
}

// UpdateBoat writes a boat read at b.Version with its seats and returns the new
// version. The number of seats stays, and the rig is left alone: see ChangeRig.
func (s *Records) UpdateBoat(ctx context.Context, b Boat, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) { return updateBoat(t, &b, by) })
}

func updateBoat(t *db.Tx, b *Boat, by db.By) (int64, error) {
	old, err := boat(t, b.ID)
	if err != nil {
		return 0, err
	}
	if len(b.Seats) != len(old.Seats) {
		return 0, db.Refuse("the boat has %d seats, not %d", len(old.Seats), len(b.Seats))
	}
	version, err := t.Revise(old.record(), b.record(), by)
	if err != nil || version == old.Version {
		return version, err
	}
	return version, rewriteSeats(t, b)
}

func rewriteSeats(t *db.Tx, b *Boat) error {
	for i, seat := range b.Seats {
		if seat.Number != i+1 {
			return db.Refuse("seat %d stands where seat %d is due", seat.Number, i+1)
		}
		err := t.Exec("UPDATE seats SET side = ?, can_change_sides = ?, blade = ? WHERE boat_id = ? AND number = ?",
			seat.Side, seat.CanChangeSides, seat.Blade, b.ID, seat.Number)
		if err != nil {
			return err
		}
	}
	for _, table := range []string{"adjustments", "seat_starts"} {
		if err := t.Exec("DELETE FROM "+table+" WHERE boat_id = ?", b.ID); err != nil {
			return err
		}
	}
	return addBelow(t, b.ID, b.Seats)
}

// Boat returns a boat with its seats.
func (s *Records) Boat(ctx context.Context, id int64) (Boat, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Boat, error) { return boat(t, id) })
}

func boat(t *db.Tx, id int64) (Boat, error) {
	b, err := db.One(t, (*Boat).stored, "boats WHERE id = ?", id)
	if err != nil {
		return Boat{}, err
	}
	b.Seats, err = db.List(t, (*Seat).columns, "seats WHERE boat_id = ? ORDER BY number", id)
	if err != nil {
		return Boat{}, err
	}
	if err := loadAdjustments(t, &b); err != nil {
		return Boat{}, err
	}
	if err := loadStarts(t, &b); err != nil {
		return Boat{}, err
	}
	return b, loadRig(t, &b)
}

// loadStarts reads the values to start from.
func loadStarts(t *db.Tx, b *Boat) error {
	type row struct {
		seat int
		SeatStart
	}
	rows, err := db.List(t, func(r *row) []db.Column { return append(r.columns(), db.Column{"seat", &r.seat}) }, "seat_starts WHERE boat_id = ? ORDER BY setting", b.ID)
	for _, r := range rows {
		seat := &b.Seats[r.seat-1]
		seat.Starts = append(seat.Starts, r.SeatStart)
	}
	return err
}

// loadAdjustments reads the ranges in the order of the settings.
func loadAdjustments(t *db.Tx, b *Boat) error {
	type row struct {
		seat int
		db.Adjustment
	}
	rows, err := db.List(t, func(r *row) []db.Column { return append(r.Columns(), db.Column{"seat", &r.seat}) },
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

func loadRig(t *db.Tx, b *Boat) error {
	type row struct {
		seat    int
		setting string
		value   *float64
	}
	rows, err := db.List(t, func(r *row) []db.Column {
		return []db.Column{{"seat", &r.seat}, {"setting", &r.setting}, {"value", &r.value}}
	}, "rig WHERE boat_id = ?", b.ID)
	if err != nil {
		return err
	}
	for _, r := range rows {
		for _, v := range b.Seats[r.seat-1].Rig.Values() {
			if v.Name == r.setting {
				*v.Value = r.value
			}
		}
	}
	return nil
}

// Boats lists boats by name, without their seats.
func (s *Records) Boats(ctx context.Context, f db.Filter) ([]Boat, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Boat, error) {
		return db.Page(t, (*Boat).stored, "boats"+db.Filtered, f.Args()...)
	})
}

// BoatsWithOars lists the boats that usually go with a set of oars, by name, without
// their seats.
func (s *Records) BoatsWithOars(ctx context.Context, set int64) ([]Boat, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Boat, error) {
		return db.List(t, (*Boat).stored, "boats WHERE oar_set_id = ? AND NOT archived ORDER BY name_key, id", set)
	})
}

// DeleteBoat removes a boat with its seats, the history of its rig and its work
// sheets. Line-ups and recordings stay and forget the boat.
func (s *Records) DeleteBoat(ctx context.Context, id int64) error {
	return db.Erase(ctx, s.file, "boats", id)
}
