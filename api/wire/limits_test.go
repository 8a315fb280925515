package wire_test

import (
	"math"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"

	"thole/api/wire"
	"thole/rigging"
)

// asked has a value of every kind that a tag can limit.
type asked struct {
	Class   string          `json:"boat_class" validate:"required,boatclass"`
	Name    string          `json:"name" validate:"filled,max=5" say:"A name is needed."`
	Note    string          `json:"note" validate:"omitempty,max=3"`
	Side    string          `json:"side" validate:"omitempty,oneof=port starboard"`
	Day     string          `json:"day" validate:"required,day"`
	SpanCm  *float64        `json:"span_cm" validate:"omitempty,plausible=seat.span"`
	ShinDeg *float64        `json:"shin_deg" validate:"omitempty,plausible=posture.shin"`
	RestMin float64         `json:"rest_min" validate:"gte=0,lte=60"`
	Port    *float64        `json:"port" validate:"omitempty,gte=-5,lte=5" unit:"s"`
	List    []float64       `json:"masses_kg" validate:"omitempty,max=2,dive,plausible=masses"`
	Parts   []part          `json:"parts" validate:"max=3"`
	Named   map[string]part `json:"named"`
	Number  *int            `json:"number" validate:"required,gte=1"`
	Inner
	Hidden float64 `json:"-" validate:"gte=1"`
}

type part struct {
	Count int `json:"count" validate:"gte=0,lte=2"`
}

// Inner stands in the place of the struct around it.
type Inner struct {
	SpeedMS float64 `json:"speed_m_s" validate:"lte=8"`
}

func good() asked {
	return asked{Class: "8+", Name: "Thole", Day: "2026-05-01", Number: wire.Ptr(1)}
}

func saidOf(t *testing.T, request any) map[string]string {
	t.Helper()
	var p wire.Problems
	p.Check(wire.At("x"), request)
	said := map[string]string{}
	for _, f := range p.Fields {
		if !reflect.DeepEqual(f, f.Place().Problem(f.Detail)) {
			t.Errorf("field and pointer differ: %+v", f)
		}
		said[f.Field] = f.Detail
	}
	return said
}

func TestLimitsAreTold(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*asked)
		field string
		want  string
	}{
		"no class":           {func(a *asked) { a.Class = "" }, "x.boat_class", "Choose a boat class: 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."},
		"no such class":      {func(a *asked) { a.Class = "3x" }, "x.boat_class", "Choose a boat class: 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+."},
		"blank name":         {func(a *asked) { a.Name = " \t" }, "x.name", "A name is needed."},
		"long name":          {func(a *asked) { a.Name = "Tholes" }, "x.name", "Use at most 5 characters."},
		"signs, not bytes":   {func(a *asked) { a.Note = "äöüß" }, "x.note", "Use at most 3 characters."},
		"side":               {func(a *asked) { a.Side = "left" }, "x.side", "Say port or starboard, or leave it out."},
		"no day":             {func(a *asked) { a.Day = "2026-02-30" }, "x.day", "Write the day as year-month-day, such as 2026-05-01."},
		"metres":             {func(a *asked) { a.SpanCm = wire.Ptr(1.6) }, "x.span_cm", "1.6 cm cannot be right: the plausible range is 110 to 190 cm. It looks like metres: 160 cm?"},
		"a stated zero":      {func(a *asked) { a.SpanCm = wire.Ptr(0.0) }, "x.span_cm", "0 cm cannot be right: the plausible range is 110 to 190 cm."},
		"no number":          {func(a *asked) { a.SpanCm = wire.Ptr(math.NaN()) }, "x.span_cm", "NaN cm cannot be right: the plausible range is 110 to 190 cm."},
		"degrees":            {func(a *asked) { a.ShinDeg = wire.Ptr(59.9) }, "x.shin_deg", "59.9° cannot be right: the plausible range is 60 to 125°."},
		"minutes":            {func(a *asked) { a.RestMin = 61 }, "x.rest_min", "61 min cannot be right: the plausible range is 0 to 60 min."},
		"unit from a tag":    {func(a *asked) { a.Port = wire.Ptr(-6.0) }, "x.port", "−6 s cannot be right: the plausible range is −5 to 5 s."},
		"an item":            {func(a *asked) { a.List = []float64{80, 1} }, "x.masses_kg[1]", "1 kg cannot be right: the plausible range is 20 to 200 kg."},
		"a long list":        {func(a *asked) { a.List = []float64{80, 80, 80} }, "x.masses_kg", "Give at most 2 entries."},
		"inside a list":      {func(a *asked) { a.Parts = []part{{2}, {3}} }, "x.parts[1].count", "3 cannot be right: the plausible range is 0 to 2."},
		"inside a map":       {func(a *asked) { a.Named = map[string]part{"a.b": {-1}} }, "x.named.a.b.count", "−1 cannot be right: the plausible range is 0 to 2."},
		"a number left out":  {func(a *asked) { a.Number = nil }, "x.number", "This is needed."},
		"an open end":        {func(a *asked) { a.Number = wire.Ptr(0) }, "x.number", "0 cannot be right: 1 is the least."},
		"in a struct within": {func(a *asked) { a.SpeedMS = 9 }, "x.speed_m_s", "9 m/s cannot be right: 8 m/s is the most."},
	} {
		a := good()
		c.spoil(&a)
		if diff := cmp.Diff(map[string]string{c.field: c.want}, saidOf(t, &a)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestWhatKeepsItsLimitsIsLeftAlone(t *testing.T) {
	a := good()
	if said := saidOf(t, a); len(said) > 0 {
		t.Errorf("said %v", said)
	}
	a.SpanCm, a.RestMin, a.Port, a.List = wire.Ptr(190.0), 60, wire.Ptr(-5.0), []float64{20, 200}
	a.ShinDeg, a.Parts, a.SpeedMS = wire.Ptr(125.0), []part{{0}, {2}}, 8
	if said := saidOf(t, &a); len(said) > 0 {
		t.Errorf("ends of ranges: said %v", said)
	}
}

// TestEveryFaultComesAtOnce holds that no fault hides another.
func TestEveryFaultComesAtOnce(t *testing.T) {
	if said := saidOf(t, asked{RestMin: -1, Side: "x", Parts: []part{{9}}}); len(said) != 7 {
		t.Errorf("said %d: %v", len(said), said)
	}
}

func TestPlausibleTagsGoByTheRangesOfBothDisciplines(t *testing.T) {
	type request struct {
		OarCm *float64 `validate:"omitempty,plausible=seat.oar_length"`
	}
	l := wire.LimitsOf(reflect.TypeFor[request]().Field(0))
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range rigging.Ranges() {
		if r.Place.Key() == "seat.oar_length" {
			low, high = min(low, 100*r.Low), max(high, 100*r.High)
		}
	}
	if *l.Least != wire.Round(low, 1e6) || *l.Most != wire.Round(high, 1e6) {
		t.Errorf("%g to %g, want %g to %g", *l.Least, *l.Most, low, high)
	}
}
