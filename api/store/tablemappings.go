package store

import (
	"context"
	"thole/api/store/db"
	"time"
)

// TableMapping says how a kind of the club's own tables is read, under a name.
type TableMapping struct {
	Kind    string // such as squad
	Name    string
	Mapping string // JSON
	SavedAt time.Time
}

func (m *TableMapping) columns() []db.Column {
	return []db.Column{{"kind", &m.Kind}, {"name", &m.Name}, {"mapping", &m.Mapping}, {"saved_at", (*db.Stamp)(&m.SavedAt)}}
}

// SaveTableMapping keeps a mapping in place of the one of its kind that has its
// name.
func (s *Store) SaveTableMapping(ctx context.Context, m TableMapping) error {
	_, err := db.Write(ctx, s.File, func(t *db.Tx) (struct{}, error) {
		m.SavedAt = t.Moment(m.SavedAt)
		return struct{}{}, t.Exec("INSERT OR REPLACE INTO table_mappings ("+db.Names(m.columns())+") VALUES (?, ?, ?, ?)", db.Fields(m.columns())...)
	})
	return err
}

// TableMappings lists the mappings of a kind, the newest first.
func (s *Store) TableMappings(ctx context.Context, kind string) ([]TableMapping, error) {
	return db.Read(ctx, s.File, func(t *db.Tx) ([]TableMapping, error) {
		return db.List(t, (*TableMapping).columns, "table_mappings WHERE kind = ? ORDER BY saved_at DESC, name", kind)
	})
}

// AllTableMappings lists the mappings of every kind, by kind and name.
func (s *Store) AllTableMappings(ctx context.Context) ([]TableMapping, error) {
	return db.Read(ctx, s.File, func(t *db.Tx) ([]TableMapping, error) {
		return db.List(t, (*TableMapping).columns, "table_mappings ORDER BY kind, name")
	})
}

// DeleteTableMapping removes the mapping of a kind with the name.
func (s *Store) DeleteTableMapping(ctx context.Context, kind, name string) error {
	_, err := db.Write(ctx, s.File, func(t *db.Tx) (struct{}, error) {
		return struct{}{}, t.Scan("DELETE FROM table_mappings WHERE kind = ? AND name = ? RETURNING name", []any{kind, name}, &name)
	})
	return err
}
