package accounts

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"thole/api/store/db"
	"time"
)

// Link opens something to whoever holds its secret.
type Link struct {
	ID        int64
	Kind      string // invitation, password, page or measuring
	Name      string // of whom it is for, or of what it shows
	Role      string // of the account that an invitation makes
	AccountID *int64 // whose password may be set
	AthleteID *int64
	BoatID    *int64
	Seat      int    // of the boat, from 1
	Address   string // of the page that it shows
	CreatedBy string
	CreatedAt time.Time
	ExpiresAt time.Time
	UsedAt    time.Time // the last time, zero before
}

func (l *Link) stored() []db.Column {
	return []db.Column{
		{"id", &l.ID}, {"kind", &l.Kind}, {"name", &l.Name}, {"role", &l.Role}, {"account_id", &l.AccountID}, {"athlete_id", &l.AthleteID},
		{"boat_id", &l.BoatID}, {"seat", &l.Seat}, {"address", &l.Address}, {"created_by", &l.CreatedBy}, {"created_at", (*db.Stamp)(&l.CreatedAt)},
		{"expires_at", (*db.Stamp)(&l.ExpiresAt)}, {"used_at", (*db.Stamp)(&l.UsedAt)},
	}
}

// Errors about links.
var (
	// ErrExpired: the link was good until a moment that has passed.
	ErrExpired = errors.New("the link has expired")
	// ErrUsed: the link was good once.
	ErrUsed = errors.New("the link has been used")
)

// secretHash is what is kept of a secret. A secret is long and random, so that a
// quick hash does.
func secretHash(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// AddLinks puts links on record, all or none, each with its secret, and returns
// their ids. Links that expired a month ago go.
func (s *Records) AddLinks(ctx context.Context, links []Link, secrets []string) ([]int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (ids []int64, err error) {
		if err := t.Exec("DELETE FROM links WHERE expires_at < ?", db.Stamp(t.Moment(time.Time{}).AddDate(0, -1, 0))); err != nil {
			return nil, err
		}
		for i := range links {
			l, hash := links[i], secretHash(secrets[i])
			l.CreatedAt = t.Moment(time.Time{})
			id, err := t.Insert("links", append(l.stored()[1:], db.Column{"hash", &hash}))
			if err != nil {
				return nil, err
			}
			ids = append(ids, id)
		}
		return ids, nil
	})
}

// Link returns the link of a kind with a secret, as of a moment: ErrNotFound,
// ErrExpired, or ErrUsed for one that is good once.
func (s *Records) Link(ctx context.Context, kind, secret string, at time.Time) (Link, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Link, error) { return link(t, kind, secret, at) })
}

func link(t *db.Tx, kind, secret string, at time.Time) (Link, error) {
	l, err := db.One(t, (*Link).stored, "links WHERE hash = ? AND kind = ?", secretHash(secret), kind)
	once := kind == "invitation" || kind == "password"
	switch {
	case err != nil:
		return Link{}, err
	case once && !l.UsedAt.IsZero():
		return Link{}, ErrUsed
	case !t.Latest(at).Before(l.ExpiresAt):
		return Link{}, ErrExpired
	}
	return l, nil
}

// UseLink marks a link as used at a moment, unless it is not good any more.
func (s *Records) UseLink(ctx context.Context, kind, secret string, at time.Time) (Link, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (Link, error) { return useLink(t, kind, secret, at) })
}

func useLink(t *db.Tx, kind, secret string, at time.Time) (Link, error) {
	l, err := link(t, kind, secret, at)
	if err != nil {
		return Link{}, err
	}
	return l, t.Exec("UPDATE links SET used_at = ? WHERE id = ?", db.Stamp(at), l.ID)
}

// Accept makes the account of an invitation, which is then used, and returns
// its id. A name that is there is ErrTaken and leaves the invitation good.
func (s *Records) Accept(ctx context.Context, secret string, at time.Time, name, hash string) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		l, err := useLink(t, "invitation", secret, at)
		if err != nil {
			return 0, err
		}
		return addAccount(t, Account{Name: name, Role: l.Role, AthleteID: l.AthleteID}, hash)
	})
}

// Reset sets the password of the account that a link is for, which is then
// used, and returns its id.
func (s *Records) Reset(ctx context.Context, secret string, at time.Time, hash string) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		l, err := useLink(t, "password", secret, at)
		if err != nil {
			return 0, err
		}
		return *l.AccountID, setPassword(t, *l.AccountID, hash)
	})
}

// Links lists the links that were not used for good, newest first.
func (s *Records) Links(ctx context.Context) ([]Link, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Link, error) {
		return db.List(t, (*Link).stored, "links WHERE used_at IS NULL OR kind NOT IN ('invitation', 'password') ORDER BY id DESC")
	})
}

// DeleteLink revokes a link.
func (s *Records) DeleteLink(ctx context.Context, id int64) error {
	return db.Erase(ctx, s.file, "links", id)
}

// Token lets a program do what an account may.
type Token struct {
	ID, AccountID int64
	Name          string
	Scopes        string // separated by blanks
	CreatedAt     time.Time
	ExpiresAt     time.Time
	UsedAt        time.Time // to the hour; zero before the first time
}

func (k *Token) stored() []db.Column {
	return []db.Column{
		{"id", &k.ID}, {"account_id", &k.AccountID}, {"name", &k.Name}, {"scopes", &k.Scopes}, {"created_at", (*db.Stamp)(&k.CreatedAt)},
		{"expires_at", (*db.Stamp)(&k.ExpiresAt)}, {"used_at", (*db.Stamp)(&k.UsedAt)},
	}
}

// AddToken puts a token with its secret on record and returns the id.
func (s *Records) AddToken(ctx context.Context, k Token, secret string) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		hash := secretHash(secret)
		k.CreatedAt = t.Moment(time.Time{})
		return t.Insert("tokens", append(k.stored()[1:], db.Column{"hash", &hash}))
	})
}

// Token returns the token with a secret.
func (s *Records) Token(ctx context.Context, secret string) (Token, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Token, error) {
		return db.One(t, (*Token).stored, "tokens WHERE hash = ?", secretHash(secret))
	})
}

// TokenUsed keeps when a token was last used.
func (s *Records) TokenUsed(ctx context.Context, id int64, at time.Time) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		return struct{}{}, t.Exec("UPDATE tokens SET used_at = ? WHERE id = ?", db.Stamp(at), id)
	})
	return err
}

// Tokens lists the tokens of an account, newest first.
func (s *Records) Tokens(ctx context.Context, account int64) ([]Token, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Token, error) {
		return db.List(t, (*Token).stored, "tokens WHERE account_id = ? ORDER BY id DESC", account)
	})
}

// DeleteToken removes a token of an account.
func (s *Records) DeleteToken(ctx context.Context, account, id int64) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		return struct{}{}, t.Scan("DELETE FROM tokens WHERE id = ? AND account_id = ? RETURNING id", []any{id, account}, &id)
	})
	return err
}

// Task is what somebody asked the boatman to do.
type Task struct {
	ID      int64
	What    string
	Address string // of the page that shows it
	Note    string
	SentBy  string
	SentAt  time.Time
	DoneBy  string
	DoneAt  time.Time // zero while it is open
}

func (k *Task) stored() []db.Column {
	return []db.Column{
		{"id", &k.ID}, {"what", &k.What}, {"address", &k.Address}, {"note", &k.Note}, {"sent_by", &k.SentBy}, {"sent_at", (*db.Stamp)(&k.SentAt)},
		{"done_by", &k.DoneBy}, {"done_at", (*db.Stamp)(&k.DoneAt)},
	}
}

// AddTask puts a task on record and returns its id. The same page that is to be
// done already is not put there twice: its id is returned, with the new note.
func (s *Records) AddTask(ctx context.Context, k Task, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) { return addTask(t, k, nil, by) })
}

// addTask also says which saved seat it is about, if any.
func addTask(t *db.Tx, k Task, savedSeat *int64, by db.By) (id int64, err error) {
	k.SentBy, k.SentAt, k.DoneBy, k.DoneAt = by.Signer(t), t.Moment(by.At), "", time.Time{}
	err = t.Scan("UPDATE tasks SET note = ?, sent_by = ?, sent_at = ? WHERE address = ? AND done_at IS NULL RETURNING id",
		[]any{k.Note, k.SentBy, db.Stamp(k.SentAt), k.Address}, &id)
	if !errors.Is(err, db.ErrNotFound) {
		return id, err
	}
	return t.Insert("tasks", append(k.stored()[1:], db.Column{"saved_seat_id", savedSeat}))
}

// FinishTask closes an open task.
func (s *Records) FinishTask(ctx context.Context, id int64, by db.By) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		return struct{}{}, t.Scan("UPDATE tasks SET done_by = ?, done_at = ?, done_number = (SELECT coalesce(max(done_number), 0) + 1 FROM tasks) WHERE id = ? AND done_at IS NULL RETURNING id",
			[]any{by.Signer(t), db.Stamp(t.Moment(by.At)), id}, &id)
	})
	return err
}

// recentTasks is how many finished tasks are listed; our judgement.
const recentTasks = 10

// Tasks lists the open tasks, the oldest first, and the last that were done.
func (s *Records) Tasks(ctx context.Context) (open, done []Task, err error) {
	type lists struct{ open, done []Task }
	found, err := db.Read(ctx, s.file, func(t *db.Tx) (l lists, err error) {
		if l.open, err = db.Page(t, (*Task).stored, "tasks WHERE done_at IS NULL ORDER BY id"); err != nil {
			return l, err
		}
		l.done, err = db.List(t, (*Task).stored, "tasks WHERE done_at IS NOT NULL ORDER BY done_number DESC LIMIT ?", recentTasks)
		return l, err
	})
	return found.open, found.done, err
}

// Secret returns the key of the server's own with a name; fresh is kept as that
// key where there is none.
func (s *Records) Secret(ctx context.Context, name string, fresh []byte) ([]byte, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (key []byte, err error) {
		if err := t.Exec("INSERT INTO secrets (name, value) VALUES (?, ?) ON CONFLICT DO NOTHING", name, fresh); err != nil {
			return nil, err
		}
		return key, t.Scan("SELECT value FROM secrets WHERE name = ?", []any{name}, &key)
	})
}
