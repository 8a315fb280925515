// Package hostile holds what no field of a request should be trusted not to hold.
package hostile

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// Texts are what people and programs put into fields by mistake or on
// purpose: numbers at every edge, words for numbers, days that are none, control and
// direction characters, what other languages would run, and texts without end.
var Texts = []string{
	"", " ", "0", "-0", "-1", "1", "5e-324", "1e-300", "1e308", "-1e308", "1e999", "NaN", "Inf", "-Infinity", "0x1p-1074", "1_000", "1,5", "1.000,5",
	"2147483648", "9223372036854775807", "9223372036854775808", "-9223372036854775808", "18446744073709551616", "0.1", "1e", "--1", "٣", "½",
	"2026-02-30", "0000-00-00", "9999-12-31", "10000-01-01", "-0001-01-01", "0:00", "99:99:99", "1:60", "00:00.0000001",
	"\x00", "\x01\x1b[31m", "\u202eannA\u2066", "\u200b", "\ufeff", "\ufffd", "a\r\nSet-Cookie: x=1", "\xff\xfe", "'; DROP TABLE athletes; --", "<script>alert(1)</script>",
	"=1+1", "%s%n%x", "{{.}}", "../../../etc/passwd", "null", "true", "on", "port", "1x", strings.Repeat("9", 400), strings.Repeat("x", 70_000), strings.Repeat("\U0001f6a3", 3000),
}

// values are the same as values of JSON, and those of every type.
var values = append([]string{
	"null", "true", "[]", "{}", "[null]", "[[]]", `{"":0}`, "0", "-1", "5e-324", "-5e-324", "1e-300", "1e308", "-1e308", "1e999", "1e-999", "0.1", "-0.0", "1.5", "1000000",
	"9007199254740993", "9223372036854775807", "9223372036854775808", `"\ud800"`, `"\u0000"`, strings.Repeat("[", 9000) + strings.Repeat("]", 9000),
	strings.Repeat(`{"a":`, 9000) + "1" + strings.Repeat("}", 9000), "[" + strings.Repeat("0,", 5000) + "0]", "[" + strings.Repeat("{},", 300) + "{}]",
}, asJSON(Texts)...)

func asJSON(texts []string) []string {
	var list []string
	for _, text := range texts {
		encoded, err := json.Marshal(text)
		if err != nil {
			panic("hostile: " + err.Error())
		}
		list = append(list, string(encoded))
	}
	return list
}

// Spoiled calls f for copies of a JSON value, each with a hostile value in place of
// something in it, or of all. Of the hostile values each place gets so many, in turn,
// all of them where many is 0.
func Spoiled(body any, many int, f func(place, text string)) {
	if many <= 0 {
		many = len(values)
	}
	turn := 0
	for _, place := range placesOf(body, nil) {
		for range many {
			value := values[turn%len(values)]
			f(fmt.Sprint(place, " = ", shortened(value)), spoil(body, place, value))
			turn++
		}
		turn += 7 // no divisor of their number, so that a place of the next body meets others
	}
}

// AtTheEdges calls f for copies of a body, each with one of its numbers at the least
// or the most that its description allows, and with all of them there.
func AtTheEdges(s *openapi3.Schema, body any, f func(place, text string)) {
	least, most := body, body
	for _, place := range placesOf(body, nil) {
		low, high := boundsAt(s, place)
		if low == nil || high == nil {
			continue
		}
		least, most = parsed(spoil(least, place, written(*low))), parsed(spoil(most, place, written(*high)))
		for _, edge := range []float64{*low, *high} {
			f(fmt.Sprint(place, " = ", edge), spoil(body, place, written(edge)))
		}
	}
	f("all the least", written(least))
	f("all the most", written(most))
}

func parsed(text string) (v any) {
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		panic("hostile: " + err.Error())
	}
	return v
}

// boundsAt are those of a number, nil where the place has none.
func boundsAt(s *openapi3.Schema, place []string) (low, high *float64) {
	if len(s.AnyOf) > 0 {
		s = s.AnyOf[0].Value
	}
	if len(place) == 0 {
		return s.Min, s.Max
	}
	inner := s.Items
	if member := s.Properties[place[0]]; member != nil {
		inner = member
	}
	if inner == nil {
		return nil, nil
	}
	return boundsAt(inner.Value, place[1:])
}

func shortened(text string) string { return text[:min(len(text), 40)] }

// SpoiledAt is a copy of a JSON value with a text in a place; both count from any
// number.
func SpoiledAt(body any, place int, text string) string {
	places := placesOf(body, nil)
	return spoil(body, places[uint(place)%uint(len(places))], text)
}

// placesOf lists the places of a JSON value: itself, and what it holds. Of lists it
// takes the first and the last.
func placesOf(v any, at []string) [][]string {
	places := [][]string{slices.Clone(at)}
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			places = append(places, placesOf(v[name], append(at, name))...)
		}
	case []any:
		for i := range v {
			if i == 0 || i == len(v)-1 {
				places = append(places, placesOf(v[i], append(at, strconv.Itoa(i)))...)
			}
		}
	}
	return places
}

// spoil writes a JSON value with a text in place of what stands in a place.
func spoil(v any, place []string, text string) string {
	if len(place) == 0 {
		return text
	}
	var parts []string
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			inner := written(v[name])
			if name == place[0] {
				inner = spoil(v[name], place[1:], text)
			}
			parts = append(parts, strconv.Quote(name)+":"+inner)
		}
		return "{" + strings.Join(parts, ",") + "}"
	case []any:
		for i := range v {
			inner := written(v[i])
			if strconv.Itoa(i) == place[0] {
				inner = spoil(v[i], place[1:], text)
			}
			parts = append(parts, inner)
		}
		return "[" + strings.Join(parts, ",") + "]"
	}
	panic("hostile: there is no such place")
}

func written(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		panic("hostile: " + err.Error())
	}
	return string(text)
}
