package store

import (
	"context"
	"errors"
	"testing"
	"time"
)

func addLink(t *testing.T, s *Store, l Link, secret string) int64 {
	t.Helper()
	return must(s.AddLinks(ctx, []Link{l}, []string{secret}))[0]
}

func TestAnInvitationIsGoodOnce(t *testing.T) {
	s := open(t)
	athlete := addNamed(t, s, "Edda")
	l := Link{Kind: "invitation", Name: "Edda", Role: "athlete", AthleteID: &athlete, CreatedBy: "Anna", ExpiresAt: noon.Add(time.Hour)}
	l.ID = addLink(t, s, l, "secret")
	l.CreatedAt = noon
	wantEqual(t, must(s.Link(ctx, "invitation", "secret", noon)), l)
	for kind, secret := range map[string]string{"invitation": "Secret", "password": "secret", "page": ""} {
		_, err := s.Link(ctx, kind, secret, noon)
		wantError(t, err, ErrNotFound)
	}
	_, err := s.Accept(ctx, "secret", noon.Add(time.Hour), "edda", "hash")
	wantError(t, err, ErrExpired)

	must(s.AddAccount(ctx, coach("Bert"), "x"))
	_, err = s.Accept(ctx, "secret", noon, "BERT", "hash")
	wantError(t, err, ErrTaken)
	id := must(s.Accept(ctx, "secret", noon, "edda", "hash"))
	wantEqual(t, must(s.Account(ctx, id)), Account{ID: id, Name: "edda", Role: "athlete", AthleteID: &athlete, CreatedAt: noon})
	_, err = s.Accept(ctx, "secret", noon, "second", "hash")
	wantError(t, err, ErrUsed)
	wantEqual(t, len(must(s.Accounts(ctx))), 2)
	wantEqual(t, len(must(s.Links(ctx))), 0)
}

// TestTwoCannotAcceptAtOnce holds that of many who open an invitation at the
// same time one gets the account.
func TestTwoCannotAcceptAtOnce(t *testing.T) {
	s := open(t)
	addLink(t, s, Link{Kind: "invitation", Role: "coach", CreatedBy: "Anna", ExpiresAt: noon.Add(time.Hour)}, "secret")
	results := make(chan error, 8)
	for i := range cap(results) {
		go func() {
			_, err := s.Accept(ctx, "secret", noon, string(rune('a'+i)), "hash")
			results <- err
		}()
	}
	made := 0
	for range cap(results) {
		switch err := <-results; {
		case err == nil:
			made++
		case !errors.Is(err, ErrUsed):
			t.Error(err)
		}
	}
	wantEqual(t, made, 1)
	wantEqual(t, len(must(s.Accounts(ctx))), 1)
}

func TestAPasswordLinkSetsOnePassword(t *testing.T) {
	s := open(t)
	id := must(s.AddAccount(ctx, coach("Anna"), "old"))
	addLink(t, s, Link{Kind: "password", AccountID: &id, CreatedBy: "Bert", ExpiresAt: noon.Add(time.Hour)}, "secret")
	wantEqual(t, must(s.Reset(ctx, "secret", noon, must(s.HashPassword("new")))), id)
	must(s.Authenticate(ctx, "Anna", "new"))
	_, err := s.Reset(ctx, "secret", noon, "h")
	wantError(t, err, ErrUsed)
}

func TestAPageLinkLastsUntilRevoked(t *testing.T) {
	s := open(t)
	id := addLink(t, s, Link{Kind: "page", Name: "Sheet 3", Address: "/sheets/3", CreatedBy: "Anna", ExpiresAt: noon.Add(time.Hour)}, "secret")
	for range 2 {
		must(s.UseLink(ctx, "page", "secret", noon))
	}
	wantEqual(t, must(s.Links(ctx))[0].UsedAt, noon)
	check(t, s.DeleteLink(ctx, id))
	_, err := s.UseLink(ctx, "page", "secret", noon)
	wantError(t, err, ErrNotFound)
}

func TestOldLinksGo(t *testing.T) {
	s := open(t)
	addLink(t, s, Link{Kind: "page", Name: "old", CreatedBy: "Anna", ExpiresAt: noon.AddDate(0, -2, 0)}, "a")
	addLink(t, s, Link{Kind: "page", Name: "new", CreatedBy: "Anna", ExpiresAt: noon.AddDate(0, -1, 1)}, "b")
	wantEqual(t, len(must(s.Links(ctx))), 1)
}

// TestSecretsAreNotInTheFile holds that who reads the file cannot use what is in
// it.
func TestSecretsAreNotInTheFile(t *testing.T) {
	s := open(t)
	id := must(s.AddAccount(ctx, coach("Anna"), "hunter2-hunter2"))
	addLink(t, s, Link{Kind: "page", CreatedBy: "Anna", ExpiresAt: noon}, "link-secret")
	must(s.AddToken(ctx, Token{AccountID: id, Name: "script", Scopes: "read", ExpiresAt: noon}, "token-secret"))
	for _, secret := range []string{"hunter2-hunter2", "link-secret", "token-secret"} {
		wantGone(t, s, secret)
	}
}

func TestTokensBelongToAnAccount(t *testing.T) {
	s := open(t)
	anna, bert := must(s.AddAccount(ctx, coach("Anna"), "x")), must(s.AddAccount(ctx, coach("Bert"), "x"))
	k := Token{AccountID: anna, Name: "script", Scopes: "read write", ExpiresAt: noon.Add(time.Hour)}
	k.ID, k.CreatedAt = must(s.AddToken(ctx, k, "secret")), noon
	wantEqual(t, must(s.Token(ctx, "secret")), k)
	check(t, s.TokenUsed(ctx, k.ID, noon))
	k.UsedAt = noon
	wantFull(t, k)
	wantEqual(t, must(s.Tokens(ctx, anna)), []Token{k})
	wantError(t, s.DeleteToken(ctx, bert, k.ID), ErrNotFound)
	check(t, s.DeleteToken(ctx, anna, k.ID))
	_, err := s.Token(ctx, "secret")
	wantError(t, err, ErrNotFound)
}

func TestTasksAreDoneOnce(t *testing.T) {
	s := open(t)
	k := Task{What: "Set-up", Address: "/setup?boat=1", Note: "by Friday"}
	id := must(s.AddTask(ctx, k, anna))
	again := k
	again.Note = "by Thursday"
	wantEqual(t, must(s.AddTask(ctx, again, anna)), id)
	open, done, err := s.Tasks(ctx)
	check(t, err)
	wantEqual(t, []int{len(open), len(done)}, []int{1, 0})
	wantEqual(t, open[0].Note, "by Thursday")
	check(t, s.FinishTask(ctx, id, anna))
	wantError(t, s.FinishTask(ctx, id, anna), ErrNotFound)
	open, done, err = s.Tasks(ctx)
	check(t, err)
	wantEqual(t, []int{len(open), len(done)}, []int{0, 1})
	wantFull(t, done[0])
	if must(s.AddTask(ctx, k, anna)) == id {
		t.Error("a task that was done came back")
	}
}

func TestASecretOfTheServerStays(t *testing.T) {
	s := open(t)
	wantEqual(t, must(s.Secret(ctx, "device", []byte("one"))), []byte("one"))
	wantEqual(t, must(s.Secret(ctx, "device", []byte("two"))), []byte("one"))
}

func TestSessionsOutliveTheReader(t *testing.T) {
	s := open(t)
	sessions := s.Sessions()
	defer sessions.Close()
	check(t, sessions.Commit("a", []byte("data"), time.Now().Add(time.Hour)))
	check(t, sessions.Commit("b", []byte("old"), time.Now().Add(-time.Hour)))
	data, there, err := sessions.Find("a")
	wantEqual(t, []any{string(data), there, err}, []any{"data", true, nil})
	_, there, err = sessions.FindCtx(ctx, "b")
	wantEqual(t, []any{there, err}, []any{false, nil})
	wantEqual(t, len(must(sessions.AllCtx(ctx))), 1)
	check(t, sessions.Delete("a"))
	wantEqual(t, len(must(sessions.AllCtx(ctx))), 0)
}

// TestTheAccountSigns holds that whatever name is sent along, what is written
// under an account carries the account's.
func TestTheAccountSigns(t *testing.T) {
	s := open(t)
	signed := SignedBy(context.Background(), "Dora")
	id := must(s.AddAthlete(signed, Athlete{Name: "Edda"}, By{Name: "typed"}))
	mass := 70.0
	must(s.AddMeasures(signed, Measures{AthleteID: id, MeasuredOn: "2026-01-01", MeasuredBy: "typed", Body: Body{MassKg: &mass}}))
	wantEqual(t, must(s.Changes(ctx, AthleteRecord, id, 0))[0].By, "Dora")
	wantEqual(t, must(s.MeasuresOf(ctx, id))[0].MeasuredBy, "Dora")
	must(s.AddTask(signed, Task{What: "x", Address: "/"}, By{Name: "typed"}))
	open, _, err := s.Tasks(ctx)
	check(t, err)
	wantEqual(t, open[0].SentBy, "Dora")
}
