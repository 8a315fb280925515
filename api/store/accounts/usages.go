package accounts

import (
	"context"
	"thole/api/store/db"
)

// Usage is how somebody has units and words on pages. Each text is one of those that
// the table takes.
type Usage struct {
	BodyLengths string // cm or ft_in
	RigLengths  string // cm, mm, in or in_fractions
	Masses      string // kg or lb
	Sides       string // port_starboard or stroke_bow
	Days        string // dmy, mdy or ymd
	Decimals    string // point or comma
}

func (u *Usage) columns() []db.Column {
	return []db.Column{
		{"body_lengths", &u.BodyLengths}, {"rig_lengths", &u.RigLengths}, {"masses", &u.Masses}, {"sides", &u.Sides}, {"days", &u.Days}, {"decimals", &u.Decimals},
	}
}

// Usage returns the choice of an account, or the club's for account 0; ErrNotFound
// where nothing was chosen.
func (s *Records) Usage(ctx context.Context, account int64) (Usage, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Usage, error) {
		return db.One(t, (*Usage).columns, "usages WHERE ifnull(account_id, 0) = ?", account)
	})
}

// SetUsage keeps the choice of an account, or the club's for account 0; nil takes it
// back. An account that is not there is ErrNotFound, a text that the table does not take
// ErrInvalid.
func (s *Records) SetUsage(ctx context.Context, account int64, u *Usage) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) { return struct{}{}, setUsage(t, account, u) })
	return err
}

func setUsage(t *db.Tx, account int64, u *Usage) error {
	var whose *int64
	if account != 0 {
		if err := t.Exists("accounts", account); err != nil {
			return err
		}
		whose = &account
	}
	if err := t.Exec("DELETE FROM usages WHERE ifnull(account_id, 0) = ?", account); u == nil || err != nil {
		return err
	}
	_, err := t.Insert("usages", append(u.columns(), db.Column{"account_id", &whose}))
	return err
}
