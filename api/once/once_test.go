package once_test

import (
	"context"
	"errors"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"thole/api/access"
	"thole/api/once"
	"thole/api/store"
	"thole/api/storetest"
)

// as is the context of somebody who signed in.
func as(t testing.TB, account int64) context.Context {
	return access.With(t.Context(), &access.Viewer{Account: account})
}

// add begins a request and puts an athlete on record under it.
func add(t testing.TB, k *once.Keeper, s *store.Store, ctx context.Context, r once.Request) (*once.Answer, error) {
	t.Helper()
	inner, done, before, err := k.Begin(ctx, r)
	if before != nil || err != nil {
		return before, err
	}
	if _, err := s.AddAthlete(inner, store.Athlete{Name: string(r.Body)}, storetest.Anna); err != nil {
		done(500, "")
		return nil, err
	}
	done(201, "/athletes/1?told=Edda")
	return nil, nil
}

func count(t testing.TB, s *store.Store) int {
	t.Helper()
	return len(storetest.Must(s.Athletes(t.Context(), store.Filter{})))
}

func TestWhatIsSentTwiceCountsOnce(t *testing.T) {
	s := storetest.Open(t)
	k := once.New(s)
	r := once.Request{Key: "k", Scope: "POST /athletes", Body: []byte("Edda"), Status: 201}
	if before, err := add(t, k, s, as(t, 1), r); before != nil || err != nil {
		t.Fatal(before, err)
	}
	for _, keeper := range []*once.Keeper{k, once.New(s)} { // also after the program was started again
		before, err := add(t, keeper, s, as(t, 1), r)
		if err != nil || before == nil || *before != (once.Answer{Status: 201, Location: "/athletes/1"}) {
			t.Errorf("%+v, %v", before, err)
		}
	}
	other := r
	other.Body = []byte("Frieda")
	if _, err := add(t, k, s, as(t, 1), other); err == nil || !strings.Contains(err.Error(), "another request") {
		t.Errorf("another request with the key: %v", err)
	}
	elsewhere := r
	elsewhere.Scope = "POST /boats"
	if _, err := add(t, k, s, as(t, 1), elsewhere); err == nil {
		t.Error("the key counted for another address")
	}
	if n := count(t, s); n != 1 {
		t.Errorf("%d athletes", n)
	}
	if before, err := add(t, k, s, as(t, 2), other); before != nil || err != nil { // somebody else's key of the same name
		t.Errorf("%+v, %v", before, err)
	}
}

// TestOfRequestsAtOnceOneCounts, and all of them get its answer.
func TestOfRequestsAtOnceOneCounts(t *testing.T) {
	s := storetest.Open(t)
	k := once.New(s)
	var wait sync.WaitGroup
	answers := make(chan *once.Answer, 20)
	for range cap(answers) {
		wait.Go(func() {
			before, err := add(t, k, s, as(t, 1), once.Request{Key: "k", Body: []byte("Edda"), Status: 201})
			if err != nil {
				t.Error(err)
			}
			answers <- before
		})
	}
	wait.Wait()
	fresh := 0
	for range cap(answers) {
		if before := <-answers; before == nil {
			fresh++
		} else if before.Location != "/athletes/1" {
			t.Errorf("%+v", before)
		}
	}
	if fresh != 1 || count(t, s) != 1 {
		t.Errorf("%d worked, %d athletes", fresh, count(t, s))
	}
}

// TestTwoProgramsOnOneFileCountOnce: neither sees what the other works on.
func TestTwoProgramsOnOneFileCountOnce(t *testing.T) {
	s := storetest.Open(t)
	r := once.Request{Key: "k", Body: []byte("Edda"), Status: 201}
	first, done, _, err := once.New(s).Begin(as(t, 1), r)
	if err != nil {
		t.Fatal(err)
	}
	second, undone, _, err := once.New(s).Begin(as(t, 1), r)
	if err != nil {
		t.Fatal(err)
	}
	storetest.Must(s.AddAthlete(first, store.Athlete{Name: "Edda"}, storetest.Anna))
	storetest.Must(s.AddAthlete(first, store.Athlete{Name: "Her boat mate"}, storetest.Anna)) // one request may write twice
	if _, err := s.AddAthlete(second, store.Athlete{Name: "Edda again"}, storetest.Anna); !errors.Is(err, store.ErrSent) {
		t.Errorf("the second: %v", err)
	}
	done(201, "")
	undone(409, "")
	if n := count(t, s); n != 2 {
		t.Errorf("%d athletes", n)
	}
}

// TestWhatFailedCanBeSentAgain, and so can what was given up.
func TestWhatFailedCanBeSentAgain(t *testing.T) {
	s := storetest.Open(t)
	k := once.New(s)
	r := once.Request{Key: "k", Body: []byte("Edda"), Status: 201}
	inner, done, _, err := k.Begin(as(t, 1), r)
	if err != nil {
		t.Fatal(err)
	}
	waiting, giveUp := context.WithTimeout(as(t, 1), time.Millisecond)
	defer giveUp()
	if _, _, _, err := k.Begin(waiting, r); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("one that waits for another: %v", err)
	}
	storetest.Must(s.AddAthlete(inner, store.Athlete{Name: "Half"}, storetest.Anna))
	done(503, "")
	if before, err := add(t, k, s, as(t, 1), r); before != nil || err != nil {
		t.Errorf("%+v, %v", before, err)
	}
	_, done, _, err = k.Begin(as(t, 1), once.Request{Key: "calculated"})
	if err != nil {
		t.Fatal(err)
	}
	done(200, "") // nothing was written
	if _, _, before, err := k.Begin(as(t, 1), once.Request{Key: "calculated", Body: []byte("other")}); before != nil || err != nil {
		t.Errorf("%+v, %v", before, err)
	}
}

func TestByContentAnotherContentIsAnotherRequest(t *testing.T) {
	s := storetest.Open(t)
	k := once.New(s)
	for i, c := range []struct {
		body string
		came bool
	}{{"Edda", false}, {"Frieda", false}, {"Edda", true}, {"Frieda", true}} {
		before, err := add(t, k, s, as(t, 0), once.Request{Key: "form", Body: []byte(c.body), ByContent: true})
		if err != nil || (before != nil) != c.came {
			t.Errorf("%d: %+v, %v", i, before, err)
		}
	}
}

func TestKeysAreReadable(t *testing.T) {
	k := once.New(storetest.Open(t))
	for key, good := range map[string]bool{
		"": false, "a\x00": false, "a\nb": false, "a\x7f": false, strings.Repeat("x", once.MostKey): true, strings.Repeat("x", once.MostKey+1): false,
		`"8e03978e-40d5-43dd-bc93-6894a57f9324"`: true, "ü": true,
	} {
		_, done, _, err := k.Begin(as(t, 1), once.Request{Key: key})
		if (err == nil) != good {
			t.Errorf("%q: %v", key, err)
		}
		if done != nil {
			done(200, "")
		}
	}
	if _, _, before, err := once.New(nil).Begin(as(t, 1), once.Request{Key: "k"}); before != nil || err != nil {
		t.Errorf("without records: %+v, %v", before, err)
	}
}

// TestKeysGoAfterADayAndWithTheirAccount, and nothing of what was sent is kept.
func TestKeysGoAfterADayAndWithTheirAccount(t *testing.T) {
	now := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	s := storetest.Must(store.OpenWith(t.Context(), filepath.Join(t.TempDir(), "club.db"), store.Options{Now: func() time.Time { return now }}))
	t.Cleanup(func() { storetest.Check(t, s.Close()) })
	k := once.New(s)
	for _, key := range []string{"old", "new"} {
		if _, err := add(t, k, s, as(t, 1), once.Request{Key: key, Body: []byte("Edda " + key)}); err != nil {
			t.Fatal(err)
		}
		now = now.Add(25 * time.Hour)
	}
	now = now.Add(-2 * time.Hour)
	if before, _ := add(t, k, s, as(t, 1), once.Request{Key: "new", Body: []byte("Edda new")}); before == nil {
		t.Error("a key of 23 hours is forgotten")
	}
	file := storetest.Writer(s)
	var rows int
	var telling string
	if err := file.QueryRow("SELECT count(*), group_concat(hex(key) || hex(request) || location) FROM sent_keys").Scan(&rows, &telling); err != nil {
		t.Fatal(err)
	}
	if rows != 1 || strings.Contains(telling, "Edda") {
		t.Errorf("%d rows: %s", rows, telling)
	}
	if _, err := file.Exec("INSERT INTO accounts (id, name, name_key, hash, created_at) VALUES (1, 'Anna', 'anna', 'h', '2026-03-05T10:00:00.000Z'); DELETE FROM accounts WHERE id = 1"); err != nil {
		t.Fatal(err)
	}
	if err := file.QueryRow("SELECT count(*) FROM sent_keys").Scan(&rows); err != nil || rows != 0 {
		t.Errorf("%d rows of an account that is gone, %v", rows, err)
	}
}

// TestAKeyCountsOnceWhenTheClockGoesBack sends again after the clock went back, also
// what was sent while it was ahead.
func TestAKeyCountsOnceWhenTheClockGoesBack(t *testing.T) {
	for _, jump := range []time.Duration{time.Hour, 48 * time.Hour} {
		now := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
		s := storetest.Must(store.OpenWith(t.Context(), filepath.Join(t.TempDir(), "club.db"), store.Options{Now: func() time.Time { return now }}))
		t.Cleanup(func() { storetest.Check(t, s.Close()) })
		k := once.New(s)
		send := func(key string) *once.Answer {
			t.Helper()
			return storetest.Must(add(t, k, s, as(t, 1), once.Request{Key: key, Body: []byte(key)}))
		}
		send("ahead")
		now = now.Add(-jump)
		for range 2 {
			if send("ahead") == nil {
				t.Errorf("%v back: it counted twice", jump)
			}
			send("other") // writes at first
		}
		now = now.Add(25 * time.Hour)
		before, err := add(t, k, s, as(t, 1), once.Request{Key: "ahead", Body: []byte("ahead")})
		if before != nil || !errors.Is(err, store.ErrTaken) { // it is worked on again, and the name is there
			t.Errorf("%v back: the key is kept for longer than a day: %v, %v", jump, before, err)
		}
	}
}
