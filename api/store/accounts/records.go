// Package accounts keeps who may come in and what lets them: accounts with their
// passwords, links, tokens, web sessions; and what was asked of the boatman and kept
// for athletes.
package accounts

import (
	"thole/api/store/db"

	"github.com/alexedwards/argon2id"
)

// Records reads and writes what the package keeps. Its methods are safe for
// concurrent use.
type Records struct {
	file    *db.DB
	hashing argon2id.Params
}

// New returns the records in a database, which hash passwords so.
func New(file *db.DB, hashing argon2id.Params) Records {
	file.OnBack(clockBack)
	return Records{file, hashing}
}
