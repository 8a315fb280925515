package stroke

import "fmt"

// Place says where in a file, and in the mapping of it, something stands, so
// that a program can point at it. What is not known or concerns the whole file
// is left zero.
type Place struct {
	Line   int64  // of the file, from 1
	Column int    // of the file, from 1
	Field  string // of the [Mapping] that is to be looked at, named as in its errors
}

// columnPlace returns the place of a column of a mapping, counted as in
// Mapping.Columns, with one of its fields, or the column itself.
func (m *Mapping) columnPlace(i int, field string) Place {
	p := Place{Column: m.Columns[i].Index + 1, Field: fmt.Sprintf("columns[%d]", i)}
	if field != "" {
		p.Field += "." + field
	}
	return p
}
