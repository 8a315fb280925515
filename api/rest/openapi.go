package rest

import (
	"fmt"
	"net/http"
	"path"
	"reflect"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/swaggest/jsonschema-go"
	"github.com/swaggest/openapi-go"
	"github.com/swaggest/openapi-go/openapi31"

	"thole/api/wire"
)

// Version is the version of the HTTP interface.
const Version = "1.0.0"

// Describe returns the OpenAPI 3.1 description of routes as JSON.
func Describe(routes []Route) ([]byte, error) {
	d := describer{reflector: openapi31.NewReflector(), aside: writtenBackIn(routes), routes: routes}
	d.reflector.Spec.Info.WithTitle("Thole").WithVersion(Version).WithDescription(
		"Rigging and crew selection for rowing. Names carry their unit; angles are negative towards the catch and positive towards the finish. " +
			"Null stands for a value left out. Where people sign in, by and measured_by are the account’s name, whatever is sent, and may be left out; elsewhere nearly every change asks for them. " +
			"What was read can be written back to the same address: what a request does not know of the answer is left aside. " +
			"x-roles names the roles that may use an operation; with x-athletes-own an athlete may for what is their own. Errors are application/problem+json (RFC 9457).")
	d.describeSigning()
	d.describeHeaders()
	d.describeAreas()
	d.reflector.DefaultOptions = append(d.reflector.DefaultOptions,
		jsonschema.InterceptDefName(d.name), jsonschema.InterceptSchema(d.object), jsonschema.InterceptProp(d.member))
	for _, r := range routes {
		if err := d.describe(&r); err != nil {
			return nil, fmt.Errorf("describing %s %s: %w", r.Method, r.Path, err)
		}
	}
	return d.reflector.Spec.MarshalJSON()
}

// describer turns routes into operations. The wire types mean one thing in a
// request, where optional members may be null or left out and unknown names
// are refused, and another in an answer, where members are always there.
type describer struct {
	reflector *openapi31.Reflector
	op        openapi.OperationContext // the one being described
	problem   bool                     // whether Problem has been reflected on
	aside     writtenBack
	routes    []Route
}

// operation is the one being described, with all that the description can say.
func (d *describer) operation() *openapi31.Operation {
	exposer, ok := d.op.(openapi31.OperationExposer)
	if !ok {
		panic("rest: the operation cannot be described further")
	}
	return exposer.Operation()
}

func (d *describer) describe(r *Route) (err error) {
	if d.op, err = d.reflector.NewOperationContext(r.Method, openPath(r.Path)); err != nil {
		return err
	}
	d.op.SetID(r.operationID())
	d.op.SetTags(r.tag())
	d.op.SetSummary(r.Summary)
	d.op.SetDescription(r.Description)
	d.describeRequest(r)
	d.describePaging(r)
	switch {
	case r.Media != "":
		d.describeFile(r.Media, &r.Columns)
	case r.Tables:
		d.op.AddRespStructure(r.Out, openapi.WithHTTPStatus(r.status()), d.addTables(r))
	default:
		d.op.AddRespStructure(r.Out, openapi.WithHTTPStatus(r.status()))
	}
	if r.Big {
		d.describeAccepted()
	}
	d.describeProblems(r)
	d.describeMoved(r)
	d.describeAccess(r)
	d.describeAsked(r, d.operation())
	if err := d.reflector.AddOperation(d.op); err != nil {
		return err
	}
	d.describeTold(r, d.operation())
	return nil
}

// operationID names an operation for clients that are generated: the method, the
// words of the path, and what it is found by.
func (r *Route) operationID() string {
	var id strings.Builder
	id.WriteString(strings.ToLower(r.Method))
	for _, part := range strings.FieldsFunc(strings.TrimPrefix(r.Path, "/api/v1"), func(c rune) bool { return strings.ContainsRune("/-_.", c) }) {
		if name, ok := strings.CutPrefix(part, ":"); ok {
			part = "by-" + name
		}
		for word := range strings.SplitSeq(part, "-") {
			id.WriteString(strings.ToUpper(word[:1]) + word[1:])
		}
	}
	return id.String()
}

// tag is the part of the interface that an operation belongs to: the first word of
// its path.
func (r *Route) tag() string {
	first, _, _ := strings.Cut(strings.TrimPrefix(r.Path, "/api/v1/"), "/")
	return first
}

// openPath writes a path's parameters as OpenAPI does: {id} for :id.
func openPath(path string) string {
	parts := strings.Split(path, "/")
	for i, part := range parts {
		if name, ok := strings.CutPrefix(part, ":"); ok {
			parts[i] = "{" + name + "}"
		}
	}
	return strings.Join(parts, "/")
}

func (d *describer) describeRequest(r *Route) {
	switch {
	case r.In == nil:
	case !r.hasBody():
		d.op.AddReqStructure(r.In)
	default:
		d.op.AddReqStructure(r.In, openapi.WithCustomize(func(body openapi.ContentOrReference) {
			if body, ok := body.(*openapi31.RequestBodyOrReference); ok {
				body.RequestBody.WithRequired(true)
				r.exemplify(body.RequestBody.Content)
			}
		}))
	}
}

// exemplify puts the example of the route into what is said of its body.
func (r *Route) exemplify(body map[string]openapi31.MediaType) {
	if media, ok := body[echo.MIMEApplicationJSON]; ok && r.Example != nil {
		var example any = r.Example
		media.Example = &example
		body[echo.MIMEApplicationJSON] = media
	}
}

// requestProblems are the answers to a body that cannot be used, formProblems
// those to a form.
var (
	requestProblems = map[int]string{
		http.StatusBadRequest:            "The body is not one JSON object.",
		http.StatusRequestEntityTooLarge: "The body is larger than 1 MB.",
		http.StatusUnsupportedMediaType:  "The body is not declared as application/json.",
		http.StatusUnprocessableEntity:   "Names or values in the body cannot be used: errors has an entry for each. Or the body cannot row the rig: limit says why.",
	}
	formProblems = map[int]string{
		http.StatusBadRequest:            "The request broke off.",
		http.StatusRequestEntityTooLarge: "The file, or another part, is too large.",
		http.StatusUnsupportedMediaType:  "The body is not declared as multipart/form-data.",
		http.StatusUnprocessableEntity:   "Parts, or what the file holds, cannot be used: errors has an entry for each, with row and column where a table is meant. Or detail says why the file cannot be read at all.",
	}
)

func (d *describer) describeProblems(r *Route) {
	list := requestProblems
	switch {
	case !r.hasBody():
		list = nil
	case r.hasForm():
		list = formProblems
	}
	for status, text := range list {
		d.describeProblem(text, openapi.WithHTTPStatus(status))
	}
	d.describeProblem("Any other error, such as 404 for what is not on record.", func(unit *openapi.ContentUnit) { unit.IsDefault = true })
}

// describeProblem describes one way to fail. Reflecting on Problem once is
// enough; it would take most of the time otherwise.
func (d *describer) describeProblem(text string, option openapi.ContentOption) {
	var reflected any
	if !d.problem {
		reflected, d.problem = wire.Problem{}, true
	}
	d.op.AddRespStructure(reflected, option, func(unit *openapi.ContentUnit) { unit.Description = text },
		openapi.WithContentType(problemType),
		openapi.WithCustomize(func(response openapi.ContentOrReference) {
			response.(*openapi31.ResponseOrReference).Response.Content[problemType] = problemContent()
		}))
}

// problemType is the media type of a problem (RFC 9457).
const problemType = "application/problem+json"

func problemContent() openapi31.MediaType {
	return openapi31.MediaType{Schema: map[string]any{"$ref": "#/components/schemas/Problem"}}
}

// name gives a type's schema its name without its package, of two kinds since a
// type may serve both ways.
func (d *describer) name(t reflect.Type, name string) string {
	name = withoutPackage(t, name)
	if d.op.IsProcessingResponse() || strings.HasSuffix(name, "Request") {
		return name
	}
	return name + "Input"
}

// withoutPackage takes the package off the name that the reflector gives.
func withoutPackage(t reflect.Type, name string) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if room := path.Base(t.PkgPath()); len(name) > len(room) && strings.EqualFold(name[:len(room)], room) {
		return name[len(room):]
	}
	return name
}

func (d *describer) object(p jsonschema.InterceptSchemaParams) (stop bool, err error) {
	if p.Processed && !d.op.IsProcessingResponse() && len(p.Schema.Properties) > 0 {
		d.describeAside(p.Schema, withoutPointer(p.Value.Type()))
		p.Schema.WithAdditionalProperties(*(&jsonschema.SchemaOrBool{}).WithTypeBoolean(false))
	}
	return false, nil
}

// describeAside lists what a request may hold because it was read, and what changes
// nothing.
func (d *describer) describeAside(s *jsonschema.Schema, t reflect.Type) {
	for name := range d.aside[t] {
		left := (&jsonschema.Schema{}).WithDescription("As it was read: left aside.")
		left.ReadOnly = wire.Ptr(true)
		s.WithPropertiesItem(name, left.ToSchemaOrBool())
	}
}

func (d *describer) member(p jsonschema.InterceptPropParams) error {
	if !p.Processed {
		return nil
	}
	limits := wire.LimitsOf(p.Field)
	if _, part := p.Field.Tag.Lookup("formData"); part && limits.Most == nil && limits.OneOf == nil {
		limits.Most = wire.Ptr(float64(maxFormText)) // bytes, and so characters at the most
	}
	d.limit(p.PropertySchema, &limits)
	if limits.Required && !slices.Contains(p.ParentSchema.Required, p.Name) {
		p.ParentSchema.Required = append(p.ParentSchema.Required, p.Name)
	}
	_, omitted := strings.CutSuffix(p.Field.Tag.Get("json"), ",omitempty")
	if !d.op.IsProcessingResponse() && slices.Contains(signers, p.Name) { // the account's where people sign in
		p.ParentSchema.Required = slices.DeleteFunc(p.ParentSchema.Required, func(name string) bool { return name == p.Name })
	}
	required, null := slices.Contains(p.ParentSchema.Required, p.Name), false
	if d.op.IsProcessingResponse() {
		null = p.Field.Type.Kind() == reflect.Pointer && !omitted
		if !omitted && !required {
			p.ParentSchema.Required = append(p.ParentSchema.Required, p.Name)
		}
	} else {
		null = !required && d.op.ProcessingIn() == openapi.InBody
	}
	setNull(p.PropertySchema, null)
	return nil
}

// limit puts the limits of a value into its schema. An answer holds values that
// were worked out, which no range bounds.
func (d *describer) limit(s *jsonschema.Schema, l *wire.Limits) {
	for _, name := range l.OneOf {
		s.Enum = append(s.Enum, name)
	}
	if d.op.IsProcessingResponse() {
		return
	}
	if l.Day {
		s.WithFormat("date")
	}
	switch {
	case s.HasType(jsonschema.String):
		s.MaxLength = whole(l.Most)
		if least := whole(l.Least); least != nil {
			s.MinLength = *least
		}
	case s.HasType(jsonschema.Array):
		s.MaxItems = whole(l.Most)
		if least := whole(l.Least); least != nil {
			s.MinItems = *least
		}
	default:
		s.Minimum, s.Maximum = l.Least, l.Most
	}
	if l.Each != nil && s.Items != nil && s.Items.SchemaOrBool != nil && s.Items.SchemaOrBool.TypeObject != nil {
		d.limit(s.Items.SchemaOrBool.TypeObject, l.Each)
	}
}

// whole returns an end that counts signs or items; nil for an open one.
func whole(end *float64) *int64 {
	if end == nil {
		return nil
	}
	return wire.Ptr(int64(*end))
}

// setNull makes the schema of a member accept null or refuse it.
func setNull(s *jsonschema.Schema, null bool) {
	switch {
	case !null:
		s.RemoveType(jsonschema.Null)
	case s.Ref != nil:
		ref := (&jsonschema.Schema{Ref: s.Ref}).ToSchemaOrBool()
		s.Ref, s.AnyOf = nil, []jsonschema.SchemaOrBool{ref, jsonschema.Null.ToSchemaOrBool()}
	default:
		s.AddType(jsonschema.Null)
		if s.Enum != nil {
			s.Enum = append(s.Enum, nil)
		}
	}
}
