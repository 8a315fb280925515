package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"strings"
	"time"
)

// tx is one transaction with the context, the clock and the time zone it runs
// under. It does not outlive the call that began it.
type tx struct {
	*sql.Tx
	ctx  context.Context
	now  func() time.Time
	zone *time.Location
}

// write runs do in a transaction that holds the write lock from its start, and
// commits unless do fails.
func write[T any](ctx context.Context, s *Store, do func(*tx) (T, error)) (T, error) {
	if err := s.usable(); err != nil {
		return *new(T), err
	}
	return within(ctx, s, s.writer, do)
}

// read runs do on one snapshot of the database.
func read[T any](ctx context.Context, s *Store, do func(*tx) (T, error)) (T, error) {
	return within(ctx, s, s.readers, do)
}

func within[T any](ctx context.Context, s *Store, db *sql.DB, do func(*tx) (T, error)) (T, error) {
	var none T
	begun, err := db.BeginTx(ctx, nil)
	if err != nil {
		return none, s.noting(explain(err))
	}
	defer begun.Rollback() // does nothing after Commit
	result, err := do(&tx{begun, ctx, s.now, s.zone})
	if err == nil {
		err = begun.Commit()
	}
	// A context that ends rolls the transaction back beside us, and what we do
	// then is reported as done too late: why is what counts.
	if errors.Is(err, sql.ErrTxDone) && ctx.Err() != nil {
		err = ctx.Err()
	}
	if err != nil {
		return none, s.noting(explain(err))
	}
	return result, nil
}

// column joins a column to the field it is kept in. The field is a pointer, so
// that one list of columns serves to insert, update, read and compare.
type column struct {
	name  string
	field any
}

// namedValue is a column that holds a measure.
type namedValue struct {
	name  string
	value **float64
}

func asColumns(values []namedValue) []column {
	columns := make([]column, len(values))
	for i, v := range values {
		columns[i] = column{v.name, v.value}
	}
	return columns
}

func names(columns []column) string {
	list := make([]string, len(columns))
	for i, c := range columns {
		list[i] = c.name
	}
	return strings.Join(list, ", ")
}

func fields(columns []column) []any {
	list := make([]any, len(columns))
	for i, c := range columns {
		list[i] = c.field
	}
	return list
}

func (t *tx) exec(query string, args ...any) error {
	_, err := t.ExecContext(t.ctx, query, args...)
	return err
}

// scan reads one row; none is ErrNotFound.
func (t *tx) scan(query string, args []any, into ...any) error {
	err := t.QueryRowContext(t.ctx, query, args...).Scan(into...)
	if errors.Is(err, sql.ErrNoRows) {
		return ErrNotFound
	}
	return err
}

// exists is ErrNotFound unless the table has a row with the id.
func (t *tx) exists(table string, id int64) error {
	return t.scan("SELECT id FROM "+table+" WHERE id = ?", []any{id}, &id)
}

// insert adds a row and returns its id.
func (t *tx) insert(table string, columns []column) (int64, error) {
	marks := strings.TrimSuffix(strings.Repeat("?, ", len(columns)), ", ")
	query := fmt.Sprintf("INSERT INTO %s (%s) VALUES (%s)", table, names(columns), marks)
	result, err := t.ExecContext(t.ctx, query, fields(columns)...)
	if err != nil {
		return 0, err
	}
	return result.LastInsertId()
}

// update writes the columns of the row with the id.
func (t *tx) update(table string, id int64, columns []column) error {
	query := fmt.Sprintf("UPDATE %s SET (%s) = (%s) WHERE id = ?", table, names(columns),
		strings.TrimSuffix(strings.Repeat("?, ", len(columns)), ", "))
	return t.exec(query, append(fields(columns), id)...)
}

// remove deletes the row with the id. Rows that refer to it and do not go with
// it make that ErrInUse.
func (t *tx) remove(table string, id int64) error {
	result, err := t.ExecContext(t.ctx, "DELETE FROM "+table+" WHERE id = ?", id)
	if err != nil {
		return inUse(err)
	}
	n, err := result.RowsAffected()
	if err == nil && n == 0 {
		err = ErrNotFound
	}
	return err
}

// list reads rows into values; columns says which columns go where, rest is
// the query from the name of the table on.
func list[T any](t *tx, columns func(*T) []column, rest string, args ...any) ([]T, error) {
	query := "SELECT " + names(columns(new(T))) + " FROM " + rest
	rows, err := t.QueryContext(t.ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	found := []T{}
	for rows.Next() {
		var v T
		into := columns(&v)
		if err := rows.Scan(fields(into)...); err != nil {
			return nil, err
		}
		t.localise(into)
		found = append(found, v)
	}
	return found, rows.Err()
}

// localise puts the moments that were read into the store's time zone.
func (t *tx) localise(columns []column) {
	for _, c := range columns {
		if at, ok := c.field.(*stamp); ok && !time.Time(*at).IsZero() {
			*at = stamp(time.Time(*at).In(t.zone))
		}
	}
}

// one reads the first row of a list; none is ErrNotFound.
func one[T any](t *tx, columns func(*T) []column, rest string, args ...any) (T, error) {
	var none T
	found, err := list(t, columns, rest+" LIMIT 1", args...)
	switch {
	case err != nil:
		return none, err
	case len(found) == 0:
		return none, ErrNotFound
	}
	return found[0], nil
}

// stamp keeps a moment as RFC 3339 in UTC with milliseconds, so that texts sort
// as moments do. The zero moment is NULL.
type stamp time.Time

const stampLayout = "2006-01-02T15:04:05.000Z"

// Value gives the text, nil for the zero moment.
func (s stamp) Value() (driver.Value, error) {
	if time.Time(s).IsZero() {
		return nil, nil
	}
	return time.Time(s).UTC().Format(stampLayout), nil
}

// Scan reads the text, or NULL as the zero moment.
func (s *stamp) Scan(value any) error {
	if value == nil {
		*s = stamp{}
		return nil
	}
	at, err := time.Parse(stampLayout, fmt.Sprint(value))
	*s = stamp(at)
	return err
}

// moment is at as it will be stored, or the present when at is zero.
func (t *tx) moment(at time.Time) time.Time {
	if at.IsZero() {
		at = t.now()
	}
	return at.UTC().Truncate(time.Millisecond)
}

// today is the day in the store's time zone, YYYY-MM-DD.
func (t *tx) today() string { return t.now().In(t.zone).Format(time.DateOnly) }

// Filter picks records from a list.
type Filter struct {
	Name     string // a part of the name, whatever the case and accents
	Archived bool   // list the archived ones, too
	Squad    int64  // of athletes: those of this squad; 0 for all
}

// filtered is the end of a query that lists by a Filter; it takes the
// arguments of Filter.args.
const filtered = " WHERE instr(name_key, ?) > 0 AND archived <= ? ORDER BY name_key, id"

func (f Filter) args() []any { return []any{NameKey(f.Name), f.Archived} }
