package camera

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"thole/rigging"
)

// term is one slope of a row.
type term struct {
	at    int
	slope float64
}

// row is one residual, in standard deviations, with its slopes.
type row struct {
	miss  float64
	terms []term
}

// rows are all residuals of a state: two for each mark, one for each prior.
type rows struct {
	list  []row
	n     int      // unknowns
	marks []string // names of the marks; each has two rows at the front
}

func (r *rows) cost() float64 {
	sum := 0.0
	for i := range r.list {
		sum += r.list[i].miss * r.list[i].miss
	}
	return sum
}

// normal returns JᵀJ and −Jᵀr.
func (r *rows) normal() (*mat.SymDense, []float64) {
	normal, right := mat.NewSymDense(r.n, nil), make([]float64, r.n)
	for i := range r.list {
		for _, a := range r.list[i].terms {
			right[a.at] -= a.slope * r.list[i].miss
			for _, b := range r.list[i].terms {
				if a.at <= b.at {
					normal.SetSym(a.at, b.at, normal.At(a.at, b.at)+a.slope*b.slope)
				}
			}
		}
	}
	return normal, right
}

// rows returns the residuals of a state.
func (p *Picture) rows(s *state) *rows {
	r := &rows{n: p.unknowns()}
	for i := range p.Points {
		m := &p.Points[i]
		p.mark(r, s, m.Name, m.U, m.V, s.points[i], func(slope Vector) []term {
			at := p.atPoint(i)
			return []term{{at, slope[0]}, {at + 1, slope[1]}, {at + 2, slope[2]}}
		})
	}
	for i := range p.Oar.Marks {
		p.oarMark(r, s, i)
	}
	p.priors(r, s)
	return r
}

func (p *Picture) oarMark(r *rows, s *state, i int) {
	m, along := &p.Oar.Marks[i], s.along[i]
	a, t, d := p.Oar.atSlopes(along, s.angle, s.tilt)
	p.mark(r, s, m.Name, m.U, m.V, p.Oar.at(s.pin, along, s.angle, s.tilt), func(slope Vector) []term {
		return []term{{atAngle, slope.dot(a)}, {atTilt, slope.dot(t)}, {atAlong + i, slope.dot(d)},
			{atPin, slope[0]}, {atPin + 1, slope[1]}, {atPin + 2, slope[2]}}
	})
}

// mark adds the two rows of a mark; own turns the slopes with the place of the
// point into those of its unknowns.
func (p *Picture) mark(r *rows, s *state, name string, u, v float64, place Vector, own func(Vector) []term) {
	pu, pv, _ := s.camera.Project(place)
	byPlace, byTurn, byZoom := s.camera.slopes(place)
	for i, miss := range [2]float64{pu - u, pv - v} {
		w := 1 / p.MarkSD
		terms := own(byPlace[i].times(w))
		for k := range 3 {
			terms = append(terms, term{atPlace + k, -byPlace[i][k] * w}, term{atTurn + k, byTurn[i][k] * w})
		}
		r.list = append(r.list, row{miss * w, append(terms, term{atZoom, byZoom[i] * w})})
	}
	r.marks = append(r.marks, name)
}

func (r *rows) prior(at int, miss, sd float64) {
	sd = max(sd, exact)
	r.list = append(r.list, row{miss / sd, []term{{at, 1 / sd}}})
}

func (p *Picture) priors(r *rows, s *state) {
	for i := range p.Points {
		for k := range 3 {
			r.prior(p.atPoint(i)+k, s.points[i][k]-p.Points[i].Place[k], p.Points[i].SD[k])
		}
	}
	for i := range p.Oar.Marks {
		r.prior(atAlong+i, s.along[i]-p.Oar.Marks[i].Distance, p.Oar.Marks[i].SD)
	}
	for k := range 3 {
		r.prior(atPin+k, s.pin[k]-p.Oar.Pin[k], p.Oar.PinSD[k])
	}
	r.prior(atAngle, s.angle-float64(p.Oar.Angle), angleSD)
	r.prior(atTilt, s.tilt-tiltMean, tiltSD)
	r.prior(atZoom, math.Log(s.camera.Focal)-s.zoom, zoomSD)
	p.cameraPriors(r, s)
}

// cameraPriors hold the height, the distance and the roll; what lies across the
// line of sight is free to a few distances.
func (p *Picture) cameraPriors(r *rows, s *state) {
	sd := Vector{p.Distance, p.Distance, p.HeightSD}
	switch p.View {
	case Above:
		sd = Vector{p.CameraHeight, p.CameraHeight, p.HeightSD}
	case Astern:
		sd[0] = p.DistanceSD
	default:
		sd[1] = p.DistanceSD
	}
	for k := range 3 {
		r.prior(atPlace+k, s.camera.Place[k]-s.homePlace(p)[k], sd[k])
	}
	if p.View != Above {
		c := &s.camera
		// Of a turn w in the camera's axes Right changes by w3·Down − w2·Forward.
		r.list = append(r.list, row{c.Right[2] / rollSD, []term{{atTurn + 1, -c.Forward[2] / rollSD}, {atTurn + 2, c.Down[2] / rollSD}}})
	}
}

// homePlace is where the camera is expected, the same for every start.
func (s *state) homePlace(p *Picture) Vector {
	target := p.middle()
	switch p.View {
	case Above:
		return Vector{target[0], target[1], p.CameraHeight}
	case Astern:
		return Vector{p.Distance, target[1], p.CameraHeight}
	}
	return Vector{target[0], p.Side * p.Distance, p.CameraHeight}
}

// report turns the best state into a Result.
func (p *Picture) report(s *state) (Result, error) {
	rows := p.rows(s)
	normal, _ := rows.normal()
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return Result{}, ErrNoFit
	}
	var cov mat.SymDense
	if err := chol.InverseTo(&cov); err != nil {
		return Result{}, ErrNoFit
	}
	res := Result{Angle: rigging.Angle(s.angle), Tilt: rigging.Angle(s.tilt), Camera: s.camera}
	// A prior of each unknown but the turn leaves these to judge by; the prior
	// rows cancel against their unknowns.
	free := len(rows.list) - p.unknowns()
	wide := 1.0
	if free > 0 {
		res.Misfit = rows.cost() / float64(free)
		wide = math.Sqrt(max(1, res.Misfit))
	}
	res.AngleSD = rigging.Angle(wide * math.Sqrt(cov.At(atAngle, atAngle)))
	res.TiltSD = rigging.Angle(wide * math.Sqrt(cov.At(atTilt, atTilt)))
	res.Tells = res.AngleSD <= WidestSD
	res.Doubtful = rows.worst()
	p.heights(&res, s, &cov, wide)
	return res, nil
}

// worst names the mark that misses by most, when that is beyond three standard
// deviations.
func (r *rows) worst() string {
	name, most := "", 3.0
	for i, mark := range r.marks {
		if miss := math.Hypot(r.list[2*i].miss, r.list[2*i+1].miss); miss > most {
			name, most = mark, miss
		}
	}
	return name
}

// heights reports how high the marked points of the oar and the blade's middle
// stand over the water.
func (p *Picture) heights(res *Result, s *state, cov *mat.SymDense, wide float64) {
	for i, along := range s.along {
		h := p.height(s, cov, along, atAlong+i)
		res.Heights = append(res.Heights, h.Value)
		res.HeightSDs = append(res.HeightSDs, wide*h.SD)
	}
	if p.Oar.Middle != 0 {
		res.Blade = p.height(s, cov, p.Oar.Middle, -1)
		res.Blade.SD *= wide
	}
}

// height returns how high a point of the oar stands, whose distance is the unknown
// at a place of the equations; a negative place is for one that is exact.
func (p *Picture) height(s *state, cov *mat.SymDense, along float64, at int) Value {
	_, t, d := p.Oar.atSlopes(along, s.angle, s.tilt)
	slopes := []term{{atTilt, t[2]}, {atPin + 2, 1}}
	if at >= 0 {
		slopes = append(slopes, term{at, d[2]})
	}
	sum := 0.0
	for _, a := range slopes {
		for _, b := range slopes {
			sum += a.slope * b.slope * cov.At(a.at, b.at)
		}
	}
	return Value{p.Oar.at(s.pin, along, s.angle, s.tilt)[2], math.Sqrt(sum)}
}
