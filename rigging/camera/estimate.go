package camera

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"thole/rigging"
)

// Point is a place on boat or water that was marked in the picture.
type Point struct {
	Name  string
	Place Vector
	SD    Vector // of each coordinate, m; 0 is exact
	U, V  float64
}

// OarMark is a point of the oar that was marked in the picture.
type OarMark struct {
	Name string
	// Distance from the pin along the oar in m, positive outboard, with its
	// standard deviation.
	Distance, SD float64
	U, V         float64
}

// Oar is the oar whose angle is asked for.
type Oar struct {
	Pin   Vector  // where the oar's axis passes the pin
	PinSD Vector  // m
	Side  float64 // +1 starboard, −1 port
	Angle rigging.Angle
	Tilt  rigging.Angle // positive with the handle higher than the blade
	Marks []OarMark
	// Middle is the distance from the pin to the middle of the blade, m, whose
	// height the tilt tells also where water hides it; 0 is not asked for.
	Middle float64
}

// View is the direction from which a picture was taken.
type View string

// Views from which pictures are taken.
const (
	Abeam  View = "abeam"  // from a launch or the bank beside the boat
	Above  View = "above"  // from a bridge or a drone
	Astern View = "astern" // from a launch that follows
)

// Picture is one picture with all that was marked in it.
//
// Its pixels are counted with u to the right and v down from the upper left corner.
// The principal point is taken to be the picture's middle and the lens to be free of
// distortion: keep marks out of the outer tenth.
type Picture struct {
	Width, Height float64 // pixels
	View          View
	Side          float64 // +1: seen from starboard, −1: from port
	Distance      float64 // m from the boat to the camera, as guessed
	DistanceSD    float64
	CameraHeight  float64 // m over the water
	HeightSD      float64
	MarkSD        float64 // pixels, each coordinate
	Points        []Point
	Oar           Oar // Angle is where the search starts
}

// Result is what a picture tells.
type Result struct {
	Angle, AngleSD rigging.Angle
	Tilt, TiltSD   rigging.Angle
	Camera         Camera
	// Heights over the water of the marked points of the oar, m, in their
	// order, and their standard deviations.
	Heights, HeightSDs []float64
	// Blade is the height of the blade's middle over the water with a straight
	// shaft, m: negative under it. It stands alone where Oar.Middle is given.
	Blade Value
	// Misfit is χ² for each degree of freedom; 0 when nothing is left over to
	// judge by. The standard deviations are widened by its root where it is
	// above 1.
	Misfit float64
	// Doubtful names the mark that fits worst when it misses by more than
	// three of its standard deviations.
	Doubtful string
	// Tells is false when the angle is not known better than WidestSD.
	Tells bool
}

// WidestSD is the standard deviation above which a picture is said not to tell
// the angle: two of them are 5°, a habit of another rower; engineering
// judgement.
const WidestSD = 2.5 * rigging.Degree

// Priors of the oar: engineering judgement. The tilt is that of an oar between
// the recovery and a covered blade (5.6–12.1° in a scull).
const (
	angleSD   = 30 * math.Pi / 180
	tiltMean  = 8 * math.Pi / 180
	tiltSD    = 4 * math.Pi / 180
	rollSD    = 2 * math.Pi / 180 // a person who holds a phone level
	zoomSD    = 0.5               // of the logarithm of the focal length
	mostSteps = 60
)

// Errors of a picture from which nothing can be computed.
var (
	ErrFewMarks = errors.New("camera: too few marks")
	ErrNoFit    = errors.New("camera: no place of the camera explains the marks")
)

// FewestPoints is the least number of known points beside the oar's: the
// camera has seven unknowns, of which the priors hold the roll, the height and
// the distance weakly, so that three points with two coordinates each do.
const FewestPoints = 3

// Read fits the camera and the oar to the marks of a picture. It returns
// ErrFewMarks for fewer than FewestPoints known points or none of the oar, and
// ErrNoFit when no start of the search ends.
//
// The place, direction and zoom of the camera and the angles of the oar are fitted
// together to the points that were marked, by least squares with priors; the
// covariance of that fit is the ± of each result. Fewer marks give a wider ±.
func Read(p *Picture) (Result, error) {
	if len(p.Points) < FewestPoints || len(p.Oar.Marks) == 0 {
		return Result{}, ErrFewMarks
	}
	if p.MarkSD <= 0 || p.Distance <= 0 || p.Width <= 0 || p.Height <= 0 {
		panic("camera: a picture needs its size, the distance and the scatter of marks")
	}
	best := p.best(nil, p.Distance)
	// Marks that do not fit may be those of a distance guessed far off.
	for _, times := range []float64{3, 8, 1. / 3} {
		if best == nil || best.cost > misfits*float64(len(p.Points)+len(p.Oar.Marks)) {
			best = p.best(best, times*p.Distance)
		}
	}
	if best == nil {
		return Result{}, ErrNoFit
	}
	return p.report(best)
}

// misfits is the sum of squares a mark above which other distances are tried: two
// coordinates have 2 to expect, and 6 come by chance for one mark in twenty;
// numerical, since it costs only another search.
const misfits = 6

// best returns the better of a state and those the search ends in from a distance.
func (p *Picture) best(known *state, distance float64) *state {
	for _, start := range p.starts(distance) {
		if s := p.search(start); s != nil && (known == nil || s.cost < known.cost) {
			known = s
		}
	}
	return known
}

// state is one value of all unknowns: the camera, the oar, the coordinates that
// are not exact and the distances along the oar.
type state struct {
	camera      Camera
	angle, tilt float64
	pin         Vector
	points      []Vector
	along       []float64
	zoom        float64 // logarithm of the focal length at the start
	cost        float64
}

// at returns the place of a point of the oar.
func (o *Oar) at(pin Vector, along, angle, tilt float64) Vector {
	sin, cos := math.Sincos(angle)
	st, ct := math.Sincos(tilt)
	return Vector{pin[0] + along*sin*ct, pin[1] + o.Side*along*cos*ct, pin[2] - along*st}
}

// atSlopes returns how that place changes with angle, tilt and the distance.
func (o *Oar) atSlopes(along, angle, tilt float64) (a, t, d Vector) {
	sin, cos := math.Sincos(angle)
	st, ct := math.Sincos(tilt)
	a = Vector{along * cos * ct, -o.Side * along * sin * ct, 0}
	t = Vector{-along * sin * st, -o.Side * along * cos * st, -along * ct}
	return a, t, Vector{sin * ct, o.Side * cos * ct, -st}
}

// starts are the states from which the search begins, at a distance in m.
func (p *Picture) starts(distance float64) []*state {
	target := p.middle()
	var list []*state
	add := func(place Vector, roll float64) {
		focal := p.focalFor(place, target)
		s := &state{camera: LookAt(place, target, roll, focal, p.Width, p.Height), angle: float64(p.Oar.Angle), tilt: tiltMean, pin: p.Oar.Pin, zoom: math.Log(focal)}
		s.aim(p)
		for i := range p.Points {
			s.points = append(s.points, p.Points[i].Place)
		}
		for i := range p.Oar.Marks {
			s.along = append(s.along, p.Oar.Marks[i].Distance)
		}
		list = append(list, s)
	}
	switch p.View {
	case Above:
		for _, roll := range []float64{0, math.Pi / 2, math.Pi, -math.Pi / 2} {
			add(Vector{target[0], target[1], p.CameraHeight}, roll)
		}
	case Astern:
		add(Vector{distance, target[1], p.CameraHeight}, 0)
	default:
		for _, off := range []float64{0, -20, 20} {
			sin, cos := math.Sincos(off * math.Pi / 180)
			add(Vector{target[0] + distance*sin, p.Side * distance * cos, p.CameraHeight}, 0)
		}
	}
	return list
}

// middle is the mean place of the known points.
func (p *Picture) middle() Vector {
	var sum Vector
	for i := range p.Points {
		for k := range sum {
			sum[k] += p.Points[i].Place[k] / float64(len(p.Points))
		}
	}
	return sum
}

// focalFor returns the focal length at which the known points spread as far in
// the picture as their marks do.
func (p *Picture) focalFor(place, target Vector) float64 {
	c := LookAt(place, target, 0, 1, 0, 0)
	var seen, marked [][2]float64
	for i := range p.Points {
		u, v, _ := c.Project(p.Points[i].Place)
		seen = append(seen, [2]float64{u, v})
		marked = append(marked, [2]float64{p.Points[i].U, p.Points[i].V})
	}
	return max(spread(marked)/max(spread(seen), 1e-9), 1)
}

// spread is the root of the summed squares about the mean.
func spread(list [][2]float64) float64 {
	var mean [2]float64
	for _, x := range list {
		mean[0] += x[0] / float64(len(list))
		mean[1] += x[1] / float64(len(list))
	}
	sum := 0.0
	for _, x := range list {
		sum += (x[0]-mean[0])*(x[0]-mean[0]) + (x[1]-mean[1])*(x[1]-mean[1])
	}
	return math.Sqrt(sum)
}

// aim turns the camera so that the middle of the known points stands where the
// middle of their marks does.
func (s *state) aim(p *Picture) {
	var u, v float64
	for i := range p.Points {
		u += p.Points[i].U / float64(len(p.Points))
		v += p.Points[i].V / float64(len(p.Points))
	}
	f := s.camera.Focal
	s.camera = s.camera.turned(Vector{math.Atan((v - p.Height/2) / f), -math.Atan((u - p.Width/2) / f), 0})
}

// The search's damping, numerical: where it starts, by what it grows and shrinks, and
// between which ends; at the upper one a step moves nothing any more.
const (
	firstDamp    = 1e-3
	dampStep     = 8
	leastDamp    = 1e-12
	greatestDamp = 1e9
)

// The search ends when a step gains less than endGain of the sum of squares and moves
// nothing by more than endShift of its standard deviation; one that has not ended then
// counts while a mark misses by no more than ten standard deviations on average
// (lostCost). Numerical.
const (
	endGain  = 1e-9
	endShift = 1e-2
	lostCost = 100
)

// search returns the state of the least sum of squares that the method of Levenberg
// and Marquardt reaches from a start; nil when it does not end.
func (p *Picture) search(s *state) *state {
	damp := firstDamp
	rows := p.rows(s)
	s.cost = rows.cost()
	for range mostSteps {
		next, shift := p.step(s, rows, damp)
		if next == nil || !(next.cost < s.cost) {
			if damp *= dampStep; damp > greatestDamp {
				return s
			}
			continue
		}
		gain := s.cost - next.cost
		s, damp = next, max(damp/dampStep, leastDamp)
		rows = p.rows(s)
		if gain < endGain*(1+s.cost) && shift < endShift {
			return s
		}
	}
	if s.cost/float64(len(rows.list)) > lostCost {
		return nil
	}
	return s
}

// step tries one damped step; nil when the equations cannot be solved. The
// shift is the largest change in standard deviations of the step.
func (p *Picture) step(s *state, rows *rows, damp float64) (*state, float64) {
	normal, right := rows.normal()
	n := len(right)
	damped := mat.NewSymDense(n, nil)
	damped.CopySym(normal)
	for i := range n {
		damped.SetSym(i, i, normal.At(i, i)*(1+damp)+1e-12)
	}
	var chol mat.Cholesky
	if !chol.Factorize(damped) {
		return nil, 0
	}
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, mat.NewVecDense(n, right)); err != nil {
		return nil, 0
	}
	shift := 0.0
	for i := range n {
		shift = max(shift, math.Abs(x.AtVec(i))*math.Sqrt(normal.At(i, i)))
	}
	next := s.moved(p, x.RawVector().Data)
	next.cost = p.rows(next).cost()
	return next, shift
}

// The places of the unknowns in the equations, by definition: three of the camera's
// place, three of its turn, one each of zoom and oar angles, three of the pin, then
// those along the oar. Those of points follow.
const (
	atPlace = 0
	atTurn  = 3
	atZoom  = 6
	atAngle = 7
	atTilt  = 8
	atPin   = 9
	atAlong = 12
)

func (p *Picture) atPoint(i int) int { return atAlong + len(p.Oar.Marks) + 3*i }

func (p *Picture) unknowns() int { return p.atPoint(len(p.Points)) }

// exact is the standard deviation, in m, that stands for none: a tenth of a
// millimetre keeps the equations solvable.
const exact = 1e-4

// moved returns the state after a step.
func (s *state) moved(p *Picture, x []float64) *state {
	out := *s
	out.camera = s.camera.turned(Vector(x[atTurn : atTurn+3]))
	for k := range 3 {
		out.camera.Place[k] += x[atPlace+k]
		out.pin[k] += x[atPin+k]
	}
	out.camera.Focal *= math.Exp(max(-1, min(1, x[atZoom])))
	out.angle, out.tilt = s.angle+x[atAngle], s.tilt+x[atTilt]
	out.along = make([]float64, len(s.along))
	for i := range s.along {
		out.along[i] = s.along[i] + x[atAlong+i]
	}
	out.points = make([]Vector, len(s.points))
	for i := range s.points {
		for k := range 3 {
			out.points[i][k] = s.points[i][k] + x[p.atPoint(i)+k]
		}
	}
	return &out
}

// Blade returns the place of a point of the oar a distance in m outboard of the
// pin.
func (o *Oar) Blade(angle, tilt rigging.Angle, distance float64) Vector {
	return o.at(o.Pin, distance, float64(angle), float64(tilt))
}
