package stroke

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
)

// analysePlain reads text in Thole's own layout.
func analysePlain(text string) (*Report, error) {
	return Analyse(context.Background(), strings.NewReader(text), PlainLayout(Handle), Thresholds{}, Options{Levers: scullLevers})
}

// goodFile is half a minute of one sculler.
func goodFile() string {
	return PlainHeader + "\n" + plain("1", sculler().record(30, disturbance{hz: 50}))
}

func hasCode(warnings []Warning, code string) bool {
	return slices.ContainsFunc(warnings, func(w Warning) bool { return w.Code == code })
}

func TestFilesThatAreNoTableAreRefused(t *testing.T) {
	for name, c := range map[string]struct{ text, word string }{
		"a PDF":              {"%PDF-1.4\n1 0 obj\n", "PDF"},
		"nothing":            {"", "empty"},
		"a header alone":     {PlainHeader + "\n", "no rows"},
		"NUL bytes":          {strings.Repeat("\x00", 1000), "NUL"},
		"prose":              {"The crew rowed well.\nThen it rained.\n", "line 2"},
		"wrong separator":    {strings.ReplaceAll(goodFile(), ",", ";"), "separator"},
		"wrong decimal mark": {strings.ReplaceAll(strings.ReplaceAll(goodFile(), ",", ";"), ".", ","), "separator"},
		"blank columns":      {PlainHeader + "\n0,1,,,,\n1,1,,,,\n", "blank in every row"},
	} {
		r, err := analysePlain(c.text)
		var file *FileError
		if !errors.As(err, &file) || !strings.Contains(err.Error(), c.word) {
			t.Errorf("%s: %v, %v", name, r, err)
		}
	}
}

func TestDegreesMappedAsRadiansAreRefused(t *testing.T) {
	m := PlainLayout(Handle)
	m.Columns[2].Unit = Radian
	_, err := Analyse(context.Background(), strings.NewReader(PlainHeader+"\n0,1,-55,0,0,0\n0.02,1,-54,0,0,0\n"), m, Thresholds{}, Options{})
	if err == nil || !strings.Contains(err.Error(), "is the unit right?") {
		t.Error(err)
	}
}

// change rewrites one cell of every row of a good file.
func change(column int, to func(row int, cell string) string) string {
	lines := strings.Split(strings.TrimSpace(goodFile()), "\n")
	for i := range lines[1:] {
		cells := strings.Split(lines[i+1], ",")
		cells[column] = to(i, cells[column])
		lines[i+1] = strings.Join(cells, ",")
	}
	return strings.Join(lines, "\n") + "\n"
}

func scaled(by float64) func(int, string) string {
	return func(_ int, cell string) string {
		v, _ := parseNumber([]byte(cell), '.')
		return fmt.Sprintf("%.6f", v*by)
	}
}

func TestDoubtfulChannelsAreWarnedOf(t *testing.T) {
	constantly := func(s string) func(int, string) string { return func(int, string) string { return s } }
	for code, text := range map[string]string{
		"small_arc":        change(2, scaled(deg)),
		"swapped_angle":    change(2, scaled(-1)),
		"constant_angle":   change(2, constantly("12.5")),
		"negative_force":   change(3, scaled(-1)),
		"low_force":        change(3, scaled(1/9.80665)),
		"high_force":       change(3, scaled(8)),
		"constant_force":   change(3, constantly("7")),
		"swapped_vertical": change(4, scaled(-1)),
		"high_speed":       change(5, scaled(3)),
		"rate":             change(0, scaled(20)),
		"missing":          change(3, func(i int, cell string) string { return cell[:len(cell)*min(i%9, 1)] }),
	} {
		r, err := analysePlain(text)
		if err != nil || !hasCode(r.Oars[0].Warnings, code) {
			t.Errorf("%s: %v %+v", code, err, r.Oars[0].Warnings)
		}
	}
}

func TestMillisecondsMappedAsSecondsAreWarnedOf(t *testing.T) {
	r, err := analysePlain(change(0, scaled(1000)))
	if err != nil || r.Oars[0].Count != 0 || !hasCode(r.Oars[0].Warnings, "rate") {
		t.Error(err, r.Oars[0].Warnings)
	}
}

func TestAForceThatIsOffItsZeroIsWarnedOf(t *testing.T) {
	r, err := analysePlain(change(3, func(_ int, cell string) string {
		v, _ := parseNumber([]byte(cell), '.')
		return fmt.Sprint(v + 90)
	}))
	if err != nil || !hasCode(r.Oars[0].Warnings, "force_zero") {
		t.Error(err, r.Oars[0].Warnings)
	}
}

func TestAThresholdOutOfReachIsWarnedOf(t *testing.T) {
	r, err := Analyse(context.Background(), strings.NewReader(goodFile()), PlainLayout(Handle), Thresholds{Basis: ByForce, Catch: 700, Release: 100}, Options{})
	if err != nil || !hasCode(r.Oars[0].Warnings, "no_slip") || r.Oars[0].Features[CatchSlip].N != 0 {
		t.Error(err, r.Oars[0].Warnings)
	}
}

func TestAGoodFileHasNoWarnings(t *testing.T) {
	r, err := analysePlain(goodFile())
	if err != nil || len(r.Warnings)+len(r.Oars[0].Warnings) > 0 || r.Refused.Count > 0 {
		t.Error(err, r.Warnings, r.Oars[0].Warnings, r.Refused.Listed)
	}
}

// Each bad row is refused with its own line and reason, and nothing else is.
func TestBadRowsAreListedByLine(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(goodFile()), "\n")
	want := map[int64]struct {
		row    string
		fault  Fault
		word   string
		column int // from 1, 0 for the whole row
	}{
		20: {"abc,1,1,1,1,1", FaultNumber, `"abc"`, 1},
		30: {"0.56,1,-20,ten,1,1", FaultNumber, "column 4 (force)", 4},
		40: {"0.76,1,-20", FaultCells, "3 cells where 6", 0},
		50: {"0.96,1,-20,1,1,1,9", FaultCells, "7 cells where 6", 0},
		60: {"0.10,1,-20,1,1,1", FaultOrder, "does not run forward", 1},
		70: {"1.36,1,-999,1,1,1", FaultImpossible, "-999 deg", 3},
		80: {",1,-20,1,1,1", FaultTime, "no time", 1},
		90: {"1.76,,-20,1,1,1", FaultSeat, "names no seat", 2},
		99: {"1.94,1,-2\x000,1,1,1", FaultNumber, "no number", 3},
		// A point and a comma mixed: one cell too many.
		110: {"2.16,1,-20,0,1,1,1", FaultCells, "decimal mark", 0},
	}
	for line, bad := range want {
		lines[line-1] = bad.row
	}
	r, err := analysePlain(strings.Join(lines, "\r\n"))
	if err != nil || r.Refused.Count != int64(len(want)) || len(r.Refused.Listed) != len(want) {
		t.Fatal(err, r.Refused)
	}
	for _, got := range r.Refused.Listed {
		w := want[got.Line]
		if w.fault != got.Fault || !strings.Contains(got.Reason, w.word) {
			t.Errorf("%+v, want %+v", got, w)
		}
		field := ""
		if w.column > 0 {
			field = fmt.Sprintf("columns[%d]", w.column-1)
		}
		if got.Column != w.column || got.Field.String() != field {
			t.Errorf("line %d is said to be at fault at %+v, want column %d", got.Line, got.Place, w.column)
		}
	}
	for _, w := range r.Warnings {
		if w.Code == "refused" && w.Line != 20 {
			t.Errorf("%+v", w)
		}
	}
	if r.Rows != int64(len(lines)-1) || !hasCode(r.Warnings, "refused") {
		t.Error(r.Rows, r.Warnings)
	}
}

func TestTheListIsCappedAndTheCountExact(t *testing.T) {
	text := goodFile() + strings.Repeat("x,1,1,1,1,1\n", 5000)
	r, err := analysePlain(text)
	if err != nil || r.Refused.Count != 5000 || len(r.Refused.Listed) != MaxListed || r.Refused.ByFault[FaultNumber] != 5000 {
		t.Error(err, r.Refused.Count, len(r.Refused.Listed), r.Refused.ByFault)
	}
}

func TestTheOtherDecimalMarkIsHintedAt(t *testing.T) {
	text := "time_s;angle_deg;force_n\n0,00;-55;1\n0.02;-54;2\n"
	p, err := Detect([]byte(text))
	if err != nil || !readable(&p) {
		t.Fatal(err, p)
	}
	r, err := Analyse(context.Background(), strings.NewReader(text), p.Mapping, Thresholds{}, Options{})
	if err != nil || r.Refused.Count != 1 || !strings.Contains(r.Refused.Listed[0].Reason, "decimal mark") {
		t.Error(err, r)
	}
}

func TestOneBadOarOfAWideRowLeavesTheOthers(t *testing.T) {
	text := strings.ReplaceAll(wide("time_s,angle_deg_1,force_n_1,angle_deg_2,force_n_2,speed_m_s\n", sculler().record(20, disturbance{hz: 50})), "\n1.000,-", "\n1.000,x")
	p, err := Detect([]byte(text))
	if err != nil || !readable(&p) {
		t.Fatal(err, p)
	}
	r, err := Analyse(context.Background(), strings.NewReader(text), p.Mapping, Thresholds{}, Options{})
	if err != nil || r.Refused.Count != 1 || r.Oars[0].Missing != 1 || r.Oars[1].Missing != 0 || r.Oars[1].Samples != 1000 {
		t.Error(err, r.Refused, r.Oars[0].Missing, r.Oars[1].Missing, r.Oars[1].Samples)
	}
}

func TestAClockSetBackGoesOn(t *testing.T) {
	body := plain("1", sculler().record(30, disturbance{hz: 50}))
	r := reportOf(t, Thresholds{}, body, body)
	if r.Refused.Count != restartRows-1 || !hasCode(r.Warnings, "restarted") {
		t.Error(r.Refused.Count, r.Warnings)
	}
	if o := r.Oars[0]; o.Count < 27 || o.Features[Rate].SD > 1e-3 || o.Features[CatchAngle].SD > 0.05*deg {
		t.Errorf("%d strokes, %v", o.Count, o.Features[Rate])
	}
}

func TestSeatsOneAfterTheOtherHaveTheirOwnClocks(t *testing.T) {
	body := func(seat string) string { return plain(seat, sculler().record(30, disturbance{hz: 50})) }
	r := reportOf(t, Thresholds{}, body("1"), body("2"), body("3"))
	if r.Refused.Count != 0 || len(r.Oars) != 3 || r.Oars[2].Count != 14 {
		t.Error(r.Refused, len(r.Oars))
	}
}

func TestTimesWithTooFewDigitsAreCounted(t *testing.T) {
	r, err := analysePlain(change(0, func(_ int, cell string) string { return cell[:strings.IndexByte(cell, '.')+2] }))
	if err != nil || r.Refused.ByFault[FaultOrder] == 0 || r.Refused.Count+r.Oars[0].Samples != r.Rows {
		t.Error(err, r.Refused, r.Rows)
	}
}

func TestAColumnThatIsNoSeatIsRefused(t *testing.T) {
	text := change(1, func(i int, _ string) string { return fmt.Sprint(i) })
	r, err := analysePlain(text)
	if err != nil || len(r.Oars) != maxOars || r.Refused.ByFault[FaultSeat] == 0 || !strings.Contains(r.Refused.Listed[0].Reason, "really name the seat") {
		t.Error(err, len(r.Oars), r.Refused.ByFault)
	}
}

func TestOptionalColumnsMayBeAbsent(t *testing.T) {
	var b strings.Builder
	b.WriteString("time_s,seat,angle_deg,force_n\n")
	for _, s := range sculler().record(30, disturbance{hz: 50}) {
		fmt.Fprintf(&b, "%.3f,1,%.3f,%.3f\n", s.t, s.angle/deg, s.force)
	}
	r, err := analysePlain(b.String())
	if err != nil || r.Oars[0].Count != 14 || r.Oars[0].Features[Depth].N != 0 || !hasCode(r.Warnings, "no_column") {
		t.Error(err, r)
	}
}

func TestASampleRateStandsInForTheTime(t *testing.T) {
	var b strings.Builder
	for _, s := range sculler().record(30, disturbance{hz: 50}) {
		fmt.Fprintf(&b, "%.3f %.3f\n", s.angle/deg, s.force)
	}
	m := Mapping{Separator: ' ', Force: Handle, SampleRate: 50, Columns: []Column{{Index: 0, Quantity: OarAngle, Unit: Degree}, {Index: 1, Quantity: Force, Unit: Newton}}}
	r, err := Analyse(context.Background(), strings.NewReader(b.String()), m, Thresholds{}, Options{})
	if err != nil || r.Oars[0].Count != 14 || !near(r.Oars[0].Features[Rate].Mean, 0.5, 1e-3) {
		t.Error(err, r)
	}
}

// zeros is an endless file of NUL bytes that counts what is read.
type zeros struct{ read int64 }

func (z *zeros) Read(p []byte) (int, error) {
	clear(p)
	z.read += int64(len(p))
	return len(p), nil
}

func TestTwoGigabytesOfZerosAreRefusedAtOnce(t *testing.T) {
	z := &zeros{}
	_, err := Analyse(context.Background(), io.LimitReader(z, 2<<30), PlainLayout(Handle), Thresholds{}, Options{})
	if err == nil || !strings.Contains(err.Error(), "NUL") || z.read > chunkSize {
		t.Errorf("%v after %d bytes", err, z.read)
	}
}

// A logger that lost power leaves zeros behind what it wrote.
func TestZerosBehindAGoodFileAreGivenUp(t *testing.T) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	z := &zeros{}
	src := io.MultiReader(strings.NewReader(goodFile()), io.LimitReader(z, 2<<30))
	r, err := Analyse(context.Background(), src, PlainLayout(Handle), Thresholds{}, Options{})
	runtime.ReadMemStats(&after)
	if err != nil || r.Oars[0].Count != 14 || !hasCode(r.Warnings, "stopped") || r.Refused.ByFault[FaultLong] != 1 {
		t.Error(err, r.Warnings, r.Refused)
	}
	if z.read > hopeless+2*chunkSize || after.TotalAlloc-before.TotalAlloc > 20<<20 {
		t.Errorf("%d bytes read, %d allocated", z.read, after.TotalAlloc-before.TotalAlloc)
	}
}

func TestManyUselessRowsAreGivenUpEarly(t *testing.T) {
	z := &repeated{line: []byte("a,b,c,d,e,f\n")}
	_, err := Analyse(context.Background(), io.LimitReader(z, 2<<30), PlainLayout(Handle), Thresholds{}, Options{})
	if err == nil || z.read > 2<<20 {
		t.Errorf("%v after %d bytes", err, z.read)
	}
}

type repeated struct {
	line []byte
	read int64
}

func (r *repeated) Read(p []byte) (int, error) {
	n := copy(p, r.line[r.read%int64(len(r.line)):])
	r.read += int64(n)
	return n, nil
}

func TestWideFilesAreRead(t *testing.T) {
	var b strings.Builder
	b.WriteString("time_s")
	for i := range 600 {
		fmt.Fprintf(&b, ",other_%d", i)
	}
	b.WriteString(",angle_deg,force_n\n")
	filler := strings.Repeat(",123.456", 600)
	for _, s := range sculler().record(10, disturbance{hz: 50}) {
		fmt.Fprintf(&b, "%.3f%s,%.3f,%.3f\n", s.t, filler, s.angle/deg, s.force)
	}
	p, err := Detect([]byte(b.String()))
	if err != nil || !readable(&p) {
		t.Fatal(err, p.Missing)
	}
	r, err := Analyse(context.Background(), strings.NewReader(b.String()), p.Mapping, Thresholds{}, Options{})
	if err != nil || r.Oars[0].Count != 4 {
		t.Error(err, r.Oars[0].Count)
	}
}

func TestDetectRefusesWhatIsNoTable(t *testing.T) {
	for name, text := range map[string]string{"a PDF": "%PDF-1.4\n", "zeros": strings.Repeat("\x00", 1<<20), "prose": "The crew rowed well.\nThen it rained.\n", "nothing": "", "one column": "1\n2\n3\n"} {
		if p, err := Detect([]byte(text)); err == nil {
			t.Errorf("%s: %+v", name, p)
		}
	}
}

func TestWrongMappingsNameTheirField(t *testing.T) {
	angle, force, time := Column{Index: 1, Quantity: OarAngle, Unit: Degree}, Column{Index: 2, Quantity: Force, Unit: Newton}, Column{Unit: Second}
	for name, c := range map[string]struct {
		m     Mapping
		field string
	}{
		"separator":     {Mapping{Separator: 'x'}, "separator"},
		"header":        {Mapping{Separator: ',', HeaderLines: -1}, "header_lines"},
		"no time":       {Mapping{Separator: ',', Columns: []Column{angle, force}}, "columns"},
		"no force":      {Mapping{Separator: ',', Columns: []Column{time, angle}}, "columns"},
		"no oar":        {Mapping{Separator: ',', Columns: []Column{time}}, "columns"},
		"twice":         {Mapping{Separator: ',', Columns: []Column{time, angle, force, force}}, "columns"},
		"unit":          {Mapping{Separator: ',', Columns: []Column{{Quantity: Force, Unit: Degree}}}, "columns[0].unit"},
		"unknown unit":  {Mapping{Separator: ',', Columns: []Column{{Quantity: Force, Unit: 99}}}, "columns[0].unit"},
		"quantity":      {Mapping{Separator: ',', Columns: []Column{{Quantity: 99}}}, "columns[0].quantity"},
		"index":         {Mapping{Separator: ',', Columns: []Column{{Index: -1, Unit: Second}}}, "columns[0].index"},
		"side":          {Mapping{Separator: ',', Columns: []Column{{Quantity: Force, Unit: Newton, Side: 7}}}, "columns[0].side"},
		"seat of time":  {Mapping{Separator: ',', Columns: []Column{{Unit: Second, Seat: "1"}}}, "columns[0].seat"},
		"site":          {Mapping{Separator: ',', Force: 5, Columns: []Column{time, angle, force}}, "force_at"},
		"no site":       {Mapping{Separator: ',', Columns: []Column{time, angle, force}}, "force_at"},
		"zero twice":    {Mapping{Separator: ',', Zeros: []Zero{{}, {}}}, "zeros[1].oar"},
		"angle zero":    {Mapping{Separator: ',', Zeros: []Zero{{Angle: 200 * rigging.Degree}}}, "zeros[0].angle_deg"},
		"force zero":    {Mapping{Separator: ',', Zeros: []Zero{{Force: math.NaN()}}}, "zeros[0].force_n"},
		"sample rate":   {Mapping{Separator: ',', SampleRate: 1e9}, "sample_rate"},
		"seat two ways": {Mapping{Separator: ',', Columns: []Column{time, {Index: 3, Quantity: SeatName}, {Index: 1, Quantity: OarAngle, Unit: Degree, Seat: "1"}}}, "columns"},
	} {
		var field *rigging.FieldError
		if err := c.m.Validate(); !errors.As(err, &field) || field.Place.String() != c.field {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := PlainLayout(Gate).Validate(); err != nil {
		t.Error(err)
	}
}

func TestWrongThresholdsNameTheirField(t *testing.T) {
	for field, th := range map[string]Thresholds{
		"thresholds":               {Basis: 9},
		"thresholds.catch_n":       {Basis: ByForce, Release: 100},
		"thresholds.release_n":     {Basis: ByForce, Catch: 150, Release: -1},
		"thresholds.rower_oars":    {Basis: ByForce, Catch: 150, Release: 100, RowerOars: 3},
		"thresholds.share_of_peak": {Basis: ByShare, Share: 30},
		"thresholds.covered_deg":   {Basis: ByDepth, Covered: 3 * rigging.Degree},
	} {
		var got *rigging.FieldError
		if err := th.Validate(); !errors.As(err, &got) || got.Place.String() != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// Whatever the bytes are, the parser answers with a report or an error, and a
// report accounts for every row.
func FuzzAnalyse(f *testing.F) {
	f.Add([]byte(goodFile()[:2000]))
	for name, l := range layouts {
		if name == "comma" || name == "decimal comma" || name == "unit row" {
			f.Add([]byte(l.write(sculler().record(3, disturbance{hz: 20}))))
		}
	}
	f.Add([]byte(writeCurves("angle_deg,force_1_kgf,force_2_kgf\n", ",", -60, 40, 12, 9.80665)))
	f.Add([]byte("0,1,2\n1e308,1,2\n-1e308,3,4\n,,\n\"\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		for _, m := range mappingsFor(text) {
			r, err := Analyse(context.Background(), bytes.NewReader(text), m, at30, Options{Levers: scullLevers})
			if err == nil {
				checkSound(t, r)
			}
		}
		if c, err := ReadCurves(text, None); err == nil {
			checkCurves(t, &c)
		}
	})
}

// mappingsFor is Thole's own layout and what is detected.
func mappingsFor(text []byte) []Mapping {
	followed := PlainLayout(Handle)
	followed.Zeros = []Zero{{FollowRest: true, Angle: -3 * rigging.Degree, Force: 20}}
	maps := []Mapping{PlainLayout(Gate), followed}
	if p, err := Detect(text); err == nil && readable(&p) {
		maps = append(maps, p.Mapping)
	}
	return maps
}

func checkCurves(t *testing.T, c *CurveTable) {
	t.Helper()
	if len(c.Curves) == 0 || c.Catch > c.Finish {
		t.Fatalf("%+v", c)
	}
	for _, curve := range c.Curves {
		for _, v := range curve.Force {
			if v != v {
				t.Fatal("NaN in a mean curve")
			}
		}
	}
}

func checkSound(t *testing.T, r *Report) {
	t.Helper()
	if r.Refused.Count > r.Rows || len(r.Oars) == 0 {
		t.Fatalf("%+v", r)
	}
	for _, o := range r.Oars {
		for f, s := range o.Features {
			if s.Mean != s.Mean || s.SD != s.SD || s.N > o.Count {
				t.Fatalf("%v: %+v", Feature(f), s)
			}
		}
		count := 0
		for _, g := range o.Rates {
			count += g.Count
			for f, s := range g.Features {
				if s.Mean != s.Mean || s.SD != s.SD || s.N > g.Count {
					t.Fatalf("%v: %+v", Feature(f), s)
				}
			}
		}
		if count != o.Count {
			t.Fatalf("%d strokes in groups of %d", count, o.Count)
		}
		for _, q := range o.Questions {
			if q.Measured != q.Measured || q.Proposed != q.Proposed || len(q.Field) == 0 || q.Text == "" {
				t.Fatalf("%+v", q)
			}
		}
		for i := range Nodes {
			if v := o.Curve.ByAngle.Mean[i] + o.Curve.ByTime.SD[i]; v != v {
				t.Fatal("NaN in a curve")
			}
		}
	}
}
