package rest

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/table"
)

// member is a part of what the described operations take and answer.
type member struct {
	Side string `json:"side" validate:"required,oneof=port starboard"`
	Note string `json:"note" validate:"max=40"`
}

// described is a request of each kind of member.
type described struct {
	Name    string            `json:"name" validate:"required,min=2,max=60"`
	Day     string            `json:"day" validate:"day"`
	SpanCm  *float64          `json:"span_cm" validate:"omitempty,min=70,max=180"`
	Spans   []float64         `json:"spans" validate:"max=9,dive,min=1,max=3"`
	Part    *member           `json:"part"`
	Parts   []member          `json:"parts" validate:"required,min=1,max=8,dive"`
	Named   map[string]member `json:"named"`
	By      string            `json:"by" validate:"required,max=60"`
	Version int64             `json:"version" validate:"required,min=1"`
}

type describedAt struct {
	ID int64 `path:"id" json:"-"`
	described
}

// memberSeen is a member as it is answered, with what was worked out.
type memberSeen struct {
	member
	Worth float64 `json:"worth"`
}

// answered is what is on record.
type answered struct {
	Parts []memberSeen          `json:"parts"`
	Named map[string]memberSeen `json:"named"`

	ID     int64    `json:"id"`
	Name   string   `json:"name"`
	SpanCm *float64 `json:"span_cm"`
	Best   *float64 `json:"best,omitempty"`
	Part   *member  `json:"part"`
	Seen   string   `json:"seen"`
}

type question struct {
	ID   int64  `path:"id" json:"-"`
	Word string `query:"word" validate:"max=20"`
}

func noAnswer[In, Out any](context.Context, In) (Out, error) { return *new(Out), nil }

// describedRoutes has an operation of each kind.
func describedRoutes() []Route {
	columns := Columns{First: []table.Column{{Heading: "Seat", Meaning: "From the bow."}, {Heading: "Name", Meaning: "Who rows."}}}
	sample := Create("/api/v1/boats", "s", "d", noAnswer[described, answered]).For(access.Coaches)
	sample.Example = json.RawMessage(`{"name":"Example"}`)
	query := Get("/api/v1/athletes/:id", "s", "d", noAnswer[question, answered]).For(access.Staff.OrOwn(access.Body, "id"))
	query.Example = json.RawMessage(`"word=x"`)
	return []Route{
		Get("/api/v1/boats/:id", "s", "d", noAnswer[question, answered]).For(access.Staff),
		Put("/api/v1/boats/:id", "s", "d", noAnswer[describedAt, answered]).For(access.Staff),
		sample, query,
		Post("/api/v1/lineups/find-best", "s", "d", noAnswer[member, answered]).AsJob().For(access.Coaches),
		Tabled(Get("/api/v1/boats/:id/seats.list", "s", "d", noAnswer[question, answered]).For(access.Public), columns,
			func(context.Context, question) (table.Table, string, error) { return table.Table{}, "", nil }),
		GetFile("/api/v1/boats/:id/picture", "s", "d", "image/png", noAnswer[question, []byte]).For(access.Public),
	}
}

type object = map[string]any

func at(t *testing.T, from any, path ...string) any {
	t.Helper()
	for _, name := range path {
		inside, ok := from.(object)
		if !ok {
			t.Fatalf("nothing named %s in %v", name, from)
		}
		from = inside[name]
	}
	return from
}

// document returns the description of the routes, read back.
func document(t *testing.T, routes []Route) object {
	t.Helper()
	body, err := Describe(routes)
	if err != nil {
		t.Fatal(err)
	}
	var doc object
	if err := json.Unmarshal(body, &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

func lastWord(v any) string {
	text := fmt.Sprint(v)
	return text[strings.LastIndex(text, "/")+1:]
}

// operationLines reports what an operation takes and answers, a line each.
func operationLines(t *testing.T, op object) []string {
	lines := []string{fmt.Sprint(op["operationId"], " of ", op["tags"], " roles ", op["x-roles"], " scope ", op["x-scope"], " own ", op["x-athletes-own"], " query ", op["x-example-query"])}
	parameters, _ := op["parameters"].([]any)
	for _, p := range parameters {
		if ref := at(t, p, "$ref"); ref != nil {
			lines = append(lines, "takes "+lastWord(ref))
			continue
		}
		lines = append(lines, fmt.Sprint("takes ", at(t, p, "name"), " in ", at(t, p, "in")))
	}
	if body, ok := op["requestBody"].(object); ok {
		example := at(t, body, "content", "application/json", "example")
		lines = append(lines, fmt.Sprint("body ", lastWord(at(t, body, "content", "application/json", "schema", "$ref")), " required ", body["required"], " example ", example))
	}
	answers := op["responses"].(object)
	for _, status := range slices.Sorted(maps.Keys(answers)) {
		a := answers[status].(object)
		if ref := a["$ref"]; ref != nil {
			lines = append(lines, status+" "+lastWord(ref))
			continue
		}
		headers, _ := a["headers"].(object)
		content, _ := a["content"].(object)
		lines = append(lines, fmt.Sprint(status, " ", slices.Sorted(maps.Keys(headers)), " ", slices.Sorted(maps.Keys(content))))
	}
	return lines
}

// schemaLine reports what a member may be.
func schemaLine(s object) string {
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(s)) {
		switch v := s[name].(type) {
		case object:
			parts = append(parts, name+"{"+schemaLine(v)+"}")
		case []any:
			var each []string
			for _, one := range v {
				if inner, ok := one.(object); ok {
					each = append(each, schemaLine(inner))
				} else {
					each = append(each, fmt.Sprint(one))
				}
			}
			parts = append(parts, name+"["+strings.Join(each, " ")+"]")
		default:
			parts = append(parts, fmt.Sprint(name, "=", v))
		}
	}
	return strings.Join(parts, " ")
}

func TestEachOperationSaysWhatItTakesAndAnswers(t *testing.T) {
	doc := document(t, describedRoutes())
	var got []string
	paths := doc["paths"].(object)
	for _, path := range slices.Sorted(maps.Keys(paths)) {
		for _, method := range slices.Sorted(maps.Keys(paths[path].(object))) {
			got = append(got, operationLines(t, at(t, paths, path, method).(object))...)
		}
	}
	compareLines(t, got, wantOperations)
}

func TestSchemasOfRequestsAndAnswers(t *testing.T) {
	schemas := at(t, document(t, describedRoutes()), "components", "schemas").(object)
	var got []string
	for _, name := range []string{"DescribedInput", "Answered", "MemberInput", "Member", "DescribedAtInput"} {
		s, ok := schemas[name].(object)
		if !ok {
			t.Fatalf("no %s among %v", name, slices.Sorted(maps.Keys(schemas)))
		}
		got = append(got, fmt.Sprint(name, " required ", s["required"], " more ", s["additionalProperties"]))
		members := s["properties"].(object)
		for _, m := range slices.Sorted(maps.Keys(members)) {
			got = append(got, m+": "+schemaLine(members[m].(object)))
		}
	}
	compareLines(t, got, wantSchemas)
}

// TestWhatOperationsOfSomeKindsSayMore: pages of lists, addresses of what was created, and
// keys of what counts.
func TestWhatOperationsOfSomeKindsSayMore(t *testing.T) {
	type unnamed struct {
		Name string `json:"name"`
	}
	counted := Post("/api/v1/oars", "s", "d", noAnswer[described, answered]).For(access.Public)
	counted.Counted, counted.Big = true, true
	big := Create("/api/v1/jobs", "s", "d", noAnswer[described, answered]).AsJob().For(access.Public)
	doc := document(t, []Route{
		Get("/api/v1/boats", "s", "d", noAnswer[struct{}, herd]).Paged().For(access.Public),
		Get("/api/v1/changes", "s", "d", noAnswer[since, versions]).Paged().For(access.Public),
		Get("/api/v1/rig", "s", "d", noAnswer[rowsBefore, rows]).Paged().For(access.Public),
		Create("/api/v1/athletes", "s", "d", noAnswer[described, answered]).For(access.Public), // nothing looks at one
		Create("/api/v1/squads", "s", "d", noAnswer[described, unnamed]).For(access.Public), Get("/api/v1/squads/:id", "s", "d", noAnswer[question, unnamed]).For(access.Public),
		counted, big,
	})
	var got []string
	for _, c := range [][2]string{{"/api/v1/boats", "get"}, {"/api/v1/changes", "get"}, {"/api/v1/rig", "get"}, {"/api/v1/athletes", "post"}, {"/api/v1/squads", "post"}, {"/api/v1/oars", "post"}, {"/api/v1/jobs", "post"}} {
		for _, line := range operationLines(t, at(t, doc, "paths", c[0], c[1]).(object)) {
			if !strings.HasPrefix(line, "4") && !strings.HasPrefix(line, "default") && !strings.HasPrefix(line, "body") {
				got = append(got, line)
			}
		}
	}
	compareLines(t, got, `
getBoats of [boats] roles <nil> scope <nil> own <nil> query <nil>
takes If-None-Match
takes limit in query
takes after in query
200 [ETag Link] [application/json]
304 Unchanged
getChanges of [changes] roles <nil> scope <nil> own <nil> query <nil>
takes If-None-Match
takes after in query
takes limit in query
200 [ETag Link] [application/json]
304 Unchanged
getRig of [rig] roles <nil> scope <nil> own <nil> query <nil>
takes If-None-Match
takes limit in query
takes before in query
200 [ETag Link] [application/json]
304 Unchanged
postAthletes of [athletes] roles <nil> scope <nil> own <nil> query <nil>
takes Idempotency-Key
201 [Idempotency-Replayed] [application/json]
204 SentBefore
postSquads of [squads] roles <nil> scope <nil> own <nil> query <nil>
takes Idempotency-Key
201 [Idempotency-Replayed] [application/json]
204 SentBefore
postOars of [oars] roles <nil> scope <nil> own <nil> query <nil>
takes Idempotency-Key
takes Prefer
200 [Idempotency-Replayed] [application/json]
202 [Idempotency-Replayed Location Preference-Applied Retry-After] [application/json]
204 SentBefore
postJobs of [jobs] roles <nil> scope <nil> own <nil> query <nil>
takes Idempotency-Key
takes Prefer
201 [Idempotency-Replayed] [application/json]
202 [Idempotency-Replayed Location Preference-Applied Retry-After] [application/json]
204 SentBefore
`)
	headers := at(t, doc, "components", "headers").(object)
	if a, b := at(t, headers, "Retry-After", "schema", "type"), at(t, headers, "Location", "schema", "type"); a != "integer" || b != "string" {
		t.Errorf("Retry-After is %v, Location %v", a, b)
	}
}

// TestTheRowsOfATableAreDescribed: as many cells as there are columns, or more of one kind
// where their number varies.
func TestTheRowsOfATableAreDescribed(t *testing.T) {
	first := []table.Column{{Heading: "Seat", Meaning: "From the bow."}, {Heading: "Name", Meaning: "Who rows."}}
	for _, c := range []struct {
		columns Columns
		want    string
	}{
		{Columns{First: first}, "2 2 From the bow. string <nil>"}, {Columns{First: first, More: "A piece."}, "2 <nil> From the bow. string A piece."},
	} {
		none := func(context.Context, question) (table.Table, string, error) { return table.Table{}, "", nil }
		doc := document(t, []Route{Tabled(Get("/api/v1/boats/:id/seats", "s", "d", noAnswer[question, answered]).For(access.Public), c.columns, none)})
		row := at(t, doc, "paths", "/api/v1/boats/{id}/seats", "get", "responses", "200", "content", "text/csv", "schema", "contentSchema", "items").(object)
		cells, items := row["prefixItems"].([]any), row["items"].(object)
		if got := fmt.Sprint(row["minItems"], row["maxItems"], " ", at(t, cells[0], "description"), " ", items["type"], " ", items["description"]); got != c.want {
			t.Errorf("%s, want %s", got, c.want)
		}
	}
	doc := document(t, describedRoutes())
	if s := at(t, doc, "paths", "/api/v1/boats/{id}/picture", "get", "responses", "200").(object); s["description"] != "The file" || at(t, s, "content", "image/png", "schema", "contentSchema") != nil {
		t.Errorf("a picture: %v", s)
	}
}

// TestWhatMayBeWrittenBackIsOfTheAnswerAtThatAddress, and of members that are of one kind
// there and here.
func TestWhatMayBeWrittenBackIsOfTheAnswerAtThatAddress(t *testing.T) {
	type in struct {
		Name string `json:"name"`
		Part member `json:"part"`
	}
	type out struct {
		Name string `json:"name"`
		Part string `json:"part"` // in words
		Seen string `json:"seen"`
	}
	type other struct {
		Other string `json:"other"`
	}
	w := writtenBackIn([]Route{
		Get("/api/v1/others", "s", "d", noAnswer[question, other]), Post("/api/v1/things", "s", "d", noAnswer[in, other]),
		Get("/api/v1/things", "s", "d", noAnswer[question, out]), Put("/api/v1/things", "s", "d", noAnswer[in, other]),
		Put("/api/v1/nothing", "s", "d", noAnswer[other, other]),
	})
	if got := fmt.Sprint(w); got != "map[rest.in:map[seen:true]]" {
		t.Errorf("%s", got)
	}
}

// TestOnlyAreasWithOperationsAreListed, in the order of [Areas].
func TestOnlyAreasWithOperationsAreListed(t *testing.T) {
	var got []string
	for _, tag := range document(t, describedRoutes())["tags"].([]any) {
		got = append(got, fmt.Sprint(at(t, tag, "name")))
	}
	if want := []string{"athletes", "boats", "lineups"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestWhatARequestMadeIsShownOnlyByAnAnswerThatHoldsItAll: one that says less, or
// something else by the same name, cannot stand for it.
func TestWhatARequestMadeIsShownOnlyByAnAnswerThatHoldsItAll(t *testing.T) {
	type less struct {
		ID int64 `json:"id"`
	}
	type more struct {
		ID   int64  `json:"id"`
		Name string `json:"name"`
	}
	type other struct {
		ID   string `json:"id"`
		Name string `json:"name"`
	}
	for i, c := range []struct {
		there, here any
		want        bool
	}{
		{more{}, less{}, true}, {&more{}, &more{}, true}, {less{}, more{}, false}, {other{}, more{}, false}, {nil, less{}, false}, {less{}, nil, false},
	} {
		if got := covers(c.there, c.here); got != c.want {
			t.Errorf("%d: %v", i, got)
		}
	}
}

func compareLines(t *testing.T, got []string, text string) {
	t.Helper()
	want := strings.Split(strings.TrimSpace(text), "\n")
	for i := range max(len(got), len(want)) {
		g, w := "", ""
		if i < len(got) {
			g = got[i]
		}
		if i < len(want) {
			w = strings.TrimSpace(want[i])
		}
		if g != w {
			t.Errorf("line %d\n got %s\nwant %s", i+1, g, w)
		}
	}
}

const wantOperations = `
getAthletesById of [athletes] roles [coach boatman athlete] scope read own true query word=x
takes If-None-Match
takes word in query
takes id in path
200 [ETag] [application/json]
304 Unchanged
401 SignIn
403 NotForYou
404 NotOnRecord
default [Retry-After] [application/problem+json]
postBoats of [boats] roles [coach] scope write own <nil> query <nil>
takes Idempotency-Key
body DescribedInput required true example map[name:Example]
201 [Idempotency-Replayed Location] [application/json]
204 SentBefore
400 [] [application/problem+json]
401 SignIn
403 NotForYou
413 [] [application/problem+json]
415 [] [application/problem+json]
422 [] [application/problem+json]
default [Retry-After] [application/problem+json]
getBoatsById of [boats] roles [coach boatman] scope read own <nil> query <nil>
takes If-None-Match
takes word in query
takes id in path
200 [ETag] [application/json]
304 Unchanged
401 SignIn
403 NotForYou
404 NotOnRecord
default [Retry-After] [application/problem+json]
putBoatsById of [boats] roles [coach boatman] scope write own <nil> query <nil>
takes If-Match
takes id in path
body DescribedAtInput required true example <nil>
200 [] [application/json]
400 [] [application/problem+json]
401 SignIn
403 NotForYou
404 NotOnRecord
412 [] [application/problem+json]
413 [] [application/problem+json]
415 [] [application/problem+json]
422 [] [application/problem+json]
default [Retry-After] [application/problem+json]
getBoatsByIdPicture of [boats] roles <nil> scope <nil> own <nil> query <nil>
takes If-None-Match
takes word in query
takes id in path
200 [ETag] [image/png]
304 Unchanged
404 NotOnRecord
default [Retry-After] [application/problem+json]
getBoatsByIdSeatsList of [boats] roles <nil> scope <nil> own <nil> query <nil>
takes If-None-Match
takes word in query
takes id in path
takes format in query
200 [ETag] [application/json application/vnd.openxmlformats-officedocument.spreadsheetml.sheet text/csv]
304 Unchanged
404 NotOnRecord
default [Retry-After] [application/problem+json]
postLineupsFindBest of [lineups] roles [coach] scope write own <nil> query <nil>
takes Prefer
body MemberInput required true example <nil>
200 [] [application/json]
202 [Location Preference-Applied Retry-After] [application/json]
400 [] [application/problem+json]
401 SignIn
403 NotForYou
413 [] [application/problem+json]
415 [] [application/problem+json]
422 [] [application/problem+json]
default [Retry-After] [application/problem+json]
`

const wantSchemas = `
DescribedInput required [name parts version] more false
by: maxLength=60 type[string null]
day: format=date type[string null]
name: maxLength=60 minLength=2 type=string
named: additionalProperties{$ref=#/components/schemas/MemberInput} type[object null]
part: anyOf[$ref=#/components/schemas/MemberInput type=null]
parts: items{$ref=#/components/schemas/MemberInput} maxItems=8 minItems=1 type=array
span_cm: maximum=180 minimum=70 type[null number]
spans: items{format=double maximum=3 minimum=1 type=number} maxItems=9 type[array null]
version: format=int64 minimum=1 type=integer
Answered required [parts named id name span_cm part seen] more <nil>
best: type=number
id: format=int64 type=integer
name: type=string
named: additionalProperties{$ref=#/components/schemas/MemberSeen} type=object
part: anyOf[$ref=#/components/schemas/Member type=null]
parts: items{$ref=#/components/schemas/MemberSeen} type=array
seen: type=string
span_cm: type[null number]
MemberInput required [side] more false
note: maxLength=40 type[string null]
side: enum[port starboard] type=string
worth: description=As it was read: left aside. readOnly=true
Member required [side note] more <nil>
note: type=string
side: enum[port starboard] type=string
DescribedAtInput required [name parts version] more false
best: description=As it was read: left aside. readOnly=true
by: maxLength=60 type[string null]
day: format=date type[string null]
id: description=As it was read: left aside. readOnly=true
name: maxLength=60 minLength=2 type=string
named: additionalProperties{$ref=#/components/schemas/MemberInput} type[object null]
part: anyOf[$ref=#/components/schemas/MemberInput type=null]
parts: items{$ref=#/components/schemas/MemberInput} maxItems=8 minItems=1 type=array
seen: description=As it was read: left aside. readOnly=true
span_cm: maximum=180 minimum=70 type[null number]
spans: items{format=double maximum=3 minimum=1 type=number} maxItems=9 type[array null]
version: format=int64 minimum=1 type=integer
`
