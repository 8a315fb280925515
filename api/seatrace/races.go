package seatrace

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"thole/api/clock"
	"thole/api/directory"
	"thole/api/records"
	"thole/api/schedule"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// Race is a seat race on record. Inside it athletes go by their names, which
// are made different where two share one.
type Race struct {
	ID        int64              `json:"id"`
	Version   int64              `json:"version" description:"To be sent with every change."`
	Name      string             `json:"name"`
	HeldOn    string             `json:"held_on" description:"Day, year-month-day."`
	BoatClass string             `json:"boat_class"`
	DistanceM float64            `json:"distance_m"`
	Note      string             `json:"note"`
	Archived  bool               `json:"archived"`
	Terms     schedule.RaceTerms `json:"terms"`
	Athletes  []RaceAthlete      `json:"athletes" description:"By name."`
	Pieces    []RacePiece        `json:"pieces" description:"By number."`
}

// RaceAthlete is an athlete who takes part.
type RaceAthlete struct {
	AthleteID int64  `json:"athlete_id"`
	Name      string `json:"name"`
	Label     string `json:"label" description:"The name in short; no other athlete has it."`
	Side      string `json:"side" validate:"omitempty,oneof=port starboard" description:"Empty for a sculler, or one who rows both."`
	Guest     bool   `json:"guest" description:"Known from seat races only."`

	called directory.Athlete
}

// Directory finds the athletes of the race by what people call them.
func (t *Race) Directory() *directory.Book {
	people := make([]directory.Athlete, len(t.Athletes))
	for i := range t.Athletes {
		people[i] = t.Athletes[i].called
	}
	return directory.NewBook(people)
}

// RacePiece is one piece, planned or raced.
type RacePiece struct {
	Number      int        `json:"number" description:"From 1."`
	State       string     `json:"state" enum:"planned,raced,abandoned"`
	RerunOf     *int       `json:"rerun_of" description:"Number of the piece that this one repeats."`
	Crews       [][]string `json:"crews"`
	TimesS      []*float64 `json:"times_s" description:"A time a boat; null where there is none."`
	MarginsOnly bool       `json:"margins_only" description:"No clock was read: the first boat has the expected time."`
	Note        string     `json:"note"`
	EnteredBy   string     `json:"entered_by"`
	EnteredAt   string     `json:"entered_at" description:"RFC 3339; empty while planned."`
	Moved       []string   `json:"moved" description:"Who came from another boat or from ashore since the piece before."`
}

// RaceSummary is a seat race in a list.
type RaceSummary struct {
	ID        int64   `json:"id"`
	Version   int64   `json:"version"`
	Name      string  `json:"name"`
	HeldOn    string  `json:"held_on"`
	BoatClass string  `json:"boat_class"`
	DistanceM float64 `json:"distance_m"`
	Archived  bool    `json:"archived"`
}

// RaceList lists seat races, the latest first.
type RaceList struct {
	Races []RaceSummary `json:"seat_races"`
}

// RaceContent is what a coach states of a seat race.
type RaceContent struct {
	Name      string               `json:"name" validate:"filled,max=80" say:"Give the seat race a name, such as the day and the boats."`
	HeldOn    string               `json:"held_on,omitempty" validate:"omitempty,day" description:"Day, year-month-day; left out, today."`
	BoatClass string               `json:"boat_class" validate:"required,boatclass"`
	DistanceM *float64             `json:"distance_m,omitempty" validate:"omitempty,gte=100,lte=10000" default:"1000"`
	Note      string               `json:"note,omitempty" validate:"omitempty,max=2000"`
	Terms     *schedule.RaceTerms  `json:"terms,omitempty"`
	Athletes  []RaceParticipant    `json:"athletes" validate:"required,min=2,max=60"`
	Pieces    []RaceScheduledPiece `json:"pieces,omitempty" validate:"omitempty,max=200" description:"Pieces still to be raced. In a change they replace those that have no result yet."`
	By        string               `json:"by,omitempty" validate:"omitempty,max=80" description:"Who says so."`
}

// RaceParticipant names an athlete who takes part: by id, or by name. A name
// that is not on record is kept as a guest's.
type RaceParticipant struct {
	AthleteID *int64 `json:"athlete_id,omitempty" validate:"omitempty,gte=0"`
	Name      string `json:"name,omitempty" validate:"omitempty,max=80" description:"How the athlete is called in this request's crews; with an id it may be left out."`
	Side      string `json:"side,omitempty" validate:"omitempty,oneof=port starboard"`
}

// RaceScheduledPiece is a piece still to be raced.
type RaceScheduledPiece struct {
	Number  *int       `json:"number,omitempty" validate:"omitempty,gte=0" description:"As read: of a piece that has a result, it leaves that piece as it is; of others it says nothing, since pieces stand in their order."`
	Crews   [][]string `json:"crews" validate:"required,max=12,dive,max=9,dive,max=200" description:"A crew a boat, bow first where seats are fixed."`
	RerunOf *int       `json:"rerun_of,omitempty" validate:"omitempty,gte=0" description:"Number of the piece that this one repeats."`
	Note    string     `json:"note,omitempty" validate:"omitempty,max=2000"`
}

// CreateRaceRequest puts a race on record.
type CreateRaceRequest struct{ RaceContent }

// ChangeRaceRequest changes a race. Results stay as they are.
type ChangeRaceRequest struct {
	ID       int64 `path:"id" json:"-" validate:"gte=1"`
	Version  int64 `json:"version" validate:"required,gte=0" description:"Of the seat race as it was read."`
	Archived bool  `json:"archived,omitempty"`
	RaceContent
}

// PieceResultRequest enters the result of one piece. Of times_s, margins_s and
// typed one is given. Sending it again with the same key counts once.
type PieceResultRequest struct {
	ID       int64      `path:"id" json:"-" validate:"gte=1"`
	Number   int        `path:"number" json:"-" validate:"gte=1" description:"From 1; one more than there are adds a piece that was not planned."`
	Key      string     `json:"key" validate:"filled,max=80" say:"An entry needs a key, so that sending it twice counts once." description:"Chosen by the sender, one an entry, and sent again with every attempt."`
	Version  *int64     `json:"version,omitempty" validate:"omitempty,gte=0" description:"Of the seat race, to set right a piece that has a result; left out for a first result."`
	State    string     `json:"state,omitempty" validate:"omitempty,oneof=planned raced abandoned" default:"raced" description:"planned takes a result back."`
	Crews    [][]string `json:"crews,omitempty" validate:"omitempty,max=12,dive,max=9,dive,max=200" description:"Left out, those that were planned."`
	TimesS   []*float64 `json:"times_s,omitempty" validate:"omitempty,max=12,dive,omitempty,gte=0,lte=100000" description:"A time a boat; null for one that did not finish."`
	MarginsS []*float64 `json:"margins_s,omitempty" validate:"omitempty,max=12,dive,omitempty,gte=0,lte=100000" description:"Seconds behind the first boat, 0 for that one, null for one that did not finish."`
	Typed    []string   `json:"typed,omitempty" validate:"omitempty,max=12,dive,max=40" description:"As people type it: 3:02.4, 3.02,4, 182.4, +1.2, level, dnf."`
	RerunOf  *int       `json:"rerun_of,omitempty" validate:"omitempty,gte=0"`
	Note     string     `json:"note,omitempty" validate:"omitempty,max=2000"`
	By       string     `json:"by,omitempty" validate:"omitempty,max=80" description:"Who took the times."`

	TimesChecked bool `json:"times_checked,omitempty" description:"The times stand, however far they are from one another and from those of the other pieces."`
}

// Races lists races.
func (s *Service) Races(ctx context.Context, r records.ListRequest) (RaceList, error) {
	list, err := s.Store.SeatRaces(store.Paged(ctx), r.Filter())
	if err != nil {
		return RaceList{}, records.RecordError(err)
	}
	a := RaceList{Races: make([]RaceSummary, len(list))}
	for i, t := range list {
		a.Races[i] = RaceSummary{t.ID, t.Version, t.Name, t.HeldOn, t.ClassCode, t.DistanceM, t.Archived}
	}
	return a, nil
}

// Race returns one race. The error is ErrNotFound.
func (s *Service) Race(ctx context.Context, r records.IDRequest) (Race, error) {
	t, names, err := s.raceNamed(ctx, r.ID)
	if err != nil {
		return Race{}, err
	}
	return wireRace(t, names)
}

// CreateRace puts a race on record. The error is an *Invalid.
func (s *Service) CreateRace(ctx context.Context, r CreateRaceRequest) (Race, error) {
	guests, make, err := s.raceFrom(ctx, &r.RaceContent, nil)
	if err != nil {
		return Race{}, err
	}
	id, err := s.Store.AddSeatRace(ctx, guests, make, s.Signed(r.By))
	if err != nil {
		return Race{}, records.RecordError(err)
	}
	return s.Race(ctx, records.IDRequest{ID: id})
}

// ChangeRace changes what is stated of a race and the pieces without a
// result. The error is an *Invalid, a *Conflict or ErrNotFound.
func (s *Service) ChangeRace(ctx context.Context, r ChangeRaceRequest) (Race, error) {
	old, err := s.Store.SeatRace(ctx, r.ID)
	if err != nil {
		return Race{}, records.RecordError(err)
	}
	guests, make, err := s.raceFrom(ctx, &r.RaceContent, &old)
	if err != nil {
		return Race{}, err
	}
	changed := func(ids []int64) (store.SeatRace, error) {
		t, err := make(ids)
		t.ID, t.Version, t.Archived = r.ID, r.Version, r.Archived
		return t, err
	}
	if _, err := s.Store.UpdateSeatRace(ctx, guests, changed, s.Signed(r.By)); err != nil {
		return Race{}, records.RecordError(err)
	}
	return s.Race(ctx, records.IDRequest{ID: r.ID})
}

// RemoveRace deletes a race with its results, and the guests whom no other
// race knows. The error is ErrNotFound.
func (s *Service) RemoveRace(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Gone(r.ID, s.Store.DeleteSeatRace(ctx, r.ID))
}

// RaceChanges is the history of a race, with athletes by name.
func (s *Service) RaceChanges(ctx context.Context, r records.ChangesRequest) (records.Changes, error) {
	_, names, err := s.raceNamed(ctx, r.ID)
	if err != nil {
		return records.Changes{}, err
	}
	list, err := s.Changes(ctx, store.SeatRaceRecord, r)
	for i := range list.Changes {
		names.explain(&list.Changes[i])
	}
	return list, err
}

// RecordPiece enters or sets right the result of a piece. The error is an
// *Invalid, a *Conflict, ErrNotFound or store.ErrKeyReused.
func (s *Service) RecordPiece(ctx context.Context, r PieceResultRequest) (Race, error) {
	t, names, err := s.raceNamed(ctx, r.ID)
	if err != nil {
		return Race{}, err
	}
	piece, err := r.piece(t, names)
	if err != nil {
		return Race{}, err
	}
	e := store.PieceEntry{Piece: *piece, Key: r.Key, Version: wire.Or(r.Version, 0)}
	if _, err := s.Store.RecordPiece(ctx, r.ID, e, s.Signed(r.By)); err != nil {
		return Race{}, records.RecordError(err)
	}
	return s.Race(ctx, records.IDRequest{ID: r.ID})
}

// piece reads a result and holds it against the race.
func (r *PieceResultRequest) piece(t *store.SeatRace, names *roster) (*store.Piece, error) {
	var p wire.Problems
	p.Check(wire.At(), r)
	there := pieceOf(t, r.Number)
	if r.Number < 1 || there == nil && r.Number != len(t.Pieces)+1 {
		return nil, fmt.Errorf("%w: piece %d", wire.ErrNotFound, r.Number)
	}
	out := store.Piece{Number: r.Number, State: cmp.Or(r.State, store.Raced), RerunOf: r.RerunOf, Note: strings.TrimSpace(r.Note)}
	if there != nil && r.RerunOf == nil {
		out.RerunOf = there.RerunOf
	}
	if out.RerunOf != nil && (*out.RerunOf == r.Number || pieceOf(t, *out.RerunOf) == nil) {
		p.Add(wire.At("rerun_of").Problem("There is no such other piece."))
	}
	out.Boats = r.boats(&p, there, names)
	terms, err := termsOf(t)
	if err != nil {
		return nil, err
	}
	if r.Crews != nil && len(p.Fields) == 0 {
		class, _ := rigging.ClassByCode(t.ClassCode)
		checkSizes(&p, class, &out, there, names)
	}
	at := r.enter(&p, &out, terms.ExpectedTimeS)
	if err := p.OrNil(); err != nil {
		return nil, err
	}
	if err := checkPiece(t, &out, names); err != nil {
		return nil, err
	}
	return &out, r.doubt(t, &out, at)
}

// boats seats the crews sent in, or those that were planned.
func (r *PieceResultRequest) boats(p *wire.Problems, there *store.Piece, names *roster) []store.PieceBoat {
	if r.Crews != nil {
		return names.boats(p, wire.At("crews"), r.Crews)
	}
	if there == nil {
		p.Add(wire.At("crews").Problem("This piece was not planned: say who rowed in which boat."))
		return nil
	}
	boats := make([]store.PieceBoat, len(there.Boats))
	for i, b := range there.Boats {
		boats[i].Crew = b.Crew
	}
	return boats
}

// enter puts the times of a raced piece into its boats, and returns where in the
// request they stand; about is the time in s that is expected.
func (r *PieceResultRequest) enter(p *wire.Problems, out *store.Piece, about float64) (at wire.Place) {
	switch out.State {
	case store.Planned, store.Abandoned:
		return at
	case store.Raced:
	default:
		p.Add(wire.At("state").Problem("Say planned, raced or abandoned."))
		return at
	}
	at = wire.At("times_s")
	times, margins := r.TimesS, r.MarginsS
	switch {
	case r.Typed != nil:
		at = wire.At("typed")
		times, margins = clock.Read(p, at, r.Typed, about)
	case times == nil && margins != nil:
		at = wire.At("margins_s")
	}
	if n := max(len(times), len(margins)); n != len(out.Boats) {
		p.Add(at.Problem(fmt.Sprintf("There are %d times or margins for %d boats.", n, len(out.Boats))))
		return at
	}
	if times == nil {
		out.MarginsOnly = true
		times = clockless(p, at, margins, about)
	}
	seatTimes(p, at, out, times)
	return at
}

// clockless puts margins on the expected time.
func clockless(p *wire.Problems, at wire.Place, margins []*float64, about float64) []*float64 {
	times := make([]*float64, len(margins))
	for b, m := range margins {
		switch {
		case m == nil:
		case *m < 0 || *m > clock.MaxMargin:
			p.Add(at.Item(b).Problem(fmt.Sprintf("A margin is the seconds behind the first boat, 0 to %d.", clock.MaxMargin)))
		default:
			times[b] = wire.Ptr(wire.ToSeconds(about + *m))
		}
	}
	return times
}

// seatTimes enters the times; a race has one at the least.
func seatTimes(p *wire.Problems, at wire.Place, out *store.Piece, times []*float64) {
	finished := 0
	for b, t := range times {
		switch {
		case t == nil:
			continue
		case !(*t > 0):
			p.Add(at.Item(b).Problem("A time is above 0 s; leave it empty for a boat that did not finish."))
		}
		out.Boats[b].TimeS = t
		finished++
	}
	if finished == 0 {
		p.Add(at.Problem("No boat finished: enter the piece as abandoned."))
	}
}

// pieceOf returns the piece with the number, nil when there is none.
func pieceOf(t *store.SeatRace, number int) *store.Piece {
	i := slices.IndexFunc(t.Pieces, func(p store.Piece) bool { return p.Number == number })
	if i < 0 {
		return nil
	}
	return &t.Pieces[i]
}

// storedTerms are the terms as they are kept: athletes by id, so that they
// survive a new name.
type storedTerms struct {
	schedule.RaceTerms
	Pairs   [][2]int64        `json:"pairs,omitempty"`
	PriorSd *float64          `json:"prior_sd_s,omitempty"`
	Means   map[int64]float64 `json:"prior_means_s,omitempty"`
	Sds     map[int64]float64 `json:"prior_sds_s,omitempty"`
	Held    bool              `json:"prior_held,omitempty"`
}

// termsOf returns the terms of a seat race without names, the usual ones where
// they were never stated. Terms on record that cannot be read are an error:
// judged on others, the race would show something else.
func termsOf(t *store.SeatRace) (storedTerms, error) {
	terms := storedTerms{RaceTerms: schedule.UsualTerms(t.ClassCode, t.DistanceM)}
	if t.Terms == nil {
		return terms, nil
	}
	if err := json.Unmarshal([]byte(*t.Terms), &terms); err != nil {
		return terms, &unreadableTerms{t.Name, err}
	}
	return terms, nil
}

// unreadableTerms is the error of a seat race whose terms on record cannot be
// read.
type unreadableTerms struct {
	name string
	err  error
}

func (e *unreadableTerms) Error() string {
	return fmt.Sprintf("the terms of the seat race %q on record cannot be read: %v", e.name, e.err)
}

func (e *unreadableTerms) Unwrap() error { return e.err }

// Problem answers 409: the record stands in the way until its terms are stated
// again.
func (e *unreadableTerms) Problem() wire.Problem {
	return wire.Problem{Status: http.StatusConflict, Detail: "The terms of “" + e.name + "” on record cannot be read. Its results are untouched; sent with its terms again, the seat race is whole."}
}

// wire names the athletes of the terms.
func (w *storedTerms) wire(names *roster) schedule.RaceTerms {
	terms := w.RaceTerms
	terms.Pairs = [][]string{}
	for _, pair := range w.Pairs {
		terms.Pairs = append(terms.Pairs, []string{names.name[pair[0]], names.name[pair[1]]})
	}
	terms.Prior = nil
	if w.Held {
		terms.Prior = &schedule.SeatRacePrior{SdS: w.PriorSd, MeansS: map[string]*float64{}, SdsS: map[string]*float64{}}
		for id, v := range w.Means {
			terms.Prior.MeansS[names.name[id]] = &v
		}
		for id, v := range w.Sds {
			terms.Prior.SdsS[names.name[id]] = &v
		}
	}
	return terms
}

// wireRace writes a race with its athletes by name.
func wireRace(t *store.SeatRace, names *roster) (Race, error) {
	terms, err := termsOf(t)
	if err != nil {
		return Race{}, err
	}
	a := Race{
		ID: t.ID, Version: t.Version, Name: t.Name, HeldOn: t.HeldOn, BoatClass: t.ClassCode, DistanceM: t.DistanceM,
		Note: t.Note, Archived: t.Archived, Terms: terms.wire(names), Athletes: []RaceAthlete{}, Pieces: make([]RacePiece, len(t.Pieces)),
	}
	for _, x := range t.Athletes {
		called := names.called[x.AthleteID]
		a.Athletes = append(a.Athletes, RaceAthlete{AthleteID: x.AthleteID, Name: called.Whole, Label: called.Label, Side: x.Side, Guest: names.guest[x.AthleteID], called: called})
	}
	slices.SortFunc(a.Athletes, func(x, y RaceAthlete) int { return cmp.Compare(x.Name, y.Name) })
	for i := range t.Pieces {
		a.Pieces[i] = wirePiece(&t.Pieces[i], names)
		if i > 0 {
			a.Pieces[i].Moved, _ = schedule.Moves(a.Pieces[i-1].Crews, a.Pieces[i].Crews)
		}
	}
	return a, nil
}

func wirePiece(p *store.Piece, names *roster) RacePiece {
	a := RacePiece{
		Number: p.Number, State: p.State, RerunOf: p.RerunOf, Crews: names.crews(p), TimesS: []*float64{}, Moved: []string{},
		MarginsOnly: p.MarginsOnly, Note: p.Note, EnteredBy: p.EnteredBy,
	}
	for _, b := range p.Boats {
		a.TimesS = append(a.TimesS, b.TimeS)
	}
	if !p.EnteredAt.IsZero() {
		a.EnteredAt = p.EnteredAt.Format(time.RFC3339)
	}
	return a
}
