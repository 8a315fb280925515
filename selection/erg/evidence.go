package erg

// Constant is one figure the results rest on, for a note beside them.
type Constant struct {
	Name   string
	Value  float64
	Unit   string // "" for a bare number
	Source string
}

// Constants lists the figures this package rests on with their sources.
func Constants() []Constant {
	m := DefaultModel()
	const judged = "engineering judgement: "
	return []Constant{
		{"power × pace³", AirBrake, "W·s³/m³", "published by the manufacturers of air-braked ergometers"},
		{"mass of no adjustment", adjustMass, "kg", "270 lb, published by the manufacturers"},
		{"exponent of the time adjusted to mass", adjustExponent, "", "published by the manufacturers; 2/9 by geometric similarity"},
		{"slowing per doubling of the distance", DoublingStep, "s/m", "common practice: 5 s per 500 m"},
		{"SD of ln power between two tests", m.TestSD, "", "E. J. Schabort et al., J Sports Sci 17 (1999) 627–632: 2.0 % over 2000 m (from memory)"},
		{"SD of fitness in ln power", m.FitnessSD, "", judged + "a season's ups and downs"},
		{"days that halve what a test says of today's fitness", m.HalfLife, "d", judged + "a third of a year"},
		{"exponent of power against distance", m.Exponent, "", "common practice: 5 s per 500 m a doubling, taken at 1:45 per 500 m"},
		{"SD of that exponent between athletes", m.ExponentSD, "", judged + "a 6000 m test alone then predicts 2000 m within some 2 s per 500 m"},
		{"SD of the bend of ln power", m.CurvatureSD, "", judged + "500 m alone is then off by some 6 %, an hour by some 13 %"},
		{"exponent of power with changing mass", m.MassExponent, "", judged + "half way between 0, fat or water, and 2/3, growth in proportion"},
		{"SD of that exponent", m.MassExponentSD, "", judged + "both ends lie one SD away"},
		{"prior degrees of freedom of the scatter", m.PriorDegrees, "", judged + "half a dozen tests are needed to change one's mind"},
		{"what the ergometer leaves open about the water, SD of ln power", WaterSD, "", judged + "a correlation of .75 in a squad spread by 4.5 %"},
	}
}

// Agreement is a published measure of how ergometer and water agree.
type Agreement struct {
	Crews     string
	Measure   string  // "r" or "R²"
	Low, High float64 // ends of the range reported
	Source    string
}

// Agreements lists what has been published about ergometer against water. The
// two papers of 2009 correlate a 2000 m time with the final ranking at world
// championships; the two rows of 2010 are one sample of junior men in singles
// before and after dividing by mass^0.23.
func Agreements() []Agreement {
	const (
		mikulic = "P. Mikulić et al., J Sports Sci 27 (2009), two papers: 361–366 juniors, 907–913 seniors (pages from memory)"
		nevill  = "A. M. Nevill, C. Beech, R. L. Holder, M. Wyon, Scand J Med Sci Sports 20 (2010) 122–127"
	)
	return []Agreement{
		{"senior single sculls and lightweight double sculls", "r", 0.72, 0.78, mikulic},
		{"big boats of juniors", "r", 0.31, 0.70, mikulic},
		{"junior men in single sculls, ergometer speed alone", "R²", 0.28, 0.28, nevill},
		{"junior men in single sculls, ergometer speed and mass", "R²", 0.59, 0.59, nevill},
	}
}

// Caution is what to print beside every ranking by ergometer.
const Caution = "The ergometer measures power, not balance, timing or bladework. " +
	"Within a band it cannot rank athletes: let the water decide between them."

// MassCaution is what to print beside every score adjusted to mass.
const MassCaution = "A score adjusted to mass compares; it is no advice to lose weight, least of all for juniors. " +
	"Weight is a matter for the athlete with medical and dietary help, under the rules of the federation."
