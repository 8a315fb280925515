package athletes

import (
	"context"
	"thole/api/store/db"
)

// Overview is what lists show of an athlete's measures: the newest of each,
// and the day of the newest entry.
type Overview struct {
	StatureCm, MassKg *float64
	MeasuredOn        string // YYYY-MM-DD
}

// Overviews returns the overview of every athlete who was ever measured, as of
// a day (YYYY-MM-DD). It agrees with AllLatestMeasures, and reads much less.
func (s *Records) Overviews(ctx context.Context, asOf string) (map[int64]Overview, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (map[int64]Overview, error) {
		all := map[int64]Overview{}
		for _, part := range []struct {
			column string
			take   func(*Overview, *newestValue)
		}{
			{"stature_cm", func(o *Overview, v *newestValue) { o.StatureCm = v.value }},
			{"mass_kg", func(o *Overview, v *newestValue) { o.MassKg = v.value }},
			{"id", func(o *Overview, v *newestValue) { o.MeasuredOn = v.place[:len("YYYY-MM-DD")] }},
		} {
			values, err := db.List(t, (*newestValue).columns, newestOf(part.column), asOf)
			if err != nil {
				return nil, err
			}
			for i := range values {
				o := all[values[i].athleteID]
				part.take(&o, &values[i])
				all[values[i].athleteID] = o
			}
		}
		return all, nil
	})
}

// newestValue is the newest value of one column, and its place in time.
type newestValue struct {
	athleteID int64
	value     *float64
	place     string // day and id
}

func (v *newestValue) columns() []db.Column {
	return []db.Column{{"athlete_id", &v.athleteID}, {"value", &v.value}, {"place", &v.place}}
}

// newestOf picks the newest entry that has the column: beside max(), SQLite
// takes the other columns from the row where the maximum stands.
func newestOf(column string) string {
	return "(SELECT athlete_id, CAST(" + column + " AS REAL) AS value, max(measured_on || printf('%020d', id)) AS place FROM measures WHERE " +
		column + " IS NOT NULL AND measured_on <= ? GROUP BY athlete_id)"
}
