package api

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"thole/api/store"
)

// RecordChange is one value of a record that was changed.
type RecordChange struct {
	Version int64     `json:"version" description:"Of the record, after the change."`
	At      time.Time `json:"at"`
	By      string    `json:"by"`
	What    string    `json:"what" description:"The field's name with its unit, such as hull_mass_kg or seat 3 span_cm."`
	From    *string   `json:"from" description:"As text; null for no value."`
	To      *string   `json:"to" description:"As text; null for no value."`
}

// Conflict is the error of an edit that was made from an older version of a
// record. Nothing was written.
type Conflict struct {
	Version int64          // of the record as it stands
	Changes []RecordChange // since the version that the edit was made from, oldest first
}

// Error says who changed the record last.
func (e *Conflict) Error() string {
	if len(e.Changes) == 0 {
		return "somebody changed this record in the meantime"
	}
	last := e.Changes[len(e.Changes)-1]
	return fmt.Sprintf("%s changed %s in the meantime: nothing of yours was written", last.By, last.What)
}

// Changes is the history of a record.
type Changes struct {
	Changes []RecordChange `json:"changes" description:"Oldest first."`
}

// ChangesRequest asks for the history of a record.
type ChangesRequest struct {
	ID    int64 `path:"id" json:"-"`
	After int64 `query:"after" json:"-" description:"Only what came after this version."`
}

// Removed names a record that is gone.
type Removed struct {
	ID int64 `json:"id"`
}

func wireChanges(list []store.Change) []RecordChange {
	changes := make([]RecordChange, 0, len(list))
	for _, c := range list {
		changes = append(changes, RecordChange{Version: c.Version, At: c.At, By: c.By, What: c.What, From: c.From, To: c.To})
	}
	return changes
}

func (s *Service) changes(ctx context.Context, subject store.Subject, r ChangesRequest) (Changes, error) {
	list, err := s.store.Changes(ctx, subject, r.ID, r.After)
	if err == nil && len(list) == 0 && r.After <= 0 {
		err = ErrNotFound // every record's history begins with its name
	}
	return Changes{Changes: wireChanges(list)}, err
}

// recordError carries an error of the records over to this package's own.
func recordError(err error) error {
	var moved *store.ErrConflict
	switch {
	case errors.As(err, &moved):
		return &Conflict{Version: moved.Version, Changes: wireChanges(moved.Changes)}
	case errors.Is(err, store.ErrNotFound):
		return fmt.Errorf("%w: %w", ErrNotFound, err)
	}
	return err
}

// takenAs is recordError, with a name that another record has told at the name.
func takenAs(err error, detail string) error {
	if errors.Is(err, store.ErrTaken) {
		return invalid("name", detail)
	}
	return recordError(err)
}

// Explain tells an error as it is told on the wire. One that is nobody's
// business but ours has status 500 and no detail.
func Explain(err error) Problem { return problemOf(err) }

// Bounds of texts people type in.
const (
	longestName = 80
	longestNote = 2000
)

// name complains about a name that is missing or does not fit a line.
func (p *problems) name(field, text, missing string) {
	switch {
	case strings.TrimSpace(text) == "":
		p.tell(fieldProblem(field, missing))
	case len([]rune(text)) > longestName:
		p.tell(fieldProblem(field, fmt.Sprintf("Use at most %d characters.", longestName)))
	}
}

// author complains about an edit that nobody signs.
func (p *problems) author(by string) {
	p.name("by", by, "Say who you are: your name stands in the history.")
}

func (p *problems) note(field, text string) {
	if len([]rune(text)) > longestNote {
		p.tell(fieldProblem(field, fmt.Sprintf("Use at most %d characters.", longestNote)))
	}
}

// dayLayout is how calendar days are written.
const dayLayout = time.DateOnly

// today is the present day where the server stands.
func (s *Service) today() string { return s.now().Format(dayLayout) }

// pastDay complains about a text that is no day, or one from today's morrow on
// or before earliest.
func (p *problems) pastDay(field, text, earliest, today string) {
	_, err := time.Parse(dayLayout, text)
	switch {
	case err != nil:
		p.tell(fieldProblem(field, "Write the day as year-month-day, such as "+today+"."))
	case text > today:
		p.tell(fieldProblem(field, "This day is still to come."))
	case text < earliest:
		p.tell(fieldProblem(field, "This day is too long ago to be right."))
	}
}

// signed names who did something, at the present.
func (s *Service) signed(by string) store.By {
	return store.By{Name: strings.TrimSpace(by), At: s.now()}
}
