package erg

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// BandConfidence is the chance of being the stronger that must be reached
// before two athletes may be parted (engineering judgement: the customary
// 95 %).
const BandConfidence = 0.95

// WaterSD is the SD of ln power that even a perfectly known race power leaves
// open about what the athlete moves on the water (engineering judgement:
// spread·√(1 − r²) is left when the ergometer is known, for a squad whose ln
// powers on the water have an SD of 4.5 % and correlate with the ergometer by
// the .75 found in senior singles).
const WaterSD = 0.03

// OnWater returns the estimate with its uncertainty widened by an independent
// SD of ln power, such as WaterSD. It panics on an SD below 0 or not finite and
// on an estimate without power or interval.
func (e Estimate) OnWater(logSD float64) Estimate {
	mustBeSpread(logSD)
	mustBePositive("power", e.Power)
	mustBePositive("upper end of the interval", e.High)
	if logSD == 0 {
		return e
	}
	half := math.Log(e.High / e.Power)
	e.LogSD = math.Hypot(e.LogSD, logSD)
	e.SD = e.Power * e.LogSD
	normal := distuv.UnitNormal.Quantile((1 + coverage) / 2)
	e.setInterval(math.Hypot(half, normal*logSD))
	return e
}

// Chance returns the probability that the first athlete is the stronger, the
// two ln powers being independent and normal. It panics on an estimate without
// power or with an SD below 0 or not finite.
func Chance(first, second Estimate) float64 {
	for _, e := range [...]Estimate{first, second} {
		mustBePositive("power", e.Power)
		mustBeSpread(e.LogSD)
	}
	return chanceOf(math.Log(first.Power/second.Power), first.LogSD*first.LogSD+second.LogSD*second.LogSD)
}

func mustBeSpread(sd float64) {
	if !(sd >= 0) || math.IsInf(sd, 1) {
		panic("erg: an SD must be at least 0 and finite")
	}
}

// Bands groups athletes by strength, the strongest band first, as indices of
// estimates in falling order of power (ties in the order given). A new band
// begins only where everybody above is the stronger with at least the given
// chance than everybody below, BandConfidence for instance. So two athletes of
// different bands are always kept apart, and near neighbours never are; two of
// one band may still differ: see Chance. It panics on estimates that Chance
// refuses and on a confidence outside ½ to 1.
func Bands(estimates []Estimate, confidence float64) [][]int {
	powers := make([]float64, len(estimates))
	for i, e := range estimates {
		powers[i] = e.Power
	}
	return bands(powers, confidence, func(i, j int) float64 { return Chance(estimates[i], estimates[j]) })
}

// JointBands is Bands of powers in W that are jointly normal with a covariance
// in W², as racing leaves them: what several share, such as the level of all,
// parts none of them. It panics on powers that are not finite, a covariance of
// another size or with a variance below 0, and a confidence outside ½ to 1.
func JointBands(powers []float64, covariance mat.Symmetric, confidence float64) [][]int {
	if covariance.SymmetricDim() != len(powers) {
		panic("erg: the covariance has another size than the powers")
	}
	for i, p := range powers {
		if math.IsNaN(p) || math.IsInf(p, 0) {
			panic("erg: a power is not finite")
		}
		mustBeSpread(covariance.At(i, i))
	}
	return bands(powers, confidence, func(i, j int) float64 {
		return chanceOf(powers[i]-powers[j], covariance.At(i, i)+covariance.At(j, j)-2*covariance.At(i, j))
	})
}

// chanceOf is the probability that a normal difference lies above 0.
func chanceOf(mean, variance float64) float64 {
	if mean == 0 {
		return 0.5
	}
	return distuv.UnitNormal.CDF(mean / math.Sqrt(max(0, variance)))
}

// bands groups by the chance that one is stronger than another.
func bands(powers []float64, confidence float64, chance func(i, j int) float64) [][]int {
	if !(confidence > 0.5 && confidence < 1) {
		panic("erg: confidence must lie between 0.5 and 1")
	}
	order := make([]int, len(powers))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(powers[b], powers[a]) })
	var list [][]int
	for start := 0; start < len(order); {
		end := bandEnd(order, start, confidence, chance)
		list = append(list, order[start:end:end])
		start = end
	}
	return list
}

// bandEnd returns the first place after start at which a new band may begin.
func bandEnd(order []int, start int, confidence float64, chance func(i, j int) float64) int {
	end := start + 1
	for i := start; i < end; i++ {
		for j := len(order) - 1; j >= end; j-- {
			if chance(order[i], order[j]) < confidence {
				end = j + 1
				break
			}
		}
	}
	return end
}
