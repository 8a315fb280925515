package ui

import (
	"errors"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"thole/api/club"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/wire"
)

// What the pages of athletes, boats and oars share: forms that lose nothing,
// edits that meet, and who it is that edits.

// whoCookie remembers the name that stands in the history. It is no account:
// whoever sits at this browser can change it.
const whoCookie = "thole_who"

// who returns the name that was given in this browser, or "".
func who(r *http.Request) string {
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

// remember keeps the name for the next forms.
func remember(w http.ResponseWriter, name string) {
	if name = strings.TrimSpace(name); name == "" {
		return
	}
	http.SetCookie(w, &http.Cookie{
		Name: whoCookie, Value: url.QueryEscape(name), Path: "/", MaxAge: 365 * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteLaxMode,
	})
}

// value is one field of a record's form.
type value struct {
	input
	Kind    string // text, date, area, check, choice; a number when empty
	Options []option
	Theirs  string // what somebody else made of it in the meantime
	Needed  bool
}

// Checked tells whether a box is ticked.
func (v value) Checked() bool { return v.Value == "true" }

// option is one of a choice.
type option struct{ Value, Label string }

// recordForm is a form with what was typed in it.
type recordForm struct {
	Fields   []value
	Problems []problem
	Clash    *clash
	Version  string // of the record that the form was filled from
	Saved    bool   // the record is there already
	Address  string // where the form is sent
	Back     string // where to go without saving

	typed      url.Values
	moved      *records.Conflict
	complaints map[string]string // by name of the field
	theirs     map[string]string // what others made of it, by name of the field
}

// clash is an edit that met another.
type clash struct {
	Who   string
	Lines []clashLine
}

// clashLine is one value that somebody else changed.
type clashLine struct{ Label, From, To, By, At, Outcome string }

func newForm(typed url.Values) *recordForm {
	return &recordForm{typed: typed, complaints: map[string]string{}, theirs: map[string]string{}, Version: typed.Get("version")}
}

// text returns what was typed, without blanks around it.
func (f *recordForm) text(name string) string { return strings.TrimSpace(f.typed.Get(name)) }

// optional is nil for an empty field.
func (f *recordForm) optional(name string) *string {
	if text := f.text(name); text != "" {
		return &text
	}
	return nil
}

func (f *recordForm) ticked(name string) bool { return f.typed.Get(name) == "true" }

// number is nil for an empty field, and complains about what is no number.
func (f *recordForm) number(name string) *float64 {
	text := f.text(name)
	if text == "" {
		return nil
	}
	v, ok := parseNumber(text)
	if !ok {
		f.complaints[name] = "“" + text + "” is not a number."
		return nil
	}
	return &v
}

// version reads the version that the form was filled from.
func (f *recordForm) version() int64 {
	v, _ := strconv.ParseInt(f.Version, 10, 64)
	return v
}

// refused takes in an error of a use case: complaints at their fields, and the
// work of others beside what was typed. It returns false for other errors.
// name gives the form's name of a field on the wire.
func (f *recordForm) refused(err error, name func(path string) string) bool {
	var bad *wire.Invalid
	var moved *records.Conflict
	switch {
	case errors.As(err, &bad):
		for _, p := range bad.Fields {
			f.complaints[name(p.Field)] = p.Detail
		}
	case errors.As(err, &moved):
		f.moved = moved
	default:
		return false
	}
	return true
}

// meet lays the changes of others beside what was typed. What the reader left
// as it was is taken over; what both changed stays as typed, to be judged.
func (f *recordForm) meet(groups [][]value) {
	f.Version = strconv.FormatInt(f.moved.Version, 10)
	f.Clash = &clash{Who: clashNames(f.moved.Changes)}
	var names []string
	first, last := map[string]string{}, map[string]formChange{}
	for _, c := range f.moved.Changes {
		for _, part := range formChanges(c) {
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

func inForm(groups [][]value, name string) bool {
	return slices.ContainsFunc(groups, func(group []value) bool {
		return slices.ContainsFunc(group, func(v value) bool { return v.Name == name })
	})
}

// formChange is a change of one field of a form.
type formChange struct {
	name, from, to string
	change         *wire.RecordChange
}

// formChanges splits a change of a record into the fields of forms that it
// concerns.
func formChanges(c wire.RecordChange) []formChange {
	from, to := orEmpty(c.From), orEmpty(c.To)
	name := c.What
	if seat, ok := strings.CutPrefix(name, "seat "); ok {
		name = "seat" + strings.Replace(seat, " ", "_", 1)
	}
	if name == "class_code" {
		name = "boat_class"
	}
	head, setting, ranged := strings.Cut(name, "range of ")
	if !ranged {
		return []formChange{{name, from, to, &c}}
	}
	was, now := rangeParts(from), rangeParts(to)
	var parts []formChange
	for i, part := range rangeNames {
		parts = append(parts, formChange{head + setting + "_" + part, was[i], now[i], &c})
	}
	return parts
}

// rangeNames are the parts of an adjustment in forms.
var rangeNames = [...]string{"min", "max", "step", "cost"}

// rangeParts reads "83 to 88 step 0.5 cost 6".
func rangeParts(text string) (parts [4]string) {
	words := strings.Fields(text)
	for i := range parts {
		if 2*i < len(words) {
			parts[i] = words[2*i]
		}
	}
	return parts
}

func orEmpty(text *string) string {
	if text == nil {
		return ""
	}
	return *text
}

// settle decides about one field that somebody else changed.
func (f *recordForm) settle(name, base string, theirs formChange, shown bool) {
	mine := f.text(name)
	line := clashLine{Label: changeLabel(theirs.change.What), From: base, To: theirs.to, By: theirs.change.By, At: when(theirs.change.At)}
	switch {
	case !shown:
		line.Outcome = "not in this form"
	case sameText(mine, theirs.to):
		line.Outcome = "the same as yours"
	case sameText(mine, base):
		f.typed.Set(name, theirs.to)
		line.Outcome = "taken over"
	default:
		line.Outcome = "yours stands below: “" + shownText(mine) + "”"
		f.theirs[name] = theirs.change.By + " made it “" + shownText(theirs.to) + "” (was “" + shownText(base) + "”). Saving makes it yours."
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
	x, okX := parseNumber(a)
	y, okY := parseNumber(b)
	return a == b || okX && okY && x == y || orFalse(a) == orFalse(b)
}

func orFalse(text string) string {
	if text == "" {
		return "false"
	}
	return text
}

func clashNames(changes []wire.RecordChange) string {
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

// fill builds the fields for showing, with the complaint beside each. What
// belongs to no field goes to the list on top.
func (f *recordForm) fill(groups ...[]value) {
	if f.moved != nil {
		f.meet(groups)
	}
	for _, group := range groups {
		for i := range group {
			f.show(&group[i])
		}
	}
	for _, name := range slices.Sorted(maps.Keys(f.complaints)) {
		f.Problems = append(f.Problems, problem{Label: changeLabel(name), Text: f.complaints[name]})
	}
}

// show puts what was typed and what is to be said of it into a field.
func (f *recordForm) show(v *value) {
	v.Value, v.Theirs = f.typed.Get(v.Name), f.theirs[v.Name]
	if text, bad := f.complaints[v.Name]; bad {
		v.Problem, v.Focus = text, len(f.Problems) == 0
		f.Problems = append(f.Problems, problem{v.ID(), v.Label, text})
		delete(f.complaints, v.Name)
	}
}

// byField asks who edits.
func byField() value {
	return value{input: input{field: field{Name: "by", Path: "by", Label: "Your name", Help: "Stands in the history. Asked once in this browser."}}, Kind: "text", Needed: true}
}

// textField, numberField and the like build the fields of forms; the name is
// that on the wire.
func textField(name, label, help string) value {
	return value{input: input{field: field{Name: name, Path: name, Label: label, Help: help}}, Kind: "text"}
}

func numberField(name, label, unit, help, blank string) value {
	return value{input: input{field: field{Name: name, Path: name, Label: label, Unit: unit, Help: help, Blank: blank}}}
}

func (v value) as(kind string) value { v.Kind = kind; return v }

func (v value) needed() value { v.Needed = true; return v }

func (v value) choose(options ...option) value {
	v.Kind, v.Options = "choice", options
	return v
}

// setNumber, setText and setTick fill a form from a record.
func setNumber(typed url.Values, name string, v *float64) {
	if v != nil {
		typed.Set(name, strconv.FormatFloat(*v, 'f', -1, 64))
	}
}

func setText(typed url.Values, name, text string) { typed.Set(name, text) }

func setTick(typed url.Values, name string, on bool) {
	if on {
		typed.Set(name, "true")
	}
}

// sent reads a form that was posted; nil when it did not arrive whole.
func (s *Frame) sent(w http.ResponseWriter, r *http.Request) *recordForm {
	r.Body = http.MaxBytesReader(w, r.Body, maxForm)
	if err := r.ParseForm(); err != nil {
		return nil
	}
	remember(w, r.PostForm.Get("by"))
	return newForm(r.PostForm)
}

// maxForm bounds what a form may hold, bytes.
const maxForm = 256 << 10

func (s *Frame) broken(w http.ResponseWriter) error {
	return s.pages.show(w, http.StatusBadRequest, "message", message{Title: "This did not arrive whole", Text: "Go back and send the form again."})
}

// saved leads on after a write.
func saved(w http.ResponseWriter, r *http.Request, address string) error {
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
		return s.pages.fragment(w, status, page, part, data)
	}
	return s.pages.show(w, status, page, data)
}

// formPage is a page with a form on it, and how to build it once the form has
// been refused.
type formPage struct {
	page, part string
	build      func() (any, error)
}

// submit writes what was sent unless it has complaints already, and leads on to
// the address that write returns. What is refused is shown again; name gives
// the form's name of a field on the wire.
func (s *Frame) submit(w http.ResponseWriter, r *http.Request, f *recordForm, p formPage, name func(path string) string, write func() (string, error)) error {
	if len(f.complaints) == 0 {
		address, err := write()
		if err == nil {
			return saved(w, r, address)
		}
		if !f.refused(err, name) {
			return s.fail(w, err)
		}
	}
	data, err := p.build()
	if err != nil {
		return s.fail(w, err)
	}
	return s.again(w, r, f.refusal(), p.page, p.part, data)
}

// refusal is the status of a form that is shown again.
func (f *recordForm) refusal() int {
	if f.moved != nil {
		return http.StatusConflict
	}
	return http.StatusUnprocessableEntity
}

// fail tells an error that no form can show. Faults of ours are left to the
// caller.
func (s *Frame) fail(w http.ResponseWriter, err error) error {
	p := rest.Explain(err)
	switch p.Status {
	case http.StatusInternalServerError:
		return err
	case http.StatusNotFound:
		return s.pages.show(w, p.Status, "message", message{Title: "Not on record", Text: "It may have been removed. Look for it in the list."})
	}
	return s.pages.show(w, p.Status, "message", message{Title: "This could not be done", Text: p.Detail + " Nothing was changed."})
}

// pathID reads a number from the address; 0, which nothing has, for others.
func pathID(r *http.Request, name string) int64 {
	id, err := strconv.ParseInt(r.PathValue(name), 10, 64)
	if err != nil {
		return 0
	}
	return id
}

// when and day tell times where the server stands.
func when(t time.Time) string { return t.Local().Format("2 Jan 2006, 15:04") }

func day(text string) string {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return text
	}
	return t.Format("2 Jan 2006")
}

// known writes a value with its unit, or a dash.
func known(v *float64, unit string) string {
	if v == nil {
		return "–"
	}
	if unit == "°" || unit == "" {
		return plain(*v) + unit
	}
	return plain(*v) + " " + unit
}

// changeLabel turns the name of a field on the wire into words.
func changeLabel(name string) string {
	seat := ""
	if rest, ok := strings.CutPrefix(name, "seat "); ok {
		number, what, _ := strings.Cut(rest, " ")
		seat, name = "Seat "+number+": ", what
	}
	if tested, ok := strings.CutPrefix(name, "ergometer test "); ok {
		return "Ergometer test, " + day(tested)
	}
	ranged := ""
	if rest, ok := strings.CutPrefix(name, "range of "); ok {
		ranged, name = "range of ", rest
	}
	label, ok := recordLabels[name]
	if !ok {
		label = settingLabels[name]
	}
	if label == "" {
		label = strings.ReplaceAll(name, "_", " ")
	}
	if seat+ranged != "" {
		return seat + ranged + lowerFirst(label)
	}
	return label
}

// recordLabels names what is not a setting.
var recordLabels = map[string]string{
	"name": "Name", "sex": "Sex", "birth_date": "Born on", "port_cost_s": "Port costs", "starboard_cost_s": "Starboard costs", "sculls": "Sculls",
	"note": "Note", "archived": "Put aside", "class_code": "Class", "boat_class": "Class", "hull_mass_kg": "Hull mass", "built_for_kg": "Built for",
	"waterline_length_m": "Waterline length", "waterline_beam_m": "Waterline beam", "side": "Side", "can_change_sides": "Fits both sides",
	"kind": "Kind", "count": "Oars", "blade": "Blade", "length_min_cm": "Length, least", "length_max_cm": "Length, most", "length_step_cm": "Length, step", "length_cm": "Length",
	"inboard_min_cm": "Inboard, least", "inboard_max_cm": "Inboard, most", "inboard_step_cm": "Inboard, step", "by": "Your name",
}

// unitOf tells the unit that a name carries.
func unitOf(name string) string {
	for _, u := range [...]struct{ suffix, unit string }{{"_cm", "cm"}, {"_deg", "°"}, {"_kg", "kg"}, {"_m", "m"}, {"_s", "s"}} {
		if strings.HasSuffix(name, u.suffix) {
			return u.unit
		}
	}
	return ""
}

// changeView is one line of a record's history.
type changeView struct{ What, From, To, By, At string }

// changeViews lists the history newest first.
func changeViews(list []wire.RecordChange) []changeView {
	var views []changeView
	for _, c := range slices.Backward(list) {
		views = append(views, changeView{
			What: changeLabel(c.What), From: withUnit(c.What, c.From), To: withUnit(c.What, c.To), By: c.By, At: when(c.At),
		})
	}
	return views
}

// withUnit writes a value of the history.
func withUnit(what string, text *string) string {
	if text == nil {
		return "–"
	}
	if v, ok := parseNumber(*text); ok && unitOf(what) != "" && !strings.Contains(what, "range of") {
		return known(&v, unitOf(what))
	}
	return shownText(*text)
}

// listQuery is what a list is asked for.
type listQuery struct {
	Name     string
	Archived bool
}

func newListQuery(r *http.Request) listQuery {
	q := r.URL.Query()
	return listQuery{Name: strings.TrimSpace(q.Get("name")), Archived: q.Get("archived") == "true"}
}

func (q listQuery) request() club.ListRequest {
	return club.ListRequest{Name: q.Name, Archived: q.Archived}
}

// removal is the page that asks before a record goes.
type removal struct {
	Title, Text   string
	Address, Back string
	Problem       string
}
