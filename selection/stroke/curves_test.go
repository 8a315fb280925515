package stroke

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"thole/rigging"
)

// writeCurves writes two curves over an axis.
func writeCurves(head, separator string, from, to float64, nodes int, scale float64) string {
	var b strings.Builder
	b.WriteString(head)
	for i := range nodes {
		u := float64(i) / float64(nodes-1)
		fmt.Fprintf(&b, "%.4g%s%.3f%s%.3f\n", from+(to-from)*u, separator, 600*halfSine(u)/scale, separator, 500*frontLoaded(u)/scale)
	}
	return b.String()
}

func TestMeanCurvesAreReadAsCurves(t *testing.T) {
	for name, c := range map[string]struct {
		text          string
		axis          CurveAxis
		catch, finish float64
		unit          Unit
		names         [2]string
	}{
		"per cent":         {writeCurves("pct_drive,Anna,Ben\n", ",", 0, 100, 51, 1), OverShare, 0, 0, Newton, [2]string{"Anna", "Ben"}},
		"per cent of time": {writeCurves("% of drive time;Anna;Ben\n", ";", 0, 100, 101, 1), OverShare, 0, 0, Newton, [2]string{"Anna", "Ben"}},
		"share":            {writeCurves("share\tforce 1 [N]\tforce 2 [N]\n", "\t", 0, 1, 101, 1), OverShare, 0, 0, Newton, [2]string{"force 1 [N]", "force 2 [N]"}},
		"angle":            {writeCurves("angle_deg,force_1_kgf,force_2_kgf\n", ",", -60, 40, 101, 9.80665), OverAngle, -60, 40, KilogramForce, [2]string{"force_1_kgf", "force_2_kgf"}},
		"radians":          {writeCurves("oar angle,a,b\n", ",", -60*deg, 40*deg, 101, 1), OverAngle, -60, 40, Newton, [2]string{"a", "b"}},
		"no header":        {writeCurves("", " ", -60, 40, 101, 1), OverAngle, -60, 40, Newton, [2]string{"column 2", "column 3"}},
	} {
		p, err := Detect([]byte(c.text))
		if err != nil || p.Ready || p.Curves == nil || !strings.Contains(p.Missing, "2 mean curves") {
			t.Errorf("%s: %v %+v", name, err, p.Missing)
			continue
		}
		got, err := ReadCurves([]byte(c.text), None)
		if err != nil || got.Axis != c.axis || got.Unit != c.unit || len(got.Curves) != 2 || !near(got.Catch.Degrees(), c.catch, 0.02) || !near(got.Finish.Degrees(), c.finish, 0.02) {
			t.Errorf("%s: %v %+v", name, err, got)
			continue
		}
		for i, form := range []func(float64) float64{func(u float64) float64 { return 600 * halfSine(u) }, func(u float64) float64 { return 500 * frontLoaded(u) }} {
			if got.Curves[i].Name != c.names[i] {
				t.Errorf("%s: %q", name, got.Curves[i].Name)
			}
			for k, v := range got.Curves[i].Force {
				if want := form(float64(k) / (Nodes - 1)); !near(v, want, 8) {
					t.Errorf("%s, curve %d, node %d: %v, want %v", name, i, k, v, want)
				}
			}
		}
	}
}

// Curves written from the finish to the catch are turned round.
func TestMeanCurvesRunFromTheCatch(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(writeCurves("", ",", -60, 40, 101, 1)), "\n")
	for i, j := 0, len(lines)-1; i < j; i, j = i+1, j-1 {
		lines[i], lines[j] = lines[j], lines[i]
	}
	got, err := ReadCurves([]byte("angle_deg,a,b\n"+strings.Join(lines, "\n")+"\n"), None)
	if err != nil || !near(got.Catch.Degrees(), -60, 0.01) || !near(got.Curves[1].Force[40], 500, 1) {
		t.Error(err, got.Catch, got.Curves)
	}
}

func TestTheUnitOfMeanCurvesIsAskedFor(t *testing.T) {
	text := writeCurves("pct_drive,a,b\n", ",", 0, 100, 51, 9.80665)
	got, err := ReadCurves([]byte(text), None)
	if err != nil || len(got.Questions) != 1 || got.Questions[0].Kind != AskUnit || got.Unit != KilogramForce || !near(got.Curves[0].Force[50], 600, 1) {
		t.Errorf("%v %+v", err, got.Questions)
	}
	if got, err = ReadCurves([]byte(text), PoundForce); err != nil || len(got.Questions) > 0 || !near(got.Curves[0].Force[50], 600/9.80665*4.44822, 1) {
		t.Errorf("%v %+v", err, got.Questions)
	}
	var field *rigging.FieldError
	if _, err = ReadCurves([]byte(text), Degree); !errors.As(err, &field) || field.Place.String() != "unit" {
		t.Error(err)
	}
}

func TestRecordingsAreNoMeanCurves(t *testing.T) {
	readings := sculler().record(15, disturbance{hz: 50})
	for name, l := range layouts {
		if p, err := Detect([]byte(l.write(readings))); err != nil || p.Curves != nil {
			t.Errorf("%s: %v %v", name, err, p.Curves)
		}
		if _, err := ReadCurves([]byte(l.write(readings)), None); err == nil {
			t.Errorf("%s passes for mean curves", name)
		}
	}
	for name, text := range map[string]string{"nothing": "", "prose": "a b\nc d\n", "few": writeCurves("angle_deg,a,b\n", ",", -60, 40, 5, 1), "no hump": "pct,a\n0,5\n10,5\n20,5\n30,5\n40,5\n50,5\n60,5\n70,5\n80,5\n90,5\n100,5\n"} {
		var file *FileError
		if _, err := ReadCurves([]byte(text), None); !errors.As(err, &file) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The open curves of twenty rowers come in as they are.
func TestPublishedCurvesComeIn(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", bowCurves))
	if err != nil {
		t.Skip(bowCurves + " is absent")
	}
	_, curves, names := readBowCurves(t)
	got, err := ReadCurves(text, None)
	if err != nil || got.Axis != OverShare || len(got.Curves) != 20 || len(got.Questions) > 0 {
		t.Fatal(err, got)
	}
	for i, c := range got.Curves {
		for k := range 51 { // every other node of ours is one of theirs
			if want := curves[names[i]][k]; c.Name != names[i] || !near(c.Force[2*k], want, 1e-9) {
				t.Errorf("%s, node %d: %v, want %v", c.Name, k, c.Force[2*k], want)
			}
		}
	}
}
