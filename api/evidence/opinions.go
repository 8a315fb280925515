package evidence

import (
	"context"
	"strings"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// Opinion is what a coach holds an athlete's power on the water to be.
type Opinion struct {
	ID        int64     `json:"id"`
	AthleteID int64     `json:"athlete_id"`
	SaidOn    string    `json:"said_on" description:"YYYY-MM-DD."`
	PowerW    float64   `json:"power_w" description:"Over 2000 m on the water."`
	SdW       float64   `json:"sd_w" description:"Standard deviation: two of three times the truth lies within it."`
	Note      string    `json:"note"`
	SaidBy    string    `json:"said_by"`
	EnteredAt time.Time `json:"entered_at"`
}

// Opinions lists the opinions about an athlete.
type Opinions struct {
	Opinions []Opinion `json:"opinions" description:"Newest first; the first counts."`
}

// NewOpinion puts an opinion on record.
type NewOpinion struct {
	AthleteID int64    `path:"id" json:"-" validate:"gte=1"`
	SaidOn    string   `json:"said_on" validate:"required,day" description:"YYYY-MM-DD."`
	PowerW    *float64 `json:"power_w" validate:"required,omitempty,gte=20,lte=1000" description:"Mean power over 2000 m on the water, in W."`
	SdW       *float64 `json:"sd_w" validate:"required,omitempty,gte=2,lte=300" description:"Standard deviation: two of three times the truth lies within it, in W."`
	Note      string   `json:"note,omitempty" validate:"omitempty,max=2000" description:"What was seen."`
	By        string   `json:"by" validate:"filled,max=80" say:"Say who you are: your name is kept with the opinion." description:"Whose opinion it is."`
}

// OpinionRemoval removes an opinion.
type OpinionRemoval struct {
	AthleteID int64 `path:"id" json:"-" validate:"gte=1"`
	Opinion   int64 `path:"opinion" json:"-" validate:"gte=1"`
}

// earliestOpinion is the day before which no opinion can be.
const earliestOpinion = "1950-01-01"

// Opinions returns the opinions about an athlete. The error is ErrNotFound.
func (s *Service) Opinions(ctx context.Context, r records.IDRequest) (Opinions, error) {
	list, err := s.Store.OpinionsOf(ctx, r.ID)
	if err != nil {
		return Opinions{}, records.RecordError(err)
	}
	a := Opinions{Opinions: []Opinion{}}
	for i := range list {
		a.Opinions = append(a.Opinions, wireOpinion(&list[i]))
	}
	return a, nil
}

func wireOpinion(o *store.Opinion) Opinion {
	return Opinion{o.ID, o.AthleteID, o.SaidOn, o.PowerW, o.SDW, o.Note, o.SaidBy, o.EnteredAt}
}

// AddOpinion puts an opinion on record. The error is an *Invalid or
// ErrNotFound.
func (s *Service) AddOpinion(ctx context.Context, r NewOpinion) (Opinion, error) {
	var p wire.Problems
	p.PastDay(wire.At("said_on"), r.SaidOn, earliestOpinion, s.Today())
	if r.PowerW != nil && r.SdW != nil && *r.SdW > *r.PowerW/2 {
		p.Add(wire.At("sd_w").Problem("A ± of more than half the power says nothing."))
	}
	p.Check(wire.At(), &r)
	p.Printable(wire.At("note"), r.Note, "\n\t\r")
	p.Author(r.By)
	if err := p.OrNil(); err != nil {
		return Opinion{}, err
	}
	o := store.Opinion{AthleteID: r.AthleteID, SaidOn: r.SaidOn, PowerW: *r.PowerW, SDW: *r.SdW, Note: strings.TrimSpace(r.Note), SaidBy: strings.TrimSpace(r.By), EnteredAt: s.Now()}
	var err error
	o.ID, err = s.Store.AddOpinion(ctx, o)
	return wireOpinion(&o), records.RecordError(err)
}

// RemoveOpinion removes an opinion. The error is ErrNotFound.
func (s *Service) RemoveOpinion(ctx context.Context, r OpinionRemoval) (records.Removed, error) {
	return records.Gone(r.Opinion, s.Store.RemoveOpinion(ctx, r.AthleteID, r.Opinion))
}
