package rest_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"testing"
	"time"

	"thole/api/rest"
	"thole/api/seat"
	"thole/api/wire"
	"thole/rigging"
)

// sheet has a member of every kind that a request may hold.
type sheet struct {
	heading
	Limits  map[string]limit `json:"limits"`
	Crews   [][]string       `json:"crews"`
	Count   int              `json:"count"`
	Seed    uint64           `json:"seed"`
	Next    *sheet           `json:"next,omitempty"`
	Goal    seat.Goal        `json:"goal"`
	On      *time.Time       `json:"on"`
	Any     any              `json:"any"`
	Address string           `json:"-"`
	_       int              // not for the wire
}

type heading struct {
	Name string `json:"name"`
}

type limit struct {
	Min *float64 `json:"min"`
}

func TestShapeOfEveryKind(t *testing.T) {
	for _, c := range []struct {
		doc  string
		want []string
	}{
		{`{}`, nil},
		{`{"name": "x", "limits": {"a": {"min": 1}, "b": null}, "crews": [["a"], [], null], "count": -1, "seed": 1, "any": {"x": [1]}}`, nil},
		{`{"on": "2026-05-01T10:00:00Z", "next": {"next": {"count": 1}}}`, nil},
		{`{"next": {"next": {"counts": 1}}}`, []string{"next.next.counts #/next/next/counts This name is not known here."}},
		{`{"limits": {"a/b": {"max": 1}}}`, []string{"limits.a/b.max #/limits/a~1b/max This name is not known here."}},
		{`{"limits": {"a": {}, "a": {}}}`, []string{"limits.a #/limits/a This name stands here twice."}},
		{`{"limits": []}`, []string{"limits #/limits Here belongs an object, not a list."}},
		{`{"crews": [["a", 1], "b"]}`, []string{"crews[0][1] #/crews/0/1 Here belongs text, not a number.", "crews[1] #/crews/1 Here belongs a list, not text."}},
		{`{"count": 1.5}`, []string{"count #/count Here belongs a whole number."}},
		{`{"count": 1e30}`, []string{"count #/count Here belongs a whole number."}},
		{`{"count": "1"}`, []string{"count #/count Here belongs a whole number, not text."}},
		{`{"seed": -1}`, []string{"seed #/seed Here belongs a whole number."}},
		{`{"goal": 1.5}`, nil},
		{`{"goal": "x"}`, []string{"goal #/goal Here belongs a number or an object, not text."}},
		{`{"goal": {"x": 1}}`, []string{"goal.x #/goal/x This name is not known here."}},
		{`{"on": "May"}`, []string{"on #/on This cannot be read here."}},
		{`{"Address": "x"}`, []string{"Address #/Address This name is not known here."}},
		{`{"private": 1, "heading": {}}`, []string{"private #/private This name is not known here.", "heading #/heading This name is not known here."}},
	} {
		var got []string
		var bad *wire.Invalid
		if errors.As(rest.CheckShape(json.RawMessage(c.doc), reflect.TypeFor[*sheet]()), &bad) {
			for _, f := range bad.Fields {
				got = append(got, fmt.Sprint(f.Field, " ", f.Pointer, " ", f.Detail))
			}
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %q, want %q", c.doc, got, c.want)
		}
		if into := new(sheet); c.want == nil && json.Unmarshal([]byte(c.doc), into) != nil {
			t.Errorf("%s cannot be decoded", c.doc)
		}
	}
}

// TestErrorsOfTheDomain: what is no complaint about data stays an error.
func TestErrorsOfTheDomain(t *testing.T) {
	fault := errors.New("a fault")
	if err := wire.DomainError(fault); !errors.Is(err, fault) {
		t.Errorf("fault: %v", err)
	}
	var bad *wire.Invalid
	if err := wire.DomainError(&rigging.FieldError{Place: rigging.PlaceOf("rower", "mass"), Problem: rigging.ProblemUnknown, Quantity: rigging.Mass, Detail: "is odd"}); !errors.As(err, &bad) {
		t.Errorf("one field: %v", err)
	} else if f := bad.Fields[0]; f != (wire.FieldProblem{Field: "rower.mass_kg", Pointer: "#/rower/mass_kg", Detail: "Is odd."}) {
		t.Errorf("one field: %+v", f)
	}
	var stuck *wire.Unreachable
	if err := wire.DomainError(&rigging.ReachError{Limit: rigging.LimitLegs}); !errors.As(err, &stuck) || stuck.Limit != "legs_too_short" {
		t.Errorf("limit: %v", err)
	}
}
