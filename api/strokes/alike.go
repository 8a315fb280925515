package strokes

import (
	"context"
	"slices"
	"strings"

	"thole/api/gate"
	"thole/api/records"
	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/wire"
	"thole/selection/stroke"
)

// CurveLikeness says how alike two curves are.
type CurveLikeness struct {
	R          float64 `json:"r" description:"Pearson's correlation."`
	RMSN       float64 `json:"rms_n" description:"Root mean square of the difference of the forces."`
	D          float64 `json:"d" description:"Half the area between the two shapes, size taken out: 0 the same shape, 1 no overlap."`
	ShiftShare float64 `json:"shift_share" description:"How much later the first comes, as a share of the drive, where the two fit best."`
	ShiftedR   float64 `json:"shifted_r" description:"Correlation at that shift: the shape without the timing."`
	WarpN      float64 `json:"warp_n" description:"Distance by dynamic time warping, 10 nodes to either side."`
}

// warpWindow is how far the warping may bend time: a tenth of the drive, our judgement.
const warpWindow = 10

// CompareRequest names two recordings, and the thresholds to measure both at.
type CompareRequest struct {
	A           int64    `query:"a" json:"-" validate:"omitempty,gte=1" description:"The first recording."`
	B           int64    `query:"b" json:"-" validate:"omitempty,gte=1" description:"The second recording."`
	CatchN      *float64 `query:"catch_n" json:"-" validate:"omitempty,gte=1,lte=2000" description:"Force at the catch, as measured."`
	ReleaseN    *float64 `query:"release_n" json:"-" validate:"omitempty,gte=1,lte=2000" description:"Force at the release, as measured."`
	ShareOfPeak *float64 `query:"share_of_peak" json:"-" validate:"omitempty,gte=0.01,lte=0.95" description:"Share of the stroke's peak force, 0 to 1."`
	CoveredDeg  *float64 `query:"covered_deg" json:"-" validate:"omitempty,gte=-20,lte=0" description:"Vertical angle below which the blade is covered."`
	RowerOars   int      `query:"rower_oars" json:"-" validate:"gte=0,lte=2" description:"Whose forces catch_n and release_n are: 0 that of each oar, 1 or 2 that of a rower with so many oars."`
}

// Comparison is two recordings side by side. With no thresholds stated both
// are measured at the first one's.
type Comparison struct {
	A        Recording     `json:"a"`
	B        Recording     `json:"b"`
	ByAngle  CurveLikeness `json:"by_angle" description:"Over the arc rowed, which takes the rate out."`
	ByTime   CurveLikeness `json:"by_time" description:"Over the time of the drive; all 0 where one of them is a mean curve alone."`
	Evidence string        `json:"evidence" description:"What a curve match does not tell."`
}

// LikenessEvidence is said wherever curves are called alike.
const LikenessEvidence = "Matched curves are a coach’s hypothesis and no proven gain: in one study neither power nor timing nor drag told which pairs were fast " +
	"(Baudouin and Hawkins 2004), half a century of studies agrees on no best curve (Warmenhoven et al. 2018), " +
	"and the two of a pair have to pull differently for the boat to run straight (Smith and Draper)."

func curveLikeness(f, g []float64) (CurveLikeness, error) {
	l, err := stroke.Compare(f, g, warpWindow)
	return wireLikeness(&l, len(f)), err
}

func wireLikeness(l *stroke.Likeness, nodes int) CurveLikeness {
	return CurveLikeness{
		R: wire.Round(l.R, 1e6), RMSN: wire.Round(l.RMS, 100), D: wire.Round(l.D, 1e6), ShiftShare: wire.ToRatio(float64(l.Shift) / float64(nodes-1)),
		ShiftedR: wire.Round(l.ShiftedR, 1e6), WarpN: wire.Round(l.Warp, 100),
	}
}

// CompareRecordings compares the curves of two recordings. Errors: ErrNotFound
// or an *Invalid.
func (s *Service) CompareRecordings(ctx context.Context, r CompareRequest) (Comparison, error) {
	ask := RecordingRequest{ID: r.A, CatchN: r.CatchN, ReleaseN: r.ReleaseN, ShareOfPeak: r.ShareOfPeak, CoveredDeg: r.CoveredDeg, RowerOars: r.RowerOars}
	w := Comparison{Evidence: LikenessEvidence}
	var err error
	if w.A, err = s.Recording(ctx, ask); err != nil {
		return w, err
	}
	ask.ID = r.B
	th := &w.A.Thresholds
	ask.CatchN, ask.ReleaseN, ask.ShareOfPeak, ask.CoveredDeg, ask.RowerOars = th.CatchN, th.ReleaseN, th.ShareOfPeak, th.CoveredDeg, th.RowerOars
	if w.B, err = s.Recording(ctx, ask); err != nil {
		return w, err
	}
	_, timedA := w.A.Oar.Features["drive_time_s"]
	_, timedB := w.B.Oar.Features["drive_time_s"]
	if w.ByAngle, err = curveLikeness(w.A.Oar.Curve.AngleMean, w.B.Oar.Curve.AngleMean); err == nil && timedA && timedB {
		w.ByTime, err = curveLikeness(w.A.Oar.Curve.TimeMean, w.B.Oar.Curve.TimeMean)
	}
	if err != nil {
		return w, wire.At("b").Invalid("These curves cannot be compared: " + err.Error() + ".")
	}
	return w, nil
}

// CurveMember is a rower with the newest curve on record.
type CurveMember struct {
	RecordingID int64     `json:"recording_id"`
	AthleteID   int64     `json:"athlete_id"`
	Athlete     string    `json:"athlete"`
	RecordedOn  string    `json:"recorded_on"`
	Hands       int       `json:"hands" description:"Oars whose force is added up."`
	CurveN      []float64 `json:"curve_n" description:"Mean force over the arc, 101 nodes from catch to finish."`
	Scores      []float64 `json:"scores" description:"How far the curve's shape goes along each component."`
}

// CurveComponents are the main ways in which the shapes of a squad differ.
type CurveComponents struct {
	Share   []float64   `json:"share" description:"Of the variance, 0 to 1."`
	Mean    []float64   `json:"mean" description:"Mean shape, of unit area over the drive."`
	Vectors [][]float64 `json:"vectors" description:"Of unit length."`
}

// CurveSquad is how alike the athletes' curves are.
type CurveSquad struct {
	Members    []CurveMember     `json:"members" description:"In an order that puts close matches together."`
	Alike      [][]CurveLikeness `json:"alike" description:"Row by row in that order; the diagonal compares a curve with itself."`
	Components CurveComponents   `json:"components" description:"Empty below three athletes, and where all curves are the same."`
	LeftOut    []string          `json:"left_out" description:"Athletes whose curve holds no force."`
	Beyond     int               `json:"beyond" description:"How many athletes with older curves were not compared: the 100 newest at most are. A squad can be asked for."`
	Evidence   string            `json:"evidence" description:"What a curve match does not tell."`
}

// componentCount is how many ways of differing are told: the first three hold
// 94.7 % of it in the squad of Pataky & Warmenhoven 2018.
const componentCount = 3

// CurveSquadRequest asks whose curves are compared.
type CurveSquadRequest struct {
	SquadID int64 `query:"squad_id" json:"-" validate:"omitempty,gte=1" description:"Only athletes of this squad."`
}

// SquadCurves compares the newest curves of all athletes, or of a squad.
func (s *Service) SquadCurves(ctx context.Context, r CurveSquadRequest) (CurveSquad, error) {
	return gate.Through(ctx, s.Gate, func(ctx context.Context) (CurveSquad, error) { return s.squadCurves(ctx, r) })
}

func (s *Service) squadCurves(ctx context.Context, r CurveSquadRequest) (CurveSquad, error) {
	w := CurveSquad{Members: []CurveMember{}, Alike: [][]CurveLikeness{}, LeftOut: []string{}, Evidence: LikenessEvidence}
	w.Components = CurveComponents{Share: []float64{}, Mean: []float64{}, Vectors: [][]float64{}}
	members, err := s.squadMembers(ctx, r.SquadID)
	if err != nil {
		return w, err
	}
	members, w.Beyond = newest(members)
	var shapes [][]float64
	for _, m := range members {
		shape, err := stroke.Shape(m.CurveN)
		if err == nil {
			_, err = stroke.Compare(m.CurveN, m.CurveN, warpWindow)
		}
		if err != nil {
			w.LeftOut = append(w.LeftOut, m.Athlete)
			continue
		}
		w.Members = append(w.Members, m)
		shapes = append(shapes, shape)
	}
	if len(w.Members) == 0 {
		return w, nil
	}
	return w, w.compare(shapes)
}

// mostCompared bounds the curves that are compared each with each, by our own
// judgement: twice as many take four times as long, and no screen shows them.
const mostCompared = 100

// newest keeps the members with the newest curves and counts the others.
func newest(members []CurveMember) (kept []CurveMember, beyond int) {
	if len(members) <= mostCompared {
		return members, 0
	}
	slices.SortStableFunc(members, func(a, b CurveMember) int { return strings.Compare(b.RecordedOn, a.RecordedOn) })
	return members[:mostCompared], len(members) - mostCompared
}

// compare orders the members and compares each with each.
func (w *CurveSquad) compare(shapes [][]float64) error {
	curves := make([][]float64, len(w.Members))
	for i := range w.Members {
		curves[i] = w.Members[i].CurveN
	}
	alike, err := stroke.Alike(curves, warpWindow)
	if err != nil {
		return wire.DomainError(err)
	}
	d := make([][]float64, len(alike))
	for i, row := range alike {
		d[i] = make([]float64, len(row))
		for j := range row {
			d[i][j] = row[j].D
		}
	}
	w.components(shapes)
	members := make([]CurveMember, 0, len(w.Members))
	order := stroke.Arrange(d)
	w.Alike = make([][]CurveLikeness, len(order))
	for i := range order {
		w.Alike[i] = make([]CurveLikeness, len(order))
		members = append(members, w.Members[order[i]])
		for j := range order {
			w.Alike[i][j] = wireLikeness(&alike[order[i]][order[j]], stroke.Nodes)
		}
	}
	w.Members = members
	return nil
}

// components finds the main ways in which the shapes differ. Curves that are
// all the same have none.
func (w *CurveSquad) components(shapes [][]float64) {
	for i := range w.Members {
		w.Members[i].Scores = []float64{}
	}
	if len(shapes) < componentCount {
		return
	}
	c, err := stroke.Principal(shapes, componentCount)
	if err != nil {
		return
	}
	w.Components = CurveComponents{Share: strokefile.Rounded(c.Share, 1e6), Mean: strokefile.Rounded(c.Mean, 1e6), Vectors: [][]float64{}}
	for _, v := range c.Vectors {
		w.Components.Vectors = append(w.Components.Vectors, strokefile.Rounded(v, 1e6))
	}
	for i := range w.Members {
		w.Members[i].Scores = strokefile.Rounded(c.Scores[i], 1e6)
	}
}

// squadMembers returns the newest curve of each athlete of a squad, by name; squad
// 0 is everybody. The force of
// a sculler's two oars is added up.
func (s *Service) squadMembers(ctx context.Context, squad int64) ([]CurveMember, error) {
	in := map[int64]bool{}
	if squad != 0 {
		q, err := s.Store.Squad(ctx, squad)
		if err != nil {
			return nil, records.RecordError(err)
		}
		for _, id := range q.Athletes {
			in[id] = true
		}
	}
	all, err := s.Store.Recordings(ctx, store.RecordingFilter{})
	if err != nil {
		return nil, records.RecordError(err)
	}
	n, err := s.names(ctx)
	if err != nil {
		return nil, err
	}
	curves, err := s.Store.MeanCurves(ctx)
	if err != nil {
		return nil, records.RecordError(err)
	}
	seen := map[int64]bool{}
	var members []CurveMember
	for i := range all {
		r := &all[i]
		if r.AthleteID == nil || seen[*r.AthleteID] || squad != 0 && !in[*r.AthleteID] {
			continue
		}
		seen[*r.AthleteID] = true
		m := CurveMember{RecordingID: r.ID, AthleteID: *r.AthleteID, Athlete: n.athletes[*r.AthleteID], RecordedOn: r.RecordedOn}
		m.addHands(r, all, curves)
		members = append(members, m)
	}
	slices.SortStableFunc(members, func(a, b CurveMember) int {
		return strings.Compare(a.Athlete, b.Athlete)
	})
	return members, nil
}

// addHands adds up the curves of the oars of one outing.
func (m *CurveMember) addHands(r *store.Recording, all []store.Recording, curves map[int64][]float64) {
	ids := []int64{r.ID}
	for i := range all {
		if r.Side != "" && SameOuting(r, &all[i]) {
			ids = append(ids, all[i].ID)
			break
		}
	}
	m.Hands = len(ids)
	m.CurveN = make([]float64, stroke.Nodes)
	for _, id := range ids {
		for k, v := range curves[id] {
			m.CurveN[k] += v
		}
	}
	m.CurveN = strokefile.Rounded(m.CurveN, 100)
}
