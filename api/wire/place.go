package wire

import (
	"net/url"
	"strconv"
	"strings"
)

// Place is where a value stands in a document: as people write it, a.b[2], and
// as a JSON pointer, /a/b/2.
type Place struct{ Field, Pointer string }

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

func (at Place) Problem(detail string) FieldProblem {
	return FieldProblem{Field: at.Field, Pointer: "#" + at.Pointer, Detail: detail}
}
