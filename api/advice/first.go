package advice

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"math"

	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection"
	"thole/selection/speed"
	"thole/selection/stroke"
)

// FirstRequest asks what the rower of a recording should work on first. The rig
// is that of the boat on record, unless figures of it are stated.
type FirstRequest struct {
	ID          int64    `path:"id" json:"-" validate:"gte=1"`
	DistanceM   float64  `query:"distance_m" json:"-" validate:"omitempty,gte=100,lte=100000" description:"Over which times are told; without it, 2000."`
	RatePerMin  float64  `query:"rate_per_min" json:"-" validate:"omitempty,gte=8,lte=68" unit:"a minute" description:"Only the strokes rowed at about this rate; without it, the rate with the most strokes."`
	ShareOfPeak *float64 `query:"share_of_peak" json:"-" validate:"omitempty,gte=0.01,lte=0.95" description:"Of the peak force, at which slip is read; without it, that of the import, or 0.3."`
	BoatID      *int64   `query:"boat_id" json:"-" validate:"omitempty,gte=1" description:"Without it, the boat of the recording."`
	SeatNumber  int      `query:"seat_number" json:"-" validate:"omitempty,gte=1,lte=8" description:"1 is bow; without it, the seat as the file calls it."`
	BoatClass   string   `query:"boat_class" json:"-" enum:",1x,2x,4x,2-,2+,4-,4+,8+" description:"Stands in for a boat on record."`
	InboardCm   float64  `query:"inboard_cm" json:"-" validate:"omitempty,plausible=seat.inboard" description:"With boat_class and oar_length_cm."`
	OarLengthCm float64  `query:"oar_length_cm" json:"-" validate:"omitempty,plausible=seat.oar_length" description:"With boat_class and inboard_cm."`
	MassKg      float64  `query:"mass_kg" json:"-" validate:"omitempty,plausible=rower.mass" description:"Of the rower; without it, as on record."`
	BoatSpeedMS float64  `query:"boat_speed_m_s" json:"-" validate:"omitempty,gte=1,lte=8" description:"Mean of the piece; without it, as measured."`
}

// First is what a rower should work on first.
type First struct {
	Said       string           `json:"said" description:"In one sentence."`
	Findings   []WorkOn         `json:"findings" description:"At most three, the most costly at equal force first; empty when nothing stands out from the noise."`
	Habits     []BladeHabit     `json:"habits" description:"Of the blade's path, by the trade's names."`
	Unpriced   []string         `json:"unpriced" description:"What is beyond its noise but goes with no stroke that the model can row."`
	Missing    []MissingMeasure `json:"missing" description:"What would let more be said."`
	Assumed    []string         `json:"assumed" description:"Figures assumed for what is not on record."`
	OwnBest    bool             `json:"own_best_only" description:"No crew was measured that day: a fault in every stroke shows only where a published figure stands."`
	Arc        []ArcMark        `json:"arc" description:"Where things happen over the arc, mean of the strokes, from reach to out."`
	IdleShare  float64          `json:"idle_share" description:"Of the arc that does no work, both slips."`
	Idle       string           `json:"idle" description:"The same in words."`
	Reach      *ReachJudged     `json:"reach" description:"The measured catch against what the body allows at this rig; null where body or rig are not known."`
	Hands      *HandsAtCover    `json:"hands" description:"Speed of the hands when the blade is covered against the speed that matches the water; null where one is not known."`
	Model      *FirstModel      `json:"model" description:"The stroke the prices are reckoned with; null without a rig."`
	Threshold  string           `json:"threshold" description:"That the slips of this answer refer to, in words."`
	Strokes    int              `json:"strokes"`
	RatePerMin float64          `json:"rate_per_min" description:"Mean of these strokes."`
	DistanceM  float64          `json:"distance_m"`
	Rule       string           `json:"rule" description:"How a change fades into the rest of the curve, and what the ranges hold."`
	LeavesOut  string           `json:"leaves_out" description:"What the model leaves out."`
}

// WorkOn is one thing to work on.
type WorkOn struct {
	Item      string    `json:"item" enum:"catch_slip,release_slip,entry_early,entry_late,depth,catch,finish,peak_place,over_reach"`
	Title     string    `json:"title"`
	Said      string    `json:"said" description:"What was measured and what it is held against."`
	Unit      string    `json:"unit" enum:"deg,s,share"`
	Measured  float64   `json:"measured" description:"In the unit told."`
	SD        float64   `json:"sd" description:"From stroke to stroke."`
	Reference float64   `json:"reference" description:"In the unit told."`
	Against   string    `json:"against" description:"What the reference is."`
	Change    float64   `json:"change" description:"Of the measure, that is priced."`
	Limited   bool      `json:"limited" description:"The reference asks for more than the body or the water allows; what is possible is priced."`
	Causes    []string  `json:"causes" description:"Measured, beyond their own noise."`
	Do        []string  `json:"do" description:"What would change it; common practice."`
	Price     WorkPrice `json:"price"`
	PriceSaid [2]string `json:"price_said" description:"At the same force, and at the same power."`
	TooClose  bool      `json:"too_close" description:"This price and the next one lie within each other's range: which comes first is too close to tell."`
}

// WorkPrice is what a change is worth, in two columns: below zero is gained.
type WorkPrice struct {
	ForceTimeS    PriceRange `json:"force_time_s" description:"At equal force: time over the distance."`
	ForcePowerPct PriceRange `json:"force_power_pct" description:"At equal force: how much more power the rower gives."`
	PowerTimeS    PriceRange `json:"power_time_s" description:"At equal power: time over the distance."`
	PowerForcePct PriceRange `json:"power_force_pct" description:"At equal power: how much harder each stroke is pulled."`
	Open          bool       `json:"open" description:"With some variation no stroke can be rowed, so that the ranges may be wider."`
}

// PriceRange is a figure with its ends when what is uncertain was varied.
type PriceRange struct {
	Value float64 `json:"value" description:"In the unit of the column's name."`
	Low   float64 `json:"low" description:"Its lower end."`
	High  float64 `json:"high" description:"Its upper end."`
}

// BladeHabit is what the trade calls a path of the blade.
type BladeHabit struct {
	Habit string  `json:"habit" enum:"too deep,down-and-up,washing out"`
	Said  string  `json:"said"`
	Unit  string  `json:"unit" enum:"deg,share" description:"Share is of the arc that works."`
	Mean  float64 `json:"mean" description:"In the unit told."`
	Bound float64 `json:"bound" description:"Beyond which it is named, in the unit told."`
}

// MissingMeasure is something that was not measured.
type MissingMeasure struct {
	Name string `json:"name"`
	Said string `json:"said" description:"What cannot be told without it."`
	How  string `json:"how" description:"How to get it."`
}

// ArcMark is where something happens over the arc.
type ArcMark struct {
	Name     string  `json:"name" enum:"reach,touches,covered,holds,release,out,finish"`
	AngleDeg float64 `json:"angle_deg" description:"Of the oar, negative before square."`
}

// ReachJudged is the measured catch against the body's reach.
type ReachJudged struct {
	MeasuredDeg   float64 `json:"measured_deg" description:"Above zero."`
	MeasuredSDDeg float64 `json:"measured_sd_deg" description:"Of the mean: its strokes and the sensor's zero."`
	AllowedDeg    float64 `json:"allowed_deg" description:"What the body allows at this rig, above zero."`
	AllowedSDDeg  float64 `json:"allowed_sd_deg" description:"Of that: body, tape and limits."`
	Verdict       string  `json:"verdict" enum:"within,unclear,beyond" description:"unclear where the ± of both cover the difference."`
	Said          string  `json:"said"`
}

// HandsAtCover is how fast the hands go when the blade is covered.
type HandsAtCover struct {
	MeasuredMS float64 `json:"measured_m_s"`
	MatchMS    float64 `json:"match_m_s" description:"That matches the water where the load begins."`
}

// FirstModel is the stroke that prices are reckoned with.
type FirstModel struct {
	BoatClass      string  `json:"boat_class"`
	SpeedMS        float64 `json:"speed_m_s"`
	SpeedMeasured  bool    `json:"speed_measured"`
	DragNs2M2      float64 `json:"drag_n_s2_m2" description:"k of the hull, set so that the model goes at the measured speed."`
	PowerW         float64 `json:"power_w" description:"Of the rower at the handle, in the model."`
	MeasuredPowerW float64 `json:"measured_power_w" description:"0 where it was not measured."`
}

// Ranked is a ranking as it is kept.
type Ranked struct {
	ranking speed.Ranking
	start   speed.Measure // moment of entry with its reference
	refused string        // why there is none
}

// defaultDistance is that of championships, m.
const defaultDistance = float64(selection.RaceDistance)

// First returns what the rower of a recording should work on first. Errors:
// ErrNotFound, or an *Invalid.
func (s *Service) First(ctx context.Context, r FirstRequest) (First, error) {
	if err := wire.Held(&r); err != nil {
		return First{}, err
	}
	if r.DistanceM == 0 {
		r.DistanceM = defaultDistance
	}
	m, err := s.firstStrokes(ctx, &r, nil)
	if err != nil {
		return First{}, err
	}
	boat, err := s.firstBoat(ctx, &r, m)
	if err != nil {
		return First{}, err
	}
	if levers := boat.wanted(m); levers != nil {
		if m, err = s.firstStrokes(ctx, &r, levers); err != nil {
			return First{}, err
		}
	}
	w := newFirst(m, r.DistanceM)
	w.Assumed = append(w.Assumed, boat.assumed...)
	if m.Oar.Count == 0 || m.Oar.Features[stroke.CatchSlip].N == 0 {
		w.Said = "No stroke of this recording holds the threshold: check the unit of force and its zero."
		return w, nil
	}
	if len(m.Oar.Strokes) == 0 {
		w.Missing = append(w.Missing, missingStrokes)
		w.Said = "A mean curve alone tells no noise to hold anything against."
		return w, nil
	}
	if !boat.known {
		w.Missing = append(w.Missing, missingRig)
		w.settle()
		return w, nil
	}
	rec, err := s.speedRecording(ctx, m, boat)
	if err != nil {
		return w, err
	}
	w.Assumed = append([]string{}, boat.assumed...) // with what the clips add
	found, err := s.rank(rec, r.DistanceM)
	if err != nil {
		return w, err
	}
	w.tell(rec, found, boat)
	return w, nil
}

// firstStrokes measures the strokes of one rate, at a share of the peak: the
// model takes one level for both ends of a curve.
func (s *Service) firstStrokes(ctx context.Context, r *FirstRequest, levers *strokefile.OarLevers) (*strokes.Remeasured, error) {
	ask := strokes.RecordingRequest{ID: r.ID, ShareOfPeak: r.ShareOfPeak, RatePerMin: r.RatePerMin}
	m, err := s.strokes.MeasureWith(ctx, &ask, levers)
	if err != nil {
		return nil, err
	}
	if m.Report.Thresholds.Basis != stroke.ByShare {
		ask.ShareOfPeak = wire.Ptr(stroke.DefaultShare)
		if m, err = s.strokes.MeasureWith(ctx, &ask, levers); err != nil {
			return nil, err
		}
	}
	if r.RatePerMin != 0 || len(m.Oar.Rates) < 2 {
		return m, nil
	}
	return m.Chosen(commonRate(m))
}

// commonRate is the rate of the group with the most strokes, a minute; of equal
// ones the faster.
func commonRate(m *strokes.Remeasured) float64 {
	best, rate := 0, 0.0
	for i := range m.Oar.Rates {
		if g := &m.Oar.Rates[i]; g.Count >= best {
			best, rate = g.Count, 60*(g.Low+g.High)/2
		}
	}
	return rate
}

// newFirst reports what needs no rig.
func newFirst(m *strokes.Remeasured, distance float64) First {
	o := m.Oar
	w := First{
		Findings: []WorkOn{}, Habits: []BladeHabit{}, Unpriced: []string{}, Missing: []MissingMeasure{}, Assumed: []string{}, Arc: arcMarks(m),
		Threshold: m.Report.Thresholds.String(), Strokes: o.Count, RatePerMin: wire.Round(60*o.Features[stroke.Rate].Mean, 10),
		DistanceM: distance, Rule: fadeRule(), LeavesOut: modelLeavesOut,
	}
	for _, h := range o.Habits() {
		w.Habits = append(w.Habits, wireHabit(&h))
	}
	if arc := o.Features[stroke.Arc].Mean; arc > 0 {
		idle := o.Features[stroke.CatchSlip].Mean + o.Features[stroke.ReleaseSlip].Mean
		w.IdleShare = wire.ToRatio(idle / arc)
		w.Idle = fmt.Sprintf("%.0f %% of the arc does no work: %s at the catch and %s at the release of %s.", 100*idle/arc,
			degText(o.Features[stroke.CatchSlip].Mean), degText(o.Features[stroke.ReleaseSlip].Mean), degText(arc))
	}
	return w
}

// arcMarks lists where things happen, as far as they were measured.
func arcMarks(m *strokes.Remeasured) []ArcMark {
	o := m.Oar
	list := []ArcMark{}
	mean := func(f stroke.Feature) (float64, bool) { return o.Features[f].Mean, o.Features[f].N > 0 }
	add := func(name string, angle float64, ok bool) {
		if ok {
			list = append(list, ArcMark{name, wire.Round(angle*strokefile.PerDegree, 100)})
		}
	}
	catch, ok := mean(stroke.CatchAngle)
	finish, _ := mean(stroke.FinishAngle)
	add("reach", catch, ok)
	entry, met := mean(stroke.EntryAngle)
	add("touches", entry, met && entry > catch)
	cover, covered := mean(stroke.CoverAngle)
	add("covered", catch+cover, covered)
	slip, slips := mean(stroke.CatchSlip)
	add("holds", catch+slip, slips)
	release, _ := mean(stroke.ReleaseSlip)
	add("release", finish-release, slips)
	out, leaves := leavesAt(m.Path)
	add("out", out, leaves)
	add("finish", finish, ok)
	return list
}

// leavesAt is the oar angle at which the blade's middle comes out of the water,
// rad; ok is false where that was not measured within the drive.
func leavesAt(path []strokes.BladePoint) (angle float64, ok bool) {
	for i := strokes.PathPoints - 1; i > 0 && i < len(path); i-- {
		a, b := path[i-1], path[i]
		if a.VerticalDeg < 0 && b.VerticalDeg >= 0 {
			share := -a.VerticalDeg / (b.VerticalDeg - a.VerticalDeg)
			return (a.AngleDeg + share*(b.AngleDeg-a.AngleDeg)) / strokefile.PerDegree, true
		}
	}
	return 0, false
}

// rank ranks a recording, kept by all that goes into it.
func (s *Service) rank(rec *speed.Recording, distance float64) (*Ranked, error) {
	text, err := json.Marshal(struct {
		Recording speed.Recording
		Place     float64 // of the shape's peak, which has no JSON of its own
		Distance  float64
	}{*rec, rec.Seat.Shape.Peak(), distance})
	if err != nil {
		return nil, err
	}
	key := fmt.Sprintf("%x", sha256.Sum256(text))
	if found, ok := s.rankings.Get(key); ok {
		return found, nil
	}
	held := *rec
	held.Start = entryReference(rec, distance)
	found := &Ranked{start: held.Start}
	found.ranking, err = speed.Rank(held, distance)
	var fields rigging.FieldErrors
	switch {
	case errors.Is(err, speed.ErrNoStroke):
		found.refused = "the model finds no steady stroke with these forces, levers and masses"
	case errors.As(err, &fields):
		found.refused = wire.Describe(fields[0])
		if d := fields[0].Detail; d != "" {
			found.refused = d
		}
		found.refused = fields[0].Place.String() + ": " + found.refused
	case err != nil:
		return nil, err
	}
	s.rankings.Put(key, found)
	return found, nil
}

// entryReference holds the moment of entry against the best one for a blade
// carried and sinking as this one, by the model itself.
func entryReference(rec *speed.Recording, distance float64) speed.Measure {
	m := rec.Start
	if !m.Known || !rec.Height.Known || !rec.Sink.Known {
		return m
	}
	seat := rec.Seat
	seat.Catch, seat.Finish = -rigging.Angle(rec.Catch.Mean), rigging.Angle(rec.Finish.Mean)
	boat := speed.Stroke{Hull: rec.Hull, Drag: rec.Drag, Rate: rec.Rate}
	for range rec.Rowers {
		boat.Seats = append(boat.Seats, seat)
	}
	if rec.Speed > 0 {
		if at, err := boat.AtSpeed(rec.Speed); err == nil {
			boat = at
		}
	}
	best, err := boat.BestEntry(distance, speed.Entry{Height: rec.Height.Mean, Sink: rec.Sink.Mean})
	if err != nil {
		return m
	}
	m.Reference = min(max(m.Mean, best.Force.Start), best.Power.Start)
	m.Source = fmt.Sprintf("the model’s best moment for a blade carried %.0f cm high that sinks at %.1f m/s", 100*rec.Height.Mean, rec.Sink.Mean)
	return m
}

// mostFindings is how many things are told at once; our judgement, since nobody works
// on more.
const mostFindings = 3

// tellReach judges the catch against the body. Beyond its reach it is one of the
// things to work on, the last of three: it has a price for what it would cost
// and no gain that the model could see.
func (w *First) tellReach(rec *speed.Recording, k *speed.Ranking) {
	by, sd, ok := rec.BeyondReach()
	if !ok {
		return
	}
	own := math.Sqrt(max(sd*sd-rec.ReachSD*rec.ReachSD, 0))
	w.Reach = &ReachJudged{
		MeasuredDeg: wire.Round(rec.Catch.Mean*strokefile.PerDegree, 100), MeasuredSDDeg: wire.Round(own*strokefile.PerDegree, 100),
		AllowedDeg: wire.Round(rec.Reach*strokefile.PerDegree, 100), AllowedSDDeg: wire.Round(rec.ReachSD*strokefile.PerDegree, 100),
	}
	w.Reach.Verdict, w.Reach.Said = reachWords(by, own, rec, k.OverReach != nil)
	if k.OverReach == nil {
		return
	}
	f := newWorkOn(k.OverReach, rec, k, w.DistanceM)
	f.Said = w.Reach.Said
	w.Findings = append(w.Findings[:min(len(w.Findings), mostFindings-1)], f)
	if n := len(w.Findings); n > 1 {
		w.Findings[n-2].TooClose = false
	}
}

// settle reports in one sentence what comes first.
func (w *First) settle() {
	switch {
	case len(w.Findings) > 1 && w.Findings[0].TooClose:
		w.Said = fmt.Sprintf("First %s. Or %s: which comes first is too close to tell.", w.Findings[0].Title, w.Findings[1].Title)
	case len(w.Findings) > 0:
		w.Said = "First " + w.Findings[0].Title + "."
	case w.Model == nil && len(w.Habits) > 0:
		w.Said = wire.Sentence("the blade is " + w.Habits[0].Habit)
	case w.Model == nil:
		w.Said = "Nothing can be priced yet."
	case w.OwnBest:
		w.Said = "Nothing stands out against one’s own best strokes. A fault in every stroke cannot show that way."
	default:
		w.Said = "Nothing to work on stands out from stroke to stroke."
	}
}

// tell puts a ranking into words.
func (w *First) tell(rec *speed.Recording, found *Ranked, boat *firstBoat) {
	if found.refused != "" {
		w.Missing = append(w.Missing, MissingMeasure{"a stroke to reckon with", "No price: " + found.refused + ".", "Check the unit and the site of the force, the zeros, the levers and the masses."})
		w.settle()
		return
	}
	rec.Start = found.start
	k := &found.ranking
	w.Model = &FirstModel{
		BoatClass: boat.class.Code, SpeedMS: wire.ToSpeed(k.Steady.Speed), SpeedMeasured: rec.Speed > 0, DragNs2M2: wire.Round(k.Drag, 100),
		PowerW: wire.Round(k.Steady.Power, 10), MeasuredPowerW: wire.Round(rec.Power, 10),
	}
	for i := range k.Findings {
		w.Findings = append(w.Findings, newWorkOn(&k.Findings[i], rec, k, w.DistanceM))
	}
	w.tellReach(rec, k)
	for _, item := range k.Unpriced {
		w.Unpriced = append(w.Unpriced, itemWords[item].title)
	}
	for _, g := range k.Gaps {
		missing := gapWords[g]
		switch {
		case g == speed.GapVertical && rec.Depth.Known:
			missing = missingEntry
		case g == speed.GapVertical && rec.Height.Known:
			missing = missingDepth
		}
		w.Missing = append(w.Missing, missing)
	}
	if w.OwnBest = boat.alone; w.OwnBest {
		w.Missing = append(w.Missing, missingCrew)
	}
	if rec.Hands > 0 {
		w.Hands = &HandsAtCover{wire.Round(rec.Hands, 100), wire.Round(k.MatchSpeed, 100)}
	}
	w.settle()
}

func wireRange(r speed.Range, factor, perUnit float64) PriceRange {
	return PriceRange{wire.Round(r.Value*factor, perUnit), wire.Round(r.Low*factor, perUnit), wire.Round(r.High*factor, perUnit)}
}

// newWorkOn describes one finding.
func newWorkOn(f *speed.Finding, rec *speed.Recording, k *speed.Ranking, distance float64) WorkOn {
	words := itemWords[f.Item]
	w := WorkOn{
		Item: string(f.Item), Title: words.title, Unit: words.unit, Against: f.Measure.Source, Limited: f.Limited, TooClose: f.CloseToNext, Causes: []string{},
		Measured: wire.Round(f.Measure.Mean*words.factor, words.step), SD: wire.Round(f.Measure.SD*words.factor, words.step),
		Reference: wire.Round(f.Measure.Reference*words.factor, words.step), Change: wire.Round(f.Change*words.factor, words.step),
		Price: WorkPrice{
			ForceTimeS: wireRange(f.Price.ForceTime, 1, 10), ForcePowerPct: wireRange(f.Price.ForcePower, 100, 10),
			PowerTimeS: wireRange(f.Price.PowerTime, 1, 10), PowerForcePct: wireRange(f.Price.PowerForce, 100, 10), Open: f.Price.Open,
		},
		Do: words.do,
	}
	w.Said = fmt.Sprintf("%s: %s ± %s; %s is %s.", words.measured, words.text(f.Measure.Mean), words.text(f.Measure.SD), f.Measure.Source, words.text(f.Measure.Reference))
	if f.Limited {
		w.Said += fmt.Sprintf(" %s allows %s.", words.bound, words.text(math.Abs(f.Change)))
	}
	for _, c := range f.Causes {
		said, do := causeWords(c, rec, k)
		w.Causes = append(w.Causes, said)
		w.Do = append([]string{do}, w.Do...)
	}
	w.PriceSaid = [2]string{forceWords(&f.Price, distance), powerWords(&f.Price, distance)}
	if f.Item == speed.ItemOverReach {
		w.PriceSaid = [2]string{"no gain is told: the model rows the longer arc and knows nothing of the body", "what it costs the body is for the coach and, with pain, for a clinician"}
	}
	return w
}
