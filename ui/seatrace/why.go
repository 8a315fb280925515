package seatrace

import (
	"cmp"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"thole/api/schedule"
	"thole/api/seatrace"
	"thole/api/wire"
	"thole/ui/figure/code"
	"thole/ui/page"
)

// The page that a coach can show to those who raced: what is firm, what decided
// it, what is open, and what would change it.

// whyPage is all that it shows.
type whyPage struct {
	Race    seatrace.Race
	Answer  string
	Sorts   []whySort
	Equal   []string // athletes between whom all is open, a group each
	Untold  string
	Change  []string
	Scatter string
	Address string
	Code    template.HTML
}

// whySort are the pairs of one certainty.
type whySort struct {
	Title, Mark string
	Pairs       []whyPair
	More        int
}

// whyPair is one pair with what speaks for it.
type whyPair struct{ Title, Figures, Because string }

// Of one certainty so many pairs are named, and so many that are not compared; our judgement.
const (
	mostWhy    = 8
	mostUntold = 12
)

func (s *site) why(w http.ResponseWriter, r *http.Request) error {
	p, err := s.racePage(r)
	if err != nil {
		return s.raceFault(w, err)
	}
	y := &whyPage{Race: p.Race, Answer: p.NoVerdict}
	if base := page.ReachOf(r.Context()).Base; base != "" {
		y.Address = fmt.Sprintf("%s/seat-races/%d/why", base, p.Race.ID)
		y.Code = code.SVG(y.Address)
	}
	if p.Judged != nil {
		y.read(p)
	}
	return s.Pages.Show(w, http.StatusOK, "seatrace_why", y)
}

// read sorts the pairs by how sure they are.
func (y *whyPage) read(p *racePage) {
	e, labels := &p.Judged.Judgement.Estimate, p.labels()
	pairs, open, untold := map[string][]whyPair{}, map[[2]string]bool{}, []string{}
	for _, d := range e.Differences {
		if !p.comparable(d.First, d.Second) {
			continue
		}
		if d.ChanceFirstFaster < 0.5 {
			d = turned(d)
		}
		first, second := cmp.Or(labels[d.First], d.First), cmp.Or(labels[d.Second], d.Second)
		if !d.Estimable && e.Racing == nil {
			untold = append(untold, first+" / "+second)
			continue
		}
		open[[2]string{d.First, d.Second}] = d.Certainty == "open"
		open[[2]string{d.Second, d.First}] = d.Certainty == "open"
		v := newVerdict(d, p.Judged.Judgement.WattsPerSecond)
		v.Faster, v.Other = first, second
		pairs[d.Certainty] = append(pairs[d.Certainty], whyPair{v.Title(), v.Sure() + ": " + v.Text, becauseOf(e.Swaps, d.First, d.Second)})
	}
	for _, certainty := range []string{"firm", "likely", "open"} {
		if list := pairs[certainty]; len(list) > 0 {
			n := min(len(list), mostWhy)
			y.Sorts = append(y.Sorts, whySort{whyTitles[certainty], certaintyMarks[certainty], list[:n], len(list) - n})
		}
	}
	y.Answer = fmt.Sprintf("Pairs after %s: %d firm, %d likely, %d open, %d not compared.", page.Counted(p.Judged.Judgement.Raced, "piece", "pieces"), len(pairs["firm"]), len(pairs["likely"]), len(pairs["open"]), len(untold))
	if more := len(untold) - mostUntold; more > 0 {
		untold = append(untold[:mostUntold], fmt.Sprintf("and %d more", more))
	}
	y.Equal, y.Untold = p.equals(open), strings.Join(untold, ", ")
	y.addChange(p)
	y.Scatter = page.Fix(2, e.ResidualSdS)
}

// whyTitles head the certainties.
var whyTitles = map[string]string{"firm": "What is decided", "likely": "What is likely", "open": "What is open"}

// becauseOf lists the swaps of a pair by themselves.
func becauseOf(swaps []schedule.BareSwap, first, second string) string {
	var own []string
	for _, w := range swaps {
		gain := w.ByMarginS
		switch {
		case w.First == second && w.Second == first:
			gain = -gain
		case w.First != first || w.Second != second:
			continue
		}
		own = append(own, fmt.Sprintf("pieces %d and %d %s s", w.BeforePiece, w.AfterPiece, page.Signed(2, gain)))
	}
	if len(own) == 0 {
		return "Never swapped with each other alone: compared through others."
	}
	return "Their own swaps: " + strings.Join(own, ", ") + "."
}

// equals lists groups of the ranking within which every pair is open.
func (p *racePage) equals(open map[[2]string]bool) []string {
	var groups []string
	for _, side := range p.sidesApart() {
		var group []string
		for _, x := range append(p.ofSide(ranking(&p.Judged.Judgement.Estimate), side), schedule.SeatRaceEffect{}) {
			if x.ID != "" && !slices.ContainsFunc(group, func(id string) bool { return !open[[2]string{id, x.ID}] }) {
				group = append(group, x.ID)
				continue
			}
			if len(group) > 1 {
				groups = append(groups, wire.And(p.short(group)))
			}
			group = []string{x.ID}
		}
	}
	return groups
}

// addChange reports what would change the result.
func (y *whyPage) addChange(p *racePage) {
	for _, f := range p.Judged.Fits {
		if f.Outlying {
			y.Change = append(y.Change, fmt.Sprintf("Piece %d does not fit the others: it is worth racing again.", f.Number))
		}
	}
	if len(p.Judged.Next) > 0 {
		y.Change = append(y.Change, "One more piece would help most.", p.Judged.Next[0].Text)
	}
}
