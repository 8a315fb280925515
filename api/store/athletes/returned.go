package store

import (
	"context"
	"database/sql"
	"slices"
)

// Returned lists the athletes of one file who had been removed from the other,
// later one: numbers that were given there and are not on record. No server may
// run on them.
func Returned(ctx context.Context, later, earlier string) ([]Athlete, error) {
	last, now := int64(0), map[int64]bool{}
	db := asIs(later)
	defer db.Close()
	if err := db.QueryRowContext(ctx, "SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = 'athletes'").Scan(&last); err != nil {
		return nil, explain(err)
	}
	there, err := idsAndNames(ctx, db)
	if err != nil {
		return nil, err
	}
	for _, a := range there {
		now[a.ID] = true
	}
	old := asIs(earlier)
	defer old.Close()
	had, err := idsAndNames(ctx, old)
	return slices.DeleteFunc(had, func(a Athlete) bool { return a.ID > last || now[a.ID] }), err
}

// idsAndNames reads what every version of the file has of its athletes.
func idsAndNames(ctx context.Context, db *sql.DB) ([]Athlete, error) {
	rows, err := db.QueryContext(ctx, "SELECT id, name FROM athletes ORDER BY id")
	if err != nil {
		return nil, explain(err)
	}
	defer rows.Close()
	var found []Athlete
	for rows.Next() {
		var a Athlete
		if err := rows.Scan(&a.ID, &a.Name); err != nil {
			return nil, err
		}
		found = append(found, a)
	}
	return found, explain(rows.Err())
}
