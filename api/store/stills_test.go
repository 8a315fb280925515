package store

import (
	"bytes"
	"errors"
	"testing"
)

// TestAStillGoesAloneOrWithItsReading keeps, replaces and removes one, by the
// athlete whose reading it is.
func TestAStillGoesAloneOrWithItsReading(t *testing.T) {
	s := open(t)
	ann, cleo := addNamed(t, s, "Ann"), addNamed(t, s, "Cleo")
	f := must(s.AddFilmedReading(ctx, filmed(ann, nil), anna))
	first := Still{ReadingID: f.ID, Picture: []byte("a first picture"), WidthPx: 4, HeightPx: 3}
	if _, err := s.KeepStill(ctx, cleo, first, anna); !errors.Is(err, ErrNotFound) {
		t.Errorf("beside another's reading: %v", err)
	}
	kept := must(s.KeepStill(ctx, ann, first, By{"Bert", noon}))
	if kept.Picture != nil || kept.By != "Bert" || must(s.Traces(ctx)).IsZero() == false {
		t.Errorf("%+v", kept)
	}
	wantEqual(t, must(s.StillsOf(ctx, ann)), map[int64]Still{f.ID: kept})
	wantEqual(t, len(must(s.StillsOf(ctx, cleo))), 0)
	second := first
	second.Picture = []byte("second")
	must(s.KeepStill(ctx, ann, second, anna))
	if got := must(s.StillOf(ctx, ann, f.ID)); !bytes.Equal(got.Picture, second.Picture) || must(s.Traces(ctx)).IsZero() {
		t.Errorf("%+v", got)
	}
	if _, err := s.StillOf(ctx, cleo, f.ID); !errors.Is(err, ErrNotFound) {
		t.Errorf("by another: %v", err)
	}
	wantError(t, s.RemoveStill(ctx, cleo, f.ID), ErrNotFound)
	check(t, s.RemoveStill(ctx, ann, f.ID))
	wantError(t, s.RemoveStill(ctx, ann, f.ID), ErrNotFound)
	wantEqual(t, len(must(s.FilmedReadings(ctx, ann, ""))), 1)
	must(s.KeepStill(ctx, ann, first, anna))
	check(t, s.DeleteFilmedReading(ctx, ann, f.ID))
	if _, err := s.StillOf(ctx, ann, f.ID); !errors.Is(err, ErrNotFound) {
		t.Errorf("without its reading: %v", err)
	}
}

// TestARemovedStillIsGoneFromTheFile looks without the wiping that comes later.
func TestARemovedStillIsGoneFromTheFile(t *testing.T) {
	s := open(t)
	ann := addNamed(t, s, "Ann")
	f := must(s.AddFilmedReading(ctx, filmed(ann, nil), anna))
	must(s.KeepStill(ctx, ann, Still{ReadingID: f.ID, Picture: []byte("Picture of Lent"), WidthPx: 4, HeightPx: 3}, anna))
	wantThere(t, s, "Picture of Lent")
	check(t, s.RemoveStill(ctx, ann, f.ID))
	wantGone(t, s, "Picture of Lent")
}

// TestALargeStillIsRefused by the file itself.
func TestALargeStillIsRefused(t *testing.T) {
	s := open(t)
	ann := addNamed(t, s, "Ann")
	f := must(s.AddFilmedReading(ctx, filmed(ann, nil), anna))
	for _, n := range []int{0, LargestStill + 1} {
		if _, err := s.KeepStill(ctx, ann, Still{ReadingID: f.ID, Picture: make([]byte, n), WidthPx: 4, HeightPx: 3}, anna); err == nil {
			t.Errorf("%d bytes are kept", n)
		}
	}
	must(s.KeepStill(ctx, ann, Still{ReadingID: f.ID, Picture: make([]byte, LargestStill), WidthPx: 4, HeightPx: 3}, anna))
}
