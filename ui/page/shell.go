package page

import (
	"context"
	"fmt"
	"html/template"
	"net/http"
	"net/netip"
	"strings"

	"thole/api/access"
)

// Reach is how a request came to the server.
type Reach struct {
	Client    netip.Addr // of who asks, as the trusted proxy tells it where there is one
	Encrypted bool
	Base      string // what addresses begin with that a phone can open, such as https://thole.example.org; "" where there are none
}

type reachKey struct{}

// WithReach returns a context that carries how the request came.
func WithReach(ctx context.Context, r Reach) context.Context {
	return context.WithValue(ctx, reachKey{}, r)
}

// ReachOf reports how a request came.
func ReachOf(ctx context.Context) Reach {
	r, _ := ctx.Value(reachKey{}).(Reach)
	return r
}

// shell is what the frame of a page shows around it.
type shell struct {
	Page   any // for the page's own templates
	Viewer *access.Viewer
	Places []Place
	Plain  bool // the connection is not encrypted
	Carry  *Carry
	Tools  []Link // what else can be done with the page
}

// Carry is how a page gets to somebody else's screen.
type Carry struct {
	What    string // such as work sheet
	Title   string
	Path    string // with the query
	Address string // for a phone
	Code    template.HTML
	Share   bool // the viewer may send a read-only link
	Send    bool // the viewer may ask the boatman for it
	Days    []int
}

// Extras are what the frame shows that other areas know. The zero value shows
// nothing.
type Extras struct {
	// Carry tells how a page gets to somebody else's screen; nil is not at all.
	Carry func(r *http.Request, rule access.Rule, title string) *Carry
	// Tools are links for the page that has a pattern.
	Tools func(r *http.Request) []Link
	// Todo is what waits for the viewer on the start page.
	Todo func(ctx context.Context) ([]Todo, error)
	// Start is what the start page shows a new club.
	Start func(ctx context.Context) (Start, error)
}

// Start is what the start page shows of the club's own.
type Start struct {
	Todo     []Todo
	Steps    []Step // none once they are done
	Empty    bool   // nothing is on record: examples are offered
	Examples string // how many there are, in words; "" for none
}

// Step is one of the first steps of a new club.
type Step struct {
	Title, Text, Address string
	Done                 bool
}

// Todo is one line of what waits.
type Todo struct{ Text, Address, Note string }

// viewing is an answer that knows its request, so that the frame can show who
// asks.
type viewing struct {
	http.ResponseWriter
	request *http.Request
	rule    access.Rule
}

// Unwrap lets http.ResponseController reach the writer below.
func (v *viewing) Unwrap() http.ResponseWriter { return v.ResponseWriter }

// inFrame is what the frame shows around a page: for nobody known where the
// answer carries no request.
func (p *pages) inFrame(w http.ResponseWriter, page, title string, data any) shell {
	s := shell{Page: data, Viewer: access.From(context.Background()), Places: placesFor(page)}
	v, ok := w.(*viewing)
	if !ok {
		return s
	}
	ctx := v.request.Context()
	s.Viewer = access.From(ctx)
	if s.Viewer.Role == access.Trusted {
		return s
	}
	s.Places = append(ownPlaces(page, s.Viewer), p.open(s.Places, s.Viewer)...)
	s.Plain = !ReachOf(ctx).Encrypted
	if s.Viewer.Shared {
		s.Places = nil
		return s
	}
	if p.extras.Carry != nil && v.request.Method == http.MethodGet && page != "message" {
		s.Carry = p.extras.Carry(v.request, v.rule, title)
	}
	if p.extras.Tools != nil {
		s.Tools = p.extras.Tools(v.request)
	}
	return s
}

// ownPlaces is the place of an athlete's own page.
func ownPlaces(page string, v *access.Viewer) []Place {
	if v.Athlete == 0 {
		return nil
	}
	own := Link{Name: "My page", Address: fmt.Sprintf("/athletes/%d", v.Athlete), Present: page == "athlete"}
	return []Place{{Name: own.Name, Mark: "squad", Links: []Link{own}, Present: own.Present}}
}

// open leaves out of places what the viewer may not use.
func (p *pages) open(all []Place, v *access.Viewer) []Place {
	var left []Place
	for _, place := range all {
		var links []Link
		for _, l := range place.Links {
			if p.lets(l.Address, v) {
				links = append(links, l)
			}
		}
		if place.Links = links; len(links) > 0 {
			left = append(left, place)
		}
	}
	return left
}

// lets reports whether a viewer may open the page at an address.
func (p *pages) lets(address string, v *access.Viewer) bool {
	rule, known := p.rules["GET "+address]
	return v.Role == access.Trusted || known && v.SignedIn() && rule.Lets(v.Role)
}

// title renders the title of a page, without the name of the program.
func (p *pages) title(set *template.Template, data any) string {
	var text strings.Builder
	if set.Lookup("title") == nil || set.ExecuteTemplate(&text, "title", data) != nil {
		return "Thole"
	}
	return strings.TrimSuffix(strings.TrimSpace(text.String()), " · Thole")
}

// Complete gives the frame the rules of all pages, by pattern, and what it shows
// around them. It must come before the first page is shown.
func (s *Frame) Complete(rules map[string]access.Rule, extras Extras) {
	s.Pages.rules, s.Pages.extras, s.Pages.patterns = rules, extras, http.NewServeMux()
	for pattern, rule := range rules {
		s.Pages.patterns.Handle(pattern, ruled{http.NotFoundHandler(), rule})
	}
}

// viewerOf returns who gets an answer.
func viewerOf(w http.ResponseWriter) *access.Viewer {
	if v, ok := w.(*viewing); ok {
		return access.From(v.request.Context())
	}
	return access.From(context.Background())
}
