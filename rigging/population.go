package rigging

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// Sex picks the reference population for the parts of a body that were not
// measured.
type Sex int

// The reference populations. AnySex mixes both in equal parts and so answers
// with wider uncertainty.
const (
	AnySex Sex = iota
	Female
	Male
)

// String returns "female", "male" or "".
func (s Sex) String() string { return [...]string{"", "female", "male"}[s] }

// ParseSex reads "female", "male" or "" (not said); ok is false for anything
// else.
func ParseSex(name string) (sex Sex, ok bool) {
	for _, s := range [...]Sex{AnySex, Female, Male} {
		if s.String() == name {
			return s, true
		}
	}
	return AnySex, false
}

// ansur2 holds mean vectors and covariance matrices (mm, kg) of 23 body
// measures of 4,082 men and 1,986 women, computed from ANSUR II: C. Gordon
// et al., "2012 Anthropometric Survey of U.S. Army Personnel: Methods and
// Summary Statistics", NATICK/TR-15/007, 2014 (work of the US government,
// public domain).
//
//go:embed ansur2.csv
var ansur2 string

// survey is one sex's mean and covariance with the columns' names.
type survey struct {
	index map[string]int
	mean  []float64
	cov   *mat.SymDense
}

// surveys parses the embedded figures once. They are part of the program, so
// that a fault in them is a programmer's and panics.
var surveys = sync.OnceValue(func() map[Sex]survey {
	rows, err := csv.NewReader(strings.NewReader(ansur2)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("rigging: reading ansur2.csv: %v", err))
	}
	names := rows[0][3:]
	return map[Sex]survey{
		Male:   parseSurvey(names, rows, "M"),
		Female: parseSurvey(names, rows, "F"),
	}
})

func parseSurvey(names []string, rows [][]string, sex string) survey {
	s := survey{index: map[string]int{}, cov: mat.NewSymDense(len(names), nil)}
	for i, name := range names {
		s.index[name] = i
	}
	for _, row := range rows[1:] {
		if row[0] != sex {
			continue
		}
		i := len(s.mean)
		if names[i] != row[1] {
			panic("rigging: ansur2.csv: rows and columns in different order")
		}
		s.mean = append(s.mean, number(row[2]))
		for j := i; j < len(names); j++ {
			s.cov.SetSym(i, j, number(row[3+j]))
		}
	}
	return s
}

func number(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("rigging: ansur2.csv: %v", err))
	}
	return v
}

// trait indexes the quantities of a rower that are known, wanted or both.
type trait int

const (
	traitStature trait = iota
	traitArmSpan
	traitSittingHeight
	traitMass
	traitThighTop
	// The segments follow in the order of Body's fields.
	traitShank
	traitThigh
	traitTrunk
	traitArm
	traitHalfShoulder
	traitHalfDepth
	traitAnkleAlong
	traitAnkleOff
	traitBall
	traitHipHeight
	traitCount

	firstSegment = traitShank
	segmentCount = int(traitCount - firstSegment)
)

// population is the joint normal distribution of the traits, in SI units.
type population struct {
	mean [traitCount]float64
	cov  [traitCount][traitCount]float64
}

// Constants that turn surface measures into links of the posture model.
const (
	gripBeyondWrist   = 0.06  // m; hooked grip 9 cm beyond the wrist less 3 cm from acromion to joint; engineering judgement
	halfShoulderShare = 0.42  // of the biacromial breadth; engineering judgement
	trunkShare        = 0.288 // of stature, hip joint to shoulder joint; Drillis & Contini 1966, in D. Winter, Biomechanics and Motor Control of Human Movement
	halfDepthShare    = 0.45  // of the chest depth; engineering judgement
	ankleAlongShare   = 0.22  // of the foot length; engineering judgement
	ankleOffExtra     = 0.01  // m, sole of the shoe; engineering judgement
	hipHeight         = 0.08  // m, hip joint over the seat; engineering judgement

	chestDepthSD = 0.026 // m, about the mean share of stature; from memory
	hipHeightSD  = 0.01  // m; engineering judgement
)

// chestShare is the mean chest depth as a share of stature, and ballShare the
// mean distance from heel to ball of the foot as a share of its length, both
// from ANSUR II means.
var (
	chestShare = map[Sex]float64{Male: 0.1445, Female: 0.1519}
	ballShare  = map[Sex]float64{Male: 0.741, Female: 0.739}
)

// populations builds the three reference populations once.
var populations = sync.OnceValue(func() map[Sex]*population {
	male, female := newPopulation(Male), newPopulation(Female)
	return map[Sex]*population{Male: male, Female: female, AnySex: mix(male, female)}
})

// loading is one trait as a linear function of the survey's measures.
type loading map[string]float64

// loadings returns each trait as a function of the survey's measures (mm and
// kg in, m and kg out). The trunk takes the whole residual of the sitting
// height, since the leg's share of stature is known then.
func loadings(sex Sex, s survey) [traitCount]loading {
	sit, h := s.index["sittingheight"], s.index["stature"]
	slope := s.cov.At(sit, h) / s.cov.At(h, h)
	const mm = 1e-3 // m, by definition
	return [traitCount]loading{
		traitStature:       {"stature": mm},
		traitArmSpan:       {"span": mm},
		traitSittingHeight: {"sittingheight": mm},
		traitMass:          {"weight_kg": 1},
		traitThighTop:      {"thighclearance": mm},
		traitShank:         {"lateralfemoralepicondyleheight": mm, "lateralmalleolusheight": -mm},
		traitThigh:         {"trochanterionheight": mm, "lateralfemoralepicondyleheight": -mm},
		traitTrunk:         {"stature": (trunkShare - slope) * mm, "sittingheight": mm},
		traitArm:           {"acromionradialelength": mm, "radialestylionlength": mm},
		traitHalfShoulder:  {"biacromialbreadth": halfShoulderShare * mm},
		traitHalfDepth:     {"stature": halfDepthShare * chestShare[sex] * mm},
		traitAnkleAlong:    {"footlength": ankleAlongShare * mm},
		traitAnkleOff:      {"lateralmalleolusheight": mm},
		traitBall:          {"footlength": ballShare[sex] * mm},
		traitHipHeight:     {},
	}
}

// newPopulation carries mean and covariance of the survey over to the traits.
func newPopulation(sex Sex) *population {
	s := surveys()[sex]
	ls := loadings(sex, s)
	a := mat.NewDense(int(traitCount), len(s.mean), nil)
	for t, l := range ls {
		for name, w := range l {
			a.Set(t, s.index[name], w)
		}
	}
	var mean mat.VecDense
	mean.MulVec(a, mat.NewVecDense(len(s.mean), s.mean))
	var half, cov mat.Dense
	half.Mul(a, s.cov)
	cov.Mul(&half, a.T())
	p := new(population)
	for i := range traitCount {
		p.mean[i] = mean.AtVec(int(i))
		for j := range traitCount {
			p.cov[i][j] = cov.At(int(i), int(j))
		}
	}
	p.addConstants()
	return p
}

// addConstants adds what is not in the survey: offsets and the independent
// spread of chest depth and hip height.
func (p *population) addConstants() {
	// The regression of sitting height on stature passes through the means,
	// so that the mean trunk is its share of the mean stature.
	p.mean[traitTrunk] = trunkShare * p.mean[traitStature]
	p.mean[traitArm] += gripBeyondWrist
	p.mean[traitAnkleOff] += ankleOffExtra
	p.mean[traitHipHeight] = hipHeight
	p.cov[traitHipHeight][traitHipHeight] = hipHeightSD * hipHeightSD
	p.cov[traitHalfDepth][traitHalfDepth] += halfDepthShare * halfDepthShare * chestDepthSD * chestDepthSD
}

// mix returns the normal distribution with the mean and covariance of an equal
// mixture of p and q.
func mix(p, q *population) *population {
	m := new(population)
	for i := range traitCount {
		m.mean[i] = (p.mean[i] + q.mean[i]) / 2
		for j := range traitCount {
			between := (p.mean[i] - q.mean[i]) * (p.mean[j] - q.mean[j]) / 4
			m.cov[i][j] = (p.cov[i][j]+q.cov[i][j])/2 + between
		}
	}
	return m
}
