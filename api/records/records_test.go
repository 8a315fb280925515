package records_test

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/wire"
)

// noon is when the tests are.
var noon = time.Date(2026, 5, 3, 12, 0, 0, 0, time.UTC)

func TestConflictsNameWhoCameBetween(t *testing.T) {
	moved := &store.ErrConflict{Version: 7, Changes: []store.Change{
		{Version: 6, By: "Ann", Part: store.Part{Field: "name"}, At: noon}, {Version: 7, By: "Bea", Part: store.Part{Field: "note"}, From: new("old"), To: new("new"), At: noon},
	}}
	var c *records.Conflict
	if err := records.RecordError(fmt.Errorf("saving: %w", moved)); !errors.As(err, &c) || c.Version != 7 || len(c.Changes) != 2 {
		t.Fatalf("%v", err)
	}
	if text := c.Error(); !strings.Contains(text, "Ann and Bea changed this record") {
		t.Errorf("%q does not name both", text)
	}
	if last := c.Changes[1]; last.Version != 7 || *last.From != "old" || *last.To != "new" || last.At != noon {
		t.Errorf("%+v", last)
	}
	if p := c.Problem(); p.Status != http.StatusConflict || p.Version != 7 || len(p.Changes) != 2 || p.Detail == "" {
		t.Errorf("%+v", p)
	}
	if (&records.Conflict{}).Error() == "" {
		t.Error("a conflict that names nobody says nothing")
	}
}

func TestErrorsOfTheRecordsAreAnswered(t *testing.T) {
	for _, c := range []struct {
		err    error
		status int
	}{
		{store.ErrNotFound, 404}, {store.ErrTaken, 409}, {store.ErrInUse, 409}, {store.ErrKeyReused, 409}, {store.ErrSheetDone, 409}, {store.ErrInvalid, 422},
		{store.ErrFull, 507}, {store.ErrReadOnly, 507}, {store.ErrBusy, 503}, {store.ErrMoved, 503}, {store.ErrDamaged, 503}, {store.ErrNotDatabase, 503},
	} {
		var known wire.Failure
		if err := records.Refusal(fmt.Errorf("saving: %w", c.err)); !errors.As(err, &known) || known.Problem().Status != c.status {
			t.Errorf("%v: %v, want %d", c.err, err, c.status)
		}
	}
	fault := errors.New("a fault")
	if records.Refusal(fault) != fault || records.RecordError(fault) != fault {
		t.Error("a fault is told as something else")
	}
	said := wire.At("name").Invalid("x")
	if records.Refusal(said) != error(said) {
		t.Error("an error that says how it is answered is told otherwise")
	}
	if err := records.RecordError(store.ErrNotFound); !errors.Is(err, wire.ErrNotFound) || !errors.Is(err, store.ErrNotFound) {
		t.Errorf("%v", err)
	}
}

func TestANameThatIsTakenIsToldAtTheName(t *testing.T) {
	var bad *wire.Invalid
	if err := records.TakenAs(store.ErrTaken, "Another boat has it."); !errors.As(err, &bad) || bad.Fields[0] != wire.At("name").Problem("Another boat has it.") {
		t.Errorf("%v", err)
	}
	if err := records.TakenAs(store.ErrNotFound, "x"); errors.As(err, &bad) && bad.Fields[0].Detail == "x" || !errors.Is(err, wire.ErrNotFound) {
		t.Errorf("%v", err)
	}
}

func TestHistoryOfARecord(t *testing.T) {
	s := &records.Records{Store: storetest.Open(t), Now: func() time.Time { return noon }}
	id, err := s.Store.AddAthlete(t.Context(), store.Athlete{Name: "Ann"}, s.Signed(" Ines "))
	if err != nil {
		t.Fatal(err)
	}
	all, err := s.Changes(t.Context(), store.AthleteRecord, records.ChangesRequest{ID: id})
	if err != nil || len(all.Changes) == 0 || all.Changes[0].By != "Ines" || !all.Changes[0].At.Equal(noon) {
		t.Fatalf("%+v, %v", all, err)
	}
	later, err := s.Changes(t.Context(), store.AthleteRecord, records.ChangesRequest{ID: id, After: all.Changes[0].Version})
	if err != nil || len(later.Changes) != 0 || later.Changes == nil {
		t.Errorf("after the last: %+v, %v", later, err)
	}
	if _, err := s.Changes(t.Context(), store.AthleteRecord, records.ChangesRequest{ID: id + 1}); !errors.Is(err, wire.ErrNotFound) {
		t.Errorf("of nobody: %v", err)
	}
	if s.Today() != "2026-05-03" {
		t.Errorf("today is %s", s.Today())
	}
}

// TestTheClockThatWentBackIsNotTheLatest: what the records have seen of it counts.
func TestTheClockThatWentBackIsNotTheLatest(t *testing.T) {
	now := noon
	r := &records.Records{Now: func() time.Time { return now }}
	if got := r.Latest(); !got.Equal(noon) {
		t.Errorf("without records: %v", got)
	}
	r.Store = storetest.Timed(t, t.TempDir()+"/club.db", func() time.Time { return now })
	if got := r.Latest(); !got.Equal(noon) {
		t.Errorf("at first: %v", got)
	}
	now = noon.Add(-time.Hour)
	if got := r.Latest(); !got.Equal(noon) {
		t.Errorf("an hour back: %v", got)
	}
}
