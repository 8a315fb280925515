package uploads

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net/http"
	"os"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/rest"
	"thole/api/wire"
)

// newLine is a line that tells how long the beginning of a file is.
func newLine(t *testing.T) *Line[int] {
	t.Helper()
	u := New("thole-test", 4, func(beginning []byte) (int, error) {
		if bytes.IndexByte(beginning, 0) >= 0 {
			return 0, wire.At("file").Invalid("no text")
		}
		return len(beginning), nil
	})
	t.Cleanup(u.Close)
	return u
}

// as is the context of an account.
func as(role access.Role, account int64) context.Context {
	return access.With(context.Background(), &access.Viewer{Role: role, Account: account, Athlete: account})
}

// sent puts a file in line.
func sent(t *testing.T, u *Line[int], ctx context.Context, text string) *File[int] {
	t.Helper()
	f, err := u.Spool(ctx, "a.csv", strings.NewReader(text), true)
	if err != nil {
		t.Fatal(err)
	}
	if err := u.Add(f); err != nil {
		t.Fatal(err)
	}
	return f
}

// waits lists whether files are in line and on disk; the two must agree.
func waits(t *testing.T, u *Line[int], files ...*File[int]) string {
	t.Helper()
	var w strings.Builder
	for _, f := range files {
		_, err := u.Find(context.Background(), f.ID)
		if _, gone := os.Stat(f.path); (err == nil) != (gone == nil) {
			t.Errorf("in line: %v, on disk: %v", err, gone)
		}
		w.WriteString(map[bool]string{true: "1", false: "0"}[err == nil])
	}
	return w.String()
}

func TestAFileIsForItsSenderAndCoaches(t *testing.T) {
	u := newLine(t)
	f := sent(t, u, as(access.Athlete, 3), "1,2,3\n")
	if f.Told != 4 || f.Bytes != 6 || u.Sender(f.ID) != 3 || u.Sender("x") != 0 {
		t.Errorf("%+v of %d", f, u.Sender(f.ID))
	}
	for _, c := range []struct {
		ctx  context.Context
		want error
	}{
		{as(access.Athlete, 4), wire.ErrNotFound}, {as(access.Boatman, 5), wire.ErrNotFound}, {access.With(t.Context(), new(access.Viewer)), wire.ErrNotFound},
		{as(access.Athlete, 3), nil}, {as(access.Coach, 6), nil}, {t.Context(), nil},
	} {
		if _, err := u.Find(c.ctx, f.ID); !errors.Is(err, c.want) || (err == nil) != (c.want == nil) {
			t.Errorf("%+v: %v", access.From(c.ctx), err)
		}
		if c.want != nil {
			if err := u.Remove(c.ctx, f.ID); !errors.Is(err, c.want) {
				t.Errorf("removed by %+v: %v", access.From(c.ctx), err)
			}
		}
	}
	r, err := f.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if err := u.Remove(as(access.Athlete, 3), f.ID); err != nil {
		t.Fatal(err)
	}
	if text, err := io.ReadAll(r); string(text) != "1,2,3\n" || err != nil {
		t.Errorf("a file that is being read: %q %v", text, err)
	}
	if _, err := f.Open(); !errors.Is(err, wire.ErrNotFound) {
		t.Errorf("opened after it was removed: %v", err)
	}
}

// TestAthletesPushOutNobodysFiles: each has room for two, all of them for 24, and those of
// coaches stay.
func TestAthletesPushOutNobodysFiles(t *testing.T) {
	u := newLine(t)
	coach := sent(t, u, as(access.Coach, 1), "coach")
	other := sent(t, u, as(access.Athlete, 3), "other")
	own := []*File[int]{sent(t, u, as(access.Athlete, 2), "a"), sent(t, u, as(access.Athlete, 2), "b"), sent(t, u, as(access.Athlete, 2), "c")}
	if got := waits(t, u, append(own, coach, other)...); got != "01111" {
		t.Errorf("three of one athlete, a coach's, another's: %s", got)
	}
	for i := range int64(forAthletes.all) {
		sent(t, u, as(access.Athlete, 10+i), "x")
	}
	if got := waits(t, u, own[1], own[2], other, coach); got != "0001" {
		t.Errorf("after %d more: %s", forAthletes.all, got)
	}
	for range forStaff.all {
		sent(t, u, as(access.Coach, 1), "more")
	}
	if got := waits(t, u, coach); got != "0" || len(u.line) != forAthletes.all+forStaff.all {
		t.Errorf("%d files wait", len(u.line))
	}
}

// TestAFileOfAnAthleteIsSmaller: the bound is told, and nothing is left of what is beyond.
func TestAFileOfAnAthleteIsSmaller(t *testing.T) {
	if Largest(as(access.Athlete, 2)) != 128<<20 || Largest(as(access.Coach, 1)) != 1<<30 || Largest(t.Context()) != 1<<30 {
		t.Error(Largest(as(access.Athlete, 2)), Largest(as(access.Coach, 1)))
	}
	u, large := newLine(t), forAthletes
	forAthletes.bytes = 2 << 20
	t.Cleanup(func() { forAthletes = large })
	text := strings.Repeat("1,2\n", 1<<19) // 2 MB to the byte
	sent(t, u, as(access.Athlete, 2), text)
	_, err := u.Spool(as(access.Athlete, 2), "a.csv", strings.NewReader(text+"1"), true)
	var said *rest.Malformed
	if !errors.As(err, &said) || said.Status != http.StatusRequestEntityTooLarge || !strings.Contains(said.Detail, "2 MB") {
		t.Errorf("%v", err)
	}
	if left, err := os.ReadDir(u.folder); err != nil || len(left) != 1 {
		t.Errorf("%d files are left: %v", len(left), err)
	}
	sent(t, u, as(access.Coach, 1), text+"1")
}

func TestARemovedAthletesFilesGo(t *testing.T) {
	u := newLine(t)
	gone, other, coach := sent(t, u, as(access.Athlete, 2), "a"), sent(t, u, as(access.Athlete, 3), "b"), sent(t, u, t.Context(), "c")
	u.Forget(2)
	u.Forget(0) // whoever is no athlete
	if got := waits(t, u, gone, other, coach); got != "011" {
		t.Error(got)
	}
}

func TestAClosedLineTakesNothing(t *testing.T) {
	u := newLine(t)
	f := sent(t, u, t.Context(), "x")
	u.Close()
	if _, err := os.Stat(f.path); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("left behind: %v", err)
	}
	if _, err := u.Spool(t.Context(), "a.csv", strings.NewReader("x"), true); !errors.Is(err, ErrClosed) {
		t.Error(err)
	}
}

func TestWhatIsNoTextIsNotWritten(t *testing.T) {
	u := newLine(t)
	for _, check := range []bool{true, false} {
		if _, err := u.Spool(t.Context(), "a.csv", strings.NewReader("\x00\x01"), check); err == nil || u.folder != "" {
			t.Errorf("%v in %q", err, u.folder)
		}
	}
}

func TestNamesOfFilesAreShown(t *testing.T) {
	for name, want := range map[string]string{
		"a.csv": "a.csv", `C:\boat\a.csv`: "a.csv", "/etc/passwd": "passwd", "a\x00\nb.csv": "ab.csv", "": "file", "..": "..", "/": "file", strings.Repeat("ä", 400): strings.Repeat("ä", wire.LongestName),
	} {
		if got := plainName(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
