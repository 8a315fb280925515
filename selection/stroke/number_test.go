package stroke

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"
)

func TestNumbersAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]float64{
		"0": 0, "-0": 0, "12": 12, "+12.5": 12.5, ".5": 0.5, "5.": 5, "-55.25": -55.25, "1e3": 1000, "1.5E-2": 0.015,
		"0.1": 0.1, "123456789012345678901234567890": 123456789012345678901234567890, "9007199254740993": 9007199254740993,
		"0.30000000000000004": 0.30000000000000004, "1e-400": 0,
	} {
		if got, ok := parseNumber([]byte(text), '.'); !ok || got != want {
			t.Errorf("%s: %v %v", text, got, ok)
		}
		comma := strings.Replace(text, ".", ",", 1)
		if got, ok := parseNumber([]byte(comma), ','); !ok || got != want {
			t.Errorf("%s: %v %v", comma, got, ok)
		}
	}
}

func TestWhatIsNoNumber(t *testing.T) {
	for _, text := range []string{"", "-", ".", "+.", "e5", "1e", "1e+", "1.2.3", "1,5", "0x10", "inf", "NaN", "Infinity", "1_000", "1 000",
		"12a", "--1", "1-", "1e999", "\x00", "5\x00", strings.Repeat("1", 65)} {
		if v, ok := parseNumber([]byte(text), '.'); ok {
			t.Errorf("%q is read as %v", text, v)
		}
	}
	if v, ok := parseNumber([]byte("1.5"), ','); ok {
		t.Errorf("a point with the decimal comma is read as %v", v)
	}
}

// The oracle is strconv, on everything of decimal form.
func FuzzNumbersAgreeWithStrconv(f *testing.F) {
	for _, s := range []string{"1.5", "-0.30000000000000004", "1e22", "9007199254740993", "123456789.123456789", "", "0x1p4", "1e309"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, ok := parseNumber([]byte(s), '.')
		want, err := strconv.ParseFloat(s, 64)
		decimal := strings.Trim(s, "0123456789+-.eE") == "" && len(s) <= maxNumber
		if ok != (err == nil && decimal && !math.IsInf(want, 0)) {
			t.Fatalf("%q: read %v, strconv %v", s, ok, err)
		}
		if ok && math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%q: %v, strconv %v", s, got, want)
		}
	})
}

func TestClocks(t *testing.T) {
	for text, want := range map[string]float64{"0:00": 0, "1:02.5": 62.5, "06:59:01.25": 25141.25, "2026-05-01 06:59:01": 25141, "2026-05-01T06:59:01.5Z": 25141.5} {
		if got, ok := parseClock([]byte(text), '.'); !ok || got != want {
			t.Errorf("%s: %v %v", text, got, ok)
		}
	}
	for _, text := range []string{"", "12", "1:60", "1:2:3:4", "1:-2", "a:b", "1.5:00", ":"} {
		if got, ok := parseClock([]byte(text), '.'); ok {
			t.Errorf("%s: %v", text, got)
		}
	}
}

func TestBlanks(t *testing.T) {
	for _, text := range []string{"", "-", "NA", "n/a", "NaN", "nan", "null", "#N/A"} {
		if !isBlank([]byte(text)) {
			t.Errorf("%q is not blank", text)
		}
	}
	if isBlank([]byte("0")) || isBlank([]byte("none of it")) {
		t.Error("a value is blank")
	}
}

func BenchmarkParseNumber(b *testing.B) {
	texts := bytes.Fields([]byte("123.456 -55.25 612.5 0.01 4.52"))
	for b.Loop() {
		for _, t := range texts {
			parseNumber(t, '.')
		}
	}
}
