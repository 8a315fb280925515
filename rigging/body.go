package rigging

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Body holds the lengths of one rower that the posture model uses, m.
type Body struct {
	Shank        float64 // knee joint to ankle joint
	Thigh        float64 // hip joint to knee joint
	Trunk        float64 // hip joint to shoulder joint
	Arm          float64 // shoulder joint to the grip on the handle, arm straight
	HalfShoulder float64 // half the distance between the shoulder joints
	HalfDepth    float64 // middle of the trunk to its front
	AnkleAlong   float64 // heel to ankle joint along the sole
	AnkleOff     float64 // ankle joint off the sole, shoe included
	Ball         float64 // heel to the ball of the foot along the sole
	HipHeight    float64 // hip joint over the lowest point of the seat
}

// lengths returns pointers to the fields in the order of the segment traits.
func (b *Body) lengths() [segmentCount]*float64 {
	return [...]*float64{
		&b.Shank, &b.Thigh, &b.Trunk, &b.Arm, &b.HalfShoulder,
		&b.HalfDepth, &b.AnkleAlong, &b.AnkleOff, &b.Ball, &b.HipHeight,
	}
}

// Measures is what is known of a rower. A zero field is not known.
type Measures struct {
	Sex           Sex
	Age           float64 // years
	Stature       float64 // m
	ArmSpan       float64 // finger tip to finger tip, m
	SittingHeight float64 // seat to the top of the head, m
	Mass          float64 // kg
	DrawHeight    float64 // seat to where the hands meet the body at the finish, m
	Segments      Body    // segments that were measured; each of them wins over the estimate
}

// DefaultTape is the standard deviation assumed of one reading with the tape,
// m; engineering judgement.
const DefaultTape = 0.005

// scaleSD is the standard deviation assumed of a stated body mass, kg;
// engineering judgement.
const scaleSD = 1

// Estimate is a whole body with its uncertainty.
type Estimate struct {
	Body     Body
	Stature  float64 // m
	Mass     float64 // kg
	MassSD   float64 // kg
	ThighTop float64 // top of the thigh over the seat, sitting, m
	// ThighTopSD is the standard deviation of ThighTop, m.
	ThighTopSD float64

	// Cov is the covariance of the segments in m², in the order of Body's
	// fields: what the reference population leaves open, and the tape.
	Cov [segmentCount][segmentCount]float64

	// Rarity is the share of the reference population that lies further
	// from its mean than what was stated, by Mahalanobis distance; 1 when
	// nothing was stated.
	Rarity float64
}

// Estimate fills in what is missing by conditioning the normal distribution of
// the reference population on what is known: with u unknown and k known,
//
//	E[u|k] = μu + Σuk Σkk⁻¹ (k − μk),  Var[u|k] = Σuu − Σuk Σkk⁻¹ Σku,
//
// and adds the spread of the tape readings (standard deviation tape, m) that k
// was made of. m must have passed [Measures.Check].
func (m *Measures) Estimate(tape float64) Estimate {
	p := *populations()[m.Sex]
	var known knowns
	known.collect(m)
	known.condition(&p, tape)
	e := Estimate{Stature: p.mean[traitStature], Mass: p.mean[traitMass], ThighTop: p.mean[traitThighTop], Rarity: known.rarity}
	e.MassSD = math.Sqrt(max(0, p.cov[traitMass][traitMass]))
	e.ThighTopSD = math.Sqrt(max(0, p.cov[traitThighTop][traitThighTop]))
	for i, length := range e.Body.lengths() {
		*length = p.mean[int(firstSegment)+i]
		for j := range segmentCount {
			e.Cov[i][j] = p.cov[int(firstSegment)+i][int(firstSegment)+j]
		}
	}
	e.override(&m.Segments, tape)
	return e
}

// knowns lists the traits to condition on with their values.
type knowns struct {
	traits [traitCount]trait
	values [traitCount]float64
	count  int
	rarity float64
}

func (k *knowns) add(t trait, value float64) {
	if value == 0 {
		return
	}
	k.traits[k.count], k.values[k.count] = t, value
	k.count++
}

// collect picks what tells something about other traits. The trunk and the
// half depth are no landmarks of the survey and the hip height is a constant,
// so that they only override; the ankle's place follows the foot as the ball
// does, and one of the two says it all.
func (k *knowns) collect(m *Measures) {
	k.add(traitStature, m.Stature)
	k.add(traitArmSpan, m.ArmSpan)
	k.add(traitSittingHeight, m.SittingHeight)
	k.add(traitMass, m.Mass)
	s := &m.Segments
	k.add(traitShank, s.Shank)
	k.add(traitThigh, s.Thigh)
	k.add(traitArm, s.Arm)
	k.add(traitHalfShoulder, s.HalfShoulder)
	k.add(traitAnkleOff, s.AnkleOff)
	if s.Ball != 0 {
		k.add(traitBall, s.Ball)
	} else {
		k.add(traitAnkleAlong, s.AnkleAlong)
	}
}

// condition turns p into the distribution given the knowns, read with errors
// of standard deviation tape (lengths) or scaleSD (mass).
func (k *knowns) condition(p *population, tape float64) {
	k.rarity = 1
	n := k.count
	if n == 0 {
		return
	}
	kk := mat.NewSymDense(n, nil)
	ku := mat.NewDense(n, int(traitCount), nil)
	miss := mat.NewVecDense(n, nil)
	for i, t := range k.traits[:n] {
		miss.SetVec(i, k.values[i]-p.mean[t])
		for j, o := range k.traits[:n] {
			kk.SetSym(i, j, p.cov[t][o])
		}
		ku.SetRow(i, p.cov[t][:])
	}
	var chol mat.Cholesky
	if !chol.Factorize(kk) {
		panic("rigging: the covariance of the stated measures is singular")
	}
	var gain mat.Dense // n × traits
	var weights mat.VecDense
	mustSolve(chol.SolveTo(&gain, ku))
	mustSolve(chol.SolveVecTo(&weights, miss))
	k.rarity = distuv.ChiSquared{K: float64(n)}.Survival(mat.Dot(miss, &weights))
	p.update(ku, &gain, miss, k.readingVariances(tape))
}

func mustSolve(err error) {
	if err != nil {
		panic("rigging: conditioning the body: " + err.Error())
	}
}

func (k *knowns) readingVariances(tape float64) []float64 {
	v := make([]float64, k.count)
	for i, t := range k.traits[:k.count] {
		v[i] = tape * tape
		if t == traitMass {
			v[i] = scaleSD * scaleSD
		}
	}
	return v
}

// update applies the gain: mean and covariance of the traits given the knowns.
func (p *population) update(ku, gain *mat.Dense, miss *mat.VecDense, reading []float64) {
	for i := range traitCount {
		for a := range reading {
			g := gain.At(a, int(i))
			p.mean[i] += g * miss.AtVec(a)
			for j := range i + 1 {
				p.cov[i][j] += g * (reading[a]*gain.At(a, int(j)) - ku.At(a, int(j)))
			}
		}
		for j := range i {
			p.cov[j][i] = p.cov[i][j]
		}
	}
}

// override sets the segments that were measured. The mean of a segment that
// was conditioned on is its value already; its covariance with the others is
// that of the reading, which conditioning has left.
func (e *Estimate) override(measured *Body, tape float64) {
	given := measured.lengths()
	for i, length := range e.Body.lengths() {
		if *given[i] == 0 {
			continue
		}
		*length = *given[i]
		for _, only := range [...]trait{traitTrunk, traitHalfDepth, traitAnkleAlong, traitHipHeight} {
			if i == int(only-firstSegment) {
				e.forget(i, tape)
			}
		}
	}
}

// forget makes segment i independent of the others, known to the tape.
func (e *Estimate) forget(i int, tape float64) {
	for j := range segmentCount {
		e.Cov[i][j], e.Cov[j][i] = 0, 0
	}
	e.Cov[i][i] = tape * tape
}

// SD returns the standard deviation of each segment, m.
func (e *Estimate) SD() Body {
	var sd Body
	for i, length := range sd.lengths() {
		*length = math.Sqrt(max(0, e.Cov[i][i]))
	}
	return sd
}
