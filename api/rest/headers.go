package rest

import (
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/swaggest/openapi-go"
	"github.com/swaggest/openapi-go/openapi31"

	"thole/api/wire"
)

// toldHeaders are the headers of answers, by their name in the description.
var toldHeaders = map[string]string{
	headerETag:           "Strong entity tag: another one whenever anything in the answer is another. Of a record with a version it begins with that.",
	"Location":           "Address of what was created, or of the work that goes on.",
	"Retry-After":        "Seconds after which it makes sense to ask again.",
	headerReplayed:       "true, where the same request came before and nothing was done.",
	"Link":               "Address of the next page of the list, as rel=\"next\" (RFC 8288); none on the last one.",
	"WWW-Authenticate":   "Bearer: a token is taken.",
	"Preference-Applied": "respond-async, where that was asked for.",
}

// askedHeaders are the headers of requests, by their name in the description.
var askedHeaders = map[string]string{
	headerIfMatch:     "Entity tag as read without parameters: the write is refused with 412 where anything is another by now. Of what has a version, the version in the body is held to in any case.",
	headerIfNoneMatch: "Entity tags of what you have: answered 304 without a body where it is still that.",
	headerKey:         "A text of your own, new for each thing that is made: sent again within a day, the same request counts once and is answered with what it made. Another request with the same key is refused with 422.",
	"Prefer":          "respond-async: answered 202 at once, with the address of the work that goes on (RFC 7240).",
}

// describeHeaders lists the headers that operations refer to.
func (d *describer) describeHeaders() {
	components := d.reflector.Spec.ComponentsEns()
	for name, text := range toldHeaders {
		header := (&openapi31.Header{Schema: textSchema(200)}).WithDescription(text)
		if name == "Retry-After" {
			header.Schema = map[string]any{"type": "integer", "minimum": 1, "maximum": 3600}
		}
		components.WithHeadersItem(name, openapi31.HeaderOrReference{Header: header})
	}
	for name, text := range askedHeaders {
		parameter := (&openapi31.Parameter{Name: name, In: openapi31.ParameterInHeader, Schema: textSchema(1000)}).WithDescription(text)
		components.WithParametersItem(name, openapi31.ParameterOrReference{Parameter: parameter})
	}
	for name, response := range map[string]*openapi31.Response{
		"Unchanged":   saying("What If-None-Match names is still what is there.", headerETag),
		"SentBefore":  saying("The same request came before with this Idempotency-Key, and what it made cannot be read by itself: it counts once.", headerReplayed, "Location"),
		"SignIn":      problemSaying("The server has accounts, and nobody signed in.", "WWW-Authenticate"),
		"NotForYou":   problemSaying("The role of the account, or the scope of its token, does not allow this."),
		"NotOnRecord": problemSaying("Nothing is on record here, or not for an athlete who asks."),
	} {
		components.WithResponsesItem(name, openapi31.ResponseOrReference{Response: response})
	}
}

// saying is an answer with headers and without a body.
func saying(text string, headers ...string) *openapi31.Response {
	r := &openapi31.Response{Description: text}
	for _, name := range headers {
		r.WithHeadersItem(name, headerNamed(name))
	}
	return r
}

// problemSaying is an answer with a problem.
func problemSaying(text string, headers ...string) *openapi31.Response {
	return saying(text, headers...).WithContentItem(problemType, problemContent())
}

func textSchema(most int) map[string]any {
	return map[string]any{"type": "string", "maxLength": most}
}

func headerNamed(name string) openapi31.HeaderOrReference {
	return openapi31.HeaderOrReference{Reference: &openapi31.Reference{Ref: "#/components/headers/" + name}}
}

// takes says that the operation knows a header of requests.
func takes(op *openapi31.Operation, name string) {
	ref := openapi31.Reference{Ref: "#/components/parameters/" + name}
	op.Parameters = append(op.Parameters, openapi31.ParameterOrReference{Reference: &ref})
}

// tells says that answers of a status, 0 for all the others, have a header.
func tells(op *openapi31.Operation, status int, name string) {
	answers := op.Responses.MapOfResponseOrReferenceValues
	r := answers[strconv.Itoa(status)]
	if status == 0 {
		r = *op.Responses.Default
	}
	if r.Response != nil {
		r.Response.WithHeadersItem(name, headerNamed(name))
	}
}

// describeAsked lists the headers that requests of the operation may have.
func (d *describer) describeAsked(r *Route, op *openapi31.Operation) {
	if r.Method == http.MethodGet {
		takes(op, headerIfNoneMatch)
	}
	if r.Example != nil && !r.hasBody() {
		op.WithMapOfAnythingItem("x-example-query", r.Example)
	}
	if d.isHeld(r) {
		takes(op, headerIfMatch)
	}
	if r.keyed() {
		takes(op, headerKey)
	}
	if r.Big {
		takes(op, "Prefer")
	}
}

// isHeld reports whether a write is held to what was read at the same address.
func (d *describer) isHeld(r *Route) bool {
	return conditional(r.Method) && readerAt(d.routes, r.Path) != nil
}

// describeTold lists the headers of answers, and the answers that operations of one
// kind have in common.
func (d *describer) describeTold(r *Route, op *openapi31.Operation) {
	tells(op, 0, "Retry-After")
	if !r.Access.Public {
		answers(op, http.StatusUnauthorized, "SignIn")
		answers(op, http.StatusForbidden, "NotForYou")
	}
	if strings.Contains(r.Path, "/:") {
		answers(op, http.StatusNotFound, "NotOnRecord")
	}
	if r.Method == http.MethodGet {
		tells(op, http.StatusOK, headerETag)
		answers(op, http.StatusNotModified, "Unchanged")
		if r.paged {
			tells(op, http.StatusOK, "Link")
		}
	}
	if r.Created && d.isLookedAt(r) {
		tells(op, http.StatusCreated, "Location")
	}
	if r.keyed() {
		tells(op, r.status(), headerReplayed)
		answers(op, http.StatusNoContent, "SentBefore")
	}
	if r.Big {
		for _, name := range []string{"Location", "Retry-After", "Preference-Applied"} {
			tells(op, http.StatusAccepted, name)
		}
		if r.keyed() {
			tells(op, http.StatusAccepted, headerReplayed)
		}
	}
}

// answers says that the operation has one of the answers that several have.
func answers(op *openapi31.Operation, status int, name string) {
	ref := &openapi31.Reference{Ref: "#/components/responses/" + name}
	op.Responses.WithMapOfResponseOrReferenceValuesItem(strconv.Itoa(status), openapi31.ResponseOrReference{Reference: ref})
}

// describeMoved describes the refusal of what is not as its sender read it.
func (d *describer) describeMoved(r *Route) {
	if d.isHeld(r) {
		d.describeProblem("If-Match names what is not there any more.", openapi.WithHTTPStatus(http.StatusPreconditionFailed))
	}
}

// isLookedAt reports whether one of the routes looks at the one thing that r
// creates.
func (d *describer) isLookedAt(r *Route) bool {
	_, named := memberMap(withoutPointer(reflect.TypeOf(r.Out)))["id"]
	return named && slices.ContainsFunc(d.routes, r.looks)
}

// describeAccepted describes the answer to work that goes on.
func (d *describer) describeAccepted() {
	d.op.AddRespStructure(wire.Job{}, openapi.WithHTTPStatus(http.StatusAccepted), func(unit *openapi.ContentUnit) {
		unit.Description = "The work goes on as a job, since that was asked for with Prefer: respond-async or since it takes long; Location names it."
	})
}
