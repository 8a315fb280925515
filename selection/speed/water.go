package speed

import (
	"fmt"
	"math"
)

// FreshWaterViscosity is the kinematic viscosity of fresh water at 20 °C in
// m²/s: ITTC recommended procedure 7.5-02-01-03, "Fresh water and seawater
// properties", 2011 (from memory; Viscosity agrees within one unit of the last
// digit).
const FreshWaterViscosity = 1.0034e-6

// Viscosity returns the kinematic viscosity in m²/s of fresh water between 0
// and 40 °C. The dynamic viscosity is that of IAPWS SR6-08(2011), "Properties
// of liquid water at 0.1 MPa", within 1 %; the density that of S. C.
// McCutcheon, J. L. Martin, T. O. Barnwell, in Maidment (ed.), Handbook of
// Hydrology, 1993, within 0.01 % (both from memory, checked against printed
// tables). It panics outside that range.
func Viscosity(celsius float64) float64 {
	if !(celsius >= 0 && celsius <= 40) {
		panic(fmt.Sprintf("speed: no liquid fresh water to row on at %g °C", celsius))
	}
	var dynamic float64 // µPa·s
	warm := (celsius + 273.15) / 300
	for _, term := range [...]struct{ factor, exponent float64 }{{280.68, -1.9}, {511.45, -7.7}, {61.131, -19.6}, {0.45903, -40}} {
		dynamic += term.factor * math.Pow(warm, term.exponent)
	}
	off := celsius - 3.9863
	density := 1000 * (1 - (celsius+288.9414)/(508_929.2*(celsius+68.12963))*off*off)
	return dynamic * 1e-6 / density
}

// Reynolds returns the Reynolds number of a hull: speed in m/s times waterline
// length in m over kinematic viscosity in m²/s.
func Reynolds(speed, length, viscosity float64) float64 {
	mustBePositive("speed", speed)
	mustBePositive("length", length)
	mustBePositive("viscosity", viscosity)
	return speed * length / viscosity
}

// Friction returns the friction coefficient of the ITTC-57 line,
// 0.075/(log10 Re − 2)², force over ½·density·speed²·wetted area (8th
// International Towing Tank Conference, Madrid 1957). The line is for
// turbulent flow: it panics below Re = 100 000.
func Friction(reynolds float64) float64 {
	if !(reynolds >= 1e5) || math.IsInf(reynolds, 1) {
		panic(fmt.Sprintf("speed: the friction line does not reach Reynolds number %g", reynolds))
	}
	l := math.Log10(reynolds) - 2
	return 0.075 / (l * l)
}

const (
	// VenueSpread is how much venue and weather move race times, in parts of
	// one: T. B. Smith, W. G. Hopkins, Med Sci Sports Exerc 43 (2011)
	// 2155–2160.
	VenueSpread = 0.03
	// CrewSpread is how much one crew's race times vary beside that, from the
	// same paper.
	CrewSpread = 0.009
)

// VenueNote returns the seconds by which venue and weather move a race time
// in s, and the note to print with it.
func VenueNote(time float64) (seconds float64, note string) {
	mustBePositive("time", time)
	seconds = VenueSpread * time
	return seconds, fmt.Sprintf("Venue and weather move times by about %.0f %%, here %.0f s. "+
		"Compare crews that raced side by side, never times of different days.", 100*VenueSpread, seconds)
}
