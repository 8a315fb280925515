package api

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"thole/api/access"
	"thole/api/advice"
	"thole/api/club"
	"thole/api/demo"
	"thole/api/ergometer"
	"thole/api/evidence"
	"thole/api/fleet"
	"thole/api/intake"
	"thole/api/jobs"
	"thole/api/keep"
	"thole/api/lineup"
	"thole/api/once"
	"thole/api/people"
	"thole/api/privacy"
	"thole/api/progress"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/savedlineup"
	"thole/api/schedule"
	"thole/api/season"
	"thole/api/seat"
	"thole/api/seatrace"
	"thole/api/setup"
	"thole/api/squadfile"
	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/video"
	"thole/api/wire"
)

// Service holds the use cases by area. Its methods are safe for concurrent use.
type Service struct {
	Jobs        *jobs.Service
	Seat        *seat.Service
	Club        *club.Service
	Fleet       *fleet.Service
	Setup       *setup.Service
	Strokefile  *strokefile.Service
	Strokes     *strokes.Service
	Advice      *advice.Service
	Progress    *progress.Service
	Ergometer   *ergometer.Service
	Squadfile   *squadfile.Service
	Intake      *intake.Service
	Schedule    *schedule.Service
	Seatrace    *seatrace.Service
	Evidence    *evidence.Service
	Lineup      *lineup.Service
	Savedlineup *savedlineup.Service
	Demo        *demo.Service
	Season      *season.Service
	Video       *video.Service
	People      *people.Service
	Keep        *keep.Service
	Privacy     *privacy.Service
	Once        *once.Keeper

	store *store.Store
}

// Option sets something of a service that has a usual value.
type Option func(*options)

type options struct {
	zone     *time.Location
	log      *slog.Logger
	accounts bool
}

// InZone sets the club's time zone, in which days begin and moments are told.
// Left out, it is the machine's.
func InZone(zone *time.Location) Option { return func(o *options) { o.zone = zone } }

// WithAccounts reports whether the server has accounts. Left out, it has none.
func WithAccounts(on bool) Option { return func(o *options) { o.accounts = on } }

// LogTo sets where faults of work beside the requests are logged. Left out, it
// is slog's default.
func LogTo(log *slog.Logger) Option { return func(o *options) { o.log = log } }

// NewService returns a service over the records in store. The calculators do
// without records, so that store may be nil where only they are asked.
func NewService(store *store.Store, set ...Option) *Service {
	o := options{zone: time.Local, log: slog.Default()}
	for _, option := range set {
		option(&o)
	}
	r := records.New(store, o.zone)
	s := &Service{store: store, Jobs: jobs.New(o.log), Seat: &seat.Service{}, Schedule: &schedule.Service{}, Club: club.New(r), Fleet: fleet.New(r), Demo: demo.New(r), Season: season.New(r), People: people.New(r, o.accounts), Privacy: privacy.New(r), Once: once.New(store)}
	r.WhenRemoved(s.Jobs.Forget)
	s.Video = video.New(r, s.Fleet)
	s.Setup = setup.New(r, s.Club, s.Fleet, s.Seat)
	s.Strokefile = strokefile.New(r)
	s.Strokes = strokes.New(r, s.Strokefile)
	s.Advice = advice.New(r, s.Club, s.Fleet, s.Seat, s.Setup, s.Strokes)
	s.Progress = progress.New(r, s.Club, s.Fleet, s.Strokes, s.Advice)
	s.Ergometer = ergometer.New(r)
	s.Squadfile = squadfile.New(r, s.Club)
	s.Intake = intake.New(r, s.Fleet, s.Squadfile)
	s.Seatrace = seatrace.New(r, s.Ergometer)
	s.Evidence = evidence.New(r, s.Ergometer)
	s.Lineup = lineup.New(r, s.Fleet, s.Ergometer, s.Evidence, s.Seatrace)
	s.Savedlineup = savedlineup.New(r, s.Lineup)
	s.Keep = &keep.Service{Club: s.Club, Fleet: s.Fleet, Setup: s.Setup, Strokes: s.Strokes, Ergometer: s.Ergometer, Seatrace: s.Seatrace, Savedlineup: s.Savedlineup, Records: r}
	return s
}

// Close cancels the big work under way, waits for it and removes the files that
// were uploaded. The store stays open.
func (s *Service) Close() {
	s.Jobs.Close()
	s.Strokefile.Close()
}

// Ping reports whether the records answer.
func (s *Service) Ping(ctx context.Context) error {
	if s.store == nil {
		return nil
	}
	return s.store.Ping(ctx)
}

// DataVersion returns a number that changes whenever something was put on record.
// Without records there is none.
func (s *Service) DataVersion(ctx context.Context) (int64, error) {
	if s.store == nil {
		return 0, wire.ErrNotFound
	}
	return s.store.DataVersion(ctx)
}

// Today is the present day in the club's time zone, YYYY-MM-DD.
func (s *Service) Today() string { return s.Club.Today() }

// Owner reports which athlete a recording, or a seat by the newest work sheet of
// its boat, belongs to; 0 is nobody.
func (s *Service) Owner(ctx context.Context, kind access.Kind, id int64, seat int) (int64, error) {
	switch kind {
	case access.Recording:
		return s.Strokes.RecordingOwner(ctx, id)
	case access.Alone:
		return s.Strokes.SoleOwner(ctx, id)
	case access.Seat:
		return s.Setup.SeatOwner(ctx, id, seat)
	}
	panic("api: nobody knows whose " + string(kind) + " it is")
}

// Sender reports which account sent an upload or asked for a job; 0 is nobody.
func (s *Service) Sender(kind access.Kind, id string) int64 {
	switch kind {
	case access.Upload:
		return s.Strokefile.UploadSender(id)
	case access.Job:
		return s.Jobs.Asker(id)
	}
	panic("api: nobody knows who sent " + string(kind) + " " + id)
}

// Mount registers the JSON interface on e.
func Mount(e *echo.Echo, s *Service, log *slog.Logger) {
	rest.MountRoutes(e, s.Routes(), OpenAPI, s.Jobs, s, s.Once, log)
}

// OpenAPI returns the OpenAPI 3.1 description of every route as JSON. The bytes
// are shared and must not be changed. It is made once, when it is first asked for:
// that takes a third of a second.
func OpenAPI() ([]byte, error) { return description() }

var description = sync.OnceValues(func() ([]byte, error) { return rest.Describe(Routes()) })
