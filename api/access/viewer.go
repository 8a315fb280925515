package access

import (
	"context"
	"time"
)

// Viewer is the person behind a request.
type Viewer struct {
	Role    Role // "" is nobody who signed in
	Account int64
	Name    string
	Athlete int64     // the athlete that the account belongs to; 0 is none
	Scopes  []Scope   // of the token that a program uses; nil is a person with all of them
	Until   time.Time // when that token ends; zero for a person
	Session string    // key of the session in the list of sessions; "" with a token
	Shared  bool      // reads one page by a link, without an account
}

// SignedIn reports whether there is an account behind the request.
func (v *Viewer) SignedIn() bool { return v.Account != 0 }

// Owns reports whether the viewer may see what belongs to an athlete: those who
// train athletes may see everybody's.
func (v *Viewer) Owns(athlete int64) bool {
	return v.Role != Athlete || v.Athlete != 0 && v.Athlete == athlete
}

// Sent reports whether the viewer may use what an account sent or asked for: those who
// train athletes may use everybody's.
func (v *Viewer) Sent(account int64) bool {
	return v.Role == Coach || v.Role == Trusted || v.Account != 0 && v.Account == account
}

type viewerKey struct{}

// With returns a context that carries the viewer.
func With(ctx context.Context, v *Viewer) context.Context {
	return context.WithValue(ctx, viewerKey{}, v)
}

// trusted stands behind requests that passed no gate.
var trusted = &Viewer{Role: Trusted}

// From returns the viewer of a context. Without one there are no accounts, and
// whoever asks may do everything.
func From(ctx context.Context) *Viewer {
	if v, ok := ctx.Value(viewerKey{}).(*Viewer); ok {
		return v
	}
	return trusted
}
