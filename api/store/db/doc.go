// Package db is the file of records: opening, upgrading, copying and wiping it,
// its transactions, and what every kind of record has in common: names, versions
// and history.
//
// A kind of record is a struct with a method that lists its columns beside its
// fields. [Tx.Insert], [Tx.Update], [List] and [One] work on that list, and
// [Tx.Create] and [Tx.Revise] on a [Record] made of it, which carries a version
// and leaves a trace of what changed. Whatever is read or written goes through
// [Read] or [Write].
package db
