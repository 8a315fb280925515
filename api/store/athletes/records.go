// Package athletes keeps athletes with their measures, postures, ergometer tests,
// what coaches think of them, the squads they are in, and what was said to the
// keeping of it.
package athletes

import "thole/api/store/db"

// Records reads and writes what the package keeps. Its methods are safe for
// concurrent use.
type Records struct{ file *db.DB }

// New returns the records in a database.
func New(file *db.DB) Records { return Records{file} }
