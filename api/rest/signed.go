package rest

import (
	"context"
	"reflect"
	"slices"

	"github.com/swaggest/openapi-go"

	"thole/api/access"
	"thole/api/wire"
)

// signers are the members of requests that say who did something.
var signers = []string{"by", "measured_by"}

// sign puts the name of the account in place of the one that a request says: who
// did something is known where there are accounts. It may be left out then.
func sign(ctx context.Context, request any) {
	v, r := access.From(ctx), reflect.ValueOf(request).Elem()
	if !v.SignedIn() || r.Kind() != reflect.Struct {
		return
	}
	for _, f := range reflect.VisibleFields(r.Type()) {
		if f.Type.Kind() == reflect.String && f.IsExported() && slices.Contains(signers, wire.NameOf(f)) {
			r.FieldByIndex(f.Index).SetString(v.Name)
		}
	}
}

// Names of the ways to say who asks.
const (
	byToken   = "token"
	bySession = "session"
)

// describeSigning lists the ways to say who asks.
func (d *describer) describeSigning() {
	d.reflector.Spec.SetHTTPBearerTokenSecurity(byToken, "",
		"A token that somebody made on the page of their account. It may do what they may, within its scopes. A server without accounts answers only to its own machine, and needs none.")
	d.reflector.Spec.SetAPIKeySecurity(bySession, "thole", openapi.InCookie, "The session of a browser that signed in; by TLS the cookie is named __Host-thole.")
}

// describeAccess reports who may use an operation.
func (d *describer) describeAccess(r *Route) {
	if r.Access.Public {
		return
	}
	scope := string(r.Access.Needs(r.Method))
	d.op.AddSecurity(byToken)
	d.op.AddSecurity(bySession)
	op := d.operation()
	op.WithMapOfAnythingItem("x-roles", r.Access.Roles())
	op.WithMapOfAnythingItem("x-scope", scope)
	if r.Access.Lets(access.Athlete) && !r.Access.Athletes {
		op.WithMapOfAnythingItem("x-athletes-own", true)
	}
}
