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
	CreatedAt time.Time
}

func (a *Account) columns() []column {
	return []column{{"name", &a.Name}, {"created_at", (*stamp)(&a.CreatedAt)}}
}

func (a *Account) stored() []column { return append(a.columns(), column{"id", &a.ID}) }

// AddAccount puts an account on record and returns the id. Only the argon2id
// hash of the password is kept. A name that is there is ErrTaken.
func (s *Store) AddAccount(ctx context.Context, name, password string) (int64, error) {
	hash, err := argon2id.CreateHash(password, &s.hashing)
	if err != nil {
		return 0, err
	}
	return write(ctx, s, func(t *tx) (int64, error) {
		a, key := Account{Name: name, CreatedAt: t.moment(time.Time{})}, searchKey(name)
		id, err := t.insert("accounts", append(a.columns(), column{"name_key", &key}, column{"hash", &hash}))
		return id, taken(err)
	})
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
		return one(t, func(r *row) []column { return append(r.stored(), column{"hash", &r.hash}) }, "accounts WHERE name_key = ?", searchKey(name))
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

// SetPassword replaces the password of an account. Web sessions are not ended
// by it.
func (s *Store) SetPassword(ctx context.Context, id int64, password string) error {
	hash, err := argon2id.CreateHash(password, &s.hashing)
	if err != nil {
		return err
	}
	_, err = write(ctx, s, func(t *tx) (struct{}, error) {
		return struct{}{}, t.scan("UPDATE accounts SET hash = ? WHERE id = ? RETURNING id", []any{hash, id}, &id)
	})
	return err
}

// Account returns one account.
func (s *Store) Account(ctx context.Context, id int64) (Account, error) {
	return read(ctx, s, func(t *tx) (Account, error) { return one(t, (*Account).stored, "accounts WHERE id = ?", id) })
}

// Accounts lists the accounts by name.
func (s *Store) Accounts(ctx context.Context) ([]Account, error) {
	return read(ctx, s, func(t *tx) ([]Account, error) { return list(t, (*Account).stored, "accounts ORDER BY name_key") })
}

// DeleteAccount removes an account. Its name stays with what it did.
func (s *Store) DeleteAccount(ctx context.Context, id int64) error {
	return s.erase(ctx, "accounts", id)
}
