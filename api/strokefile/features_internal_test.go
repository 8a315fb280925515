package strokefile

import (
	"encoding/json"
	"strings"
	"testing"
)

// TestStrokesAreWrittenWithTheirStart as numbers are, in full.
func TestStrokesAreWrittenWithTheirStart(t *testing.T) {
	list := StrokeList{{StartS: 1.123456789}, {StartS: 1234567.5}}
	text, err := json.Marshal(list)
	if err != nil || !strings.Contains(string(text), `"start_s":1.123456789,`) || !strings.Contains(string(text), `"start_s":1234567.5,`) || !json.Valid(text) {
		t.Errorf("%s %v", text, err)
	}
	if text, err := json.Marshal(StrokeList{}); err != nil || string(text) != "[]" {
		t.Errorf("%s %v", text, err)
	}
}
