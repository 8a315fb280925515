package boats_test

import (
	"bytes"
	"errors"
	"testing"

	"thole/api/store"
	"thole/api/storetest"
)

// TestAStillGoesAloneOrWithItsReading keeps, replaces and removes one, by the
// athlete whose reading it is.
func TestAStillGoesAloneOrWithItsReading(t *testing.T) {
	s := storetest.New(t)
	ann, cleo := storetest.AddNamed(t, s, "Ann"), storetest.AddNamed(t, s, "Cleo")
	f := storetest.Must(s.AddFilmedReading(storetest.Ctx, filmed(ann, nil), storetest.Anna))
	first := store.Still{ReadingID: f.ID, Picture: []byte("a first picture"), WidthPx: 4, HeightPx: 3}
	if _, err := s.KeepStill(storetest.Ctx, cleo, first, storetest.Anna); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("beside another's reading: %v", err)
	}
	kept := storetest.Must(s.KeepStill(storetest.Ctx, ann, first, store.By{Name: "Bert", At: storetest.Noon}))
	if kept.Picture != nil || kept.By != "Bert" || storetest.Must(s.Traces(storetest.Ctx)).IsZero() == false {
		t.Errorf("%+v", kept)
	}
	storetest.WantEqual(t, storetest.Must(s.StillsOf(storetest.Ctx, ann)), map[int64]store.Still{f.ID: kept})
	storetest.WantEqual(t, len(storetest.Must(s.StillsOf(storetest.Ctx, cleo))), 0)
	second := first
	second.Picture = []byte("second")
	storetest.Must(s.KeepStill(storetest.Ctx, ann, second, storetest.Anna))
	if got := storetest.Must(s.StillOf(storetest.Ctx, ann, f.ID)); !bytes.Equal(got.Picture, second.Picture) || storetest.Must(s.Traces(storetest.Ctx)).IsZero() {
		t.Errorf("%+v", got)
	}
	if _, err := s.StillOf(storetest.Ctx, cleo, f.ID); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("by another: %v", err)
	}
	storetest.WantError(t, s.RemoveStill(storetest.Ctx, cleo, f.ID), store.ErrNotFound)
	storetest.Check(t, s.RemoveStill(storetest.Ctx, ann, f.ID))
	storetest.WantError(t, s.RemoveStill(storetest.Ctx, ann, f.ID), store.ErrNotFound)
	storetest.WantEqual(t, len(storetest.Must(s.FilmedReadings(storetest.Ctx, ann, ""))), 1)
	storetest.Must(s.KeepStill(storetest.Ctx, ann, first, storetest.Anna))
	storetest.Check(t, s.DeleteFilmedReading(storetest.Ctx, ann, f.ID))
	if _, err := s.StillOf(storetest.Ctx, ann, f.ID); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("without its reading: %v", err)
	}
}

// TestARemovedStillIsGoneFromTheFile looks without the wiping that comes later.
func TestARemovedStillIsGoneFromTheFile(t *testing.T) {
	s := storetest.New(t)
	ann := storetest.AddNamed(t, s, "Ann")
	f := storetest.Must(s.AddFilmedReading(storetest.Ctx, filmed(ann, nil), storetest.Anna))
	storetest.Must(s.KeepStill(storetest.Ctx, ann, store.Still{ReadingID: f.ID, Picture: []byte("Picture of Lent"), WidthPx: 4, HeightPx: 3}, storetest.Anna))
	storetest.WantThere(t, s, "Picture of Lent")
	storetest.Check(t, s.RemoveStill(storetest.Ctx, ann, f.ID))
	storetest.WantGone(t, s, "Picture of Lent")
}

// TestALargeStillIsRefused by the file itself.
func TestALargeStillIsRefused(t *testing.T) {
	s := storetest.New(t)
	ann := storetest.AddNamed(t, s, "Ann")
	f := storetest.Must(s.AddFilmedReading(storetest.Ctx, filmed(ann, nil), storetest.Anna))
	for _, n := range []int{0, store.LargestStill + 1} {
		if _, err := s.KeepStill(storetest.Ctx, ann, store.Still{ReadingID: f.ID, Picture: make([]byte, n), WidthPx: 4, HeightPx: 3}, storetest.Anna); err == nil {
			t.Errorf("%d bytes are kept", n)
		}
	}
	storetest.Must(s.KeepStill(storetest.Ctx, ann, store.Still{ReadingID: f.ID, Picture: make([]byte, store.LargestStill), WidthPx: 4, HeightPx: 3}, storetest.Anna))
}
