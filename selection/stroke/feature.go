package stroke

import "math"

// Feature is one measure of a stroke.
type Feature int

// The measures of a stroke. "Share" is between 0 and 1.
const (
	CatchAngle   Feature = iota // smallest oar angle, rad
	FinishAngle                 // largest oar angle, rad
	Arc                         // finish − catch, rad
	Rate                        // strokes a second, from catch to catch, Hz
	DriveTime                   // catch to finish, s
	Rhythm                      // drive time over recovery time
	CatchSlip                   // from the catch until the blade works, rad
	ReleaseSlip                 // from where it ceases to work to the finish, rad
	EffectiveArc                // arc without both slips, rad
	PeakForce                   // N at the measured site
	PeakAngle                   // oar angle at the peak, rad
	PeakPlace                   // share of the arc rowed at the peak
	MeanForce                   // over the arc: ∫F dθ / arc, N
	MeanToPeak                  // mean force over peak force
	Work                        // ∫ moment dθ over the drive, J
	Power                       // work over the time of the whole cycle, W
	RiseAngle                   // from the catch to 70 % of the peak, rad
	RiseTime                    // the same in time, s
	MeanSpeed                   // of the boat over the cycle, m/s
	Distance                    // the boat travels in the cycle, m
	EntryAngle                  // oar angle where the blade's centre meets the water, rad
	Depth                       // lowest vertical angle of the drive, rad, negative
	CoverTime                   // from the catch until covered, s; 0 when it is by then
	CoverAngle                  // the same in oar angle, rad
	DownShare                   // share of the effective arc in which the blade goes down
	UpShare                     // share of the effective arc in which it comes up
	EdgeHeight                  // of the blade's lower edge over the water at the catch, m; negative below it
	CarryHeight                 // the same where it is carried highest in the half recovery before the catch, m
	EntryMoment                 // when the lower edge meets the water, s after the catch; negative before it
	SinkSpeed                   // of the blade from there until it is covered, m/s
	CoverSpeed                  // of the hands when the blade is covered, along their arc, m/s; negative before the catch
	Detour                      // how far below covered the blade goes, rad
	DownUpShare                 // share of the effective arc in which the blade goes down or comes up
	WashOut                     // arc still pulled after the blade is no longer covered, rad

	// FeatureCount is the number of features.
	FeatureCount = int(iota)
)

var features = [FeatureCount]string{
	"catch", "finish", "arc", "rate", "drive_time", "rhythm", "catch_slip", "release_slip",
	"effective_arc", "peak_force", "peak_angle", "peak_place", "mean_force", "mean_to_peak", "work",
	"power", "rise_angle", "rise_time", "mean_speed", "distance", "entry_angle", "depth",
	"cover_time", "cover_angle", "down_share", "up_share", "edge_height", "carry_height",
	"entry_moment", "sink_speed", "cover_speed", "detour", "down_up_share", "wash_out",
}

// String returns the feature's name in lower case with underscores.
func (f Feature) String() string { return features[f] }

// Stroke is one whole cycle as measured.
//
// It runs from one catch, the least oar angle, to the next: the drive up to the
// finish, the greatest, then the recovery. Only whole cycles count; what is left out
// is counted with its reason in [LeftOut]. Means are taken over all strokes and over
// those of one rate, see [RateGroup].
type Stroke struct {
	Start float64 // time of the catch, s
	// CatchLevel and ReleaseLevel are the thresholds this stroke's slips
	// refer to: N by force or share, rad by depth.
	CatchLevel, ReleaseLevel float64

	values [FeatureCount]float64
	known  uint64
}

// Value returns a feature; ok is false when the stroke does not have it: work
// without levers, the path of the blade without vertical angle, slip in a
// stroke that never reaches the threshold.
func (s *Stroke) Value(f Feature) (v float64, ok bool) {
	return s.values[f], s.known&(1<<f) != 0
}

// set notes a feature; a value that is not a finite number is left unknown.
func (s *Stroke) set(f Feature, v float64) {
	if !math.IsNaN(v) && !math.IsInf(v, 0) {
		s.values[f] = v
		s.known |= 1 << f
	}
}

// Summary is the mean and the sample standard deviation (divisor n − 1) of a
// feature over N strokes. SD is 0 below two strokes, Mean below one.
type Summary struct {
	N        int
	Mean, SD float64
}

// moments gathers a summary one value at a time (B. P. Welford, Technometrics
// 4:419, 1962).
type moments struct {
	n           float64
	mean, sumSq float64
}

func (m *moments) add(v float64) {
	m.n++
	d := v - m.mean
	m.mean += d / m.n
	m.sumSq += d * (v - m.mean)
}

func (m *moments) sd() float64 {
	if m.n < 2 {
		return 0
	}
	return math.Sqrt(m.sumSq / (m.n - 1))
}

func (m *moments) summary() Summary { return Summary{int(m.n), m.mean, m.sd()} }
