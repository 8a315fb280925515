// Package db is the file of records: opening, upgrading, copying and wiping it, its
// transactions, and what every kind of record has in common: names, versions and
// history. It knows no kind of record; whatever is read or written goes through [Read]
// or [Write].
package db
