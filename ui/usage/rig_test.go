package usage

import (
	"math"
	"net/url"
	"strings"
	"testing"

	"thole/api/people"
	"thole/api/wire"
)

var (
	inches    = Usage{Rig: people.Inches}
	fractions = Usage{Rig: people.Fractions}
	inMillis  = Usage{Rig: people.Millimetres}
	inComma   = Usage{Rig: people.Inches, Comma: true, Stroke: true}
)

// TestRigMeasuresAreInTheReadersUnit: with their unit, in ranges, with an uncertainty, as
// moves, alone in a cell, and for each unit. An inch is 2.54 cm (international yard and
// pound agreement, 1959): 159 cm are 62.598 in, 62 19/32 in to a thirty-second.
func TestRigMeasuresAreInTheReadersUnit(t *testing.T) {
	for _, c := range []struct {
		u          Usage
		page, want string
	}{
		{inches, `<p>span 159 cm, inboard 88.5 cm</p>`, `<p>span 62.6 in, inboard 34.84 in</p>`},
		{inComma, `<p>span 159 cm, 4.5 kg</p>`, `<p>span 62,6 in, 4,5 kg</p>`},
		{fractions, `<p>span 159 cm</p>`, `<p>span 62 5/8 in</p>`},
		{inMillis, `<p>span 159 cm, ± 2 mm, 0.5 cm</p>`, `<p>span 1590 mm, ± 2 mm, 5 mm</p>`},
		{inches, `<p>move the stretcher 30 mm to the bow</p>`, `<p>move the stretcher 1.18 in to the bow</p>`},
		{fractions, `<p>move 30 mm, within ± 2 mm</p>`, `<p>move 1 3/16 in, within ± 3/32 in</p>`},
		{inches, `<p>from 110 to 190 cm, −5 to 5 cm, 154–162 cm</p>`, `<p>from 43.31 to 74.8 in, −1.97 to 1.97 in, 60.63 to 63.78 in</p>`},
		{inches, "<p>21.5 ± 5.5 cm; carried 8 cm ± 2 over it; suits to 19.6 cm, ±\n\t\t1.4: inside; 9 cm ± 2°</p>", "<p>8.5 ± 2.2 in; carried 3.1 in ± 0.8 over it; suits to 7.7 in, ±\n\t\t0.6: inside; 3.5 in ± 2°</p>"},
		{inches, `<td data-m="rig">88</td><th data-m="rig">Handle cm</th><td data-m="rig">+1 cm</td>`, `<td data-m="rig">34.65</td><th data-m="rig">Handle in</th><td data-m="rig">+0.39 in</td>`},
		{inches, `<td data-m="rig">hole 7</td><td data-m="rig">–</td>`, `<td data-m="rig">hole 7</td><td data-m="rig">–</td>`},
		{inches, `<td data-m="per_cm">−0.2°</td>`, `<td data-m="per_cm">−0.51°</td>`},
		{inMillis, `<td data-m="per_cm">−0.2</td>`, `<td data-m="per_cm">−0.02</td>`},
		{inComma, `<td data-m="hole">7</td><input name="heel_to_pin_cm" data-m="hole" value="7">`, `<td data-m="hole">7</td><input name="heel_to_pin_cm" data-m="hole" value="7"><input type="hidden" name="was:heel_to_pin_cm" value="number|7|7"/>`},
		{inComma, `<table><thead><tr><th>Time, ms</th><th>Lower edge, cm</th></tr></thead><tbody><tr><td>1.5</td><td>2.5</td></tr></tbody></table><table><tr><td>2</td><td>5</td></tr></table>`,
			`<table><thead><tr><th>Time, ms</th><th>Lower edge, in</th></tr></thead><tbody><tr><td>1,5</td><td>0,98</td></tr></tbody></table><table><tr><td>2</td><td>5</td></tr></table>`},
		{Usage{Feet: true}, `<td>span 159 cm</td>`, `<td>span 159 cm</td>`},
		{Usage{Comma: true}, `<p>1.5°, 7:02.4, 127.0.0.1, 2.5.</p>`, `<p>1,5°, 7:02,4, 127.0.0.1, 2,5.</p>`},
		{Usage{}, `<p>on 2026-11-06</p><input value="2026-11-06">`, `<p>on 6 Nov 2026</p><input value="2026-11-06">`},
		{Usage{Days: YearFirst}, `<p>on 2026-11-06, 27 Oct</p>`, `<p>on 2026-11-06, 10-27</p>`},
		{Usage{Days: MonthFirst}, `<p>on 2026-11-06, 27 Oct</p>`, `<p>on Nov 6, 2026, Oct 27</p>`},
		{Usage{Days: MonthFirst}, `<p>write it as year-month-day, such as 2026-04-30</p>`, `<p>write it as year-month-day, such as 2026-04-30</p>`},
	} {
		if got := string(c.u.Rewrite([]byte(c.page), nil)); got != c.want {
			t.Errorf("%+v\n%s\n%s, want\n%s", c.u, c.page, got, c.want)
		}
	}
}

// TestFractionsAreTheNearest: no other sixteenth, or thirty-second below an inch, lies
// nearer, and the fraction is in its lowest terms.
func TestFractionsAreTheNearest(t *testing.T) {
	for tenths := -4000; tenths <= 4000; tenths++ {
		in := float64(tenths) / 10 / cmPerInch
		text := typedSigns.Replace(fraction(in))
		back, ok := readRig(text+" in", 0)
		step := 1.0 / sixteenths
		if math.Abs(in) < 1 {
			step = 1.0 / finer
		}
		if !ok || math.Abs(back/cmPerInch-in) > step/2+1e-4 {
			t.Fatalf("%g in are written as %s, which is %g in", in, text, back/cmPerInch)
		}
		if _, below, ok := strings.Cut(text, "/"); ok && strings.Contains(" 2 4 8 16 32 ", " "+below+" ") && !strings.ContainsAny(strings.Fields(text)[len(strings.Fields(text))-1], "13579") {
			t.Errorf("%s is not in its lowest terms", text)
		}
	}
}

// TestEverybodyReadsMeasuresWithTheirUnit, whatever they have chosen; without a unit a
// number is in one's own, and what has no sense stays as it was typed.
func TestEverybodyReadsMeasuresWithTheirUnit(t *testing.T) {
	for _, u := range []Usage{{}, inches, fractions, inMillis, inComma, {Comma: true}} {
		for typed, want := range map[string]string{
			"15 3/4 in": "40.005", `62 1/2"`: "158.75", "62 1/2 inches": "158.75", "62-1/2 in": "158.75", `5' 11"`: "180.34", "5 ft 3 in": "160.02", "395 mm": "39.5", "0.395 m": "39.5",
			"-1/2 in": "-1.27", "−2 mm": "-0.2", "39,5 cm": "39.5", "39.5 cm": "39.5", ".5 in": "1.27",
			"hole 7": "hole 7", "3/0 in": "3/0 in", "3/4 cm": "3/4 cm", "5 ft 3 cm": "5 ft 3 cm", "wide": "wide", "": "",
		} {
			for _, shown := range []bool{false, true} {
				if got := u.inRecord(rigLength, "span_cm", typed, shown); !sameCm(got, want) {
					t.Errorf("%+v, shown %v: %q is %q, want %q", u, shown, typed, got, want)
				}
			}
		}
	}
	for _, c := range []struct {
		u                 Usage
		name, typed, want string
	}{
		{inches, "span_cm", "62.5", "158.75"}, {inches, "span_cm", "62,5", "158.75"}, {fractions, "span_cm", "62 1/2", "158.75"}, {inches, "span_cm", "62 1/2", "158.75"},
		{inMillis, "span_cm", "1590", "159"}, {Usage{}, "span_cm", "159", "159"}, {Usage{}, "span_cm", "15 3/4", "15 3/4"}, {Usage{Comma: true}, "span_cm", "1,234", "1.234"},
		{Usage{}, "span_cm", "1,234", "1,234"}, {inches, "washer_mm", "0.16", "4.064"}, {inMillis, "washer_mm", "4", "4"}, {inches, "gate_difference_cm", "-0.5", "-1.27"},
		{inches, "s1_span_cm_step", "1/4", "0.635"}, {Usage{Comma: true}, "catch_deg", "1,234", "1,234"}, {Usage{}, "washer_mm", "5/32 in", "3.969"},
	} {
		form := url.Values{c.name: {c.typed}, was + c.name: {string(kindOf(c.name)) + "||x"}}
		if c.u.Read(form); form.Get(c.name) != c.want {
			t.Errorf("%s %q as %+v: %q, want %q", c.name, c.typed, c.u, form.Get(c.name), c.want)
		}
	}
	reading := url.Values{"value": {"15 3/4 in"}, "setting": {"heel_to_pin_cm"}}
	if (Usage{}).Read(reading); reading.Get("value") != "40.005" {
		t.Errorf("a reading at the boat is %v", reading)
	}
}

// sameCm reports whether a text is the number that is wanted, perhaps with its unit.
func sameCm(got, want string) bool {
	v, complaint := wire.ReadNumber(got)
	w, none := wire.ReadNumber(want)
	return got == want || complaint == "" && none == "" && v == w
}

// BenchmarkRewrite rewrites a page of 400 table rows, as somebody who chose nothing and as
// somebody who has all otherwise.
func BenchmarkRewrite(b *testing.B) {
	page := []byte("<table>" + strings.Repeat(`<tr data-m="cm"><th>Span of the port side</th><td>159.5</td><td>within ± 2 mm on 30 Nov 2026</td></tr>`, 400) + "</table>")
	theirs := Theirs([]string{"Port Ellen", "moved 3 cm to port"})
	for name, u := range map[string]Usage{"as in the records": {}, "all otherwise": {Feet: true, Rig: people.Fractions, Pounds: true, Stroke: true, Days: MonthFirst, Comma: true}} {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(len(page)))
			for b.Loop() {
				u.Rewrite(page, theirs)
			}
		})
	}
}
