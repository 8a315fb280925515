package accounts_test

import (
	"os"
	"path/filepath"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"

	"thole/api/store/accounts"
)

// setClock is a clock that a test sets.
type setClock struct{ at time.Time }

func (c *setClock) now() time.Time { return c.at }

// timed returns a store and its clock.
func timed(t *testing.T) (*store.Store, *setClock) {
	t.Helper()
	c := &setClock{storetest.Noon}
	path := filepath.Join(t.TempDir(), "club.db")
	storetest.Check(t, os.WriteFile(path, storetest.Fresh(), 0o600))
	return storetest.Timed(t, path, c.now), c
}

// kinds are all kinds of links.
var kinds = []string{"invitation", "password", "page", "measuring"}

// wantLinks looks up the link of every kind with the secret of its kind and name.
func wantLinks(t *testing.T, s *store.Store, c *setClock, name string, want error) {
	t.Helper()
	for _, kind := range kinds {
		_, err := s.Link(storetest.Ctx, kind, kind+name, c.at)
		storetest.WantError(t, err, want)
	}
}

// addLinks makes a link of every kind that is good for a time.
func addLinks(t *testing.T, s *store.Store, c *setClock, name string, life time.Duration) {
	t.Helper()
	account := storetest.Must(storetest.AddAccount(s, coach("Anna "+name), "x"))
	for _, kind := range kinds {
		l := store.Link{Kind: kind, Name: name, Role: "coach", CreatedBy: "Anna", ExpiresAt: c.at.Add(life)}
		if kind == "password" {
			l.AccountID = &account
		}
		addLink(t, s, l, kind+name)
	}
}

// jumps are how far the clocks of the tests go back.
var jumps = map[string]time.Duration{"an hour": time.Hour, "two days": 48 * time.Hour, "years": 5 * 365 * 24 * time.Hour}

func TestALinkThatExpiredStaysSoWhenTheClockGoesBack(t *testing.T) {
	for name, jump := range jumps {
		for told, reopen := range map[string]bool{"running": false, "started again": true} {
			t.Run(name+", "+told, func(t *testing.T) {
				s, c := timed(t)
				addLinks(t, s, c, "old", time.Hour)
				wantLinks(t, s, c, "old", nil)
				c.at = c.at.Add(2 * time.Hour)
				wantLinks(t, s, c, "old", store.ErrExpired)
				if reopen {
					storetest.Check(t, s.Close())
				}
				c.at = c.at.Add(-jump)
				if reopen {
					s = storetest.Timed(t, s.Path(), c.now)
				}
				wantLinks(t, s, c, "old", store.ErrExpired) // before anything is written
				addLinks(t, s, c, "new", 3*time.Hour)
				wantLinks(t, s, c, "old", store.ErrExpired)
				wantLinks(t, s, c, "new", nil)
				c.at = c.at.Add(2 * time.Hour)
				wantLinks(t, s, c, "new", nil)
				c.at = c.at.Add(time.Hour)
				wantLinks(t, s, c, "new", store.ErrExpired)
			})
		}
	}
}

// TestALinkThatNobodyTriedExpiresToo lets only other things be read between the end
// of a link and the jump of the clock.
func TestALinkThatNobodyTriedExpiresToo(t *testing.T) {
	s, c := timed(t)
	addLinks(t, s, c, "old", time.Hour)
	c.at = c.at.Add(90 * time.Minute)
	storetest.Must(s.Accounts(storetest.Ctx))
	c.at = c.at.Add(-time.Hour)
	wantLinks(t, s, c, "old", store.ErrExpired)
	storetest.Must(storetest.AddAccount(s, coach("Cleo"), "x"))
	c.at = c.at.Add(-time.Hour)
	storetest.Must(storetest.AddAccount(s, coach("Dora"), "x"))
	wantLinks(t, s, c, "old", store.ErrExpired)
}

func TestAUsedLinkStaysUsedWhenTheClockGoesBack(t *testing.T) {
	s, c := timed(t)
	addLinks(t, s, c, "", time.Hour)
	storetest.Must(s.Accept(storetest.Ctx, "invitation", c.at, "edda", "hash"))
	storetest.Must(s.Reset(storetest.Ctx, "password", c.at, "hash"))
	for range 2 {
		c.at = c.at.Add(-48 * time.Hour)
		_, err := s.Accept(storetest.Ctx, "invitation", c.at, "second", "hash")
		storetest.WantError(t, err, store.ErrUsed)
		_, err = s.Reset(storetest.Ctx, "password", c.at, "hash")
		storetest.WantError(t, err, store.ErrUsed)
	}
}

// TestWhatAFastClockMadeLastsNoLonger makes links and a token two days ahead.
func TestWhatAFastClockMadeLastsNoLonger(t *testing.T) {
	s, c := timed(t)
	c.at = c.at.Add(48 * time.Hour)
	addLinks(t, s, c, "ahead", time.Hour)
	account := storetest.Must(storetest.AddAccount(s, coach("Bert"), "x"))
	storetest.Must(s.AddToken(storetest.Ctx, store.Token{AccountID: account, Name: "logger", Scopes: "read", ExpiresAt: c.at.Add(time.Hour)}, "token"))
	c.at = c.at.Add(-48 * time.Hour)
	storetest.Must(storetest.AddAccount(s, coach("Cleo"), "x")) // any write
	wantLinks(t, s, c, "ahead", nil)
	storetest.WantEqual(t, storetest.Must(s.Token(storetest.Ctx, "token")).ExpiresAt, c.at.Add(time.Hour))
	c.at = c.at.Add(time.Hour)
	wantLinks(t, s, c, "ahead", store.ErrExpired)
}

func TestASessionThatEndedStaysSoWhenTheClockGoesBack(t *testing.T) {
	s, c := timed(t)
	sessions := s.Sessions()
	t.Cleanup(sessions.Close)
	storetest.Check(t, sessions.Commit("short", []byte("a"), c.at.Add(time.Hour)))
	storetest.Check(t, sessions.Commit("long", []byte("b"), c.at.Add(time.Hour*24*30)))
	want := func(token string, there bool) {
		t.Helper()
		_, found, err := sessions.Find(token)
		storetest.Check(t, err)
		storetest.WantEqual(t, found, there)
	}
	want("short", true)
	c.at = c.at.Add(2 * time.Hour)
	want("short", false)
	c.at = c.at.Add(-48 * time.Hour)
	want("short", false)
	want("long", true)
	storetest.Must(storetest.AddAccount(s, coach("Cleo"), "x"))
	want("short", false)
	want("long", true)
}

// TestDoneTasksStayInTheirOrder finishes one task, sets the clock back and finishes
// more than are listed.
func TestDoneTasksStayInTheirOrder(t *testing.T) {
	s, c := timed(t)
	var want []string
	for i := range accounts.RecentTasks + 2 {
		address := "/boats/" + string(rune('a'+i))
		id := storetest.Must(s.AddTask(storetest.Ctx, store.Task{What: address, Address: address}, storetest.Anna))
		storetest.Check(t, s.FinishTask(storetest.Ctx, id, storetest.Anna))
		c.at = c.at.Add(-time.Hour)
		want = append([]string{address}, want...)
	}
	_, done, err := s.Tasks(storetest.Ctx)
	storetest.Check(t, err)
	var got []string
	for _, task := range done {
		got = append(got, task.Address)
	}
	storetest.WantEqual(t, got, want[:accounts.RecentTasks])
}
