package club

import (
	"context"
	"sync"

	"thole/api/directory"
	"thole/api/records"
	"thole/api/store"
)

// everybody is who is on record and how they are called, kept until an athlete
// changes: what tells each from all others takes longer to find than most pages.
type everybody struct {
	mu     sync.Mutex
	mark   store.AthletesMark
	names  []directory.Athlete // by name, archived ones too
	labels map[int64]string
}

// called returns the names and labels of everybody on record. They are shared and
// must not be changed.
func (s *Service) called(ctx context.Context) ([]directory.Athlete, map[int64]string, error) {
	// The mark is read first: names that came after it are found again next time.
	mark, err := s.Store.AthletesMark(ctx)
	if err != nil {
		return nil, nil, records.RecordError(err)
	}
	s.people.mu.Lock()
	defer s.people.mu.Unlock()
	if s.people.labels != nil && s.people.mark == mark {
		return s.people.names, s.people.labels, nil
	}
	all, err := s.Store.Athletes(ctx, store.Filter{Archived: true})
	if err != nil {
		return nil, nil, records.RecordError(err)
	}
	names := directory.Of(all)
	labels := make(map[int64]string, len(names))
	for i := range names {
		labels[names[i].ID] = names[i].Label
	}
	s.people.mark, s.people.names, s.people.labels = mark, names, labels
	return names, labels, nil
}

// WholeNames names no two athletes of the list the same; see [directory.WholeNames].
func (l *AthleteList) WholeNames() map[int64]string {
	names := make([]directory.Athlete, len(l.Athletes))
	for i := range l.Athletes {
		a := &l.Athletes[i]
		names[i] = directory.Athlete{ID: a.ID, Name: a.Name, BirthDate: a.BirthDate, BirthYear: a.BirthYear, Archived: a.Archived}
	}
	return directory.WholeNames(names)
}
