package ui

import (
	"log/slog"
	"testing"
)

// TestEveryPageParses holds what a page would otherwise show when it is first asked
// for.
func TestEveryPageParses(t *testing.T) {
	f, err := newFrame(slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	f.Pages.ParseAll() // which panics
}
