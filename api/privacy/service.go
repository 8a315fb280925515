// Package privacy holds what an athlete may ask of the club: what is on record
// about them, and what they, or who speaks for them, said to its keeping.
package privacy

import (
	"context"
	"net/http"
	"strings"
	"time"

	"thole/api/access"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/store"
	"thole/api/wire"
)

// Service holds the use cases.
type Service struct{ *records.Records }

// New returns a service over records.
func New(r *records.Records) *Service { return &Service{r} }

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Get("/api/v1/athletes/:id/privacy", "Show an athlete's consent", "Whether the athlete is under 18, and what was said to the keeping of the records, the newest first.", s.Privacy).
			For(access.Coaches.OrOwn(access.Body, "id")),
		rest.Create("/api/v1/athletes/:id/consents", "Add a consent, or its withdrawal", "For an athlete under 18 a parent or guardian consents, and a coach enters it. Nothing is removed by a withdrawal.", s.AddConsent).
			For(access.Coaches.OrOwn(access.Body, "id")),
		rest.Get("/api/v1/athletes/:id/everything", "Get everything about an athlete", "All that is on record about one person, by the tables it is kept in; columns carry their units. Passwords and other athletes’ names are left out.", s.Everything).
			For(access.Coaches.OrOwn(access.Body, "id")),
	}
}

// States of the consent.
const (
	None      = store.ConsentNone
	Given     = store.ConsentGiven
	Withdrawn = store.ConsentWithdrawn
	Renew     = store.ConsentRenew
)

// Consent is what was said at one time.
type Consent struct {
	ID        int64     `json:"id"`
	Given     bool      `json:"given" description:"false: it was withdrawn."`
	SaidOn    string    `json:"said_on" description:"YYYY-MM-DD."`
	Guardian  string    `json:"guardian" description:"Who said it for an athlete under 18; empty for the athlete."`
	Note      string    `json:"note"`
	EnteredBy string    `json:"entered_by"`
	EnteredAt time.Time `json:"entered_at"`
}

// Privacy is where an athlete stands.
type Privacy struct {
	AthleteID int64     `json:"athlete_id"`
	AgeKnown  bool      `json:"age_known"`
	Minor     bool      `json:"minor" description:"Under 18 today; of one whose year of birth alone is known, possibly."`
	State     string    `json:"state" enum:"none,given,withdrawn,renew" description:"Of the consent. renew: a guardian gave it, and the athlete has come of age since."`
	Consents  []Consent `json:"consents" description:"The newest first."`
}

// Privacy reports where an athlete stands.
func (s *Service) Privacy(ctx context.Context, r records.IDRequest) (Privacy, error) {
	a, err := s.Store.Athlete(ctx, r.ID)
	if err != nil {
		return Privacy{}, records.RecordError(err)
	}
	found, err := s.Store.ConsentsOf(ctx, r.ID)
	if err != nil {
		return Privacy{}, records.RecordError(err)
	}
	p := Privacy{AthleteID: a.ID, AgeKnown: a.BirthDate != nil || a.BirthYear != nil, Minor: a.Minor(s.Today()), Consents: make([]Consent, len(found))}
	for i, c := range found {
		p.Consents[i] = Consent{c.ID, c.Given, c.SaidOn, c.Guardian, c.Note, c.EnteredBy, c.EnteredAt}
	}
	p.State = store.ConsentState(found, p.Minor)
	return p, nil
}

// NewConsent puts on record what was said.
type NewConsent struct {
	AthleteID int64  `path:"id" json:"-" validate:"gte=1"`
	Given     bool   `json:"given" description:"false: the consent is withdrawn."`
	SaidOn    string `json:"said_on" validate:"omitempty,day" description:"YYYY-MM-DD; without it, today."`
	Guardian  string `json:"guardian" validate:"max=120" description:"Parent or guardian who consents for an athlete under 18."`
	Note      string `json:"note" validate:"max=500" description:"Such as where the signed form is kept."`
	By        string `json:"by" validate:"filled,max=80" say:"Say who you are: your name is kept with it." description:"Who enters this."`
}

// errGuardian refuses a consent that an athlete under age gives alone.
var errGuardian = &wire.Refusal{Status: http.StatusForbidden, Text: "under 18 a parent or guardian consents: tell your coach, who enters it"}

// AddConsent puts what was said on record.
func (s *Service) AddConsent(ctx context.Context, r NewConsent) (Privacy, error) {
	a, err := s.Store.Athlete(ctx, r.AthleteID)
	if err != nil {
		return Privacy{}, records.RecordError(err)
	}
	if r.SaidOn == "" {
		r.SaidOn = s.Today()
	}
	r.Guardian, r.Note = strings.TrimSpace(r.Guardian), strings.TrimSpace(r.Note)
	if err := s.checkConsent(&a, &r); err != nil {
		return Privacy{}, err
	}
	if r.Given && a.Minor(s.Today()) && access.From(ctx).Role == access.Athlete {
		return Privacy{}, errGuardian
	}
	c := store.Consent{AthleteID: a.ID, Given: r.Given, SaidOn: r.SaidOn, Guardian: r.Guardian, Note: r.Note}
	if _, err := s.Store.AddConsent(ctx, c, s.Signed(r.By)); err != nil {
		return Privacy{}, records.RecordError(err)
	}
	return s.Privacy(ctx, records.IDRequest{ID: a.ID})
}

func (s *Service) checkConsent(a *store.Athlete, r *NewConsent) error {
	var p wire.Problems
	p.Check(wire.At(), *r)
	if len(p.Fields) > 0 {
		return p.OrNil()
	}
	p.PastDay(wire.At("said_on"), r.SaidOn, "", s.Today())
	if r.Given && r.Guardian == "" && a.Minor(r.SaidOn) {
		p.Add(wire.At("guardian").Problem(a.Name + " was under 18 on that day: name the parent or guardian who agrees."))
	}
	return p.OrNil()
}

// Everything is all that is on record about one athlete.
type Everything struct {
	AthleteID int64                       `json:"athlete_id"`
	MadeAt    time.Time                   `json:"made_at"`
	Records   map[string][]map[string]any `json:"records" description:"Rows by the table that they are kept in, members by column. Series of samples are base64 of 64-bit little-endian floating-point numbers, pictures base64 of the JPEG."`
}

// Everything returns all that is on record about one athlete.
func (s *Service) Everything(ctx context.Context, r records.IDRequest) (Everything, error) {
	all, err := s.Store.Dossier(ctx, r.ID)
	return Everything{r.ID, s.Now(), all}, records.RecordError(err)
}
