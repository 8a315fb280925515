package page

import (
	"context"
	"errors"
	"net/http"

	"thole/api/gate"
	"thole/api/rest"
	"thole/api/wire"
)

// throughGate is the handler of a page, inside the gate where it takes long.
func (s *Frame) throughGate(p Route) Handler {
	if !p.heavy {
		return p.Handler
	}
	return func(w http.ResponseWriter, r *http.Request) error {
		ctx, leave, err := s.Gate.Enter(r.Context())
		if err != nil {
			return err
		}
		defer leave()
		return p.Handler(w, r.WithContext(ctx))
	}
}

// busyMessage is what to tell where there was no room for the work, or no time;
// nil for any other error.
func busyMessage(err error) *Message {
	refused := new(wire.Refusal)
	switch {
	case errors.Is(err, gate.ErrFull):
		return &Message{Title: "Much is going on at once", Text: "The server is busy with other calculations. Try again in a few seconds: nothing was lost."}
	case errors.Is(err, context.DeadlineExceeded):
		return &Message{Title: "This took too long", Text: "It was given up after a minute. Ask for less at once, such as fewer athletes or a boat with its sides set."}
	case errors.As(err, &refused) && refused.Status == http.StatusServiceUnavailable:
		return &Message{Title: "Much is going on at once", Text: wire.Sentence(refused.Text)}
	}
	return nil
}

// showBusy answers 503: as a page, or on top of the present one to a script, so
// that what was typed stays.
func (s *Frame) showBusy(w http.ResponseWriter, r *http.Request, said Message) error {
	rest.Drain(r)
	w.Header().Set("Retry-After", rest.RetryAfter)
	if r.Header.Get("HX-Request") == "" {
		return s.Pages.Show(w, http.StatusServiceUnavailable, "message", said)
	}
	w.Header().Set("HX-Retarget", "main")
	w.Header().Set("HX-Reswap", "afterbegin show:window:top")
	return s.Pages.Fragment(w, http.StatusServiceUnavailable, "message", "busy", said)
}
