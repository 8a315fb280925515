package seat

import (
	"fmt"
	"math"

	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// Reading is what was read with the rower in the seat: legs down and hands at
// the body, and at full reach.
type Reading struct {
	FinishCm    *float64 `json:"finish_cm,omitempty" description:"Handle's middle from the line through the pins, towards the bow, legs down and hands at the body; without sign."`
	CatchCm     *float64 `json:"catch_cm,omitempty" description:"The same at full reach, towards the stern; without sign."`
	OutsideHand bool     `json:"outside_hand,omitempty" description:"Sweep: read to the middle of the outside hand and not of the handle."`
	HeelToPinCm *float64 `json:"heel_to_pin_cm,omitempty" validate:"omitempty,plausible=seat.heel_to_pin" description:"Where the stretcher stood for it; without it, where it stands in seat."`
}

// heelProblems complains about where the stretcher stood.
func (r *Reading) heelProblems(p *wire.Problems, at wire.Place) {
	possible, _ := rigging.RangeOf(rigging.PlaceOf(rigging.FieldSeat, rigging.FieldHeelToPin), rigging.Class{})
	p.Within(at.Name("heel_to_pin_cm"), rigging.Length, r.HeelToPinCm, wire.ToCm(possible.Low), wire.ToCm(possible.High))
}

// maxReadings bounds how many readings of one rower are taken; our judgement.
const maxReadings = 10

// setup is the rig that a reading was taken in.
func (r *Reading) setup(here *rigging.Setup) rigging.Setup {
	at := *here
	at.HeelToPin = wire.CmKnownOr(r.HeelToPinCm, here.HeelToPin)
	return at
}

func (r *Reading) domain() rigging.Reading {
	return rigging.Reading{Finish: wire.CmKnown(r.FinishCm), Catch: wire.CmKnown(r.CatchCm), OutsideHand: r.OutsideHand}
}

// Stretcher says how a boat's stretchers are read, so that an answer can name their
// place in the boat's own number.
type Stretcher struct {
	Mark        string   `json:"mark" validate:"required,oneof=heel toe hole" description:"What it is read by: the heel, the upper end of the plate or shoe, or the number of the hole."`
	OffsetCm    *float64 `json:"offset_cm,omitempty" validate:"omitempty,plausible=stretcher.offset" description:"Heel and toe: what the tape reads with the mark on the line through the pins; without it, 0. Hole: the heel's distance from that line in hole 0."`
	ToeAlongCm  *float64 `json:"toe_along_cm,omitempty" validate:"omitempty,plausible=stretcher.toe_along" description:"Toe: from the heel to the mark, along the plate."`
	HolePitchCm *float64 `json:"hole_pitch_cm,omitempty" validate:"omitempty,plausible=stretcher.hole_pitch" description:"Hole: from one hole to the next; negative where the numbers grow towards the bow."`
}

// Scale converts the stretcher's mark to the domain; nil stays nil.
func (s *Stretcher) Scale() *rigging.StretcherScale {
	if s == nil {
		return nil
	}
	return &rigging.StretcherScale{
		Mark: rigging.StretcherMark(s.Mark), Offset: wire.CmOr(s.OffsetCm, 0),
		ToeAlong: wire.CmOr(s.ToeAlongCm, 0), HolePitch: wire.CmOr(s.HolePitchCm, 0),
	}
}

// Problems complains about how the stretcher is read, the values that its mark does
// not use included.
func (s *Stretcher) Problems(p *wire.Problems) {
	if s == nil {
		return
	}
	p.AddError(wire.Place{}, s.Scale().Check())
	p.Check(wire.At("stretcher"), s)
}

// HeelToPinCm is where the heel stands when the mark reads a number: cm, or a
// hole. The error is an *Invalid.
func (s *Stretcher) HeelToPinCm(reading, plateDeg float64) (float64, error) {
	scale := s.Scale()
	var p wire.Problems
	s.Problems(&p)
	if err := p.OrNil(); err != nil {
		return 0, err
	}
	if scale.Mark != rigging.MarkHole {
		reading = wire.FromCm(reading)
	}
	return wire.ToCm(scale.HeelToPin(reading, wire.FromDeg(plateDeg))), nil
}

// MarkAt is what the mark reads with the heel at a distance from the pins: cm,
// or a hole and a share of the way to the next.
func (s *Stretcher) MarkAt(heelToPinCm, plateDeg float64) float64 {
	scale := s.Scale()
	v := scale.Reading(wire.FromCm(heelToPinCm), wire.FromDeg(plateDeg))
	if scale.Mark == rigging.MarkHole {
		return wire.Round(v, 100)
	}
	return wire.ToCm(v)
}

// Capacity is how far the body goes in this rig with every limit held.
type Capacity struct {
	CatchDeg    float64 `json:"catch_deg"`
	CatchSdDeg  float64 `json:"catch_sd_deg" description:"Body, tape and the limits' own spread."`
	FinishDeg   float64 `json:"finish_deg"`
	FinishSdDeg float64 `json:"finish_sd_deg"`
	ArcDeg      float64 `json:"arc_deg"`
	ArcSdDeg    float64 `json:"arc_sd_deg"`
	LimitedBy   string  `json:"limited_by" enum:"lean,trunk_thigh,knee_flexion,dorsiflexion,shin,oar" description:"The limit that a longer catch would ask most of."`
}

// ArcGroup is whom the rower is compared with before an arc was measured, and
// the arc to expect of them.
type ArcGroup struct {
	Level       string   `json:"level" enum:"championship,club,novice"`
	Lightweight bool     `json:"lightweight"`
	CatchDeg    float64  `json:"catch_deg"`
	FinishDeg   float64  `json:"finish_deg"`
	SdDeg       float64  `json:"sd_deg" description:"How much one rower's arc differs from it."`
	Source      []string `json:"source" description:"Where its parts come from, one a step."`
}

// UsedTargets are the ends that the verdicts are about.
type UsedTargets struct {
	CatchDeg  float64 `json:"catch_deg"`
	FinishDeg float64 `json:"finish_deg"`
	CatchBy   string  `json:"catch_by" enum:"stated,group" description:"group: the arc to expect of the rower's group."`
	FinishBy  string  `json:"finish_by" enum:"stated,group"`
}

// Odds compares one target with the capacity.
type Odds struct {
	TargetDeg   float64 `json:"target_deg"`
	CapacityDeg float64 `json:"capacity_deg"`
	MarginDeg   float64 `json:"margin_deg" description:"How far the capacity goes beyond the target; negative: short of it."`
	SdDeg       float64 `json:"sd_deg" description:"Of the margin."`
	Chance      float64 `json:"chance" description:"That the target lies within the reach, 0 to 1."`
	Odds        string  `json:"odds" enum:"likely,too_close_to_tell,unlikely" description:"likely: 80 % or more; unlikely: 20 % or less."`
}

// Suits reports whether the targets suit the reach, as chances.
type Suits struct {
	Odds      string          `json:"odds" enum:"likely,too_close_to_tell,unlikely"`
	Chance    float64         `json:"chance" description:"The least of those that count; with a stretcher in the wrong place only the whole arc counts."`
	Stretcher *StretcherFault `json:"stretcher" description:"Said first: the stretcher stands in the wrong place. null: right, or too close to tell."`
	Catch     Odds            `json:"catch"`
	Finish    Odds            `json:"finish"`
	Arc       Odds            `json:"arc"`
	Settle    []string        `json:"settle" description:"What to measure where it is too close to tell, the best first: seated_reading, body (arm span, sitting height, segments)."`
}

// StretcherFault says that the stretcher stands in the wrong place.
type StretcherFault struct {
	FinishByDeg float64 `json:"finish_by_deg" description:"Expected finish less the target."`
	Chance      float64 `json:"chance" description:"That the finish lies off the target by more than a degree, 0 to 1."`
	HeelToPinCm float64 `json:"heel_to_pin_cm" description:"Where the heel belongs."`
	PastBoth    bool    `json:"past_both" description:"Catch and finish both lie past their targets: the arc is not to spare."`
	Text        string  `json:"text"`
}

// Verdict is the one verdict on a seat.
type Verdict struct {
	Verdict       string   `json:"verdict" enum:"on_target,nearly,off,measure_first"`
	FinishByDeg   float64  `json:"finish_by_deg" description:"Expected finish less the target."`
	FinishSdDeg   float64  `json:"finish_sd_deg"`
	CatchShortDeg float64  `json:"catch_short_deg" description:"How far the capacity stays short of the target catch; 0 when it does not."`
	CatchOdds     string   `json:"catch_odds" enum:"likely,too_close_to_tell,unlikely"`
	Proven        bool     `json:"proven" description:"Arcs of this rower were measured."`
	Measure       []string `json:"measure" description:"Settings to measure first."`
	MeasureRower  bool     `json:"measure_rower" description:"The rower's size is not known."`
}

// Proof is the check of the stretcher's place with the rower in the seat.
type Proof struct {
	FinishCm            float64  `json:"finish_cm" description:"Handle's middle from the line through the pins, towards the bow, legs down and hands at the body."`
	CatchCm             float64  `json:"catch_cm" description:"The same at full reach, towards the stern."`
	FinishOutsideHandCm *float64 `json:"finish_outside_hand_cm,omitempty" description:"Sweep: for the outside hand."`
	CatchOutsideHandCm  *float64 `json:"catch_outside_hand_cm,omitempty" description:"Sweep: for the outside hand."`
	Text                string   `json:"text"`
}

// StretcherPlace is where the stretcher belongs for the target finish.
type StretcherPlace struct {
	HeelToPinCm float64    `json:"heel_to_pin_cm"`
	SdCm        float64    `json:"sd_cm" description:"What body and posture leave it; the proof takes it away."`
	ByCm        float64    `json:"by_cm" description:"From where it stands, positive to the stern."`
	ByReading   bool       `json:"by_reading" description:"From a reading with the rower in the seat."`
	Mark        *MarkPlace `json:"mark,omitempty" description:"In the boat's own number, where its mark was stated."`
	Text        string     `json:"text"`
}

// MarkPlace is the stretcher's place in the boat's own number.
type MarkPlace struct {
	Mark string  `json:"mark" enum:"heel,toe,hole"`
	Now  float64 `json:"now" description:"cm, or the hole."`
	Aim  float64 `json:"aim" description:"cm, or the nearest hole."`
}

// bladeNamed reads the name of a kind of blade and complains about others.
func bladeNamed(p *wire.Problems, name string) rigging.BladeKind {
	kind, ok := rigging.ParseBlade(name)
	if !ok {
		p.Add(wire.At("blade").Problem("Say hatchet, macon or large, or leave it out."))
	}
	return kind
}

// known fills what is known of the rower's group and of measured arcs.
func (in *SolveInput) known(p *wire.Problems, r *SolveRequest, class rigging.Class) {
	level, ok := rigging.ParseLevel(r.Level)
	if !ok {
		p.Add(wire.At("level").Problem("Say championship, club or novice, or leave it out."))
	}
	in.group = rigging.Group{
		Class: class, Sex: in.Measures.Sex, Age: in.Measures.Age, Level: level,
		Light: wire.Or(r.Lightweight, in.light()),
	}
	in.arc = in.group.Arc()
	if a := r.UsualArc; a != nil {
		in.ownArc(p, a)
	}
	if len(r.Arcs) > maxArcs {
		p.Add(wire.At("arcs").Problem(fmt.Sprintf("At most %d arcs at a time.", maxArcs)))
		return
	}
	for i := range r.Arcs {
		arc := r.Arcs[i].arc(class)
		arc.Setup.Blade = in.blade
		checkArc(p, wire.At("arcs").Item(i), &r.Arcs[i], &arc)
		in.arcs = append(in.arcs, arc)
	}
}

// ownArc puts the coach's arc in the place of the group's.
func (in *SolveInput) ownArc(p *wire.Problems, a *Targets) {
	own := a.targets()
	for _, end := range []struct {
		name  string
		field rigging.Field
		sent  *float64
	}{{"catch_deg", rigging.FieldCatch, a.CatchDeg}, {"finish_deg", rigging.FieldFinish, a.FinishDeg}} {
		possible, _ := rigging.RangeOf(rigging.PlaceOf(rigging.FieldTargets, end.field), rigging.Class{})
		toDeg := wire.Units[rigging.Plane].Factor
		p.Within(wire.At("usual_arc", end.name), rigging.Plane, end.sent, possible.Low*toDeg, possible.High*toDeg)
	}
	if own.Catch != 0 {
		in.arc.Catch = own.Catch
	}
	if own.Finish != 0 {
		in.arc.Finish = own.Finish
	}
	in.arc.Source = []string{"stated as usual_arc"}
}

// light reports whether an adult's mass is that of a lightweight.
func (in *SolveInput) light() bool {
	m := &in.Measures
	most, ok := rigging.LightweightMass(m.Sex)
	return ok && m.Mass > 0 && m.Mass <= most && (m.Age == 0 || m.Age >= 19)
}

// readings become measured arcs of the rig that they were taken in.
func (in *SolveInput) readings(p *wire.Problems, r *SolveRequest) {
	if len(r.Readings) > maxReadings {
		p.Add(wire.At("readings").Problem(fmt.Sprintf("At most %d readings at a time.", maxReadings)))
		return
	}
	for i := range r.Readings {
		sent := &r.Readings[i]
		at, reading := sent.setup(&in.Seat.Setup), sent.domain()
		place := wire.At("readings").Item(i)
		sent.heelProblems(p, place)
		if problem := reading.Check(&at); problem != nil {
			p.AddError(place, problem, ReadingNames)
			continue
		}
		in.arcs = append(in.arcs, reading.Arc(&at))
		if reading.Finish > 0 {
			in.corrects = &correction{reading, at}
		}
	}
}

// ReadingNames are the names on the wire of what a reading holds: lengths, where
// an arc has angles.
var ReadingNames = wire.Names{"reading": {}, rigging.FieldFinish: {"finish_cm"}, rigging.FieldCatch: {"catch_cm"}}

// correction is a reading that says where the stretcher belongs.
type correction struct {
	reading rigging.Reading
	at      rigging.Setup
}

// What a posture rests on.
const (
	basisStated   = "stated"
	basisExpected = "expected"
	basisMeasured = "measured"
)

// expect settles how the rower rows: as stated, or as expected.
func (in *SolveInput) expect() error {
	in.basis = basisStated
	if in.shin != nil && in.lean != nil {
		return nil
	}
	in.basis = basisExpected
	if len(in.arcs) > 0 {
		in.basis = basisMeasured
	}
	e, err := in.Seat.Expect(in.arc, in.limits, in.arcs)
	if e.Belief == nil {
		return err
	}
	e.Apply(&in.Seat)
	in.doubtful = e.Calibration != nil && e.Calibration.Doubtful
	in.hold()
	return err
}

// The places of the habits in a belief, by definition of [rigging.Belief].
const (
	beliefLean = 0
	beliefShin = 3
)

// hold puts a lean or a shin that was stated alone in the place of the expected
// one: it then has no spread.
func (in *SolveInput) hold() {
	for _, h := range []struct {
		stated *rigging.Angle
		into   *rigging.Angle
		index  int
	}{{in.lean, &in.Seat.Posture.Lean, beliefLean}, {in.shin, &in.Seat.Posture.Shin, beliefShin}} {
		if h.stated == nil {
			continue
		}
		*h.into = *h.stated
		in.Seat.Belief = told(in.Seat.Belief, h.index)
	}
}

// told is a belief of which one habit has become known: the conditional
// covariance of all the others.
func told(b *rigging.Belief, habit int) *rigging.Belief {
	known := *b
	total := b.Cov[habit][habit]
	if total <= 0 {
		return b
	}
	for i := range known.Cov {
		for j := range known.Cov {
			known.Cov[i][j] -= b.Cov[i][habit] * b.Cov[habit][j] / total
		}
	}
	return &known
}

// usedTargets returns the targets, the group's arc where none was stated.
func (in *SolveInput) usedTargets() rigging.Targets {
	t := in.targets
	if t.Catch == 0 {
		t.Catch = in.arc.Catch
	}
	if t.Finish == 0 {
		t.Finish = in.arc.Finish
	}
	return t
}

// reach fills what is said of the reach.
func (in *SolveInput) reach(a *SeatSolution, stroke *rigging.Stroke) error {
	c, targets := &in.Seat, in.usedTargets()
	k, err := c.Capacity(in.limits)
	if err != nil {
		return err
	}
	suits, err := c.Suits(stroke, targets, in.limits)
	if err != nil {
		return err
	}
	judged, err := c.Judge(stroke, targets, in.limits, in.missing)
	if err != nil {
		return err
	}
	a.Basis, a.Group = in.basis, in.wireGroup()
	a.Targets = UsedTargets{
		wire.ToDeg(targets.Catch), wire.ToDeg(targets.Finish), statedOr(in.targets.Catch), statedOr(in.targets.Finish),
	}
	a.Capacity, a.Suits, a.Verdict = wireCapacity(&k), in.wireSuits(&suits), WireVerdict(&judged)
	a.Proof = WireProof(&c.Setup, targets)
	a.Stretcher = in.place(stroke, targets, suits.FinishSD)
	return nil
}

func statedOr(target rigging.Angle) string {
	if target == 0 {
		return "group"
	}
	return "stated"
}

func (in *SolveInput) wireGroup() ArcGroup {
	return ArcGroup{
		Level: in.group.Level.String(), Lightweight: in.group.Light, CatchDeg: wire.ToDeg(in.arc.Catch),
		FinishDeg: wire.ToDeg(in.arc.Finish), SdDeg: wire.ToDeg(in.arc.SD), Source: in.arc.Source,
	}
}

func wireCapacity(k *rigging.Capacity) Capacity {
	return Capacity{
		CatchDeg: wire.ToDeg(k.Catch), CatchSdDeg: wire.ToDeg(k.CatchSD), FinishDeg: wire.ToDeg(k.Finish), FinishSdDeg: wire.ToDeg(k.FinishSD),
		ArcDeg: wire.ToDeg(k.Arc()), ArcSdDeg: wire.ToDeg(k.ArcSD), LimitedBy: string(k.LimitedBy),
	}
}

func wireOdds(o *rigging.ReachOdds) Odds {
	return Odds{
		TargetDeg: wire.ToDeg(o.Target), CapacityDeg: wire.ToDeg(o.Capacity), MarginDeg: wire.ToDeg(o.Margin), SdDeg: wire.ToDeg(o.SD),
		Chance: wire.Round(o.Chance, 1000), Odds: string(o.Odds),
	}
}

func (in *SolveInput) wireSuits(s *rigging.Suits) Suits {
	w := Suits{
		Odds: string(s.Odds), Chance: wire.Round(s.Chance, 1000), Catch: wireOdds(s.Catch), Finish: wireOdds(s.Finish), Arc: wireOdds(s.Arc),
		Settle: []string{},
	}
	for _, e := range s.Settle {
		w.Settle = append(w.Settle, string(e))
	}
	if f := s.Stretcher; f != nil {
		w.Stretcher = &StretcherFault{
			FinishByDeg: wire.ToDeg(f.FinishBy), Chance: wire.Round(f.Chance, 1000), HeelToPinCm: wire.ToCm(f.HeelToPin),
			PastBoth: f.PastBoth, Text: faultText(f, in.Seat.Setup.HeelToPin),
		}
	}
	return w
}

// faultText reports what is wrong with the stretcher in words.
func faultText(f *rigging.StretcherFault, now float64) string {
	text := fmt.Sprintf("The stretcher stands %s cm too far towards the %s: the finish would come at the target with the heel %s cm from the pins.",
		wire.Size(wire.ToCm(math.Abs(f.HeelToPin-now))), wayTo(now-f.HeelToPin), wire.Size(wire.ToCm(f.HeelToPin)))
	if f.PastBoth {
		text += " Catch and finish both lie past their targets: that is the stretcher, not reach to spare."
	}
	return text
}

// wayTo is the end of the boat that a way points to.
func wayTo(by float64) string {
	if by < 0 {
		return "bow"
	}
	return "stern"
}

// WireVerdict puts the judgement of a seat on the wire.
func WireVerdict(j *rigging.SeatJudgement) Verdict {
	w := Verdict{
		Verdict: string(j.Verdict), FinishByDeg: wire.ToDeg(j.FinishBy), FinishSdDeg: wire.ToDeg(j.FinishSD),
		CatchShortDeg: wire.ToDeg(j.CatchShort), CatchOdds: string(j.CatchOdds), Proven: j.Proven, Measure: []string{}, MeasureRower: j.MeasureRower,
	}
	for _, s := range j.Measure {
		w.Measure = append(w.Measure, settings.Name(s))
	}
	return w
}

// WireProof is the check at the boat of a rig whose arc ends at the targets.
func WireProof(setup *rigging.Setup, targets rigging.Targets) Proof {
	p := setup.Proof(targets)
	w := Proof{FinishCm: wire.ToCm(p.FinishMiddle), CatchCm: wire.ToCm(p.CatchMiddle)}
	w.Text = fmt.Sprintf("Rower in the seat, legs down, hands at the body: the middle of the handle stands %s cm from the line through the pins towards the bow. At full reach it stands %s cm towards the stern.",
		wire.Size(w.FinishCm), wire.Size(w.CatchCm))
	if !setup.Class.Scull {
		w.FinishOutsideHandCm, w.CatchOutsideHandCm = wire.Ptr(wire.ToCm(p.FinishHand)), wire.Ptr(wire.ToCm(p.CatchHand))
	}
	return w
}

// StretcherStepCm is the spacing of most stretchers' adjustment, cm
// (common practice). Nobody finds less than half of it on a rail.
const StretcherStepCm = 0.5

// place is where the stretcher belongs for the target finish: by the reading
// where there is one.
func (in *SolveInput) place(stroke *rigging.Stroke, targets rigging.Targets, sd rigging.Angle) StretcherPlace {
	c := &in.Seat
	heel, spread := c.Demand(stroke, targets, in.limits).HeelForFinish, sd
	if in.corrects != nil {
		heel = in.corrects.reading.Correct(&in.corrects.at, targets.Finish)
		spread = rigging.ReadingFinishSD
	}
	w := StretcherPlace{HeelToPinCm: wire.ToCm(heel), SdCm: wire.ToCm(c.Setup.HeelSD(targets.Finish, spread)), ByReading: in.corrects != nil}
	w.ByCm = wire.ToCm(heel - c.Setup.HeelToPin)
	by := wire.Round(w.ByCm, 10)
	if math.Abs(w.ByCm) < StretcherStepCm/2 {
		by = 0
	}
	w.Text = settings.MoveText(c.Setup.Class, rigging.SettingHeelToPin, by)
	if in.scale != nil {
		w.Mark = in.markPlace(heel)
	}
	return w
}

// markPlace describes a place of the stretcher in the boat's own number.
func (in *SolveInput) markPlace(heel float64) *MarkPlace {
	s, plate := in.scale, in.Seat.Setup.PlateAngle
	w := &MarkPlace{Mark: string(s.Mark)}
	now, aim := s.Reading(in.Seat.Setup.HeelToPin, plate), s.Reading(heel, plate)
	if s.Mark == rigging.MarkHole {
		hole, _ := s.NearestHole(heel)
		w.Now, w.Aim = wire.Round(now, 10), float64(hole)
		return w
	}
	w.Now, w.Aim = wire.ToCm(now), wire.ToCm(aim)
	return w
}
