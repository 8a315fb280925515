package strokes

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/records"
	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/wire"
)

// RecordingEdit corrects what was said of a recording; its samples stay.
type RecordingEdit struct {
	ID         int64                 `path:"id" json:"-" validate:"gte=1"`
	Version    int64                 `json:"version" validate:"required,gte=0" description:"Of the recording that the correction was made from."`
	AthleteID  *int64                `json:"athlete_id" validate:"omitempty,gte=0" description:"Without it, not known."`
	BoatID     *int64                `json:"boat_id" validate:"omitempty,gte=0" description:"Without it, not on record."`
	Seat       string                `json:"seat" validate:"omitempty,max=80"`
	Side       string                `json:"side" validate:"omitempty,oneof=port starboard"`
	RecordedOn string                `json:"recorded_on" validate:"required,day" description:"YYYY-MM-DD."`
	Levers     *strokefile.OarLevers `json:"levers" description:"Without it, no work and no power."`
	Note       string                `json:"note" validate:"omitempty,max=2000"`
	By         string                `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who corrects, for the history."`
}

// CorrectRecording corrects athlete, boat, seat, side, day, levers and note of a
// recording and keeps what changed. Errors: ErrNotFound, an *Invalid, or a
// *records.Conflict where somebody else was faster.
func (s *Service) CorrectRecording(ctx context.Context, r RecordingEdit) (Recording, error) {
	stored, err := s.Store.RecordingRow(ctx, r.ID)
	if err != nil {
		return Recording{}, records.RecordError(err)
	}
	if err := s.checkEdit(ctx, &r, &stored); err != nil {
		return Recording{}, err
	}
	next, features, err := s.corrected(ctx, &r, stored)
	if err != nil {
		return Recording{}, err
	}
	if _, err := s.Store.CorrectRecording(ctx, next, features, s.Signed(r.By)); err != nil {
		return Recording{}, records.RecordError(err)
	}
	return s.Recording(ctx, RecordingRequest{ID: r.ID})
}

func (s *Service) checkEdit(ctx context.Context, r *RecordingEdit, old *store.Recording) error {
	var p wire.Problems
	p.Author(r.By)
	p.PastDay(wire.At("recorded_on"), r.RecordedOn, "1990-01-01", s.Today())
	p.Printable(wire.At("seat"), r.Seat, "")
	n, err := s.names(ctx)
	if err != nil {
		return err
	}
	switch {
	case !access.From(ctx).Owns(wire.Or(r.AthleteID, 0)):
		p.Add(wire.At("athlete_id").Problem("This stays your own: a coach can give it to somebody else."))
	case r.AthleteID != nil && n.athletes[*r.AthleteID] == "":
		p.Add(wire.At("athlete_id").Problem("This athlete is not on record."))
	}
	if r.BoatID != nil && n.boats[*r.BoatID] == "" {
		p.Add(wire.At("boat_id").Problem("This boat is not on record."))
	}
	var terms RecordingTerms
	if err := json.Unmarshal([]byte(old.Thresholds), &terms); err != nil {
		return fmt.Errorf("recording %d: its terms: %w", old.ID, err)
	}
	p.Merge(wire.Place{}, r.Levers.Check(strokefile.SiteOf(terms.Force)))
	p.Check(wire.Place{}, r)
	return p.OrNil()
}

// corrected returns the recording to be stored, with its features where new
// levers change them.
func (s *Service) corrected(ctx context.Context, r *RecordingEdit, stored store.Recording) (store.Recording, []store.FeatureValue, error) {
	m := &Remeasured{Stored: stored}
	if err := json.Unmarshal([]byte(stored.Thresholds), &m.Terms); err != nil {
		return stored, nil, err
	}
	was := wire.Or(m.Terms.Levers, strokefile.OarLevers{})
	next := stored
	next.Version, next.AthleteID, next.BoatID, next.Seat, next.Side = r.Version, r.AthleteID, r.BoatID, strings.TrimSpace(r.Seat), r.Side
	next.RecordedOn, next.Note = r.RecordedOn, strings.TrimSpace(r.Note)
	if wire.Or(r.Levers, strokefile.OarLevers{}) == was {
		return next, nil, nil
	}
	m.Terms.Levers = r.Levers
	text, err := json.Marshal(m.Terms)
	if err != nil {
		return next, nil, err
	}
	next.Thresholds = string(text)
	thresholds, err := m.Terms.Thresholds.Domain()
	if err == nil {
		err = s.measureSamples(ctx, m, thresholds)
	}
	if err != nil {
		return next, nil, err
	}
	return next, storedFeatures(m.Oar), nil
}

// RecordingChanges returns what was corrected in a recording, athletes and boats
// by name.
func (s *Service) RecordingChanges(ctx context.Context, r records.ChangesRequest) (records.Changes, error) {
	if _, err := s.Store.RecordingRow(ctx, r.ID); err != nil {
		return records.Changes{}, records.RecordError(err)
	}
	w, err := s.Changes(ctx, store.RecordingRecord, r)
	if errors.Is(err, wire.ErrNotFound) { // a recording that was never corrected
		return records.Changes{Changes: []wire.RecordChange{}}, nil
	}
	if err != nil {
		return w, err
	}
	n, err := s.names(ctx)
	for i := range w.Changes {
		n.tell(&w.Changes[i])
	}
	return w, err
}

// tell puts names in place of numbers, and levers in place of the terms.
func (n *names) tell(c *wire.RecordChange) {
	for _, text := range []*string{c.From, c.To} {
		if text == nil {
			continue
		}
		id, _ := strconv.ParseInt(*text, 10, 64)
		switch c.What {
		case "athlete_id":
			*text = n.athletes[id]
		case "boat_id":
			*text = n.boats[id]
		case "thresholds":
			*text = leversText(*text)
		}
	}
	if known := map[string]string{"athlete_id": "athlete", "boat_id": "boat", "thresholds": "levers"}[c.What]; known != "" {
		c.What = known
	}
}

func leversText(terms string) string {
	var t RecordingTerms
	if json.Unmarshal([]byte(terms), &t) != nil || t.Levers == nil {
		return "none"
	}
	if t.Levers.OutCm == 0 {
		return fmt.Sprintf("hands %g cm", t.Levers.InCm)
	}
	return fmt.Sprintf("hands %g cm, blade %g cm", t.Levers.InCm, t.Levers.OutCm)
}
