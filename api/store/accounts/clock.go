package accounts

import (
	"thole/api/store/db"
	"time"
)

// clockBack holds what had ended when the clock went back from the latest moment to
// now to its end, and what was made after now to the time that it was meant to last.
func clockBack(t *db.Tx, latest, now time.Time) error {
	for _, table := range []string{"links", "tokens"} {
		if err := t.Exec("UPDATE "+table+" SET expires_at = ?2 WHERE expires_at <= ?1 AND expires_at > ?2", db.Stamp(latest), db.Stamp(now)); err != nil {
			return err
		}
		if err := shorten(t, table, now); err != nil {
			return err
		}
	}
	return t.Exec("DELETE FROM sessions WHERE expiry <= julianday(?)", db.Stamp(latest))
}

// lasting is when something was made and when it ends.
type lasting struct {
	id               int64
	created, expires time.Time
}

func (l *lasting) columns() []db.Column {
	return []db.Column{{"id", &l.id}, {"created_at", (*db.Stamp)(&l.created)}, {"expires_at", (*db.Stamp)(&l.expires)}}
}

// shorten lets what was made after now, and has not ended, begin now.
func shorten(t *db.Tx, table string, now time.Time) error {
	ahead, err := db.List(t, (*lasting).columns, table+" WHERE created_at > ?1 AND expires_at > ?1", db.Stamp(now))
	for i := range ahead {
		l := &ahead[i]
		l.expires, l.created = l.expires.Add(now.Sub(l.created)), now
		if err := t.Update(table, l.id, l.columns()[1:]); err != nil {
			return err
		}
	}
	return err
}
