// Package people holds who may use the server: accounts and their roles,
// invitations, sign-ins and their limits, tokens of programs, links that show
// one page, and what the boatman was asked to do.
package people

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"thole/api/access"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// Service holds the use cases.
type Service struct {
	*records.Records
	// On reports whether the server has accounts. Without them it answers only to
	// the machine it runs on, and whoever asks may do everything.
	On bool

	limits  *limiter
	hashing chan struct{} // one place for each password that is worked on at a time
}

// hashesAtOnce bounds the memory that passwords take, 19 MiB each; our judgement.
const hashesAtOnce = 2

// New returns a service over records.
func New(r *records.Records, on bool) *Service {
	return &Service{Records: r, On: on, limits: newLimiter(func() time.Time { return r.Now() }), hashing: make(chan struct{}, hashesAtOnce)}
}

// slowly runs work on a password when there is a place for it.
func slowly[T any](ctx context.Context, s *Service, work func() (T, error)) (T, error) {
	select {
	case s.hashing <- struct{}{}:
		defer func() { <-s.hashing }()
		return work()
	case <-ctx.Done():
		return *new(T), ctx.Err()
	}
}

// newSecret returns 256 random bits as text that addresses can hold.
func newSecret() string {
	bits := make([]byte, 32)
	_, _ = rand.Read(bits) // never fails
	return base64.RawURLEncoding.EncodeToString(bits)
}

// Account is someone who may sign in.
type Account struct {
	ID        int64       `json:"id"`
	Name      string      `json:"name"`
	Role      access.Role `json:"role" enum:"coach,boatman,athlete"`
	AthleteID *int64      `json:"athlete_id" description:"The record that the account sees; null but for athletes."`
	CreatedAt time.Time   `json:"created_at"`
}

func wireAccount(a store.Account) Account {
	return Account{ID: a.ID, Name: a.Name, Role: access.Role(a.Role), AthleteID: a.AthleteID, CreatedAt: a.CreatedAt}
}

// AccountList is everybody who may sign in.
type AccountList struct {
	Accounts []Account `json:"accounts"`
}

// Accounts lists the accounts by name.
func (s *Service) Accounts(ctx context.Context, _ struct{}) (AccountList, error) {
	found, err := s.Store.Accounts(ctx)
	list := AccountList{Accounts: []Account{}}
	for _, a := range found {
		list.Accounts = append(list.Accounts, wireAccount(a))
	}
	return list, records.RecordError(err)
}

// Account returns one account.
func (s *Service) Account(ctx context.Context, id int64) (Account, error) {
	a, err := s.Store.Account(ctx, id)
	return wireAccount(a), records.RecordError(err)
}

// errLastCoach says why an account stays.
var errLastCoach = &wire.Refusal{Status: http.StatusConflict, Text: "this is the only coach: make another one first", Type: wire.OnlyCoach}

// RoleEdit gives an account another role.
type RoleEdit struct {
	ID        int64       `path:"id" json:"-" validate:"gte=1"`
	Role      access.Role `json:"role" validate:"required,oneof=coach boatman athlete"`
	AthleteID *int64      `json:"athlete_id" validate:"omitempty,gte=1" description:"The record that an athlete sees; needed for that role, and none for the others."`
}

// ChangeRole gives an account another role, from its next request on.
func (s *Service) ChangeRole(ctx context.Context, r RoleEdit) (Account, error) {
	var p wire.Problems
	p.Check(wire.At(), r)
	switch {
	case len(p.Fields) > 0:
	case r.Role == access.Athlete && r.AthleteID == nil:
		p.Add(wire.At("athlete_id").Problem("Choose whose record it is."))
	case r.Role != access.Athlete && r.AthleteID != nil:
		p.Add(wire.At("athlete_id").Problem("Only an athlete’s account has a record."))
	}
	if err := p.OrNil(); err != nil {
		return Account{}, err
	}
	if r.AthleteID != nil {
		if _, err := s.Store.Athlete(ctx, *r.AthleteID); err != nil {
			return Account{}, wire.At("athlete_id").Invalid("This athlete is not on record.")
		}
	}
	err := s.Store.SetRole(ctx, r.ID, string(r.Role), r.AthleteID)
	switch {
	case errors.Is(err, store.ErrLastCoach):
		return Account{}, errLastCoach
	case errors.Is(err, store.ErrTaken):
		return Account{}, wire.At("athlete_id").Invalid("Another account has this record.")
	case err != nil:
		return Account{}, records.RecordError(err)
	}
	return s.Account(ctx, r.ID)
}

// RemoveAccount removes an account; its sessions and tokens end with it. Its
// name stays with what it did.
func (s *Service) RemoveAccount(ctx context.Context, id int64) error {
	err := s.Store.DeleteAccount(ctx, id)
	if errors.Is(err, store.ErrLastCoach) {
		return errLastCoach
	}
	return records.RecordError(err)
}

// SignedIn is how somebody signed in: by which password of the account, and when. The
// number is 0 for a session from before passwords were numbered.
type SignedIn struct {
	Account, Password int64
	Since             time.Time
}

// by reports whether the account still has the password of the session. The clock is
// asked only where nothing else tells: it may have been set since.
func (in SignedIn) by(a *store.Account) bool {
	if in.Password == 0 {
		return a.PasswordNumber == 1 && !in.Since.Before(a.PasswordAt)
	}
	return in.Password == a.PasswordNumber
}

// PasswordNumber reports which password of an account counts now.
func (s *Service) PasswordNumber(ctx context.Context, account int64) (int64, error) {
	a, err := s.Store.Account(ctx, account)
	return a.PasswordNumber, records.RecordError(err)
}

// Viewer returns who has signed in: nobody where the account is gone, or its
// password was replaced since.
func (s *Service) Viewer(ctx context.Context, in SignedIn) (*access.Viewer, error) {
	return s.viewer(ctx, in.Account, in.by)
}

// viewer returns who is behind an account that holds.
func (s *Service) viewer(ctx context.Context, account int64, holds func(*store.Account) bool) (*access.Viewer, error) {
	a, err := s.Store.Account(ctx, account)
	switch {
	case errors.Is(err, store.ErrNotFound), err == nil && !holds(&a):
		return new(access.Viewer), nil
	case err != nil:
		return nil, records.RecordError(err)
	}
	v := &access.Viewer{Role: access.Role(a.Role), Account: a.ID, Name: a.Name}
	if a.AthleteID != nil {
		v.Athlete = *a.AthleteID
	}
	return v, nil
}

// As returns a context for what a viewer does: rules look at the viewer, and
// what is written is signed with the account's name.
func As(ctx context.Context, v *access.Viewer) context.Context {
	if v.SignedIn() {
		ctx = store.SignedBy(ctx, v.Name)
	}
	return access.With(ctx, v)
}

// SignIn asks to sign in.
type SignIn struct {
	Name, Password string
	From           netip.Addr
	Browser        string // mark of the browser, as [Service.Mark] gave it; "" for none
}

// TooMany says that there were too many failed tries.
type TooMany struct{ Wait time.Duration }

// Error reports how long to wait.
func (e *TooMany) Error() string {
	minutes := int(math.Ceil(e.Wait.Minutes()))
	if minutes == 1 {
		return "there were too many tries: wait a minute"
	}
	return fmt.Sprintf("there were too many tries: wait %d minutes", minutes)
}

// Problem answers 429.
func (e *TooMany) Problem() wire.Problem {
	return wire.Problem{Status: http.StatusTooManyRequests, Detail: wire.Sentence(e.Error())}
}

// errCredentials does not tell whether the name or the password is wrong.
var errCredentials = &wire.Refusal{Status: http.StatusUnauthorized, Text: "name or password is not right"}

// SignIn returns the account with the name and password. Failures are limited by
// account and address.
func (s *Service) SignIn(ctx context.Context, r SignIn) (Account, error) {
	if len(r.Password) > maxPassword*utf8.UTFMax {
		return Account{}, errCredentials
	}
	known, err := s.knownBrowser(ctx, r)
	if err != nil {
		return Account{}, err
	}
	counted := charges(strings.ToLower(strings.TrimSpace(r.Name)), r.From, known)
	if wait := s.limits.take(counted); wait > 0 {
		return Account{}, &TooMany{wait}
	}
	a, err := slowly(ctx, s, func() (store.Account, error) { return s.Store.Authenticate(ctx, r.Name, r.Password) })
	if errors.Is(err, store.ErrCredentials) {
		return Account{}, errCredentials
	}
	s.limits.forget(counted) // it did not fail for a wrong password
	return wireAccount(a), records.RecordError(err)
}

// knownBrowser returns the account that the browser is known to, where it is the
// one that is asked for, or 0.
func (s *Service) knownBrowser(ctx context.Context, r SignIn) (int64, error) {
	if r.Browser == "" {
		return 0, nil
	}
	a, err := s.Store.AccountNamed(ctx, r.Name)
	if errors.Is(err, store.ErrNotFound) {
		return 0, nil
	}
	if err != nil {
		return 0, records.RecordError(err)
	}
	key, err := s.browserKey(ctx)
	if err != nil || !hmac.Equal([]byte(mark(key, a.ID)), []byte(r.Browser)) {
		return 0, err
	}
	return a.ID, nil
}

// Mark returns what a browser keeps to be known to an account: no proof of who
// uses it, only that the account was used in it before.
func (s *Service) Mark(ctx context.Context, account int64) (string, error) {
	key, err := s.browserKey(ctx)
	return mark(key, account), err
}

func mark(key []byte, account int64) string {
	sum := hmac.New(sha256.New, key)
	sum.Write([]byte(strconv.FormatInt(account, 10)))
	return base64.RawURLEncoding.EncodeToString(sum.Sum(nil))
}

func (s *Service) browserKey(ctx context.Context) ([]byte, error) {
	key, err := s.Store.Secret(ctx, "browsers", []byte(newSecret()))
	return key, records.RecordError(err)
}

// Lengths of a password, in characters: OWASP ASVS 4.0.3, 2.1.1 and 2.1.2
// (from memory).
const (
	minPassword = 12
	maxPassword = 128
)

// checkPassword reports what is wrong with a new password.
func checkPassword(name, password string) error {
	count := utf8.RuneCountInString(password)
	switch {
	case count < minPassword:
		return wire.At("password").Invalid(fmt.Sprintf("At least %d characters; a few words in a row are easy to keep in mind.", minPassword))
	case count > maxPassword:
		return wire.At("password").Invalid(fmt.Sprintf("At most %d characters.", maxPassword))
	case easyPassword(name, password):
		return wire.At("password").Invalid("This one is too easy to guess.")
	}
	return nil
}

// easyPassword reports whether a password is one of the first that anybody would
// try: the name, few different signs, or signs in the order of a keyboard.
func easyPassword(name, password string) bool {
	lower := strings.ToLower(password)
	name = strings.ToLower(strings.TrimSpace(name))
	rest := strings.ReplaceAll(strings.ReplaceAll(lower, " ", ""), strings.ReplaceAll(name, " ", ""), "")
	for _, row := range []string{"password", "passwort", "rowing", "thole", "12345678", "qwertyuiop", "qwertzuiop", "azertyuiop"} {
		rest = strings.ReplaceAll(rest, row, "")
	}
	different := map[rune]bool{}
	for _, c := range rest {
		different[c] = true
	}
	return len(different) < 5
}

// hash returns the hash of a new password.
func (s *Service) hash(ctx context.Context, name, password string) (string, error) {
	if err := checkPassword(name, password); err != nil {
		return "", err
	}
	return slowly(ctx, s, func() (string, error) { return s.Store.HashPassword(password) })
}

// ChangePassword replaces the password of an account that knows the present one.
func (s *Service) ChangePassword(ctx context.Context, name, present, next string, from netip.Addr) error {
	a, err := s.SignIn(ctx, SignIn{Name: name, Password: present, From: from})
	if errors.Is(err, error(errCredentials)) {
		return wire.At("present").Invalid("This is not your present password.")
	}
	if err != nil {
		return err
	}
	if err := checkPassword(name, next); err != nil {
		return err
	}
	_, err = slowly(ctx, s, func() (struct{}, error) { return struct{}{}, s.Store.SetPassword(ctx, a.ID, next) })
	return records.RecordError(err)
}

// SetPassword replaces the password of the account with a name, for who runs the
// server, and returns the account.
func (s *Service) SetPassword(ctx context.Context, name, password string) (Account, error) {
	a, err := s.Store.AccountNamed(ctx, name)
	if err != nil {
		return Account{}, records.RecordError(err)
	}
	if err := checkPassword(name, password); err != nil {
		return Account{}, err
	}
	return wireAccount(a), records.RecordError(s.Store.SetPassword(ctx, a.ID, password))
}

// tokenLife is how long a token of a program is good; our judgement: a season.
const tokenLife = 365 * 24 * time.Hour

// Token lets a program do what its account may.
type Token struct {
	ID        int64
	Name      string
	Scopes    []access.Scope
	CreatedAt time.Time
	ExpiresAt time.Time
	UsedAt    time.Time // zero before the first time
}

// AddToken makes a token for the viewer and returns its secret, which is not
// kept. A program makes none that may do more than its own token, or lasts longer.
func (s *Service) AddToken(ctx context.Context, name string, scopes []access.Scope) (string, error) {
	viewer := access.From(ctx)
	if !viewer.SignedIn() {
		return "", errNoAccount
	}
	var p wire.Problems
	p.Name(wire.At("name"), name, "Say what the token is for.")
	if len(scopes) == 0 || slices.ContainsFunc(scopes, func(x access.Scope) bool { return !slices.Contains(access.Scopes, x) }) {
		p.Add(wire.At("scopes").Problem("Choose what it is for: to read, or to read and write."))
	} else if viewer.Scopes != nil && slices.ContainsFunc(scopes, func(x access.Scope) bool { return !slices.Contains(viewer.Scopes, x) }) {
		p.Add(wire.At("scopes").Problem("The token that asks may not do this itself."))
	}
	if err := p.OrNil(); err != nil {
		return "", err
	}
	ends := s.Now().Add(tokenLife)
	if !viewer.Until.IsZero() && viewer.Until.Before(ends) {
		ends = viewer.Until
	}
	secret := newSecret()
	_, err := s.Store.AddToken(ctx, store.Token{AccountID: viewer.Account, Name: strings.TrimSpace(name), Scopes: joined(scopes), ExpiresAt: ends}, secret)
	return secret, records.RecordError(err)
}

func joined(scopes []access.Scope) string {
	texts := make([]string, len(scopes))
	for i, scope := range scopes {
		texts[i] = string(scope)
	}
	return strings.Join(texts, " ")
}

func split(text string) []access.Scope {
	scopes := []access.Scope{}
	for _, scope := range strings.Fields(text) {
		scopes = append(scopes, access.Scope(scope))
	}
	return scopes
}

// Tokens lists the viewer's tokens, newest first.
func (s *Service) Tokens(ctx context.Context) ([]Token, error) {
	found, err := s.Store.Tokens(ctx, access.From(ctx).Account)
	list := make([]Token, len(found))
	for i, k := range found {
		list[i] = Token{k.ID, k.Name, split(k.Scopes), k.CreatedAt, k.ExpiresAt, k.UsedAt}
	}
	return list, records.RecordError(err)
}

// RemoveToken ends a token of the viewer's.
func (s *Service) RemoveToken(ctx context.Context, id int64) error {
	return records.RecordError(s.Store.DeleteToken(ctx, access.From(ctx).Account, id))
}

// TokenViewer returns who is behind the secret of a token: nobody where there is
// no such token or it has expired.
func (s *Service) TokenViewer(ctx context.Context, secret string) (*access.Viewer, error) {
	k, err := s.Store.Token(ctx, secret)
	now := s.Now()
	switch {
	case errors.Is(err, store.ErrNotFound), err == nil && !s.Latest().Before(k.ExpiresAt):
		return new(access.Viewer), nil
	case err != nil:
		return nil, records.RecordError(err)
	case now.Sub(k.UsedAt) > time.Hour:
		if err := s.Store.TokenUsed(ctx, k.ID, now); err != nil {
			return nil, records.RecordError(err)
		}
	}
	v, err := s.viewer(ctx, k.AccountID, func(*store.Account) bool { return true })
	if err == nil && v.SignedIn() {
		v.Scopes, v.Until = split(k.Scopes), k.ExpiresAt
	}
	return v, err
}

// Sessions is the store of the web sessions.
type Sessions = store.Sessions

// Sessions returns the store of the web sessions, to be closed before the
// records.
func (s *Service) Sessions() *Sessions { return s.Store.Sessions() }
