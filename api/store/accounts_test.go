package store

import (
	"strings"
	"testing"
	"time"

	"github.com/alexedwards/argon2id"
	"github.com/alexedwards/scs/sqlite3store"
)

func TestAnAccountOutlivesARestart(t *testing.T) {
	s := open(t)
	a := Account{ID: must(s.AddAccount(ctx, "Anna", "correct horse")), Name: "Anna", CreatedAt: noon}
	wantFull(t, a)
	s = reopen(t, s)
	wantEqual(t, must(s.Authenticate(ctx, "anna", "correct horse")), a)
	wantEqual(t, must(s.Account(ctx, a.ID)), a)
	wantEqual(t, must(s.Accounts(ctx)), []Account{a})
}

func TestOnlyTheRightPasswordOpensAnAccount(t *testing.T) {
	s := open(t)
	must(s.AddAccount(ctx, "Anna", "correct horse"))
	must(s.AddAccount(ctx, "Bert", "battery staple"))
	for _, c := range [][2]string{{"Anna", "battery staple"}, {"Anna", "correct hors"}, {"Anna", ""}, {"Cleo", "correct horse"}, {"", ""}} {
		_, err := s.Authenticate(ctx, c[0], c[1])
		wantError(t, err, ErrCredentials)
	}
}

func TestAPasswordCanBeReplaced(t *testing.T) {
	s := open(t)
	id := must(s.AddAccount(ctx, "Anna", "old"))
	check(t, s.SetPassword(ctx, id, "new"))
	must(s.Authenticate(ctx, "Anna", "new"))
	_, err := s.Authenticate(ctx, "Anna", "old")
	wantError(t, err, ErrCredentials)
	wantError(t, s.SetPassword(ctx, 77, "new"), ErrNotFound)
}

func TestAccountNamesDiffer(t *testing.T) {
	s := open(t)
	id := must(s.AddAccount(ctx, "Zoë", "x"))
	_, err := s.AddAccount(ctx, "ZOE", "y")
	wantError(t, err, ErrTaken)
	_, err = s.AddAccount(ctx, " ", "y")
	wantError(t, err, ErrInvalid)
	check(t, s.DeleteAccount(ctx, id))
	_, err = s.Account(ctx, id)
	wantError(t, err, ErrNotFound)
}

// The costs are those of the OWASP Password Storage Cheat Sheet for argon2id:
// at least 19 MiB, 2 iterations and 1 lane.
func TestPasswordsAreDearToGuess(t *testing.T) {
	s := open(t)
	s.hashing = passwordHashing
	must(s.AddAccount(ctx, "Anna", "correct horse"))
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
