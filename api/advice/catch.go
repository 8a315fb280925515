package advice

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sort"

	"thole/api/seat"
	"thole/api/strokefile"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/speed"
)

// CatchRequest asks what one way into the water is worth in a class and rig.
// What is left out is usual for the class.
type CatchRequest struct {
	BoatClass   string  `query:"boat_class" json:"-" enum:",1x,2x,4x,2-,2+,4-,4+,8+" description:"Without it, 1x."`
	InboardCm   float64 `query:"inboard_cm" json:"-" validate:"omitempty,plausible=seat.inboard" description:"Without it, 88 in sculls, 114 in sweep."`
	OarLengthCm float64 `query:"oar_length_cm" json:"-" validate:"omitempty,plausible=seat.oar_length" description:"Without it, 288 in sculls, 373 in sweep."`
	CatchDeg    float64 `query:"catch_deg" json:"-" validate:"omitempty,gte=25,lte=80" description:"Arc before square, above zero; without it, what the class starts from."`
	FinishDeg   float64 `query:"finish_deg" json:"-" validate:"omitempty,gte=15,lte=60" description:"Arc after square; without it, what the class starts from."`
	RatePerMin  float64 `query:"rate_per_min" json:"-" validate:"omitempty,gte=14,lte=48" unit:"a minute" description:"Without it, 32."`
	PeakN       float64 `query:"peak_n" json:"-" validate:"omitempty,gte=60,lte=1500" description:"Peak force on one handle; without it, 390 in sculls, 720 in sweep."`
	MassKg      float64 `query:"mass_kg" json:"-" validate:"omitempty,plausible=rower.mass" description:"Of a rower; without it, the usual one of the class."`

	HeightCm  *float64 `query:"height_cm" json:"-" validate:"omitempty,plausible=approach.edge_height" description:"Lower edge of the blade over the water when it starts down; without it, 5."`
	SinkMS    *float64 `query:"sink_m_s" json:"-" validate:"omitempty,gte=0.3,lte=4" description:"How fast it sinks; without it, 1.3."`
	MomentMs  *float64 `query:"moment_ms" json:"-" validate:"omitempty,gte=-400,lte=120" unit:"ms" description:"When it starts down, against the reversal of the hands; without it, −50."`
	PickUp    *float64 `query:"pick_up_m_s2" json:"-" validate:"omitempty,gte=3,lte=15" unit:"m/s²" description:"How fast the hands pick up speed after the reversal; without it, 7."`
	DistanceM float64  `query:"distance_m" json:"-" validate:"omitempty,gte=100,lte=100000" description:"Without it, 2000."`
}

// CatchTry is what one way into the water is worth.
type CatchTry struct {
	BoatClass   string  `json:"boat_class"`
	InboardCm   float64 `json:"inboard_cm"`
	OarLengthCm float64 `json:"oar_length_cm"`
	CatchDeg    float64 `json:"catch_deg"`
	FinishDeg   float64 `json:"finish_deg"`
	RatePerMin  float64 `json:"rate_per_min" description:"Strokes a minute."`
	PeakN       float64 `json:"peak_n"`
	MassKg      float64 `json:"mass_kg"`
	HeightCm    float64 `json:"height_cm"`
	SinkMS      float64 `json:"sink_m_s"`
	MomentMs    float64 `json:"moment_ms"`
	PickUpMS2   float64 `json:"pick_up_m_s2" description:"How fast the hands pick up speed, m/s²."`
	DistanceM   float64 `json:"distance_m"`

	Said        string       `json:"said" description:"In one sentence."`
	Next        string       `json:"next" description:"What to do before anything is changed; empty where the entry is the rower’s own."`
	Cost        CatchCost    `json:"cost" description:"Of this moment, against a free catch: a blade that is covered the instant it matches the water."`
	BestForce   CatchCost    `json:"best_force" description:"The best moment when pulled as hard as now."`
	BestPower   CatchCost    `json:"best_power" description:"The best moment at the same power."`
	ByMoment    []CatchCost  `json:"by_moment" description:"The cost at moments around the reversal."`
	MatchDeg    float64      `json:"match_deg" description:"Arc until the blade matches the water."`
	LoadDeg     float64      `json:"load_deg" description:"Arc until the blade holds: what is missed."`
	BackedJ     float64      `json:"backed_j" description:"Energy lost by backing water in one stroke, all oars of a rower."`
	HandsMS     float64      `json:"hands_m_s" description:"Speed of the hands when the load begins."`
	SpeedMS     float64      `json:"speed_m_s" description:"Mean speed of the boat with this entry."`
	Path        []CatchPoint `json:"path" description:"From when the blade starts down, or the reversal, until it is well loaded."`
	FreeLoadDeg float64      `json:"free_load_deg" description:"Arc until the blade holds with a free catch."`
	LeavesOut   string       `json:"leaves_out" description:"What the model leaves out."`
}

// CatchCost is what an entry costs against a free catch.
type CatchCost struct {
	MomentMs      float64 `json:"moment_ms" description:"When the blade starts down, against the reversal of the hands."`
	ForceTimeS    float64 `json:"force_time_s" description:"Over the distance, pulled as hard as now."`
	PowerTimeS    float64 `json:"power_time_s" description:"Over the distance, at the same power."`
	PowerForcePct float64 `json:"power_force_pct" description:"How much harder each stroke is pulled at the same power."`
}

// CatchPoint is one moment of the blade about the catch.
type CatchPoint struct {
	TimeMs   float64 `json:"time_ms" description:"Since the hands reversed."`
	AngleDeg float64 `json:"angle_deg"`
	EdgeCm   float64 `json:"edge_cm" description:"Lower edge over the water, negative below."`
	XCm      float64 `json:"x_cm" description:"Middle of the blade along the water, towards the bow, from the reversal."`
	SlipMS   float64 `json:"slip_m_s" description:"Of the blade against the water; below zero it is pushed back."`
	Covered  float64 `json:"covered" description:"Share of the blade under water."`
	Loaded   bool    `json:"loaded"`
}

// The figures that stand in at the catch to try; the forces are those of strong
// club rowers (engineering judgement).
const (
	usualTryRate   = 32.0
	usualTryHeight = 5.0   // cm
	usualTrySink   = 1.3   // m/s
	usualTryMoment = -50.0 // ms
	usualScullPeak = 390.0 // N
	usualSweepPeak = 720.0 // N
)

// TryCatch works out what one way into the water is worth. The error is an
// *Invalid.
func (s *Service) TryCatch(_ context.Context, r CatchRequest) (CatchTry, error) {
	if err := wire.Held(&r); err != nil {
		return CatchTry{}, err
	}
	w, class, err := r.filled()
	if err != nil {
		return w, err
	}
	key := fmt.Sprintf("%+v", w)
	if kept, ok := s.catches.Get(key); ok {
		kept.say(&r)
		return kept, nil
	}
	boat := w.boat(class)
	if err := w.price(boat); err != nil {
		return w, catchError(err)
	}
	if err := w.follow(boat); err != nil {
		return w, catchError(err)
	}
	s.catches.Put(key, w)
	w.say(&r)
	return w, nil
}

// filled puts in what is usual.
func (r *CatchRequest) filled() (CatchTry, rigging.Class, error) {
	or := func(v, usual float64) float64 {
		if v == 0 {
			return usual
		}
		return v
	}
	code := r.BoatClass
	if code == "" {
		code = "1x"
	}
	class, err := seat.ClassOf(code)
	if err != nil {
		return CatchTry{}, class, err
	}
	usual, peak := rigging.UsualSetup(class), usualSweepPeak
	if class.Scull {
		peak = usualScullPeak
	}
	t := rigging.DefaultTargets(class)
	boat := speed.NewBoat(class)
	return CatchTry{
		BoatClass: code, InboardCm: or(r.InboardCm, wire.ToCm(usual.Inboard)), OarLengthCm: or(r.OarLengthCm, wire.ToCm(usual.OarLength)),
		CatchDeg: or(r.CatchDeg, -wire.ToDeg(t.Catch)), FinishDeg: or(r.FinishDeg, wire.ToDeg(t.Finish)), RatePerMin: or(r.RatePerMin, usualTryRate),
		PeakN: or(r.PeakN, peak), MassKg: or(r.MassKg, math.Round((class.ReferenceMass-boat.EmptyMass())/float64(class.Rowers))),
		HeightCm: wire.Or(r.HeightCm, usualTryHeight), SinkMS: wire.Or(r.SinkMS, usualTrySink), MomentMs: wire.Or(r.MomentMs, usualTryMoment),
		PickUpMS2: wire.Or(r.PickUp, speed.UsualPickUp), DistanceM: or(r.DistanceM, defaultDistance),
		ByMoment: []CatchCost{}, Path: []CatchPoint{}, LeavesOut: modelLeavesOut,
	}, class, nil
}

// boat is the stroke with the hands' pick-up, entry left out.
func (w *CatchTry) boat(class rigging.Class) *speed.Stroke {
	rig := rigging.Setup{Class: class, OarLength: wire.FromCm(w.OarLengthCm), Inboard: wire.FromCm(w.InboardCm)}
	one := speed.UsualSeat(class, rig.Levers(), w.MassKg)
	one.Catch, one.Finish, one.Peak, one.PickUp = -wire.FromDeg(w.CatchDeg), wire.FromDeg(w.FinishDeg), w.PeakN, w.PickUpMS2
	boat := speed.NewBoat(class)
	n := float64(class.Rowers)
	s := &speed.Stroke{Hull: boat.HullMass + boat.CoxMass, Drag: speed.Drag(class, boat.EmptyMass()+n*w.MassKg, speed.SameHull), Rate: w.RatePerMin}
	for range class.Rowers {
		s.Seats = append(s.Seats, one)
	}
	return s
}

func (w *CatchTry) entry() speed.Entry {
	return speed.Entry{Height: wire.FromCm(w.HeightCm), Sink: w.SinkMS, Start: w.MomentMs / 1000}
}

// momentStep and moments span the moments that costs are reported at, ms: earlier and
// later than catches are seen to be (our judgement).
const (
	momentStep = 25.0
	momentFrom = -250.0
	momentTo   = 100.0
)

// price fills in the costs.
func (w *CatchTry) price(boat *speed.Stroke) error {
	costs, err := boat.EntryCosts(w.DistanceM, w.entry(), []float64{w.MomentMs / 1000})
	if err != nil {
		return err
	}
	w.Cost = wireCost(costs[0])
	best, err := boat.BestEntry(w.DistanceM, w.entry())
	if err != nil {
		return err
	}
	w.BestForce, w.BestPower = wireCost(best.Force), wireCost(best.Power)
	var starts []float64
	for ms := momentFrom; ms <= momentTo; ms += momentStep {
		starts = append(starts, ms/1000)
	}
	costs, err = boat.EntryCosts(w.DistanceM, w.entry(), starts)
	for errors.Is(err, speed.ErrNoStroke) && len(starts) > 1 { // so late that nothing is left to pull
		starts = starts[:len(starts)-1]
		costs, err = boat.EntryCosts(w.DistanceM, w.entry(), starts)
	}
	for _, c := range costs {
		w.ByMoment = append(w.ByMoment, wireCost(c))
	}
	return err
}

func wireCost(c speed.EntryCost) CatchCost {
	return CatchCost{wire.Round(1000*c.Start, 1), wire.Round(c.ForceTime, 10), wire.Round(c.PowerTime, 10), wire.Round(100*c.PowerForce, 10)}
}

// follow fills in the steady stroke with the entry, and the blade's path about
// the catch.
func (w *CatchTry) follow(boat *speed.Stroke) error {
	free, err := boat.Solve()
	if err != nil {
		return err
	}
	w.FreeLoadDeg = wire.ToDeg(free.Seats[0].Load)
	entered := *boat
	entered.Seats = make([]speed.Seat, len(boat.Seats))
	for i, one := range boat.Seats {
		entered.Seats[i] = speed.Enter(w.entry())(one)
	}
	steady, err := entered.Solve()
	if err != nil {
		return err
	}
	k := &steady.Seats[0]
	w.MatchDeg, w.LoadDeg, w.BackedJ = wire.ToDeg(k.Match), wire.ToDeg(k.Load), wire.Round(k.Backed, 10)
	w.HandsMS, w.SpeedMS = wire.Round(k.HoldSpeed, 100), wire.ToSpeed(steady.Speed)
	path, err := entered.Path(0)
	if err != nil {
		return err
	}
	w.trace(path, entered.Seats[0].BladeHeight)
	return nil
}

// The path is told every traceStep from traceLead before the blade starts down,
// or the hands reverse, to afterLoad after the load has begun, s; our judgement: a few
// dozen points, which a drawing shows as a smooth line.
const (
	traceStep = 0.005
	traceLead = 0.05
	afterLoad = 0.1
)

// trace keeps the path about the catch: the end of the recovery, and the
// beginning of the drive.
func (w *CatchTry) trace(path []speed.PathPoint, height float64) {
	e := w.entry()
	last := path[len(path)-1]
	way := last.X - path[0].X // of the boat in one stroke, so that the end meets the beginning
	until := last.Time
	for i := range path {
		if path[i].Loaded {
			until = path[i].Time + afterLoad
			break
		}
	}
	from := math.Floor((min(e.Start, 0)-traceLead)/traceStep) * traceStep
	for n := 0; ; n++ {
		t := from + float64(n)*traceStep
		if t > until {
			return
		}
		p, x := pointAt(path, t), 0.0
		if t < -traceStep/2 {
			p = pointAt(path, t+last.Time)
			x = -way
		}
		edge := max(min(e.Height-e.Sink*(t-e.Start), e.Height), -height)
		covered := min(max(-edge/height, 0), 1)
		w.Path = append(w.Path, CatchPoint{
			TimeMs: wire.Round(1000*t, 1), AngleDeg: wire.Round(float64(p.Angle)*strokefile.PerDegree, 100), EdgeCm: wire.Round(100*edge, 100),
			XCm: wire.Round(100*(p.X+x-path[0].X), 10), SlipMS: wire.Round(p.Slip, 100), Covered: wire.Round(covered, 100), Loaded: p.Loaded,
		})
	}
}

// pointAt reads the path at a time, between its moments.
func pointAt(path []speed.PathPoint, t float64) speed.PathPoint {
	k := sort.Search(len(path), func(i int) bool { return path[i].Time >= t })
	if k == 0 || k == len(path) {
		return path[min(k, len(path)-1)]
	}
	a, b := path[k-1], path[k]
	if b.Time == a.Time {
		return b
	}
	share := (t - a.Time) / (b.Time - a.Time)
	between := func(x, y float64) float64 { return x + share*(y-x) }
	a.Time, a.Angle, a.X, a.Slip = t, rigging.Angle(between(float64(a.Angle), float64(b.Angle))), between(a.X, b.X), between(a.Slip, b.Slip)
	return a
}

// stated reports whether the entry is the rower's own, and not what is usual.
func (r *CatchRequest) stated() bool {
	return r.HeightCm != nil && r.SinkMS != nil && r.MomentMs != nil
}

// say puts the answer into one sentence. What is usual becomes no advice.
func (w *CatchTry) say(r *CatchRequest) {
	from, to := min(w.BestForce.MomentMs, w.BestPower.MomentMs), max(w.BestForce.MomentMs, w.BestPower.MomentMs)
	missed := fmt.Sprintf("%.1f° are missed before the blade holds", w.LoadDeg)
	const usual = "With these usual figures the "
	if !r.stated() {
		w.Next = "Enter how the blade goes in before you change anything."
	}
	early, late := from-w.MomentMs, w.MomentMs-to
	switch {
	case early > 1 && !r.stated():
		w.Said = fmt.Sprintf("%sblade starts down %.0f ms too early, and backs water.", usual, early)
	case late > 1 && !r.stated():
		w.Said = fmt.Sprintf("%sblade starts down %.0f ms too late: %s.", usual, late, missed)
	case !r.stated():
		w.Said = fmt.Sprintf("%smoment is right: %s.", usual, missed)
	case early > 1:
		w.Said = fmt.Sprintf("Too early: the blade backs water; start it down %.0f ms later.", early)
	case late > 1:
		w.Said = fmt.Sprintf("Too late: %s; start it down %.0f ms sooner.", missed, late)
	default:
		w.Said = fmt.Sprintf("The moment is right for this height and speed: %s.", missed)
	}
}

// catchError describes a stroke that cannot be rowed at the fields that make it.
func catchError(err error) error {
	if errors.Is(err, speed.ErrNoStroke) {
		return wire.At("moment_ms").Invalid("With these figures the drive does not end in time: start the blade down sooner, or pull harder.")
	}
	var fields rigging.FieldErrors
	if errors.As(err, &fields) {
		return wire.At("boat_class").Invalid("These figures make no stroke: " + fields[0].Place.String() + " " + fields[0].Detail)
	}
	return err
}
