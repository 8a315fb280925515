package stroke

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
)

// linesOf reads all lines; long ones count as "…".
func linesOf(t *testing.T, src io.Reader) []string {
	t.Helper()
	l := newLineReader(src, func() error { return nil })
	var out []string
	for {
		line, long, err := l.next()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		if long {
			line = []byte("…")
		}
		out = append(out, string(line))
	}
}

func TestLinesAreThoseOfASplit(t *testing.T) {
	for _, text := range []string{"a", "a\n", "a\nb", "a\r\nb\r\n", "a\n\nb\n", "\na"} {
		want := strings.Split(strings.ReplaceAll(strings.TrimSuffix(text, "\n"), "\r\n", "\n"), "\n")
		want[len(want)-1] = strings.TrimSuffix(want[len(want)-1], "\r")
		if got := linesOf(t, iotest.OneByteReader(strings.NewReader(text))); !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestLinesAcrossChunks(t *testing.T) {
	var want []string
	for i := range 3 * chunkSize / 1000 {
		want = append(want, strings.Repeat(string(rune('a'+i%26)), 997+i%7))
	}
	if got := linesOf(t, strings.NewReader(strings.Join(want, "\n"))); !slices.Equal(got, want) {
		t.Error("lines are lost or torn")
	}
}

func TestLongLinesArePassedOver(t *testing.T) {
	text := "a\n" + strings.Repeat("x", chunkSize+5) + "\nb\n" + strings.Repeat("y", 3*chunkSize) + "\nc"
	if got := linesOf(t, strings.NewReader(text)); !slices.Equal(got, []string{"a", "…", "b", "…", "c"}) {
		t.Errorf("%d lines", len(got))
	}
}

func TestAByteOrderMarkIsNoText(t *testing.T) {
	if got := linesOf(t, strings.NewReader("\ufeffa\nb")); !slices.Equal(got, []string{"a", "b"}) {
		t.Errorf("%q", got)
	}
}

// The oracle is encoding/csv, line by line.
func FuzzCellsAgreeWithCSV(f *testing.F) {
	for _, s := range []string{`a,b`, `"a,b",c`, `"a""b",,`, `,`, `"",x`, `"1,5","2,5"`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		if strings.ContainsAny(line, "\r\n") || line == "" {
			return
		}
		r := csv.NewReader(strings.NewReader(line))
		want, err := r.Read()
		if err != nil {
			return // a quote inside a plain cell: csv refuses it, here it is dropped
		}
		c := cutter{separator: ','}
		if got := strings.Join(cellTexts(c.cut([]byte(line))), "\x00"); got != strings.Join(want, "\x00") {
			t.Fatalf("%q: %q, want %q", line, got, want)
		}
	})
}

func cellTexts(cells [][]byte) []string {
	var out []string
	for _, c := range cells {
		out = append(out, string(c))
	}
	return out
}

func TestRunsOfBlanksSeparateOnce(t *testing.T) {
	c := cutter{separator: ' '}
	if got := cellTexts(c.cut([]byte("  1.0 \t -55   3 "))); !slices.Equal(got, []string{"1.0", "-55", "3"}) {
		t.Errorf("%q", got)
	}
}

func TestWhatIsNoTextIsNamed(t *testing.T) {
	for head, word := range map[string]string{
		"%PDF-1.7\n":            "PDF",
		"PK\x03\x04rest":        "spreadsheet",
		"\x1f\x8b\x08":          "gzip",
		"\xff\xfet\x00i\x00":    "UTF-16",
		"\x89PNG\r\n":           "picture",
		"<html>":                "web page",
		"{\"a\":1}":             "JSON",
		"":                      "empty",
		"\ufeff \n":             "empty",
		"\x00\x00\x00\x00":      "NUL",
		"time\x00,angle\n":      "NUL",
		"a,b\r1,2\r3,4\r":       "carriage return",
		"\xd0\xcf\x11\xe0\xa1x": "old spreadsheet",
	} {
		err := checkText([]byte(head))
		var file *FileError
		if !errors.As(err, &file) || !strings.Contains(err.Error(), word) {
			t.Errorf("%q: %v", head, err)
		}
	}
	if err := checkText([]byte("time_s,seat\n0,1\n")); err != nil {
		t.Error(err)
	}
}

func TestLabelsAreShortAndValid(t *testing.T) {
	if got := label(bytes.Repeat([]byte("é"), 100)); got != strings.Repeat("é", 40)+"…" {
		t.Error(got)
	}
	if got := label([]byte("a\xffb")); got != "a�b" {
		t.Errorf("%q", got)
	}
}
