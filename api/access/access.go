// Package access holds who may use a route: the roles, the rules that stand
// beside the routes, and the person behind a request. It knows neither HTTP nor
// the records.
package access

import (
	"slices"
	"strings"
)

// Role is what somebody does in the club.
type Role string

// The roles. Trusted is whoever uses a server without accounts, which answers
// only to the machine it runs on.
const (
	Coach   Role = "coach"
	Boatman Role = "boatman"
	Athlete Role = "athlete"
	Trusted Role = "trusted"
)

// Roles are those that an account can have.
var Roles = []Role{Coach, Boatman, Athlete}

// Kind is what belongs to one athlete.
type Kind string

// The kinds.
const (
	Body      Kind = "athlete"   // the record of an athlete, with what was measured
	Recording Kind = "recording" // of an athlete's strokes
	Seat      Kind = "seat"      // of a boat, that the newest work sheet gives to the athlete
	Alone     Kind = "alone"     // a recording as Recording, kept from a file of which nobody else's are
)

// The kinds that belong to the account that sent or asked for them.
const (
	Upload Kind = "upload" // a file that waits to be used
	Job    Kind = "job"    // big work
)

// Owned names what a route is about: its kind and where its number stands.
type Owned struct {
	Kind  Kind
	Param string // of the path; that of the boat where the kind is Seat
	Query string // of the query instead, where every one given must be the athlete's
}

// Rule says who may use a route. Everybody may where it is Public; a coach may
// use every route. The zero Rule lets only coaches in and counts as not
// declared.
type Rule struct {
	Public   bool
	Boatmen  bool
	Athletes bool   // whatever it is about
	Own      *Owned // athletes, where it is their own
	Sent     *Owned // athletes, where their account sent it
	Selves   bool   // athletes with a record, from whom the use case takes only what is theirs
	Narrow   string // name of a query value that is set to the athlete's number
	Reads    bool   // changes nothing, whatever its method
	Shared   string // what a read-only link to it shows; "" is not to be shared

	declared bool
}

// The rules that routes start from.
var (
	Public   = Rule{Public: true, declared: true}
	Everyone = Rule{Boatmen: true, Athletes: true, declared: true}
	Staff    = Rule{Boatmen: true, declared: true}
	Coaches  = Rule{declared: true}
)

// OrOwn lets athletes in, too, where what the path's parameter names is theirs.
func (r Rule) OrOwn(kind Kind, param string) Rule {
	r.Own = &Owned{Kind: kind, Param: param}
	return r
}

// OrOwnIn is OrOwn with the number in the query, where it may be left out.
func (r Rule) OrOwnIn(kind Kind, query string) Rule {
	r.Own = &Owned{Kind: kind, Query: query}
	return r
}

// OrSent lets athletes in, too, where their account sent what the path's parameter
// names, or asked for it.
func (r Rule) OrSent(kind Kind, param string) Rule {
	r.Sent = &Owned{Kind: kind, Param: param}
	return r
}

// OrForThemselves lets athletes in, too, who have a record: the use case takes from
// them only what is theirs.
func (r Rule) OrForThemselves() Rule {
	r.Selves = true
	return r
}

// Narrowed lets athletes in with the query value set to their own number, so
// that a list holds only what is theirs.
func (r Rule) Narrowed(query string) Rule {
	r.Narrow = query
	return r
}

// Calculating says that a route only computes, though it is asked by POST.
func (r Rule) Calculating() Rule {
	r.Reads = true
	return r
}

// SharedAs lets coaches and boatmen send a read-only link to the page.
func (r Rule) SharedAs(what string) Rule {
	r.Shared = what
	return r
}

// Declared reports whether somebody decided who may use the route.
func (r Rule) Declared() bool { return r.declared }

// Lets reports whether a role may use the route at all; an athlete may have to
// own what it is about.
func (r Rule) Lets(role Role) bool {
	switch role {
	case Coach, Trusted:
		return true
	case Boatman:
		return r.Public || r.Boatmen
	case Athlete:
		return r.Public || r.Athletes || r.own()
	}
	return r.Public
}

// own reports whether athletes are let in for what is theirs.
func (r Rule) own() bool { return r.Own != nil || r.Sent != nil || r.Selves || r.Narrow != "" }

// Roles are the roles of accounts that may use the route; an athlete may have to
// own what it is about.
func (r Rule) Roles() []Role {
	return slices.DeleteFunc(slices.Clone(Roles), func(role Role) bool { return !r.Lets(role) })
}

// String describes the rule in words, for the table of all routes.
func (r Rule) String() string {
	if r.Public {
		return "everybody"
	}
	who := []string{"coach"}
	if r.Boatmen {
		who = append(who, "boatman")
	}
	switch {
	case r.Athletes:
		who = append(who, "athlete")
	case r.own():
		who = append(who, "athlete (own)")
	}
	return strings.Join(who, ", ")
}

// Scope is what a token of a program may be used for.
type Scope string

// The scopes. Read is for looking at records and for calculating.
const (
	Read  Scope = "read"
	Write Scope = "write"
)

// Scopes are those that a token can have.
var Scopes = []Scope{Read, Write}

// Needs is the scope for a request of a method.
func (r Rule) Needs(method string) Scope {
	if r.Reads || slices.Contains([]string{"GET", "HEAD", "OPTIONS"}, method) {
		return Read
	}
	return Write
}
