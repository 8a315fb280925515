package people

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"thole/api/access"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// How long links are good, by our own judgement.
const (
	firstLife     = 24 * time.Hour      // that which makes the first coach
	inviteLife    = 14 * 24 * time.Hour // an invitation
	passwordLife  = 24 * time.Hour      // to set a password
	measuringLife = 14 * 24 * time.Hour
)

// PageLives lists how long a link to one page can be good, days; our judgement.
var PageLives = []int{1, 7, 30, 90}

// Kinds of links.
const (
	invitation = "invitation"
	password   = "password"
	pageLink   = "page"
	measuring  = "measuring"
)

// Made is a link that was made, with the secret that is not kept.
type Made struct {
	Name      string
	Secret    string
	ExpiresAt time.Time
}

// Link is a link on record.
type Link struct {
	ID        int64
	Kind      string // invitation, password, page or measuring
	Name      string
	Role      access.Role // of the account that an invitation makes
	AthleteID int64       // 0 is none
	BoatID    int64
	Seat      int
	Address   string // of the page that it shows
	CreatedBy string
	CreatedAt time.Time
	ExpiresAt time.Time
	UsedAt    time.Time // zero before the first time
	Expired   bool
}

func (s *Service) wireLink(l store.Link) Link {
	return Link{
		l.ID, l.Kind, l.Name, access.Role(l.Role), wire.Or(l.AthleteID, 0), wire.Or(l.BoatID, 0), l.Seat, l.Address,
		l.CreatedBy, l.CreatedAt, l.ExpiresAt, l.UsedAt, !s.Latest().Before(l.ExpiresAt),
	}
}

// make puts links on record that are good for a time.
func (s *Service) make(ctx context.Context, life time.Duration, links ...store.Link) ([]Made, error) {
	until := s.Now().Add(life)
	made, secrets := make([]Made, len(links)), make([]string, len(links))
	for i := range links {
		links[i].ExpiresAt = until
		if links[i].CreatedBy == "" {
			links[i].CreatedBy = access.From(ctx).Name
		}
		secrets[i] = newSecret()
		made[i] = Made{links[i].Name, secrets[i], until}
	}
	_, err := s.Store.AddLinks(ctx, links, secrets)
	return made, records.RecordError(err)
}

// linkErrors are how links that are good no more are told.
var linkErrors = map[error]*wire.Refusal{
	store.ErrExpired: {Status: http.StatusGone, Text: "this link has expired: ask for a new one"},
	store.ErrUsed:    {Status: http.StatusGone, Text: "this link was used already; it works once"},
}

func linkError(err error) error {
	for known, said := range linkErrors {
		if errors.Is(err, known) {
			return said
		}
	}
	return records.RecordError(err)
}

// firstStart stands for who made the link that makes the first coach.
const firstStart = "first start"

// FirstLink returns a link that makes the first coach, and false where there are
// accounts already. Links of earlier starts end.
func (s *Service) FirstLink(ctx context.Context) (Made, bool, error) {
	accounts, err := s.Store.Accounts(ctx)
	if err != nil || len(accounts) > 0 {
		return Made{}, false, records.RecordError(err)
	}
	links, err := s.Store.Links(ctx)
	if err != nil {
		return Made{}, false, records.RecordError(err)
	}
	for _, l := range links {
		if l.CreatedBy == firstStart {
			if err := s.Store.DeleteLink(ctx, l.ID); err != nil {
				return Made{}, false, records.RecordError(err)
			}
		}
	}
	made, err := s.make(ctx, firstLife, store.Link{Kind: invitation, Role: string(access.Coach), CreatedBy: firstStart})
	if err != nil {
		return Made{}, false, err
	}
	return made[0], true, nil
}

// Invitation is whom to invite: an athlete on record, or somebody of a name.
type Invitation struct {
	Role      access.Role
	Name      string
	AthleteID int64 // of an athlete
}

// Invite makes a link for each, with which they make their account.
func (s *Service) Invite(ctx context.Context, list []Invitation) ([]Made, error) {
	links := make([]store.Link, len(list))
	for i, invited := range list {
		l := store.Link{Kind: invitation, Role: string(invited.Role), Name: strings.TrimSpace(invited.Name)}
		switch invited.Role {
		case access.Athlete:
			a, err := s.Store.Athlete(ctx, invited.AthleteID)
			if err != nil {
				return nil, records.RecordError(err)
			}
			l.Name, l.AthleteID = a.Name, &a.ID
		case access.Coach, access.Boatman:
			if l.Name == "" {
				return nil, wire.At("name").Invalid("Say whom you invite.")
			}
		default:
			return nil, wire.At("role").Invalid("Choose a role.")
		}
		links[i] = l
	}
	if len(links) == 0 {
		return nil, wire.At("athlete").Invalid("Choose whom to invite.")
	}
	return s.make(ctx, inviteLife, links...)
}

// ResetLink makes a link with which the holder of an account sets a password.
func (s *Service) ResetLink(ctx context.Context, account int64) (Made, error) {
	a, err := s.Store.Account(ctx, account)
	if err != nil {
		return Made{}, records.RecordError(err)
	}
	made, err := s.make(ctx, passwordLife, store.Link{Kind: password, Name: a.Name, AccountID: &a.ID})
	if err != nil {
		return Made{}, err
	}
	return made[0], nil
}

// Joining looks at a link that makes an account or sets a password.
func (s *Service) Joining(ctx context.Context, secret string) (Link, error) {
	l, err := s.Store.Link(ctx, invitation, secret, s.Now())
	if errors.Is(err, store.ErrNotFound) {
		l, err = s.Store.Link(ctx, password, secret, s.Now())
	}
	return s.wireLink(l), linkError(err)
}

// Join makes the account of an invitation, or sets the password that a link is
// for, and returns the account. The link is used then.
func (s *Service) Join(ctx context.Context, secret, name, chosen string) (Account, error) {
	l, err := s.Joining(ctx, secret)
	if err != nil {
		return Account{}, err
	}
	if l.Kind == password {
		name = l.Name
	}
	var p wire.Problems
	p.Name(wire.At("name"), name, "Choose a name to sign in with.")
	if err := p.OrNil(); err != nil {
		return Account{}, err
	}
	hash, err := s.hash(ctx, name, chosen)
	if err != nil {
		return Account{}, err
	}
	id, err := s.join(ctx, l.Kind, secret, strings.TrimSpace(name), hash)
	if err != nil {
		return Account{}, err
	}
	return s.Account(ctx, id)
}

func (s *Service) join(ctx context.Context, kind, secret, name, hash string) (id int64, err error) {
	if kind == password {
		id, err = s.Store.Reset(ctx, secret, s.Now(), hash)
	} else {
		id, err = s.Store.Accept(ctx, secret, s.Now(), name, hash)
	}
	if errors.Is(err, store.ErrTaken) {
		return 0, wire.At("name").Invalid("This name is taken; or you have an account already.")
	}
	return id, linkError(err)
}

// Links lists the links that are good or were, newest first.
func (s *Service) Links(ctx context.Context) ([]Link, error) {
	found, err := s.Store.Links(ctx)
	list := make([]Link, len(found))
	for i := range found {
		list[i] = s.wireLink(found[i])
	}
	return list, records.RecordError(err)
}

// Revoke ends a link.
func (s *Service) Revoke(ctx context.Context, id int64) error {
	return records.RecordError(s.Store.DeleteLink(ctx, id))
}

// Share makes a read-only link to one page of this server.
func (s *Service) Share(ctx context.Context, name, address string, days int) (Made, error) {
	if _, err := Local(address); err != nil {
		return Made{}, err
	}
	life := time.Duration(days) * 24 * time.Hour
	made, err := s.make(ctx, life, store.Link{Kind: pageLink, Name: name, Address: address})
	if err != nil {
		return Made{}, err
	}
	return made[0], nil
}

// Local reads the address of a page of this server: a path with its query.
func Local(address string) (*url.URL, error) {
	u, err := url.Parse(address)
	if err != nil || u.IsAbs() || u.Host != "" || u.User != nil || !strings.HasPrefix(u.Path, "/") ||
		strings.HasPrefix(u.Path, "//") || strings.ContainsAny(address, "\\\r\n") {
		return nil, wire.At("address").Invalid("This is no page of this server.")
	}
	return u, nil
}

// SharedPage returns what a read-only link shows.
func (s *Service) SharedPage(ctx context.Context, secret string) (Link, error) {
	return s.used(ctx, pageLink, secret)
}

// used looks up a link and keeps the hour of its last use.
func (s *Service) used(ctx context.Context, kind, secret string) (Link, error) {
	l, err := s.Store.Link(ctx, kind, secret, s.Now())
	if err == nil && kind == pageLink && s.Now().Sub(l.UsedAt) > time.Hour {
		l, err = s.Store.UseLink(ctx, kind, secret, s.Now())
	}
	return s.wireLink(l), linkError(err)
}

// MeasuringLink makes a link with which an athlete's measures come in, and those
// of a seat of a boat where one is named.
func (s *Service) MeasuringLink(ctx context.Context, athlete, boat int64, seat int) (Made, error) {
	a, err := s.Store.Athlete(ctx, athlete)
	if err != nil {
		return Made{}, records.RecordError(err)
	}
	l := store.Link{Kind: measuring, Name: a.Name, AthleteID: &a.ID}
	if boat != 0 {
		b, err := s.Store.Boat(ctx, boat)
		if err != nil {
			return Made{}, records.RecordError(err)
		}
		if seat < 1 || seat > len(b.Seats) {
			return Made{}, wire.At("seat").Invalid(b.Name + " has " + strconv.Itoa(len(b.Seats)) + " seats.")
		}
		l.BoatID, l.Seat = &b.ID, seat
	}
	made, err := s.make(ctx, measuringLife, l)
	if err != nil {
		return Made{}, err
	}
	return made[0], nil
}

// Measuring looks at a measuring link.
func (s *Service) Measuring(ctx context.Context, secret string) (Link, error) {
	return s.used(ctx, measuring, secret)
}

// Measured says that measures came in by a link.
func (s *Service) Measured(ctx context.Context, secret string) error {
	_, err := s.Store.UseLink(ctx, measuring, secret, s.Now())
	return linkError(err)
}

// SharedContext is that of a page which a read-only link shows: athletes under 18
// are without their names in it.
func SharedContext(ctx context.Context) context.Context {
	return access.With(store.WithoutMinors(ctx), &access.Viewer{Shared: true})
}

// MeasuringContext signs what comes in by a measuring link with the athlete's
// name.
func MeasuringContext(ctx context.Context, l *Link) context.Context {
	return store.SignedBy(ctx, store.ByLink(l.Name))
}

// NewTask asks the boatman to do something.
type NewTask struct {
	What    string `json:"what" validate:"filled,max=120" say:"Say what is to be done." description:"In a few words."`
	Address string `json:"address" validate:"filled,max=2000" say:"Name the page that shows it." description:"Path and query of the page that shows it."`
	Note    string `json:"note" validate:"max=500"`
	By      string `json:"by" validate:"max=80" description:"Who asks; with accounts it is the account."`
}

// Task is what the boatman was asked to do.
type Task struct {
	ID      int64      `json:"id"`
	What    string     `json:"what"`
	Address string     `json:"address"`
	Note    string     `json:"note"`
	SentBy  string     `json:"sent_by"`
	SentAt  time.Time  `json:"sent_at"`
	DoneBy  string     `json:"done_by"`
	DoneAt  *time.Time `json:"done_at,omitempty" description:"Left out while it is to be done."`
}

// TaskList is what is to be done, the oldest first, and what was done last.
type TaskList struct {
	Open []Task `json:"open"`
	Done []Task `json:"done" description:"The last ten."`
}

func wireTasks(found []store.Task) []Task {
	list := make([]Task, len(found))
	for i, k := range found {
		list[i] = Task{k.ID, k.What, k.Address, k.Note, k.SentBy, k.SentAt, k.DoneBy, nil}
		if !k.DoneAt.IsZero() {
			list[i].DoneAt = &k.DoneAt
		}
	}
	return list
}

// Tasks lists what the boatman was asked to do.
func (s *Service) Tasks(ctx context.Context, _ struct{}) (TaskList, error) {
	open, done, err := s.Store.Tasks(store.Paged(ctx))
	return TaskList{wireTasks(open), wireTasks(done)}, records.RecordError(err)
}

// AddTask asks the boatman to do something. The page of an open task is not put
// there twice.
func (s *Service) AddTask(ctx context.Context, r NewTask) (Task, error) {
	var p wire.Problems
	p.Check(wire.At(), r)
	if err := p.OrNil(); err != nil {
		return Task{}, err
	}
	if _, err := Local(r.Address); err != nil {
		return Task{}, err
	}
	id, err := s.Store.AddTask(ctx, store.Task{What: strings.TrimSpace(r.What), Address: r.Address, Note: strings.TrimSpace(r.Note)}, s.Signed(r.By))
	if err != nil {
		return Task{}, records.RecordError(err)
	}
	list, err := s.Tasks(ctx, struct{}{})
	for _, task := range list.Open {
		if task.ID == id {
			return task, err
		}
	}
	return Task{}, cmp.Or(err, error(wire.ErrNotFound)) // somebody has done it in the meantime
}

// FinishTask closes a task.
func (s *Service) FinishTask(ctx context.Context, r records.IDRequest) (TaskList, error) {
	if err := s.Store.FinishTask(ctx, r.ID, s.Signed("")); err != nil {
		return TaskList{}, records.RecordError(err)
	}
	return s.Tasks(ctx, struct{}{})
}
