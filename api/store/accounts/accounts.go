package accounts

import (
	"context"
	"errors"
	"thole/api/store/db"
	"time"

	"github.com/alexedwards/argon2id"
)

// PasswordHashing costs 19 MiB and two passes a password, the least that the
// OWASP Password Storage Cheat Sheet recommends for argon2id
// (from memory).
var PasswordHashing = argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// Account is someone who may sign in. Names differ in more than case and
// accents.
type Account struct {
	ID        int64
	Name      string
	Role      string // coach, boatman or athlete
	AthleteID *int64 // the record of the athlete who signs in with it; the account goes with it
	CreatedAt time.Time
	// PasswordAt is when the password was last replaced, zero for never.
	PasswordAt time.Time
	// PasswordNumber counts the passwords from 1: a session that began under another
	// one has ended.
	PasswordNumber int64
}

func (a *Account) columns() []db.Column {
	return []db.Column{{"name", &a.Name}, {"role", &a.Role}, {"athlete_id", &a.AthleteID}, {"created_at", (*db.Stamp)(&a.CreatedAt)}, {"password_at", (*db.Stamp)(&a.PasswordAt)}}
}

func (a *Account) Stored() []db.Column {
	return append(a.columns(), db.Column{"id", &a.ID}, db.Column{"password_number", &a.PasswordNumber})
}

// addAccount puts an account on record with the argon2id hash of its password and
// returns the id. A name or an athlete that has an account is ErrTaken.
func addAccount(t *db.Tx, a Account, hash string) (int64, error) {
	key := db.NameKey(a.Name)
	a.CreatedAt = t.Moment(time.Time{})
	id, err := t.Insert("accounts", append(a.columns(), db.Column{"name_key", &key}, db.Column{"hash", &hash}))
	return id, db.Taken(err)
}

// Authenticate returns the account with the name and password, or
// ErrCredentials, which does not say whether the name or the password is
// wrong; nor does the time it takes.
func (s *Records) Authenticate(ctx context.Context, name, password string) (Account, error) {
	type row struct {
		Account
		hash string
	}
	found, err := db.Read(ctx, s.file, func(t *db.Tx) (row, error) {
		return db.One(t, func(r *row) []db.Column { return append(r.Stored(), db.Column{"hash", &r.hash}) }, "accounts WHERE name_key = ?", db.NameKey(name))
	})
	if errors.Is(err, db.ErrNotFound) {
		// As much work as comparing, so that the time does not tell.
		_, err = argon2id.CreateHash(password, &s.hashing)
		return Account{}, errors.Join(db.ErrCredentials, err)
	}
	if err != nil {
		return Account{}, err
	}
	match, err := argon2id.ComparePasswordAndHash(password, found.hash)
	if err == nil && !match {
		err = db.ErrCredentials
	}
	if err != nil {
		return Account{}, err
	}
	return found.Account, nil
}

// AccountNamed returns the account with a name, whatever its case and accents.
func (s *Records) AccountNamed(ctx context.Context, name string) (Account, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Account, error) {
		return db.One(t, (*Account).Stored, "accounts WHERE name_key = ?", db.NameKey(name))
	})
}

// SetPassword replaces the password of an account. Web sessions that began
// before are to end, see Account.PasswordNumber.
func (s *Records) SetPassword(ctx context.Context, id int64, password string) error {
	hash, err := argon2id.CreateHash(password, &s.hashing)
	if err != nil {
		return err
	}
	_, err = db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) { return struct{}{}, setPassword(t, id, hash) })
	return err
}

func setPassword(t *db.Tx, id int64, hash string) error {
	return t.Scan("UPDATE accounts SET hash = ?, password_at = ?, password_number = password_number + 1 WHERE id = ? RETURNING id", []any{hash, db.Stamp(t.Moment(time.Time{})), id}, &id)
}

// HashPassword returns the argon2id hash of a password.
func (s *Records) HashPassword(password string) (string, error) {
	return argon2id.CreateHash(password, &s.hashing)
}

// Account returns one account.
func (s *Records) Account(ctx context.Context, id int64) (Account, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Account, error) { return db.One(t, (*Account).Stored, "accounts WHERE id = ?", id) })
}

// Accounts lists the accounts by name.
func (s *Records) Accounts(ctx context.Context) ([]Account, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Account, error) { return db.List(t, (*Account).Stored, "accounts ORDER BY name_key") })
}

// SetRole gives an account another role, and the record of an athlete to that of
// an athlete alone. A record that another account has is ErrTaken, the only coach
// ErrLastCoach.
func (s *Records) SetRole(ctx context.Context, id int64, role string, athlete *int64) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		err := t.Scan("UPDATE accounts SET role = ?, athlete_id = ? WHERE id = ? RETURNING id", []any{role, athlete, id}, &id)
		if err != nil {
			return struct{}{}, db.Taken(err)
		}
		return struct{}{}, keepsCoach(t)
	})
	return err
}

// ErrLastCoach: without this account nobody could let anybody in.
var ErrLastCoach = errors.New("the only coach")

// DeleteAccount removes an account with its tokens. Its name stays with what it
// did. The only coach is ErrLastCoach.
func (s *Records) DeleteAccount(ctx context.Context, id int64) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		if err := t.Remove("accounts", id); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, keepsCoach(t)
	})
	return err
}

// keepsCoach is ErrLastCoach unless there is a coach.
func keepsCoach(t *db.Tx) error {
	var coaches int
	if err := t.Scan("SELECT count(*) FROM accounts WHERE role = 'coach'", nil, &coaches); err != nil || coaches > 0 {
		return err
	}
	return ErrLastCoach
}
