package advice

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"thole/api/club"
	"thole/api/records"
	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/speed"
	"thole/selection/stroke"
)

// firstBoat is the boat a recording is ranked in.
type firstBoat struct {
	known   bool
	class   rigging.Class
	levers  rigging.Levers
	hull    float64 // with coxswain, kg
	mass    float64 // of the rower, kg
	speed   float64 // stated, m/s; 0 as measured
	reach   float64 // of the body at the catch, rad above zero; 0 not known
	reachSD float64
	alone   bool // no crew was measured that day
	assumed []string
}

// firstBoat finds class, levers and masses; what is not on record is assumed
// and said.
func (s *Service) firstBoat(ctx context.Context, r *FirstRequest, m *strokes.Remeasured) (*firstBoat, error) {
	b := &firstBoat{speed: r.BoatSpeedMS}
	var rig foundRig
	var hull *float64
	var err error
	switch {
	case r.BoatClass != "":
		b.class, err = classOf(r.BoatClass)
		b.known = err == nil
	case r.BoatID != nil || m.Stored.BoatID != nil:
		rig, hull, err = s.firstRig(ctx, r, m)
		b.class, b.known = rig.class, rig.class.Code != ""
	}
	if err != nil || !b.known {
		return b, err
	}
	b.setLevers(r, m, &rig)
	boat := speed.NewBoat(b.class)
	if hull != nil {
		boat.HullMass = *hull
	} else {
		b.assume("hull of %g kg, the least of the class", boat.HullMass)
	}
	b.hull = boat.HullMass + boat.CoxMass
	return b, s.setBody(ctx, b, r, m, &rig)
}

// wanted returns levers to measure the way into the water with, where the
// import stated none or one; nil where nothing is to be gained.
func (b *firstBoat) wanted(m *strokes.Remeasured) *strokefile.OarLevers {
	stated := m.Terms.Levers
	if !b.known || m.Oar.Features[stroke.Depth].N == 0 || stated != nil && stated.OutCm != 0 {
		return nil
	}
	w := &strokefile.OarLevers{InCm: wire.ToCm(b.levers.Inner), OutCm: wire.ToCm(b.levers.Outer)}
	if stated != nil {
		w.InCm = stated.InCm
	}
	return w
}

func (b *firstBoat) assume(format string, args ...any) {
	b.assumed = append(b.assumed, fmt.Sprintf(format, args...))
}

// firstRig returns the rig of the boat; one that is not measured gives the
// class alone.
func (s *Service) firstRig(ctx context.Context, r *FirstRequest, m *strokes.Remeasured) (foundRig, *float64, error) {
	id := r.BoatID
	if id == nil {
		id = m.Stored.BoatID
	}
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: *id})
	if err != nil {
		return foundRig{}, nil, err
	}
	rig, err := rigOf(&boat, r.SeatNumber, m.Stored.Seat)
	if bad := new(wire.Invalid); errors.As(err, &bad) {
		class, err := classOf(boat.BoatClass)
		return foundRig{class: class, code: boat.BoatClass}, boat.HullMassKg, err
	}
	return rig, boat.HullMassKg, err
}

// setLevers takes the levers typed, those of the rig, those of the import, or
// those of a usual oar.
func (b *firstBoat) setLevers(r *FirstRequest, m *strokes.Remeasured, rig *foundRig) {
	usual := rigging.UsualSetup(b.class)
	setup := rigging.Setup{Class: b.class, OarLength: usual.OarLength, Inboard: usual.Inboard}
	l := m.Terms.Levers
	switch {
	case r.InboardCm != 0 && r.OarLengthCm != 0:
		setup.OarLength, setup.Inboard = wire.FromCm(r.OarLengthCm), wire.FromCm(r.InboardCm)
	case rig.seat.InboardCm != nil:
		setup = rig.seat.Setup(b.class)
	case l != nil && l.OutCm != 0:
		b.levers = setup.Levers()
		b.levers.Inner, b.levers.Outer = wire.FromCm(l.InCm), wire.FromCm(l.OutCm)
		return
	default:
		b.assume("an oar of %.0f cm with %.0f cm inboard", 100*setup.OarLength, 100*setup.Inboard)
	}
	b.levers = setup.Levers()
}

// setBody fills in the rower's mass and reach.
func (s *Service) setBody(ctx context.Context, b *firstBoat, r *FirstRequest, m *strokes.Remeasured, rig *foundRig) error {
	b.mass = r.MassKg
	boat := speed.NewBoat(b.class)
	usual := (b.class.ReferenceMass - boat.EmptyMass()) / float64(b.class.Rowers)
	if m.Stored.AthleteID != nil {
		a, err := s.club.Athlete(ctx, club.AthleteRequest{ID: *m.Stored.AthleteID, AsOf: m.Stored.RecordedOn})
		if err != nil && !errors.Is(err, wire.ErrNotFound) {
			return err
		}
		if err == nil {
			if b.mass == 0 {
				b.mass = wire.Or(a.Rower.MassKg, 0)
			}
			b.reach, b.reachSD = reachOf(&a, b.class, rig)
		}
	}
	if b.mass == 0 {
		b.mass = math.Round(usual)
		b.assume("a rower of %.0f kg", b.mass)
	}
	if b.class.Rowers > 1 {
		b.assume("the others of the crew row as this one")
	}
	return nil
}

// reachOf returns the catch that the body is able to reach in the rig with its
// standard deviation, above zero, rad; 0 where body or rig are not known.
func reachOf(a *club.Athlete, class rigging.Class, rig *foundRig) (reach, sd float64) {
	if rig.seat.HeelToPinCm == nil || a.Rower.StatureCm == nil {
		return 0, 0
	}
	measures, setup := a.Rower.Measures(), rig.seat.Setup(class)
	if measures.Check() != nil || setup.Check() != nil {
		return 0, 0
	}
	c := rigging.NewCase(setup, &measures)
	k, err := c.Capacity(rigging.DefaultLimits())
	if err != nil {
		return 0, 0
	}
	return max(-float64(k.Catch), 0), float64(k.CatchSD)
}

// speedRecording gathers what the model needs of a recording.
func (s *Service) speedRecording(ctx context.Context, m *strokes.Remeasured, b *firstBoat) (*speed.Recording, error) {
	o := m.Oar
	oars := float64(b.class.OarsPerRower())
	r := &speed.Recording{
		Hull: b.hull, Rowers: b.class.Rowers, Rate: 60 * o.Features[stroke.Rate].Mean, Speed: o.Features[stroke.MeanSpeed].Mean,
		Power: oars * o.Features[stroke.Power].Mean, Strokes: o.Count, Curve: o.Curve.ByAngle.Mean[:], Level: m.Report.Thresholds.PeakShare(),
		Seat: speed.UsualSeat(b.class, b.levers, b.mass), Reach: b.reach, ReachSD: b.reachSD, CatchZero: float64(sensorZero), Hands: max(o.Features[stroke.CoverSpeed].Mean, 0),
	}
	if b.speed > 0 {
		r.Speed = b.speed
	}
	r.Drag = speed.Drag(b.class, b.hull+float64(b.class.Rowers)*(b.mass+speed.GearMass), speed.SameHull)
	r.Seat.Peak = o.Features[stroke.PeakForce].Mean
	if m.Report.Force == stroke.Gate {
		r.Seat.Peak *= b.levers.Outer / (b.levers.Inner + b.levers.Outer)
	}
	crew, err := s.crewOf(ctx, m)
	b.alone = len(crew) < fewestCrew
	g := &gatherer{m: m, crew: crew, class: b.class}
	g.fill(r)
	if err != nil {
		return r, err
	}
	return r, s.filmed(ctx, m, b, r)
}

// crewMean is what another rower of the crew did on the day.
type crewMean map[string]float64

// crewOf returns the means of the others who were measured in the same boat on
// the same day, slips left out where they were read at another threshold.
func (s *Service) crewOf(ctx context.Context, m *strokes.Remeasured) ([]crewMean, error) {
	if m.Stored.BoatID == nil {
		return nil, nil
	}
	all, err := s.Store.RecordingMeans(ctx, *m.Stored.BoatID, m.Stored.RecordedOn)
	if err != nil {
		return nil, err
	}
	var crew []crewMean
	seen := map[string]bool{}
	for i := range all {
		other := &all[i]
		who := other.Seat
		if other.AthleteID != nil {
			who = fmt.Sprint("athlete ", *other.AthleteID)
		}
		if seen[who] || sameRower(&other.Recording, &m.Stored) {
			continue
		}
		seen[who] = true
		crew = append(crew, meansOf(other, m.Report.Thresholds.PeakShare()))
	}
	return crew, nil
}

func sameRower(a, b *store.Recording) bool {
	if a.AthleteID != nil && b.AthleteID != nil {
		return *a.AthleteID == *b.AthleteID
	}
	return a.Seat == b.Seat
}

func meansOf(r *store.RecordingMean, level float64) crewMean {
	out := crewMean{}
	for name, f := range r.Mean {
		out[name] = f.Value
	}
	var terms strokes.RecordingTerms
	if json.Unmarshal([]byte(r.Thresholds), &terms) != nil || terms.Thresholds.ShareOfPeak == nil || *terms.Thresholds.ShareOfPeak != level {
		delete(out, "catch_slip_deg")
		delete(out, "release_slip_deg")
		delete(out, "effective_arc_deg")
	}
	return out
}

// fewestCrew is how many others make a crew to compare a rower with; our judgement: one
// other would be a comparison with a person.
const fewestCrew = 2

// crewMedian returns the median of a measure over the crew, in SI.
func crewMedian(crew []crewMean, of func(crewMean) (float64, bool)) (float64, bool) {
	var list []float64
	for _, c := range crew {
		if v, ok := of(c); ok {
			list = append(list, v)
		}
	}
	if len(list) < fewestCrew {
		return 0, false
	}
	slices.Sort(list)
	n := len(list)
	return (list[(n-1)/2] + list[n/2]) / 2, true
}

// gatherer makes measures with references of the strokes of a recording.
type gatherer struct {
	m     *strokes.Remeasured
	crew  []crewMean
	class rigging.Class
}

// reference is something a measure is held against.
type reference struct {
	value  float64
	source string
	own    bool
}

// fill sets every measure.
func (g *gatherer) fill(r *speed.Recording) {
	plain := func(f stroke.Feature) func(*stroke.Stroke) (float64, bool) {
		return func(s *stroke.Stroke) (float64, bool) { return s.Value(f) }
	}
	minus := func(f stroke.Feature) func(*stroke.Stroke) (float64, bool) {
		return func(s *stroke.Stroke) (float64, bool) { v, ok := s.Value(f); return -v, ok }
	}
	r.Catch = g.measure(minus(stroke.CatchAngle), -1, "catch_deg", -1/strokefile.PerDegree)
	r.Finish = g.measure(plain(stroke.FinishAngle), -1, "finish_deg", 1/strokefile.PerDegree)
	r.CatchSlip = g.measure(plain(stroke.CatchSlip), 1, "catch_slip_deg", 1/strokefile.PerDegree, g.coveredInTime()...)
	r.ReleaseSlip = g.measure(plain(stroke.ReleaseSlip), 1, "release_slip_deg", 1/strokefile.PerDegree)
	r.Depth = g.measure(plain(stroke.Detour), 1, "detour_deg", 1/strokefile.PerDegree, g.deepBound()...)
	r.Height = g.measure(plain(stroke.CarryHeight), 1, "carry_height_cm", 0.01)
	r.Sink = g.measure(plain(stroke.SinkSpeed), -1, "sink_speed_m_s", 1)
	r.PeakPlace = g.peakPlace()
	r.Start = g.measured(entryStart)
}

// entryStart is when the blade starts down, s against the reversal: what it
// takes from the carried height before its edge meets the water.
func entryStart(s *stroke.Stroke) (float64, bool) {
	met, ok := s.Value(stroke.EntryMoment)
	height, carried := s.Value(stroke.CarryHeight)
	sink, sinks := s.Value(stroke.SinkSpeed)
	if !ok || !carried || !sinks || sink <= 0 {
		return 0, false
	}
	return met - max(height, 0)/sink, true
}

// placeOf is where the peak stands in the arc that works, as a share.
func placeOf(catch, slip, peak, effective float64) float64 { return (peak - catch - slip) / effective }

func (g *gatherer) peakPlace() speed.Measure {
	m := g.measured(func(s *stroke.Stroke) (float64, bool) {
		catch, _ := s.Value(stroke.CatchAngle)
		slip, a := s.Value(stroke.CatchSlip)
		peak, b := s.Value(stroke.PeakAngle)
		effective, c := s.Value(stroke.EffectiveArc)
		return placeOf(catch, slip, peak, effective), a && b && c && effective > 0
	})
	v, ok := crewMedian(g.crew, func(c crewMean) (float64, bool) {
		slip, read := c["catch_slip_deg"]
		return placeOf(c["catch_deg"], slip, c["peak_angle_deg"], c["effective_arc_deg"]), read && c["effective_arc_deg"] > 0
	})
	if ok {
		m.Reference, m.Source = v, crewSource
	}
	return m
}

const (
	crewSource = "the crew’s median of that day"
	bestSource = "the mean of your own best tenth of strokes"
)

// measured is the mean and spread of a figure of the strokes.
func (g *gatherer) measured(of func(*stroke.Stroke) (float64, bool)) speed.Measure {
	var m strokes.Mean
	for i := range g.m.Oar.Strokes {
		if v, ok := of(&g.m.Oar.Strokes[i]); ok {
			m.Add(v)
		}
	}
	return speed.Measure{Mean: m.Mean, SD: m.Sd(), Known: m.N > 0 && 2*m.N >= len(g.m.Oar.Strokes)}
}

// measure holds a figure against the crew, against what others publish, and
// against the own best strokes: the first that it is beyond on the side that
// costs, else the first there is. costly is 1 where more of it costs speed, −1
// where less does.
func (g *gatherer) measure(of func(*stroke.Stroke) (float64, bool), costly float64, name string, unit float64, published ...reference) speed.Measure {
	m := g.measured(of)
	if !m.Known {
		return m
	}
	var list []reference
	v, ok := crewMedian(g.crew, func(c crewMean) (float64, bool) { v, ok := c[name]; return v * unit, ok })
	if zeros := name == "catch_deg" || name == "finish_deg"; ok && !(zeros && math.Abs(v-m.Mean) <= zerosTell) {
		list = append(list, reference{v, crewSource, false})
	}
	list = append(list, published...)
	if v, ok := g.bestTenth(of, costly); ok {
		list = append(list, reference{v, bestSource, true})
	}
	for i, r := range list {
		held := m
		held.Reference, held.Source, held.OwnBest = r.value, r.source, r.own
		if i == 0 {
			m = held
		}
		if held.Beyond() && (held.Mean-held.Reference)*costly > 0 {
			return held
		}
	}
	return m
}

// zerosTell is how far two oars must be apart at one end for that to be more
// than the zeros of their sensors, rad: twice the standard deviation of their
// difference, 19 times of 20 (convention).
const zerosTell = 2 * math.Sqrt2 * float64(sensorZero)

// fewestOwn is how many strokes have a best tenth: by definition ten.
const fewestOwn = 10

// bestTenth is the mean of the tenth of the strokes with the least, or the
// most, of a figure.
func (g *gatherer) bestTenth(of func(*stroke.Stroke) (float64, bool), costly float64) (float64, bool) {
	var list []float64
	for i := range g.m.Oar.Strokes {
		if v, ok := of(&g.m.Oar.Strokes[i]); ok {
			list = append(list, v*costly)
		}
	}
	if len(list) < fewestOwn {
		return 0, false
	}
	slices.Sort(list)
	n, sum := len(list)/10, 0.0
	for _, v := range list[:n] {
		sum += v
	}
	return costly * sum / float64(n), true
}

// coveredInTime is the catch slip of a load that begins where good crews have
// the blade covered, and rises as steeply as it does now.
func (g *gatherer) coveredInTime() []reference {
	curve := g.m.Oar.Curve.ByAngle.Mean[:]
	slip, arc := g.m.Oar.Features[stroke.CatchSlip].Mean, g.m.Oar.Features[stroke.Arc].Mean
	top := slices.Max(curve)
	k := min(max(int(slip/arc*(stroke.Nodes-1)), 0), stroke.Nodes-1)
	for k > 0 && curve[k] > speed.FootLevel*top {
		k--
	}
	foot := arc * float64(k) / (stroke.Nodes - 1)
	target := float64(rigging.SlipTarget(g.class))
	if top <= 0 || foot <= target {
		return nil
	}
	return []reference{{slip - (foot - target), fmt.Sprintf("with the load beginning %s after the catch, where good crews have the blade covered (V. Kleshnev, Rowing Biomechanics Newsletter), it", degText(target)), false}}
}

// deepBound is the depth from which a blade is called too deep.
func (g *gatherer) deepBound() []reference {
	for _, h := range g.m.Oar.Habits() {
		if h.Habit == stroke.TooDeep {
			return []reference{{h.Bound, "three quarters of a blade below just covered (our judgement)", false}}
		}
	}
	return nil
}
