package wire

import (
	"net/url"
	"strconv"
	"strings"
	"sync"

	"thole/rigging"
)

// Place is where a value stands in a document: as people write it, a.b[2], and
// as a JSON pointer, /a/b/2.
type Place struct{ Field, Pointer string }

// At returns the place of a member, inside another where there are more names.
func At(names ...string) Place {
	var at Place
	for _, name := range names {
		at = at.Name(name)
	}
	return at
}

// pointerEscapes keeps the two characters that a JSON pointer uses itself out
// of its names (RFC 6901).
var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")

func (at Place) Name(name string) Place {
	field := name
	if at.Field != "" {
		field = at.Field + "." + name
	}
	return Place{field, at.Pointer + "/" + url.PathEscape(pointerEscapes.Replace(name))}
}

func (at Place) Item(i int) Place {
	n := strconv.Itoa(i)
	return Place{at.Field + "[" + n + "]", at.Pointer + "/" + n}
}

// Problem returns the complaint about the value that stands here.
func (at Place) Problem(detail string) FieldProblem {
	return FieldProblem{Field: at.Field, Pointer: "#" + at.Pointer, Detail: detail}
}

// Invalid returns the error of the one value that stands here.
func (at Place) Invalid(detail string) *Invalid {
	return &Invalid{Fields: []FieldProblem{at.Problem(detail)}}
}

// At returns the place that fields of the domain lead to inside at.
func (at Place) At(p rigging.Place, names ...Names) Place {
	for i, step := range p {
		inside := rigging.Field("")
		if i > 0 {
			inside = p[i-1].Field
		}
		for _, name := range nameSteps(inside, step.Field, names) {
			at = at.Name(name)
		}
		if step.Number > 0 {
			at = at.Item(step.Number - 1)
		}
	}
	return at
}

// Join returns inner as a place inside at.
func (at Place) Join(inner Place) Place {
	if at.Field != "" && inner.Field != "" {
		at.Field += "."
	}
	return Place{at.Field + inner.Field, at.Pointer + inner.Pointer}
}

// Under returns the place as seen from outer; false when it is not inside.
func (at Place) Under(outer Place) (inner Place, ok bool) {
	pointer, ok := strings.CutPrefix(at.Pointer, outer.Pointer+"/")
	if !ok {
		return at, false
	}
	field := strings.TrimPrefix(at.Field, outer.Field)
	return Place{strings.TrimPrefix(field, "."), "/" + pointer}, true
}

// ItemOf returns which item of a list, from 0, the place stands in or is, and the
// place as seen from that item; ok is false when it is in none.
func (at Place) ItemOf(list Place) (i int, inner Place, ok bool) {
	inside, ok := at.Under(list)
	if !ok {
		return 0, Place{}, false
	}
	number, _, _ := strings.Cut(inside.Pointer[1:], "/")
	i, err := strconv.Atoi(number)
	if err != nil || i < 0 {
		return 0, Place{}, false
	}
	inner, _ = at.Under(list.Item(i))
	if at.Pointer == list.Item(i).Pointer {
		inner = Place{}
	}
	return i, inner, true
}

// First returns the member of the document that the place stands in or is; ""
// for the whole document.
func (at Place) First() string {
	name, _, _ := strings.Cut(strings.TrimPrefix(at.Pointer, "/"), "/")
	return Place{Pointer: "/" + name}.Last()
}

// Last returns the name or the number that the place ends in; "" for the whole
// document.
func (at Place) Last() string {
	escaped := at.Pointer[strings.LastIndexByte(at.Pointer, '/')+1:]
	name, err := url.PathUnescape(escaped)
	if err != nil {
		return escaped
	}
	return strings.NewReplacer("~1", "/", "~0", "~").Replace(name)
}

// Names says how a part of the wire names fields of the domain that it calls or
// nests otherwise than [FieldName]: the steps that take a field's place, none
// where the members of a part stand in the part around it.
type Names map[rigging.Field][]string

// nameSteps returns the names on the wire of a field inside another.
func nameSteps(inside, f rigging.Field, names []Names) []string {
	for _, own := range names {
		if steps, ok := own[f]; ok {
			return steps
		}
	}
	if inside == rigging.FieldSegments {
		return []string{string(f)} // the group carries the unit
	}
	return []string{FieldName(f)}
}

// FieldName returns the name of a field of the domain on the wire, with the unit
// of its plausible range.
func FieldName(f rigging.Field) string {
	if name, ok := fieldNames()[f]; ok {
		return name
	}
	return string(f)
}

// fieldNames holds the names of the fields that have a unit.
var fieldNames = sync.OnceValue(func() map[rigging.Field]string {
	names := map[rigging.Field]string{
		rigging.FieldClass: "boat_class", rigging.FieldSegments: "segments_cm", rigging.FieldOverlap: "overlap_cm",
	}
	for _, r := range rigging.Ranges() {
		if last := r.Place[len(r.Place)-1].Field; names[last] == "" {
			names[last] = string(last) + Units[r.Quantity].Suffix
		}
	}
	return names
})
