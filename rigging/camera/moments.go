package camera

import (
	"math"

	"thole/rigging"
)

// Value is a result with its standard deviation.
type Value struct{ Value, SD float64 }

// Turn is one end of a stroke as frames show it: at the catch the hands
// reverse, the blade's lower edge touches the water and the blade is covered;
// at the release the hands reach the body, the upper edge shows and the blade
// is clear.
type Turn struct {
	Reversal, Edge, Whole float64 // s from any moment, those of the frames
	// Height of the edge over the water at the reversal, in pixels, from two
	// marks; under the water it is negative. NaN when it was not marked.
	HeightPixels float64
	// Angles of the oar at the reversal and when the whole blade is through,
	// when pictures of both were read.
	FromAngle, ToAngle     rigging.Angle
	FromAngleSD, ToAngleSD rigging.Angle // 0: not read
}

// Scale is what frames and pixels stand for.
type Scale struct {
	Frame      float64 // s from frame to frame
	PerMetre   float64 // pixels a metre at the blade
	PerMetreSD float64
	MarkSD     float64 // pixels, each mark
	Blade      float64 // m, height of the blade that goes through the water
	BladeSD    float64
	Outboard   float64 // m, from the pin to the blade's middle
}

// Moments are what one turn, or the mean of several, shows. A value with an SD
// of 0 is not known.
type Moments struct {
	Edge     Value // s from the reversal until the edge is at the water
	Whole    Value // s from the reversal until the whole blade is through
	Height   Value // m over the water at the reversal
	Speed    Value // m/s at which the blade goes through the water
	Missed   Value // rad the oar turned from the reversal until then
	MissedAt Value // m on the blade's way
}

// FrameSD is the standard deviation of the moment of a frame: an event falls
// anywhere between two frames (uniform, width/√12).
func FrameSD(frame float64) float64 { return frame / math.Sqrt(12) }

// Read turns the marks of one turn into times, heights and speeds. The speed is
// not told when the edge and the whole blade pass within one frame.
func (t *Turn) Read(s *Scale) Moments {
	apart := math.Sqrt2 * FrameSD(s.Frame)
	m := Moments{Edge: Value{t.Edge - t.Reversal, apart}, Whole: Value{t.Whole - t.Reversal, apart}}
	if !math.IsNaN(t.HeightPixels) && s.PerMetre > 0 {
		h := t.HeightPixels / s.PerMetre
		m.Height = Value{h, math.Hypot(math.Sqrt2*s.MarkSD/s.PerMetre, h*s.PerMetreSD/s.PerMetre)}
	}
	if took := t.Whole - t.Edge; took > s.Frame/2 && s.Blade > 0 {
		speed := s.Blade / took
		m.Speed = Value{speed, speed * math.Hypot(s.BladeSD/s.Blade, apart/took)}
	}
	if t.FromAngleSD > 0 && t.ToAngleSD > 0 {
		missed := float64(t.ToAngle - t.FromAngle)
		sd := math.Hypot(float64(t.FromAngleSD), float64(t.ToAngleSD))
		m.Missed = Value{missed, sd}
		m.MissedAt = Value{missed * s.Outboard, sd * s.Outboard}
	}
	return m
}

// Mean is the mean of several readings. Spread is their standard deviation
// from stroke to stroke, 0 for fewer than two.
type Mean struct {
	Value
	Spread float64
	Count  int
}

// MeanOf returns the mean of the known values: its standard deviation is the
// larger of what the readings' own leave and what their spread leaves, never
// less than half of one reading's, since scale and pose are common to all.
func MeanOf(list []Value) Mean {
	var m Mean
	var own float64
	for _, v := range list {
		if v.SD > 0 {
			m.Count++
			m.Value.Value += v.Value
			own += v.SD
		}
	}
	if m.Count == 0 {
		return m
	}
	n := float64(m.Count)
	m.Value.Value /= n
	own /= n
	for _, v := range list {
		if v.SD > 0 && m.Count > 1 {
			m.Spread += (v.Value - m.Value.Value) * (v.Value - m.Value.Value) / (n - 1)
		}
	}
	m.Spread = math.Sqrt(m.Spread)
	m.SD = max(own/math.Sqrt(n), m.Spread/math.Sqrt(n), own/2)
	return m
}

// MarkSD returns the standard deviation of one mark's coordinate from points
// that were marked twice, each pair as the difference in u and in v; never less
// than half a pixel. With no pair it is 1.5 pixels, what a careful hand leaves
// in a zoomed picture (engineering judgement).
func MarkSD(pairs [][2]float64) float64 {
	if len(pairs) == 0 {
		return 1.5
	}
	sum := 0.0
	for _, d := range pairs {
		sum += d[0]*d[0] + d[1]*d[1]
	}
	// A difference of two marks has twice the variance of one.
	return max(0.5, math.Sqrt(sum/float64(4*len(pairs))))
}

// Length returns the length of something that stands as far from the camera as
// a known one, both in pixels (foreshortening by similar triangles). Depth is
// how much nearer or farther it may stand, as a share of the distance: parallax
// changes the length by that share.
func Length(pixels, knownPixels, known, knownSD, markSD, depth float64) Value {
	v := known * pixels / knownPixels
	rel := math.Sqrt2 * markSD
	sd := v * math.Sqrt(sq(rel/pixels)+sq(rel/knownPixels)+sq(knownSD/known)+sq(depth))
	return Value{v, sd}
}

func sq(x float64) float64 { return x * x }

// Both returns the standard deviation of a sum of two independent errors.
func Both(a, b float64) float64 { return math.Hypot(a, b) }

// StartDown returns when the blade starts down, in s against the reversal,
// when it comes from its height at the speed at which it goes in; not known
// without both.
func (m *Moments) StartDown() Value {
	if m.Height.SD == 0 || m.Speed.SD == 0 {
		return Value{}
	}
	took := m.Height.Value / m.Speed.Value
	return Value{m.Edge.Value - took, math.Hypot(m.Edge.SD, math.Hypot(m.Height.SD, took*m.Speed.SD)/m.Speed.Value)}
}
