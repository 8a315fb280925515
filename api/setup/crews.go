package setup

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"thole/api/directory"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// UsualCrew is who usually rows a boat.
type UsualCrew struct {
	BoatID int64       `json:"boat_id"`
	Seats  []UsualSeat `json:"seats" description:"Bow first; a seat that nobody usually rows is left out."`
}

// UsualSeat is who usually rows a seat.
type UsualSeat struct {
	Seat      int    `json:"seat"`
	AthleteID int64  `json:"athlete_id"`
	Name      string `json:"name"`
}

// CrewOfBoat makes a crew the usual one of a boat.
type CrewOfBoat struct {
	BoatID int64        `path:"id" json:"-" validate:"gte=1"`
	Seats  []CrewChoice `json:"seats" validate:"max=8" required:"true" description:"None takes the usual crew away."`
}

// CrewChoice puts an athlete into a seat.
type CrewChoice struct {
	Seat      int   `json:"seat" validate:"required,gte=1,lte=8" description:"1 is bow."`
	AthleteID int64 `json:"athlete_id" validate:"required,gte=0"`
}

// UsualCrew returns the usual crew of a boat.
func (s *Service) UsualCrew(ctx context.Context, r records.IDRequest) (UsualCrew, error) {
	crew, err := s.Store.BoatCrew(ctx, r.ID)
	if err != nil {
		return UsualCrew{}, records.RecordError(err)
	}
	names, err := s.club.AthleteNames(ctx)
	if err != nil {
		return UsualCrew{}, err
	}
	w := UsualCrew{BoatID: r.ID, Seats: []UsualSeat{}}
	for _, c := range crew {
		if i := slices.IndexFunc(names, func(a directory.Athlete) bool { return a.ID == c.AthleteID }); i >= 0 {
			w.Seats = append(w.Seats, UsualSeat{c.Seat, c.AthleteID, names[i].Name})
		}
	}
	return w, nil
}

// SetUsualCrew makes a crew the usual one of a boat and returns it.
func (s *Service) SetUsualCrew(ctx context.Context, r CrewOfBoat) (UsualCrew, error) {
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: r.BoatID})
	if err != nil {
		return UsualCrew{}, err
	}
	if err := s.checkUsual(ctx, &boat, r.Seats, wire.At("seats")); err != nil {
		return UsualCrew{}, err
	}
	var crew []store.CrewSeat
	for _, c := range r.Seats {
		crew = append(crew, store.CrewSeat{Seat: c.Seat, AthleteID: c.AthleteID})
	}
	if err := s.Store.SetBoatCrew(ctx, r.BoatID, crew); err != nil {
		return UsualCrew{}, records.RecordError(err)
	}
	return s.UsualCrew(ctx, records.IDRequest{ID: r.BoatID})
}

// checkUsual complains about seats that the boat has not, and athletes who are not
// on record or sit twice.
func (s *Service) checkUsual(ctx context.Context, boat *fleet.Boat, seats []CrewChoice, list wire.Place) error {
	names, err := s.club.AthleteNames(ctx)
	if err != nil {
		return err
	}
	var bad wire.Problems
	for i, c := range seats {
		at := list.Item(i)
		if c.Seat < 1 || c.Seat > len(boat.Seats) {
			bad.Add(at.Name("seat").Problem(fmt.Sprintf("The boat has seats 1 to %d.", len(boat.Seats))))
		}
		if slices.ContainsFunc(seats[:i], func(o CrewChoice) bool { return o.Seat == c.Seat }) {
			bad.Add(at.Name("seat").Problem(fmt.Sprintf("Seat %d stands here twice.", c.Seat)))
		}
		if !slices.ContainsFunc(names, func(a directory.Athlete) bool { return a.ID == c.AthleteID }) {
			bad.Add(at.Name("athlete_id").Problem("This athlete is not on record."))
		}
		if slices.ContainsFunc(seats[:i], func(o CrewChoice) bool { return o.AthleteID == c.AthleteID }) {
			bad.Add(at.Name("athlete_id").Problem("This athlete rows another seat, too."))
		}
	}
	return bad.OrNil()
}

// LastSetup is how a boat stood when it was last set for a crew.
type LastSetup struct {
	SheetID   int64              `json:"sheet_id" description:"The work sheet that was finished for it; 0: never."`
	DoneBy    string             `json:"done_by"`
	DoneAt    *time.Time         `json:"done_at" description:"Null: never."`
	Rig       []fleet.RigSetting `json:"rig" description:"The crew's seats as they stood then, to be sent as by_hand of a set-up that brings it back."`
	Differs   int                `json:"differs" description:"Settings that stand elsewhere now."`
	CatchDeg  *float64           `json:"catch_deg" description:"What the crew was set to, to be sent as a target; null where it is not known."`
	FinishDeg *float64           `json:"finish_deg" description:"What the crew was set to; null where it is not known."`
}

// LastSetupRequest asks how a boat stood when it was last set for a crew.
type LastSetupRequest struct {
	BoatID   int64        `path:"id" json:"-" validate:"gte=1"`
	LineupID *int64       `json:"lineup_id,omitempty" validate:"omitempty,gte=0" description:"Its seats are the crew where crew is left out."`
	Crew     []CrewChoice `json:"crew,omitempty" validate:"omitempty,max=8" description:"The same athletes in the same seats. Without crew and line-up, the usual crew of the boat."`
}

// FindLastSetup answers how a boat stood when a work sheet for the crew was last
// finished.
func (s *Service) FindLastSetup(ctx context.Context, r LastSetupRequest) (LastSetup, error) {
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: r.BoatID})
	if err != nil {
		return LastSetup{}, err
	}
	if err := s.checkUsual(ctx, &boat, r.Crew, wire.At("crew")); err != nil {
		return LastSetup{}, err
	}
	crew, err := s.crewAsked(ctx, &r)
	if err != nil {
		return LastSetup{}, err
	}
	last, err := s.LastSetup(ctx, &boat, crew)
	if last.Rig == nil {
		last.Rig = []fleet.RigSetting{}
	}
	return last, err
}

// crewAsked is the crew of the request, of its line-up, or the usual one.
func (s *Service) crewAsked(ctx context.Context, r *LastSetupRequest) (crew []CrewPlace, err error) {
	switch {
	case r.Crew != nil:
		for _, c := range r.Crew {
			crew = append(crew, CrewPlace{Seat: c.Seat, AthleteID: &c.AthleteID})
		}
	case r.LineupID != nil:
		lineup, err := s.LineupCrew(ctx, *r.LineupID)
		if errors.Is(err, wire.ErrNotFound) {
			return nil, wire.At("lineup_id").Invalid("This line-up is not on record.")
		}
		return lineup.Places, err
	default:
		usual, err := s.UsualCrew(ctx, records.IDRequest{ID: r.BoatID})
		for _, u := range usual.Seats {
			crew = append(crew, CrewPlace{Seat: u.Seat, AthleteID: &u.AthleteID})
		}
		return crew, err
	}
	return crew, nil
}

// LastSetup returns how a boat stood when a work sheet for the crew, the same
// athletes in the same seats, was last finished.
func (s *Service) LastSetup(ctx context.Context, boat *fleet.Boat, crew []CrewPlace) (LastSetup, error) {
	return s.lastSheet(ctx, boat, func(then []CrewPlace) bool { return sameCrew(then, crew) })
}

// LastTargets returns the sheet that a boat was last set by for a crew that differs
// from another in one seat at the most.
func (s *Service) LastTargets(ctx context.Context, boat *fleet.Boat, crew []CrewPlace, but int) (LastSetup, error) {
	rest := withoutSeat(crew, but)
	return s.lastSheet(ctx, boat, func(then []CrewPlace) bool { return sameCrew(withoutSeat(then, but), rest) })
}

func withoutSeat(crew []CrewPlace, seat int) []CrewPlace {
	return slices.DeleteFunc(slices.Clone(crew), func(c CrewPlace) bool { return c.Seat == seat })
}

// lastSheet returns how the boat stood after the newest finished sheet for a crew.
func (s *Service) lastSheet(ctx context.Context, boat *fleet.Boat, fits func([]CrewPlace) bool) (LastSetup, error) {
	sheets, err := s.Store.Sheets(ctx, store.SheetFilter{BoatID: boat.ID})
	if err != nil {
		return LastSetup{}, records.RecordError(err)
	}
	slices.SortStableFunc(sheets, func(a, b store.Sheet) int { return cmp.Compare(b.DoneAt.UnixNano(), a.DoneAt.UnixNano()) })
	for i := range sheets {
		h := &sheets[i]
		if h.DoneAt.IsZero() {
			continue
		}
		crew, err := keptList[CrewPlace](h.Crew)
		if err != nil {
			return LastSetup{}, fmt.Errorf("sheet %d: reading the crew: %w", h.ID, err)
		}
		if len(crew) > 0 && fits(crew) {
			w := LastSetup{SheetID: h.ID, DoneBy: h.DoneBy, DoneAt: moment(h.DoneAt), CatchDeg: h.TargetCatchDeg, FinishDeg: h.TargetFinishDeg}
			err := s.rigThen(ctx, boat, crew, &w)
			return w, err
		}
	}
	return LastSetup{}, nil
}

// sameCrew reports whether the same athletes sit in the same seats; guests are nobody
// that is known again.
func sameCrew(a, b []CrewPlace) bool {
	if len(a) != len(b) {
		return false
	}
	for _, c := range a {
		if c.AthleteID == nil || !slices.ContainsFunc(b, func(o CrewPlace) bool {
			return o.Seat == c.Seat && o.AthleteID != nil && *o.AthleteID == *c.AthleteID
		}) {
			return false
		}
	}
	return true
}

// changedAfter reports whether a change of the rig came after a sheet was finished: by
// the order of the history where the sheet has changed something, since a clock can be
// set, and by the moment otherwise. The history is the newest first.
func changedAfter(c *store.RigChange, history []store.RigChange, w *LastSetup) bool {
	own := slices.IndexFunc(history, func(o store.RigChange) bool { return o.SheetID != nil && *o.SheetID == w.SheetID })
	if own < 0 {
		return c.At.After(*w.DoneAt)
	}
	return c.ID > history[own].ID
}

// rigThen fills in how the crew's seats stood when the sheet was finished: the rig
// of today with every later change taken back.
func (s *Service) rigThen(ctx context.Context, boat *fleet.Boat, crew []CrewPlace, w *LastSetup) error {
	history, err := s.Store.RigHistory(ctx, boat.ID, store.RigFilter{})
	if err != nil {
		return records.RecordError(err)
	}
	type at struct {
		seat    int
		setting string
	}
	undone := map[at]*float64{}
	for i := range history { // newest first
		if c := &history[i]; changedAfter(c, history, w) {
			undone[at{c.Seat, c.Setting}] = c.FromValue
		}
	}
	for _, place := range crew {
		if place.Seat > len(boat.Seats) {
			continue
		}
		seat := &boat.Seats[place.Seat-1].Seat
		for _, name := range boat.Settings() {
			now := seat.Setting(name)
			then, changed := undone[at{place.Seat, name}]
			if !changed {
				then = now
			}
			if then == nil {
				continue
			}
			w.Rig = append(w.Rig, fleet.RigSetting{Seat: place.Seat, Setting: name, Value: then})
			if now == nil || *now != *then {
				w.Differs++
			}
		}
	}
	return nil
}
