package fleet

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"thole/api/records"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// RigSetting is a value for one setting of one seat.
type RigSetting struct {
	Seat    int      `json:"seat" validate:"required,gte=1,lte=8" description:"1 is bow."`
	Setting string   `json:"setting" validate:"required,max=80" description:"Name with its unit, as in seat."`
	Value   *float64 `json:"value" validate:"required,omitempty,gte=-500,lte=500" description:"In the setting's unit."`
}

// RigEdit enters measured values of a boat's rig, all of them or none.
type RigEdit struct {
	ID       int64        `path:"id" json:"-" validate:"gte=1"`
	Version  int64        `json:"version" validate:"required,gte=0" description:"Of the boat, that was read and edited."`
	Settings []RigSetting `json:"settings" validate:"required,omitempty,max=200"`
	Why      string       `json:"why" validate:"omitempty,max=2000" description:"Stands in the history."`
	By       string       `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who measured, for the history."`
}

// RigChange is one entry of the history of a boat's rig.
type RigChange struct {
	ID       int64     `json:"id"`
	Version  int64     `json:"version" description:"Of the boat, after the change."`
	Seat     int       `json:"seat"`
	Setting  string    `json:"setting"`
	From     *float64  `json:"from" description:"In the setting's unit; null where it was not known."`
	To       *float64  `json:"to" description:"In the setting's unit; null where an entry was taken back that was the first."`
	At       time.Time `json:"at"`
	By       string    `json:"by"`
	Why      string    `json:"why"`
	SheetID  *int64    `json:"sheet_id" description:"Work sheet that it came from."`
	UndoesID *int64    `json:"undoes_id" description:"Change that it takes back."`
	Latest   bool      `json:"latest" description:"Nothing changed the setting since: it can be taken back."`
}

// RigHistory is a boat's rig as it stands, and its history.
type RigHistory struct {
	Version  int64        `json:"version" description:"Of the boat as it stands."`
	Settings []RigSetting `json:"settings" description:"The present rig, seat by seat."`
	Changes  []RigChange  `json:"changes" description:"Newest first."`
	Next     int64        `json:"next" description:"Ask with before set to this for older entries; 0 when there are none."`
}

// RigHistoryRequest asks for entries of the history of a boat's rig.
type RigHistoryRequest struct {
	ID      int64  `path:"id" json:"-" validate:"gte=1"`
	Seat    int    `query:"seat" json:"-" validate:"omitempty,gte=1,lte=8" description:"1 is bow; without it, every seat."`
	Setting string `query:"setting" json:"-" validate:"max=40" description:"Name with its unit; without it, every setting."`
	Before  int64  `query:"before" json:"-" validate:"gte=0" description:"Only entries older than this one."`
	Limit   int    `query:"limit" json:"-" validate:"gte=0,lte=1000" description:"Without it, 100."`
}

// RigUndo takes one change of a rig back.
type RigUndo struct {
	ID     int64  `path:"id" json:"-" validate:"gte=1"`
	Change int64  `path:"change" json:"-" validate:"gte=1"`
	Why    string `json:"why" validate:"omitempty,max=2000" description:"Stands in the history."`
	By     string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who takes it back, for the history."`
}

// UpdateRig enters measured values. Values that are as they were leave no trace.
func (s *Service) UpdateRig(ctx context.Context, r RigEdit) (Boat, error) {
	boat, err := s.Boat(ctx, records.IDRequest{ID: r.ID})
	if err != nil {
		return Boat{}, err
	}
	if r.Version != boat.Version {
		return Boat{}, s.MovedOn(ctx, &boat, r.Version)
	}
	if err := r.check(&boat); err != nil {
		return Boat{}, err
	}
	var changed []store.RigSetting
	for _, v := range r.Settings {
		changed = append(changed, store.RigSetting{Seat: v.Seat, Setting: v.Setting, Value: *v.Value})
	}
	if _, err := s.Store.ChangeRig(ctx, r.ID, r.Version, changed, strings.TrimSpace(r.Why), s.Signed(r.By)); err != nil {
		return Boat{}, records.RecordError(err)
	}
	return s.Boat(ctx, records.IDRequest{ID: r.ID})
}

// MovedOn is the error of an edit of a boat as it was known.
func (s *Service) MovedOn(ctx context.Context, boat *Boat, known int64) error {
	since, err := s.Store.Changes(ctx, store.BoatRecord, boat.ID, known)
	if err != nil {
		return records.RecordError(err)
	}
	return &records.Conflict{Version: boat.Version, Changes: records.WireChanges(since)}
}

// check complains about what cannot be entered, and enters the rest in boat.
func (r *RigEdit) check(boat *Boat) error {
	var p wire.Problems
	class, _ := rigging.ClassByCode(boat.BoatClass)
	checkEntries(&p, wire.At("settings"), r.Settings, class, boat)
	p.Check(wire.At(), r)
	return p.OrNil()
}

// checkEntries enters values in the seats of boat, and complains about those that no
// seat has and those that do not fit the rest of their seat.
func checkEntries(p *wire.Problems, at wire.Place, entered []RigSetting, class rigging.Class, boat *Boat) {
	known := settings.Of(class)
	place := map[seatSetting]wire.Place{} // in the request
	for i, v := range entered {
		at := at.Item(i)
		switch {
		case v.Seat < 1 || v.Seat > len(boat.Seats):
			p.Add(at.Name("seat").Problem(fmt.Sprintf("The boat has seats 1 to %d.", len(boat.Seats))))
		case !slices.Contains(known, v.Setting):
			p.Add(at.Name("setting").Problem("A " + class.Code + " has no such setting. It has " + strings.Join(known, ", ") + "."))
		case v.Value == nil:
			p.Add(at.Name("value").Problem("A value is needed."))
		default:
			*boat.Seats[v.Seat-1].Seat.SettingField(v.Setting) = v.Value
			place[seatSetting{v.Seat, v.Setting}] = at.Name("value")
		}
	}
	for i := range boat.Seats {
		checkRig(p, class, &boat.Seats[i], place)
	}
}

// seatSetting is one setting of one seat.
type seatSetting struct {
	seat    int // 1 is bow
	setting string
}

// checkRig complains about a seat with the values of a request entered: at the
// value where it is in the request, else at another one of the seat. Faults of
// a seat that is not in the request are left alone.
func checkRig(p *wire.Problems, class rigging.Class, held *BoatSeat, place map[seatSetting]wire.Place) {
	faults := RigFaults(class, &held.Seat)
	for _, name := range slices.Sorted(maps.Keys(faults)) {
		if at, ok := place[seatSetting{held.Number, name}]; ok {
			p.Add(at.Problem(faults[name]))
			continue
		}
		for _, other := range settings.Of(class) {
			if at, ok := place[seatSetting{held.Number, other}]; ok {
				p.Add(at.Problem(withRest(name) + faults[name]))
				break
			}
		}
	}
}

// withRest begins a complaint about a value that is not in the request; what people
// have no word for is left unnamed.
func withRest(name string) string {
	if label := wire.SettingLabel(name); label != "" {
		return "With “" + label + "” as it is: "
	}
	return "With the rest of the seat as it is: "
}

// RigFaults reports what is wrong with what is known of a seat, by setting.
func RigFaults(class rigging.Class, seat *seat.Seat) map[string]string {
	setup := seat.Setup(class)
	var faults rigging.FieldErrors
	if err := setup.Check(); err != nil && !errors.As(err, &faults) {
		panic("api: a check that is no list of fields: " + err.Error())
	}
	told := map[string]string{}
	for _, f := range faults {
		if f.Problem != rigging.ProblemMissing {
			told[wire.FieldName(f.Place.Last())] = wire.Describe(f)
		}
	}
	return told
}

// adjustableSettings lists the settings that have a part in fitting a seat, in
// the order of classSettings.
func adjustableSettings(class rigging.Class) []string {
	list := []string{settings.Name(rigging.SettingPlateAngle)}
	for setting := range rigging.DefaultAdjustments(class) {
		list = append(list, settings.Name(setting))
	}
	return slices.DeleteFunc(settings.Of(class), func(name string) bool { return !slices.Contains(list, name) })
}

// Adjustable lists the settings of the boat's class that can be given a range,
// in the order of Settings.
func (b *Boat) Adjustable() []string {
	class, _ := rigging.ClassByCode(b.BoatClass)
	return adjustableSettings(class)
}

// strangeSettings complains about names that cannot be adjusted.
func strangeSettings(p *wire.Problems, at wire.Place, class rigging.Class, adjust map[string]settings.Adjustment) {
	for _, name := range slices.Sorted(maps.Keys(adjust)) {
		if !slices.Contains(adjustableSettings(class), name) {
			p.Add(at.Name(name).Problem("This is nothing that can be given a range in a " + class.Code + "."))
		}
	}
}

// leastStep bounds a step that a setting is moved by, in its unit; engineering
// judgement: nobody sets a rig finer.
const leastStep = 0.01

// checkAdjustment complains about a range: its ends must be values that the setting
// can have.
func checkAdjustment(p *wire.Problems, at wire.Place, class rigging.Class, name string, a settings.Adjustment) {
	for end, value := range map[string]float64{"min": a.Min, "max": a.Max} {
		var seat seat.Seat
		seat.Side = "port"
		*seat.SettingField(name) = &value
		if fault, bad := RigFaults(class, &seat)[name]; bad {
			p.Add(at.Name(end).Problem(fault))
		}
	}
	switch {
	case a.Min > a.Max:
		p.Add(at.Name("min").Problem("The least lies above the most: swap them."))
	case !(a.Step >= leastStep):
		p.Add(at.Name("step").Problem("A step is more than nothing."))
	}
}

// historyPage is how many entries a page of history has by default; our judgement.
const historyPage = 100

// RigHistory returns the history of a boat's rig.
func (s *Service) RigHistory(ctx context.Context, r RigHistoryRequest) (RigHistory, error) {
	boat, err := s.Store.Boat(ctx, r.ID)
	if err != nil {
		return RigHistory{}, records.RecordError(err)
	}
	r.Limit = cmp.Or(max(0, r.Limit), historyPage)
	// What is the latest of its setting shows from the newest entry on only.
	f := store.RigFilter{Seat: r.Seat, Setting: r.Setting}
	if r.Before == 0 {
		f.Limit = r.Limit + 1
	}
	entries, err := s.Store.RigHistory(ctx, r.ID, f)
	if err != nil {
		return RigHistory{}, records.RecordError(err)
	}
	h := RigHistory{Version: boat.Version, Settings: []RigSetting{}, Changes: []RigChange{}}
	for _, v := range store.RigOf(boat.Seats) {
		h.Settings = append(h.Settings, RigSetting{v.Seat, v.Setting, &v.Value})
	}
	seen := map[seatSetting]bool{}
	for i := range entries {
		c := wireRigChange(&entries[i])
		key := seatSetting{c.Seat, c.Setting}
		c.Latest, seen[key] = !seen[key], true
		if r.Before != 0 && c.ID >= r.Before {
			continue
		}
		if len(h.Changes) == r.Limit {
			h.Next = h.Changes[r.Limit-1].ID
			break
		}
		h.Changes = append(h.Changes, c)
	}
	return h, nil
}

func wireRigChange(c *store.RigChange) RigChange {
	return RigChange{
		ID: c.ID, Version: c.Version, Seat: c.Seat, Setting: c.Setting, From: c.FromValue, To: c.ToValue,
		At: c.At, By: c.By, Why: c.Why, SheetID: c.SheetID, UndoesID: c.UndoesID,
	}
}

// UndoRig takes one change back by appending its opposite. It is refused with a
// *Conflict when the setting was changed again since.
func (s *Service) UndoRig(ctx context.Context, r RigUndo) (Boat, error) {
	var p wire.Problems
	p.Check(wire.At(), &r)
	if err := p.OrNil(); err != nil {
		return Boat{}, err
	}
	found, err := s.Store.RigHistory(ctx, r.ID, store.RigFilter{Before: r.Change + 1, Limit: 1})
	if err != nil {
		return Boat{}, records.RecordError(err)
	}
	if len(found) == 0 || found[0].ID != r.Change {
		return Boat{}, wire.ErrNotFound
	}
	if _, err := s.Store.UndoRigChange(ctx, r.Change, strings.TrimSpace(r.Why), s.Signed(r.By)); err != nil {
		return Boat{}, records.RecordError(err)
	}
	return s.Boat(ctx, records.IDRequest{ID: r.ID})
}

// SheetChanges lists what a work sheet changed of a boat's rig, newest first.
func (s *Service) SheetChanges(ctx context.Context, boat, sheet int64) ([]RigChange, error) {
	all, err := s.Store.RigHistory(ctx, boat, store.RigFilter{})
	if err != nil {
		return nil, records.RecordError(err)
	}
	var list []RigChange
	seen := map[seatSetting]bool{}
	for i := range all {
		c := wireRigChange(&all[i])
		key := seatSetting{c.Seat, c.Setting}
		c.Latest, seen[key] = !seen[key], true
		if c.SheetID != nil && *c.SheetID == sheet {
			list = append(list, c)
		}
	}
	return list, nil
}

// SheetUndo takes back all that a work sheet changed of a boat's rig.
type SheetUndo struct {
	ID    int64  `path:"id" json:"-" validate:"gte=1"`
	Sheet int64  `path:"sheet" json:"-" validate:"gte=1"`
	Why   string `json:"why" validate:"omitempty,max=2000" description:"Stands in the history."`
	By    string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who takes it back, for the history."`
}

// UndoSheet takes back all that a work sheet changed, by appending the opposites,
// or nothing. It is refused with a *Conflict when one of its settings was changed
// again since.
func (s *Service) UndoSheet(ctx context.Context, r SheetUndo) (Boat, error) {
	var p wire.Problems
	p.Check(wire.At(), &r)
	if err := p.OrNil(); err != nil {
		return Boat{}, err
	}
	if _, err := s.Store.UndoSheetChanges(ctx, r.ID, r.Sheet, strings.TrimSpace(r.Why), s.Signed(r.By)); err != nil {
		return Boat{}, records.RecordError(err)
	}
	return s.Boat(ctx, records.IDRequest{ID: r.ID})
}

// SeatOfRig puts a rig that is kept on record on the wire.
func SeatOfRig(r *store.Rig, side string) seat.Seat {
	s := foundSeat(r)
	s.Side = side
	return s
}

// RigOfSeat is the inverse of SeatOfRig.
func RigOfSeat(s *seat.Seat) store.Rig { return storedRig(s) }
