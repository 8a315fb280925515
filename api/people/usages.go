package people

import (
	"context"
	"errors"
	"net/http"

	"thole/api/access"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// Words of a usage.
const (
	FeetInches   = "ft_in"        // body lengths in feet and inches
	Millimetres  = "mm"           // rig lengths
	Inches       = "in"           // rig lengths, to a hundredth
	Fractions    = "in_fractions" // rig lengths, to a sixteenth of an inch
	Pounds       = "lb"           // masses
	StrokeBow    = "stroke_bow"   // stroke side for port, bow side for starboard
	DayFirst     = "dmy"          // 30 Nov 2026
	MonthFirst   = "mdy"          // Nov 30, 2026
	YearFirst    = "ymd"          // 2026-11-30
	DecimalComma = "comma"        // 1,5
)

// Usage is how somebody has units and words on pages. Files and the interface of
// programs stay in cm, kg, port and starboard for everybody.
type Usage struct {
	BodyLengths string `json:"body_lengths" validate:"required,oneof=cm ft_in" description:"Of lengths of bodies."`
	RigLengths  string `json:"rig_lengths" validate:"required,oneof=cm mm in in_fractions" description:"Of lengths of boats, rigs and oars; inches with decimals or with fractions."`
	Masses      string `json:"masses" validate:"required,oneof=kg lb"`
	Sides       string `json:"sides" validate:"required,oneof=port_starboard stroke_bow" description:"stroke_bow: stroke side for port, bow side for starboard."`
	Days        string `json:"days" validate:"required,oneof=dmy mdy ymd" description:"What comes first: day, month or year."`
	Decimals    string `json:"decimals" validate:"required,oneof=point comma"`
}

// PlainUsage is that of the records: what counts where nobody has chosen.
var PlainUsage = Usage{BodyLengths: "cm", RigLengths: "cm", Masses: "kg", Sides: "port_starboard", Days: DayFirst, Decimals: "point"}

// OwnUsage is how the viewer has units and words.
type OwnUsage struct {
	Chosen bool `json:"chosen" description:"true: the account chose it. false: it is the club's; written so, the account's own choice is taken back."`
	Usage
}

// ClubUsage returns what counts for whoever chose nothing, or has no account.
func (s *Service) ClubUsage(ctx context.Context, _ struct{}) (Usage, error) {
	if s.Store == nil {
		return PlainUsage, nil
	}
	u, err := s.Store.Usage(ctx, 0)
	if errors.Is(err, store.ErrNotFound) {
		return PlainUsage, nil
	}
	return Usage(u), records.RecordError(err)
}

// OwnUsage returns how the viewer has units and words; without an account, as the club.
func (s *Service) OwnUsage(ctx context.Context, none struct{}) (OwnUsage, error) {
	if v := access.From(ctx); v.SignedIn() {
		u, err := s.Store.Usage(ctx, v.Account)
		if !errors.Is(err, store.ErrNotFound) {
			return OwnUsage{err == nil, Usage(u)}, records.RecordError(err)
		}
	}
	u, err := s.ClubUsage(ctx, none)
	return OwnUsage{Usage: u}, err
}

// SetClubUsage chooses for whoever chose nothing, or has no account.
func (s *Service) SetClubUsage(ctx context.Context, u Usage) (Usage, error) {
	var p wire.Problems
	p.Check(wire.At(), u)
	if err := p.OrNil(); err != nil {
		return Usage{}, err
	}
	stored := store.Usage(u)
	return u, records.RecordError(s.Store.SetUsage(ctx, 0, &stored))
}

// errNoUsage says that there is nobody whose choice could be kept.
var errNoUsage = &wire.Refusal{Status: http.StatusConflict, Text: "nobody has signed in: choose for the club"}

// SetOwnUsage keeps the viewer's choice, or takes it back.
func (s *Service) SetOwnUsage(ctx context.Context, u OwnUsage) (OwnUsage, error) {
	v := access.From(ctx)
	if !v.SignedIn() {
		return OwnUsage{}, errNoUsage
	}
	var p wire.Problems
	p.Check(wire.At(), u)
	if err := p.OrNil(); err != nil {
		return OwnUsage{}, err
	}
	chosen := new(store.Usage(u.Usage))
	if !u.Chosen {
		chosen = nil
	}
	if err := s.Store.SetUsage(ctx, v.Account, chosen); err != nil {
		return OwnUsage{}, records.RecordError(err)
	}
	return s.OwnUsage(ctx, struct{}{})
}

// Version reports when what is on record was changed: it is another one then.
func (s *Service) Version(ctx context.Context) (int64, error) {
	if s.Store == nil {
		return 0, nil
	}
	return s.Store.DataVersion(ctx)
}

// Typed lists names and notes as people wrote them, of those that hold a number or a word
// that pages say in the reader's way.
func (s *Service) Typed(ctx context.Context) ([]string, error) {
	if s.Store == nil {
		return nil, nil
	}
	texts, err := s.Store.Typed(ctx)
	return texts, records.RecordError(err)
}
