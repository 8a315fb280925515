package squadfile

import (
	"testing"
)

// TestWideText: every other byte of text in two bytes a sign is 0, of four signs at least,
// a third of all bytes at least, and never on both places.
func TestWideText(t *testing.T) {
	for text, wide := range map[string]bool{
		"n\x00a\x00m\x00e\x00": true, "\x00n\x00a\x00m\x00e": true, "n\x00a\x00m\x00e": false, "name,sex": false,
		"n\x00a\x00m\x00eee": true, "n\x00a\x00m\x00eeee": false, "nn\x00\x00aa\x00\x00": false, "aaa\x00a\x00a\x00a": true, "aaa\x00a\x00aaa": false,
	} {
		if got := wideText([]byte(text)); got != wide {
			t.Errorf("%q: %t", text, got)
		}
	}
}
