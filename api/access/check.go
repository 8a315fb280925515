package access

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
)

// What a request may be refused for.
var (
	// ErrSignIn: nobody has signed in, and the route is not for everybody.
	ErrSignIn = errors.New("sign in first")
	// ErrRole: the route is not for this role.
	ErrRole = errors.New("your account may not do this")
	// ErrNotOwn: it belongs to somebody else, which is answered like what does
	// not exist.
	ErrNotOwn = errors.New("not on record")
	// ErrOthersToo: it is one's own, but came with what is others', so that a coach
	// is to change it.
	ErrOthersToo = errors.New("the file it came from holds others, too: only a coach changes it")
	// ErrScope: the token was made for less.
	ErrScope = errors.New("the token does not have the scope for this")
)

// Owners says which athlete something belongs to; 0 is nobody. A seat is asked
// for with the number of its boat and its own.
type Owners interface {
	// Owner may return the athlete with ErrOthersToo.
	Owner(ctx context.Context, kind Kind, id int64, seat int) (int64, error)
	// Sender says which account sent or asked for something; 0 is nobody.
	Sender(kind Kind, id string) int64
}

// Request is a request as rules see it.
type Request struct {
	Method string
	Param  func(name string) string // of the path
	Query  url.Values               // may be changed, see Narrowed
}

// Check reports whether the viewer of the context may use a route with the rule;
// nil is yes. For a list that is narrowed it sets the value in r.Query.
func (r Rule) Check(ctx context.Context, ask Request, owners Owners) error {
	v := From(ctx)
	switch {
	case r.Public || v.Role == Trusted || v.Shared && r.Shared != "":
		return nil
	case !v.SignedIn():
		return ErrSignIn
	case v.Scopes != nil && !slices.Contains(v.Scopes, r.Needs(ask.Method)):
		return ErrScope
	case !r.Lets(v.Role):
		return ErrRole
	case v.Role != Athlete || r.Athletes:
		return nil
	case v.Athlete == 0:
		return ErrRole
	}
	return r.checkOwn(ctx, v, &ask, owners)
}

// checkOwn holds an athlete to what is theirs.
func (r Rule) checkOwn(ctx context.Context, v *Viewer, ask *Request, owners Owners) error {
	switch {
	case r.Narrow != "":
		ask.Query.Set(r.Narrow, strconv.FormatInt(v.Athlete, 10))
		return nil
	case r.Selves:
		return nil
	case r.Sent != nil:
		if !v.Sent(owners.Sender(r.Sent.Kind, ask.Param(r.Sent.Param))) {
			return ErrNotOwn
		}
		return nil
	}
	texts := ask.Query[r.Own.Query]
	if r.Own.Param != "" {
		texts = []string{ask.Param(r.Own.Param)}
	}
	for _, text := range texts {
		if err := r.Own.check(ctx, v, text, ask, owners); err != nil {
			return err
		}
	}
	return nil
}

// check compares the owner of what one number names with the viewer.
func (o *Owned) check(ctx context.Context, v *Viewer, text string, ask *Request, owners Owners) error {
	id, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return ErrNotOwn
	}
	owner, seat := id, 0
	if o.Kind == Seat {
		if seat, err = strconv.Atoi(ask.Param("seat")); err != nil {
			return ErrNotOwn
		}
	}
	if o.Kind != Body {
		if owner, err = owners.Owner(ctx, o.Kind, id, seat); err != nil && !errors.Is(err, ErrOthersToo) {
			return fmt.Errorf("asking whose %s %d is: %w", o.Kind, id, err)
		}
	}
	if owner == 0 || owner != v.Athlete {
		return ErrNotOwn
	}
	return err
}
