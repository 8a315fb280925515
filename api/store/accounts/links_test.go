package accounts_test

import (
	"context"
	"errors"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

func addLink(t *testing.T, s *store.Store, l store.Link, secret string) int64 {
	t.Helper()
	return storetest.Must(s.AddLinks(storetest.Ctx, []store.Link{l}, []string{secret}))[0]
}

func TestAnInvitationIsGoodOnce(t *testing.T) {
	s := storetest.New(t)
	athlete := storetest.AddNamed(t, s, "Edda")
	l := store.Link{Kind: "invitation", Name: "Edda", Role: "athlete", AthleteID: &athlete, CreatedBy: "Anna", ExpiresAt: storetest.Noon.Add(time.Hour)}
	l.ID = addLink(t, s, l, "secret")
	l.CreatedAt = storetest.Noon
	storetest.WantEqual(t, storetest.Must(s.Link(storetest.Ctx, "invitation", "secret", storetest.Noon)), l)
	for kind, secret := range map[string]string{"invitation": "Secret", "password": "secret", "page": ""} {
		_, err := s.Link(storetest.Ctx, kind, secret, storetest.Noon)
		storetest.WantError(t, err, store.ErrNotFound)
	}
	_, err := s.Accept(storetest.Ctx, "secret", storetest.Noon.Add(time.Hour), "edda", "hash")
	storetest.WantError(t, err, store.ErrExpired)

	storetest.Must(storetest.AddAccount(s, coach("Bert"), "x"))
	_, err = s.Accept(storetest.Ctx, "secret", storetest.Noon, "BERT", "hash")
	storetest.WantError(t, err, store.ErrTaken)
	id := storetest.Must(s.Accept(storetest.Ctx, "secret", storetest.Noon, "edda", "hash"))
	storetest.WantEqual(t, storetest.Must(s.Account(storetest.Ctx, id)), store.Account{ID: id, Name: "edda", Role: "athlete", AthleteID: &athlete, CreatedAt: storetest.Noon, PasswordNumber: 1})
	_, err = s.Accept(storetest.Ctx, "secret", storetest.Noon, "second", "hash")
	storetest.WantError(t, err, store.ErrUsed)
	storetest.WantEqual(t, len(storetest.Must(s.Accounts(storetest.Ctx))), 2)
	storetest.WantEqual(t, len(storetest.Must(s.Links(storetest.Ctx))), 0)
}

// TestTwoCannotAcceptAtOnce holds that of many who open an invitation at the
// same time one gets the account.
func TestTwoCannotAcceptAtOnce(t *testing.T) {
	s := storetest.New(t)
	addLink(t, s, store.Link{Kind: "invitation", Role: "coach", CreatedBy: "Anna", ExpiresAt: storetest.Noon.Add(time.Hour)}, "secret")
	results := make(chan error, 8)
	for i := range cap(results) {
		go func() {
			_, err := s.Accept(storetest.Ctx, "secret", storetest.Noon, string(rune('a'+i)), "hash")
			results <- err
		}()
	}
	made := 0
	for range cap(results) {
		switch err := <-results; {
		case err == nil:
			made++
		case !errors.Is(err, store.ErrUsed):
			t.Error(err)
		}
	}
	storetest.WantEqual(t, made, 1)
	storetest.WantEqual(t, len(storetest.Must(s.Accounts(storetest.Ctx))), 1)
}

func TestAPasswordLinkSetsOnePassword(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(storetest.AddAccount(s, coach("Anna"), "old"))
	addLink(t, s, store.Link{Kind: "password", AccountID: &id, CreatedBy: "Bert", ExpiresAt: storetest.Noon.Add(time.Hour)}, "secret")
	storetest.WantEqual(t, storetest.Must(s.Reset(storetest.Ctx, "secret", storetest.Noon, storetest.Must(s.HashPassword("new")))), id)
	storetest.Must(s.Authenticate(storetest.Ctx, "Anna", "new"))
	_, err := s.Reset(storetest.Ctx, "secret", storetest.Noon, "h")
	storetest.WantError(t, err, store.ErrUsed)
}

func TestAPageLinkLastsUntilRevoked(t *testing.T) {
	s := storetest.New(t)
	id := addLink(t, s, store.Link{Kind: "page", Name: "Sheet 3", Address: "/sheets/3", CreatedBy: "Anna", ExpiresAt: storetest.Noon.Add(time.Hour)}, "secret")
	for range 2 {
		storetest.Must(s.UseLink(storetest.Ctx, "page", "secret", storetest.Noon))
	}
	storetest.WantEqual(t, storetest.Must(s.Links(storetest.Ctx))[0].UsedAt, storetest.Noon)
	storetest.Check(t, s.DeleteLink(storetest.Ctx, id))
	_, err := s.UseLink(storetest.Ctx, "page", "secret", storetest.Noon)
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestOldLinksGo(t *testing.T) {
	s := storetest.New(t)
	addLink(t, s, store.Link{Kind: "page", Name: "old", CreatedBy: "Anna", ExpiresAt: storetest.Noon.AddDate(0, -2, 0)}, "a")
	addLink(t, s, store.Link{Kind: "page", Name: "new", CreatedBy: "Anna", ExpiresAt: storetest.Noon.AddDate(0, -1, 1)}, "b")
	storetest.WantEqual(t, len(storetest.Must(s.Links(storetest.Ctx))), 1)
}

// TestSecretsAreNotInTheFile holds that who reads the file cannot use what is in
// it.
func TestSecretsAreNotInTheFile(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(storetest.AddAccount(s, coach("Anna"), "hunter2-hunter2"))
	addLink(t, s, store.Link{Kind: "page", CreatedBy: "Anna", ExpiresAt: storetest.Noon}, "link-secret")
	storetest.Must(s.AddToken(storetest.Ctx, store.Token{AccountID: id, Name: "script", Scopes: "read", ExpiresAt: storetest.Noon}, "token-secret"))
	for _, secret := range []string{"hunter2-hunter2", "link-secret", "token-secret"} {
		storetest.WantGone(t, s, secret)
	}
}

func TestTokensBelongToAnAccount(t *testing.T) {
	s := storetest.New(t)
	anna, bert := storetest.Must(storetest.AddAccount(s, coach("Anna"), "x")), storetest.Must(storetest.AddAccount(s, coach("Bert"), "x"))
	k := store.Token{AccountID: anna, Name: "script", Scopes: "read write", ExpiresAt: storetest.Noon.Add(time.Hour)}
	k.ID, k.CreatedAt = storetest.Must(s.AddToken(storetest.Ctx, k, "secret")), storetest.Noon
	storetest.WantEqual(t, storetest.Must(s.Token(storetest.Ctx, "secret")), k)
	storetest.Check(t, s.TokenUsed(storetest.Ctx, k.ID, storetest.Noon))
	k.UsedAt = storetest.Noon
	storetest.WantFull(t, k)
	storetest.WantEqual(t, storetest.Must(s.Tokens(storetest.Ctx, anna)), []store.Token{k})
	storetest.WantError(t, s.DeleteToken(storetest.Ctx, bert, k.ID), store.ErrNotFound)
	storetest.Check(t, s.DeleteToken(storetest.Ctx, anna, k.ID))
	_, err := s.Token(storetest.Ctx, "secret")
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestTasksAreDoneOnce(t *testing.T) {
	s := storetest.New(t)
	k := store.Task{What: "Set-up", Address: "/setup?boat=1", Note: "by Friday"}
	id := storetest.Must(s.AddTask(storetest.Ctx, k, storetest.Anna))
	again := k
	again.Note = "by Thursday"
	storetest.WantEqual(t, storetest.Must(s.AddTask(storetest.Ctx, again, storetest.Anna)), id)
	open, done, err := s.Tasks(storetest.Ctx)
	storetest.Check(t, err)
	storetest.WantEqual(t, []int{len(open), len(done)}, []int{1, 0})
	storetest.WantEqual(t, open[0].Note, "by Thursday")
	storetest.Check(t, s.FinishTask(storetest.Ctx, id, storetest.Anna))
	storetest.WantError(t, s.FinishTask(storetest.Ctx, id, storetest.Anna), store.ErrNotFound)
	open, done, err = s.Tasks(storetest.Ctx)
	storetest.Check(t, err)
	storetest.WantEqual(t, []int{len(open), len(done)}, []int{0, 1})
	storetest.WantFull(t, done[0])
	if storetest.Must(s.AddTask(storetest.Ctx, k, storetest.Anna)) == id {
		t.Error("a task that was done came back")
	}
}

func TestASecretOfTheServerStays(t *testing.T) {
	s := storetest.New(t)
	storetest.WantEqual(t, storetest.Must(s.Secret(storetest.Ctx, "device", []byte("one"))), []byte("one"))
	storetest.WantEqual(t, storetest.Must(s.Secret(storetest.Ctx, "device", []byte("two"))), []byte("one"))
}

func TestSessionsOutliveTheReader(t *testing.T) {
	s := storetest.New(t)
	sessions := s.Sessions()
	defer sessions.Close()
	storetest.Check(t, sessions.Commit("a", []byte("data"), storetest.Noon.Add(time.Hour)))
	storetest.Check(t, sessions.Commit("b", []byte("old"), storetest.Noon.Add(-time.Hour)))
	data, there, err := sessions.Find("a")
	storetest.WantEqual(t, []any{string(data), there, err}, []any{"data", true, nil})
	_, there, err = sessions.FindCtx(storetest.Ctx, "b")
	storetest.WantEqual(t, []any{there, err}, []any{false, nil})
	storetest.WantEqual(t, len(storetest.Must(sessions.AllCtx(storetest.Ctx))), 1)
	storetest.Check(t, sessions.Delete("a"))
	storetest.WantEqual(t, len(storetest.Must(sessions.AllCtx(storetest.Ctx))), 0)
}

// TestTheAccountSigns holds that whatever name is sent along, what is written
// under an account carries the account's.
func TestTheAccountSigns(t *testing.T) {
	s := storetest.New(t)
	signed := store.SignedBy(context.Background(), "Dora")
	id := storetest.Must(s.AddAthlete(signed, store.Athlete{Name: "Edda"}, store.By{Name: "typed"}))
	mass := 70.0
	storetest.Must(s.AddMeasures(signed, store.Measures{AthleteID: id, MeasuredOn: "2026-01-01", MeasuredBy: "typed", Body: store.Body{MassKg: &mass}}))
	storetest.WantEqual(t, storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, id, 0))[0].By, "Dora")
	storetest.WantEqual(t, storetest.Must(s.MeasuresOf(storetest.Ctx, id))[0].MeasuredBy, "Dora")
	storetest.Must(s.AddTask(signed, store.Task{What: "x", Address: "/"}, store.By{Name: "typed"}))
	open, _, err := s.Tasks(storetest.Ctx)
	storetest.Check(t, err)
	storetest.WantEqual(t, open[0].SentBy, "Dora")
}
