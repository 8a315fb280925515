// Package recordings keeps recorded strokes, the marks on them, and how kinds of
// files are read.
package recordings

import "thole/api/store/db"

// Records reads and writes what the package keeps. Its methods are safe for
// concurrent use.
type Records struct{ file *db.DB }

// New returns the records in a database.
func New(file *db.DB) Records { return Records{file} }
