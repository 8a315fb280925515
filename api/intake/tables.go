package intake

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"

	"thole/api/columns"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// What becomes of a boat or a set of oars.
const (
	actionNew     = "new"
	actionChanged = "changed"
	actionKnown   = "known"
)

// Item is one boat or set of oars of a table.
type Item struct {
	ID      int64    `json:"id" description:"On record; 0 for what is new and not saved yet."`
	Name    string   `json:"name"`
	Class   string   `json:"class" description:"Of a boat, such as 8+; of oars scull or sweep."`
	Action  string   `json:"action" validate:"oneof=new changed known" description:"What the table does: new; changed; known, where it changes nothing."`
	Changes []string `json:"changes" description:"In words, such as span: 159 cm → 160 cm."`
	Check   string   `json:"check" description:"What to check; empty for nothing."`
	Row     int      `json:"row" description:"Its first row in the file."`
}

// Look is what every kind of file shows before it is saved.
type Look struct {
	Columns  []columns.Column
	How      columns.How
	Asks     []string // what has to be said first: name, day_order, sides, test_day
	KeptAs   string   // the kept way to read that fits its headings
	Problems []columns.Problem
	Doubts   []columns.Doubt
	Notes    []string
}

// TableLook is what a file of boats or oars would do, or has done.
type TableLook struct {
	Look
	Kind  columns.Kind
	Rows  int
	Items []Item
	Plan  string // stands for all that saving would write
	Saved bool

	fleet store.Fleet
}

// ErrMoved says that the records have moved on since somebody looked.
var ErrMoved = &wire.Refusal{Status: http.StatusConflict, Text: "the records have changed since: check the table again before you save it", Type: wire.RecordsMoved}

// LookAtTable reads a file of boats or oars and tells what saving it would do,
// without saving. The error is an *Unreadable.
func (s *Service) LookAtTable(ctx context.Context, k columns.Kind, f columns.File) (TableLook, error) {
	if k == columns.Oars {
		return s.lookAtOars(ctx, f)
	}
	return s.lookAtBoats(ctx, f)
}

// Saving says how a table is saved.
type Saving struct {
	By   string
	Plan string // of the look before; "" saves whatever the table does now
}

// SaveTable puts a file on record as it was looked at: all that can be used or
// nothing. Other errors than an *Unreadable: an *Invalid without a name of who
// saves, or [ErrMoved].
func (s *Service) SaveTable(ctx context.Context, k columns.Kind, f columns.File, how Saving) (TableLook, error) {
	look, err := s.LookAtTable(ctx, k, f)
	switch {
	case err != nil || len(look.Asks) > 0:
		return look, err
	case how.Plan != "" && how.Plan != look.Plan:
		return look, ErrMoved
	}
	boats, oars, err := s.fleet.Save(ctx, look.fleet, how.By)
	var moved *records.Conflict
	if errors.As(err, &moved) || errors.Is(err, store.ErrTaken) || errors.Is(err, wire.ErrNotFound) {
		return look, fmt.Errorf("%w (%w)", ErrMoved, err)
	}
	if err != nil {
		return look, err
	}
	ids := boats
	if k == columns.Oars {
		ids = oars // the boats are those that follow
	}
	for i, id := range ids {
		look.Items[i].ID = id
	}
	look.Saved = true
	return look, s.keep(ctx, k, f.Keep, &look.Look)
}

// takeKept reads a file as one of its headings was read before, unless it has been
// said how.
func (s *Service) takeKept(ctx context.Context, k columns.Kind, f *columns.File, r *columns.Reading, look *TableLook) (err error) {
	if f.How == nil {
		f.How, look.KeptAs, err = s.kept(ctx, k, r.Headings())
	}
	return err
}

// fill puts what was found into what is shown.
func (l *TableLook) fill(r *columns.Reading) {
	l.Rows, l.Columns, l.How, l.Problems, l.Notes = len(r.Below()), r.Columns, r.How, r.Problems, r.Notes()
	slices.SortStableFunc(l.Problems, func(a, b columns.Problem) int { return cmp.Compare(a.Row, b.Row) })
	l.fleet.Why = "table of the club"
	l.Plan = l.digest()
}

func (l *TableLook) add(item Item) { l.Items = append(l.Items, item) }

// digest stands for everything that saving the plan would write, and for what it
// would write over.
func (l *TableLook) digest() string {
	sum := sha256.New()
	_ = json.NewEncoder(sum).Encode([]any{l.fleet, l.Items, l.Problems}) // a hash takes everything
	return hex.EncodeToString(sum.Sum(nil)[:16])
}
