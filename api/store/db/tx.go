package db

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"strings"
	"time"
)

// Tx is one transaction with the context, the clock and the time zone it runs
// under. It does not outlive the call that began it.
type Tx struct {
	*sql.Tx
	Ctx  context.Context
	file *DB
}

// Write runs do in a transaction that holds the write lock from its start, and
// commits unless do fails.
func Write[T any](ctx context.Context, s *DB, do func(*Tx) (T, error)) (T, error) {
	if err := s.usable(); err != nil {
		return *new(T), err
	}
	once := OnceIn(ctx)
	if once != nil && once.Kept() {
		once = nil
	}
	settled := func() {}
	result, err := within(ctx, s, s.writer, func(t *Tx) (none T, err error) {
		if settled, err = s.settle(t); err != nil {
			return none, err
		}
		if once != nil {
			if err := once.keep(t); err != nil {
				return none, err
			}
		}
		return do(t)
	})
	if err != nil {
		return result, err
	}
	settled()
	if once != nil {
		once.kept.Store(true)
	}
	return result, nil
}

// Read runs do on one snapshot of the database.
func Read[T any](ctx context.Context, s *DB, do func(*Tx) (T, error)) (T, error) {
	return within(ctx, s, s.readers, do)
}

func within[T any](ctx context.Context, s *DB, db *sql.DB, do func(*Tx) (T, error)) (T, error) {
	var none T
	s.clock.tell() // so that what is read tells the time, too
	begun, err := db.BeginTx(ctx, nil)
	if err != nil {
		return none, s.noting(Explain(err))
	}
	defer begun.Rollback() // does nothing after Commit
	result, err := do(&Tx{begun, ctx, s})
	if err == nil {
		err = begun.Commit()
	}
	// A context that ends rolls the transaction back beside us, and what we do
	// then is reported as done too late: why is what counts.
	if errors.Is(err, sql.ErrTxDone) && ctx.Err() != nil {
		err = ctx.Err()
	}
	if err != nil {
		return none, s.noting(Explain(err))
	}
	return result, nil
}

// Column joins a column to the field it is kept in. The field is a pointer, so
// that one list of columns serves to insert, update, read and compare.
type Column = struct {
	Name  string
	Field any
}

// NamedValue is a column that holds a measure.
type NamedValue = struct {
	Name  string
	Value **float64
}

// AsColumns makes columns of named values, to be written.
func AsColumns(values []NamedValue) []Column {
	columns := make([]Column, len(values))
	for i, v := range values {
		columns[i] = Column{v.Name, v.Value}
	}
	return columns
}

// Names are the names of columns as a statement lists them.
func Names(columns []Column) string {
	list := make([]string, len(columns))
	for i, c := range columns {
		list[i] = c.Name
	}
	return strings.Join(list, ", ")
}

// Fields are what columns are read into, in their order.
func Fields(columns []Column) []any {
	list := make([]any, len(columns))
	for i, c := range columns {
		list[i] = c.Field
	}
	return list
}

func (t *Tx) Exec(query string, args ...any) error {
	_, err := t.ExecContext(t.Ctx, query, args...)
	return err
}

// Scan reads one row; none is ErrNotFound.
func (t *Tx) Scan(query string, args []any, into ...any) error {
	err := t.QueryRowContext(t.Ctx, query, args...).Scan(into...)
	if errors.Is(err, sql.ErrNoRows) {
		return ErrNotFound
	}
	return err
}

// Exists is ErrNotFound unless the table has a row with the id.
func (t *Tx) Exists(table string, id int64) error {
	return t.Scan("SELECT id FROM "+table+" WHERE id = ?", []any{id}, &id)
}

// Insert adds a row and returns its id.
func (t *Tx) Insert(table string, columns []Column) (int64, error) {
	marks := strings.TrimSuffix(strings.Repeat("?, ", len(columns)), ", ")
	query := fmt.Sprintf("INSERT INTO %s (%s) VALUES (%s)", table, Names(columns), marks)
	result, err := t.ExecContext(t.Ctx, query, Fields(columns)...)
	if err != nil {
		return 0, err
	}
	return result.LastInsertId()
}

// Update writes the columns of the row with the id.
func (t *Tx) Update(table string, id int64, columns []Column) error {
	query := fmt.Sprintf("UPDATE %s SET (%s) = (%s) WHERE id = ?", table, Names(columns),
		strings.TrimSuffix(strings.Repeat("?, ", len(columns)), ", "))
	return t.Exec(query, append(Fields(columns), id)...)
}

// Remove deletes the row with the id. Rows that refer to it and do not go with
// it make that ErrInUse.
func (t *Tx) Remove(table string, id int64) error {
	result, err := t.ExecContext(t.Ctx, "DELETE FROM "+table+" WHERE id = ?", id)
	if err != nil {
		return inUse(err)
	}
	n, err := result.RowsAffected()
	if err == nil && n == 0 {
		err = ErrNotFound
	}
	return err
}

// List reads rows into values; columns says which columns go where, rest is
// the query from the name of the table on.
func List[T any](t *Tx, columns func(*T) []Column, rest string, args ...any) ([]T, error) {
	query := "SELECT " + Names(columns(new(T))) + " FROM " + rest
	rows, err := t.QueryContext(t.Ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	found := []T{}
	for rows.Next() {
		var v T
		into := columns(&v)
		if err := rows.Scan(Fields(into)...); err != nil {
			return nil, err
		}
		t.localise(into)
		found = append(found, v)
	}
	return found, rows.Err()
}

// localise puts the moments that were read into the store's time zone.
func (t *Tx) localise(columns []Column) {
	for _, c := range columns {
		if at, ok := c.Field.(*Stamp); ok && !time.Time(*at).IsZero() {
			*at = Stamp(time.Time(*at).In(t.file.zone))
		}
	}
}

// One reads the first row of a list; none is ErrNotFound.
func One[T any](t *Tx, columns func(*T) []Column, rest string, args ...any) (T, error) {
	var none T
	found, err := List(t, columns, rest+" LIMIT 1", args...)
	switch {
	case err != nil:
		return none, err
	case len(found) == 0:
		return none, ErrNotFound
	}
	return found[0], nil
}

// Stamp keeps a moment as RFC 3339 in UTC with milliseconds, so that texts sort
// as moments do. The zero moment is NULL.
type Stamp time.Time

const stampLayout = "2006-01-02T15:04:05.000Z"

// Value gives the text, nil for the zero moment.
func (s Stamp) Value() (driver.Value, error) {
	if time.Time(s).IsZero() {
		return nil, nil
	}
	return time.Time(s).UTC().Format(stampLayout), nil
}

// Scan reads the text, or NULL as the zero moment.
func (s *Stamp) Scan(value any) error {
	if value == nil {
		*s = Stamp{}
		return nil
	}
	at, err := time.Parse(stampLayout, fmt.Sprint(value))
	*s = Stamp(at)
	return err
}

// Moment is at as it will be stored, or the present when at is zero.
func (t *Tx) Moment(at time.Time) time.Time {
	if at.IsZero() {
		at = t.file.Now()
	}
	return at.UTC().Truncate(time.Millisecond)
}

// Today is the day in the store's time zone, YYYY-MM-DD.
func (t *Tx) Today() string { return t.file.Now().In(t.file.zone).Format(time.DateOnly) }

// Filter picks records from a list.
type Filter struct {
	Name     string // a part of the name, whatever the case and accents
	Archived bool   // list the archived ones, too
	Squad    int64  // of athletes: those of this squad; 0 for all
}

// Filtered is the end of a query that lists by a Filter; it takes the
// arguments of Filter.args.
const Filtered = Picked + " ORDER BY name_key, id"

// Picked is [Filtered] without an order.
const Picked = " WHERE instr(name_key, ?) > 0 AND archived <= ?"

func (f Filter) Args() []any { return []any{NameKey(f.Name), f.Archived} }
