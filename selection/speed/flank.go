package speed

import "thole/rigging"

// The rule by which a shorter slip fades into the rest of a curve: the flank
// moves as a whole up to where the slip is read, and the move fades evenly over
// the next FadeArc of the old curve; ranges take ShortFade and LongFade in
// (engineering judgement: no publication says how a curve changes).
const (
	FadeArc   = 15 * rigging.Degree
	ShortFade = 10 * rigging.Degree
	LongFade  = 20 * rigging.Degree
)

// moveCatch begins the load an arc earlier, by at most Hold: the rising flank
// moves as far up to the share level of its peak, and the move fades over the
// next arc.
func moveCatch(by, fade rigging.Angle, level float64) func(Seat) Seat {
	return func(s Seat) Seat {
		by := min(by, s.Hold)
		old := s.loadedArc()
		rise, _ := s.Shape.crossings(level)
		s.Hold -= by
		s.Shape = stretched(s.Shape, float64(old), float64(by), rise*float64(old), float64(fade))
		return s
	}
}

// moveRelease lets the force last an arc longer, by at most Release: the
// mirror of moveCatch.
func moveRelease(by, fade rigging.Angle, level float64) func(Seat) Seat {
	return func(s Seat) Seat {
		by := min(by, s.Release)
		old := s.loadedArc()
		_, fall := s.Shape.crossings(level)
		s.Release -= by
		back := s.Shape.reversed()
		s.Shape = stretched(back, float64(old), float64(by), (1-fall)*float64(old), float64(fade)).reversed()
		return s
	}
}

// loadedArc returns the arc from Hold to Release.
func (s *Seat) loadedArc() rigging.Angle { return s.Finish - s.Release - s.Catch - s.Hold }

// reversed returns the shape read from its end.
func (f Shape) reversed() Shape {
	return f.resampled(1-f.place, func(s float64) float64 { return 1 - s })
}

// stretched returns a shape over an arc that begins by earlier than the old
// one; angles in rad from the old beginning. Up to flank the old curve moves as
// it is, from there to flank + fade it is stretched, and the rest stays. Below
// zero by shortens the arc, by 0.8 of the fade at most, so that the order of points
// stays (our judgement).
func stretched(f Shape, arc, by, flank, fade float64) Shape {
	fade = min(fade, arc-flank)
	by = max(by, -0.8*fade)
	source := func(s float64) float64 {
		at := s*(arc+by) - by
		switch {
		case at <= flank-by:
			return (at + by) / arc
		case at < flank+fade:
			return (flank + (at-flank+by)*fade/(by+fade)) / arc
		}
		return at / arc
	}
	peak := f.place * arc
	switch {
	case peak <= flank:
		peak -= by
	case peak < flank+fade:
		peak += (peak-flank)*(by+fade)/fade - by - (peak - flank)
	}
	return f.resampled(min(max((peak+by)/(arc+by), 0), 1), source)
}
