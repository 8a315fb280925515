// Package store keeps the records of a club in one SQLite file: athletes and
// their measures, ergometer tests, boats with the rig of every seat and its
// history, oars, line-ups, work sheets, recorded strokes, seat races and
// accounts. What belongs together lies in a room of its own below it; [Store] has
// the methods of all, and here are the acts that concern several.
//
// # Units and times
//
// Columns and fields carry the unit in their name and hold the values as they
// are spoken at the edge: nothing is converted here. A pointer that is nil is
// a value that is not known. Calendar days are texts YYYY-MM-DD; moments are
// stored as RFC 3339 in UTC with milliseconds and returned in the time zone of
// [Store.SetZone]. The caller says when something happened; a moment left zero
// is taken from the store's clock.
//
// What a record is stands in columns of its own. Nothing is read out of notes;
// JSON holds lists and settings that are only read whole.
//
// # Transactions and versions
//
// Every write is one transaction that takes the write lock at its start, so
// that nothing is read in it that could be out of date when it writes. A method
// that returned without error has its change on disk: it outlives the process
// and, as far as the disk tells the truth, the power.
//
// Records that people edit carry a version. A write states the version it was
// made from and is refused with an [*ErrConflict] when the record has moved on;
// nothing of another's work is overwritten. What changed, when and by whom is
// kept, see [Store.Changes].
//
// # Deletion
//
// Deleting an athlete or a recording takes the bytes out of the file, too:
// see [Store.Wipe]. Copies made by [Store.Backup] before keep them.
//
// # Errors
//
// Errors wrap one of [ErrNotFound], [ErrTaken], [ErrInUse], [ErrInvalid],
// [ErrKeyReused], [ErrSheetDone], [ErrCredentials], [ErrFull], [ErrReadOnly],
// [ErrBusy], [ErrDamaged], [ErrNotDatabase], [ErrForeign], [ErrNewer] or
// [ErrTraces], or are an [*ErrConflict], or an error of the context or the
// operating system.
package store
