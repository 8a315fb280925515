package video

import (
	"context"
	"net/http"
	"time"

	"thole/api/access"
	"thole/api/gate"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/store"
	"thole/api/wire"
)

// Still tells of the picture beside a reading.
type Still struct {
	WidthPx  int64     `json:"width_px"`
	HeightPx int64     `json:"height_px"`
	By       string    `json:"by"`
	At       time.Time `json:"at" description:"When it was kept."`
}

// NewStill keeps a picture beside a reading.
type NewStill struct {
	AthleteID int64  `path:"id" json:"-" validate:"gte=1"`
	ReadingID int64  `path:"reading" json:"-" validate:"gte=1"`
	Picture   []byte `json:"picture" required:"true" description:"A JPEG, as base64. It is made smaller (1280 px, 400 kB), turned upright and encoded again: what the camera noted with it is not kept."`
	Consent   bool   `json:"consent" required:"true" description:"Everybody who can be recognised agrees that it is kept."`
	By        string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands beside it." description:"Who keeps it."`
}

// Stand reports whether a picture of an athlete may be kept and shown.
type Stand struct {
	Minor   bool // under 18 today
	Known   bool // the age
	Allowed bool
	Because string // why not, in a sentence
}

// stillRoutes lists the operations on stills.
func (s *Service) stillRoutes() []rest.Route {
	const path = "/api/v1/athletes/:id/filmed/:reading/still"
	return []rest.Route{
		rest.Put(path, "Keep a still with a filmed reading",
			"One picture, in place of the one that was there, with the consent of who can be seen in it. Of an athlete under 18, or of unknown age, it is kept and shown only while consent is on record, under 18 that of a parent or guardian.",
			s.KeepStill).For(access.Staff.OrOwn(access.Body, "id")),
		rest.GetFile(path+".jpg", "Get the still of a filmed reading", "The picture.", "image/jpeg", s.Still).For(access.Staff.OrOwn(access.Body, "id")),
		rest.Remove(path, "Remove the still of a filmed reading", "The reading stays.", s.RemoveStill).For(access.Staff.OrOwn(access.Body, "id")),
	}
}

// StandOf reports whether a picture of an athlete may be kept and shown: not against
// what was said, and without the parents' word neither of a child nor of somebody
// who may be one.
func (s *Service) StandOf(ctx context.Context, athlete int64) (Stand, error) {
	a, err := s.Store.Athlete(ctx, athlete)
	if err != nil {
		return Stand{}, records.RecordError(err)
	}
	said, err := s.Store.ConsentsOf(ctx, athlete)
	if err != nil {
		return Stand{}, records.RecordError(err)
	}
	st := Stand{Known: a.BirthDate != nil || a.BirthYear != nil, Minor: a.Minor(s.Today()), Allowed: true}
	state := store.ConsentState(said, st.Minor)
	switch {
	case state == store.ConsentWithdrawn:
		st.Allowed, st.Because = false, a.Name+"’s consent to keeping records was withdrawn: no picture is kept or shown."
	case st.Minor && state != store.ConsentGiven:
		st.Allowed, st.Because = false, a.Name+" is under 18: a picture is kept only with the consent of a parent or guardian on record."
	case !st.Known && state != store.ConsentGiven:
		st.Allowed, st.Because = false, "Nobody knows whether "+a.Name+" is of age: enter the birth date, or a consent, before a picture is kept."
	}
	return st, nil
}

// allow refuses a picture that may not be kept or shown.
func (s *Service) allow(ctx context.Context, athlete int64) error {
	st, err := s.StandOf(ctx, athlete)
	if err == nil && !st.Allowed {
		err = &wire.Refusal{Status: http.StatusForbidden, Text: st.Because}
	}
	return err
}

// KeepStill keeps a picture beside a reading. Errors: ErrNotFound for a reading that
// is not on record, an *Invalid, or a *Refusal where consent is missing.
func (s *Service) KeepStill(ctx context.Context, r NewStill) (Still, error) {
	if _, err := s.ReadingOf(ctx, FilmedReadingRequest{r.AthleteID, r.ReadingID}); err != nil {
		return Still{}, err
	}
	if err := s.allow(ctx, r.AthleteID); err != nil {
		return Still{}, err
	}
	kept, err := s.checkStill(ctx, &r)
	if err != nil {
		return Still{}, err
	}
	kept, err = s.Store.KeepStill(ctx, r.AthleteID, kept, s.Signed(r.By))
	return wireStill(&kept), records.RecordError(err)
}

// checkStill makes the picture that is kept.
func (s *Service) checkStill(ctx context.Context, r *NewStill) (store.Still, error) {
	kept := store.Still{ReadingID: r.ReadingID}
	var p wire.Problems
	p.Check(wire.At(), *r)
	p.Author(r.By)
	if !r.Consent {
		p.Add(wire.At("consent").Problem("Ask first: a picture is kept only where everybody who can be recognised agrees."))
	}
	switch {
	case len(r.Picture) == 0:
		p.Add(wire.At("picture").Problem("Choose a picture."))
	case len(r.Picture) > LargestPicture:
		p.Add(wire.At("picture").Problem("The picture is larger than 12 MB."))
	}
	if err := p.OrNil(); err != nil {
		return kept, err
	}
	return gate.Through(ctx, s.Gate, func(context.Context) (store.Still, error) {
		made, width, height, err := small(r.Picture, store.LargestStill)
		if err != nil {
			return kept, wire.At("picture").Invalid(wire.Sentence(err.Error()))
		}
		kept.Picture, kept.WidthPx, kept.HeightPx = made, int64(width), int64(height)
		return kept, nil
	})
}

func wireStill(p *store.Still) Still {
	return Still{WidthPx: p.WidthPx, HeightPx: p.HeightPx, By: p.By, At: p.At}
}

// Still returns the picture beside a reading. Errors: ErrNotFound where there is
// none, a *Refusal where consent is missing.
func (s *Service) Still(ctx context.Context, r FilmedReadingRequest) ([]byte, error) {
	p, err := s.Store.StillOf(ctx, r.AthleteID, r.ReadingID)
	if err != nil {
		return nil, records.RecordError(err)
	}
	return p.Picture, s.allow(ctx, r.AthleteID)
}

// RemoveStill removes the picture beside a reading.
func (s *Service) RemoveStill(ctx context.Context, r FilmedReadingRequest) (records.Removed, error) {
	return records.Gone(r.ReadingID, s.Store.RemoveStill(ctx, r.AthleteID, r.ReadingID))
}

// ReadingOf returns a reading of an athlete. The error is ErrNotFound.
func (s *Service) ReadingOf(ctx context.Context, r FilmedReadingRequest) (FilmedReading, error) {
	list, err := s.Readings(ctx, records.IDRequest{ID: r.AthleteID})
	if err != nil {
		return FilmedReading{}, err
	}
	for _, f := range list.Readings {
		if f.ID == r.ReadingID {
			return f, nil
		}
	}
	return FilmedReading{}, wire.ErrNotFound
}
