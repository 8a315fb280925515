package rigging

// Posture says how a rower holds the body at the two ends of the stroke.
type Posture struct {
	Shin        Angle   // shin at the catch, from the horizontal
	Lean        Angle   // forward lean of the trunk at the catch, from the vertical
	Layback     Angle   // lean back of the trunk at the finish, from the vertical
	Protraction float64 // how far the shoulder goes forward of the trunk's line at the catch, m

	// Dorsiflexion is the bend of the ankle the rower has with load on it;
	// what the catch asks beyond it lifts the heel.
	Dorsiflexion Angle
	FinishKnee   Angle   // included angle of the knee at the finish
	FinishGap    float64 // handle to the torso's front at the finish, m

	// RotationMax and SideLean are for sweep: the largest rotation of the
	// shoulders about the trunk, and how far the trunk leans to the rigger, m.
	RotationMax Angle
	SideLean    float64
}

// Default posture. The shin is the mean of 60 medallists (V. Kleshnev,
// row2k.com, March 2024: 91.6 ± 6.7°) rounded to the vertical; the protraction
// follows one-arm reach tests (NASA Reference Publication 1024, vol. II, 1978:
// 93 to 98 mm); the rest is engineering judgement.
const (
	defaultShin             = 90 * Degree
	defaultLean             = 25 * Degree
	defaultLayback          = 28 * Degree
	defaultScullProtraction = 0.05
	defaultSweepProtraction = 0.09
	defaultDorsiflexion     = 35 * Degree
	defaultFinishKnee       = 175 * Degree
	defaultFinishGap        = 0.03
	defaultRotationMax      = 45 * Degree
	defaultSideLean         = 0.05

	// rotationGain is the trunk's rotation for each unit of oar angle in
	// sweep, until RotationMax; engineering judgement.
	rotationGain = 0.7
)

// DefaultPosture returns the posture assumed of a rower in class.
func DefaultPosture(class Class) Posture {
	p := Posture{
		Shin: defaultShin, Lean: defaultLean, Layback: defaultLayback,
		Protraction:  defaultSweepProtraction,
		Dorsiflexion: defaultDorsiflexion,
		FinishKnee:   defaultFinishKnee, FinishGap: defaultFinishGap,
		RotationMax: defaultRotationMax, SideLean: defaultSideLean,
	}
	if class.Scull {
		p.Protraction = defaultScullProtraction
	}
	return p
}

// Handle holds the height of the hands over the lowest point of the seat, m.
// In sculling it is that of the lower hand.
type Handle struct {
	Catch, Finish float64
}
