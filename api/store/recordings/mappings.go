package recordings

import (
	"context"
	"thole/api/store/db"
	"time"
)

// ImportMapping says how a kind of file is read, under a name.
type ImportMapping struct {
	Name    string
	Mapping string // JSON
	SavedAt time.Time
}

func (m *ImportMapping) columns() []db.Column {
	return []db.Column{{"name", &m.Name}, {"mapping", &m.Mapping}, {"saved_at", (*db.Stamp)(&m.SavedAt)}}
}

// SaveMapping keeps a mapping in place of the one that has its name.
func (s *Records) SaveMapping(ctx context.Context, m ImportMapping) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		m.SavedAt = t.Moment(m.SavedAt)
		return struct{}{}, t.Exec("INSERT OR REPLACE INTO import_mappings ("+db.Names(m.columns())+") VALUES (?, ?, ?)", db.Fields(m.columns())...)
	})
	return err
}

// Mapping returns the mapping with the name.
func (s *Records) Mapping(ctx context.Context, name string) (ImportMapping, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (ImportMapping, error) {
		return db.One(t, (*ImportMapping).columns, "import_mappings WHERE name = ?", name)
	})
}

// Mappings lists the mappings by name.
func (s *Records) Mappings(ctx context.Context) ([]ImportMapping, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]ImportMapping, error) {
		return db.List(t, (*ImportMapping).columns, "import_mappings ORDER BY name")
	})
}

// DeleteMapping removes the mapping with the name.
func (s *Records) DeleteMapping(ctx context.Context, name string) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		return struct{}{}, t.Scan("DELETE FROM import_mappings WHERE name = ? RETURNING name", []any{name}, &name)
	})
	return err
}
