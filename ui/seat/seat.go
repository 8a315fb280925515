package seat

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/people"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/wire"
	"thole/ui/page"
)

// The page for one seat: a rig, as much of a body as is known, and what comes
// of the two. A second set-up may stand beside the first.

// second is the prefix of the second set-up's fields.
const second = "b_"

// seatPage is all that the page shows.
type seatPage struct {
	Classes []seat.BoatClass
	Class   seat.BoatClass
	Side    string
	Sex     string
	Level   string
	Light   string // "", yes, no
	Blade   string
	Mark    string // what the stretcher is read by; empty: the heel
	Rower   string // name of the rower, where the page was led to from one
	Boat    string // name of the boat, likewise

	AthleteID int64  // of the rower on record; 0 is none
	At        string // boat and seat on record, such as 3-5; empty: none
	Today     string
	Keep      *keepForm // nil where there is nobody to keep it for

	Rig, RigMore, Scale []page.Input
	RigB                []page.Input
	Body, Segments      []page.Input
	Targets             []page.Input
	Posture, Approach   []page.Input
	Reading             []page.Input
	ReadHeel, ReadKey   string // where the stretcher stood for the reading, cm, and which reading that was

	Comparing     bool
	Editing       bool // the form is to be shown unfolded
	Problems      []page.Problem
	First, Second *setupView
	Work          *seat.SeatFit // what the everyday job moves
	Steps         []step
	Address       string // that restores the inputs
	Entered       []page.Entry
	Live          bool // a recalculation, not a whole page
	Moved         bool // the discipline changed and the rig's figures with it

	typed   url.Values
	request *seat.SolveRequest
}

// seatPages lists the pages of this area.
func (s *site) seatPages() map[string]page.Route {
	return map[string]page.Route{"GET /seat": page.For(access.Everyone.SharedAs("seat"), s.seat), "POST /seat": page.For(access.Everyone.Calculating(), s.seatLive),
		"GET /seat/centimetres":     page.For(access.Everyone.SharedAs("seat"), s.steps),
		"POST /athletes/{id}/seats": page.For(access.Staff.OrOwn(access.Body, "id"), s.saveSeat), "GET /athletes/{id}/seats/{seat}": page.For(access.Staff.OrOwn(access.Body, "id"), s.savedSeat),
		"POST /athletes/{id}/seats/{seat}/send": page.For(access.Staff.OrOwn(access.Body, "id"), s.sendSavedSeat), "POST /athletes/{id}/seats/{seat}/remove": page.For(access.Staff.OrOwn(access.Body, "id"), s.removeSavedSeat)}
}

// seat answers the whole page.
func (s *site) seat(w http.ResponseWriter, r *http.Request) error {
	p := s.solveSeat(r.Context(), r.URL.Query())
	status := http.StatusOK
	if len(p.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.Pages.Show(w, status, "seat", p)
}

// seatLive answers a recalculation: the results and each field's message to
// htmx, the address of the whole page to anything else.
func (s *site) seatLive(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.Pages.Show(w, http.StatusBadRequest, "message", page.Message{Title: "That was cut off", Text: "Go back and send the form again."})
	}
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, "/seat?"+address(r.PostForm), http.StatusSeeOther)
		return nil
	}
	p := s.solveSeat(r.Context(), r.PostForm)
	p.Live = len(p.Problems) == 0
	return s.Recalculated(w, page.Live{Page: "seat", Refused: "seat-refused", Results: "seat-live", Address: p.Address, Problems: p.Problems}, p)
}

// passing are the values of a request that are not the seat's.
var passing = map[string]bool{"was": true, "leaf": true, "edit": true, "saved": true}

// address returns the values that were filled in, as a query.
func address(typed url.Values) string {
	kept := url.Values{}
	for name, values := range typed {
		if v := strings.TrimSpace(values[0]); v != "" && !passing[name] {
			kept.Set(name, v)
		}
	}
	return kept.Encode()
}

// solveSeat reads the form and solves one or two set-ups.
func (s *site) solveSeat(ctx context.Context, typed url.Values) *seatPage {
	p := s.newSeatPage(typed)
	request, complaints := p.read(typed)
	p.First = s.solveOne(ctx, request, complaints, p.Class, "a")
	p.fill(typed, complaints)
	if p.Comparing {
		p.solveSecond(ctx, s, typed, *request)
	}
	p.Address = "/seat?" + address(typed)
	p.Entered = p.entered()
	if p.First != nil {
		p.Work = s.work(ctx, request)
		p.Steps = p.steps(s.figuresOf(ctx))
		p.Keep = s.keepForm(ctx, p)
	}
	return p
}

// StepsAddress leads to what one step of each setting does, with load and time.
func (p *seatPage) StepsAddress() string { return "/seat/centimetres?" + address(p.typed) }

// work reports what the everyday job moves; nil where nothing can be told.
func (s *site) work(ctx context.Context, r *seat.SolveRequest) *seat.SeatFit {
	goal := func(v *float64) *seat.Goal {
		if v == nil {
			return nil
		}
		return &seat.Goal{Value: *v}
	}
	fit, err := s.service.Seat.FitSeat(ctx, seat.FitRequest{SolveRequest: *r, Targets: &seat.FitTargets{
		CatchDeg: goal(r.Targets.CatchDeg), FinishDeg: goal(r.Targets.FinishDeg),
	}})
	if err != nil {
		return nil
	}
	return &fit
}

// newSeatPage settles class and side, and with them which fields there are.
func (s *site) newSeatPage(typed url.Values) *seatPage {
	p := &seatPage{
		Classes: s.service.Seat.BoatClasses(), Side: typed.Get("side"), Sex: typed.Get("sex"), Level: typed.Get("level"), Light: typed.Get("light"),
		Blade: typed.Get("blade"), Mark: typed.Get("mark"), Editing: typed.Get("edit") != "", typed: typed,
		Rower: strings.TrimSpace(typed.Get("rower")), Boat: strings.TrimSpace(typed.Get("boat")), Today: s.service.Club.Today(),
	}
	p.AthleteID, _ = strconv.ParseInt(typed.Get("athlete"), 10, 64) // 0 is none
	if _, _, ok := people.SeatAt(typed.Get("at")); ok {
		p.At = typed.Get("at")
	}
	if p.Blade == "hatchet" {
		p.Blade = ""
	}
	if p.Mark == "heel" {
		p.Mark = ""
	}
	p.Class = p.Classes[0]
	for _, c := range p.Classes {
		if c.Code == typed.Get("class") {
			p.Class = c
		}
	}
	p.settle(typed)
	return p
}

// settle gives the page its starting rig: when it is opened empty, and when
// the choice of boat has moved between sculling and sweep, whose measures do
// not carry over.
func (p *seatPage) settle(typed url.Values) {
	start := startRig(p.Class)
	was, moved := typed.Get("was"), false
	if was != "" && (was == "scull") != p.Class.Scull {
		moved = true
		for name := range typed {
			if strings.HasPrefix(name, second) {
				typed.Del(name)
			}
		}
	}
	for name, value := range start {
		if _, sent := typed[name]; !sent || moved {
			typed.Set(name, value)
		}
	}
	if typed.Get("side") == "" && !p.Class.Scull {
		p.Side = "port"
		typed.Set("side", p.Side)
	}
	if p.Class.Scull {
		p.Side = ""
		typed.Del("side")
	}
	p.Moved = moved
	if moved {
		for _, f := range page.Concat(page.ScullFields, page.ScullMoreFields, page.SweepFields) {
			if _, ours := start[f.Name]; !ours {
				typed.Del(f.Name)
			}
		}
	}
	if typed.Get("class") == "" {
		typed.Set("class", p.Class.Code)
	}
}

// startRig is a usual rig of the class to start from, as people type it.
func startRig(c seat.BoatClass) map[string]string {
	rig := map[string]string{}
	for name, v := range settings.StartRig(c.Code) {
		rig[name] = page.Plain(v)
	}
	return rig
}

// Fields of this page alone: the boat's own mark of the stretcher, and what is
// read with the rower in the seat.
var (
	scaleFields = []page.Field{
		{Name: "mark_offset_cm", Path: "stretcher.offset_cm", Label: "Tape at the pins", Unit: "cm", Help: "What the tape reads with the mark on the line through the pins; with holes: heel to that line in hole 0.", Blank: "0", At: func(r *seat.SolveRequest) **float64 { return &r.Stretcher.OffsetCm }},
		{Name: "mark_toe_cm", Path: "stretcher.toe_along_cm", Label: "Heel to toe mark", Unit: "cm", Help: "Along the plate.", At: func(r *seat.SolveRequest) **float64 { return &r.Stretcher.ToeAlongCm }},
		{Name: "mark_pitch_cm", Path: "stretcher.hole_pitch_cm", Label: "Hole to hole", Unit: "cm", Help: "Negative where the numbers grow towards the bow.", At: func(r *seat.SolveRequest) **float64 { return &r.Stretcher.HolePitchCm }},
	}
	readFields = []page.Field{
		{Name: "read_finish_cm", Path: "readings.0.finish_cm", Label: "Read at the finish", Unit: "cm", Help: "Towards the bow.", At: func(r *seat.SolveRequest) **float64 { return &r.Readings[0].FinishCm }},
		{Name: "read_catch_cm", Path: "readings.0.catch_cm", Label: "Read at full reach", Unit: "cm", Help: "Towards the stern.", At: func(r *seat.SolveRequest) **float64 { return &r.Readings[0].CatchCm }},
	}
)

// read turns what was typed into a request; complaints holds what is no number.
func (p *seatPage) read(typed url.Values) (r *seat.SolveRequest, complaints *page.Complaints) {
	r = &seat.SolveRequest{
		BoatClass: p.Class.Code, Level: p.Level, Blade: p.Blade,
		Targets: &seat.Targets{}, Posture: &seat.Posture{}, Approach: &seat.Approach{},
		Stretcher: &seat.Stretcher{Mark: p.Mark}, Readings: []seat.Reading{{}},
	}
	p.request = r
	r.Seat.Side, r.Rower.Sex = p.Side, p.Sex
	switch p.Light {
	case "yes", "no":
		light := p.Light == "yes"
		r.Lightweight = &light
	}
	first, more := page.FieldsOfRig(p.Class.Scull)
	all := page.Concat(first, more, page.BodyFields, page.SegmentFields, page.TargetFields, page.PostureFields, page.ApproachFields, scaleFields, readFields)
	complaints = page.Bind(all, "", typed, r)
	p.misplaced(typed, complaints)
	if c := r.Targets.CatchDeg; c != nil {
		*c = -*c
	}
	p.readMark(r, complaints)
	p.readReading(r, typed)
	return r, complaints
}

// readMark turns the boat's own number of the stretcher into the heel's place.
func (p *seatPage) readMark(r *seat.SolveRequest, complaints *page.Complaints) {
	if p.Mark == "" && r.Stretcher.OffsetCm == nil {
		r.Stretcher = nil
		return
	}
	if r.Stretcher.Mark == "" {
		r.Stretcher.Mark = "heel"
	}
	if r.Seat.HeelToPinCm == nil {
		return
	}
	heel, err := r.Stretcher.HeelToPinCm(*r.Seat.HeelToPinCm, p.plate())
	if err != nil {
		complaints.Merge(wire.Place{}, err)
		return
	}
	r.Seat.HeelToPinCm = &heel
}

// plate is the stretcher's angle, degrees.
func (p *seatPage) plate() float64 { return p.request.Seat.PlateDeg() }

// toMark is what the boat's stretcher reads with the heel at a place, cm.
func (p *seatPage) toMark(heel float64) float64 {
	if p.request.Stretcher == nil {
		return heel
	}
	return p.request.Stretcher.MarkAt(heel, p.plate())
}

// readReading keeps where the stretcher stood when the reading was taken: a new
// reading was taken where it stands now, one that was here before where it stood
// then.
func (p *seatPage) readReading(r *seat.SolveRequest, typed url.Values) {
	reading := &r.Readings[0]
	if reading.FinishCm == nil && reading.CatchCm == nil {
		r.Readings = nil
		typed.Del("read_heel")
		typed.Del("read_key")
		return
	}
	p.ReadKey = strings.TrimSpace(typed.Get("read_finish_cm")) + "/" + strings.TrimSpace(typed.Get("read_catch_cm"))
	heel, ok := page.ParseNumber(typed.Get("read_heel"))
	if typed.Get("read_key") != p.ReadKey || !ok {
		if r.Seat.HeelToPinCm == nil {
			return
		}
		heel = *r.Seat.HeelToPinCm
	}
	reading.HeelToPinCm = &heel
	p.ReadHeel = page.Plain(heel)
	typed.Set("read_heel", p.ReadHeel)
	typed.Set("read_key", p.ReadKey)
}

// value is what was typed in a field.
func (p *seatPage) value(name string) string { return strings.TrimSpace(p.typed.Get(name)) }

// with is the address with one more value.
func (p *seatPage) with(name, value string) string {
	return p.withAll(map[string]string{name: value})
}

// withAll is the address with values in the place of those that were typed.
func (p *seatPage) withAll(values map[string]string) string {
	next := url.Values{}
	for name, v := range p.typed {
		next[name] = v
	}
	for name, v := range values {
		next.Set(name, v)
	}
	return "/seat?" + address(next)
}

// linkTo is the address of the form unfolded at a field.
func (p *seatPage) linkTo(field string) string {
	return "/seat?" + address(p.typed) + "&edit=1#" + field
}

// misplaced complains about a class that is not known, and about measures that
// belong to the other discipline: an address may have been put together by
// hand.
func (p *seatPage) misplaced(typed url.Values, complaints *page.Complaints) {
	if asked := typed.Get("class"); asked != p.Class.Code {
		complaints.Report(wire.At("boat_class"), "There is no boat class “"+asked+"” here.")
	}
	other, text := page.Concat(page.ScullFields, page.ScullMoreFields), " belongs to a sculling boat: a sweep boat has a spread and one gate."
	if p.Class.Scull {
		other, text = page.SweepFields, " belongs to a sweep boat: a sculling boat has a span, pin to pin."
	}
	for _, f := range other {
		if typed.Get(f.Name) != "" {
			complaints.Report(f.Place(), f.Label+text)
		}
	}
}

// solveOne solves a request unless it has complaints already, and adds those
// that solving brings.
func (s *site) solveOne(ctx context.Context, r *seat.SolveRequest, complaints *page.Complaints, class seat.BoatClass, id string) *setupView {
	if complaints.Any() {
		return nil
	}
	solution, err := s.service.Seat.SolveSeat(ctx, *r)
	var bad *wire.Invalid
	var stuck *wire.Unreachable
	switch {
	case errors.As(err, &bad):
		complaints.Merge(wire.Place{}, bad)
		// People type the catch without its sign.
		if catch := wire.At("targets", "catch_deg"); complaints.Has(catch) {
			complaints.Take(catch)
			complaints.Report(catch, "The target catch is a plain number from 10 to 85°.")
		}
		return nil
	case errors.As(err, &stuck):
		complaints.Report(wire.Place{}, stuck.Text)
		return nil
	}
	return newSetupView(&solution, class, id)
}

// withUnit writes what was typed with its unit; a hole has its number behind.
func withUnit(in *page.Input) string {
	if in.Unit == "hole" {
		return "hole " + in.Value
	}
	return in.Value + " " + in.Unit
}

// fill keeps what was typed in the fields, with the complaint beside each.
func (p *seatPage) fill(typed url.Values, complaints *page.Complaints) {
	first, more := page.FieldsOfRig(p.Class.Scull)
	for _, group := range []struct {
		into   *[]page.Input
		fields []page.Field
	}{
		{&p.Rig, first}, {&p.RigMore, more}, {&p.Body, page.BodyFields}, {&p.Segments, page.SegmentFields},
		{&p.Targets, page.TargetFields}, {&p.Posture, page.PostureFields}, {&p.Approach, page.ApproachFields},
		{&p.Scale, scaleFields}, {&p.Reading, readFields},
	} {
		*group.into = complaints.Inputs(group.fields, "", typed, &p.Problems)
	}
	p.inHoles(p.Rig)
	p.Problems = append(p.Problems, complaints.Rest()...)
	p.RigB = new(page.Complaints).Inputs(page.Concat(first, more), second, typed, &p.Problems)
	for i := range p.RigB {
		p.RigB[i].Blank = "same"
		p.Comparing = p.Comparing || p.RigB[i].Value != ""
	}
	p.inHoles(p.RigB)
}

// inHoles says of the stretcher's field that it holds the number of a hole.
func (p *seatPage) inHoles(fields []page.Input) {
	for i := range fields {
		if p.Mark == "hole" && strings.HasSuffix(fields[i].Name, "heel_to_pin_cm") {
			fields[i].Unit = "hole"
		}
	}
}

// solveSecond solves the second set-up: the first with the fields that were
// filled in replaced.
func (p *seatPage) solveSecond(ctx context.Context, s *site, typed url.Values, r seat.SolveRequest) {
	first, more := page.FieldsOfRig(p.Class.Scull)
	complaints := page.Bind(page.Concat(first, more), second, typed, &r)
	p.secondMark(&r, typed)
	p.Second = s.solveOne(ctx, &r, complaints, p.Class, "b")
	p.RigB = complaints.Inputs(page.Concat(first, more), second, typed, &p.Problems)
	for i := range p.RigB {
		p.RigB[i].Blank = "same"
	}
	for _, rest := range complaints.Rest() {
		rest.Label = "Second set-up"
		p.Problems = append(p.Problems, rest)
	}
}

// secondMark reads the second set-up's stretcher as the first one's.
func (p *seatPage) secondMark(r *seat.SolveRequest, typed url.Values) {
	if r.Stretcher == nil || strings.TrimSpace(typed.Get(second+"heel_to_pin_cm")) == "" || r.Seat.HeelToPinCm == nil {
		return
	}
	if heel, err := r.Stretcher.HeelToPinCm(*r.Seat.HeelToPinCm, p.plate()); err == nil {
		r.Seat.HeelToPinCm = &heel
	}
}

// Title names who sits where, as far as the page was told.
func (p *seatPage) Title() string {
	switch {
	case p.Rower != "" && p.Boat != "":
		return p.Rower + " in " + p.Boat
	case p.Rower != "":
		return p.Rower
	case p.Boat != "":
		return p.Boat
	}
	return "Check a seat"
}

// Line describes rig and rower in one line, for the folded form.
func (p *seatPage) Line() string {
	out := "span_cm"
	if !p.Class.Scull {
		out = "spread_cm"
	}
	line := p.Class.Code + " · " + p.value(out) + " / " + p.value("inboard_cm") + " / " + p.value("oar_length_cm") + " cm"
	rower := ""
	if v := p.value("stature_cm"); v != "" {
		rower = v + "\u00a0cm" // of a body
	}
	if v := p.value("mass_kg"); v != "" {
		rower = strings.TrimSpace(rower + " " + v + " kg")
	}
	if rower == "" {
		rower = "rower not known"
	}
	return line + " · " + rower
}

// MoreRig reports whether something is stated of the rarer settings.
func (p *seatPage) MoreRig() bool {
	stated := p.Mark != "" || p.Blade != ""
	for _, group := range [][]page.Input{p.RigMore, p.Scale} {
		for _, in := range group {
			stated = stated || in.Value != "" || in.Problem != ""
		}
	}
	return stated
}

// entered lists what was filled in, for the printed sheet.
func (p *seatPage) entered() []page.Entry {
	list := []page.Entry{{Label: "Boat", Value: p.Class.Code + " " + p.Class.Name}}
	if p.Side != "" {
		list = append(list, page.Entry{Label: "Side", Value: p.Side})
	}
	for _, group := range [][]page.Input{p.Rig, p.RigMore, p.Scale, p.Body, p.Segments, p.Targets, p.Posture, p.Approach, p.Reading} {
		for _, in := range group {
			if in.Value != "" {
				list = append(list, page.Entry{Label: in.Label, Value: withUnit(&in)})
			}
		}
	}
	for _, in := range p.RigB {
		if in.Value != "" {
			list = append(list, page.Entry{Label: "Second: " + in.Label, Value: withUnit(&in)})
		}
	}
	return list
}

// Fields lists every field with its complaint, for the messages beside them.
func (p *seatPage) Fields() []page.Input {
	var all []page.Input
	for _, group := range [][]page.Input{p.Rig, p.RigMore, p.Scale, p.Body, p.Segments, p.Targets, p.Posture, p.Approach, p.Reading, p.RigB} {
		all = append(all, group...)
	}
	return all
}
