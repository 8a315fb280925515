package erg

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseTimeReadsWhatPeopleType(t *testing.T) {
	rows := map[string]float64{
		"6:32.4": 392.4, " 6:32,4 ": 392.4, "1:45": 105, "392.4": 392.4, "392,4": 392.4,
		"6.32,4": 392.4, "6.32.4": 392.4, "6,32.4": 392.4, `6'32"4`: 392.4, "6′32″4": 392.4,
		"6’32,4": 392.4, "6'32''4": 392.4, `6'32"`: 392, "1:02:03.4": 3723.4, "75:10.0": 4510,
		"59.95": 59.95, "100:00": 6000, "999:00": 59_940, "24:00:00": 86_400, "0:59": 59, "20:00.": 1200, "06:05.25": 365.25,
	}
	for text, seconds := range rows {
		r, err := ParseTime(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		near(t, text, r.Seconds, seconds, 1e-9)
	}
}

func TestParseTimeOffersTheOtherReading(t *testing.T) {
	rows := map[string][2]float64{
		"302": {302, 182}, "145": {145, 105}, "632.4": {632.4, 392.4}, "6.32": {6.32, 392},
		"6,32": {6.32, 392}, "12.30": {12.3, 750}, "632.40": {632.4, 392.4}, "6.5": {6.5, 0}, "10302": {10302, 3782}, "1745": {1745, 1065},
		"392.4": {392.4, 0}, "299": {299, 0}, "45": {45, 0}, "6:32": {392, 0}, "6.75": {6.75, 0},
	}
	for text, want := range rows {
		r, err := ParseTime(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		near(t, text, r.Seconds, want[0], 1e-9)
		near(t, text+", otherwise", r.Other, want[1], 1e-9)
	}
}

func TestParseTimeRefusesWhatIsNoTime(t *testing.T) {
	for _, text := range []string{
		"", "  ", "abc", "6:5", "6:60", "6:75.2", "1:2:03", "1:60:00", "1:02:03:04", ":32", "6:", "6:32:4",
		"-6:32", "+392", "6:32.4s", "6:3a", "1e3", "NaN", "Inf", "0", "0:00.0", "6..32", "1.02.03,4",
		"99999", "24:00:00.1", "1000:00", "6:32.4.5", "٣:٠٢", "٣٠٢", "1234567", strings.Repeat("1", 99), ".", "5.x", "1.234,5", "0x10", "1_000",
	} {
		if r, err := ParseTime(text); err == nil {
			t.Errorf("%q was read as %+v", text, r)
		} else {
			wantField(t, err, "time")
		}
	}
}

func TestFormatTimeWritesTenths(t *testing.T) {
	rows := map[float64]string{
		0: "0:00.0", 59.94: "0:59.9", 59.96: "1:00.0", 392.4: "6:32.4", 3599.96: "1:00:00.0", 3723.4: "1:02:03.4", 105: "1:45.0", 366 * 86_400: "8784:00:00.0", // the longest
	}
	for time, text := range rows {
		if got := FormatTime(time); got != text {
			t.Errorf("FormatTime(%g) = %q, want %q", time, got, text)
		}
	}
}

func TestFormatTimePanicsOnNoTime(t *testing.T) {
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1), 1e9, 366*86_400 + 1} {
		mustPanic(t, "FormatTime", func() { FormatTime(bad) })
	}
}

func TestParseTimeReadsWhatFormatTimeWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		time := rapid.Float64Range(0.1, maxTime-1).Draw(t, "time")
		r, err := ParseTime(FormatTime(time))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "time", r.Seconds, time, 0.05+1e-9)
		if r.Other != 0 {
			t.Fatalf("%q is read in two ways", FormatTime(time))
		}
	})
}

func TestAnAmbiguousTimeIsDoubted(t *testing.T) {
	rows := []struct {
		text     string
		distance float64
		says     string // part of the doubt; "" for none
	}{
		{"302", 1000, "5:02.0 meant, or 3:02.0"},        // 3:02 typed as 302: both can be rowed
		{"302", 500, "slower than 5:00.0"},              // 10:04 pace; only 3:02 can be
		{"302", 500, "3:02.0"},                          //
		{"302", 2000, "beyond"},                         // faster than anyone
		{"420", 2000, ""},                               // 4:20 cannot be rowed
		{"7:00.0", 2000, ""},                            //
		{"632.4", 2000, "10:32.4 meant, or 6:32.4"},     //
		{"6.32", 2000, "6:32.0"},                        // 6.32 s is nonsense
		{"5:02", 2000, "beyond"},                        // for 6:02, or for 1500 m
		{"1:45", 2000, "beyond"},                        // a pace typed for a time
		{"28:00", 2000, "slower than 5:00.0 per 500 m"}, // a 6000 m time, say
	}
	for _, r := range rows {
		reading, err := ParseTime(r.text)
		if err != nil {
			t.Fatal(err)
		}
		got := reading.Doubt(r.distance)
		if (got == "") != (r.says == "") || !strings.Contains(got, r.says) {
			t.Errorf("%s over %g m: doubt %q, want %q in it", r.text, r.distance, got, r.says)
		}
	}
}

func FuzzParseTime(f *testing.F) {
	for _, s := range []string{"6:32.4", "1:45", "392.4", "6.32,4", `6'32"4`, "302", "1:02:03.4", "", ".", "6''", "99999999999999999999", "0.0000001", "00001"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ParseTime(text)
		if err != nil {
			if r != (Reading{}) {
				t.Fatalf("%q: a reading %+v beside an error", text, r)
			}
			wantField(t, err, "time")
			return
		}
		if !(r.Seconds > 0 && r.Seconds <= maxTime) || !(r.Other >= 0) || r.Other == r.Seconds {
			t.Fatalf("%q: %+v", text, r)
		}
		r.Doubt(2000)
		again, err := ParseTime(FormatTime(r.Seconds))
		if r.Seconds >= 0.05 && (err != nil || math.Abs(again.Seconds-r.Seconds) > 0.05+1e-9) {
			t.Fatalf("%q: %g s written and read again is %g s (%v)", text, r.Seconds, again.Seconds, err)
		}
	})
}

func BenchmarkParseTime(b *testing.B) {
	for b.Loop() {
		if _, err := ParseTime("6:32.4"); err != nil {
			b.Fatal(err)
		}
	}
}
