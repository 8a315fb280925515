package page

import (
	"net/url"
	"slices"

	"thole/api/wire"
)

// Complaints holds what is wrong with a request, by place, until the fields of a
// form take it.
type Complaints struct{ wire.Problems }

// Report takes in what is wrong with the value at a place.
func (c *Complaints) Report(at wire.Place, text string) { c.Add(at.Problem(text)) }

// Any reports whether anything is wrong.
func (c *Complaints) Any() bool { return len(c.Fields) > 0 }

// Has reports whether something is wrong at a place.
func (c *Complaints) Has(at wire.Place) bool {
	return slices.ContainsFunc(c.Fields, func(f wire.FieldProblem) bool { return f.Place().Pointer == at.Pointer })
}

// Take returns what is wrong at a place, or else inside it, and removes it from
// the list; ok is false when nothing is.
func (c *Complaints) Take(at wire.Place) (text string, ok bool) {
	i := slices.IndexFunc(c.Fields, func(f wire.FieldProblem) bool { return f.Place().Pointer == at.Pointer })
	if i < 0 {
		i = slices.IndexFunc(c.Fields, func(f wire.FieldProblem) bool { _, inside := f.Place().Under(at); return inside })
	}
	if i < 0 {
		return "", false
	}
	text = c.Fields[i].Detail
	c.Fields = slices.Delete(c.Fields, i, i+1)
	return text, true
}

// Inputs returns fields of a form with what was typed and the complaint at each,
// which is taken and added to the list.
func (c *Complaints) Inputs(fields []Field, prefix string, typed url.Values, list *[]Problem) []Input {
	inputs := make([]Input, 0, len(fields))
	for _, f := range fields {
		in := Input{Field: f, Value: typed.Get(prefix + f.Name), Prefix: prefix}
		if text, bad := c.Take(f.Place()); bad {
			in.Problem, in.Focus = text, len(*list) == 0
			*list = append(*list, Problem{Field: in.ID(), Label: f.Label, Text: text})
		}
		inputs = append(inputs, in)
	}
	return inputs
}

// Rest returns what no field took.
func (c *Complaints) Rest() []Problem {
	var list []Problem
	for _, f := range c.Fields {
		list = append(list, Problem{Text: f.Detail})
	}
	return list
}

// FieldAt is a field of a page that stands for the value at a place of a request:
// ID is its element's id, empty for none, and Label what it is called.
type FieldAt struct {
	At        wire.Place
	ID, Label string
}

// FieldsAt holds the fields of a page.
type FieldsAt []FieldAt

// Problem puts a complaint at the field of its place, or else at the nearest one
// around it, and at no field where there is neither.
func (s FieldsAt) Problem(f wire.FieldProblem) Problem {
	at, best := f.Place(), FieldAt{}
	for _, one := range s {
		if at.Pointer == one.At.Pointer {
			best = one
			break
		}
		if _, inside := at.Under(one.At); inside && len(one.At.Pointer) > len(best.At.Pointer) {
			best = one
		}
	}
	return Problem{Field: best.ID, Label: best.Label, Text: f.Detail}
}

// Problems puts each complaint at its field.
func (s FieldsAt) Problems(list []wire.FieldProblem) []Problem {
	var all []Problem
	for _, f := range list {
		all = append(all, s.Problem(f))
	}
	return all
}
