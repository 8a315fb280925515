package rest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"sync"

	"thole/api/wire"
)

// CheckShape compares a JSON document, which must be well formed, with the Go
// type it is meant for. The decoder of the standard library would take names
// in any case and the last of names given twice, would stop at the first fault
// and could not tell where in the document it stood. The error is an *Invalid.
func CheckShape(doc json.RawMessage, t reflect.Type) error {
	return writtenBack(nil).check(doc, t)
}

// check is CheckShape, with the names allowed that the answers hold beyond the
// requests.
func (w writtenBack) check(doc json.RawMessage, t reflect.Type) error {
	c := comparison{aside: w}
	c.compare(wire.Place{}, doc, t)
	return c.OrNil()
}

// comparison collects what in a document does not fit its type.
type comparison struct {
	wire.Problems
	aside writtenBack
}

var (
	unmarshaler = reflect.TypeFor[json.Unmarshaler]()
	numberToo   = reflect.TypeFor[wire.OrNumber]()
)

// compare collects what in value does not fit t. A null stands for a value
// left out.
func (c *comparison) compare(at wire.Place, value json.RawMessage, t reflect.Type) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch first, own := value[0], reflect.PointerTo(t).Implements(unmarshaler); {
	case first == 'n':
	case first == '{' && t.Kind() == reflect.Struct && (!own || t.Implements(numberToo)):
		c.compareMembers(at, value, membersOf(t), c.aside[t])
	case first == '{' && t.Kind() == reflect.Map && !own:
		c.compareMembers(at, value, func(string) (reflect.Type, bool) { return t.Elem(), true }, nil)
	case first == '[' && t.Kind() == reflect.Slice && !own && !plain(t, value):
		c.compareItems(at, value, t.Elem())
	case json.Unmarshal(value, reflect.New(t).Interface()) != nil:
		c.Add(at.Problem(misfit(value, t)))
	}
}

// plain reports quickly whether value is a list of what holds no names, such as
// numbers, and fits t.
func plain(t reflect.Type, value json.RawMessage) bool {
	inner := t
	for inner.Kind() == reflect.Slice {
		inner = inner.Elem()
	}
	return inner.Kind() < reflect.Array && json.Unmarshal(value, reflect.New(t).Interface()) == nil
}

// compareMembers looks up the type of each member by its name; known is false
// for a name that does not belong there. Those in aside are passed over.
func (c *comparison) compareMembers(at wire.Place, object json.RawMessage, typeOf func(string) (t reflect.Type, known bool), aside map[string]bool) {
	seen := map[string]bool{}
	walk(&c.Problems, object, func(d *json.Decoder) {
		token, _ := d.Token()
		name, _ := token.(string)
		value := next(d)
		switch t, known := typeOf(name); {
		case !known && !aside[name]:
			c.Add(at.Name(name).Problem("This name is not known here."))
		case seen[name]:
			c.Add(at.Name(name).Problem("This name stands here twice."))
		case known:
			c.compare(at.Name(name), value, t)
		}
		seen[name] = true
	})
}

func (c *comparison) compareItems(at wire.Place, list json.RawMessage, t reflect.Type) {
	i := 0
	walk(&c.Problems, list, func(d *json.Decoder) {
		c.compare(at.Item(i), next(d), t)
		i++
	})
}

// walk calls each for every member of an object or item of a list, until the
// list of problems is full.
func walk(p *wire.Problems, container json.RawMessage, each func(*json.Decoder)) {
	d := json.NewDecoder(bytes.NewReader(container))
	_, _ = d.Token() // the opening bracket of a well-formed document
	for d.More() && !p.Full() {
		each(d)
	}
}

func next(d *json.Decoder) json.RawMessage {
	var value json.RawMessage
	_ = d.Decode(&value) // cannot fail within a well-formed document
	return value
}

// memberTypes holds what membersOf has found, by the struct's type.
var memberTypes sync.Map

// membersOf looks up the members of a struct by their names on the wire; those
// of embedded structs count as its own.
func membersOf(t reflect.Type) func(string) (reflect.Type, bool) {
	members := memberMap(t)
	return func(name string) (reflect.Type, bool) {
		m, known := members[name]
		return m, known
	}
}

// memberMap returns the types of the members of a struct by their names on the wire.
// It is shared and must not be changed.
func memberMap(t reflect.Type) map[string]reflect.Type {
	found, ok := memberTypes.Load(t)
	if !ok {
		members := map[string]reflect.Type{}
		for _, f := range reflect.VisibleFields(t) {
			if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "" && name != "-" {
				members[name] = f.Type
			}
		}
		found, _ = memberTypes.LoadOrStore(t, members)
	}
	return found.(map[string]reflect.Type)
}

// misfit reports what belongs in place of value.
func misfit(value json.RawMessage, t reflect.Type) string {
	switch want, got := kindWanted(t), kindFound(value[0]); {
	case want == "":
		return "This cannot be read here."
	case want != got && strings.HasSuffix(want, strings.TrimPrefix(got, "a ")):
		return "Here belongs " + want + "."
	case want != got:
		return fmt.Sprintf("Here belongs %s, not %s.", want, got)
	}
	return "This number is out of range."
}

// kindWanted names what a type is written as; "" where the type reads itself.
func kindWanted(t reflect.Type) string {
	switch k := t.Kind(); {
	case t.Implements(numberToo):
		return "a number or an object"
	case reflect.PointerTo(t).Implements(unmarshaler):
		return ""
	case k == reflect.String:
		return "text"
	case k == reflect.Bool:
		return "true or false"
	case t == reflect.TypeFor[[]byte]():
		return "base64 text"
	case k == reflect.Slice:
		return "a list"
	case k >= reflect.Int && k <= reflect.Uint64:
		return "a whole number"
	case k == reflect.Float64:
		return "a number"
	}
	return "an object"
}

func kindFound(first byte) string {
	switch first {
	case '"':
		return "text"
	case 't', 'f':
		return "true or false"
	case 'n':
		return "null"
	case '[':
		return "a list"
	case '{':
		return "an object"
	}
	return "a number"
}
