package wire

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/go-playground/validator/v10"

	"thole/rigging"
)

// The limits of a value on the wire stand in the validate tag of its field.
// [Problems.Check] holds requests against them and [LimitsOf] gives them to the
// description of the interface. Besides the rules of the validator there are:
//
//	plausible=PLACE  within the range of rigging for the place, in its unit, of
//	                 either discipline
//	boatclass        a class that rigging knows
//	filled           text of more than blanks
//	day              a calendar day, YYYY-MM-DD
//
// The unit tag has the symbol of a number whose name does not end in it.
//
// required makes a member one that must be stated; a number that is left out
// cannot be told from 0 and is for the domain to judge. The say tag has the
// sentence for a value that is missing or not on the list.

// rules is the validator with the rules of the trade.
var rules = sync.OnceValue(func() *validator.Validate {
	v := validator.New(validator.WithRequiredStructEnabled())
	for name, rule := range map[string]validator.Func{
		"plausible": isPlausible,
		"filled":    func(f validator.FieldLevel) bool { return strings.TrimSpace(f.Field().String()) != "" },
		"boatclass": func(f validator.FieldLevel) bool {
			_, ok := rigging.ClassByCode(f.Field().String())
			return ok
		},
		"day": func(f validator.FieldLevel) bool {
			_, err := time.Parse(DayLayout, f.Field().String())
			return err == nil
		},
	} {
		if err := v.RegisterValidation(name, rule); err != nil {
			panic(err)
		}
	}
	return v
})

func isPlausible(f validator.FieldLevel) bool {
	r := plausibleOf(f.Param())
	return r.Holds(number(f.Field()) / Units[r.Quantity].Factor)
}

// plausibleOf returns the range of a place, by its key, in either discipline. It
// panics on a place without one.
func plausibleOf(key string) rigging.Range {
	r, ok := plausibles()[key]
	if !ok {
		panic("wire: no plausible range of " + key)
	}
	return r
}

var plausibles = sync.OnceValue(func() map[string]rigging.Range {
	list := map[string]rigging.Range{}
	for _, r := range rigging.Ranges() {
		if other, ok := list[r.Place.Key()]; ok {
			r.Low, r.High = min(r.Low, other.Low), max(r.High, other.High)
		}
		list[r.Place.Key()] = r
	}
	return list
})

func number(v reflect.Value) float64 {
	switch {
	case v.CanInt():
		return float64(v.Int())
	case v.CanUint():
		return float64(v.Uint())
	}
	return v.Float()
}

// Limits are the limits of one value on the wire, in the wire's unit. A nil end
// is open.
type Limits struct {
	Required bool     // must be stated
	Least    *float64 // of a number, of the signs of a text or of the items of a list
	Most     *float64
	OneOf    []string // what a text may be; "" is among them where it may be left out
	Day      bool
	Each     *Limits // of the items of a list
}

// LimitsOf returns what the tags of a field say.
func LimitsOf(f reflect.StructField) Limits { return readRule(f.Tag.Get("validate")).limits() }

// MemberAt returns the field of a request, a struct or a pointer to one, that
// stands at a place; ok is false where there is none.
func MemberAt(request any, at Place) (f reflect.StructField, ok bool) {
	t := reflect.TypeOf(request)
	for _, name := range strings.Split(strings.TrimPrefix(at.Pointer, "/"), "/") {
		for t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
		if t.Kind() != reflect.Struct {
			return f, false
		}
		i := slices.IndexFunc(reflect.VisibleFields(t), func(f reflect.StructField) bool { return NameOf(f) == name })
		if i < 0 {
			return f, false
		}
		f = reflect.VisibleFields(t)[i]
		t = f.Type
	}
	return f, true
}

// rule is a validate tag taken apart.
type rule struct {
	checks   string // without dive and, of numbers, required
	required bool
	optional bool
	each     *rule
}

func readRule(tag string) rule {
	before, after, dives := strings.Cut(tag, "dive")
	var r rule
	var checks []string
	for part := range strings.SplitSeq(before, ",") {
		switch part {
		case "":
			continue
		case "required":
			r.required = true
			continue
		case "omitempty":
			r.optional = true
		}
		checks = append(checks, part)
	}
	r.checks = strings.Join(checks, ",")
	if dives {
		each := readRule(after)
		r.each = &each
	}
	return r
}

func (r rule) limits() Limits {
	l := Limits{Required: r.required}
	for part := range strings.SplitSeq(r.checks, ",") {
		name, param, _ := strings.Cut(part, "=")
		l.take(name, param)
	}
	if r.optional && l.OneOf != nil {
		l.OneOf = append([]string{""}, l.OneOf...)
	}
	if r.each != nil {
		each := r.each.limits()
		l.Each = &each
	}
	return l
}

// take reads one rule of a tag.
func (l *Limits) take(name, param string) {
	end := func() *float64 { v, _ := strconv.ParseFloat(param, 64); return &v }
	switch name {
	case "min", "gte":
		l.Least = end()
	case "max", "lte":
		l.Most = end()
	case "len":
		l.Least, l.Most = end(), end()
	case "filled":
		l.Least, l.Required = Ptr(1.0), true
	case "plausible":
		r := plausibleOf(param)
		u := Units[r.Quantity].Factor
		l.Least, l.Most = Ptr(Round(r.Low*u, 1e6)), Ptr(Round(r.High*u, 1e6))
	case "oneof":
		l.OneOf = strings.Fields(param)
	case "boatclass":
		l.OneOf = classCodes()
	case "day":
		l.Day = true
	}
}

func classCodes() []string {
	var codes []string
	for _, c := range rigging.Classes() {
		codes = append(codes, c.Code)
	}
	return codes
}

// Check holds a request, a struct or a pointer to one that stands at a place,
// against the limits in the tags of its fields, at any depth. Places that have a
// complaint already keep it.
func (p *Problems) Check(at Place, request any) { p.checkIn(at, reflect.ValueOf(request)) }

// Held holds a request, a struct or a pointer to one, against the limits in the tags of
// its fields. The error is an *Invalid.
func Held(request any) error {
	var p Problems
	p.Check(Place{}, request)
	return p.OrNil()
}

// CheckField complains at a place about one value of a request that breaks the rule of
// its field.
func (p *Problems) CheckField(at Place, f reflect.StructField, v reflect.Value) {
	if tag := f.Tag.Get("validate"); tag != "" {
		p.hold(at, f, readRule(tag), v)
	}
}

// checkIn goes into what holds other values.
func (p *Problems) checkIn(at Place, v reflect.Value) {
	for v.Kind() == reflect.Pointer || v.Kind() == reflect.Interface {
		v = v.Elem()
	}
	switch v.Kind() {
	case reflect.Struct:
		p.checkMembers(at, v)
	case reflect.Map:
		for _, key := range v.MapKeys() {
			p.checkIn(at.Name(key.String()), v.MapIndex(key))
		}
	case reflect.Slice:
		for i := 0; i < v.Len() && !p.Full(); i++ {
			p.checkIn(at.Item(i), v.Index(i))
		}
	}
}

func (p *Problems) checkMembers(at Place, v reflect.Value) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if !f.IsExported() {
			continue
		}
		name := NameOf(f)
		switch {
		case f.Anonymous && name == "":
			p.checkIn(at, v.Field(i))
		case name != "":
			p.CheckField(at.Name(name), f, v.Field(i))
			p.checkIn(at.Name(name), v.Field(i))
		}
	}
}

// NameOf returns the name of a field on the wire, in a body, a form or an
// address; "" for one that is not on the wire.
func NameOf(f reflect.StructField) string {
	if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "" && name != "-" {
		return name
	}
	for _, part := range []string{"query", "formData"} {
		if name := f.Tag.Get(part); name != "" {
			return name
		}
	}
	return ""
}

// hold complains about a value that breaks a rule.
func (p *Problems) hold(at Place, f reflect.StructField, r rule, v reflect.Value) {
	if v.Kind() == reflect.Pointer {
		if !v.IsNil() {
			r.checks = strings.TrimPrefix(r.checks, "omitempty,") // it is stated, a zero or not
			p.hold(at, f, r, v.Elem())
		} else if r.required {
			p.Add(at.Problem(sentenceOf(f, "This is needed.")))
		}
		return
	}
	checks := r.checks
	if k := v.Kind(); r.required && (k == reflect.String || k == reflect.Slice || k == reflect.Map) {
		checks = strings.TrimSuffix("required,"+checks, ",")
	}
	if v.Kind() == reflect.Slice && r.optional && v.IsNil() {
		checks = ""
	}
	if faults, ok := rules().Var(v.Interface(), checks).(validator.ValidationErrors); ok {
		p.Add(at.Problem(r.sentence(f, faults[0], v)))
		return
	}
	if r.each != nil {
		for i := 0; i < v.Len() && !p.Full(); i++ {
			p.hold(at.Item(i), f, *r.each, v.Index(i))
		}
	}
}

// sentenceOf returns the sentence of a field's own, or a usual one.
func sentenceOf(f reflect.StructField, usual string) string {
	if own := f.Tag.Get("say"); own != "" {
		return own
	}
	return usual
}

// sentence reports what is wrong with a value that breaks a rule.
func (r rule) sentence(f reflect.StructField, fault validator.FieldError, v reflect.Value) string {
	l := r.limits()
	switch {
	case strings.Contains(r.checks, "boatclass"):
		return "Choose a boat class: " + orList(classCodes()) + "."
	case fault.Tag() == "required", fault.Tag() == "filled":
		return sentenceOf(f, "This is needed.")
	case l.OneOf != nil:
		return sentenceOf(f, r.choice(l.OneOf))
	case l.Day:
		return "Write the day as year-month-day, such as " + time.Date(2026, time.May, 1, 0, 0, 0, 0, time.UTC).Format(DayLayout) + "."
	case fault.Tag() == "max" && v.Kind() == reflect.String:
		return fmt.Sprintf("Use at most %g characters.", *l.Most)
	case v.Kind() == reflect.String:
		return ofSize("Use", "character", l)
	case v.Kind() == reflect.Slice || v.Kind() == reflect.Map:
		return sentenceOf(f, ofSize("Give", "entry", l))
	}
	return sentenceOf(f, outside(f, number(v), l, fault))
}

func (r rule) choice(list []string) string {
	if r.optional {
		return "Say " + orList(list[1:]) + ", or leave it out."
	}
	return "Say " + orList(list) + "."
}

// orList writes a, b or c.
func orList(list []string) string {
	if len(list) == 1 {
		return list[0]
	}
	return strings.Join(list[:len(list)-1], ", ") + " or " + list[len(list)-1]
}

// ofSize reports how many characters or entries there may be.
func ofSize(verb, what string, l Limits) string {
	many := func(n float64) string { return fmt.Sprintf("%g %s", n, plural(what, n)) }
	switch {
	case l.Least != nil && l.Most != nil && *l.Least == *l.Most:
		return fmt.Sprintf("%s %s.", verb, many(*l.Most))
	case l.Least != nil && l.Most != nil:
		return fmt.Sprintf("%s %g to %s.", verb, *l.Least, many(*l.Most))
	case l.Most != nil:
		return fmt.Sprintf("%s at most %s.", verb, many(*l.Most))
	}
	return fmt.Sprintf("%s at least %s.", verb, many(*l.Least))
}

func plural(what string, n float64) string {
	switch {
	case n == 1:
		return what
	case strings.HasSuffix(what, "y"):
		return strings.TrimSuffix(what, "y") + "ies"
	}
	return what + "s"
}

// outside says that a number is out of its range, with the unit in the name of
// its field.
func outside(f reflect.StructField, v float64, l Limits, fault validator.FieldError) string {
	u, q := unitOfName(NameOf(f))
	if symbol := f.Tag.Get("unit"); symbol != "" {
		u.symbol = symbol
	}
	if fault.Tag() == "plausible" {
		q = plausibleOf(fault.Param()).Quantity
		u = Units[q]
	}
	e := rigging.FieldError{Problem: rigging.ProblemRange, Quantity: q, Value: v / u.Factor, Low: math.Inf(-1), High: math.Inf(1)}
	if l.Least != nil {
		e.Low = *l.Least / u.Factor
	}
	if l.Most != nil {
		e.High = *l.Most / u.Factor
	}
	return describeIn(&e, u)
}

// unitsByEnding are the units of numbers by the end of their names, longer ends
// first.
var unitsByEnding = []struct {
	ending   string
	unit     Unit
	quantity rigging.Quantity
}{
	{"_m_s", Units[rigging.Speed], rigging.Speed},
	{"_cm", Units[rigging.Length], rigging.Length},
	{"_deg", Units[rigging.Plane], rigging.Plane},
	{"_kg", Units[rigging.Mass], rigging.Mass},
	{"_years", Units[rigging.Duration], rigging.Duration},
	{"rest_min", Unit{"_min", "min", 1, 2}, rigging.Count},
	{"_hz", Unit{"_hz", "Hz", 1, 2}, rigging.Count},
	{"_m", Unit{"_m", "m", 1, 2}, rigging.Count},
	{"_s", Unit{"_s", "s", 1, 2}, rigging.Count},
	{"_w", Unit{"_w", "W", 1, 1}, rigging.Count},
	{"_n", Unit{"_n", "N", 1, 1}, rigging.Count},
}

// unitOfName returns the unit that the name of a number ends in.
func unitOfName(name string) (Unit, rigging.Quantity) {
	for _, u := range unitsByEnding {
		if strings.HasSuffix(name, u.ending) {
			return u.unit, u.quantity
		}
	}
	return Units[rigging.Count], rigging.Count
}
