package lineup

import (
	"testing"

	"thole/api/lineup"
)

// TestDrawsOfAWholeClubAreAskedFor: those of a squad come with the page, those of a club of
// 500, which take seconds, do not, however short the search itself was.
func TestDrawsOfAWholeClubAreAskedFor(t *testing.T) {
	for _, c := range []struct {
		nodes, candidates int
		atOnce            bool
	}{{7, 500, false}, {150, 21, false}, {151, 20, false}, {150, 20, true}, {6, 500, true}} {
		p := &lineupPage{Answer: &lineup.CrewsAnswer{Proven: true, Nodes: c.nodes}}
		p.request.Candidates = make([]lineup.Candidate, c.candidates)
		if got := p.drawsAtOnce(); got != c.atOnce {
			t.Errorf("%d steps, %d candidates: %t", c.nodes, c.candidates, got)
		}
	}
	for _, p := range []*lineupPage{{}, {Answer: &lineup.CrewsAnswer{Nodes: 1}}} {
		if p.drawsAtOnce() {
			t.Errorf("draws without a proof: %+v", p.Answer)
		}
	}
}
