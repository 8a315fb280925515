package store

import (
	"context"
	"time"
)

// ImportMapping says how a kind of file is read, under a name.
type ImportMapping struct {
	Name    string
	Mapping string // JSON
	SavedAt time.Time
}

func (m *ImportMapping) columns() []column {
	return []column{{"name", &m.Name}, {"mapping", &m.Mapping}, {"saved_at", (*stamp)(&m.SavedAt)}}
}

// SaveMapping keeps a mapping in place of the one that has its name.
func (s *Store) SaveMapping(ctx context.Context, m ImportMapping) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) {
		m.SavedAt = t.moment(m.SavedAt)
		return struct{}{}, t.exec("INSERT OR REPLACE INTO import_mappings ("+names(m.columns())+") VALUES (?, ?, ?)", fields(m.columns())...)
	})
	return err
}

// Mapping returns the mapping with the name.
func (s *Store) Mapping(ctx context.Context, name string) (ImportMapping, error) {
	return read(ctx, s, func(t *tx) (ImportMapping, error) {
		return one(t, (*ImportMapping).columns, "import_mappings WHERE name = ?", name)
	})
}

// Mappings lists the mappings by name.
func (s *Store) Mappings(ctx context.Context) ([]ImportMapping, error) {
	return read(ctx, s, func(t *tx) ([]ImportMapping, error) {
		return list(t, (*ImportMapping).columns, "import_mappings ORDER BY name")
	})
}

// DeleteMapping removes the mapping with the name.
func (s *Store) DeleteMapping(ctx context.Context, name string) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) {
		return struct{}{}, t.scan("DELETE FROM import_mappings WHERE name = ? RETURNING name", []any{name}, &name)
	})
	return err
}
