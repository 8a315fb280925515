package fleet

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"thole/api/records"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// BoatFields are what people edit of a hull. A figure left out stands for that
// of the class. The ranges of the figures are engineering judgement: anything
// from a child's single to a racing eight with its rigging.
type BoatFields struct {
	Name             string          `json:"name" validate:"filled,max=80" say:"A name is needed."`
	BoatClass        string          `json:"boat_class" validate:"required,boatclass"`
	HullMassKg       *float64        `json:"hull_mass_kg" validate:"omitempty,gte=8,lte=200" description:"With fixtures, without oars."`
	BuiltForKg       *float64        `json:"built_for_kg" validate:"omitempty,plausible=seat.built_for" description:"Mass of a rower of the crew it was built for."`
	WaterlineLengthM *float64        `json:"waterline_length_m" validate:"omitempty,gte=4,lte=20"`
	WaterlineBeamM   *float64        `json:"waterline_beam_m" validate:"omitempty,gte=0.2,lte=1.2"`
	SeatOverWaterCm  *float64        `json:"seat_over_water_cm" validate:"omitempty,plausible=seat.seat_over_water" description:"Height of the seat's lowest point over the water at the class's reference displacement."`
	Stretcher        *seat.Stretcher `json:"stretcher,omitempty" description:"What its stretchers are read by; without it, the heel, from the line of work."`
	OarSetID         *int64          `json:"oar_set_id,omitempty" validate:"omitempty,gte=1" description:"The set of oars that it usually goes with. Choosing another one takes over its length, its inboard, what they can be set to and its blade at every seat."`
	WasherMm         *float64        `json:"washer_mm,omitempty" validate:"omitempty,gte=0.5,lte=20" unit:"mm" description:"Thickness of a washer under the gate, where heights are counted in washers."`
	ClamMm           *float64        `json:"clam_mm,omitempty" validate:"omitempty,gte=2,lte=30" unit:"mm" description:"Thickness of a clam between collar and gate, where inboards are counted in clams; each makes the inboard longer by it."`
	InsertDeg        *float64        `json:"insert_deg,omitempty" validate:"omitempty,gte=0.25,lte=5" unit:"°" description:"Pitch that one number of the inserts makes, where pitch is counted in inserts."`
	Note             string          `json:"note" validate:"omitempty,max=2000"`
	Archived         bool            `json:"archived"`
}

// Mark reads the boat's own mark of a stretcher with the heel at heelToPinCm on a
// plate of plateDeg, in cm or as the number of a hole; ok is false where the boat
// is read at the heel from the line of work.
func (f *BoatFields) Mark(heelToPinCm, plateDeg float64) (mark string, reading float64, ok bool) {
	if f.Stretcher == nil {
		return "", 0, false
	}
	scale := f.Stretcher.Scale()
	if scale.Mark == rigging.MarkHeel && scale.Offset == 0 {
		return "", 0, false
	}
	v := scale.Reading(wire.FromCm(heelToPinCm), wire.FromDeg(plateDeg))
	if scale.Mark != rigging.MarkHole {
		v = 100 * v
	}
	return string(scale.Mark), wire.Round(v, 10), true
}

// SeatFields are what people edit of a seat, its rig apart.
type SeatFields struct {
	Number         int                            `json:"number" validate:"required,gte=1,lte=8" description:"1 is bow."`
	Side           string                         `json:"side" validate:"omitempty,oneof=port starboard" description:"Of the rigger in sweep; empty in sculling."`
	CanChangeSides bool                           `json:"can_change_sides" description:"The rigger fits the other side, too."`
	Blade          string                         `json:"blade" validate:"omitempty,oneof=hatchet macon large" description:"Of the oars of the seat; empty: hatchet."`
	Adjust         map[string]settings.Adjustment `json:"adjust" description:"What can be moved, by setting, as the fit takes it."`
	Starts         map[string]float64             `json:"starts,omitempty" description:"By setting, in its unit: what is calculated with until it has been measured. Nothing is told to be moved from it."`
}

// BoatSeat is one rowing seat as found.
type BoatSeat struct {
	SeatFields
	Seat    seat.Seat `json:"seat" description:"As found, with what the boat adds, as the calculators take it."`
	Missing []string  `json:"missing" description:"Settings that must be measured before the seat can be calculated."`
}

// Boat is a hull with its seats.
type Boat struct {
	ID      int64 `json:"id"`
	Version int64 `json:"version" description:"Counts every edit of the boat and its rig."`
	Example bool  `json:"example" description:"Brought by the examples, and goes with them."`
	BoatFields
	Class    ClassFigures   `json:"class" description:"What stands in for figures left out."`
	Seats    []BoatSeat     `json:"seats" description:"Bow first."`
	Cautions []seat.Caution `json:"cautions"`
}

// ClassFigures are a class's own.
type ClassFigures struct {
	Name             string  `json:"name"`
	Rowers           int     `json:"rowers"`
	Scull            bool    `json:"scull"`
	Coxed            bool    `json:"coxed"`
	MinHullMassKg    float64 `json:"min_hull_mass_kg"`
	WaterlineLengthM float64 `json:"waterline_length_m"`
	WaterlineBeamM   float64 `json:"waterline_beam_m"`
	SeatOverWaterCm  float64 `json:"seat_over_water_cm"`
}

// BoatSummary is a boat in a list.
type BoatSummary struct {
	ID      int64 `json:"id"`
	Example bool  `json:"example" description:"Brought by the examples, and goes with them."`
	BoatFields
}

// BoatList lists boats by name.
type BoatList struct {
	Boats []BoatSummary `json:"boats"`
}

// NewBoat puts a boat on record. Seats left out are those of the class, with
// the sides alternating to a stroke on port and the usual adjustments.
type NewBoat struct {
	BoatFields
	Seats []SeatFields `json:"seats" validate:"omitempty,max=8" description:"All seats, bow first."`
	Rig   []RigSetting `json:"rig" validate:"omitempty,max=200" description:"What is known of it already."`
	By    string       `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who enters this, for the history."`
}

// BoatEdit writes every field of a boat and its seats, the rig apart.
type BoatEdit struct {
	ID      int64 `path:"id" json:"-" validate:"gte=1"`
	Version int64 `json:"version" validate:"required,gte=0" description:"That was read and edited."`
	BoatFields
	Seats []SeatFields `json:"seats" validate:"required,omitempty,max=8" description:"All seats, bow first."`
	By    string       `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who edits, for the history."`
}

// Boats lists the boats on record.
func (s *Service) Boats(ctx context.Context, r records.ListRequest) (BoatList, error) {
	boats, err := s.Store.Boats(store.Paged(ctx), r.Filter())
	list := BoatList{Boats: make([]BoatSummary, 0, len(boats))}
	for i := range boats {
		list.Boats = append(list.Boats, BoatSummary{ID: boats[i].ID, Example: boats[i].Example, BoatFields: boatFields(&boats[i])})
	}
	return list, records.RecordError(err)
}

func boatFields(b *store.Boat) BoatFields {
	return BoatFields{
		Name: b.Name, BoatClass: b.ClassCode, HullMassKg: b.HullMassKg, BuiltForKg: b.BuiltForKg,
		WaterlineLengthM: b.WaterlineLengthM, WaterlineBeamM: b.WaterlineBeamM, SeatOverWaterCm: b.SeatOverWaterCm,
		Stretcher: wireScale(b), OarSetID: b.OarSetID, WasherMm: b.WasherMm, ClamMm: b.ClamMm, InsertDeg: b.InsertDeg, Note: b.Note, Archived: b.Archived,
	}
}

// wireScale returns nil for a boat that is read at the heel from the line of work;
// values of 0 are left out.
func wireScale(b *store.Boat) *seat.Stretcher {
	if b.StretcherMark == "" {
		return nil
	}
	stated := func(v float64) *float64 {
		if v == 0 {
			return nil
		}
		return &v
	}
	return &seat.Stretcher{
		Mark: b.StretcherMark, OffsetCm: stated(b.StretcherOffsetCm), ToeAlongCm: stated(b.StretcherToeAlongCm), HolePitchCm: stated(b.StretcherHolePitchCm),
	}
}

// Boat returns one boat with its seats as found.
func (s *Service) Boat(ctx context.Context, r records.IDRequest) (Boat, error) {
	b, err := s.Store.Boat(ctx, r.ID)
	if err != nil {
		return Boat{}, records.RecordError(err)
	}
	class, err := seat.ClassOf(b.ClassCode)
	if err != nil {
		return Boat{}, fmt.Errorf("boat %d: class %q is not known", b.ID, b.ClassCode)
	}
	boat := Boat{ID: b.ID, Version: b.Version, Example: b.Example, BoatFields: boatFields(&b), Class: classFigures(class), Seats: make([]BoatSeat, 0, len(b.Seats))}
	for i := range b.Seats {
		boat.Seats = append(boat.Seats, wireSeat(class, &b, &b.Seats[i]))
	}
	boat.Cautions = boat.cautions()
	return boat, nil
}

// BareBoat returns a boat of which nothing is on record but its class, to be drawn.
func BareBoat(class string) *Boat {
	figures, _ := FiguresOf(class)
	return &Boat{BoatFields: BoatFields{BoatClass: class}, Class: figures}
}

// FiguresOf are the figures of a boat class; ok is false for an unknown one.
func FiguresOf(code string) (f ClassFigures, ok bool) {
	c, ok := rigging.ClassByCode(code)
	if !ok {
		return f, false
	}
	return classFigures(c), true
}

func classFigures(c rigging.Class) ClassFigures {
	return ClassFigures{
		Name: c.Name, Rowers: c.Rowers, Scull: c.Scull, Coxed: c.Coxed, MinHullMassKg: wire.ToKg(c.MinHullMass),
		WaterlineLengthM: wire.ToM(c.WaterlineLength), WaterlineBeamM: wire.ToM(c.WaterlineBeam), SeatOverWaterCm: wire.ToCm(rigging.DefaultSeatOverWater),
	}
}

func wireSeat(class rigging.Class, b *store.Boat, stored *store.Seat) BoatSeat {
	place := BoatSeat{SeatFields: SeatFields{
		Number: stored.Number, Side: stored.Side, CanChangeSides: stored.CanChangeSides, Blade: stored.Blade, Adjust: map[string]settings.Adjustment{},
	}}
	for _, a := range stored.Adjustments {
		place.Adjust[a.Setting] = settings.Adjustment{Min: a.Min, Max: a.Max, Step: a.Step, Cost: a.Cost}
	}
	for _, v := range stored.Starts {
		if place.Starts == nil {
			place.Starts = map[string]float64{}
		}
		place.Starts[v.Setting] = v.Value
	}
	place.Seat = foundSeat(&stored.Rig)
	place.Seat.Side, place.Seat.SeatOverWaterCm = stored.Side, b.SeatOverWaterCm
	place.Missing = Unmeasured(class, &place.Seat)
	return place
}

// Unmeasured lists the settings that must be measured before a seat of the class
// can be calculated.
func Unmeasured(class rigging.Class, s *seat.Seat) []string {
	missing := []string{}
	for _, name := range neededSettings(class) {
		if *s.SettingField(name) == nil {
			missing = append(missing, name)
		}
	}
	return missing
}

// foundSeat puts a rig on the wire; rig is its inverse.
func foundSeat(r *store.Rig) seat.Seat {
	return seat.Seat{
		SpanCm: r.SpanCm, SpreadCm: r.SpreadCm, OarLengthCm: r.OarLengthCm, InboardCm: r.InboardCm,
		GateHeightCm: r.GateHeightCm, GateDifferenceCm: r.GateDifferenceCm, HeelToPinCm: r.HeelToPinCm, HeelDepthCm: r.HeelDepthCm,
		PlateAngleDeg: r.PlateAngleDeg, BladePitchDeg: r.BladePitchDeg, SternPitchDeg: r.SternPitchDeg, OutwardPitchDeg: r.OutwardPitchDeg,
	}
}

func storedRig(s *seat.Seat) store.Rig {
	return store.Rig{
		SpanCm: s.SpanCm, SpreadCm: s.SpreadCm, OarLengthCm: s.OarLengthCm, InboardCm: s.InboardCm,
		GateHeightCm: s.GateHeightCm, GateDifferenceCm: s.GateDifferenceCm, HeelToPinCm: s.HeelToPinCm, HeelDepthCm: s.HeelDepthCm,
		PlateAngleDeg: s.PlateAngleDeg, BladePitchDeg: s.BladePitchDeg, SternPitchDeg: s.SternPitchDeg, OutwardPitchDeg: s.OutwardPitchDeg,
	}
}

// Settings lists the settings that a seat of the boat's class has, by their
// names on the wire, in the order people meet them at the boat.
func (b *Boat) Settings() []string {
	class, _ := rigging.ClassByCode(b.BoatClass)
	return settings.Of(class)
}

// neededSettings are those without a default.
func neededSettings(class rigging.Class) []string {
	pins := rigging.SettingSpread
	if class.Scull {
		pins = rigging.SettingSpan
	}
	return []string{settings.Name(pins), settings.Name(rigging.SettingInboard), settings.Name(rigging.SettingOarLength), settings.Name(rigging.SettingHeelToPin)}
}

// cautions reports what is odd about the boat as it is on record.
func (b *Boat) cautions() []seat.Caution {
	cautions := []seat.Caution{}
	balance := 0
	for _, s := range b.Seats {
		switch s.Side {
		case "port":
			balance++
		case "starboard":
			balance--
		}
	}
	if balance != 0 {
		cautions = append(cautions, seat.Caution{Code: "riggers_uneven", Weight: "warning", Text: "The riggers on port and on starboard are not equal in number: the boat would not run straight. Check the sides."})
	}
	if b.HullMassKg != nil && *b.HullMassKg < b.Class.MinHullMassKg {
		cautions = append(cautions, seat.Caution{Code: "hull_light", Weight: "notice", Text: fmt.Sprintf("The hull is lighter than the %g kg that boats of this class need in most races; the rule book decides.", b.Class.MinHullMassKg)})
	}
	return cautions
}

// enterRig checks what is known of the rig of a new boat and enters it.
func enterRig(class rigging.Class, b *store.Boat, r *NewBoat) error {
	boat := Boat{BoatFields: r.BoatFields}
	for i := range b.Seats {
		boat.Seats = append(boat.Seats, wireSeat(class, b, &b.Seats[i]))
	}
	var p wire.Problems
	checkEntries(&p, wire.At("rig"), r.Rig, class, &boat)
	for i := range b.Seats {
		b.Seats[i].Rig = storedRig(&boat.Seats[i].Seat)
	}
	return p.OrNil()
}

// AddBoat puts a boat on record; what is not known of its rig is entered as it
// is measured.
func (s *Service) AddBoat(ctx context.Context, r NewBoat) (Boat, error) {
	class, err := s.checkBoat(&r.BoatFields, r.By)
	if err != nil {
		return Boat{}, err
	}
	if r.Seats == nil {
		r.Seats = usualSeats(class)
	}
	seats, err := storedSeats(class, r.Seats)
	if err != nil {
		return Boat{}, err
	}
	b := r.stored()
	b.Seats = seats
	if err := enterRig(class, &b, &r); err != nil {
		return Boat{}, err
	}
	oars, err := s.oarsFor(ctx, class, r.OarSetID)
	if err != nil {
		return Boat{}, err
	}
	if oars != nil {
		oars.dress(class, &b)
		for i := range b.Seats {
			oars.enter(&b.Seats[i].Rig)
		}
	}
	id, err := s.Store.AddBoat(ctx, b, s.Signed(r.By))
	if err != nil {
		return Boat{}, records.TakenAs(err, sameBoat)
	}
	return s.Boat(ctx, records.IDRequest{ID: id})
}

const sameBoat = "A boat of this name and class is on record."

// usualSeats alternate from a stroke on port, and have the usual adjustments.
func usualSeats(class rigging.Class) []SeatFields {
	adjust := map[string]settings.Adjustment{}
	for name, a := range rigging.DefaultAdjustments(class) {
		u := wire.Units[name.Quantity()].Factor
		adjust[settings.Name(name)] = settings.Adjustment{Min: wire.Round(a.Min*u, 100), Max: wire.Round(a.Max*u, 100), Step: wire.Round(a.Step*u, 100), Cost: 1}
	}
	seats := make([]SeatFields, class.Rowers)
	for i := range seats {
		seats[i] = SeatFields{Number: i + 1, Adjust: adjust}
		if !class.Scull {
			seats[i].Side = [...]string{"port", "starboard"}[(class.Rowers-1-i)%2]
		}
	}
	return seats
}

// UsualSeats returns the seats of a class as a new boat starts with; nil for a
// class that is not known.
func (s *Service) UsualSeats(classCode string) []SeatFields {
	class, ok := rigging.ClassByCode(classCode)
	if !ok {
		return nil
	}
	return usualSeats(class)
}

// UpdateBoat writes every field of a boat and its seats; the rig is left alone.
func (s *Service) UpdateBoat(ctx context.Context, r BoatEdit) (Boat, error) {
	class, err := s.checkBoat(&r.BoatFields, r.By)
	if err != nil {
		return Boat{}, err
	}
	old, err := s.Store.Boat(ctx, r.ID)
	if err != nil {
		return Boat{}, records.RecordError(err)
	}
	if was, err := seat.ClassOf(old.ClassCode); err == nil && (was.Rowers != class.Rowers || was.Scull != class.Scull) {
		return Boat{}, riggedOtherwise(old.ClassCode)
	}
	seats, err := storedSeats(class, r.Seats)
	if err != nil {
		return Boat{}, err
	}
	b := r.stored()
	b.ID, b.Version, b.Seats = r.ID, r.Version, seats
	plan := store.FleetBoat{Boat: b}
	oars, err := s.oarsFor(ctx, class, r.OarSetID)
	if err != nil {
		return Boat{}, err
	}
	why := ""
	if oars != nil && (old.OarSetID == nil || *old.OarSetID != oars.ID) {
		oars.dress(class, &plan.Boat)
		plan.Rig, why = oars.settings(class), "oars: "+oars.Name
	}
	if _, _, err := s.Store.SaveFleet(ctx, store.Fleet{Boats: []store.FleetBoat{plan}, Why: why}, s.Signed(r.By)); err != nil {
		return Boat{}, records.TakenAs(err, sameBoat)
	}
	return s.Boat(ctx, records.IDRequest{ID: r.ID})
}

func (f *BoatFields) stored() store.Boat {
	b := store.Boat{
		Name: strings.TrimSpace(f.Name), ClassCode: f.BoatClass, HullMassKg: f.HullMassKg, BuiltForKg: f.BuiltForKg,
		WaterlineLengthM: f.WaterlineLengthM, WaterlineBeamM: f.WaterlineBeamM, SeatOverWaterCm: f.SeatOverWaterCm,
		OarSetID: f.OarSetID, WasherMm: f.WasherMm, ClamMm: f.ClamMm, InsertDeg: f.InsertDeg,
		Note: f.Note, Archived: f.Archived,
	}
	if s := f.Stretcher; s != nil {
		b.StretcherMark, b.StretcherOffsetCm = s.Mark, wire.Or(s.OffsetCm, 0)
		b.StretcherToeAlongCm, b.StretcherHolePitchCm = wire.Or(s.ToeAlongCm, 0), wire.Or(s.HolePitchCm, 0)
	}
	return b
}

// checkBoat checks what stands for the whole boat.
func (s *Service) checkBoat(f *BoatFields, by string) (rigging.Class, error) {
	var p wire.Problems
	class, _ := rigging.ClassByCode(f.BoatClass)
	f.Stretcher.Problems(&p)
	p.Check(wire.At(), f)
	p.Author(by)
	return class, p.OrNil()
}

// storedSeats checks the seats and converts them to the record.
func storedSeats(class rigging.Class, seats []SeatFields) ([]store.Seat, error) {
	if len(seats) != class.Rowers {
		return nil, wire.At("seats").Invalid(fmt.Sprintf("A %s has %d seats, not %d.", class.Code, class.Rowers, len(seats)))
	}
	var p wire.Problems
	stored := make([]store.Seat, len(seats))
	for i := range seats {
		f, at := &seats[i], wire.At("seats").Item(i)
		stored[i] = store.Seat{Number: f.Number, Side: f.Side, CanChangeSides: f.CanChangeSides, Blade: f.Blade}
		if f.Number != i+1 {
			p.Add(at.Name("number").Problem(fmt.Sprintf("List the seats bow first: here stands seat %d.", i+1)))
		}
		checkSide(&p, at.Name("side"), class, f.Side)
		if _, ok := rigging.ParseBlade(f.Blade); !ok {
			p.Add(at.Name("blade").Problem("Say hatchet, macon or large."))
		}
		for _, name := range adjustableSettings(class) {
			if a, ok := f.Adjust[name]; ok {
				checkAdjustment(&p, at.Name("adjust").Name(name), class, name, a)
				stored[i].Adjustments = append(stored[i].Adjustments, store.Adjustment{Setting: name, Min: a.Min, Max: a.Max, Step: a.Step, Cost: a.Cost})
			}
		}
		checkStarts(&p, at.Name("starts"), class, f.Starts)
		for _, name := range slices.Sorted(maps.Keys(f.Starts)) {
			stored[i].Starts = append(stored[i].Starts, store.SeatStart{Setting: name, Value: f.Starts[name]})
		}
		strangeSettings(&p, at.Name("adjust"), class, f.Adjust)
		p.Check(wire.At("seats").Item(i), f)
	}
	return stored, p.OrNil()
}

func checkSide(p *wire.Problems, at wire.Place, class rigging.Class, side string) {
	switch {
	case class.Scull && side != "":
		p.Add(at.Problem("A sculling seat has riggers on both sides: leave the side out."))
	case !class.Scull && side != "port" && side != "starboard":
		p.Add(at.Problem("Say port or starboard."))
	}
}

// DeleteBoat removes a boat with its history and work sheets.
func (s *Service) DeleteBoat(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Gone(r.ID, s.Store.DeleteBoat(ctx, r.ID))
}

// BoatChanges returns the history of a boat's record, its rig included.
func (s *Service) BoatChanges(ctx context.Context, r records.ChangesRequest) (records.Changes, error) {
	return s.Changes(ctx, store.BoatRecord, r)
}

// SeatFields lists the seats as an edit sends them.
func (b *Boat) SeatFields() []SeatFields {
	var seats []SeatFields
	for i := range b.Seats {
		seats = append(seats, b.Seats[i].SeatFields)
	}
	return seats
}
