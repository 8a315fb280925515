package seatrace

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"thole/api/directory"
	"thole/api/records"
	"thole/api/schedule"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection"
	"thole/selection/seatrace"
)

// roster knows the athletes of a race by name and by id.
type roster struct {
	name   map[int64]string
	called map[int64]directory.Athlete
	book   *directory.Book
	guest  map[int64]bool
	side   map[int64]string
	coxes  *directory.Book // who cox and do not row; nil for nobody
}

// everybody lists the athletes on record, guests and archived ones included.
func (s *Service) everybody(ctx context.Context) ([]store.Athlete, error) {
	list, err := s.Store.Athletes(ctx, store.Filter{Archived: true})
	return list, records.RecordError(err)
}

// raceNamed reads a race and names its athletes.
func (s *Service) raceNamed(ctx context.Context, id int64) (*store.SeatRace, *roster, error) {
	t, err := s.Store.SeatRace(ctx, id)
	if err != nil {
		return nil, nil, records.RecordError(err)
	}
	all, err := s.everybody(ctx)
	if err != nil {
		return nil, nil, err
	}
	return &t, newRoster(t.Athletes, all), nil
}

func newRoster(athletes []store.SeatRaceAthlete, all []store.Athlete) *roster {
	r := &roster{name: map[int64]string{}, called: map[int64]directory.Athlete{}, guest: map[int64]bool{}, side: map[int64]string{}}
	for _, a := range athletes {
		r.side[a.AthleteID] = a.Side
	}
	var racing []directory.Athlete
	for _, a := range directory.Of(all) {
		if _, races := r.side[a.ID]; races {
			a.Archived = false // who races counts as one of the others
			r.name[a.ID], r.called[a.ID] = a.Whole, a
			racing = append(racing, a)
		}
	}
	r.book, r.coxes = directory.NewBook(racing), coxesOf(all)
	for i := range all {
		r.guest[all[i].ID] = all[i].Guest
	}
	return r
}

// crews names the crews of a piece.
func (r *roster) crews(p *store.Piece) [][]string {
	list := make([][]string, len(p.Boats))
	for b := range p.Boats {
		list[b] = []string{}
		for _, id := range p.Boats[b].Crew {
			list[b] = append(list[b], r.name[id])
		}
	}
	return list
}

// find returns the athlete of a name; why says what is wrong with one that finds
// nobody, or several.
func (r *roster) find(name string) (id int64, why string) {
	switch found := r.book.Find(name); len(found) {
	case 0:
		if r.coxes != nil {
			if coxes := r.coxes.Find(name); len(coxes) > 0 {
				return 0, CoxText(coxes[0].Whole)
			}
		}
		return 0, "“" + name + "” does not take part in this seat race."
	case 1:
		return found[0].ID, ""
	default:
		return 0, directory.WhichOne(name, found)
	}
}

// boats seats crews given by name.
func (r *roster) boats(p *wire.Problems, at wire.Place, crews [][]string) []store.PieceBoat {
	boats := make([]store.PieceBoat, len(crews))
	for b, crew := range crews {
		for i, name := range crew {
			id, why := r.find(name)
			if why != "" {
				p.Add(at.Item(b).Item(i).Problem(why))
			}
			boats[b].Crew = append(boats[b].Crew, id)
		}
	}
	return boats
}

// explain writes names for numbers in an entry of the history.
func (r *roster) explain(c *wire.RecordChange) {
	if name := r.name[c.AthleteID]; name != "" {
		c.Athlete, c.What = name, c.Field+" of "+name
	}
	if c.Field == "crew" {
		c.From, c.To = r.spell(c.From), r.spell(c.To)
	}
	if c.Field == "terms" {
		c.From, c.To = nil, nil
	}
}

// spell names the athletes of a crew kept as numbers.
func (r *roster) spell(crew *string) *string {
	if crew == nil {
		return nil
	}
	names := strings.Fields(*crew)
	for i, number := range names {
		if id, err := strconv.ParseInt(number, 10, 64); err == nil && r.name[id] != "" {
			names[i] = r.name[id]
		}
	}
	return wire.Ptr(strings.Join(names, ", "))
}

// raceFrom reads what a coach states of a race: the guests, who are not on record,
// and how the race is made once they are. Pieces of old that have a result stay.
func (s *Service) raceFrom(ctx context.Context, c *RaceContent, old *store.SeatRace) ([]store.Athlete, store.MakeSeatRace, error) {
	class, err := seat.ClassOf(c.BoatClass)
	if err != nil {
		return nil, nil, err
	}
	var p wire.Problems
	c.check(&p)
	all, err := s.everybody(ctx)
	if err != nil {
		return nil, nil, err
	}
	squad := c.squad(&p, all)
	if c.HeldOn == "" {
		c.HeldOn = s.Today()
	}
	if _, err := time.Parse(wire.DayLayout, c.HeldOn); err != nil {
		p.Add(wire.At("held_on").Problem("Write the day as year-month-day, such as " + s.Today() + "."))
	}
	c.checkCrews(&p, class, squad)
	if err := p.OrNil(); err != nil {
		return nil, nil, err
	}
	guests := guestsOf(squad, class)
	make := func(ids []int64) (store.SeatRace, error) {
		next := 0
		for i := range squad {
			if squad[i].id == 0 {
				squad[i].id = ids[next]
				next++
			}
		}
		return c.assemble(squad, old)
	}
	return guests, make, nil
}

// check looks at the plain values.
func (c *RaceContent) check(p *wire.Problems) {
	if n := len(c.Athletes); n < 2 || n > schedule.MaxAthletes {
		p.Add(wire.At("athletes").Problem(fmt.Sprintf("A seat race has from 2 to %d athletes.", schedule.MaxAthletes)))
	}
	schedule.BoundPieces(p, wire.At("pieces"), len(c.Pieces))
	p.Check(wire.At(), c)
}

// squadMember is one athlete of a race as stated; id 0 is one not on record yet.
type squadMember struct {
	id         int64
	name, side string
	called     directory.Athlete
}

// squad finds the athletes on record.
func (c *RaceContent) squad(p *wire.Problems, all []store.Athlete) []squadMember {
	names := directory.Of(all)
	book, onRecord := directory.NewBook(names), map[int64]directory.Athlete{}
	coxing := map[int64]bool{}
	for i, a := range names {
		onRecord[a.ID], coxing[a.ID] = a, coxesOnly(&all[i])
	}
	squad := make([]squadMember, len(c.Athletes))
	seen := map[string]bool{}
	for i, a := range c.Athletes {
		field := wire.At("athletes").Item(i)
		m := &squad[i]
		m.name, m.side = strings.TrimSpace(a.Name), a.Side
		if a.AthleteID != nil {
			m.id = *a.AthleteID
			if onRecord[m.id].Whole == "" {
				p.Add(field.Name("athlete_id").Problem("There is no such athlete."))
			}
		} else {
			p.Name(field.Name("name"), m.name, "Name the athlete.")
			m.id = findAthlete(p, field, m.name, book)
		}
		if m.called = onRecord[m.id]; coxing[m.id] {
			p.Add(field.Name("name").Problem(CoxText(m.called.Whole)))
		}
		if m.id == 0 {
			m.called = directory.Named(0, m.name)
		}
		if m.name = cmp.Or(m.name, m.called.Whole); m.side != "" && !isSide(m.side) {
			p.Add(field.Name("side").Problem("Say port or starboard, or leave it out."))
		}
		if key := store.NameKey(m.called.Whole); seen[key] {
			p.Add(field.Name("name").Problem(m.name + " is in the squad twice."))
		} else {
			seen[key] = true
		}
	}
	return squad
}

func isSide(name string) bool { _, ok := rigging.ParseSide(name); return ok }

// findAthlete looks a name up, 0 when nobody has it.
func findAthlete(p *wire.Problems, at wire.Place, name string, book *directory.Book) int64 {
	found := book.FindFull(name)
	if len(found) > 1 {
		p.Add(at.Name("name").Problem(directory.WhichOne(name, found)))
	}
	if len(found) == 1 {
		return found[0].ID
	}
	return 0
}

// bookOf finds the members of a squad, by their places in it.
func bookOf(squad []squadMember) *roster {
	r := &roster{name: map[int64]string{}}
	people := make([]directory.Athlete, len(squad))
	for i := range squad {
		people[i], r.name[int64(i)] = squad[i].called, squad[i].name
		people[i].ID, people[i].Archived = int64(i), false
	}
	r.book = directory.NewBook(people)
	return r
}

// checkCrews holds the planned crews against the squad and the boats.
func (c *RaceContent) checkCrews(p *wire.Problems, class rigging.Class, squad []squadMember) {
	if len(c.Pieces) == 0 {
		return
	}
	var athletes []selection.Athlete
	for _, m := range squad {
		athletes = append(athletes, selection.Athlete{ID: m.name, SideCost: schedule.SideCosts(m.side)})
	}
	names := bookOf(squad)
	pieces := make([]selection.Piece, len(c.Pieces))
	for i, piece := range c.Pieces {
		for _, boat := range names.boats(p, wire.At("pieces").Item(i).Name("crews"), piece.Crews) {
			var crew []string
			for _, member := range boat.Crew {
				crew = append(crew, names.name[member])
			}
			pieces[i].Crews = append(pieces[i].Crews, crew)
		}
	}
	if len(p.Fields) > 0 {
		return
	}
	setup := seatrace.Setup{Athletes: athletes, Class: class, Boats: len(c.Pieces[0].Crews), NoiseSD: 1}
	if _, err := seatrace.Evaluate(pieces, setup); err != nil {
		schedule.AddDetails(p, err)
	}
}

// guestsOf lists the athletes who are not on record, in the order of the squad.
func guestsOf(squad []squadMember, class rigging.Class) []store.Athlete {
	var guests []store.Athlete
	for _, m := range squad {
		if m.id != 0 {
			continue
		}
		a := store.Athlete{Name: m.name, Sculls: class.Scull, Guest: true, Archived: true}
		if !class.Scull {
			costs := schedule.SideCosts(m.side)
			a.PortCostS, a.StarboardCostS = costOf(costs, rigging.Port), costOf(costs, rigging.Starboard)
		}
		guests = append(guests, a)
	}
	return guests
}

func costOf(costs map[rigging.Side]float64, side rigging.Side) *float64 {
	if cost, ok := costs[side]; ok {
		return &cost
	}
	return nil
}

// assemble makes the record. Pieces with a result keep their numbers where they
// can, the planned ones take those that are free.
func (c *RaceContent) assemble(squad []squadMember, old *store.SeatRace) (store.SeatRace, error) {
	t := store.SeatRace{Name: strings.TrimSpace(c.Name), HeldOn: c.HeldOn, ClassCode: c.BoatClass, DistanceM: wire.Or(c.DistanceM, schedule.DefaultDistance), Note: c.Note}
	var people []directory.Athlete
	for _, m := range squad {
		t.Athletes = append(t.Athletes, store.SeatRaceAthlete{AthleteID: m.id, Side: m.side})
		m.called.ID, m.called.Archived = m.id, false
		people = append(people, m.called)
	}
	names := &roster{book: directory.NewBook(people)}
	var p wire.Problems
	var done, planned []store.Piece
	var renumbered map[int]int
	if old != nil {
		done, renumbered = raced(old, c.stillPlanned(old))
	}
	for i, piece := range c.Pieces {
		if piece.stays(old) {
			continue
		}
		boats := names.boats(&p, wire.At("pieces").Item(i).Name("crews"), piece.Crews)
		again := piece.RerunOf
		if again != nil && renumbered[*again] > 0 {
			again = wire.Ptr(renumbered[*again])
		}
		planned = append(planned, store.Piece{State: store.Planned, RerunOf: again, Note: piece.Note, Boats: boats})
	}
	t.Pieces = interleave(done, planned)
	keepRacers(&p, &t)
	for i, piece := range t.Pieces {
		if r := piece.RerunOf; r != nil && (*r == piece.Number || pieceOf(&t, *r) == nil) {
			p.Add(wire.At("pieces").Item(i).Name("rerun_of").Problem("There is no such other piece."))
		}
	}
	terms, err := c.keep(&p, names)
	if err != nil {
		return store.SeatRace{}, err
	}
	t.Terms = terms
	return t, p.OrNil()
}

// stays reports whether a piece of a request is one of old that has a result, and
// names it by its number: it was read there.
func (p *RaceScheduledPiece) stays(old *store.SeatRace) bool {
	if old == nil || p.Number == nil {
		return false
	}
	there := pieceOf(old, *p.Number)
	return there != nil && there.State != store.Planned
}

// stillPlanned counts the pieces that are to be raced.
func (c *RaceContent) stillPlanned(old *store.SeatRace) (n int) {
	for _, piece := range c.Pieces {
		if !piece.stays(old) {
			n++
		}
	}
	return n
}

// raced lists the pieces that have a result. Their numbers stay unless that
// would leave gaps among n pieces; renumbered tells each one's number now.
func raced(old *store.SeatRace, planned int) (list []store.Piece, renumbered map[int]int) {
	for _, piece := range old.Pieces {
		if piece.State != store.Planned {
			list = append(list, piece)
		}
	}
	renumbered = map[int]int{}
	compact := len(list) > 0 && list[len(list)-1].Number > len(list)+planned
	for i := range list {
		number := list[i].Number
		if compact {
			list[i].Number = i + 1
		}
		renumbered[number] = list[i].Number
	}
	for i := range list {
		if r := list[i].RerunOf; r != nil && renumbered[*r] > 0 {
			list[i].RerunOf = wire.Ptr(renumbered[*r])
		} else {
			list[i].RerunOf = nil
		}
	}
	return list, renumbered
}

// interleave puts planned pieces into the numbers that are free.
func interleave(raced, planned []store.Piece) []store.Piece {
	var list []store.Piece
	for len(raced)+len(planned) > 0 {
		next := len(list) + 1
		if len(raced) > 0 && (raced[0].Number == next || len(planned) == 0) {
			list, raced = append(list, raced[0]), raced[1:]
			continue
		}
		planned[0].Number = next
		list, planned = append(list, planned[0]), planned[1:]
	}
	return list
}

// keepRacers complains when somebody who has raced is left out of the squad.
func keepRacers(p *wire.Problems, t *store.SeatRace) {
	for _, piece := range t.Pieces {
		for _, b := range piece.Boats {
			for _, id := range b.Crew {
				if !slices.ContainsFunc(t.Athletes, func(a store.SeatRaceAthlete) bool { return a.AthleteID == id }) {
					p.Add(wire.At("athletes").Problem("Somebody who has already raced is missing from the squad."))
				}
			}
		}
	}
}

// keep writes the terms as they are stored.
func (c *RaceContent) keep(p *wire.Problems, names *roster) (*string, error) {
	terms := storedTerms{RaceTerms: schedule.UsualTerms(c.BoatClass, wire.Or(c.DistanceM, schedule.DefaultDistance))}
	if c.Terms != nil {
		terms.RaceTerms = *c.Terms
		terms.pairIDs(p, names)
		terms.priorIDs(p, names)
	}
	terms.RaceTerms.Pairs, terms.RaceTerms.Prior = nil, nil
	text, err := json.Marshal(terms)
	if err != nil {
		return nil, err
	}
	return wire.Ptr(string(text)), nil
}

func (w *storedTerms) pairIDs(p *wire.Problems, names *roster) {
	for i, pair := range w.RaceTerms.Pairs {
		field := wire.At("terms", "pairs").Item(i)
		if len(pair) != 2 {
			p.Add(field.Problem("A pair is two athletes."))
			continue
		}
		first, why1 := names.find(pair[0])
		second, why2 := names.find(pair[1])
		if why := cmp.Or(why1, why2); why != "" || first == second {
			p.Add(field.Problem("A pair is two athletes of this seat race."))
		}
		w.Pairs = append(w.Pairs, [2]int64{first, second})
	}
}

func (w *storedTerms) priorIDs(p *wire.Problems, names *roster) {
	prior := w.RaceTerms.Prior
	if prior == nil {
		return
	}
	w.Held, w.PriorSd, w.Means, w.Sds = true, prior.SdS, map[int64]float64{}, map[int64]float64{}
	if prior.SdS != nil && !(*prior.SdS > 0) {
		p.Add(wire.At("terms", "prior", "sd_s").Problem("This must be above 0 s."))
	}
	for _, m := range []struct {
		name string
		from map[string]*float64
		into map[int64]float64
	}{{"means_s", prior.MeansS, w.Means}, {"sds_s", prior.SdsS, w.Sds}} {
		for name, v := range m.from {
			if v == nil { // which stands for left out
				continue
			}
			id, why := names.find(name)
			if why != "" {
				p.Add(wire.Place{Field: "terms.prior." + m.name, Pointer: "/terms/prior/" + m.name}.Name(name).Problem(why))
			}
			m.into[id] = *v
		}
	}
}

// SquadName is an athlete on record as a seat race calls them.
type SquadName struct {
	directory.Athlete
	Side   string // the side that the athlete rows, or rather rows; empty where both are alike, or none
	Coxes  bool   // and does not row
	Sculls bool
	Sweeps bool // on one side or both
}

// SquadNames lists the athletes on record, archived ones and guests left out.
func (s *Service) SquadNames(ctx context.Context) ([]SquadName, error) {
	all, err := s.everybody(ctx)
	if err != nil {
		return nil, err
	}
	names := directory.Of(all)
	var list []SquadName
	for i, a := range all {
		if !a.Archived {
			list = append(list, SquadName{Athlete: names[i], Side: ownSide(&a), Coxes: coxesOnly(&a), Sculls: a.Sculls, Sweeps: a.PortCostS != nil || a.StarboardCostS != nil})
		}
	}
	return list, nil
}

// ownSide is the side that costs an athlete less, or the only one.
func ownSide(a *store.Athlete) string {
	port, starboard := wire.Or(a.PortCostS, math.Inf(1)), wire.Or(a.StarboardCostS, math.Inf(1))
	switch {
	case port < starboard:
		return rigging.Port.String()
	case starboard < port:
		return rigging.Starboard.String()
	}
	return ""
}
