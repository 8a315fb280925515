package seatrace

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"thole/api/schedule"
	"thole/api/seatrace"
	"thole/api/wire"
	"thole/ui/lanes"
	"thole/ui/page"
)

// latestPiece is the piece just raced, which leads the page: its result, its swap
// and what it says.
type latestPiece struct {
	Title string
	Swap  string // who moved before it
	Says  string // what the piece says by itself
	All   []latestPair
	Count string // how many pieces stand behind All
}

// latestPair is what all pieces say of a pair that the piece swapped.
type latestPair struct{ Mark, Class, Text string }

// addLatest words the piece with the highest number that has a result.
func (p *racePage) addLatest() {
	at := -1
	for i := range p.Race.Pieces {
		if p.Race.Pieces[i].State != "planned" {
			at = i
		}
	}
	if at < 0 {
		return
	}
	p.Latest = p.newLatest(&p.Race.Pieces[at])
}

func (p *racePage) newLatest(piece *seatrace.RacePiece) *latestPiece {
	l := &latestPiece{Title: fmt.Sprintf("Piece %d: %s", piece.Number, page.LowerFirst(strings.TrimSuffix(marginText(piece), ".")))}
	if piece.State == "abandoned" {
		l.Title, l.Says = fmt.Sprintf("Piece %d: abandoned", piece.Number), "It is not used."
		return l
	}
	if piece.Number == 1 {
		l.Swap, l.Says = "First crews.", "The comparison starts after the first swap."
		return l
	}
	l.Swap = p.movedText(piece)
	if p.Judged == nil {
		return l
	}
	e := &p.Judged.Judgement.Estimate
	if swap, ok := bareSwapOf(e.Swaps, piece.Number); ok {
		l.readSwap(swap, p.labels())
	} else if len(piece.Moved) > 2 {
		l.Says = "Several swaps at once: this piece alone cannot tell them apart."
	}
	l.addPairs(p, piece.Moved)
	return l
}

// movedText reports who changed boats before a piece.
func (p *racePage) movedText(piece *seatrace.RacePiece) string {
	names := p.short(piece.Moved)
	switch len(names) {
	case 0:
		return "Same crews again."
	case 1:
		return names[0] + " came in."
	case 2:
		return names[0] + " and " + names[1] + " changed boats."
	}
	return "Changed boats: " + wire.And(names) + "."
}

// bareSwapOf finds the swap that a piece ends, against the nearest piece before.
func bareSwapOf(swaps []schedule.BareSwap, piece int) (best schedule.BareSwap, ok bool) {
	for _, w := range swaps {
		if w.AfterPiece == piece && w.BeforePiece > best.BeforePiece {
			best, ok = w, true
		}
	}
	return best, ok
}

// readSwap reports what one swap shows by itself, the faster named.
func (l *latestPiece) readSwap(w schedule.BareSwap, labels map[string]string) {
	faster, other, chance := w.First, w.Second, w.ChanceFirstFaster
	if w.ByMarginS < 0 {
		faster, other, chance = other, faster, 1-chance
	}
	l.Says = fmt.Sprintf("Against piece %d the boat is %s s faster with %s than with %s, ± %s: %s, %s.", w.BeforePiece,
		page.Fix(2, math.Abs(w.ByMarginS)), cmp.Or(labels[faster], faster), cmp.Or(labels[other], other), page.Fix(2, w.SdS), w.Certainty, percent(chance))
}

// mostLatest is how many pairs of the latest piece are named: those of two swaps; our judgement.
const mostLatest = 2

// addPairs reports what all pieces together show of the pairs that were swapped.
func (l *latestPiece) addPairs(p *racePage, moved []string) {
	e, labels := &p.Judged.Judgement.Estimate, p.labels()
	l.Count = fmt.Sprintf("All %d pieces:", p.Judged.Judgement.Raced)
	for i, first := range moved {
		for _, second := range moved[i+1:] {
			d, ok := differenceOf(e.Differences, first, second)
			if !ok || !d.Estimable || !p.comparable(first, second) || len(l.All) == mostLatest {
				continue
			}
			if d.ChanceFirstFaster < 0.5 {
				d = turned(d)
			}
			l.All = append(l.All, latestPair{certaintyMarks[d.Certainty], d.Certainty, fmt.Sprintf("%s faster than %s by %s s ± %s: %s, %s",
				cmp.Or(labels[d.First], d.First), cmp.Or(labels[d.Second], d.Second), page.Fix(2, d.DifferenceS), page.Fix(2, d.SdS), d.Certainty, percent(d.ChanceFirstFaster))})
		}
	}
}

// side is the side of an athlete in the race, "" for one who rows both or sculls.
func (p *racePage) side(name string) string {
	i := slices.IndexFunc(p.Race.Athletes, func(a seatrace.RaceAthlete) bool { return a.Name == name })
	if i < 0 {
		return ""
	}
	return p.Race.Athletes[i].Side
}

// comparable reports whether two athletes are to be compared: a port with a
// starboard only where that was asked for.
func (p *racePage) comparable(first, second string) bool {
	a, b := p.side(first), p.side(second)
	return p.Across() || !lanes.Sweeps(p.Race.BoatClass) || a == "" || b == "" || a == b
}

// Across reports whether ports are compared with starboards.
func (p *racePage) Across() bool { return p.Together || p.Race.Terms.AcrossSides }

// Sided reports whether everybody rows one side, and both sides are there.
func (p *racePage) Sided() bool {
	sides := map[string]bool{}
	for i := range p.Race.Athletes {
		sides[p.Race.Athletes[i].Side] = true
	}
	return lanes.Sweeps(p.Race.BoatClass) && sides["port"] && sides["starboard"] && !sides[""]
}
