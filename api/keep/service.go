// Package keep looks after the file of records: whether every record in it can
// be read as the program reads it.
package keep

import (
	"context"
	"fmt"

	"thole/api/club"
	"thole/api/ergometer"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/savedlineup"
	"thole/api/seatrace"
	"thole/api/setup"
	"thole/api/strokes"
)

// Service holds the use cases.
type Service struct {
	Club        *club.Service
	Fleet       *fleet.Service
	Setup       *setup.Service
	Strokes     *strokes.Service
	Ergometer   *ergometer.Service
	Seatrace    *seatrace.Service
	Savedlineup *savedlineup.Service

	*records.Records
	Backups *Backups // nil where none are made
}

// File is the path of the file of records; "" for none.
func (s *Service) File() string {
	if s.Store == nil {
		return ""
	}
	return s.Store.Path()
}

// Unreadable is a record that is there and cannot be read.
type Unreadable struct {
	Kind string // such as work sheet
	ID   int64
	Err  error
}

// Count is how many records of a kind there are.
type Count struct {
	Kind    string
	Records int
}

// kind is how the records of a kind are listed and read.
type kind struct {
	name string
	ids  func(context.Context) ([]int64, error)
	read func(context.Context, int64) error
}

// Check reads every record through the use cases that the pages read it by, and
// returns how many there are and those that cannot be read. The error is that of
// a list.
func (s *Service) Check(ctx context.Context) ([]Count, []Unreadable, error) {
	var counts []Count
	var bad []Unreadable
	for _, k := range s.kinds() {
		ids, err := k.ids(ctx)
		if err != nil {
			return counts, bad, fmt.Errorf("listing every %s: %w", k.name, err)
		}
		counts = append(counts, Count{k.name, len(ids)})
		for _, id := range ids {
			if err := reading(ctx, k, id); err != nil {
				bad = append(bad, Unreadable{k.name, id, err})
			}
		}
	}
	return counts, bad, nil
}

// reading reads one record; a fault of the program is an error of the record.
func reading(ctx context.Context, k kind, id int64) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("the program fails over it: %v", fault)
		}
	}()
	return k.read(ctx, id)
}

// idsOf returns the numbers of a list.
func idsOf[T any](list []T, id func(*T) int64) []int64 {
	ids := make([]int64, len(list))
	for i := range list {
		ids[i] = id(&list[i])
	}
	return ids
}

var everything = records.ListRequest{Archived: true}

func (s *Service) kinds() []kind {
	return []kind{
		{"athlete", s.athletes, s.athlete},
		{"boat", s.boats, s.boat},
		{"set of oars", s.oars, s.oarSet},
		{"line-up", s.lineups, s.lineup},
		{"work sheet", s.sheets, s.sheet},
		{"recording", s.recordings, s.recording},
		{"seat race", s.races, s.race},
	}
}

func (s *Service) athletes(ctx context.Context) ([]int64, error) {
	list, err := s.Club.Athletes(ctx, everything)
	return idsOf(list.Athletes, func(a *club.AthleteSummary) int64 { return a.ID }), err
}

func (s *Service) athlete(ctx context.Context, id int64) error {
	if _, err := s.Club.Athlete(ctx, club.AthleteRequest{ID: id}); err != nil {
		return err
	}
	if _, err := s.Club.Measures(ctx, records.IDRequest{ID: id}); err != nil {
		return err
	}
	_, err := s.Ergometer.Ergometer(ctx, records.IDRequest{ID: id})
	return err
}

func (s *Service) boats(ctx context.Context) ([]int64, error) {
	list, err := s.Fleet.Boats(ctx, everything)
	return idsOf(list.Boats, func(b *fleet.BoatSummary) int64 { return b.ID }), err
}

func (s *Service) boat(ctx context.Context, id int64) error {
	if _, err := s.Fleet.Boat(ctx, records.IDRequest{ID: id}); err != nil {
		return err
	}
	_, err := s.Fleet.RigHistory(ctx, fleet.RigHistoryRequest{ID: id})
	return err
}

func (s *Service) oars(ctx context.Context) ([]int64, error) {
	list, err := s.Fleet.OarSets(ctx, everything)
	return idsOf(list.OarSets, func(o *fleet.OarSet) int64 { return o.ID }), err
}

func (s *Service) oarSet(ctx context.Context, id int64) error {
	_, err := s.Fleet.OarSet(ctx, records.IDRequest{ID: id})
	return err
}

func (s *Service) lineups(ctx context.Context) ([]int64, error) {
	list, err := s.Savedlineup.Lineups(ctx, everything)
	return idsOf(list.Lineups, func(l *savedlineup.SavedLineup) int64 { return l.ID }), err
}

func (s *Service) lineup(ctx context.Context, id int64) error {
	_, err := s.Savedlineup.Lineup(ctx, records.IDRequest{ID: id})
	return err
}

func (s *Service) sheets(ctx context.Context) ([]int64, error) {
	list, err := s.Setup.Sheets(ctx, setup.SheetsRequest{})
	return idsOf(list.Sheets, func(h *setup.SheetSummary) int64 { return h.ID }), err
}

func (s *Service) sheet(ctx context.Context, id int64) error {
	_, err := s.Setup.Sheet(ctx, records.IDRequest{ID: id})
	return err
}

func (s *Service) recordings(ctx context.Context) ([]int64, error) {
	list, err := s.Strokes.Recordings(ctx, strokes.RecordingsRequest{})
	return idsOf(list.Recordings, func(r *strokes.RecordingSummary) int64 { return r.ID }), err
}

func (s *Service) recording(ctx context.Context, id int64) error {
	_, err := s.Strokes.RecordingSamples(ctx, records.IDRequest{ID: id})
	return err
}

func (s *Service) races(ctx context.Context) ([]int64, error) {
	list, err := s.Seatrace.Races(ctx, everything)
	return idsOf(list.Races, func(r *seatrace.RaceSummary) int64 { return r.ID }), err
}

func (s *Service) race(ctx context.Context, id int64) error {
	_, err := s.Seatrace.Race(ctx, records.IDRequest{ID: id})
	return err
}
