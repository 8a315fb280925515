package setup

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"thole/api/access"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// NewSheet puts a work sheet on record: what SetUp answers to the same fields,
// to be done and measured.
type NewSheet struct {
	BoatID      int64 `json:"boat_id" validate:"required,gte=0"`
	BoatVersion int64 `json:"boat_version" validate:"required,gte=0" description:"That the set-up was calculated for."`
	SetupFields
	Note string `json:"note,omitempty" validate:"omitempty,max=2000"`
	By   string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who makes the sheet."`
}

// SheetSummary is a work sheet in a list.
type SheetSummary struct {
	ID         int64      `json:"id"`
	BoatID     int64      `json:"boat_id"`
	BoatName   string     `json:"boat_name"`
	BoatClass  string     `json:"boat_class"`
	LineupName string     `json:"lineup_name" description:"Empty where the crew was put together for the sheet."`
	Note       string     `json:"note"`
	CreatedBy  string     `json:"created_by"`
	CreatedAt  time.Time  `json:"created_at"`
	DoneBy     string     `json:"done_by"`
	DoneAt     *time.Time `json:"done_at" description:"Null while the sheet is open."`
}

// SheetList lists work sheets, newest first.
type SheetList struct {
	Sheets []SheetSummary `json:"sheets"`
}

// SheetsRequest asks for work sheets.
type SheetsRequest struct {
	BoatID int64 `query:"boat_id" json:"-" validate:"omitempty,gte=1" description:"Without it, those of every boat."`
	Open   bool  `query:"open" json:"-" description:"Only those that are not done."`
}

// Sheet is a work sheet.
type Sheet struct {
	SheetSummary
	BoatVersion int64               `json:"boat_version" description:"Of the boat, that the sheet was made for."`
	BoatNow     int64               `json:"boat_now" description:"Version of the boat as it stands."`
	Moved       []wire.RecordChange `json:"moved" description:"What changed at the boat since, while the sheet is open."`
	Job         string              `json:"job"`
	Level       string              `json:"level"`
	Targets     []seat.CommonTarget `json:"targets"`
	Seats       []SheetSeat         `json:"seats" description:"Bow first."`
	Staying     []int               `json:"staying" description:"Seats of the crew that the sheet leaves as they are."`
	ToDo        int                 `json:"to_do" description:"Lines that move something."`
	Done        int                 `json:"done" description:"Of those, the ones measured within their tolerance."`
	Off         int                 `json:"off" description:"Lines measured outside their tolerance."`
	Rules       seat.RulesAnswer    `json:"rules"`
	Cautions    []SeatCaution       `json:"cautions"`
	Tools       []string            `json:"tools"`
	Recheck     []string            `json:"recheck" description:"What to check again after the work."`
}

// SheetSeat is one seat of a work sheet.
type SheetSeat struct {
	Number    int           `json:"number"`
	Side      string        `json:"side"`
	AthleteID *int64        `json:"athlete_id"`
	Name      string        `json:"name" description:"Empty where the athlete is no longer on record."`
	Planned   *SeatOutcome  `json:"planned" description:"With every value on target; null where the rower is not known any more."`
	Measured  *SeatOutcome  `json:"measured" description:"With what was measured; null while nothing was."`
	Lines     []SheetLine   `json:"lines" description:"In the order of the work."`
	Readings  []SeatReading `json:"readings" description:"What was read with the rower in the seat, oldest first."`
}

// SeatReading is what was read of the handle with the rower in the seat.
type SeatReading struct {
	FinishCm     *float64  `json:"finish_cm"`
	CatchCm      *float64  `json:"catch_cm"`
	CatchDeg     *float64  `json:"catch_deg" description:"The oar's angle there; negative."`
	FinishDeg    *float64  `json:"finish_deg"`
	HeelTargetCm *float64  `json:"heel_to_pin_cm" description:"Where the stretcher was sent by it; null where it stayed."`
	By           string    `json:"by"`
	At           time.Time `json:"at"`
}

// SheetLine is one setting on a work sheet.
type SheetLine struct {
	Seat      int      `json:"seat"`
	Setting   string   `json:"setting" description:"Name with its unit, as in seat."`
	AsFound   *float64 `json:"as_found" description:"In the setting's unit; null where it was never measured."`
	StandsOn  *float64 `json:"stands_on" description:"In the setting's unit: what was calculated with where nothing was measured; null for a usual value."`
	Target    float64  `json:"target" description:"In the setting's unit."`
	Tolerance float64  `json:"tolerance" description:"In the setting's unit."`
	LineText
	Measured   *float64   `json:"measured" description:"In the setting's unit; null while it is not done."`
	MeasuredBy string     `json:"measured_by"`
	MeasuredAt *time.Time `json:"measured_at"`
	Off        float64    `json:"off" description:"How far the measured value lies outside the tolerance, in the setting's unit; 0 inside."`
	OffText    string     `json:"off_text" description:"What to move to mend it."`
}

// NewReading is a value measured for a line of a sheet. The key is the
// sender's own for this reading: sent again with every attempt it counts once.
type NewReading struct {
	SheetID int64      `path:"id" json:"-" validate:"gte=1"`
	Key     string     `path:"key" json:"-" validate:"max=200"`
	Seat    int        `json:"seat" validate:"required,gte=1,lte=8"`
	Setting string     `json:"setting" validate:"required,max=80"`
	Value   *float64   `json:"value,omitempty" validate:"omitempty,gte=-500,lte=500" description:"In the setting's unit; needed unless it is said."`
	Said    string     `json:"said,omitempty" validate:"omitempty,max=40" description:"As people say it at the boat, in place of the value: 16.5, +2 washers, 1 clam off, hole 7. Counts are from the value as found; one without a sign goes the way that the line says."`
	At      *time.Time `json:"at,omitempty" description:"When it was measured; without it, now. Of two readings the later measured one counts."`
	By      string     `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who measured."`
}

// FinishRequest closes a sheet and takes what was measured into the history of
// the boat's rig.
type FinishRequest struct {
	SheetID     int64  `path:"id" json:"-" validate:"gte=1"`
	BoatVersion int64  `json:"boat_version" validate:"required,gte=0" description:"Of the boat as it was last seen: boat_now of the sheet."`
	By          string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history."`
}

// AddSheet works a set-up out and puts its work sheet on record.
func (s *Service) AddSheet(ctx context.Context, r NewSheet) (Sheet, error) {
	var bad wire.Problems
	bad.Check(wire.At(), &r)
	if err := bad.OrNil(); err != nil {
		return Sheet{}, err
	}
	plan, err := s.plan(ctx, &SetupRequest{BoatID: r.BoatID, SetupFields: r.SetupFields})
	if err != nil {
		return Sheet{}, err
	}
	if plan.boat.Version != r.BoatVersion {
		return Sheet{}, s.fleet.MovedOn(ctx, &plan.boat, r.BoatVersion)
	}
	h, err := plan.sheet()
	if err != nil {
		return Sheet{}, err
	}
	h.Note = strings.TrimSpace(r.Note)
	id, err := s.Store.AddSheetWithOars(ctx, h, plan.oars, s.Signed(r.By))
	if err != nil {
		return Sheet{}, records.RecordError(err)
	}
	return s.Sheet(ctx, records.IDRequest{ID: id})
}

// sheet turns the plan into a sheet for the records.
func (p *plan) sheet() (store.Sheet, error) {
	h := store.Sheet{BoatID: p.boat.ID, BoatVersion: p.boat.Version, CoxMassKg: p.request.CoxMassKg}
	p.keepTask(&h)
	var crew []CrewPlace // athletes by id alone, so that nothing of them outlives their record
	for i := range p.places {
		seat, sets := p.seat(i), p.request.sets(p.places[i].Seat)
		if seat.Result == nil && sets {
			return h, wire.At("by_hand").Invalid(fmt.Sprintf("Seat %d cannot be rowed as set by hand: %s", seat.Number, seat.Stuck))
		}
		place := p.places[i].CrewPlace
		if place.AthleteID != nil {
			place = CrewPlace{Seat: place.Seat, AthleteID: place.AthleteID}
		}
		crew = append(crew, place)
		for _, l := range seat.Lines {
			if !sets {
				break
			}
			h.Lines = append(h.Lines, store.SheetLine{Seat: seat.Number, Setting: l.Setting, StandsOn: l.StandsOn, Target: l.Target, Tolerance: l.Tolerance})
		}
	}
	for _, t := range p.commonTargets() {
		*targetOf(&h, t.Target) = &t.Value
	}
	var chosen []string
	for _, t := range p.work.Chosen {
		chosen = append(chosen, seat.WireTarget(t))
	}
	if p.lineup != nil {
		h.LineupID = &p.lineup.ID
	}
	return h, errors.Join(keepList(&h.Crew, crew), keepList(&h.ChosenTargets, chosen))
}

// keepList writes a list as it is kept; nothing for an empty one.
func keepList[T any](to **string, list []T) error {
	if len(list) == 0 {
		return nil
	}
	text, err := json.Marshal(list)
	*to = wire.Ptr(string(text))
	return err
}

// keptList reads a list that keepList wrote.
func keptList[T any](text *string) (list []T, err error) {
	if text == nil {
		return nil, nil
	}
	return list, json.Unmarshal([]byte(*text), &list)
}

// keepTask keeps how the set-up was asked for.
func (p *plan) keepTask(h *store.Sheet) {
	h.Job, h.Level, h.Light = string(p.request.job()), p.request.Level, p.request.Light
	if l := p.request.Limits; l != nil {
		h.LimitLeanDeg, h.LimitLaybackDeg, h.LimitKneeFlexionDeg, h.LimitTrunkThighDeg = l.LeanDeg, l.LaybackDeg, l.KneeFlexionDeg, l.TrunkThighDeg
	}
}

// keptTask is what keepTask kept.
func keptTask(h *store.Sheet) SetupFields {
	return SetupFields{
		LineupID: h.LineupID, Job: h.Job, Level: h.Level, Light: h.Light,
		Limits:  &seat.Limits{LeanDeg: h.LimitLeanDeg, LaybackDeg: h.LimitLaybackDeg, KneeFlexionDeg: h.LimitKneeFlexionDeg, TrunkThighDeg: h.LimitTrunkThighDeg},
		Targets: &seat.Targets{CatchDeg: h.TargetCatchDeg, FinishDeg: h.TargetFinishDeg},
	}
}

// Sheets lists work sheets.
func (s *Service) Sheets(ctx context.Context, r SheetsRequest) (SheetList, error) {
	sheets, err := s.Store.Sheets(store.Paged(ctx), store.SheetFilter{BoatID: r.BoatID, Open: r.Open})
	if err != nil {
		return SheetList{}, records.RecordError(err)
	}
	boats, err := s.Store.Boats(ctx, store.Filter{Archived: true})
	if err != nil {
		return SheetList{}, records.RecordError(err)
	}
	lineups, err := s.Store.Lineups(ctx, store.Filter{Archived: true})
	if err != nil {
		return SheetList{}, records.RecordError(err)
	}
	boat, lineup := map[int64]*store.Boat{}, map[int64]string{}
	for i := range boats {
		boat[boats[i].ID] = &boats[i]
	}
	for i := range lineups {
		lineup[lineups[i].ID] = lineups[i].Name
	}
	list := SheetList{Sheets: make([]SheetSummary, 0, len(sheets))}
	for i := range sheets {
		h := &sheets[i]
		if b := boat[h.BoatID]; b != nil { // nil: made and deleted in between
			list.Sheets = append(list.Sheets, summary(h, b.Name, b.ClassCode, lineup[wire.Or(h.LineupID, 0)]))
		}
	}
	return list, nil
}

func summary(h *store.Sheet, boat, class, lineup string) SheetSummary {
	return SheetSummary{
		ID: h.ID, BoatID: h.BoatID, BoatName: boat, BoatClass: class, LineupName: lineup, Note: h.Note,
		CreatedBy: h.CreatedBy, CreatedAt: h.CreatedAt, DoneBy: h.DoneBy, DoneAt: moment(h.DoneAt),
	}
}

// moment is nil for a time that has not come.
func moment(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

// Sheet returns one work sheet.
func (s *Service) Sheet(ctx context.Context, r records.IDRequest) (Sheet, error) {
	h, err := s.Store.Sheet(ctx, r.ID)
	if err != nil {
		return Sheet{}, records.RecordError(err)
	}
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: h.BoatID})
	if err != nil {
		return Sheet{}, err
	}
	crew, err1 := keptList[CrewPlace](h.Crew)
	chosen, err2 := keptList[string](h.ChosenTargets)
	if err := errors.Join(err1, err2); err != nil {
		return Sheet{}, fmt.Errorf("sheet %d: reading the crew: %w", h.ID, err)
	}
	p := &plan{boat: boat, request: &SetupRequest{SetupFields: keptTask(&h)}}
	p.request.CoxMassKg = h.CoxMassKg
	p.class, _ = rigging.ClassByCode(boat.BoatClass)
	p.limits, p.targets = p.request.Limits.Domain(), p.request.Targets.Domain()
	w := Sheet{BoatVersion: h.BoatVersion, BoatNow: boat.Version, Moved: []wire.RecordChange{}, Job: h.Job, Level: p.request.level().String(), Targets: storedTargets(&h, chosen), Seats: []SheetSeat{}, Staying: []int{}, Recheck: recheck(p.class)}
	if w.SheetSummary, err = s.named(ctx, &h, p); err != nil {
		return Sheet{}, err
	}
	if w.DoneAt == nil && boat.Version != h.BoatVersion {
		since, err := s.Store.Changes(ctx, store.BoatRecord, boat.ID, h.BoatVersion)
		if err != nil {
			return Sheet{}, records.RecordError(err)
		}
		w.Moved = records.WireChanges(since)
	}
	if w.Rules, err = s.seat.CheckRules(ctx, p.rulesRequest()); err != nil {
		return Sheet{}, err
	}
	return w, s.fillSeats(ctx, &w, &h, p, crew)
}

// named fills in the names around a sheet.
func (s *Service) named(ctx context.Context, h *store.Sheet, p *plan) (SheetSummary, error) {
	name := ""
	if h.LineupID != nil {
		if err := s.findLineup(ctx, p); err != nil {
			return SheetSummary{}, err
		}
		name = p.lineup.Name
	}
	return summary(h, p.boat.Name, p.boat.BoatClass, name), nil
}

// fillSeats puts the lines on a sheet by seat, with what comes of them and the
// cautions they give reason for.
func (s *Service) fillSeats(ctx context.Context, w *Sheet, h *store.Sheet, p *plan, crew []CrewPlace) error {
	arcs, err := s.Store.ArcsOfSheet(ctx, h.ID)
	if err != nil {
		return records.RecordError(err)
	}
	for _, place := range crew {
		m, err := s.crewMember(ctx, place, p.class, h.CreatedAt.Format(wire.DayLayout), h.DoneAt)
		if err != nil && !errors.Is(err, wire.ErrNotFound) {
			return err
		}
		own := arcsOfSeat(arcs, place.Seat)
		if place.AthleteID == nil {
			m.arcs = own
			slices.Reverse(m.arcs)
		}
		if err == nil {
			p.places = append(p.places, m)
		}
		seat := sheetSeat(p, &m, h.Lines)
		if len(seat.Lines) == 0 && len(h.Lines) > 0 {
			w.Staying = append(w.Staying, seat.Number)
			continue
		}
		seat.Readings = p.seatReadings(own)
		w.Seats = append(w.Seats, seat)
	}
	var g gathered
	p.tryOut(w, &g)
	var moved []string
	for i := range w.Seats {
		for _, l := range w.Seats[i].Lines {
			w.count(&l)
			if l.Moves {
				moved = append(moved, l.Setting)
			}
		}
	}
	g.add(0, seat.WireCautions(p.limits.Cautions())...)
	g.add(0, p.boat.Cautions...)
	w.Tools, w.Cautions = tools(moved), g.list()
	return nil
}

// arcsOfSeat picks the readings of a seat.
func arcsOfSeat(all []store.MeasuredArc, number int) []store.MeasuredArc {
	var own []store.MeasuredArc
	for _, a := range all {
		if a.Seat == number {
			own = append(own, a)
		}
	}
	return own
}

// seatReadings puts the readings of a seat on the wire.
func (p *plan) seatReadings(arcs []store.MeasuredArc) []SeatReading {
	list := []SeatReading{}
	for i := range arcs {
		a := &arcs[i]
		r := SeatReading{FinishCm: a.FinishCm, CatchCm: a.CatchCm, HeelTargetCm: a.HeelTargetCm, By: a.By, At: a.At}
		setup := arcRig(p.class, a)
		arc := readingOf(a).Arc(&setup)
		if a.FinishCm != nil {
			r.FinishDeg = wire.Ptr(wire.ToDeg(arc.Finish))
		}
		if a.CatchCm != nil {
			r.CatchDeg = wire.Ptr(wire.ToDeg(arc.Catch))
		}
		list = append(list, r)
	}
	return list
}

// Settled reports whether the line was measured and lies within its tolerance.
func (l *SheetLine) Settled() bool { return l.Measured != nil && l.Off == 0 }

func (w *Sheet) count(l *SheetLine) {
	if l.Moves {
		w.ToDo++
		if l.Settled() {
			w.Done++
		}
	}
	if l.Off != 0 {
		w.Off++
	}
}

// sheetSeat is one seat of a sheet with its lines.
func sheetSeat(p *plan, m *crewMember, lines []store.SheetLine) SheetSeat {
	w := SheetSeat{Number: m.Seat, Side: p.boat.Seats[m.Seat-1].Side, AthleteID: m.AthleteID, Name: m.Name, Lines: []SheetLine{}}
	plate := plateOf(m.Seat, lines)
	for i := range lines {
		if lines[i].Seat == m.Seat {
			w.Lines = append(w.Lines, sheetLine(p.class, &p.boat, &lines[i], plate))
		}
	}
	return w
}

// plateOf is the angle that the plate of a seat is to stand at, °.
func plateOf(number int, lines []store.SheetLine) float64 {
	for i := range lines {
		if lines[i].Seat == number && lines[i].Setting == settings.Name(rigging.SettingPlateAngle) {
			return lines[i].Target
		}
	}
	return 0
}

// rig is the seat with its lines on target, or where they were measured; any
// reports whether one was.
func (w *SheetSeat) rig(over *float64, measured bool) (rig seat.Seat, any bool) {
	rig = rigOf(w.Side, over, w.Lines, func(l *SheetLine) (string, float64) {
		if measured && l.Measured != nil {
			any = true
			return l.Setting, *l.Measured
		}
		return l.Setting, l.Target
	})
	return rig, any
}

// asFound puts the boat back to how the sheet found it.
func (w *SheetSeat) asFound(over *float64) seat.Seat {
	rig := seat.Seat{Side: w.Side, SeatOverWaterCm: over}
	for i := range w.Lines {
		*rig.SettingField(w.Lines[i].Setting) = w.Lines[i].AsFound
	}
	return rig
}

// stoodOn is what the sheet calculated with where nothing was measured.
func (w *SheetSeat) stoodOn() map[string]float64 {
	starts := map[string]float64{}
	for i := range w.Lines {
		if l := &w.Lines[i]; l.AsFound == nil && l.StandsOn != nil {
			starts[l.Setting] = *l.StandsOn
		}
	}
	return starts
}

// tryOut fills in what comes of the seats whose rowers are known, judged as in
// the set-up, and what they give reason to heed. What cannot be rowed is left
// open.
func (p *plan) tryOut(w *Sheet, g *gathered) {
	if len(p.places) == 0 {
		return
	}
	seats := map[int]*SheetSeat{}
	p.boat.Seats = slices.Clone(p.boat.Seats)
	for i := range w.Seats {
		seat := &w.Seats[i]
		seats[seat.Number] = seat
		found := &p.boat.Seats[seat.Number-1]
		found.Seat, found.Starts = seat.asFound(p.boat.SeatOverWaterCm), seat.stoodOn()
	}
	slices.SortFunc(p.places, func(a, b crewMember) int { return a.Seat - b.Seat })
	if err := p.read(); err != nil {
		return
	}
	for i, c := range p.chairs {
		m := &p.places[i]
		row := seats[m.Seat]
		if row == nil { // stays
			continue
		}
		g.add(m.Seat, p.sideCautions(m)...)
		rig, _ := row.rig(p.boat.SeatOverWaterCm, false)
		if o, err := c.outcomeAs(&rig, p.targets, p.limits); err == nil {
			row.Planned = o
			g.add(m.Seat, seat.WireCautions(o.cautions)...)
		}
		if now, any := row.rig(p.boat.SeatOverWaterCm, true); any {
			if o, err := c.outcomeAs(&now, p.targets, p.limits); err == nil {
				row.Measured = o
			}
		}
	}
}

func sheetLine(class rigging.Class, boat *fleet.Boat, l *store.SheetLine, plateDeg float64) SheetLine {
	w := SheetLine{
		Seat: l.Seat, Setting: l.Setting, AsFound: l.AsFound, StandsOn: l.StandsOn, Target: l.Target, Tolerance: l.Tolerance,
		Measured: l.Measured, MeasuredBy: l.MeasuredBy, MeasuredAt: moment(l.MeasuredAt),
	}
	s, _ := settings.Named(l.Setting)
	w.LineText = lineText(class, boat, s, l.AsFound, l.StandsOn, l.Target, plateDeg)
	if l.Measured == nil || w.Measure && !w.Moves {
		return w
	}
	miss := *l.Measured - l.Target
	if beyond := math.Abs(miss) - l.Tolerance; beyond > 1e-6 {
		w.Off = wire.Round(math.Copysign(beyond, miss), 100)
		w.OffText = settings.MoveText(class, s, -miss)
	}
	return w
}

// storedTargets are the targets of a sheet.
func storedTargets(h *store.Sheet, chosen []string) []seat.CommonTarget {
	list := []seat.CommonTarget{}
	for _, t := range seat.TargetOrder {
		if value := *targetOf(h, seat.WireTarget(t)); value != nil {
			list = append(list, seat.CommonTarget{Target: seat.WireTarget(t), Value: *value, Chosen: slices.Contains(chosen, seat.WireTarget(t))})
		}
	}
	return list
}

// targetOf is the place of a target in a sheet's record; one that the record
// has no place for gets a nil of its own.
func targetOf(h *store.Sheet, name string) **float64 {
	switch name {
	case "catch_deg":
		return &h.TargetCatchDeg
	case "finish_deg":
		return &h.TargetFinishDeg
	case "lever_ratio":
		return &h.TargetLeverRatio
	case "draw_height_cm":
		return &h.TargetDrawHeightCm
	}
	return new(*float64)
}

// longestKey bounds the key of a reading, bytes; our judgement: a UUID has 36.
const longestKey = 100

// RecordReading keeps a measured value and returns the line as it stands.
func (s *Service) RecordReading(ctx context.Context, r NewReading) (SheetLine, error) {
	h, err := s.Store.Sheet(ctx, r.SheetID)
	if err != nil {
		return SheetLine{}, records.RecordError(err)
	}
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: h.BoatID})
	if err != nil {
		return SheetLine{}, err
	}
	class, _ := rigging.ClassByCode(boat.BoatClass)
	if err := r.read(&boat, &h); err != nil {
		return SheetLine{}, err
	}
	if err := r.check(class); err != nil {
		return SheetLine{}, err
	}
	by := s.Signed(r.By)
	if r.At != nil && r.At.Before(by.At) {
		by.At = *r.At
	}
	line, err := s.Store.RecordReading(ctx, r.SheetID, store.Reading{Seat: r.Seat, Setting: r.Setting, Value: *r.Value, Key: r.Key}, by)
	if err != nil {
		return SheetLine{}, records.RecordError(err)
	}
	return sheetLine(class, &boat, &line, plateOf(r.Seat, h.Lines)), nil
}

// read turns what was said into the value.
func (r *NewReading) read(boat *fleet.Boat, h *store.Sheet) error {
	i := slices.IndexFunc(h.Lines, func(l store.SheetLine) bool { return l.Seat == r.Seat && l.Setting == r.Setting })
	if r.Said == "" || r.Value != nil || i < 0 {
		return nil
	}
	said := fleet.Said{Setting: r.Setting, Text: r.Said, From: h.Lines[i].AsFound, PlateDeg: plateOf(r.Seat, h.Lines)}
	if said.From != nil {
		said.Way = h.Lines[i].Target - *said.From
	}
	v, complaint := boat.Read(said)
	if complaint != "" {
		return wire.At("said").Invalid(complaint)
	}
	r.Value = &v
	return nil
}

func (r *NewReading) check(class rigging.Class) error {
	var p wire.Problems
	switch {
	case !slices.Contains(settings.Of(class), r.Setting):
		p.Add(wire.At("setting").Problem("A " + class.Code + " has no such setting."))
	case r.Value == nil:
		p.Add(wire.At("value").Problem("A value is needed."))
	default:
		checkAlone(&p, wire.At("value"), class, r.Setting, *r.Value)
	}
	if r.Key == "" || len(r.Key) > longestKey {
		p.Add(wire.At("key").Problem(fmt.Sprintf("Name the reading with 1 to %d characters.", longestKey)))
	}
	p.Check(wire.At(), r)
	return p.OrNil()
}

// FinishSheet closes a sheet and takes what was measured into the history of
// the boat's rig. A boat that has moved since the version given is a
// *Conflict; the sheet stays open with everything on it.
func (s *Service) FinishSheet(ctx context.Context, r FinishRequest) (Sheet, error) {
	var p wire.Problems
	if p.Author(r.By); len(p.Fields) > 0 {
		return Sheet{}, p.OrNil()
	}
	h, err := s.Sheet(ctx, records.IDRequest{ID: r.SheetID})
	if err != nil {
		return Sheet{}, err
	}
	if h.DoneAt == nil {
		if err := s.checkMeasured(ctx, &h); err != nil {
			return Sheet{}, err
		}
	}
	if _, err := s.Store.FinishSheet(ctx, r.SheetID, r.BoatVersion, s.Signed(r.By)); err != nil {
		return Sheet{}, records.RecordError(err)
	}
	return s.Sheet(ctx, records.IDRequest{ID: r.SheetID})
}

// SheetSeats is where complaints about a sheet have its seats, bow first.
var SheetSeats = wire.At("seats")

// SeatOfSheet returns where complaints about a sheet have the settings of a seat.
func SeatOfSheet(number int) wire.Place { return SheetSeats.Item(number - 1) }

// checkMeasured complains about a sheet without a reading, and about readings
// that do not fit the rest of their seat.
func (s *Service) checkMeasured(ctx context.Context, h *Sheet) error {
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: h.BoatID})
	if err != nil {
		return err
	}
	class, _ := rigging.ClassByCode(boat.BoatClass)
	var p wire.Problems
	measured := 0
	for _, seat := range h.Seats {
		now := &boat.Seats[seat.Number-1].Seat
		for _, l := range seat.Lines {
			if l.Measured != nil {
				measured++
				*now.SettingField(l.Setting) = l.Measured
			}
		}
		at, faults := SeatOfSheet(seat.Number), fleet.RigFaults(class, now)
		for _, name := range slices.Sorted(maps.Keys(faults)) {
			p.Add(at.Name(name).Problem(faults[name]))
		}
	}
	if measured == 0 {
		return wire.At("lines").Invalid("Nothing was measured yet: type what was set, or delete the sheet.")
	}
	return p.OrNil()
}

// NewArc is what was read of the handle with the rower in the seat. The key is
// the sender's own for this reading: sent again with every attempt it counts
// once.
type NewArc struct {
	SheetID  int64      `path:"id" json:"-" validate:"gte=1"`
	Key      string     `path:"key" json:"-" validate:"max=200"`
	Seat     int        `json:"seat" validate:"required,gte=1,lte=8"`
	FinishCm *float64   `json:"finish_cm,omitempty" description:"Line of work to the middle of the handle, towards the bow: legs down, hands at the body."`
	CatchCm  *float64   `json:"catch_cm,omitempty" description:"The same towards the stern, at full reach."`
	At       *time.Time `json:"at,omitempty" description:"When it was read; without it, now."`
	By       string     `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who read it."`
}

// RecordArc keeps what was read with the rower in the seat: as a measured arc of
// the athlete, from which every later set-up takes the posture, and as the
// correction of the stretcher on this sheet where the finish is further off than
// its tolerance.
func (s *Service) RecordArc(ctx context.Context, r NewArc) (Sheet, error) {
	h, err := s.Sheet(ctx, records.IDRequest{ID: r.SheetID})
	if err != nil {
		return Sheet{}, err
	}
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: h.BoatID})
	if err != nil {
		return Sheet{}, err
	}
	a, err := r.arc(&boat, &h)
	if err != nil {
		return Sheet{}, err
	}
	by := s.Signed(r.By)
	if r.At != nil && r.At.Before(by.At) {
		by.At = *r.At
	}
	if _, err := s.Store.AddMeasuredArc(ctx, a, by); err != nil {
		return Sheet{}, records.RecordError(err)
	}
	return s.Sheet(ctx, records.IDRequest{ID: r.SheetID})
}

// arc checks the reading and turns it into an arc with its correction.
func (r *NewArc) arc(boat *fleet.Boat, h *Sheet) (store.MeasuredArc, error) {
	var p wire.Problems
	if r.Key == "" || len(r.Key) > longestKey {
		p.Add(wire.At("key").Problem(fmt.Sprintf("Name the reading with 1 to %d characters.", longestKey)))
	}
	p.Author(r.By)
	i := slices.IndexFunc(h.Seats, func(s SheetSeat) bool { return s.Number == r.Seat })
	if i < 0 {
		p.Add(wire.At("seat").Problem("Nobody rows this seat on the sheet."))
		return store.MeasuredArc{}, p.OrNil()
	}
	row := &h.Seats[i]
	rig, _ := row.rig(boat.SeatOverWaterCm, true)
	class, _ := rigging.ClassByCode(boat.BoatClass)
	setup := rig.Setup(class)
	setup.Blade = rigging.BladeKind(boat.Seats[r.Seat-1].Blade)
	reading := rigging.Reading{Finish: wire.CmKnown(r.FinishCm), Catch: wire.CmKnown(r.CatchCm)}
	p.AddError(wire.Place{}, reading.Check(&setup), seat.ReadingNames)
	if err := p.OrNil(); err != nil {
		return store.MeasuredArc{}, err
	}
	a := store.MeasuredArc{
		SheetID: &r.SheetID, Seat: r.Seat, Key: r.Key, ClassCode: class.Code, FinishCm: r.FinishCm, CatchCm: r.CatchCm,
		Blade: string(setup.Blade), Side: rig.Side, Rig: fleet.RigOfSeat(&rig),
	}
	if row.Name != "" {
		a.AthleteID = row.AthleteID
	}
	a.HeelTargetCm = correction(&setup, &reading, h, heelSteps(boat, r.Seat))
	return a, nil
}

// correction returns where the stretcher goes after a reading, on the boat's
// steps and in its range, cm; nil where the finish read lies within its
// tolerance or was not read.
func correction(setup *rigging.Setup, reading *rigging.Reading, h *Sheet, steps settings.Adjustment) *float64 {
	var target *float64
	for _, t := range h.Targets {
		if t.Target == seat.WireTarget(rigging.TargetFinish) {
			target = &t.Value
		}
	}
	if reading.Finish == 0 || target == nil {
		return nil
	}
	finish := wire.FromDeg(*target)
	if by := reading.Arc(setup).Finish - finish; max(by, -by) <= rigging.FinishTolerance {
		return nil
	}
	heel := 100 * reading.Correct(setup, finish)
	heel = min(max(heel, steps.Min), steps.Max)
	heel = wire.Round(steps.Min+math.Round((heel-steps.Min)/steps.Step)*steps.Step, 100)
	if heel == wire.Round(100*setup.HeelToPin, 100) {
		return nil
	}
	return &heel
}

// heelSteps is where a stretcher can go, cm: on the range of its seat, or else
// the usual one of half centimetres, and from hole to hole where it stands in
// holes.
func heelSteps(boat *fleet.Boat, number int) settings.Adjustment {
	name := settings.Name(rigging.SettingHeelToPin)
	steps, ok := boat.Seats[number-1].Adjust[name]
	if !ok || steps.Step == 0 {
		class, _ := rigging.ClassByCode(boat.BoatClass)
		usual := rigging.DefaultAdjustments(class)[rigging.SettingHeelToPin]
		steps = settings.Adjustment{Min: 100 * usual.Min, Max: 100 * usual.Max, Step: 100 * usual.Step}
	}
	if f := boat.Stretcher; f != nil && f.Mark == string(rigging.MarkHole) {
		scale := f.Scale()
		steps.Step = 100 * math.Abs(scale.HolePitch)
		steps.Min = 100*scale.Offset + math.Ceil((steps.Min-100*scale.Offset)/steps.Step-1e-9)*steps.Step
	}
	return steps
}

// DeleteSheet removes a work sheet. One that has changed a rig stays.
func (s *Service) DeleteSheet(ctx context.Context, r records.IDRequest) (records.Removed, error) {
	return records.Gone(r.ID, s.Store.DeleteSheet(ctx, r.ID))
}

// LineupName names a line-up.
type LineupName struct {
	ID   int64
	Name string
}

// LineupsFor lists the line-ups on record of a boat's class, those for the boat
// itself first.
func (s *Service) LineupsFor(ctx context.Context, boat *fleet.Boat) ([]LineupName, error) {
	all, err := s.Store.Lineups(ctx, store.Filter{})
	if err != nil {
		return nil, records.RecordError(err)
	}
	var own, other []LineupName
	for _, l := range all {
		switch name := (LineupName{l.ID, l.Name}); {
		case l.BoatID != nil && *l.BoatID == boat.ID:
			own = append(own, name)
		case l.ClassCode == boat.BoatClass:
			other = append(other, name)
		}
	}
	return append(own, other...), nil
}

// LineupCrew is who sits in a line-up.
type LineupCrew struct {
	BoatID    *int64
	Places    []CrewPlace // of athletes
	CoxMassKg *float64
}

// LineupCrew returns who sits in a line-up.
func (s *Service) LineupCrew(ctx context.Context, id int64) (LineupCrew, error) {
	l, err := s.Store.Lineup(ctx, id)
	if err != nil {
		return LineupCrew{}, records.RecordError(err)
	}
	return LineupCrew{l.BoatID, lineupPlaces(&l), l.CoxMassKg}, nil
}

// SeatOwner returns the athlete whom the newest work sheet of a boat puts in a
// seat, 1 is bow; 0 where there is none.
func (s *Service) SeatOwner(ctx context.Context, boat int64, seat int) (int64, error) {
	sheets, err := s.Store.Sheets(ctx, store.SheetFilter{BoatID: boat})
	if err != nil || len(sheets) == 0 {
		return 0, records.RecordError(err)
	}
	crew, err := keptList[CrewPlace](sheets[0].Crew)
	for _, place := range crew {
		if place.Seat == seat && place.AthleteID != nil {
			return *place.AthleteID, err
		}
	}
	return 0, err
}

// SeatOf returns the seat of a boat that the newest work sheet with an athlete puts
// them in; boat 0 where there is none.
func (s *Service) SeatOf(ctx context.Context, athlete int64) (boat int64, seat int, err error) {
	sheets, err := s.Store.Sheets(ctx, store.SheetFilter{})
	for i := range sheets {
		crew, err := keptList[CrewPlace](sheets[i].Crew)
		if err != nil {
			return 0, 0, err
		}
		for _, place := range crew {
			if place.AthleteID != nil && *place.AthleteID == athlete {
				return sheets[i].BoatID, place.Seat, nil
			}
		}
	}
	return 0, 0, records.RecordError(err)
}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Tabled(rest.Post("/api/v1/boats/:id/setup", "Set up for a crew", "What to set on a boat on record for a crew, seat by seat, with what to move from how it stands.", s.SetUp).For(access.Staff.Calculating()),
			rest.Columns{First: targetColumns}, s.SetupTable),
		rest.Get("/api/v1/boats/:id/crew", "Show the usual crew of a boat", "Who usually rows it.", s.UsualCrew).For(access.Staff),
		rest.Put("/api/v1/boats/:id/crew", "Set the usual crew of a boat", "Replaces who usually rows it. What the crew was is not kept.", s.SetUsualCrew).For(access.Staff),
		rest.Post("/api/v1/boats/:id/last-setup", "Find the last set-up of a crew", "How the boat stood when a work sheet for the crew was last finished, and how much of it stands elsewhere now. Sent as by_hand of a set-up it is brought back.", s.FindLastSetup).For(access.Staff.Calculating()),
		rest.Tabled(rest.Get("/api/v1/sheets", "List work sheets", "Newest first.", s.Sheets).Paged().For(access.Staff),
			rest.Columns{First: sheetListColumns}, s.SheetListTable),
		rest.Create("/api/v1/sheets", "Make a work sheet", "Of the set-up for the same fields. Refused with 409 when the boat has moved on since the version given.", s.AddSheet).For(access.Staff),
		rest.Tabled(rest.Get("/api/v1/sheets/:id", "Show a work sheet", "As found, target, measured; order of work, tolerances, tools, what to check again.", s.Sheet).For(access.Staff),
			rest.Columns{First: sheetColumns}, s.SheetTable),
		rest.Remove("/api/v1/sheets/:id", "Delete a work sheet", "One that has changed a rig stays.", s.DeleteSheet).For(access.Staff),
		rest.Put("/api/v1/sheets/:id/readings/:key", "Enter a reading", "A value measured for a line, under a key of the sender's own: sent again it counts once. Of two readings the later measured one counts.", s.RecordReading).For(access.Staff),
		rest.Put("/api/v1/sheets/:id/arcs/:key", "Enter a reading with the rower in the seat", "Where the handle stands at the finish and at full reach. It corrects the stretcher of the sheet in one step and counts as a measured arc of the athlete; sent again under its key it counts once.", s.RecordArc).For(access.Staff),
		rest.Post("/api/v1/sheets/:id/finish", "Finish a work sheet", "Takes what was measured into the history of the boat's rig. Refused with 409 and what others changed when the boat has moved on; the sheet stays as it is.", s.FinishSheet).For(access.Staff),
	}
}
