package lineup

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"sync"

	"thole/api/jobs"
)

// Long searches are worth remembering: a page is asked for again and again with
// the same squad, and what a job has found is shown by the page that asked for it.

// mostRemembered is how many answers are remembered, some 10 kB each; our judgement.
const mostRemembered = 64

// memory holds the answers of searches by what was asked.
type memory struct {
	mu   sync.Mutex
	by   map[[sha256.Size]byte]any
	line [][sha256.Size]byte // oldest first
}

func (m *memory) get(key [sha256.Size]byte) any {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.by[key]
}

func (m *memory) put(key [sha256.Size]byte, answer any) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.by == nil {
		m.by = map[[sha256.Size]byte]any{}
	}
	if _, known := m.by[key]; !known {
		m.line = append(m.line, key)
	}
	m.by[key] = answer
	for len(m.line) > mostRemembered {
		delete(m.by, m.line[0])
		m.line = m.line[1:]
	}
}

// proved is an answer that reports whether it can be bettered.
type proved interface{ proved() bool }

func (a CrewsAnswer) proved() bool    { return a.Proven }
func (a TwoBoatsAnswer) proved() bool { return a.Proven }

// remembered answers a request by what is remembered of the same one, or else by a
// search. What is proven is remembered, and whatever a job has found, which has
// had its time; a job does not take over what is not proven.
func remembered[A proved](s *Service, ctx context.Context, request any, search func() (A, error)) (A, error) {
	key := keyOf(request)
	inJob := jobs.Inside(ctx)
	if a, ok := s.memory.get(key).(A); ok && (a.proved() || !inJob) {
		return a, nil
	}
	a, err := search()
	if err == nil && (a.proved() || inJob) {
		s.memory.put(key, a)
	}
	return a, err
}

// keyOf is a sum over what is asked.
func keyOf(request any) [sha256.Size]byte {
	text, err := json.Marshal(request)
	if err != nil {
		panic("lineup: " + err.Error())
	}
	return sha256.Sum256(append([]byte(fmt.Sprintf("%T", request)), text...))
}

// progress tells a job how far a search has come: what was found, and in how many
// milliseconds of the race it may still be bettered.
func progress(ctx context.Context) func(found bool, best, lower float64) {
	note := jobs.Note(ctx)
	return func(found bool, best, lower float64) {
		if !found {
			return
		}
		note(SearchNote{BestS: bounded(best), LowerBoundS: bounded(lower), GapS: bounded(max(0, best-lower))})
	}
}

// SearchNote is how far a search has come.
type SearchNote struct {
	BestS       float64 `json:"best_s" description:"What the best found so far costs."`
	LowerBoundS float64 `json:"lower_bound_s" description:"Nothing costs less."`
	GapS        float64 `json:"gap_s" description:"How much better the best may get."`
}
