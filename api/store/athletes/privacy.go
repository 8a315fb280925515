package athletes

import (
	"context"
	"strconv"
	"time"

	"thole/api/store/db"
)

// adult is the age, in years, from which an athlete answers for themselves: that of
// Article 1 of the Convention on the Rights of the Child (1989).
const adult = 18

// Minor reports whether an athlete is, or may be, under 18 on a day, YYYY-MM-DD. Of
// one whose year alone is known the birthday may be the last of the year; of one
// whose age is not known nothing can be said, and it is no.
func (a *Athlete) Minor(day string) bool {
	to, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return false
	}
	if a.BirthDate != nil {
		born, err := time.Parse(time.DateOnly, *a.BirthDate)
		return err == nil && born.AddDate(adult, 0, 0).After(to)
	}
	return a.BirthYear != nil && int64(to.Year())-*a.BirthYear <= adult
}

type shieldKey struct{}

// WithoutMinors returns a context in which athletes under 18 are read without
// their names: for pages that leave the club.
func WithoutMinors(ctx context.Context) context.Context {
	return context.WithValue(ctx, shieldKey{}, true)
}

// shield takes the name and the note of a minor out where the context asks for
// it. The number tells two of them apart.
func shield(t *db.Tx, a *Athlete) {
	if on, _ := t.Ctx.Value(shieldKey{}).(bool); !on || !a.Minor(t.Today()) {
		return
	}
	a.Given, a.Family, a.Note = "", "Junior "+strconv.FormatInt(a.ID, 10), ""
	a.Name = a.Family
}

// Consent is what an athlete, or who speaks for one under age, said to the
// keeping of their records.
type Consent struct {
	ID, AthleteID int64
	Given         bool   // or withdrawn
	SaidOn        string // YYYY-MM-DD
	Guardian      string // who said it for an athlete under age; empty for the athlete
	Note          string
	EnteredBy     string
	EnteredAt     time.Time
}

func (c *Consent) stored() []db.Column {
	return []db.Column{
		{"id", &c.ID}, {"athlete_id", &c.AthleteID}, {"given", &c.Given}, {"said_on", &c.SaidOn}, {"guardian", &c.Guardian}, {"note", &c.Note},
		{"entered_by", &c.EnteredBy}, {"entered_at", (*db.Stamp)(&c.EnteredAt)},
	}
}

// States of a consent.
const (
	ConsentNone      = "none"
	ConsentGiven     = "given"
	ConsentWithdrawn = "withdrawn"
	ConsentRenew     = "renew" // a guardian gave it for somebody who has come of age
)

// ConsentState reports where an athlete stands whose newest consent is the first of
// those said. What an athlete under age said alone does not count: the birth date
// may have been entered later.
func ConsentState(said []Consent, minor bool) string {
	switch {
	case len(said) == 0:
		return ConsentNone
	case !said[0].Given:
		return ConsentWithdrawn
	case said[0].Guardian != "" && !minor:
		return ConsentRenew
	case said[0].Guardian == "" && minor:
		return ConsentNone
	}
	return ConsentGiven
}

// AddConsent puts what was said on record and returns its id.
func (s *Records) AddConsent(ctx context.Context, c Consent, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		if err := t.Exists("athletes", c.AthleteID); err != nil {
			return 0, err
		}
		c.EnteredBy, c.EnteredAt = by.Signer(t), t.Moment(by.At)
		return t.Insert("consents", c.stored()[1:])
	})
}

// ConsentsOf lists what was said of an athlete, the newest first.
func (s *Records) ConsentsOf(ctx context.Context, athlete int64) ([]Consent, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Consent, error) {
		if err := t.Exists("athletes", athlete); err != nil {
			return nil, err
		}
		return db.List(t, (*Consent).stored, "consents WHERE athlete_id = ? ORDER BY said_on DESC, id DESC", athlete)
	})
}
