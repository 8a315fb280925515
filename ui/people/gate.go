package people

import (
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"net/http"
	"net/netip"

	"strings"
	"time"

	"github.com/alexedwards/scs/v2"

	"thole/api/access"
	"thole/api/people"
	"thole/ui/page"
)

// How long somebody stays signed in, by our own judgement: a day's work, or the
// time that was asked for on a phone of one's own; and how long an unused phone
// stays so.
const (
	shortLife = 12 * time.Hour
	longLife  = 30 * 24 * time.Hour
	idleLife  = 14 * 24 * time.Hour
	seenEvery = time.Hour // the last use is kept to this, so that reading does not write
)

// What a session holds.
const (
	accountKey = "account"
	idKey      = "id"
	deviceKey  = "device"
	sinceKey   = "since"
	numberKey  = "password" // its number, not the password
	seenKey    = "seen"
)

// Gate finds out who asks: by the cookie of a session, or by the token of a
// program.
type Gate struct {
	people   *people.Service
	sessions *scs.SessionManager
	store    *people.Sessions
	log      *slog.Logger
	secure   bool
	now      func() time.Time
	latest   func() time.Time // also where the clock went back
}

// NewGate returns a gate. Secure says that people come by TLS alone: cookies are
// then sent over nothing else. It is to be closed before the records.
func NewGate(service *people.Service, secure bool, log *slog.Logger) *Gate {
	g := &Gate{people: service, sessions: scs.New(), store: service.Sessions(), log: log, secure: secure, now: service.Now, latest: service.Latest}
	g.sessions.Store = g.store
	g.sessions.Lifetime = longLife
	g.sessions.HashTokenInStore = true
	g.sessions.ErrorFunc = func(w http.ResponseWriter, _ *http.Request, err error) {
		log.Error("the sessions do not answer", "err", err)
		http.Error(w, "The records do not answer. Try again in a moment.", http.StatusServiceUnavailable)
	}
	g.sessions.Cookie = scs.SessionCookie{Name: g.cookieName("thole"), HttpOnly: true, Path: "/", SameSite: http.SameSiteLaxMode, Secure: secure}
	return g
}

// cookieName has a beginning that browsers hold to TLS, the whole path and no
// other host, where there is TLS.
func (g *Gate) cookieName(name string) string {
	if g.secure {
		return "__Host-" + name
	}
	return name
}

// Close ends the sweeping of old sessions.
func (g *Gate) Close() { g.store.Close() }

// Around lets next know who asks.
func (g *Gate) Around(next http.Handler) http.Handler {
	byCookie := g.sessions.LoadAndSave(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v, err := g.bySession(r)
		g.pass(w, r, v, err, next)
	}))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		secret, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
		switch {
		case strings.HasPrefix(r.URL.Path, "/assets/"):
			next.ServeHTTP(w, r)
		case ok:
			v, err := g.people.TokenViewer(r.Context(), strings.TrimSpace(secret))
			g.pass(w, r, v, err, next)
		default:
			byCookie.ServeHTTP(w, r)
		}
	})
}

// pass hands the request on with who asks.
func (g *Gate) pass(w http.ResponseWriter, r *http.Request, v *access.Viewer, err error, next http.Handler) {
	if err != nil {
		g.sessions.ErrorFunc(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	next.ServeHTTP(w, r.WithContext(people.As(r.Context(), v)))
}

// bySession returns who has signed in, or nobody.
func (g *Gate) bySession(r *http.Request) (*access.Viewer, error) {
	ctx := r.Context()
	account := g.sessions.GetInt64(ctx, accountKey)
	if account == 0 {
		return new(access.Viewer), nil
	}
	seen, now := time.Unix(g.sessions.GetInt64(ctx, seenKey), 0), g.now()
	if g.latest().Sub(seen) > idleLife {
		return new(access.Viewer), g.sessions.Destroy(ctx)
	}
	in := people.SignedIn{Account: account, Password: g.sessions.GetInt64(ctx, numberKey), Since: time.UnixMilli(g.sessions.GetInt64(ctx, sinceKey))}
	v, err := g.people.Viewer(ctx, in)
	switch {
	case err != nil:
		return nil, err
	case !v.SignedIn():
		return v, g.sessions.Destroy(ctx)
	case now.Sub(seen) > seenEvery, seen.Sub(now) > seenEvery: // or the clock went back
		g.sessions.Put(ctx, seenKey, now.Unix())
		if last := now.Add(longLife); g.sessions.Deadline(ctx).After(last) {
			g.sessions.SetDeadline(ctx, last.UTC())
		}
	}
	v.Session = g.sessions.GetString(ctx, idKey)
	return v, nil
}

// begin signs an account in. The token of the session is a new one, so that
// nobody can have known it before.
func (g *Gate) begin(w http.ResponseWriter, r *http.Request, account int64, long bool) error {
	ctx, now := r.Context(), g.now()
	if err := g.sessions.Clear(ctx); err != nil {
		return err
	}
	if err := g.sessions.RenewToken(ctx); err != nil {
		return err
	}
	life := shortLife
	if long {
		life = longLife
	}
	g.sessions.RememberMe(ctx, long)
	g.sessions.SetDeadline(ctx, now.Add(life).UTC())
	number, err := g.people.PasswordNumber(ctx, account)
	if err != nil {
		return err
	}
	g.sessions.Put(ctx, accountKey, account)
	g.sessions.Put(ctx, numberKey, number)
	g.sessions.Put(ctx, idKey, rand.Text())
	g.sessions.Put(ctx, deviceKey, device(r.UserAgent()))
	g.sessions.Put(ctx, sinceKey, now.UnixMilli())
	g.sessions.Put(ctx, seenKey, now.Unix())
	mark, err := g.people.Mark(ctx, account)
	if err != nil {
		return err
	}
	http.SetCookie(w, &http.Cookie{
		Name: g.cookieName("thole_browser"), Value: mark, Path: "/", MaxAge: 365 * 24 * 3600, HttpOnly: true, Secure: g.secure, SameSite: http.SameSiteLaxMode,
	})
	return nil
}

// browser returns the mark of the browser; "" for none.
func (g *Gate) browser(r *http.Request) string {
	c, err := r.Cookie(g.cookieName("thole_browser"))
	if err != nil {
		return ""
	}
	return c.Value
}

// session is one place where an account is signed in.
type session struct {
	ID, Device  string
	Since, Seen time.Time
	Present     bool

	token string // by which the store knows it
	in    people.SignedIn
}

// all lists the sessions that have not ended.
func (g *Gate) all(ctx context.Context) ([]session, error) {
	stored, err := g.store.AllCtx(ctx)
	if err != nil {
		return nil, err
	}
	present := access.From(ctx).Session
	var list []session
	for token, data := range stored {
		_, values, err := g.sessions.Codec.Decode(data)
		if err != nil {
			continue // of a program that wrote them in another way: it counts for nobody
		}
		s := session{token: token}
		s.in.Account, _ = values[accountKey].(int64)
		s.in.Password, _ = values[numberKey].(int64)
		s.ID, _ = values[idKey].(string)
		s.Device, _ = values[deviceKey].(string)
		since, _ := values[sinceKey].(int64)
		seen, _ := values[seenKey].(int64)
		s.Since, s.Seen, s.Present = time.UnixMilli(since).In(g.now().Location()), time.Unix(seen, 0).In(g.now().Location()), s.ID != "" && s.ID == present
		s.in.Since = s.Since
		list = append(list, s)
	}
	return list, nil
}

// Sweep ends the sessions of accounts that are no more, and of phones that were not
// used for long, now and from time to time, until ctx ends: they would be refused
// anyhow, but are about a person, and the clock may go back.
func (g *Gate) Sweep(ctx context.Context) {
	for {
		if err := errors.Join(g.sweep(ctx), g.people.Store.KeepTime(ctx)); err != nil && ctx.Err() == nil {
			g.log.Error("sessions that have ended cannot be removed", "err", err)
		}
		select {
		case <-time.After(sweepEvery):
		case <-ctx.Done():
			return
		}
	}
}

// sweepEvery is how often sessions are compared with the accounts; our judgement.
const sweepEvery = 10 * time.Minute

func (g *Gate) sweep(ctx context.Context) error {
	list, err := g.all(ctx)
	if err != nil {
		return err
	}
	for i := range list {
		v, err := g.people.Viewer(ctx, list[i].in)
		if err == nil && (!v.SignedIn() || g.latest().Sub(list[i].Seen) > idleLife) {
			err = g.store.DeleteCtx(ctx, list[i].token)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// endAll ends the sessions that are to end.
func (g *Gate) endAll(r *http.Request, ends func(*session) bool) error {
	list, err := g.all(r.Context())
	if err != nil {
		return err
	}
	for i := range list {
		if ends(&list[i]) {
			if err := g.store.DeleteCtx(r.Context(), list[i].token); err != nil {
				return err
			}
		}
	}
	return nil
}

// device tells a browser and its machine in few words.
func device(agent string) string {
	find := func(otherwise string, names ...[2]string) string {
		for _, name := range names {
			if strings.Contains(agent, name[0]) {
				return name[1]
			}
		}
		return otherwise
	}
	browser := find("Browser", [2]string{"Firefox/", "Firefox"}, [2]string{"Edg/", "Edge"}, [2]string{"Chrome/", "Chrome"}, [2]string{"Safari/", "Safari"})
	machine := find("", [2]string{"iPhone", "iPhone"}, [2]string{"iPad", "iPad"}, [2]string{"Android", "Android"}, [2]string{"Windows", "Windows"},
		[2]string{"Macintosh", "Mac"}, [2]string{"Linux", "Linux"})
	if machine == "" {
		return browser
	}
	return browser + ", " + machine
}

// from returns where a request comes from.
func from(r *http.Request) netip.Addr { return page.ReachOf(r.Context()).Client }
