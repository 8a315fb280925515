package strokefile

import (
	"bytes"
	"context"
	"errors"
	"io"
	"slices"

	"thole/api/jobs"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/stroke"
)

// StrokeMapping says how a file of measurements is read.
type StrokeMapping struct {
	Separator    string         `json:"separator" validate:"required,oneof=comma semicolon tab bar blanks"`
	DecimalComma bool           `json:"decimal_comma"`
	HeaderLines  int            `json:"header_lines" validate:"gte=0,lte=100000" description:"Lines before the first row of measurements."`
	Width        int            `json:"width" validate:"gte=0,lte=4096" description:"Cells of a row; without it, as in the first row."`
	Columns      []StrokeColumn `json:"columns" validate:"required,max=4096"`
	Force        string         `json:"force" validate:"omitempty,oneof=handle gate" description:"Where the force was measured; empty in a proposal. It has to be said: the same reading is a third less work at the gate, and no file tells."`
	SampleRateHz float64        `json:"sample_rate_hz" validate:"gte=0,lte=1000" description:"Where no column holds the time."`
	Zeros        []StrokeZero   `json:"zeros" validate:"omitempty,max=64" description:"Of sensors that do not read 0 where they should."`
}

// StrokeZero is what the sensors of an oar read where they should read 0; it is
// taken off every reading.
type StrokeZero struct {
	Seat       string  `json:"seat,omitempty" validate:"omitempty,max=80" description:"As the file calls it; left out with the side: every oar without a zero of its own."`
	Side       string  `json:"side,omitempty" validate:"omitempty,oneof=port starboard"`
	AngleDeg   float64 `json:"angle_deg,omitempty" validate:"gte=-180,lte=180" description:"Read with the oar square to the hull, positive towards the finish."`
	ForceN     float64 `json:"force_n,omitempty" validate:"gte=-5000,lte=5000" description:"Read with the oar at rest."`
	FollowRest bool    `json:"follow_rest,omitempty" description:"The zero of force drifts: it is taken again from each recovery."`
}

// StrokeColumn says what one column holds; columns that are not named are
// passed over.
type StrokeColumn struct {
	Index    int    `json:"index" validate:"required,gte=0,lte=4096" description:"From 0."`
	Quantity string `json:"quantity" validate:"required,oneof=time oar_angle force vertical_angle boat_speed seat side"`
	Unit     string `json:"unit" validate:"omitempty,oneof=s ms clock deg rad n kgf lbf m_s km_h" description:"Left out for seat and side."`
	Seat     string `json:"seat" validate:"omitempty,max=80" description:"Whose oar it is, where no column tells the seat."`
	Side     string `json:"side" validate:"omitempty,oneof=port starboard" description:"Which oar of a sculler."`
	Negate   bool   `json:"negate" description:"The file has the opposite sign."`
}

// StrokeThresholds say from where to where a blade counts as working: by
// force, by share of the stroke's peak, or by the blade's depth.
type StrokeThresholds struct {
	CatchN      *float64 `json:"catch_n" validate:"omitempty,gte=1,lte=2000" description:"Force at the catch, as measured; together with release_n."`
	ReleaseN    *float64 `json:"release_n" validate:"omitempty,gte=1,lte=2000" description:"Force at the release, as measured; together with catch_n."`
	RowerOars   int      `json:"rower_oars" validate:"gte=0,lte=2" description:"Whose forces catch_n and release_n are: 0 that of each oar, 1 or 2 that of a rower with so many oars, split evenly."`
	ShareOfPeak *float64 `json:"share_of_peak" validate:"omitempty,gte=0.01,lte=0.95" description:"Share of the stroke's peak force, 0 to 1."`
	CoveredDeg  *float64 `json:"covered_deg" validate:"omitempty,gte=-20,lte=0" description:"Vertical angle below which the blade is covered; alone it is the threshold."`
}

// OarLevers are the two arms of an oar about the pin; they give work and
// power.
type OarLevers struct {
	InCm  float64 `json:"in_cm" validate:"required,gte=50,lte=150" description:"Pin to the middle of the hands."`
	OutCm float64 `json:"out_cm" validate:"gte=0,lte=300" description:"Pin to the middle of the blade; needed where the force was measured at the gate."`
}

// AnalyseStrokesRequest says how to read and measure a file.
type AnalyseStrokesRequest struct {
	Mapping    *StrokeMapping    `json:"mapping,omitempty" description:"Without it, as detected, where that is certain."`
	Force      string            `json:"force,omitempty" validate:"omitempty,oneof=handle gate" description:"Where the force was measured; needed where the mapping is left out."`
	Thresholds *StrokeThresholds `json:"thresholds,omitempty" description:"Without it, 30 % of each stroke's own peak."`
	Levers     *OarLevers        `json:"levers,omitempty" description:"Without it, no work and no power."`
}

// StrokeReport is what one file gave.
type StrokeReport struct {
	Bytes      int64            `json:"bytes"`
	Rows       int64            `json:"rows"`
	Refused    RefusedRows      `json:"refused"`
	Thresholds StrokeThresholds `json:"thresholds" description:"That every slip refers to."`
	Threshold  string           `json:"threshold" description:"The same in words, to be printed with every slip."`
	Day        string           `json:"day" description:"YYYY-MM-DD as the time stamps tell it; empty where they do not."`
	Force      string           `json:"force" enum:"handle,gate"`
	Seats      []StrokeSeat     `json:"seats"`
	Warnings   []StrokeWarning  `json:"warnings"`
	Mapping    StrokeMapping    `json:"mapping" description:"As used."`
	Levers     *OarLevers       `json:"levers,omitempty" description:"As used."`
}

// RefusedRows counts the rows of which something could not be used.
type RefusedRows struct {
	Count   int64            `json:"count"`
	ByFault map[string]int64 `json:"by_fault"`
	Listed  []RefusedRow     `json:"listed" description:"The first of them."`
}

// RefusedRow is one of them.
type RefusedRow struct {
	Line   int64  `json:"line"`
	Fault  string `json:"fault"`
	Reason string `json:"reason"`
}

// StrokeWarning is something to look at before trusting a result.
type StrokeWarning struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// StrokeSeat is one rower: one oar in sweep, two in sculling.
type StrokeSeat struct {
	Seat   string      `json:"seat"`
	PowerW *float64    `json:"power_w" description:"Of all hands together; left out without levers."`
	CurveN []float64   `json:"curve_n" description:"Mean force of all hands over the arc, 101 nodes from catch to finish."`
	Oars   []StrokeOar `json:"oars"`
}

// StrokeOar is what one oar did.
type StrokeOar struct {
	Side         string                   `json:"side"`
	Samples      int64                    `json:"samples"`
	Missing      int64                    `json:"missing" description:"Rows without angle or force."`
	Spikes       int64                    `json:"spikes" description:"Single samples left out because no oar moves so fast."`
	SampleRateHz float64                  `json:"sample_rate_hz" description:"Samples a second of one oar."`
	Strokes      int                      `json:"strokes"`
	LeftOut      LeftOutStrokes           `json:"left_out"`
	Features     map[string]FeatureResult `json:"features"`
	Curve        StrokeCurve              `json:"curve"`
	Rates        []StrokeRate             `json:"rates" description:"The same by rate, the slowest first; one where the rate was steady. A mean over 18 and 38 a minute is that of a stroke nobody rowed."`
	List         StrokeList               `json:"list" nullable:"false" description:"Each stroke; cut short in very long files."`
	Warnings     []StrokeWarning          `json:"warnings"`
	Questions    []StrokeQuestion         `json:"questions" description:"About the zeros of its sensors, to be answered in the mapping."`
}

// StrokeRate is the strokes of an oar that were rowed at about one rate.
type StrokeRate struct {
	FromPerMin float64                  `json:"from_per_min" description:"From which the rate goes on."`
	ToPerMin   float64                  `json:"to_per_min" description:"Below which the rate stays."`
	Strokes    int                      `json:"strokes"`
	Features   map[string]FeatureResult `json:"features"`
	Curve      StrokeCurve              `json:"curve"`
}

// StrokeQuestion is something that only the user can answer, with what the file
// says about it.
type StrokeQuestion struct {
	Kind     string   `json:"kind" enum:"site,unit,angle_zero,force_zero,force_drift"`
	Seat     string   `json:"seat"`
	Side     string   `json:"side" enum:",port,starboard"`
	Field    string   `json:"field" description:"Of the mapping, that answers it."`
	Line     int64    `json:"line" description:"Of the file, from 1; 0 for none."`
	Column   int      `json:"column" description:"Of the file, from 1; 0 for none."`
	Text     string   `json:"text"`
	Measured float64  `json:"measured" description:"What raised the question: degrees for an angle, N for a force."`
	Proposed float64  `json:"proposed" description:"Put to you for the field: degrees for an angle, N for a force; 0 where there is none."`
	Units    []string `json:"units" description:"Those that are possible, the likeliest first, for unit."`
}

// LeftOutStrokes counts the cycles that are no strokes, by reason.
type LeftOutStrokes struct {
	Partial int `json:"partial"`
	Pause   int `json:"pause"`
	Fast    int `json:"fast"`
	Short   int `json:"short"`
	Gap     int `json:"gap"`
	NoLoad  int `json:"no_load"`
	ByHand  int `json:"by_hand" description:"As somebody chose: see the marks."`
}

// FeatureResult is the mean and standard deviation of a feature over strokes.
type FeatureResult struct {
	N    int     `json:"n"`
	Mean float64 `json:"mean" description:"In the unit of the feature's name."`
	SD   float64 `json:"sd" description:"In the unit of the feature's name."`
}

// StrokeCurve is the mean force over the drive, by angle and by time.
type StrokeCurve struct {
	Strokes   int       `json:"strokes"`
	AngleMean []float64 `json:"by_angle_mean_n"`
	AngleSD   []float64 `json:"by_angle_sd_n"`
	TimeMean  []float64 `json:"by_time_mean_n"`
	TimeSD    []float64 `json:"by_time_sd_n"`
}

// StrokeValues are the features of one stroke; what a stroke does not have is
// left out.
type StrokeValues struct {
	StartS   float64       `json:"start_s"`
	Features FeatureValues `json:"features"`
}

// StrokeList lists strokes in the order they were rowed.
type StrokeList []StrokeValues

// FeatureValues holds the features of one stroke by name. A file has tens of
// thousands of strokes, so that they are no map.
type FeatureValues struct {
	known  uint64 // bit i: features[i] has a value
	values [stroke.FeatureCount]float64
}

// StrokeProposal is what a file seems to hold.
type StrokeProposal struct {
	Mapping      StrokeMapping    `json:"mapping"`
	Header       []string         `json:"header"`
	Preview      [][]string       `json:"preview"`
	Seats        []string         `json:"seats" description:"Oars seen in the beginning of the file."`
	SampleRateHz float64          `json:"sample_rate_hz" description:"Samples a second of one oar."`
	Ready        bool             `json:"ready"`
	Missing      string           `json:"missing" description:"What has to be pointed out first."`
	Day          string           `json:"day" description:"YYYY-MM-DD as the time stamps tell it; empty where they do not."`
	Curves       int              `json:"curves" description:"Mean curves, where the file holds those and no recording: import them at /api/v1/curves."`
	Warnings     []StrokeWarning  `json:"warnings"`
	Questions    []StrokeQuestion `json:"questions" description:"That you are to answer before the mapping is used."`
}

// detect proposes how to read a file from its beginning. The error is
// an *Unreadable.
func detect(beginning []byte) (StrokeProposal, error) {
	p, err := stroke.Detect(beginning)
	if err != nil {
		return StrokeProposal{}, ReadingError(err)
	}
	w := StrokeProposal{
		Mapping: WireMapping(&p.Mapping), Header: p.Header, Preview: p.Preview, SampleRateHz: wire.Round(p.SampleRate, 100),
		Ready: p.Ready, Missing: p.Missing, Day: p.Day.String(), Warnings: WireWarnings(p.Warnings), Questions: wireQuestions(p.Questions), Seats: []string{},
	}
	if p.Curves != nil {
		w.Curves = len(p.Curves.Curves)
	}
	if w.Header == nil {
		w.Header = []string{}
	}
	for _, o := range p.Oars {
		w.Seats = append(w.Seats, o.String())
	}
	return w, nil
}

// AnalyseStrokes reads a file and measures its strokes, telling its progress
// in bytes. The error is an *Invalid, an *Unreadable or the context's.
func (s *Service) AnalyseStrokes(ctx context.Context, r AnalyseStrokesRequest, file io.Reader) (StrokeReport, error) {
	report, mapping, err := Analyse(ctx, &r, file, 0, nil)
	if err != nil {
		return StrokeReport{}, err
	}
	return wireReport(report, mapping, r.Levers), nil
}

// Analyse runs the analysis of a file of a size, 0 while not known;
// samples, where not nil, receives the cleaned samples.
func Analyse(ctx context.Context, r *AnalyseStrokesRequest, file io.Reader, size int64, samples func(stroke.Oar, stroke.Block) error) (*stroke.Report, stroke.Mapping, error) {
	mapping, file, err := r.mapping(file)
	if err != nil {
		return nil, mapping, err
	}
	thresholds, err := r.Thresholds.Domain()
	if err != nil {
		return nil, mapping, err
	}
	options := stroke.Options{Samples: samples, Levers: r.Levers.ByOar()}
	if err := r.Levers.Check(mapping.Force); err != nil {
		return nil, mapping, err
	}
	tell := jobs.Progress(ctx)
	options.Progress = func(bytes int64) { tell(bytes, size) }
	report, err := stroke.Analyse(ctx, file, mapping, thresholds, options)
	return report, mapping, ReadingError(err)
}

// mapping returns the stated mapping, or the detected one where that is
// certain, with a reader of the whole file.
func (r *AnalyseStrokesRequest) mapping(file io.Reader) (stroke.Mapping, io.Reader, error) {
	if r.Mapping != nil {
		m, err := r.Mapping.mapping()
		return m, file, err
	}
	sample, err := io.ReadAll(io.LimitReader(file, stroke.SampleSize))
	if err != nil {
		return stroke.Mapping{}, nil, err
	}
	p, err := stroke.Detect(sample)
	if err != nil {
		return stroke.Mapping{}, nil, ReadingError(err)
	}
	if site, ok := forceSites[r.Force]; ok {
		p.Answer(site)
	}
	if !p.Ready {
		return stroke.Mapping{}, nil, unready(&p)
	}
	return p.Mapping, io.MultiReader(bytes.NewReader(sample), file), nil
}

// unready names what a proposal lacks: the site of the force, or how to read
// the file.
func unready(p *stroke.Proposal) error {
	answered := *p
	answered.Questions = slices.Clone(p.Questions)
	if answered.Answer(stroke.Handle); answered.Ready {
		return wire.At("force").Invalid(wire.Sentence(p.Missing))
	}
	return wire.At("mapping").Invalid("Say how to read the file: " + p.Missing)
}

// ReadingError carries an error of the analysis over to the edge.
func ReadingError(err error) error {
	var file *stroke.FileError
	if errors.As(err, &file) {
		return &wire.Unreadable{Text: wire.Sentence(file.Error())}
	}
	return wire.DomainError(err)
}

// Names on the wire of what the domain counts. Both ways are read off one
// table each.
var (
	separators = map[string]byte{"comma": ',', "semicolon": ';', "tab": '\t', "bar": '|', "blanks": ' '}
	quantities = map[string]stroke.Quantity{
		"time": stroke.Time, "oar_angle": stroke.OarAngle, "force": stroke.Force, "vertical_angle": stroke.VerticalAngle,
		"boat_speed": stroke.BoatSpeed, "seat": stroke.SeatName, "side": stroke.SideName,
	}
	strokeUnits = map[string]stroke.Unit{
		"": stroke.None, "s": stroke.Second, "ms": stroke.Millisecond, "clock": stroke.Clock, "deg": stroke.Degree, "rad": stroke.Radian,
		"n": stroke.Newton, "kgf": stroke.KilogramForce, "lbf": stroke.PoundForce, "m_s": stroke.MetrePerSecond, "km_h": stroke.KilometrePerHour,
	}
	forceSites = map[string]stroke.Site{"handle": stroke.Handle, "gate": stroke.Gate}
)

// SiteOf reads where the force of a recording was measured: the handle in those
// that do not say, as they were measured.
func SiteOf(name string) stroke.Site {
	if site, ok := forceSites[name]; ok {
		return site
	}
	return stroke.Handle
}

// nameOf returns the wire name of a value; no two names of a table have the same.
func nameOf[V comparable](names map[string]V, value V) string {
	for name, v := range names {
		if v == value {
			return name
		}
	}
	return ""
}

// choose looks a name up and complains where it is not known.
func choose[V any](p *wire.Problems, at wire.Place, name string, names map[string]V) V {
	v, ok := names[name]
	if !ok {
		p.Add(at.Problem("“" + name + "” is not known here."))
	}
	return v
}

func (m *StrokeMapping) mapping() (stroke.Mapping, error) {
	var p wire.Problems
	d := stroke.Mapping{
		Separator: choose(&p, wire.At("mapping", "separator"), m.Separator, separators), DecimalComma: m.DecimalComma,
		HeaderLines: m.HeaderLines, Width: m.Width, SampleRate: m.SampleRateHz,
	}
	if m.Force != "" {
		d.Force = choose(&p, wire.At("mapping", "force"), m.Force, forceSites)
	}
	for i, z := range m.Zeros {
		side, ok := rigging.ParseSide(z.Side)
		if !ok && z.Side != "" {
			p.Add(wire.At("mapping", "zeros").Item(i).Name("side").Problem("Say port or starboard."))
		}
		d.Zeros = append(d.Zeros, stroke.Zero{Oar: stroke.Oar{Seat: z.Seat, Side: side}, Angle: wire.FromDeg(z.AngleDeg), Force: z.ForceN, FollowRest: z.FollowRest})
	}
	for i, c := range m.Columns {
		at := wire.At("mapping", "columns").Item(i)
		side, ok := rigging.ParseSide(c.Side)
		if !ok && c.Side != "" {
			p.Add(at.Name("side").Problem("Say port or starboard."))
		}
		d.Columns = append(d.Columns, stroke.Column{
			Index: c.Index, Quantity: choose(&p, at.Name("quantity"), c.Quantity, quantities),
			Unit: choose(&p, at.Name("unit"), c.Unit, strokeUnits), Seat: c.Seat, Side: side, Negate: c.Negate,
		})
	}
	if err := p.OrNil(); err != nil {
		return d, err
	}
	p.AddError(wire.At("mapping"), d.Validate(), wire.Names{"force_at": {"force"}})
	p.Check(wire.At("mapping"), m)
	return d, p.OrNil()
}

// WireMapping returns a mapping as it stands on the wire.
func WireMapping(m *stroke.Mapping) StrokeMapping {
	w := StrokeMapping{
		Separator: nameOf(separators, m.Separator), DecimalComma: m.DecimalComma, HeaderLines: m.HeaderLines,
		Width: m.Width, Force: nameOf(forceSites, m.Force), SampleRateHz: m.SampleRate, Columns: []StrokeColumn{}, Zeros: []StrokeZero{},
	}
	for _, c := range m.Columns {
		w.Columns = append(w.Columns, StrokeColumn{
			Index: c.Index, Quantity: nameOf(quantities, c.Quantity), Unit: nameOf(strokeUnits, c.Unit),
			Seat: c.Seat, Side: c.Side.String(), Negate: c.Negate,
		})
	}
	for _, z := range m.Zeros {
		w.Zeros = append(w.Zeros, StrokeZero{Seat: z.Oar.Seat, Side: z.Oar.Side.String(), AngleDeg: wire.ToDeg(z.Angle), ForceN: z.Force, FollowRest: z.FollowRest})
	}
	return w
}

// Domain returns the thresholds as the analysis takes them: where nothing is stated, a
// share of each stroke's own peak.
func (t *StrokeThresholds) Domain() (stroke.Thresholds, error) {
	var d stroke.Thresholds
	if t == nil {
		return d, nil
	}
	var p wire.Problems
	if p.Check(wire.At("thresholds"), t); len(p.Fields) > 0 {
		return d, p.OrNil()
	}
	if t.CoveredDeg != nil {
		d.Covered = -wire.DegKnown(wire.Ptr(-*t.CoveredDeg)) // 0° can be stated too
	}
	newtons := t.CatchN != nil || t.ReleaseN != nil
	switch {
	case t.ShareOfPeak != nil && newtons:
		return d, wire.At("thresholds").Invalid("Measure slip by force or by share of the peak, not by both.")
	case t.RowerOars != 0 && !newtons:
		return d, wire.At("thresholds", "rower_oars").Invalid("This goes with forces in N: a share of the peak is that of each oar.")
	case t.ShareOfPeak != nil:
		d.Share = *t.ShareOfPeak
	case newtons:
		d.Basis, d.Catch, d.Release, d.RowerOars = stroke.ByForce, wire.Or(t.CatchN, 0), wire.Or(t.ReleaseN, 0), t.RowerOars
	case t.CoveredDeg != nil:
		d.Basis = stroke.ByDepth
	}
	return d, ReadingError(d.Validate())
}

// WireThresholds returns thresholds as they stand on the wire.
func WireThresholds(t stroke.Thresholds) StrokeThresholds {
	var w StrokeThresholds
	switch t.Basis {
	case stroke.ByShare:
		w.ShareOfPeak = wire.Ptr(t.Share)
		if t.Share == 0 {
			w.ShareOfPeak = wire.Ptr(stroke.DefaultShare)
		}
	case stroke.ByForce:
		w.CatchN, w.ReleaseN, w.RowerOars = wire.Ptr(t.Catch), wire.Ptr(t.Release), t.RowerOars
	default:
		w.CoveredDeg = wire.Ptr(wire.ToDeg(t.Covered))
		if t.Covered == 0 {
			w.CoveredDeg = wire.Ptr(wire.ToDeg(stroke.DefaultCovered))
		}
	}
	return w
}

// Check complains about arms that no oar has (common practice: 70 to 125 cm
// inside the pin, 150 to 270 cm outside), and about a missing one.
func (l *OarLevers) Check(force stroke.Site) error {
	if l == nil {
		return nil
	}
	var p wire.Problems
	p.Check(wire.At("levers"), l)
	if l.OutCm != 0 || force == stroke.Gate { // 0 is an arm that nobody asked for
		p.Within(wire.At("levers", "out_cm"), rigging.Length, &l.OutCm, 100, 300)
	}
	return p.OrNil()
}

// ByOar returns the arms of each oar, which are the same for all; nil for none.
func (l *OarLevers) ByOar() func(stroke.Oar) stroke.Levers {
	if l == nil {
		return nil
	}
	levers := stroke.Levers{In: wire.FromCm(l.InCm), Out: wire.FromCm(l.OutCm)}
	return func(stroke.Oar) stroke.Levers { return levers }
}
