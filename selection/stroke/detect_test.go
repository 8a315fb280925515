package stroke

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
)

// layout is one way in which a logger writes the same rowing.
type layout struct {
	head      string
	row       string // verbs: time, angle, force, vertical, speed
	separator string
	comma     bool
	scale     [5]float64 // of time, angle, force, vertical, speed
	end       string
}

var asDegrees = [5]float64{1, 1 / deg, 1, 1 / deg, 1}

func (l layout) write(readings []sample) string {
	var b strings.Builder
	b.WriteString(l.head)
	for _, s := range readings {
		v := [5]float64{s.t, s.angle, s.force, s.vertical, s.speed}
		for i := range v {
			v[i] *= l.scale[i]
		}
		row := fmt.Sprintf(l.row, v[0], v[1], v[2], v[3], v[4])
		if l.comma {
			row = strings.ReplaceAll(row, ".", ",")
		}
		b.WriteString(strings.ReplaceAll(row, "~", l.separator) + l.end)
	}
	return b.String()
}

const fiveColumns = "%.3f~%.4f~%.4f~%.4f~%.3f"

// layouts are files of one oar whose header, separator, decimal mark, units
// and signs are to be found. All hold the same strokes.
var layouts = map[string]layout{
	"comma":           {"time_s,angle_deg,force_n,vertical_deg,speed_m_s\n", fiveColumns, ",", false, asDegrees, "\n"},
	"byte-order mark": {"\ufefftime_s,angle_deg,force_n,vertical_deg,speed_m_s\n", fiveColumns, ",", false, asDegrees, "\n"},
	"carriage return": {"time_s,angle_deg,force_n,vertical_deg,speed_m_s\r\n", fiveColumns, ",", false, asDegrees, "\r\n"},
	"decimal comma":   {"Zeit [s];Ruderwinkel [°];Kraft [N];Vertikalwinkel [°];Geschwindigkeit [m/s]\n", fiveColumns, ";", true, asDegrees, "\n"},
	"quoted comma":    {"time_s,angle_deg,force_n,vertical_deg,speed_m_s\n", `"%.3f"~"%.4f"~"%.4f"~"%.4f"~"%.3f"`, ",", true, asDegrees, "\n"},
	"tab":             {"Time (s)\tOar Angle (deg)\tForce (N)\tVertical Angle (deg)\tBoat Speed (m/s)\n", fiveColumns, "\t", false, asDegrees, "\n"},
	"tab and comma":   {"Time (s)\tOar Angle (deg)\tForce (N)\tVertical Angle (deg)\tBoat Speed (m/s)\n", fiveColumns, "\t", true, asDegrees, "\n"},
	"bar":             {"time_s|angle_deg|force_n|vertical_deg|speed_m_s\n", fiveColumns, "|", false, asDegrees, "\n"},
	"blanks":          {"time_s angle_deg force_n vertical_deg speed_m_s\n", " %8.3f~%9.4f~%9.4f~%9.4f~%8.3f", "  ", false, asDegrees, "\n"},
	"unit row":        {"outing of Tuesday\n\ntime,angle,force,vertical,speed\ns,deg,N,deg,km/h\n", fiveColumns, ",", false, [5]float64{1, 1 / deg, 1, 1 / deg, 3.6}, "\n"},
	"radians":         {"time_s,angle_rad,force_n,vertical_rad,speed_m_s\n", "%.3f~%.6f~%.4f~%.6f~%.3f", ",", false, [5]float64{1, 1, 1, 1, 1}, "\n"},
	"unnamed radians": {"time,angle,force,vertical,speed\n", "%.3f~%.6f~%.4f~%.6f~%.3f", ",", false, [5]float64{1, 1, 1, 1, 1}, "\n"},
	"called degrees":  {"time_s,angle_deg,force_n,vertical_deg,speed_m_s\n", "%.3f~%.6f~%.4f~%.6f~%.3f", ",", false, [5]float64{1, 1, 1, 1, 1}, "\n"},
	"called radians":  {"time_s,angle_rad,force_n,vertical_rad,speed_m_s\n", fiveColumns, ",", false, asDegrees, "\n"},
	"kgf":             {"time_s,angle_deg,force_kgf,vertical_deg,speed_m_s\n", "%.3f~%.4f~%.6f~%.4f~%.3f", ",", false, [5]float64{1, 1 / deg, 1 / 9.80665, 1 / deg, 1}, "\n"},
	"unnamed kgf":     {"time,angle,force,vertical,speed\n", "%.3f~%.4f~%.6f~%.4f~%.3f", ",", false, [5]float64{1, 1 / deg, 1 / 9.80665, 1 / deg, 1}, "\n"},
	"pounds":          {"time_s,angle_deg,force_lbf,vertical_deg,speed_m_s\n", "%.3f~%.4f~%.6f~%.4f~%.3f", ",", false, [5]float64{1, 1 / deg, 1 / 4.4482216152605, 1 / deg, 1}, "\n"},
	"milliseconds":    {"time_ms,angle_deg,force_n,vertical_deg,speed_m_s\n", "%.0f~%.4f~%.4f~%.4f~%.3f", ",", false, [5]float64{1000, 1 / deg, 1, 1 / deg, 1}, "\n"},
	"unnamed ms":      {"time,angle,force,vertical,speed\n", "%.0f~%.4f~%.4f~%.4f~%.3f", ",", false, [5]float64{1000, 1 / deg, 1, 1 / deg, 1}, "\n"},
	"swapped angle":   {"time_s,angle_deg,force_n,vertical_deg,speed_m_s\n", fiveColumns, ",", false, [5]float64{1, -1 / deg, 1, 1 / deg, 1}, "\n"},
	"swapped force":   {"time_s,angle_deg,force_n,vertical_deg,speed_m_s\n", fiveColumns, ",", false, [5]float64{1, 1 / deg, -1, 1 / deg, 1}, "\n"},
	"swapped both":    {"time_s,angle_deg,force_n,vertical_deg,speed_m_s\n", fiveColumns, ",", false, [5]float64{1, -1 / deg, -1, 1 / deg, 1}, "\n"},
	"swapped depth":   {"time_s,angle_deg,force_n,vertical_deg,speed_m_s\n", fiveColumns, ",", false, [5]float64{1, 1 / deg, 1, -1 / deg, 1}, "\n"},
	"camel case":      {"TimeStamp,OarAngleDeg,ForceN,VerticalAngleDeg,SpeedKmH\n", fiveColumns, ",", false, [5]float64{1, 1 / deg, 1, 1 / deg, 3.6}, "\n"},
	"Latin-1 degrees": {"time_s,angle [\xb0],force_n,vertical [\xb0],speed_m_s\n", fiveColumns, ",", false, asDegrees, "\n"},
}

func TestDetectFindsTheLayout(t *testing.T) {
	readings := sculler().record(30, disturbance{hz: 50})
	for name, l := range layouts {
		t.Run(name, func(t *testing.T) {
			text := l.write(readings)
			p, err := Detect([]byte(text))
			if err != nil || !readable(&p) {
				t.Fatalf("not ready: %v %s %v", err, p.Missing, p.Warnings)
			}
			r, err := Analyse(context.Background(), strings.NewReader(text), p.Mapping, Thresholds{}, Options{})
			if err != nil {
				t.Fatal(err)
			}
			checkSculler(t, &r.Oars[0])
			if r.Refused.Count > 0 || len(r.Oars[0].Warnings) > 0 {
				t.Error(r.Refused.Listed, r.Oars[0].Warnings)
			}
		})
	}
}

// checkSculler looks for the strokes of sculler without noise.
func checkSculler(t *testing.T, o *OarReport) {
	t.Helper()
	for f, want := range map[Feature]float64{CatchAngle: -64 * deg, FinishAngle: 44 * deg, Rate: 0.5, PeakForce: 600, MeanSpeed: 4.5, Depth: -6 * deg} {
		if s := o.Features[f]; s.N != 14 || !near(s.Mean, want, 0.003*max(1, want)) {
			t.Errorf("%v: %+v, want %v in 14 strokes", f, s, want)
		}
	}
}

// readable answers at the handle where nothing but the site of the force is
// left open; it reports whether the mapping can then be used.
func readable(p *Proposal) bool {
	if p.Mapping.Force == NoSite {
		p.Answer(Handle)
	}
	return p.Ready && p.Mapping.Validate() == nil
}

func TestTheAnswerAboutTheSiteMakesReady(t *testing.T) {
	text := []byte(goodFile())
	p, err := Detect(text)
	if err != nil || p.Ready || p.Mapping.Force != NoSite {
		t.Fatal(err, p)
	}
	p.Answer(Gate)
	if _, asked := question(p.Questions, AskSite); asked || !p.Ready || p.Missing != "" || p.Mapping.Force != Gate {
		t.Error(p)
	}
	p, err = Detect([]byte("time_s,angle_deg,heart\n0.00,-55,150\n0.01,-54,151\n0.02,-53,152\n"))
	if p.Answer(Handle); err != nil || p.Ready || p.Missing == "" {
		t.Error("ready without a force:", p)
	}
	defer func() {
		if recover() == nil {
			t.Error("no site passes for an answer")
		}
	}()
	p.Answer(NoSite)
}

func near(got, want, tolerance float64) bool { return got >= want-tolerance && got <= want+tolerance }

func TestDetectWarnsOfWhatItMends(t *testing.T) {
	readings := sculler().record(30, disturbance{hz: 50})
	for name, code := range map[string]string{
		"unnamed radians": "unit", "called degrees": "radians", "comma": "site", "called radians": "degrees", "unnamed kgf": "low_force",
		"swapped angle": "swapped_angle", "swapped force": "negative_force", "swapped depth": "swapped_vertical",
	} {
		p, err := Detect([]byte(layouts[name].write(readings)))
		if err != nil || !slices.ContainsFunc(p.Warnings, func(w Warning) bool { return w.Code == code }) {
			t.Errorf("%s: no warning %q in %v", name, code, p.Warnings)
		}
	}
}

func TestDetectShowsHeaderAndRows(t *testing.T) {
	p, err := Detect([]byte("time_s;Kraft [N];angle_deg\n0,00;10;-55,0\n0,01;11;-55,1\n0,02;12"))
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(p.Header, []string{"time_s", "Kraft [N]", "angle_deg"}) {
		t.Error(p.Header)
	}
	if len(p.Preview) != 2 || !slices.Equal(p.Preview[1], []string{"0,01", "11", "-55,1"}) {
		t.Error(p.Preview)
	}
}

func TestDetectReadsSeatsInRows(t *testing.T) {
	o := sculler()
	two := plain("2", o.record(10, disturbance{hz: 50}))
	p, err := Detect([]byte(PlainHeader + "\n" + plain("1", o.record(10, disturbance{hz: 50})) + two))
	if err != nil || !readable(&p) || !slices.Equal(p.Oars, []Oar{{Seat: "1"}, {Seat: "2"}}) {
		t.Fatal(err, p)
	}
	if !slices.Equal(p.Mapping.Columns, PlainLayout(Handle).Columns) {
		t.Error(p.Mapping.Columns)
	}
}

func TestDetectReadsSeatsInColumns(t *testing.T) {
	head := "time_s,seat 2 angle (deg),seat 2 force (N),seat 1 angle (deg),seat 1 force (N),speed_m_s\n"
	text := wide(head, sculler().record(10, disturbance{hz: 50}))
	p, err := Detect([]byte(text))
	if err != nil || !readable(&p) || !slices.Equal(p.Oars, []Oar{{Seat: "1"}, {Seat: "2"}}) {
		t.Fatal(err, p)
	}
}

func TestDetectReadsBothHands(t *testing.T) {
	head := "time_s,Angle_P1,GateForce_P1,Angle_S1,GateForce_S1,speed_m_s\n"
	p, err := Detect([]byte(wide(head, sculler().record(10, disturbance{hz: 50}))))
	want := []Oar{{Seat: "1", Side: rigging.Port}, {Seat: "1", Side: rigging.Starboard}}
	if err != nil || !readable(&p) || !slices.Equal(p.Oars, want) || p.Mapping.Force != Gate {
		t.Fatal(err, p)
	}
}

// wide writes two oars that do the same side by side.
func wide(head string, readings []sample) string {
	var b strings.Builder
	b.WriteString(head)
	for _, s := range readings {
		fmt.Fprintf(&b, "%.3f,%.3f,%.2f,%.3f,%.2f,%.2f\n", s.t, s.angle/deg, s.force, s.angle/deg, s.force, s.speed)
	}
	return b.String()
}

func TestDetectReadsAColumnOfSides(t *testing.T) {
	var b strings.Builder
	b.WriteString("time_s,seat,side,angle_deg,force_n\n")
	for _, s := range sculler().record(10, disturbance{hz: 50}) {
		for _, side := range []string{"port", "starboard"} {
			fmt.Fprintf(&b, "%.3f,1,%s,%.3f,%.2f\n", s.t, side, s.angle/deg, s.force)
		}
	}
	p, err := Detect([]byte(b.String()))
	want := []Oar{{Seat: "1", Side: rigging.Port}, {Seat: "1", Side: rigging.Starboard}}
	if err != nil || !readable(&p) || !slices.Equal(p.Oars, want) {
		t.Fatal(err, p)
	}
}

func TestDetectGuessesWithoutHeader(t *testing.T) {
	var b strings.Builder
	for _, s := range sculler().record(20, disturbance{hz: 50}) {
		fmt.Fprintf(&b, "%.3f\t1\t%.3f\t%.2f\n", s.t, s.angle/deg, s.force)
	}
	p, err := Detect([]byte(b.String()))
	if err != nil || !readable(&p) {
		t.Fatal(err, p)
	}
	want := []Column{{Index: 0, Quantity: Time, Unit: Second}, {Index: 1, Quantity: SeatName}, {Index: 2, Quantity: OarAngle, Unit: Degree}, {Index: 3, Quantity: Force, Unit: Newton}}
	if !slices.Equal(p.Mapping.Columns, want) || p.Mapping.HeaderLines != 0 {
		t.Error(p.Mapping)
	}
}

func TestDetectReadsAClock(t *testing.T) {
	var b strings.Builder
	b.WriteString("time;angle_deg;force_n\n")
	for _, s := range sculler().record(30, disturbance{hz: 50}) {
		fmt.Fprintf(&b, "2026-05-01 06:59:%05.2f;%.3f;%.2f\n", s.t, s.angle/deg, s.force)
	}
	p, err := Detect([]byte(b.String()))
	if err != nil || !readable(&p) || p.Mapping.Columns[0].Unit != Clock || !near(p.SampleRate, 50, 1e-3) {
		t.Fatal(err, p)
	}
}

func TestDetectAsksForWhatItCannotFind(t *testing.T) {
	p, err := Detect([]byte("time_s,angle_deg,heart\n0.00,-55,150\n0.01,-54,151\n0.02,-53,152\n"))
	if err != nil || p.Ready || !strings.Contains(p.Missing, "force") {
		t.Error(err, p)
	}
}

func TestDetectSeesNumbersCutByTheSeparator(t *testing.T) {
	p, err := Detect([]byte("time,angle,force\n0,01,-55,3,210,5\n0,02,-55,2,211,5\n0,03,-55,1,212,5\n"))
	if err != nil || p.Ready || !strings.Contains(p.Missing, "decimal mark") {
		t.Error(err, p)
	}
}

func TestDetectTurnsEachHandForItself(t *testing.T) {
	var b strings.Builder
	b.WriteString("time_s,left angle deg,left force N,right angle deg,right force N\n")
	for _, s := range sculler().record(20, disturbance{hz: 50}) {
		fmt.Fprintf(&b, "%.3f,%.3f,%.2f,%.3f,%.2f\n", s.t, s.angle/deg, s.force, -s.angle/deg, s.force)
	}
	p, err := Detect([]byte(b.String()))
	if err != nil || !readable(&p) || !hasCode(p.Warnings, "hands") {
		t.Fatal(err, p)
	}
	for _, c := range p.Mapping.Columns {
		if c.Negate != (c.Quantity == OarAngle && c.Side == rigging.Port) {
			t.Errorf("%+v", c)
		}
	}
}

func TestNamesOfColumns(t *testing.T) {
	for name, want := range map[string]heading{
		"time_s":                {quantity: Time, known: true, unit: Second},
		"t [ms]":                {quantity: Time, known: true, unit: Millisecond},
		"Oar angle (°)":         {quantity: OarAngle, known: true, unit: Degree},
		"Ruderwinkel_Grad":      {quantity: OarAngle, known: true, unit: Degree},
		"VerticalAngleRad":      {quantity: VerticalAngle, known: true, unit: Radian},
		"handle force 3 (kgf)":  {quantity: Force, known: true, unit: KilogramForce, seat: "3", handle: true},
		"Gate Force kN":         {quantity: Force, known: true, gate: true},
		"F_stroke_stbd/N":       {quantity: Force, known: true, unit: Newton, seat: "stroke", side: rigging.Starboard},
		"Boat speed [km/h]":     {quantity: BoatSpeed, known: true, unit: KilometrePerHour},
		"v (m s-1)":             {quantity: BoatSpeed, known: true, unit: MetrePerSecond},
		"seat":                  {quantity: SeatName, known: true},
		"Side":                  {quantity: SideName, known: true},
		"angle velocity":        {},
		"stroke rate (spm)":     {},
		"wind speed":            {},
		"peak force":            {},
		"Acceleration [m/s^2]":  {},
		"heart":                 {},
		"force left 2 [N]":      {quantity: Force, known: true, unit: Newton, seat: "2", side: rigging.Starboard, hand: true},
		"Geschwindigkeit (m/s)": {quantity: BoatSpeed, known: true, unit: MetrePerSecond},
	} {
		if got := readHeading(name); got != want {
			t.Errorf("%q: %+v, want %+v", name, got, want)
		}
	}
}
