package usage

import (
	"math/rand/v2"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"thole/api/people"
)

var imperial = Usage{Feet: true, Pounds: true, Stroke: true, Days: MonthFirst}

// TestPagesAreInTheReadersUnits: masses and body lengths change, measures of the rig do
// not, and what people wrote stays.
func TestPagesAreInTheReadersUnits(t *testing.T) {
	for page, want := range map[string]string{
		`<p>Weighs 82.5 kg.</p>`:                      `<p>Weighs 181.9 lb.</p>`,
		`<p>between 20 and 150 kg</p>`:                `<p>between 44.1 and 330.7 lb</p>`,
		`<p>needs 14 kg</p>`:                          `<p>needs 30.9 lb</p>`,
		`<p>4.1 W/kg</p>`:                             `<p>4.1 W/kg</p>`,
		"<dd>184\u00a0cm</dd>":                        `<dd>6′0.4″</dd>`,
		`<td>span 159 cm, 8 mm</td>`:                  `<td>span 159 cm, 8 mm</td>`,
		`<td data-m="length">92</td>`:                 `<td data-m="length">36.2 in</td>`,
		`<td data-m="mass">80</td>`:                   `<td data-m="mass">176.4</td>`,
		`<th data-m="mass">kg</th>`:                   `<th data-m="mass">lb</th>`,
		`<p id="e-stature_cm">from 100 to 230 cm</p>`: `<p id="e-stature_cm">from 39.4 in to 7′6.6″</p>`,
		`<li><a href="#s2_stature_cm">Height</a>: 180 cm?</li><li>9 cm</li>`: `<li><a href="#s2_stature_cm">Height</a>: 5′10.9″?</li><li>9 cm</li>`,
		`<p>on port, Starboard side, sport, a report</p>`:                    `<p>on stroke side, Bow side, sport, a report</p>`,
		`<i class="badge port">P</i><i class="badge starboard">S</i>`:        `<i class="badge port">S</i><i class="badge starboard">B</i>`,
		`<a aria-label="seat 3, port">3</a>`:                                 `<a aria-label="seat 3, stroke side">3</a>`,
		`<p class="typed">port 82 kg</p><p>82 kg</p>`:                        `<p class="typed">port 82 kg</p><p>180.8 lb</p>`,
		`<textarea>port 82 kg</textarea>`:                                    `<textarea>port 82 kg</textarea>`,
		`<p>30 Nov 2026, 15:04</p>`:                                          `<p>Nov 30, 2026, 15:04</p>`,
		`<option value="port">port</option>`:                                 `<option value="port">stroke side</option>`,
		`<input name="span_cm" value="159"><span class="unit">cm</span>`:     `<input name="span_cm" value="159"><span class="unit">cm</span>`,
	} {
		if got := string(imperial.Rewrite([]byte(page), nil)); got != want {
			t.Errorf("%s\n%s, want\n%s", page, got, want)
		}
		if got := string(Usage{}.Rewrite([]byte(page), nil)); got != page {
			t.Errorf("%s changes for nobody: %s", page, got)
		}
	}
}

// TestFieldsAreInTheReadersUnits: the value, what stands in, and the unit behind.
func TestFieldsAreInTheReadersUnits(t *testing.T) {
	page := `<input name="stature_cm" value="184" inputmode="decimal" placeholder="100 to 230"><span class="unit">cm</span><input name="mass_kg" value="82.5"><span class="unit">kg</span>`
	got := string(imperial.Rewrite([]byte(page), nil))
	for _, want := range []string{`value="6&#39;0.4&#34;"`, `placeholder="39.4 in to 7′6.6″"`, `<span class="unit">ft in</span>`, `value="181.9"`, `<span class="unit">lb</span>`, `name="was:stature_cm"`} {
		if !strings.Contains(got, want) {
			t.Errorf("no %s in %s", want, got)
		}
	}
}

// sentBack is the form that a browser sends of a page as it is.
func sentBack(page []byte) url.Values {
	form := url.Values{}
	z := html.NewTokenizer(strings.NewReader(string(page)))
	for z.Next() != html.ErrorToken {
		if tok := z.Token(); tok.Data == "input" {
			form.Add(attribute(&tok, "name"), attribute(&tok, "value"))
		}
	}
	return form
}

// TestWritingBackChangesNothing: whatever stands in a field, to the last digit, a form
// that is sent back as it was shown holds it again, in all units.
func TestWritingBackChangesNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	names := append([]string{"mass_kg", "cox_mass_kg", "s3_mass_kg", "seat2_stature_cm", "span_cm", "b_inboard_cm", "seat3_heel_to_pin_cm_step", "washer_mm"}, bodyNames...)
	usages := []Usage{{}, {Feet: true}, {Pounds: true}, imperial}
	for _, rig := range []string{"", people.Millimetres, people.Inches, people.Fractions} {
		usages = append(usages, Usage{Rig: rig}, Usage{Rig: rig, Comma: true}, Usage{Feet: true, Pounds: true, Stroke: true, Rig: rig, Comma: true})
	}
	for range 20_000 {
		name, u := names[rng.IntN(len(names))], usages[rng.IntN(len(usages))]
		value := strconv.FormatFloat(rng.Float64()*250, 'f', rng.IntN(8)-1, 64)
		switch rng.IntN(10) {
		case 0:
			value = ""
		case 1:
			value = `6'2" <b>`
		case 2:
			value = strings.Replace(value, ".", ",", 1)
		}
		tok := html.Token{Type: html.StartTagToken, Data: "input", Attr: []html.Attribute{{Key: "name", Val: name}, {Key: "value", Val: value}, {Key: "inputmode", Val: "decimal"}}}
		form := sentBack(u.Rewrite([]byte(tok.String()), nil))
		u.Read(form)
		if want := (url.Values{name: {value}}).Encode(); form.Encode() != want {
			t.Fatalf("%s = %q as %+v comes back as %q", name, value, u, form.Encode())
		}
	}
}

// TestWhatIsTypedIsRead: in the reader's units where the field was shown in them, and
// with its own unit everywhere.
func TestWhatIsTypedIsRead(t *testing.T) {
	for _, c := range []struct {
		u                 Usage
		name, typed, want string
	}{
		{imperial, "stature_cm", `6'2"`, "188"}, {imperial, "stature_cm", "5 ft 11", "180.3"}, {imperial, "stature_cm", "72", "182.88"},
		{imperial, "stature_cm", "6", "182.88"}, {imperial, "stature_cm", "184", "184"}, {imperial, "stature_cm", "184 cm", "184 cm"}, {imperial, "ankle_along_cm", "3", "7.62"},
		{imperial, "mass_kg", "165", "74.84"}, {imperial, "mass_kg", "165,5", "75.07"}, {imperial, "mass_kg", "75 kg", "75 kg"}, {imperial, "s2_mass_kg", "11 st 11", "74.8"},
		{Usage{}, "stature_cm", `6'2"`, "188"}, {Usage{}, "s2_stature_cm", "5 ft 11", "180.3"}, {Usage{}, "stature_cm", "1.84 m", "184"}, {Usage{}, "stature_cm", "184,5", "184,5"},
		{Usage{}, "mass_kg", "165 lb", "74.8"}, {Usage{}, "mass_kg", "75", "75"}, {Usage{}, "span_cm", `5'2"`, "157.48"}, {Usage{}, "stature_cm", "tall", "tall"}, {imperial, "stature_cm", "tall", "tall"},
	} {
		form := url.Values{c.name: {c.typed}}
		if c.u != (Usage{}) {
			form.Set(was+c.name, string(kindOf(c.name))+"||x")
		}
		if c.u.Read(form); form.Get(c.name) != c.want {
			t.Errorf("%s %q as %+v: %q, want %q", c.name, c.typed, c.u, form.Get(c.name), c.want)
		}
	}
}

func TestUsageIsKept(t *testing.T) {
	for _, u := range []Usage{{}, imperial, {Stroke: true}, {Days: YearFirst, Feet: true}} {
		if got := Parse(u.Text()); got != u {
			t.Errorf("%+v comes back as %+v", u, got)
		}
	}
	if got := Parse("nonsense.<b>"); !got.Default() {
		t.Errorf("%+v", got)
	}
}
