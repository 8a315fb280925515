// Package records holds what every area needs of what is on record: the store, the
// club's clock and time zone, who signs a change, requests for one record or a list of
// them, and caches that follow the file. It has no use cases.
package records

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"thole/api/gate"
	"thole/api/store"
	"thole/api/wire"
)

// Conflict is the error of an edit that was made from an older version of a
// record. Nothing was written.
type Conflict struct {
	Version int64               // of the record as it stands
	Changes []wire.RecordChange // since the version that the edit was made from, oldest first
}

// Error reports who changed the record; what, [Conflict.Changes] lists with labels of
// whoever shows it.
func (e *Conflict) Error() string {
	if len(e.Changes) == 0 {
		return "somebody changed this record in the meantime"
	}
	var who []string
	for _, c := range e.Changes {
		if !slices.Contains(who, c.By) {
			who = append(who, c.By)
		}
	}
	return strings.Join(who, " and ") + " changed this record in the meantime: nothing of yours was written"
}

// Problem answers 409 with what others changed.
func (e *Conflict) Problem() wire.Problem {
	return wire.Problem{Status: http.StatusConflict, Detail: wire.Sentence(e.Error()), Version: e.Version, Changes: e.Changes}
}

// IDRequest names one record.
type IDRequest struct {
	ID int64 `path:"id" json:"-" validate:"gte=1"`
}

// ListRequest asks for records by a part of their name.
type ListRequest struct {
	Name     string `query:"name" json:"-" validate:"max=200" description:"A part of the name, whatever the case and accents."`
	Archived bool   `query:"archived" json:"-" description:"List the archived ones, too."`
}

// Filter is the request as the store takes it.
func (r *ListRequest) Filter() store.Filter { return store.Filter{Name: r.Name, Archived: r.Archived} }

// Changes is the history of a record.
type Changes struct {
	Changes []wire.RecordChange `json:"changes" description:"Oldest first."`
}

// ChangesRequest asks for the history of a record.
type ChangesRequest struct {
	ID    int64 `path:"id" json:"-" validate:"gte=1"`
	After int64 `query:"after" json:"-" validate:"gte=0" description:"Only what came after this version."`
}

// Removed names a record that is gone.
type Removed struct {
	ID     int64 `json:"id"`
	Traces bool  `json:"traces" description:"What was removed may still be read in the server’s file for a while; wiping it failed and is tried again by itself."`
}

// Gone says that a record was removed, which it was also where its traces could
// not be wiped from the file yet.
func Gone(id int64, err error) (Removed, error) {
	if errors.Is(err, store.ErrTraces) {
		return Removed{ID: id, Traces: true}, nil
	}
	return Removed{ID: id}, RecordError(err)
}

// Records are what every area needs of what is on record: the store, and the
// club's clock.
type Records struct {
	Store *store.Store
	Now   func() time.Time // in the club's time zone

	Gate    *gate.Gate    // for big work; nil lets all in
	Uploads *gate.Uploads // for files on their way in; nil lets all in

	removed []func(athlete int64)
}

// WhenRemoved has tell called when an athlete was removed, so that what is theirs and
// not in the store goes, too. It must come before the first request.
func (s *Records) WhenRemoved(tell func(athlete int64)) { s.removed = append(s.removed, tell) }

// ReportRemoved reports to all who asked that an athlete was removed.
func (s *Records) ReportRemoved(athlete int64) {
	for _, tell := range s.removed {
		tell(athlete)
	}
}

// New returns the records in store, which may be nil, with every moment in the
// club's time zone: the present and those on record.
func New(store *store.Store, zone *time.Location) *Records {
	now := time.Now
	if store != nil {
		store.SetZone(zone)
		now = store.Now
	}
	return &Records{Store: store, Now: func() time.Time { return now().In(zone) }, Gate: gate.New(gate.Usual()), Uploads: gate.NewUploads()}
}

// WireChanges converts a history, in its order.
func WireChanges(list []store.Change) []wire.RecordChange {
	changes := make([]wire.RecordChange, 0, len(list))
	for _, c := range list {
		changes = append(changes, wireChange(&c))
	}
	return changes
}

func wireChange(c *store.Change) wire.RecordChange {
	w := wire.RecordChange{
		Version: c.Version, At: c.At, By: c.By, What: c.What(), From: c.From, To: c.To,
		Field: c.Field, Seat: c.Seat, Piece: c.Piece, PieceBoat: c.PieceBoat, AthleteID: c.Athlete, TestedOn: c.TestedOn,
	}
	if c.Field == "class_code" {
		w.Field = "boat_class" // as requests call it
	}
	from, to := c.Ranges()
	if from != nil {
		w.FromRange, w.From = wireRange(from)
	}
	if to != nil {
		w.ToRange, w.To = wireRange(to)
	}
	return w
}

// wireRange returns a range and its text, such as 83 to 88 step 0.5 cost 6.
func wireRange(a *store.Adjustment) (*wire.ChangedRange, *string) {
	text := fmt.Sprintf("%g to %g step %g cost %g", a.Min, a.Max, a.Step, a.Cost)
	return &wire.ChangedRange{Min: a.Min, Max: a.Max, Step: a.Step, Cost: a.Cost}, &text
}

func (s *Records) Changes(ctx context.Context, subject store.Subject, r ChangesRequest) (Changes, error) {
	list, err := s.Store.Changes(ctx, subject, r.ID, r.After)
	if err == nil && len(list) == 0 && r.After <= 0 {
		err = wire.ErrNotFound // every record's history begins with its name
	}
	return Changes{Changes: WireChanges(list)}, err
}

// RecordError carries an error of the records over to this package's own.
func RecordError(err error) error {
	var moved *store.ErrConflict
	switch {
	case errors.As(err, &moved):
		return &Conflict{Version: moved.Version, Changes: WireChanges(moved.Changes)}
	case errors.Is(err, store.ErrNotFound):
		return fmt.Errorf("%w: %w", wire.ErrNotFound, err)
	}
	return err
}

// statuses are the errors of the records that are reported in their own words.
var statuses = []struct {
	err    error
	status int
	text   string // "" for the error's own
	kind   string // of problem; "" for that of the status
}{
	{store.ErrNotFound, http.StatusNotFound, "", ""},
	{store.ErrTaken, http.StatusConflict, "", wire.NameTaken},
	{store.ErrInUse, http.StatusConflict, "", wire.InUse},
	{store.ErrKeyReused, http.StatusConflict, "", wire.KeyReused},
	{store.ErrSent, http.StatusConflict, "", wire.SentBefore},
	{store.ErrSheetDone, http.StatusConflict, "", wire.SheetFinished},
	{store.ErrInvalid, http.StatusUnprocessableEntity, "", ""},
	{store.ErrFull, http.StatusInsufficientStorage, "the server’s disk is full: nothing of this was saved, and what was saved before is still there", wire.DiskFull},
	{store.ErrReadOnly, http.StatusInsufficientStorage, "", wire.DiskFull},
	{store.ErrBusy, http.StatusServiceUnavailable, "", ""},
	{store.ErrMoved, http.StatusServiceUnavailable, "the file of records was removed or replaced while the server runs: nothing of this was saved; tell whoever runs it", wire.RecordsBroken},
	{store.ErrDamaged, http.StatusServiceUnavailable, damaged, wire.RecordsBroken},
	{store.ErrNotDatabase, http.StatusServiceUnavailable, damaged, wire.RecordsBroken},
}

const damaged = "the file of records is damaged: nothing of this was saved, and what was saved before may be lost; tell whoever runs the server, who can put a backup in its place"

// Refusal turns an error of the records into one that says how it is answered,
// unless it says so already.
func Refusal(err error) error {
	if known := wire.Failure(nil); errors.As(err, &known) {
		return err
	}
	for _, s := range statuses {
		if errors.Is(err, s.err) {
			return &wire.Refusal{Status: s.status, Text: cmp.Or(s.text, s.err.Error()), Type: s.kind}
		}
	}
	return err
}

// TakenAs is recordError, with a name that another record has told at the name.
func TakenAs(err error, detail string) error {
	if errors.Is(err, store.ErrTaken) {
		return wire.At("name").Invalid(detail)
	}
	return RecordError(err)
}

// Today is the present day in the club's time zone, YYYY-MM-DD.
func (s *Records) Today() string { return s.Now().Format(wire.DayLayout) }

// Latest is the present, or the latest moment that the clock has shown where it went
// back since: what ends by it has ended.
func (s *Records) Latest() time.Time {
	if s.Store == nil {
		return s.Now()
	}
	return s.Store.Latest(s.Now())
}

// Signed names who did something, at the present.
func (s *Records) Signed(by string) store.By {
	return store.By{Name: strings.TrimSpace(by), At: s.Now()}
}
