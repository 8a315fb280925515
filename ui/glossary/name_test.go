package glossary

import "testing"

// TestNamesOfTags, opened and closed.
func TestNamesOfTags(t *testing.T) {
	for tag, want := range map[string]struct {
		name    string
		closing bool
	}{
		"th": {"th", false}, "/th": {"th", true}, `label for="x"`: {"label", false}, "br/": {"br", false}, "/summary": {"summary", true}, "textarea": {"textarea", false},
		"th\n class": {"th", false}, " th": {"", false}, "": {"", false}, "/": {"", true},
	} {
		if name, closing := nameOf([]byte(tag)); string(name) != want.name || closing != want.closing {
			t.Errorf("%q: %q, closing %v", tag, name, closing)
		}
	}
}

// TestPartsOfPagesThatEndSoonStay: cut off in a tag or right behind one.
func TestPartsOfPagesThatEndSoonStay(t *testing.T) {
	for _, part := range []string{"", "span", "<th", "<th>", "<th>Span", "<", "<p>a</p> b"} {
		if got := string(Link("seat", []byte(part))); got != part {
			t.Errorf("%q gives %q", part, got)
		}
	}
}
