// Package boats keeps boats with the rig of every seat and its history, oars, crews,
// work sheets, and what was measured or filmed of a rower in a seat.
package boats

import "thole/api/store/db"

// Records reads and writes what the package keeps. Its methods are safe for
// concurrent use.
type Records struct{ file *db.DB }

// New returns the records in a database.
func New(file *db.DB) Records { return Records{file} }
