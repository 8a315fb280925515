package rigging_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"thole/rigging"
)

// TestSensitivitiesAreDirectResolves moves each setting by hand, one centimetre
// or one degree, and solves the moved case afresh.
func TestSensitivitiesAreDirectResolves(t *testing.T) {
	disciplines(t, func(t *testing.T, some func(source) rigging.Setup) {
		rapid.Check(t, func(t *rapid.T) {
			c := rigging.NewCase(some(drawn(t)), adult())
			stroke, err := c.Solve()
			if err != nil {
				t.Skip(err)
			}
			rows := c.Sensitivities(&stroke)
			if len(rows) != len(c.Setup.Class.Settings()) {
				t.Skip("some setting cannot be moved")
			}
			for i, name := range c.Setup.Class.Settings() {
				if rows[i].Setting != name {
					t.Fatalf("row %d is %s, want %s", i, rows[i].Setting, name)
				}
				checkSensitivity(t, c, &stroke, &rows[i])
			}
		})
	})
}

func checkSensitivity(t *rapid.T, c rigging.Case, before *rigging.Stroke, row *rigging.Sensitivity) {
	t.Helper()
	near(t, "step", math.Abs(row.Step), rigging.SensitivityStep(row.Setting.Quantity()), 0)
	moved := c
	moved.Setup.SetValue(row.Setting, c.Setup.Value(row.Setting)+row.Step)
	after := solved(t, &moved)
	near(t, "catch", float64(row.Catch), float64(after.Catch-before.Catch), 1e-12)
	near(t, "finish", float64(row.Finish), float64(after.Finish-before.Finish), 1e-12)
	near(t, "arc", float64(row.Arc), float64(row.Finish-row.Catch), 1e-12)
	near(t, "lever ratio", row.LeverRatio, moved.Setup.Gearing().LeverRatio-c.Setup.Gearing().LeverRatio, 1e-12)
	near(t, "pitch at the catch", float64(row.PitchCatch), float64(moved.Setup.Pitch(before.Catch)-c.Setup.Pitch(before.Catch)), 1e-12)
	near(t, "pitch at the finish", float64(row.PitchFinish), float64(moved.Setup.Pitch(before.Finish)-c.Setup.Pitch(before.Finish)), 1e-12)
	hb, ha := c.Heights(before), moved.Heights(&after)
	near(t, "hand at the catch", row.HandleCatch, ha.HandleEntry-hb.HandleEntry, 1e-12)
	near(t, "hand at the finish", row.HandleFinish, ha.HandleCovered-hb.HandleCovered, 1e-12)
}

// TestSensitivityStepsBackFromTheEdge: where a step up cannot be rowed the
// table answers for a step down, and leaves out what moves neither way.
func TestSensitivityStepsBackFromTheEdge(t *testing.T) {
	c := rigging.NewCase(scull(), adult())
	// Bring the catch to within half a step of the largest oar angle.
	c.Setup.HeelToPin = heelForCatch(c, 84.9)
	stroke := solved(t, &c)
	for _, row := range c.Sensitivities(&stroke) {
		if row.Setting == rigging.SettingHeelToPin {
			near(t, "step of the heel", row.Step, -0.01, 0)
			return
		}
	}
	t.Error("the heel's row is missing")
}

func TestSensitivitiesLeaveTheCaseAlone(t *testing.T) {
	c := rigging.NewCase(sweep(), adult())
	before, stroke := c, solved(t, &c)
	c.Sensitivities(&stroke)
	c.Uncertainty(&stroke)
	if c.Setup != before.Setup || c.Body != before.Body {
		t.Error("asking for sensitivities moved the case")
	}
}

// TestUncertaintyAgreesWithMonteCarlo samples bodies from the covariance of the
// estimate and tape readings about the rig, and solves each: the spread must be
// what first-order propagation says, to 3 % (sampling scatter of 10,000 draws
// is 0.7 %; the rest is curvature).
func TestUncertaintyAgreesWithMonteCarlo(t *testing.T) {
	for _, setup := range []rigging.Setup{scull(), sweep()} {
		for _, m := range []*rigging.Measures{
			{Sex: rigging.Male, Stature: 1.85},
			{Sex: rigging.Female, Stature: 1.72, ArmSpan: 1.74, SittingHeight: 0.90, Mass: 66},
		} {
			c := rigging.NewCase(setup, m)
			compareScatter(t, &c)
			c.Body.Cov = rigging.Estimate{}.Cov // the tape alone
			compareScatter(t, &c)
		}
	}
}

func compareScatter(t *testing.T, c *rigging.Case) {
	t.Helper()
	stroke := solved(t, c)
	got := c.Uncertainty(&stroke)
	catch, finish, both := scatter(t, c, 10000)
	near(t, "SD of the catch (deg)", got.Catch.Degrees(), catch, 0.03*catch)
	near(t, "SD of the finish (deg)", got.Finish.Degrees(), finish, 0.03*finish)
	near(t, "SD of the arc (deg)", got.Arc.Degrees(), both, 0.03*both)
}

// scatter returns the standard deviations, in degrees, of catch, finish and arc
// over n sampled bodies and rigs.
func scatter(t *testing.T, c *rigging.Case, n int) (catch, finish, both float64) {
	t.Helper()
	r := rand.New(rand.NewPCG(17, 4))
	factor := covarianceFactor(t, c)
	hands := c.Setup.HandleHeights(c.Setup.SeatOverWaterAt(c.Setup.Class.Displacement(c.Body.Mass)))
	var ends [3][]float64
	for range n {
		body := c.Body.Body
		shiftBody(&body, factor, r)
		setup, handle := c.Setup, hands
		readTape(c, &setup, r)
		// The hands follow the gates and not the segments.
		moved := setup.HandleHeights(setup.SeatOverWaterAt(setup.Class.Displacement(c.Body.Mass)))
		handle.Catch += moved.Catch - hands.Catch
		handle.Finish += moved.Finish - hands.Finish
		s, err := rigging.Solve(&setup, &body, &c.Posture, &handle)
		if err != nil {
			continue
		}
		ends[0] = append(ends[0], s.Catch.Degrees())
		ends[1] = append(ends[1], s.Finish.Degrees())
		ends[2] = append(ends[2], s.Arc().Degrees())
	}
	if len(ends[0]) < n*99/100 {
		t.Fatalf("only %d of %d sampled bodies row the rig", len(ends[0]), n)
	}
	return stat.StdDev(ends[0], nil), stat.StdDev(ends[1], nil), stat.StdDev(ends[2], nil)
}

// covarianceFactor returns V·√Λ of the covariance; ball and ankle follow one
// foot, so that it is singular and has no Cholesky factor.
func covarianceFactor(t *testing.T, c *rigging.Case) *mat.Dense {
	t.Helper()
	cov := mat.NewSymDense(10, nil)
	for i := range 10 {
		for j := range 10 {
			cov.SetSym(i, j, c.Body.Cov[i][j])
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(cov, true) {
		t.Fatal("no eigenvalues")
	}
	var factor mat.Dense
	eigen.VectorsTo(&factor)
	for j, value := range eigen.Values(nil) {
		if value < -1e-12 {
			t.Fatalf("covariance with a negative eigenvalue %g", value)
		}
		for i := range 10 {
			factor.Set(i, j, factor.At(i, j)*math.Sqrt(max(0, value)))
		}
	}
	return &factor
}

func shiftBody(b *rigging.Body, factor *mat.Dense, r *rand.Rand) {
	var z [10]float64
	for j := range z {
		z[j] = r.NormFloat64()
	}
	for i, length := range segments(b) {
		for j := range z {
			*length += factor.At(i, j) * z[j]
		}
	}
}

// readTape shifts every length of the rig that is read with a tape; how the
// gates differ is read with a level.
func readTape(c *rigging.Case, s *rigging.Setup, r *rand.Rand) {
	for _, name := range s.Class.Settings() {
		if name.Quantity() == rigging.Length && name != rigging.SettingGateDifference {
			s.SetValue(name, s.Value(name)+c.Tape*r.NormFloat64())
		}
	}
}

// TestUncertaintyShrinksWithKnowledge: measuring more narrows the arc's spread.
func TestUncertaintyShrinksWithKnowledge(t *testing.T) {
	spread := func(m rigging.Measures) float64 {
		m.Sex = rigging.Male
		c := rigging.NewCase(scull(), &m)
		stroke := solved(t, &c)
		return float64(c.Uncertainty(&stroke).Catch)
	}
	nothing := spread(rigging.Measures{})
	stature := spread(rigging.Measures{Stature: 1.85})
	span := spread(rigging.Measures{Stature: 1.85, ArmSpan: 1.90})
	sitting := spread(rigging.Measures{Stature: 1.85, ArmSpan: 1.90, SittingHeight: 0.96})
	if !(nothing > stature && stature > span && span > sitting && sitting > 0) {
		t.Errorf("spreads %.4f, %.4f, %.4f, %.4f do not shrink", nothing, stature, span, sitting)
	}
}

func TestKnownBodyAndPerfectTapeLeaveNoDoubt(t *testing.T) {
	c := rigging.NewCase(scull(), &rigging.Measures{Segments: athlete()})
	c.Body.Cov = rigging.Estimate{}.Cov
	c.Tape = 0
	stroke := solved(t, &c)
	if got := c.Uncertainty(&stroke); got != (rigging.Uncertainty{}) {
		t.Errorf("uncertainty %+v", got)
	}
}

func TestNewCaseCarriesTheMeasuresOver(t *testing.T) {
	m := adult()
	m.DrawHeight = 0.31
	c := rigging.NewCase(sweep(), m)
	if c.DrawHeight != 0.31 || c.Tape != rigging.DefaultTape || c.Posture != rigging.DefaultPosture(c.Setup.Class) ||
		c.Body != m.Estimate(rigging.DefaultTape) || c.Handle != nil || c.Displacement != 0 {
		t.Errorf("%+v", c)
	}
}

// TestSettingsReachTheirFields: each setting moves its own field and no other.
func TestSettingsReachTheirFields(t *testing.T) {
	for _, base := range []rigging.Setup{scull(), sweep()} {
		seen := map[rigging.Setup]rigging.Setting{}
		for _, name := range base.Class.Settings() {
			s := base
			s.SetValue(name, s.Value(name)+0.001)
			near(t, string(name), s.Value(name)-base.Value(name), 0.001, 1e-15)
			if other, ok := seen[s]; ok || s == base {
				t.Errorf("%s moves what %s moves", name, other)
			}
			seen[s] = name
		}
	}
	if n := len(class("1x").Settings()); n != 11 {
		t.Errorf("a sculling seat has %d settings", n)
	}
	if n := len(class("4+").Settings()); n != 10 {
		t.Errorf("a sweep seat has %d settings", n)
	}
}

func TestUnknownSettingPanics(t *testing.T) {
	for name, misuse := range map[string]func(){
		"Quantity": func() { rigging.Setting("thole").Quantity() },
		"Value":    func() { s := scull(); s.Value("thole") },
		"SetValue": func() { s := scull(); s.SetValue("thole", 1) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s accepts a setting that is none", name)
				}
			}()
			misuse()
		}()
	}
}
