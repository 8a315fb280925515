package stroke

import "thole/rigging"

// Place says where in a file, and in the mapping of it, something stands, so
// that a program can point at it. What is not known or concerns the whole file
// is left zero.
type Place struct {
	Line   int64         // of the file, from 1
	Column int           // of the file, from 1
	Field  rigging.Place // of the [Mapping] that is to be looked at, as in its errors
}

// columnPlace returns the place of a column of a mapping, counted as in
// Mapping.Columns, with its fields from the outermost inwards, or the column itself.
func (m *Mapping) columnPlace(i int, fields ...rigging.Field) Place {
	at := rigging.PlaceOf("columns").Item(i)
	return Place{Column: m.Columns[i].Index + 1, Field: rigging.PlaceOf(fields...).In(at)}
}
