package rigging

import "math"

// Angle is a plane angle in radians.
//
// The angle of an oar is 0 with the oar square to the hull, negative towards the catch
// and positive towards the finish: the sign convention of the biomechanics literature.
type Angle float64

// Degree is one degree of arc in radians: write 25 * Degree.
const Degree Angle = math.Pi / 180 // by definition

// The inch in m and the pound in kg, exact by the international yard and pound
// agreement of 1959.
const (
	Inch  = 0.0254
	Pound = 0.45359237
)

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a) * (180 / math.Pi) }

// Radians returns the angle as a bare number of radians.
func (a Angle) Radians() float64 { return float64(a) }

func (a Angle) sin() float64               { return math.Sin(float64(a)) }
func (a Angle) cos() float64               { return math.Cos(float64(a)) }
func (a Angle) tan() float64               { return math.Tan(float64(a)) }
func (a Angle) sincos() (sin, cos float64) { return math.Sincos(float64(a)) }
