package athletes

import (
	"context"
	"database/sql"
	"slices"
	"thole/api/store/db"
)

// Returned lists the athletes of one file who had been removed from the other,
// later one: numbers that were given there and are not on record. No server may
// run on them.
func Returned(ctx context.Context, later, earlier string) ([]Athlete, error) {
	last, now := int64(0), map[int64]bool{}
	file := db.AsIs(later)
	defer file.Close()
	if err := file.QueryRowContext(ctx, "SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = 'athletes'").Scan(&last); err != nil {
		return nil, db.Explain(err)
	}
	there, err := idsAndNames(ctx, file)
	if err != nil {
		return nil, err
	}
	for _, a := range there {
		now[a.ID] = true
	}
	old := db.AsIs(earlier)
	defer old.Close()
	had, err := idsAndNames(ctx, old)
	return slices.DeleteFunc(had, func(a Athlete) bool { return a.ID > last || now[a.ID] }), err
}

// idsAndNames reads what every version of the file has of its athletes.
func idsAndNames(ctx context.Context, file *sql.DB) ([]Athlete, error) {
	rows, err := file.QueryContext(ctx, "SELECT id, name FROM athletes ORDER BY id")
	if err != nil {
		return nil, db.Explain(err)
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
	return found, db.Explain(rows.Err())
}
