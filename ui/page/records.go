package page

import (
	"cmp"
	"errors"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"thole/api/access"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/wire"
)

// What the pages of athletes, boats and oars share: forms that lose nothing,
// edits that meet, and who it is that edits.

// whoCookie remembers the name that stands in the history. It is no account:
// whoever sits at this browser can change it.
const whoCookie = "thole_who"

// Who returns the name of the account, or else the one that was given in this
// browser, or "".
func Who(r *http.Request) string {
	if v := access.From(r.Context()); v.SignedIn() {
		return v.Name
	}
	c, err := r.Cookie(whoCookie)
	if err != nil {
		return ""
	}
	name, err := url.QueryUnescape(c.Value)
	if err != nil {
		return ""
	}
	return name
}

// Remember keeps the name for the next forms.
func Remember(w http.ResponseWriter, name string) {
	if name = strings.TrimSpace(name); name == "" {
		return
	}
	http.SetCookie(w, &http.Cookie{
		Name: whoCookie, Value: url.QueryEscape(name), Path: "/", MaxAge: 365 * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteLaxMode,
	})
}

// Value is one field of a record's form.
type Value struct {
	Input
	Kind    string // text, date, area, check, choice; a number when empty
	Options []Option
	Theirs  string // what somebody else made of it in the meantime
	Needed  bool
}

// Checked reports whether a box is ticked.
func (v Value) Checked() bool { return v.Value == "true" }

// Option is one of a choice.
type Option struct{ Value, Label string }

// RecordForm is a form with what was typed in it.
type RecordForm struct {
	Fields   []Value
	Problems []Problem
	Clash    *clash
	Version  string // of the record that the form was filled from
	Saved    bool   // the record is there already
	Address  string // where the form is sent
	Back     string // where to go without saving

	AtBoat     AtBoat // how values of changes are said; nil: as they are kept
	Typed      url.Values
	Complaints map[string]string // by name of the field
	places     map[string]wire.Place
	refusals   []wire.FieldProblem // of the use case, by place in the request
	moved      *records.Conflict
	theirs     map[string]string // what others made of it, by name of the field
}

// clash is an edit that met another.
type clash struct {
	Who   string
	Lines []clashLine
}

// clashLine is one value that somebody else changed.
type clashLine struct{ Label, From, To, By, At, Outcome string }

// NewForm holds what was typed into a form, with the version of the record it was read from.
func NewForm(typed url.Values) *RecordForm {
	return &RecordForm{
		Typed: typed, Complaints: map[string]string{}, places: map[string]wire.Place{}, theirs: map[string]string{}, Version: typed.Get("version"),
	}
}

// SetPlace says where the value of a field stands in the request, so that what is
// said of the place is said at the field. A field without stands at its own name.
func (f *RecordForm) SetPlace(name string, at wire.Place) { f.places[name] = at }

func (f *RecordForm) placeOf(name string) wire.Place {
	if at, ok := f.places[name]; ok {
		return at
	}
	return wire.At(name)
}

// NumberAt is [RecordForm.Number] of a field that stands at a place.
func (f *RecordForm) NumberAt(name string, at wire.Place) *float64 {
	f.SetPlace(name, at)
	return f.Number(name)
}

// Text returns what was typed, without blanks around it.
func (f *RecordForm) Text(name string) string { return strings.TrimSpace(f.Typed.Get(name)) }

func (f *RecordForm) Ticked(name string) bool { return f.Typed.Get(name) == "true" }

// Number is nil for an empty field, and complains about what is no number.
func (f *RecordForm) Number(name string) *float64 { return f.Read(name, wire.ReadNumber) }

// Read is [RecordForm.Number] of what a function can read.
func (f *RecordForm) Read(name string, read func(string) (float64, string)) *float64 {
	text := f.Text(name)
	if text == "" {
		return nil
	}
	v, complaint := read(text)
	if complaint != "" {
		f.Complaints[name] = complaint
		return nil
	}
	return &v
}

// KnownVersion returns the version that the form was filled from.
func (f *RecordForm) KnownVersion() int64 {
	v, _ := strconv.ParseInt(f.Version, 10, 64)
	return v
}

// Refuse takes in complaints of a use case beside those of the form itself; other
// errors are for who saves.
func (f *RecordForm) Refuse(err error) { f.refused(err) }

// refused takes in an error of a use case: complaints, and the work of others
// beside what was typed. It returns false for other errors.
func (f *RecordForm) refused(err error) bool {
	var bad *wire.Invalid
	var moved *records.Conflict
	switch {
	case errors.As(err, &bad):
		f.refusals = bad.Fields
	case errors.As(err, &moved):
		f.moved = moved
	default:
		return false
	}
	return true
}

// sort gives each complaint of the use case to its field, and returns those that
// belong to none, or to one that has a complaint already.
func (f *RecordForm) sort(groups [][]Value) (rest []wire.FieldProblem) {
	for _, p := range f.refusals {
		name, ok := f.fieldAt(p.Place(), groups)
		if _, taken := f.Complaints[name]; !ok || taken {
			rest = append(rest, p)
			continue
		}
		f.Complaints[name] = p.Detail
	}
	f.refusals = nil
	return rest
}

// fieldAt returns the field that stands at a place, or else the smallest one
// around it, or else the first within it.
func (f *RecordForm) fieldAt(at wire.Place, groups [][]Value) (name string, ok bool) {
	around, within, longest := "", "", 0
	for _, group := range groups {
		for i := range group {
			field := f.placeOf(group[i].Name)
			_, inside := at.Under(field)
			_, holds := field.Under(at)
			switch {
			case field.Pointer == at.Pointer:
				return group[i].Name, true
			case inside && len(field.Pointer) > longest:
				around, longest = group[i].Name, len(field.Pointer)
			case holds && within == "":
				within = group[i].Name
			}
		}
	}
	name = cmp.Or(around, within)
	return name, name != ""
}

// meet lays the changes of others beside what was typed. What the reader left
// as it was is taken over; what both changed stays as typed, to be judged.
func (f *RecordForm) meet(groups [][]Value) {
	f.Version = strconv.FormatInt(f.moved.Version, 10)
	f.Clash = &clash{Who: ClashNames(f.moved.Changes)}
	var names []string
	first, last := map[string]string{}, map[string]formChange{}
	for i := range f.moved.Changes {
		for _, part := range formChanges(&f.moved.Changes[i]) {
			if _, seen := first[part.name]; !seen {
				names, first[part.name] = append(names, part.name), part.from
			}
			last[part.name] = part
		}
	}
	for _, name := range names {
		f.settle(name, first[name], last[name], inForm(groups, name))
	}
}

func inForm(groups [][]Value, name string) bool {
	return slices.ContainsFunc(groups, func(group []Value) bool {
		return slices.ContainsFunc(group, func(v Value) bool { return v.Name == name })
	})
}

// formChange is a change of one field of a form.
type formChange struct {
	name, from, to string
	change         *wire.RecordChange
}

// formChanges splits a change of a record into the fields of forms that it
// concerns.
func formChanges(c *wire.RecordChange) []formChange {
	name := SeatField(c.Seat, c.Field)
	if !c.Ranged() {
		return []formChange{{name, OrEmpty(c.From), OrEmpty(c.To), c}}
	}
	was, now := rangeParts(c.FromRange), rangeParts(c.ToRange)
	var parts []formChange
	for i, part := range RangeNames {
		parts = append(parts, formChange{name + "_" + part, was[i], now[i], c})
	}
	return parts
}

// SeatField returns the name in forms of a field of a seat, seat3_span_cm, and the
// field's own for seat 0.
func SeatField(seat int, field string) string {
	if seat == 0 {
		return field
	}
	return "seat" + strconv.Itoa(seat) + "_" + field
}

// RangeNames are the parts of an adjustment in forms, and on the wire.
var RangeNames = [...]string{"min", "max", "step"}

// rangeParts writes the parts of a range as forms do; empty for none.
func rangeParts(r *wire.ChangedRange) (parts [len(RangeNames)]string) {
	if r == nil {
		return parts
	}
	for i, v := range [...]float64{r.Min, r.Max, r.Step} {
		parts[i] = strconv.FormatFloat(v, 'f', -1, 64)
	}
	return parts
}

// OrEmpty is the text, or "" for nil.
func OrEmpty(text *string) string {
	if text == nil {
		return ""
	}
	return *text
}

// settle decides about one field that somebody else changed.
func (f *RecordForm) settle(name, base string, theirs formChange, shown bool) {
	mine := f.Text(name)
	was, base := f.AtBoat.say(theirs.change, base)
	now, to := f.AtBoat.say(theirs.change, theirs.to)
	line := clashLine{Label: ChangeWords(theirs.change), From: was, To: now, By: theirs.change.By, At: When(theirs.change.At)}
	switch {
	case !shown:
		line.Outcome = "not in this form"
	case sameText(mine, to):
		line.Outcome = "the same as yours"
	case sameText(mine, base):
		f.Typed.Set(name, to)
		line.Outcome = "taken over"
	default:
		line.Outcome = "yours stands below: “" + shownText(mine) + "”"
		f.theirs[name] = theirs.change.By + " made it “" + shownText(now) + "” (was “" + shownText(was) + "”). Saving makes it yours."
	}
	if !slices.Contains(f.Clash.Lines, line) {
		f.Clash.Lines = append(f.Clash.Lines, line)
	}
}

func shownText(text string) string {
	switch text {
	case "":
		return "empty"
	case "true":
		return "yes"
	case "false":
		return "no"
	}
	return text
}

// sameText compares values of forms: numbers as numbers, an empty box as false.
func sameText(a, b string) bool {
	x, okX := ParseNumber(a)
	y, okY := ParseNumber(b)
	return a == b || okX && okY && x == y || orFalse(a) == orFalse(b)
}

func orFalse(text string) string {
	if text == "" {
		return "false"
	}
	return text
}

// ClashNames says in words who made some changes.
func ClashNames(changes []wire.RecordChange) string {
	var names []string
	for _, c := range changes {
		if !slices.Contains(names, c.By) {
			names = append(names, c.By)
		}
	}
	if len(names) == 0 {
		return "Somebody"
	}
	return strings.Join(names, " and ")
}

// Fill builds the fields for showing, with the complaint beside each. What
// belongs to no field goes to the list on top.
func (f *RecordForm) Fill(groups ...[]Value) {
	if f.moved != nil {
		f.meet(groups)
	}
	rest := f.sort(groups)
	for _, group := range groups {
		for i := range group {
			f.show(&group[i])
		}
	}
	for _, name := range slices.Sorted(maps.Keys(f.Complaints)) {
		f.Problems = append(f.Problems, Problem{Label: knownLabel(name), Text: f.Complaints[name]})
	}
	for _, p := range rest {
		f.Problems = append(f.Problems, Problem{Label: knownLabel(p.Place().Last()), Text: p.Detail})
	}
}

// show puts what was typed and what is to be said of it into a field.
func (f *RecordForm) show(v *Value) {
	v.Value, v.Theirs = f.Typed.Get(v.Name), f.theirs[v.Name]
	if text, bad := f.Complaints[v.Name]; bad {
		v.Problem, v.Focus = text, len(f.Problems) == 0
		f.Problems = append(f.Problems, Problem{v.ID(), v.Label, text})
		delete(f.Complaints, v.Name)
	}
}

// ByField asks who edits.
func ByField() Value {
	return Value{Input: Input{Field: Field{Name: "by", Path: "by", Label: "Your name", Help: "Stands in the history. Asked once in this browser."}}, Kind: "text", Needed: true}
}

// TextField and NumberField build the fields of forms; the name is that on the
// wire.
func TextField(name, label, help string) Value {
	return Value{Input: Input{Field: Field{Name: name, Path: name, Label: label, Help: help}}, Kind: "text"}
}

// NumberField is a field for a number in a unit; blank stands in it while it is empty.
func NumberField(name, label, unit, help, blank string) Value {
	return Value{Input: Input{Field: Field{Name: name, Path: name, Label: label, Unit: unit, Help: help, Blank: blank}}}
}

// Within describes the limits of the request's member at a place, in the wire's unit:
// in the empty field, or behind the help where something stands in. It panics where
// the request has no such member.
func (v Value) Within(request any, at wire.Place) Value {
	member, ok := wire.MemberAt(request, at)
	if !ok {
		panic("page: no member at " + at.Pointer)
	}
	l := wire.LimitsOf(member)
	switch {
	case l.Least == nil || l.Most == nil:
	case v.Blank == "":
		v.Blank = Plain(*l.Least) + " to " + Plain(*l.Most)
	default:
		v.Help = strings.TrimSpace(v.Help + " From " + Plain(*l.Least) + " to " + Known(l.Most, v.Unit) + ".")
	}
	return v
}

// StandIn shows the default of the request's member at a place in the empty field.
func (v Value) StandIn(request any, at wire.Place) Value {
	member, _ := wire.MemberAt(request, at)
	v.Blank = member.Tag.Get("default")
	return v
}

func (v Value) As(kind string) Value { v.Kind = kind; return v }

func (v Value) AsNeeded() Value { v.Needed = true; return v }

func (v Value) Choose(options ...Option) Value {
	v.Kind, v.Options = "choice", options
	return v
}

// SetNumber fills a field of a form from a record.
func SetNumber(typed url.Values, name string, v *float64) {
	if v != nil {
		typed.Set(name, strconv.FormatFloat(*v, 'f', -1, 64))
	}
}

// SetText fills a field of a form with a text.
func SetText(typed url.Values, name, text string) { typed.Set(name, text) }

// SetTick ticks a box of a form, or leaves it.
func SetTick(typed url.Values, name string, on bool) {
	if on {
		typed.Set(name, "true")
	}
}

// Sent reads a form that was posted; nil when it was cut off on its way.
func (s *Frame) Sent(w http.ResponseWriter, r *http.Request) *RecordForm {
	r.Body = http.MaxBytesReader(w, r.Body, MaxForm)
	if err := r.ParseForm(); err != nil {
		return nil
	}
	Remember(w, r.PostForm.Get("by"))
	return NewForm(r.PostForm)
}

// MaxForm bounds what a form may hold, bytes; our judgement.
const MaxForm = 256 << 10

// Broken answers a form that was cut off on its way.
func (s *Frame) Broken(w http.ResponseWriter) error {
	return s.Pages.Show(w, http.StatusBadRequest, "message", Message{Title: "That was cut off", Text: "Go back and send the form again."})
}

// Saved leads on after a write.
func Saved(w http.ResponseWriter, r *http.Request, address string) error {
	if r.Header.Get("HX-Request") != "" {
		w.Header().Set("HX-Redirect", address)
		w.WriteHeader(http.StatusNoContent)
		return nil
	}
	http.Redirect(w, r, address, http.StatusSeeOther)
	return nil
}

// again shows a form that was refused: the form alone to htmx, else the page.
func (s *Frame) again(w http.ResponseWriter, r *http.Request, status int, page, part string, data any) error {
	if r.Header.Get("HX-Request") != "" {
		return s.Pages.Fragment(w, status, page, part, data)
	}
	return s.Pages.Show(w, status, page, data)
}

// Live is the answer to a form that recalculates as it is typed in: Results where
// everything can be read, with the address of the page that shows the same, and
// Refused, which stands in the place of the list of problems, where not.
type Live struct {
	Page, Refused, Results string // the page, and its two fragments
	Address                string
	Problems               []Problem
}

// Recalculated answers with one of the fragments.
func (s *Frame) Recalculated(w http.ResponseWriter, l Live, data any) error {
	if len(l.Problems) > 0 {
		w.Header().Set("HX-Retarget", "#problems")
		w.Header().Set("HX-Reswap", "outerHTML")
		return s.Pages.Fragment(w, http.StatusUnprocessableEntity, l.Page, l.Refused, data)
	}
	w.Header().Set("HX-Replace-Url", l.Address)
	return s.Pages.Fragment(w, http.StatusOK, l.Page, l.Results, data)
}

// FormPage is a page with a form on it, and how to build it once the form has
// been refused.
type FormPage struct {
	Page, Part string
	Build      func() (any, error)
}

// Submit writes what was sent unless it has complaints already, and leads on to
// the address that write returns. What is refused is shown again, each complaint at
// the field of its place; see [RecordForm.SetPlace].
func (s *Frame) Submit(w http.ResponseWriter, r *http.Request, f *RecordForm, p FormPage, write func() (string, error)) error {
	if len(f.Complaints) == 0 {
		address, err := write()
		if err == nil {
			return Saved(w, r, address)
		}
		if !f.refused(err) {
			return s.Fail(w, err)
		}
	}
	data, err := p.Build()
	if err != nil {
		return s.Fail(w, err)
	}
	return s.again(w, r, f.refusal(), p.Page, p.Part, data)
}

// refusal is the status of a form that is shown again.
func (f *RecordForm) refusal() int {
	if f.moved != nil {
		return http.StatusConflict
	}
	return http.StatusUnprocessableEntity
}

// Fail describes an error that no form can show. Faults of ours are left to the
// caller.
func (s *Frame) Fail(w http.ResponseWriter, err error) error {
	p := rest.Explain(err)
	switch p.Status {
	case http.StatusInternalServerError:
		return err
	case http.StatusNotFound:
		return s.Pages.Show(w, p.Status, "message", Message{Title: "Not found", Text: "It may have been removed. Check the list."})
	}
	return s.Pages.Show(w, p.Status, "message", Message{Title: "This could not be done", Text: p.Detail + " Nothing was changed."})
}

// PathID reads a number from the address; 0, which nothing has, for others.
func PathID(r *http.Request, name string) int64 {
	id, err := strconv.ParseInt(r.PathValue(name), 10, 64)
	if err != nil {
		return 0
	}
	return id
}

// When describes a moment. The service gives each in the club's time zone already.
func When(t time.Time) string { return t.Format("2 Jan 2006, 15:04") }

// Day describes a calendar day, written as YYYY-MM-DD.
func Day(text string) string {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return text
	}
	return t.Format("2 Jan 2006")
}

// Known writes a value with its unit, or a dash.
func Known(v *float64, unit string) string {
	if v == nil {
		return "–"
	}
	if unit == "°" || unit == "" {
		return Plain(*v) + unit
	}
	return Plain(*v) + " " + unit
}

// ListQuery is what a list is asked for.
type ListQuery struct {
	Name     string
	Archived bool
}

// NewListQuery reads which records a list is asked for.
func NewListQuery(r *http.Request) ListQuery {
	q := r.URL.Query()
	return ListQuery{Name: strings.TrimSpace(q.Get("name")), Archived: q.Get("archived") == "true"}
}

func (q ListQuery) Request() records.ListRequest {
	return records.ListRequest{Name: q.Name, Archived: q.Archived}
}

// Removal is the page that asks before a record goes.
type Removal struct {
	Title, Text   string
	Address, Back string
	Problem       string
}
