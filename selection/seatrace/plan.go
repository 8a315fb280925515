package seatrace

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"thole/rigging"
	"thole/selection"
)

// Request asks for a schedule.
type Request struct {
	Setup
	Pieces int
	// Seed starts the search: equal requests with equal seeds give equal
	// schedules.
	Seed uint64
}

// Schedule is a plan of crews with what it will show.
type Schedule struct {
	Pieces   []selection.Piece // who rows in which boat, in no order of seats
	Forecast *Forecast
}

// Plan looks for the schedule that makes the mean variance of the wanted
// differences least, counting one that stays open as 50 times the variance of
// a boat's time, and keeping to the number of swaps allowed. It is a search: it
// reaches the best designs known for small squads but proves nothing. What
// stays open is said in the forecast. When ctx ends before the search does, the
// error is that of ctx: a schedule half searched would look like a plan.
func Plan(ctx context.Context, q Request) (*Schedule, error) {
	errs := q.check()
	if q.Pieces < 1 {
		errs = append(errs, selection.ErrorAt(rigging.PlaceOf(selection.FieldPieces), rigging.ProblemRange, "a plan needs one piece or more"))
	}
	if errs != nil {
		return nil, errs
	}
	ids := q.ids()
	best, bestCost := [][]int(nil), math.Inf(1)
	for k := range uint64(restarts) {
		s := q.newSearch(ids, rand.New(rand.NewPCG(q.Seed, k)))
		if x, cost := s.anneal(ctx); cost < bestCost-1e-9 {
			best, bestCost = x, cost
		}
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	pieces := layOut(best, ids, q.Boats)
	return &Schedule{Pieces: pieces, Forecast: q.forecast(pieces)}, nil
}

// layOut turns a state into crews. Who comes into a boat takes the place of
// one who left it.
func layOut(x [][]int, ids []string, boats int) []selection.Piece {
	out := make([]selection.Piece, len(x))
	for r, at := range x {
		out[r].Crews = make([][]string, boats)
		for b := range boats {
			var before []string
			if r > 0 {
				before = out[r-1].Crews[b]
			}
			out[r].Crews[b] = crewOf(at, b, ids, before)
		}
	}
	return out
}

// crewOf lists the crew of boat b, those who were in it before in their old
// places.
func crewOf(at []int, b int, ids, before []string) []string {
	var crew []string
	for i, id := range ids {
		if at[i] == b {
			crew = append(crew, id)
		}
	}
	if before == nil {
		return crew
	}
	came := missing(crew, before)
	out := slices.Clone(before)
	for k, id := range out {
		if !slices.Contains(crew, id) {
			out[k], came = came[0], came[1:]
		}
	}
	return out
}

// newSearch prepares a search from a random start.
func (q *Request) newSearch(ids []string, rng *rand.Rand) *search {
	t := newTable(nil, ids, q.Class.Rowers)
	p := len(ids)
	s := &search{
		p: p, boats: q.Boats, size: q.Class.Rowers, pieces: q.Pieces, movers: 2 * q.Swaps,
		pairs: t.pairs(q.Asked), model: q.Model, rng: rng,
		info: make([]float64, p*p), work: make([]float64, p*p),
		row: make([]float64, p), sum: make([]float64, p), line: make([]float64, p),
	}
	if !q.Class.Scull {
		s.bound = q.bound(ids)
		s.count = [2][]int{make([]int, q.Boats), make([]int, q.Boats)}
	}
	at, grand := s.start(), make([]float64, p)
	for range q.Pieces {
		s.x = append(s.x, slices.Clone(at))
		if !s.model.Absolute {
			grand = make([]float64, p) // else all pieces share one mean
		}
		s.mean = append(s.mean, grand)
		if s.movers == 0 {
			at = s.start()
		}
	}
	return s
}

// bound marks who rows one side only: port, then starboard.
func (q *Request) bound(ids []string) [2][]bool {
	var out [2][]bool
	byID := map[string]selection.Athlete{}
	for _, a := range q.Athletes {
		byID[a.ID] = a
	}
	for k, side := range []rigging.Side{rigging.Port, rigging.Starboard} {
		for _, id := range ids {
			out[k] = append(out[k], !rows(byID[id], side.Other()))
		}
	}
	return out
}

// tied reports whether an athlete rows one side only: 0 port, 1 starboard.
func (s *search) tied(i, side int) bool { return s.bound[side] != nil && s.bound[side][i] }

// start mans the boats of one piece at random: those tied to a side first,
// then the others on what is left. A sculling boat has all its seats on one
// side, as it were.
func (s *search) start() []int {
	at := make([]int, s.p)
	for i := range at {
		at[i] = -1
	}
	room := [2]int{s.boats * s.size, 0}
	if s.bound[0] != nil {
		room = [2]int{room[0] / 2, room[0] / 2}
	}
	var taken [2]int
	order := s.rng.Perm(s.p)
	for _, tied := range []bool{true, false} {
		for _, i := range order {
			for side := range s.bound {
				if at[i] < 0 && taken[side] < room[side] && s.tied(i, side) == tied && !s.tied(i, 1-side) {
					at[i] = taken[side] % s.boats
					taken[side]++
				}
			}
		}
	}
	return at
}
