package usage

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"thole/api/people"
)

// TestWhatIsADay: months from 1 to 12 and days from 1 to 31, in texts and in what readers
// are told, not in values.
func TestWhatIsADay(t *testing.T) {
	for page, want := range map[string]string{
		"<p>2026-01-01</p>": "<p>1 Jan 2026</p>", "<p>2026-12-31</p>": "<p>31 Dec 2026</p>", "<p>2026-00-10</p>": "<p>2026-00-10</p>", "<p>2026-13-10</p>": "<p>2026-13-10</p>",
		"<p>2026-01-00</p>": "<p>2026-01-00</p>", "<p>2026-01-32</p>": "<p>2026-01-32</p>", "2026-11-06": "6 Nov 2026", "on 2026-11-06<br>": "on 6 Nov 2026<br>",
		`<a title="on 2026-11-06">x</a>`:                                          `<a title="on 6 Nov 2026">x</a>`,
		`<a href="/2026-11-06">x</a>`:                                             `<a href="/2026-11-06">x</a>`,
		`<a title="on 2026-11-06">x</a><a href="/2026-11-06">`:                    `<a title="on 6 Nov 2026">x</a><a href="/2026-11-06">`,
		`<p title="a"><time datetime=2026-11-06>x</time>`:                         `<p title="a"><time datetime=2026-11-06>x</time>`,
		`<input value="2026-11-06"><p>write it as year-month-day: 2026-04-30</p>`: `<input value="2026-11-06"><p>write it as year-month-day: 2026-04-30</p>`,
	} {
		asked := context.WithValue(t.Context(), key{}, reader{Usage{}, func() Typed { return nil }})
		if got := string(Rewrite(asked, []byte(page))); got != want {
			t.Errorf("%s: %s, want %s", page, got, want)
		}
	}
	if got := string(Rewrite(t.Context(), []byte("<p>2026-01-01</p>"))); got != "<p>2026-01-01</p>" {
		t.Errorf("for nobody: %s", got)
	}
}

// TestADayIsLookedForWhereDigitsAndDashesStand: each sign of 2026-11-06 that the search
// goes by, and a text that ends too soon.
func TestADayIsLookedForWhereDigitsAndDashesStand(t *testing.T) {
	const day = "2026-11-06"
	for i := range day {
		spoilt := day[:i] + "x" + day[i+1:]
		if got, want := holdsDay(spoilt), slices.Contains([]int{1, 2, 6, 9}, i); got != want {
			t.Errorf("%s: %v, want %v", spoilt, got, want)
		}
	}
	for text, want := range map[string]bool{"": false, "2026-11-0": false, "on 2026-11-06.": true, "06-11-2026": false} {
		if holdsDay(text) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
	for text, want := range map[string]bool{
		"6 Nov": true, "6 Apr": true, "6 Sep 2026": true, "on 16 Nov.": true, "6 No": false, "6 nov": false, "x Nov": false, "6-Nov": false, "6 Tue": false, "6 @@@": false, "": false,
	} {
		if namesMonth(text) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
	for c, want := range map[byte]bool{'0': true, '9': true, '5': true, '/': false, ':': false} {
		if isDigit(c) != want {
			t.Errorf("%c: %v", c, !want)
		}
	}
}

// TestWhatATextMayHaveBeenMeantAs is said to those who type cm and kg alone.
func TestWhatATextMayHaveBeenMeantAs(t *testing.T) {
	const told = "<p>From 110 on. It looks like metres: 159 cm?</p>"
	for _, u := range []Usage{{Feet: true}, {Rig: people.Fractions}, {Pounds: true}} {
		if got := string(u.Rewrite([]byte(told), nil)); got != "<p>From 110 on.</p>" {
			t.Errorf("%+v: %s", u, got)
		}
	}
	for _, u := range []Usage{{Comma: true}, {Stroke: true}} {
		if got := string(u.Rewrite([]byte(told), nil)); got != told {
			t.Errorf("%+v: %s", u, got)
		}
	}
}

// TestEachPartOfAPageIsOfItsKind: of a body, of the rig, or of neither, one usage at a
// time. 159 cm are 5 ft 2.6 in and 62.6 in; 180 cm are 5 ft 10.9 in.
func TestEachPartOfAPageIsOfItsKind(t *testing.T) {
	feet, pounds, stroke, comma := Usage{Feet: true}, Usage{Pounds: true}, Usage{Stroke: true}, Usage{Comma: true}
	for _, c := range []struct {
		u          Usage
		page, want string
	}{
		{inches, `<td data-m="said">159 cm</td>`, `<td data-m="said">159 cm</td>`}, {inches, `<td data-m="length">159 cm</td>`, `<td data-m="length">159 cm</td>`},
		{feet, `<td data-m="rig">159 cm</td>`, `<td data-m="rig">159 cm</td>`}, {feet, `<td data-m="said">159 cm</td>`, `<td data-m="said">5′2.6″</td>`},
		{feet, `<td data-m="length">159 cm</td>`, `<td data-m="length">5′2.6″</td>`}, {feet, `<th data-m="length">cm</th>`, `<th data-m="length"></th>`},
		{feet, `<td data-m="length" title="180 cm">a</td>`, `<td data-m="length" title="5′10.9″">a</td>`}, {feet, `<td data-m="rig" title="180 cm">a</td>`, `<td data-m="rig" title="180 cm">a</td>`},
		{inches, `<td data-m="even">3</td><td data-m="even">4</td>`, `<td data-m="even"></td><td data-m="even">1.6</td>`}, {inMillis, `<td data-m="even">3</td>`, `<td data-m="even">30</td>`},
		{inches, `<td data-m="tick">3</td>`, `<td data-m="tick">1.2</td>`},
		{inches, `<td data-m="ratio">0.25 cm</td>`, `<td data-m="ratio">0.25 in</td>`}, {comma, `<td data-m="number">2.5</td>`, `<td data-m="number">2,5</td>`},
		{feet, `<li><a href="#span_cm">Span</a>: 180 cm?</li>`, `<li><a href="#span_cm">Span</a>: 180 cm?</li>`}, {feet, `<p id="e-span_cm">180 cm</p>`, `<p id="e-span_cm">180 cm</p>`},
		{inches, `<table><tr data-m="rig"><th>a</th><td>88</td></tr></table>`, `<table><tr data-m="rig"><th>a</th><td>34.65</td></tr></table>`},
		{inches, `<table><thead><tr><th>Edge, cm</th></tr></thead><tbody><tr><th>5</th></tr><tr><td>5</td></tr></tbody></table>`, `<table><thead><tr><th>Edge, in</th></tr></thead><tbody><tr><th>5</th></tr><tr><td>1.97</td></tr></tbody></table>`},
		{inches, `<table><tr><td>edge, cm</td></tr><tr><td>5</td></tr></table>`, `<table><tr><td>edge, cm</td></tr><tr><td>5</td></tr></table>`}, {inches, `<p>edge, cm</p>`, `<p>edge, cm</p>`},
		{inches, `<table><thead><tr><th colspan="2">a</th><th>Edge, cm</th></tr></thead><tbody><tr><td>1</td><td>5</td><td>5</td></tr></tbody></table>`, `<table><thead><tr><th colspan="2">a</th><th>Edge, in</th></tr></thead><tbody><tr><td>1</td><td>5</td><td>1.97</td></tr></tbody></table>`},
		{inches, `<i class="badge port">P</i>`, `<i class="badge port">P</i>`}, {stroke, `<i>P</i><i class="badge">3</i><i class="fig-letter">P</i><i class="paperside">S</i>`, `<i>P</i><i class="badge">3</i><i class="fig-letter">S</i><i class="paperside">B</i>`},
		{pounds, `<p><img class="typed" alt="x">82 kg</p>`, `<p><img class="typed" alt="x">180.8 lb</p>`}, {pounds, `<p class="typed"><b>82 kg</b></p><p>82 kg</p>`, `<p class="typed"><b>82 kg</b></p><p>180.8 lb</p>`},
		{inches, `<form data-unit="cm">`, `<form data-unit="cm" data-decimal="." data-rig="in">`}, {inches, `<form data-unit="kg">`, `<form data-unit="kg" data-decimal=".">`},
		{comma, `<form data-unit="cm">`, `<form data-unit="cm" data-decimal=",">`}, {pounds, `<form data-unit="cm">`, `<form data-unit="cm">`}, {inches, `<form>`, `<form>`}, {inches, `<div data-unit="cm">`, `<div data-unit="cm">`},
	} {
		if got := string(c.u.Rewrite([]byte(c.page), nil)); got != c.want {
			t.Errorf("%+v\n%s\n%s, want\n%s", c.u, c.page, got, c.want)
		}
	}
}

// TestEachFieldIsOfItsKind, with what its keyboard and its unit are.
func TestEachFieldIsOfItsKind(t *testing.T) {
	feet, comma := Usage{Feet: true}, Usage{Comma: true}
	for _, c := range []struct {
		u     Usage
		page  string
		wants []string
		never string
	}{
		{feet, `<input name="stature_cm" data-m="rig" inputmode="decimal" value="184">`, []string{`value="6&#39;0.4&#34;"`, `inputmode="text"`, `value="length|184|`}, `inputmode="decimal"`},
		{inches, `<input name="x" data-m="rig" inputmode="decimal" value="88">`, []string{`value="34.65"`, `inputmode="decimal"`}, `inputmode="text"`},
		{fractions, `<input name="span_cm" inputmode="decimal" value="88" type="number">`, []string{`value="34 5/8"`, `inputmode="text"`, `type="text"`}, `type="number"`},
		{Usage{Pounds: true}, `<input name="mass_kg" inputmode="decimal" value="80">`, []string{`value="176.4"`, `inputmode="decimal"`}, `inputmode="text"`},
		{Usage{Comma: true, Rig: people.Fractions}, `<input name="stature_cm" inputmode="decimal" value="184.5">`, []string{`value="184,5"`, `inputmode="decimal"`}, `inputmode="text"`},
		{comma, `<input name="rate" inputmode="decimal" value="22.5"><span class="unit">a minute</span>`, []string{`value="22,5"`, `>a minute<`, `name="was:rate" value="number|22.5|22,5"`}, `>cm<`},
		{comma, `<input name="time" value="7:02.4">`, []string{`value="7:02,4"`}, ``}, {comma, `<input name="note" value="2.5">`, []string{`value="2.5"`}, `2,5`},
		{comma, `<input name="rate" type="hidden" inputmode="decimal" value="2.5">`, []string{`value="2.5"`}, `2,5`}, {comma, `<input inputmode="decimal" value="2.5">`, []string{`value="2.5"`}, `2,5`},
		{inches, `<input name="span_cm" aria-label="Span, cm" value="159">`, []string{`aria-label="Span, in"`}, ``}, {feet, `<input name="stature_cm" aria-label="Height, cm, from 180 cm" value="159">`, []string{`aria-label="Height, ft in, from 5′10.9″"`}, ``},
		{feet, `<input name="stature_cm" value="184"><b>x</b><span class="unit">cm</span><span class="unit">cm</span>`, []string{`<b>x</b><span class="unit">ft in</span><span class="unit">cm</span>`}, ``},
		{inches, `<input name="span_cm" value="wide" form="f">`, []string{`value="wide"`, `value="rig|wide|wide" form="f"`}, `value="0"`}, {inches, `<input name="span_cm" value="">`, []string{`value=""`}, `value="0"`},
		{inches, `<input name="span_cm" value="7:02.4">`, []string{`value="7:02.4"`}, `value="0"`},
	} {
		got := string(c.u.Rewrite([]byte(c.page), nil))
		for _, want := range c.wants {
			if !strings.Contains(got, want) {
				t.Errorf("%+v: %s\nno %s in %s", c.u, c.page, want, got)
			}
		}
		if c.never != "" && strings.Contains(got, c.never) {
			t.Errorf("%+v: %s\n%s in %s", c.u, c.page, c.never, got)
		}
	}
}

// TestKindsOfNames: masses and body lengths by the ends of their names, all others by their
// unit.
func TestKindsOfNames(t *testing.T) {
	for name, want := range map[string]kind{
		"cox": aMass, "four-cox": aMass, "coxed": none, "rower_kg": aMass, "mean_mass": aMass, "stature_cm": bodyLength, "s2_stature_cm": bodyLength, "p-arm_cm": bodyLength, "farm_cm": rigLength,
		"draw_height_cm": bodyLength, "gate_height_cm": rigLength, "washer_mm": rigMove, "span_cm_min": rigLength, "span_cm_note": none, "note": none, "": none,
	} {
		if got := kindOf(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

// TestSmallLengthsAndFractions: what rounds to nothing has no sign.
func TestSmallLengthsAndFractions(t *testing.T) {
	for in, want := range map[float64]string{-0.001: "0", 0: "0", 1: "1", -1.5: "−1\u00a01/2", 0.03125: "1/32", 1.03: "1", 2.0625: "2\u00a01/16"} {
		if got := fraction(in); got != want {
			t.Errorf("%v in: %s, want %s", in, got, want)
		}
	}
	for in, want := range map[float64]string{leastInFeet: "4′0″", leastInFeet - 0.1: "47.9 in", -leastInFeet: "−4′0″", 72.4: "6′0.4″"} {
		if got := length(in * cmPerInch); got != want {
			t.Errorf("%v in: %s, want %s", in, got, want)
		}
	}
}

// TestFieldsAreReadAsTheyWereMeant: up to 8.5 a bare number is feet, from 100 on cm, in
// between inches; what was not shown in the reader's way stays.
func TestFieldsAreReadAsTheyWereMeant(t *testing.T) {
	feet, comma := Usage{Feet: true}, Usage{Comma: true}
	for _, c := range []struct {
		u          Usage
		form, want url.Values
		changed    bool
	}{
		{feet, url.Values{"stature_cm": {"8.5"}, was + "stature_cm": {"length||x"}}, url.Values{"stature_cm": {"259.08"}}, true}, {feet, url.Values{"stature_cm": {"8.6"}, was + "stature_cm": {"length||x"}}, url.Values{"stature_cm": {"21.84"}}, true},
		{feet, url.Values{"stature_cm": {"100"}, was + "stature_cm": {"length||x"}}, url.Values{"stature_cm": {"100"}}, true}, {feet, url.Values{"stature_cm": {"99"}, was + "stature_cm": {"length||x"}}, url.Values{"stature_cm": {"251.46"}}, true},
		{feet, url.Values{"trunk_cm": {"8"}, was + "trunk_cm": {"length||x"}}, url.Values{"trunk_cm": {"20.32"}}, true}, {feet, url.Values{"stature_cm": {"6"}}, url.Values{"stature_cm": {"6"}}, false},
		{Usage{}, url.Values{"note": {"3 cm"}}, url.Values{"note": {"3 cm"}}, false}, {Usage{}, url.Values{"span_cm": {"62.5 in"}}, url.Values{"span_cm": {"158.75"}}, true},
		{Usage{}, url.Values{"note": {"15 3/4 in"}, "setting": {"heel_to_pin_cm"}}, url.Values{"note": {"15 3/4 in"}, "setting": {"heel_to_pin_cm"}}, false},
		{Usage{}, url.Values{"value": {"15 3/4 in"}, "setting": {"blade_pitch_deg"}}, url.Values{"value": {"15 3/4 in"}, "setting": {"blade_pitch_deg"}}, false},
		{Usage{}, url.Values{"mark": {"hole"}, "heel_to_pin_cm": {"15 in"}, "span_cm": {"62.5 in"}}, url.Values{"mark": {"hole"}, "heel_to_pin_cm": {"15 in"}, "span_cm": {"158.75"}}, true},
		{Usage{}, url.Values{"mark": {"heel"}, "heel_to_pin_cm": {"15 in"}}, url.Values{"mark": {"heel"}, "heel_to_pin_cm": {"38.1"}}, true},
		{comma, url.Values{"mass_kg": {"1,234"}}, url.Values{"mass_kg": {"1,234"}}, false}, {comma, url.Values{"mass_kg": {"1,234"}, was + "mass_kg": {"mass||x"}}, url.Values{"mass_kg": {"1.234"}}, true},
		{Usage{}, url.Values{"mass_kg": {"1,234"}, was + "mass_kg": {"mass||x"}}, url.Values{"mass_kg": {"1,234"}}, true}, {comma, url.Values{"rate": {"22,5"}, was + "rate": {"number|22.5|22,5"}}, url.Values{"rate": {"22.5"}}, true},
		{Usage{Pounds: true}, url.Values{"mass_kg": {"176.37"}, was + "mass_kg": {"mass||x"}}, url.Values{"mass_kg": {"80"}}, true}, {Usage{}, url.Values{"mass_kg": {"176.37 lb"}}, url.Values{"mass_kg": {"80"}}, true},
	} {
		given := c.form.Encode()
		if changed := c.u.Read(c.form); changed != c.changed || c.form.Encode() != c.want.Encode() {
			t.Errorf("%+v, %s: %s, changed %v; want %s", c.u, given, c.form.Encode(), changed, c.want.Encode())
		}
	}
}

// TestWhatPeopleWroteIsLeftAlone: names and notes with a side or a measure in them, whole
// words alone, the longest first.
func TestWhatPeopleWroteIsLeftAlone(t *testing.T) {
	if got := Theirs([]string{"Port Ellen", "moved 3 cm to port\nthen rowed", "3 cm", "port", "ordinary", "Port", "12 Nov", "3 cm to port side", "Port Ellen"}); !slices.Equal(got, Typed{"moved 3 cm to port", "Port Ellen", "Port"}) {
		t.Errorf("%q", got)
	}
	for _, c := range []struct {
		theirs     Typed
		text, want string
	}{
		{Typed{"Port Ellen"}, "Port Ellen on port, Port Ellen", "Port Ellen on stroke side, Port Ellen"}, {Typed{"5 to port"}, "15 to port, 5 to port", "15 to stroke side, 5 to port"},
		{Typed{"t to port"}, "cat to port, t to port", "cat to stroke side, t to port"}, {Typed{"port 3"}, "port 35, port 3 and port 3", "stroke side 35, port 3 and port 3"},
		{Typed{"port s"}, "port side, port s", "stroke side, port s"}, {nil, "“on port” is port", "“on port” is stroke side"}, {Typed{"a port"}, "port", "stroke side"},
		{Typed{"old port", "port 2"}, "port 2, old port, port", "port 2, old port, stroke side"},
	} {
		if got := string(Usage{Stroke: true}.Rewrite([]byte("<p>"+c.text+"</p>"), c.theirs)); got != "<p>"+c.want+"</p>" {
			t.Errorf("%q: %s gives %s, want %s", c.theirs, c.text, got, c.want)
		}
	}
}

// TestChoicesAreKept, one by one, as the records have them otherwise.
func TestChoicesAreKept(t *testing.T) {
	if got := Of(people.PlainUsage); got != (Usage{}) {
		t.Errorf("the records' own are %+v", got)
	}
	for _, u := range []Usage{{Feet: true}, {Rig: people.Inches}, {Pounds: true}, {Stroke: true}, {Days: YearFirst}, {Days: MonthFirst}, {Comma: true}} {
		if got := Of(u.Choice()); got != u {
			t.Errorf("%+v comes back as %+v", u, got)
		}
	}
	if c := (Usage{}).Choice(); c != people.PlainUsage {
		t.Errorf("%+v", c)
	}
}

// handled sends a request of a browser that keeps inches, and returns what the pages got.
func handled(t *testing.T, r *http.Request, most int64) (query, body string, err error) {
	t.Helper()
	r.AddCookie(&http.Cookie{Name: Cookie, Value: inches.Text()})
	was := r.URL.RawQuery
	NewReaders(nil, nil).Handler(http.HandlerFunc(func(_ http.ResponseWriter, got *http.Request) {
		query = got.URL.RawQuery
		text, failed := io.ReadAll(got.Body)
		body, err = string(text), failed
		if want := map[bool]Usage{false: inches}[asPublished.MatchString(got.URL.Path)]; From(got.Context()) != want {
			t.Errorf("%s is asked for as %+v", got.URL, From(got.Context()))
		}
		if failed == nil && got.ContentLength >= 0 && got.ContentLength != int64(len(body)) {
			t.Errorf("%d bytes said, %d sent", got.ContentLength, len(body))
		}
	}), most).ServeHTTP(httptest.NewRecorder(), r)
	if r.URL.RawQuery != was {
		t.Errorf("the request itself changes to %s", r.URL.RawQuery)
	}
	return query, body, err
}

// TestFormsAndAddressesAreReadBeforeThePage: a form as long as allowed, and none longer,
// of another kind or by another method.
func TestFormsAndAddressesAreReadBeforeThePage(t *testing.T) {
	for query, want := range map[string]string{
		"span_cm=15+3%2F4+in": "span_cm=40.005", "z=1&b=2": "z=1&b=2", "": "", "z=1&span_cm=159": "z=1&span_cm=159", "mass_kg=176.37+lb": "mass_kg=80", "washer_mm=5%2F32+in": "washer_mm=3.969",
		"x=1&was%3Ax=number%7C2%7C1": "x=2", "x=1&was:x=number%7C2%7C1": "x=2",
	} {
		if got, _, _ := handled(t, httptest.NewRequest(http.MethodGet, "/seat?"+query, nil), 100); got != want {
			t.Errorf("%s: %s, want %s", query, got, want)
		}
	}
	const sent, read = "span_cm=15+3%2F4+in", "span_cm=40.005"
	for _, c := range []struct {
		method, kind string
		most         int64
		length       int64
		want         string
	}{
		{http.MethodPost, "application/x-www-form-urlencoded; charset=utf-8", int64(len(sent)), int64(len(sent)), read}, {http.MethodPost, "application/x-www-form-urlencoded", int64(len(sent)) - 1, int64(len(sent)), sent},
		{http.MethodPost, "text/plain", 100, int64(len(sent)), sent}, {http.MethodPut, "application/x-www-form-urlencoded", 100, int64(len(sent)), sent}, {http.MethodPost, "application/x-www-form-urlencoded", 100, -1, sent},
	} {
		r := httptest.NewRequest(c.method, "/seat", strings.NewReader(sent))
		r.ContentLength = c.length
		r.Header.Set("Content-Type", c.kind)
		if _, got, err := handled(t, r, c.most); got != c.want || err != nil {
			t.Errorf("%+v: %s, %v", c, got, err)
		}
	}
	for name, given := range map[string]string{"an empty one": "", "none": "%zz&span_cm=1+in", "one that stays": "b=1&a=2"} {
		r := httptest.NewRequest(http.MethodPost, "/seat", strings.NewReader(given))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		if _, got, err := handled(t, r, 100); got != given || err != nil {
			t.Errorf("a form that is %s: %q, %v", name, got, err)
		}
	}
	cut := errors.New("cut off")
	r := httptest.NewRequest(http.MethodPost, "/seat", io.MultiReader(strings.NewReader(sent), failing{cut}))
	r.ContentLength = 90
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if _, got, err := handled(t, r, 100); got != sent || !errors.Is(err, cut) {
		t.Errorf("a form that is cut off: %q, %v", got, err)
	}
	for _, path := range []string{"/sources", "/sources/x", "/api", "/notices/", "/sourcesx", "/apis"} {
		handled(t, httptest.NewRequest(http.MethodGet, path, nil), 100)
	}
}

func TestABrowserThatKeepsNothing(t *testing.T) {
	if u, ok := Kept(httptest.NewRequest(http.MethodGet, "/", nil)); ok || u != (Usage{}) {
		t.Errorf("keeps %+v", u)
	}
}
