package accounts_test

import (
	"path/filepath"
	"strings"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"

	"github.com/alexedwards/argon2id"
	"github.com/alexedwards/scs/sqlite3store"
)

// coach is an account to be added.
func coach(name string) store.Account { return store.Account{Name: name, Role: "coach"} }

func TestAnAccountOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	athlete := storetest.AddNamed(t, s, "Anna Field")
	a := store.Account{ID: storetest.Must(storetest.AddAccount(s, store.Account{Name: "Anna", Role: "athlete", AthleteID: &athlete}, "correct horse")), Name: "Anna", Role: "athlete", CreatedAt: storetest.Noon}
	a.AthleteID = &athlete
	storetest.Check(t, s.SetPassword(storetest.Ctx, a.ID, "correct horse"))
	a.PasswordAt, a.PasswordNumber = storetest.Noon, 2
	storetest.WantFull(t, a)
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.Authenticate(storetest.Ctx, "anna", "correct horse")), a)
	storetest.WantEqual(t, storetest.Must(s.Account(storetest.Ctx, a.ID)), a)
	storetest.WantEqual(t, storetest.Must(s.Accounts(storetest.Ctx)), []store.Account{a})
}

func TestOnlyTheRightPasswordOpensAnAccount(t *testing.T) {
	s := storetest.New(t)
	storetest.Must(storetest.AddAccount(s, coach("Anna"), "correct horse"))
	storetest.Must(storetest.AddAccount(s, coach("Bert"), "battery staple"))
	for _, c := range [][2]string{{"Anna", "battery staple"}, {"Anna", "correct hors"}, {"Anna", ""}, {"Cleo", "correct horse"}, {"", ""}} {
		_, err := s.Authenticate(storetest.Ctx, c[0], c[1])
		storetest.WantError(t, err, store.ErrCredentials)
	}
}

func TestAPasswordCanBeReplaced(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(storetest.AddAccount(s, coach("Anna"), "old"))
	storetest.Check(t, s.SetPassword(storetest.Ctx, id, "new"))
	storetest.Must(s.Authenticate(storetest.Ctx, "Anna", "new"))
	_, err := s.Authenticate(storetest.Ctx, "Anna", "old")
	storetest.WantError(t, err, store.ErrCredentials)
	storetest.WantError(t, s.SetPassword(storetest.Ctx, 77, "new"), store.ErrNotFound)
}

func TestAccountNamesDiffer(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(storetest.AddAccount(s, coach("Zoë"), "x"))
	_, err := storetest.AddAccount(s, coach("ZOE"), "y")
	storetest.WantError(t, err, store.ErrTaken)
	_, err = storetest.AddAccount(s, coach(" "), "y")
	storetest.WantError(t, err, store.ErrInvalid)
	storetest.WantEqual(t, storetest.Must(s.AccountNamed(storetest.Ctx, "zoe")).ID, id)
}

func TestTheLastCoachStays(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(storetest.AddAccount(s, coach("Zoë"), "x"))
	storetest.Must(storetest.AddAccount(s, store.Account{Name: "Bert", Role: "boatman"}, "x"))
	storetest.WantError(t, s.DeleteAccount(storetest.Ctx, id), store.ErrLastCoach)
	storetest.Must(s.Authenticate(storetest.Ctx, "Zoë", "x"))
	storetest.Must(storetest.AddAccount(s, coach("Anna"), "y"))
	storetest.Check(t, s.DeleteAccount(storetest.Ctx, id))
	_, err := s.Account(storetest.Ctx, id)
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestAnAccountGoesWithTheAthlete(t *testing.T) {
	s := storetest.New(t)
	athlete := storetest.AddNamed(t, s, "Edda")
	storetest.Must(storetest.AddAccount(s, coach("Zoë"), "x"))
	id := storetest.Must(storetest.AddAccount(s, store.Account{Name: "edda", Role: "athlete", AthleteID: &athlete}, "y"))
	_, err := storetest.AddAccount(s, store.Account{Name: "again", Role: "athlete", AthleteID: &athlete}, "y")
	storetest.WantError(t, err, store.ErrTaken)
	storetest.Must(s.AddToken(storetest.Ctx, store.Token{AccountID: id, Name: "script", Scopes: "read", ExpiresAt: storetest.Noon}, "s"))
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, athlete))
	_, err = s.Account(storetest.Ctx, id)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.Token(storetest.Ctx, "s")
	storetest.WantError(t, err, store.ErrNotFound)
}

// The costs are those of the OWASP Password Storage Cheat Sheet for argon2id:
// at least 19 MiB, 2 iterations and 1 lane.
func TestPasswordsAreDearToGuess(t *testing.T) {
	s := storetest.Must(store.Open(t.Context(), filepath.Join(t.TempDir(), "club.db"))) // as the program does
	t.Cleanup(func() { s.Close() })
	storetest.Must(storetest.AddAccount(s, coach("Anna"), "correct horse"))
	var hash string
	storetest.Check(t, storetest.Readers(s).QueryRow("SELECT hash FROM accounts").Scan(&hash))
	if !strings.HasPrefix(hash, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Errorf("the hash is %s", hash)
	}
	if ok := storetest.Must(argon2id.ComparePasswordAndHash("correct horse", hash)); !ok {
		t.Error("the hash is of another password")
	}
}

// The session store is the one the table is made for.
func TestWebSessionsFitTheirTable(t *testing.T) {
	s := storetest.New(t)
	sessions := sqlite3store.NewWithCleanupInterval(storetest.Writer(s), 0)
	storetest.Check(t, sessions.Commit("token", []byte("first"), time.Now().Add(time.Hour)))
	storetest.Check(t, sessions.Commit("token", []byte("data"), time.Now().Add(time.Hour)))
	storetest.Check(t, sessions.Commit("past", []byte("data"), time.Now().Add(-time.Hour)))
	data, found, err := sessions.Find("token")
	if err != nil || !found || string(data) != "data" {
		t.Errorf("found %q, %v, %v", data, found, err)
	}
	if _, found, _ := sessions.Find("past"); found {
		t.Error("a session outlived its time")
	}
	storetest.Check(t, sessions.Delete("token"))
	if all := storetest.Must(sessions.All()); len(all) != 0 {
		t.Errorf("sessions left: %v", all)
	}
}
