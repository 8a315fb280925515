package store

import (
	"context"
	"time"

	"thole/api/store/accounts"
	"thole/api/store/athletes"
	"thole/api/store/boats"
	"thole/api/store/db"
	"thole/api/store/races"
	"thole/api/store/recordings"
)

// Words of the file, of versions and history: see package db.
type (
	Adjustment  = db.Adjustment
	By          = db.By
	Change      = db.Change
	Copy        = db.Copy
	ErrConflict = db.ErrConflict
	Digest      = db.Digest
	Filter      = db.Filter
	Once        = db.Once
	Part        = db.Part
	Subject     = db.Subject
)

// Words of athletes: see package athletes.
type (
	Athlete        = athletes.Athlete
	AthletesMark   = athletes.AthletesMark
	Body           = athletes.Body
	Consent        = athletes.Consent
	ErgTest        = athletes.ErgTest
	LatestMeasures = athletes.LatestMeasures
	Measures       = athletes.Measures
	Opinion        = athletes.Opinion
	Overview       = athletes.Overview
	Posture        = athletes.Posture
	RecordedPower  = athletes.RecordedPower
	Saved          = athletes.Saved
	Squad          = athletes.Squad
	SquadMember    = athletes.SquadMember
)

// Words of boats: see package boats.
type (
	Boat          = boats.Boat
	CrewSeat      = boats.CrewSeat
	FilmedReading = boats.FilmedReading
	Fleet         = boats.Fleet
	FleetBoat     = boats.FleetBoat
	MeasuredArc   = boats.MeasuredArc
	OarSet        = boats.OarSet
	Reading       = boats.Reading
	Rig           = boats.Rig
	RigChange     = boats.RigChange
	RigFilter     = boats.RigFilter
	RigSetting    = boats.RigSetting
	Seat          = boats.Seat
	SeatStart     = boats.SeatStart
	Sheet         = boats.Sheet
	SheetFilter   = boats.SheetFilter
	SheetLine     = boats.SheetLine
	Still         = boats.Still
)

// Words of recorded strokes: see package recordings.
type (
	FeatureValue    = recordings.FeatureValue
	ImportMapping   = recordings.ImportMapping
	Mark            = recordings.Mark
	Recording       = recordings.Recording
	RecordingFilter = recordings.RecordingFilter
	RecordingMean   = recordings.RecordingMean
	Samples         = recordings.Samples
)

// Words of line-ups and seat races: see package races.
type (
	Lineup          = races.Lineup
	LineupSeat      = races.LineupSeat
	MakeSeatRace    = races.MakeSeatRace
	Piece           = races.Piece
	PieceBoat       = races.PieceBoat
	PieceEntry      = races.PieceEntry
	SeatRace        = races.SeatRace
	SeatRaceAthlete = races.SeatRaceAthlete
)

// Words of accounts: see package accounts.
type (
	Account   = accounts.Account
	Link      = accounts.Link
	SavedSeat = accounts.SavedSeat
	Sessions  = accounts.Sessions
	Task      = accounts.Task
	Token     = accounts.Token
	Usage     = accounts.Usage
)

// Words that stand in columns, and the kinds of records that carry a version.
const (
	FixedDistance = athletes.FixedDistance
	FixedTime     = athletes.FixedTime
	Scull         = athletes.Scull
	Sweep         = athletes.Sweep

	ConsentGiven     = athletes.ConsentGiven
	ConsentNone      = athletes.ConsentNone
	ConsentRenew     = athletes.ConsentRenew
	ConsentWithdrawn = athletes.ConsentWithdrawn

	LargestStill = boats.LargestStill

	AthleteRecord   = db.AthleteRecord
	BoatRecord      = db.BoatRecord
	LineupRecord    = db.LineupRecord
	OarSetRecord    = db.OarSetRecord
	RecordingRecord = db.RecordingRecord
	SeatRaceRecord  = db.SeatRaceRecord

	Abandoned = races.Abandoned
	Planned   = races.Planned
	Raced     = races.Raced

	MarkNear = recordings.MarkNear
)

// Errors: see where they are made.
var (
	ErrExpired     = accounts.ErrExpired
	ErrLastCoach   = accounts.ErrLastCoach
	ErrUsed        = accounts.ErrUsed
	ErrBusy        = db.ErrBusy
	ErrCredentials = db.ErrCredentials
	ErrDamaged     = db.ErrDamaged
	ErrForeign     = db.ErrForeign
	ErrFull        = db.ErrFull
	ErrInUse       = db.ErrInUse
	ErrInvalid     = db.ErrInvalid
	ErrKeyReused   = db.ErrKeyReused
	ErrMoved       = db.ErrMoved
	ErrNewer       = db.ErrNewer
	ErrNotDatabase = db.ErrNotDatabase
	ErrNotFound    = db.ErrNotFound
	ErrReadOnly    = db.ErrReadOnly
	ErrSent        = db.ErrSent
	ErrSheetDone   = db.ErrSheetDone
	ErrTaken       = db.ErrTaken
	ErrThere       = db.ErrThere
	ErrTraces      = db.ErrTraces
)

// Returned is [athletes.Returned].
func Returned(ctx context.Context, later, earlier string) ([]Athlete, error) {
	return athletes.Returned(ctx, later, earlier)
}

// WithoutMinors is [athletes.WithoutMinors].
func WithoutMinors(ctx context.Context) context.Context { return athletes.WithoutMinors(ctx) }

// Settings is [boats.Settings].
func Settings() []string { return boats.Settings() }

// RigOf is [boats.RigOf].
func RigOf(seats []Seat) []RigSetting { return boats.RigOf(seats) }

// AsExample is [db.AsExample].
func AsExample(ctx context.Context) context.Context { return db.AsExample(ctx) }

// CarryOnce is [db.CarryOnce].
func CarryOnce(from, to context.Context) context.Context { return db.CarryOnce(from, to) }

// WithOnce is [db.WithOnce].
func WithOnce(ctx context.Context, o *Once) context.Context { return db.WithOnce(ctx, o) }

// Backup is [db.Backup].
func Backup(ctx context.Context, source, path string) error {
	return db.Backup(ctx, source, path)
}

// BackupInto is [db.BackupInto].
func BackupInto(ctx context.Context, source, folder string, at time.Time, keep int) (Copy, error) {
	return db.BackupInto(ctx, source, folder, at, keep)
}

// Backups is [db.Backups].
func Backups(folder string) ([]Copy, error) { return db.Backups(folder) }

// Extract is [db.Extract].
func Extract(ctx context.Context, path string) (copied string, remove func() error, err error) {
	return db.Extract(ctx, path)
}

// JoinName is [db.JoinName].
func JoinName(given, family string) string { return db.JoinName(given, family) }

// NameKey is [db.NameKey].
func NameKey(name string) string { return db.NameKey(name) }

// Restore is [db.Restore].
func Restore(ctx context.Context, backup, path string, replace bool) (aside string, err error) {
	return db.Restore(ctx, backup, path, replace)
}

// SignedBy is [db.SignedBy].
func SignedBy(ctx context.Context, name string) context.Context { return db.SignedBy(ctx, name) }

// Sound is [db.Sound].
func Sound(ctx context.Context, path string) error { return db.Sound(ctx, path) }

// SplitName is [db.SplitName].
func SplitName(name string) (given, family string) { return db.SplitName(name) }

// ConsentState tells where an athlete stands: see package athletes.
func ConsentState(said []Consent, minor bool) string { return athletes.ConsentState(said, minor) }

// OnceIn is [db.OnceIn].
func OnceIn(ctx context.Context) *Once { return db.OnceIn(ctx) }

// Window is [db.Window].
type Window = db.Window

// WithWindow is [db.WithWindow].
func WithWindow(ctx context.Context, w *Window) context.Context { return db.WithWindow(ctx, w) }

// Paged is [db.Paged].
func Paged(ctx context.Context) context.Context { return db.Paged(ctx) }
