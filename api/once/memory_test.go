package once_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/iotest"

	"thole/api/once"
	"thole/api/store"
	"thole/api/storetest"
)

// begun begins a request of account 1 and returns what it was answered before.
func begun(t *testing.T, k *once.Keeper, key, body string) (inner context.Context, done func(int, string), before *once.Answer) {
	t.Helper()
	inner, done, before, err := k.Begin(as(t, 1), once.Request{Key: key, Body: []byte(body), Status: 201})
	if err != nil {
		t.Fatal(err)
	}
	return inner, done, before
}

// TestWorkThatGoesOnIsAnsweredAgain as long as it does, also where it has written something
// already; failed or cancelled it can be asked for again.
func TestWorkThatGoesOnIsAnsweredAgain(t *testing.T) {
	for _, writes := range []bool{false, true} {
		s := storetest.Open(t)
		k, going := once.New(s), true
		k.Going = func(address string) bool { return going && address == "/jobs/1" }
		inner, done, before := begun(t, k, "k", "Edda")
		if before != nil {
			t.Fatal(before)
		}
		if writes {
			storetest.Must(s.AddAthlete(inner, store.Athlete{Name: "Edda"}, storetest.Anna))
		}
		done(http.StatusAccepted, "/jobs/1?of=Edda")
		for range 2 {
			if _, _, before = begun(t, k, "k", "Edda"); before == nil || *before != (once.Answer{Status: 202, Location: "/jobs/1"}) {
				t.Errorf("writes %v: %+v", writes, before)
			}
		}
		if _, _, _, err := k.Begin(as(t, 1), once.Request{Key: "k", Body: []byte("Frieda")}); err == nil || !strings.Contains(err.Error(), "another request") {
			t.Errorf("writes %v: another request with the key: %v", writes, err)
		}
		going = false
		if _, done, before = begun(t, k, "k", "Edda"); writes && (before == nil || before.Location != "") || !writes && before != nil {
			t.Errorf("writes %v: when it failed: %+v", writes, before)
		}
		if !writes {
			done(http.StatusAccepted, "/jobs/1") // and is asked for again
			going = true
			if _, _, before = begun(t, k, "k", "Edda"); before == nil || before.Status != 202 {
				t.Errorf("asked for again: %+v", before)
			}
			k.Going = nil
			if _, _, before = begun(t, k, "k", "Edda"); before != nil {
				t.Errorf("where no work goes on: %+v", before)
			}
		}
	}
}

// TestWorkThatEndedIsAnsweredWithWhatCameOfIt: 201 with its address, forgotten where it
// failed. What wrote nothing, or had no key, leaves nothing.
func TestWorkThatEndedIsAnsweredWithWhatCameOfIt(t *testing.T) {
	s := storetest.Open(t)
	k := once.New(s)
	for _, c := range []struct {
		name, key string
		writes    bool
		status    int
		want      string
	}{
		{"made", "a", true, 201, "201 /crews/1"}, {"failed", "b", true, 422, "new"}, {"wrote nothing", "c", false, 201, "new"},
	} {
		inner, done, _ := begun(t, k, c.key, c.name)
		done(http.StatusAccepted, "/jobs/1")
		if c.writes {
			storetest.Must(s.AddAthlete(inner, store.Athlete{Name: c.name}, storetest.Anna))
		}
		k.Ended(inner, c.status, "/crews/1")
		got := "new"
		if _, _, before := begun(t, k, c.key, c.name); before != nil {
			got = fmt.Sprint(before.Status, " ", before.Location)
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	k.Ended(t.Context(), 201, "/crews/1") // work without a key
	once.New(nil).Ended(store.WithOnce(t.Context(), new(store.Once)), 201, "/crews/1")
}

// TestAFileThatWaitsIsAnsweredAgain: the latest 512 of them, of those that left nothing on
// record. One without an address is worked on again, and so is one that was not made.
func TestAFileThatWaitsIsAnsweredAgain(t *testing.T) {
	k := once.New(storetest.Open(t))
	send := func(key string, status int, address string) *once.Answer {
		_, done, before := begun(t, k, key, "")
		if before == nil {
			done(status, address)
		}
		return before
	}
	for i := range 512 {
		send(fmt.Sprint(i), 201, "/files/1")
	}
	if before := send("0", 201, ""); before == nil || *before != (once.Answer{Status: 201, Location: "/files/1"}) {
		t.Errorf("the oldest of 512: %+v", before)
	}
	send("512", 201, "/files/1")
	if before := send("1", 201, ""); before == nil {
		t.Error("the second oldest is forgotten, too")
	}
	if before := send("0", 201, ""); before != nil {
		t.Errorf("the oldest of 513 is remembered: %+v", before)
	}
	for i, c := range []struct {
		status  int
		address string
	}{{201, ""}, {200, "/files/1"}, {202, ""}, {500, "/files/1"}} {
		key := fmt.Sprint("n", i)
		send(key, c.status, c.address)
		if before := send(key, c.status, c.address); before != nil {
			t.Errorf("%+v: %+v", c, before)
		}
	}
}

// TestWhatIsKeptWellIsNoFault: nothing is logged about it.
func TestWhatIsKeptWellIsNoFault(t *testing.T) {
	var log bytes.Buffer
	usual := slog.Default()
	slog.SetDefault(slog.New(slog.NewTextHandler(&log, nil)))
	defer slog.SetDefault(usual)
	s := storetest.Open(t)
	k := once.New(s)
	storetest.Must(add(t, k, s, as(t, 1), once.Request{Key: "k", Body: []byte("Edda"), Status: 201}))
	inner, _, _ := begun(t, k, "l", "Frieda")
	storetest.Must(s.AddAthlete(inner, store.Athlete{Name: "Frieda"}, storetest.Anna))
	k.Ended(inner, 201, "/athletes/2")
	if log.Len() > 0 {
		t.Errorf("%s", log.String())
	}
	inner, done, _ := begun(t, k, "m", "Gerda")
	storetest.Must(s.AddAthlete(inner, store.Athlete{Name: "Gerda"}, storetest.Anna))
	storetest.Check(t, s.Close())
	done(201, "/athletes/3")
	k.Ended(inner, 201, "/athletes/3")
	if strings.Count(log.String(), "level=ERROR") != 2 {
		t.Errorf("two that could not be kept: %s", log.String())
	}
}

// TestAFormThatWasReadCountsOnce, and where it comes again it leads to an address.
func TestAFormThatWasReadCountsOnce(t *testing.T) {
	s := storetest.Open(t)
	k := once.New(s)
	send := func(body string) (worked bool, led string) {
		r := httptest.NewRequest(http.MethodPost, "/import", strings.NewReader(body))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		storetest.Check(t, r.ParseForm())
		w := httptest.NewRecorder()
		storetest.Check(t, k.Read(w, r, "/athletes", func(w http.ResponseWriter, r *http.Request) error {
			worked = true
			if r.PostForm.Has(once.Field) {
				t.Error("the key is left in the form")
			}
			_, err := s.AddAthlete(r.Context(), store.Athlete{Name: r.PostForm.Get("name")}, storetest.Anna)
			w.WriteHeader(http.StatusOK)
			return err
		}))
		return worked, w.Header().Get("Location")
	}
	for i, c := range []struct {
		body   string
		worked bool
		led    string
	}{{"name=Edda&once=k", true, ""}, {"name=Edda&once=k", false, "/athletes"}, {"name=Frieda&once=k", true, ""}, {"name=Gerda", true, ""}} {
		if worked, led := send(c.body); worked != c.worked || led != c.led {
			t.Errorf("%d: worked %v, led to %q", i, worked, led)
		}
	}
}

// TestOnlyFormsHaveAKeyInTheirBody: those that are posted, and hold so many bytes at most.
func TestOnlyFormsHaveAKeyInTheirBody(t *testing.T) {
	const form, body = "application/x-www-form-urlencoded", "once=k&note=x"
	for _, c := range []struct {
		name, method, kind string
		most               int64
		told, taken        bool // the length is told beforehand; the key is taken out
	}{
		{"a form of the largest size", "POST", form, int64(len(body)), true, true},
		{"of the largest size, not told", "POST", form, int64(len(body)), false, true},
		{"one byte larger", "POST", form, int64(len(body)) - 1, true, false},
		{"one byte larger, not told", "POST", form, int64(len(body)) - 1, false, false},
		{"another type", "POST", "text/plain", 1000, true, false},
		{"another method", "PUT", form, 1000, true, false},
	} {
		var read string
		h := once.New(nil).Forms(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
			all, _ := io.ReadAll(r.Body)
			read = string(all)
		}), c.most)
		r := httptest.NewRequest(c.method, "/", strings.NewReader(body))
		r.Header.Set("Content-Type", c.kind)
		if !c.told {
			r.ContentLength = -1
		}
		h.ServeHTTP(httptest.NewRecorder(), r)
		if want := map[bool]string{true: "note=x", false: body}[c.taken]; read != want {
			t.Errorf("%s: %q, want %q", c.name, read, want)
		}
	}
}

// TestAFormThatBreaksOffIsTheHandlersToTell: it reads what came, and the fault.
func TestAFormThatBreaksOffIsTheHandlersToTell(t *testing.T) {
	broken := errors.New("the line is dead")
	h := once.New(nil).Forms(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		if all, err := io.ReadAll(r.Body); !errors.Is(err, broken) || string(all) != "once=k&note=x" {
			t.Errorf("%q, %v", all, err)
		}
	}), 1000)
	r := httptest.NewRequest(http.MethodPost, "/", io.MultiReader(strings.NewReader("once=k&note=x"), iotest.ErrReader(broken)))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	h.ServeHTTP(httptest.NewRecorder(), r)
}

// TestTheFirstStatusIsTheAnswer of a form: it is what went out. One on the way to it (RFC
// 9110, 15.2) and one that comes too late are none.
func TestTheFirstStatusIsTheAnswer(t *testing.T) {
	for name, c := range map[string]struct {
		statuses []int // 0: a part of the body
		counts   bool
	}{
		"good": {[]int{200}, true}, "good, after a hint": {[]int{103, 200}, true}, "bad": {[]int{500}, false}, "bad, after a hint": {[]int{103, 500}, false},
		"good by its body": {[]int{0}, true}, "bad too late": {[]int{0, 500}, true}, "good too late": {[]int{500, 0}, false}, "twice": {[]int{200, 500}, true},
	} {
		s, worked := storetest.Open(t), 0
		h := once.New(s).Forms(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			worked++
			if _, err := s.AddAthlete(r.Context(), store.Athlete{Name: fmt.Sprint("Edda ", worked)}, storetest.Anna); err != nil {
				t.Error(err)
			}
			for _, status := range c.statuses {
				if status > 0 {
					w.WriteHeader(status)
				} else {
					_, _ = io.WriteString(w, "saved")
				}
			}
		}), 1000)
		posted(h, "once=k")
		posted(h, "once=k")
		if want := map[bool]int{true: 1, false: 2}[c.counts]; worked != want {
			t.Errorf("%s: worked on %d times, want %d", name, worked, want)
		}
	}
}
