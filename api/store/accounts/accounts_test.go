package store

import (
	"strings"
	"testing"
	"time"

	"github.com/alexedwards/argon2id"
	"github.com/alexedwards/scs/sqlite3store"
)

// coach is an account to be added.
func coach(name string) Account { return Account{Name: name, Role: "coach"} }

func TestAnAccountOutlivesARestart(t *testing.T) {
	s := open(t)
	athlete := addNamed(t, s, "Anna Field")
	a := Account{ID: must(s.AddAccount(ctx, Account{Name: "Anna", Role: "athlete", AthleteID: &athlete}, "correct horse")), Name: "Anna", Role: "athlete", CreatedAt: noon}
	a.AthleteID = &athlete
	check(t, s.SetPassword(ctx, a.ID, "correct horse"))
	a.PasswordAt = noon
	wantFull(t, a)
	s = reopen(t, s)
	wantEqual(t, must(s.Authenticate(ctx, "anna", "correct horse")), a)
	wantEqual(t, must(s.Account(ctx, a.ID)), a)
	wantEqual(t, must(s.Accounts(ctx)), []Account{a})
}

func TestOnlyTheRightPasswordOpensAnAccount(t *testing.T) {
	s := open(t)
	must(s.AddAccount(ctx, coach("Anna"), "correct horse"))
	must(s.AddAccount(ctx, coach("Bert"), "battery staple"))
	for _, c := range [][2]string{{"Anna", "battery staple"}, {"Anna", "correct hors"}, {"Anna", ""}, {"Cleo", "correct horse"}, {"", ""}} {
		_, err := s.Authenticate(ctx, c[0], c[1])
		wantError(t, err, ErrCredentials)
	}
}

func TestAPasswordCanBeReplaced(t *testing.T) {
	s := open(t)
	id := must(s.AddAccount(ctx, coach("Anna"), "old"))
	check(t, s.SetPassword(ctx, id, "new"))
	must(s.Authenticate(ctx, "Anna", "new"))
	_, err := s.Authenticate(ctx, "Anna", "old")
	wantError(t, err, ErrCredentials)
	wantError(t, s.SetPassword(ctx, 77, "new"), ErrNotFound)
}

func TestAccountNamesDiffer(t *testing.T) {
	s := open(t)
	id := must(s.AddAccount(ctx, coach("Zoë"), "x"))
	_, err := s.AddAccount(ctx, coach("ZOE"), "y")
	wantError(t, err, ErrTaken)
	_, err = s.AddAccount(ctx, coach(" "), "y")
	wantError(t, err, ErrInvalid)
	wantEqual(t, must(s.AccountNamed(ctx, "zoe")).ID, id)
}

func TestTheLastCoachStays(t *testing.T) {
	s := open(t)
	id := must(s.AddAccount(ctx, coach("Zoë"), "x"))
	must(s.AddAccount(ctx, Account{Name: "Bert", Role: "boatman"}, "x"))
	wantError(t, s.DeleteAccount(ctx, id), ErrLastCoach)
	must(s.Authenticate(ctx, "Zoë", "x"))
	must(s.AddAccount(ctx, coach("Anna"), "y"))
	check(t, s.DeleteAccount(ctx, id))
	_, err := s.Account(ctx, id)
	wantError(t, err, ErrNotFound)
}

func TestAnAccountGoesWithTheAthlete(t *testing.T) {
	s := open(t)
	athlete := addNamed(t, s, "Edda")
	must(s.AddAccount(ctx, coach("Zoë"), "x"))
	id := must(s.AddAccount(ctx, Account{Name: "edda", Role: "athlete", AthleteID: &athlete}, "y"))
	_, err := s.AddAccount(ctx, Account{Name: "again", Role: "athlete", AthleteID: &athlete}, "y")
	wantError(t, err, ErrTaken)
	must(s.AddToken(ctx, Token{AccountID: id, Name: "script", Scopes: "read", ExpiresAt: noon}, "s"))
	check(t, s.DeleteAthlete(ctx, athlete))
	_, err = s.Account(ctx, id)
	wantError(t, err, ErrNotFound)
	_, err = s.Token(ctx, "s")
	wantError(t, err, ErrNotFound)
}

// The costs are those of the OWASP Password Storage Cheat Sheet for argon2id:
// at least 19 MiB, 2 iterations and 1 lane.
func TestPasswordsAreDearToGuess(t *testing.T) {
	s := open(t)
	s.hashing = passwordHashing
	must(s.AddAccount(ctx, coach("Anna"), "correct horse"))
	var hash string
	check(t, s.readers.QueryRow("SELECT hash FROM accounts").Scan(&hash))
	if !strings.HasPrefix(hash, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Errorf("the hash is %s", hash)
	}
	if ok := must(argon2id.ComparePasswordAndHash("correct horse", hash)); !ok {
		t.Error("the hash is of another password")
	}
}

// The session store is the one the table is made for.
func TestWebSessionsFitTheirTable(t *testing.T) {
	s := open(t)
	sessions := sqlite3store.NewWithCleanupInterval(s.writer, 0)
	check(t, sessions.Commit("token", []byte("first"), time.Now().Add(time.Hour)))
	check(t, sessions.Commit("token", []byte("data"), time.Now().Add(time.Hour)))
	check(t, sessions.Commit("past", []byte("data"), time.Now().Add(-time.Hour)))
	data, found, err := sessions.Find("token")
	if err != nil || !found || string(data) != "data" {
		t.Errorf("found %q, %v, %v", data, found, err)
	}
	if _, found, _ := sessions.Find("past"); found {
		t.Error("a session outlived its time")
	}
	check(t, sessions.Delete("token"))
	if all := must(sessions.All()); len(all) != 0 {
		t.Errorf("sessions left: %v", all)
	}
}
