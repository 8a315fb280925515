package people

import (
	"context"
	"time"

	"thole/api/access"
	"thole/api/records"
	"thole/api/wire"
)

// DropAccount is [Service.RemoveAccount] for programs.
func (s *Service) DropAccount(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Removed{ID: r.ID}, s.RemoveAccount(ctx, r.ID)
}

// Invitee is whom to invite: an athlete on record, or somebody of a name.
type Invitee struct {
	Role      access.Role `json:"role" validate:"required,oneof=coach boatman athlete"`
	Name      string      `json:"name" validate:"max=80" description:"Of a coach or a boatman; an athlete has the name on record."`
	AthleteID *int64      `json:"athlete_id" validate:"omitempty,gte=1" description:"Of an athlete."`
}

// Invitations are whom to invite.
type Invitations struct {
	People []Invitee `json:"people" validate:"required,min=1,max=200"`
}

// Secret is a link as it was made.
type Secret struct {
	Name      string    `json:"name" description:"Of whom it is for, or of what it shows."`
	Secret    string    `json:"secret" description:"The end of its address; it is not kept."`
	ExpiresAt time.Time `json:"expires_at"`
}

// SecretList are links as they were made.
type SecretList struct {
	Links []Secret `json:"links" description:"In the order of the request."`
}

func secretOf(m Made) Secret { return Secret(m) }

// InviteAll is [Service.Invite] for programs.
func (s *Service) InviteAll(ctx context.Context, r Invitations) (SecretList, error) {
	var p wire.Problems
	p.Check(wire.At(), r)
	list := make([]Invitation, len(r.People))
	for i, one := range r.People {
		list[i] = Invitation{one.Role, one.Name, wire.Or(one.AthleteID, 0)}
		if one.Role == access.Athlete && one.AthleteID == nil {
			p.Add(wire.At("people").Item(i).Name("athlete_id").Problem("Say which athlete."))
		}
	}
	if err := p.OrNil(); err != nil {
		return SecretList{}, err
	}
	made, err := s.Invite(ctx, list)
	answer := SecretList{Links: []Secret{}}
	for _, m := range made {
		answer.Links = append(answer.Links, secretOf(m))
	}
	return answer, err
}

// LinkLine is a link on record.
type LinkLine struct {
	ID        int64      `json:"id"`
	Kind      string     `json:"kind" enum:"invitation,password,page,measuring"`
	Name      string     `json:"name"`
	Role      string     `json:"role" description:"Of the account that an invitation makes; empty for the others."`
	AthleteID *int64     `json:"athlete_id"`
	Address   string     `json:"address" description:"Of the page that it shows; empty for the others."`
	CreatedBy string     `json:"created_by"`
	CreatedAt time.Time  `json:"created_at"`
	ExpiresAt time.Time  `json:"expires_at"`
	UsedAt    *time.Time `json:"used_at" description:"The last time; null before the first."`
}

// LinkLines lists links, the newest first.
type LinkLines struct {
	Links []LinkLine `json:"links"`
}

// LinkList is [Service.Links] for programs.
func (s *Service) LinkList(ctx context.Context, _ struct{}) (LinkLines, error) {
	found, err := s.Links(ctx)
	answer := LinkLines{Links: make([]LinkLine, len(found))}
	for i := range found {
		l := &found[i]
		line := LinkLine{ID: l.ID, Kind: l.Kind, Name: l.Name, Role: string(l.Role), Address: l.Address, CreatedBy: l.CreatedBy, CreatedAt: l.CreatedAt, ExpiresAt: l.ExpiresAt}
		if l.AthleteID != 0 {
			line.AthleteID = &l.AthleteID
		}
		if !l.UsedAt.IsZero() {
			line.UsedAt = &l.UsedAt
		}
		answer.Links[i] = line
	}
	return answer, err
}

// Sharing asks for a read-only link.
type Sharing struct {
	Name    string `json:"name" validate:"filled,max=320" say:"Say what it shows." description:"Of what it shows, for the list of links."`
	Address string `json:"address" validate:"filled,max=2000" say:"Name the page." description:"Path and query of the page."`
	Days    int    `json:"days" validate:"gte=1,lte=90" default:"7" description:"How long it is good."`
}

// ShareLink is [Service.Share] for programs.
func (s *Service) ShareLink(ctx context.Context, r Sharing) (Secret, error) {
	var p wire.Problems
	p.Check(wire.At(), r)
	if err := p.OrNil(); err != nil {
		return Secret{}, err
	}
	made, err := s.Share(ctx, r.Name, r.Address, r.Days)
	return secretOf(made), err
}

// DropLink is [Service.Revoke] for programs.
func (s *Service) DropLink(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Removed{ID: r.ID}, s.Revoke(ctx, r.ID)
}

// MeasuringAsk asks for a measuring link.
type MeasuringAsk struct {
	AthleteID int64  `path:"id" json:"-" validate:"gte=1"`
	BoatID    *int64 `json:"boat_id" validate:"omitempty,gte=1" description:"Without it, the body alone."`
	Seat      int    `json:"seat" validate:"omitempty,gte=1,lte=8" default:"1" description:"Of the boat; 1 is bow."`
}

// NewMeasuringLink is [Service.MeasuringLink] for programs.
func (s *Service) NewMeasuringLink(ctx context.Context, r MeasuringAsk) (Secret, error) {
	var p wire.Problems
	p.Check(wire.At(), r)
	if err := p.OrNil(); err != nil {
		return Secret{}, err
	}
	made, err := s.MeasuringLink(ctx, r.AthleteID, wire.Or(r.BoatID, 0), max(1, r.Seat))
	return secretOf(made), err
}
