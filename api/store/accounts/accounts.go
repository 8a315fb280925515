package store

import (
	"context"
	"errors"
	"time"

	"github.com/alexedwards/argon2id"
)

// passwordHashing costs 19 MiB and two passes a password, the least that the
// OWASP Password Storage Cheat Sheet recommends for argon2id.
var passwordHashing = argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

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
}

func (a *Account) columns() []column {
	return []column{{"name", &a.Name}, {"role", &a.Role}, {"athlete_id", &a.AthleteID}, {"created_at", (*stamp)(&a.CreatedAt)}, {"password_at", (*stamp)(&a.PasswordAt)}}
}

func (a *Account) stored() []column { return append(a.columns(), column{"id", &a.ID}) }

// AddAccount puts an account on record and returns the id. Only the argon2id
// hash of the password is kept. A name or an athlete that has an account is
// ErrTaken.
func (s *Store) AddAccount(ctx context.Context, a Account, password string) (int64, error) {
	hash, err := argon2id.CreateHash(password, &s.hashing)
	if err != nil {
		return 0, err
	}
	return write(ctx, s, func(t *tx) (int64, error) { return t.addAccount(a, hash) })
}

func (t *tx) addAccount(a Account, hash string) (int64, error) {
	key := NameKey(a.Name)
	a.CreatedAt = t.moment(time.Time{})
	id, err := t.insert("accounts", append(a.columns(), column{"name_key", &key}, column{"hash", &hash}))
	return id, taken(err)
}

// Authenticate returns the account with the name and password, or
// ErrCredentials, which does not say whether the name or the password is
// wrong; nor does the time it takes.
func (s *Store) Authenticate(ctx context.Context, name, password string) (Account, error) {
	type row struct {
		Account
		hash string
	}
	found, err := read(ctx, s, func(t *tx) (row, error) {
		return one(t, func(r *row) []column { return append(r.stored(), column{"hash", &r.hash}) }, "accounts WHERE name_key = ?", NameKey(name))
	})
	if errors.Is(err, ErrNotFound) {
		// As much work as comparing, so that the time does not tell.
		_, err = argon2id.CreateHash(password, &s.hashing)
		return Account{}, errors.Join(ErrCredentials, err)
	}
	if err != nil {
		return Account{}, err
	}
	match, err := argon2id.ComparePasswordAndHash(password, found.hash)
	if err == nil && !match {
		err = ErrCredentials
	}
	if err != nil {
		return Account{}, err
	}
	return found.Account, nil
}

// AccountNamed returns the account with a name, whatever its case and accents.
func (s *Store) AccountNamed(ctx context.Context, name string) (Account, error) {
	return read(ctx, s, func(t *tx) (Account, error) {
		return one(t, (*Account).stored, "accounts WHERE name_key = ?", NameKey(name))
	})
}

// SetPassword replaces the password of an account. Web sessions that began
// before are to end, see Account.PasswordAt.
func (s *Store) SetPassword(ctx context.Context, id int64, password string) error {
	hash, err := argon2id.CreateHash(password, &s.hashing)
	if err != nil {
		return err
	}
	_, err = write(ctx, s, func(t *tx) (struct{}, error) { return struct{}{}, t.setPassword(id, hash) })
	return err
}

func (t *tx) setPassword(id int64, hash string) error {
	return t.scan("UPDATE accounts SET hash = ?, password_at = ? WHERE id = ? RETURNING id", []any{hash, stamp(t.moment(time.Time{})), id}, &id)
}

// HashPassword returns the argon2id hash of a password.
func (s *Store) HashPassword(password string) (string, error) {
	return argon2id.CreateHash(password, &s.hashing)
}

// Account returns one account.
func (s *Store) Account(ctx context.Context, id int64) (Account, error) {
	return read(ctx, s, func(t *tx) (Account, error) { return one(t, (*Account).stored, "accounts WHERE id = ?", id) })
}

// Accounts lists the accounts by name.
func (s *Store) Accounts(ctx context.Context) ([]Account, error) {
	return read(ctx, s, func(t *tx) ([]Account, error) { return list(t, (*Account).stored, "accounts ORDER BY name_key") })
}

// SetRole gives an account another role, and the record of an athlete to that of
// an athlete alone. A record that another account has is ErrTaken, the only coach
// ErrLastCoach.
func (s *Store) SetRole(ctx context.Context, id int64, role string, athlete *int64) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) {
		err := t.scan("UPDATE accounts SET role = ?, athlete_id = ? WHERE id = ? RETURNING id", []any{role, athlete, id}, &id)
		if err != nil {
			return struct{}{}, taken(err)
		}
		return struct{}{}, t.keepsCoach()
	})
	return err
}

// ErrLastCoach: without this account nobody could let anybody in.
var ErrLastCoach = errors.New("the only coach")

// DeleteAccount removes an account with its tokens. Its name stays with what it
// did. The only coach is ErrLastCoach.
func (s *Store) DeleteAccount(ctx context.Context, id int64) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) {
		if err := t.remove("accounts", id); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, t.keepsCoach()
	})
	return err
}

// keepsCoach is ErrLastCoach unless there is a coach.
func (t *tx) keepsCoach() error {
	var coaches int
	if err := t.scan("SELECT count(*) FROM accounts WHERE role = 'coach'", nil, &coaches); err != nil || coaches > 0 {
		return err
	}
	return ErrLastCoach
}
