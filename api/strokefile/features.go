package strokefile

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"

	"github.com/swaggest/jsonschema-go"

	"thole/api/wire"
	"thole/selection/stroke"
)

// Feature is a measure of a stroke as it stands on the wire.
type Feature struct {
	Of     stroke.Feature
	Name   string
	factor float64 // SI to the unit of the name
	step   float64 // steps to a unit that are kept

	Label, Unit string // how people call it
	Digits      int    // after the point
}

// PerDegree is how many degrees a radian has, by definition.
const PerDegree = 180 / math.Pi

// Features lists the measures of a stroke in the order people read them.
var Features = []Feature{
	{stroke.CatchAngle, "catch_deg", PerDegree, 100, "Catch", "°", 1},
	{stroke.FinishAngle, "finish_deg", PerDegree, 100, "Finish", "°", 1},
	{stroke.Arc, "arc_deg", PerDegree, 100, "Arc", "°", 1},
	{stroke.CatchSlip, "catch_slip_deg", PerDegree, 100, "Catch slip", "°", 1},
	{stroke.ReleaseSlip, "release_slip_deg", PerDegree, 100, "Release slip", "°", 1},
	{stroke.EffectiveArc, "effective_arc_deg", PerDegree, 100, "Effective arc", "°", 1},
	{stroke.Rate, "rate_per_min", 60, 100, "Rate", "a minute", 1},
	{stroke.DriveTime, "drive_time_s", 1, 1e4, "Drive", "s", 2},
	{stroke.Rhythm, "rhythm", 1, 1e4, "Rhythm (drive : recovery)", "", 2},
	{stroke.PeakForce, "peak_n", 1, 100, "Peak force", "N", 0},
	{stroke.PeakAngle, "peak_angle_deg", PerDegree, 100, "Peak stands at", "°", 1},
	{stroke.PeakPlace, "peak_place", 1, 1e4, "Peak, share of the arc", "", 2},
	{stroke.MeanForce, "mean_force_n", 1, 100, "Mean force over the arc", "N", 0},
	{stroke.MeanToPeak, "mean_to_peak", 1, 1e4, "Mean to peak", "", 2},
	{stroke.Work, "work_j", 1, 100, "Work", "J", 0},
	{stroke.Power, "power_w", 1, 100, "Power", "W", 0},
	{stroke.RiseAngle, "rise_deg", PerDegree, 100, "Rise to 70 % of the peak", "°", 1},
	{stroke.RiseTime, "rise_time_s", 1, 1e4, "Rise to 70 %, time", "s", 2},
	{stroke.MeanSpeed, "boat_speed_m_s", 1, 1e4, "Boat speed", "m/s", 2},
	{stroke.Distance, "distance_m", 1, 1e4, "Distance per stroke", "m", 1},
	{stroke.EntryAngle, "entry_deg", PerDegree, 100, "Blade meets the water at", "°", 1},
	{stroke.Depth, "depth_deg", PerDegree, 100, "Depth", "°", 1},
	{stroke.CoverTime, "cover_time_s", 1, 1e4, "To covered, time", "s", 2},
	{stroke.CoverAngle, "cover_deg", PerDegree, 100, "To covered (geometric catch slip)", "°", 1},
	{stroke.DownShare, "down_share", 1, 1e4, "Going down, share of the effective arc", "", 2},
	{stroke.UpShare, "up_share", 1, 1e4, "Coming up, share of the effective arc", "", 2},
	{stroke.Detour, "detour_deg", PerDegree, 100, "Below just covered", "°", 1},
	{stroke.DownUpShare, "down_up_share", 1, 1e4, "Going down or coming up, share of the effective arc", "", 2},
	{stroke.WashOut, "wash_out_deg", PerDegree, 100, "Still pulled after the blade is out", "°", 1},
	{stroke.CarryHeight, "carry_height_cm", 100, 100, "Carried over the water", "cm", 1},
	{stroke.EdgeHeight, "edge_height_cm", 100, 100, "Edge over the water at the catch", "cm", 1},
	{stroke.EntryMoment, "entry_moment_s", 1, 1e4, "Edge meets the water, after the catch", "s", 3},
	{stroke.SinkSpeed, "sink_speed_m_s", 1, 1e4, "Blade sinks at", "m/s", 2},
	{stroke.CoverSpeed, "cover_speed_m_s", 1, 1e4, "Hands when the blade is covered", "m/s", 2},
}

// Wire returns a value of the feature in the unit of its name, rounded.
func (f *Feature) Wire(v float64) float64 { return wire.Round(v*f.factor, f.step) }

func wireReport(r *stroke.Report, m stroke.Mapping, levers *OarLevers) StrokeReport {
	w := StrokeReport{
		Bytes: r.Bytes, Rows: r.Rows, Thresholds: WireThresholds(r.Thresholds), Threshold: r.Thresholds.String(),
		Day: r.Day.String(), Force: r.Force.String(), Seats: []StrokeSeat{}, Warnings: WireWarnings(r.Warnings), Mapping: WireMapping(&m), Levers: levers,
		Refused: RefusedRows{Count: r.Refused.Count, ByFault: map[string]int64{}, Listed: []RefusedRow{}},
	}
	for fault, n := range r.Refused.ByFault {
		w.Refused.ByFault[string(fault)] = n
	}
	for _, row := range r.Refused.Listed {
		w.Refused.Listed = append(w.Refused.Listed, RefusedRow{row.Line, string(row.Fault), row.Reason})
	}
	for _, seat := range r.Seats() {
		w.Seats = append(w.Seats, wireSeat(&seat))
	}
	return w
}

// WireWarnings returns warnings as they stand on the wire.
func WireWarnings(list []stroke.Warning) []StrokeWarning {
	w := []StrokeWarning{}
	for _, one := range list {
		w = append(w, StrokeWarning{Code: one.Code, Text: one.Text})
	}
	return w
}

func wireSeat(s *stroke.Seat) StrokeSeat {
	w := StrokeSeat{Seat: s.Name, CurveN: Rounded(s.Curve, 100)}
	if s.Power > 0 {
		w.PowerW = wire.Ptr(wire.Round(s.Power, 100))
	}
	for _, oar := range s.Oars {
		w.Oars = append(w.Oars, WireOar(oar))
	}
	return w
}

// WireOar returns what one oar did as it stands on the wire.
func WireOar(o *stroke.OarReport) StrokeOar {
	w := StrokeOar{
		Side: o.Oar.Side.String(), Samples: o.Samples, Missing: o.Missing, Spikes: o.Spikes,
		SampleRateHz: wire.Round(o.SampleRate, 100), Strokes: o.Count, LeftOut: LeftOutStrokes(o.LeftOut),
		List: make(StrokeList, 0, len(o.Strokes)), Warnings: WireWarnings(o.Warnings),
		Curve: wireCurve(&o.Curve), Rates: []StrokeRate{}, Questions: wireQuestions(o.Questions),
	}
	w.Features = wireFeatures(&o.Features)
	for i := range o.Rates {
		w.Rates = append(w.Rates, wireRate(&o.Rates[i]))
	}
	for i := range o.Strokes {
		w.List = append(w.List, wireValues(&o.Strokes[i]))
	}
	return w
}

func wireCurve(c *stroke.Curve) StrokeCurve {
	return StrokeCurve{
		Strokes:   c.Strokes,
		AngleMean: Rounded(c.ByAngle.Mean[:], 100), AngleSD: Rounded(c.ByAngle.SD[:], 100),
		TimeMean: Rounded(c.ByTime.Mean[:], 100), TimeSD: Rounded(c.ByTime.SD[:], 100),
	}
}

func wireFeatures(of *[stroke.FeatureCount]stroke.Summary) map[string]FeatureResult {
	w := map[string]FeatureResult{}
	for _, f := range Features {
		if s := of[f.Of]; s.N > 0 {
			w[f.Name] = FeatureResult{N: s.N, Mean: f.Wire(s.Mean), SD: f.Wire(s.SD)}
		}
	}
	return w
}

func wireRate(g *stroke.RateGroup) StrokeRate {
	return StrokeRate{
		FromPerMin: wire.Round(60*g.Low, 100), ToPerMin: wire.Round(60*g.High, 100), Strokes: g.Count,
		Features: wireFeatures(&g.Features), Curve: wireCurve(&g.Curve),
	}
}

// wireQuestions reports what only the user can answer, angles in degrees.
func wireQuestions(list []stroke.Question) []StrokeQuestion {
	w := []StrokeQuestion{}
	for _, q := range list {
		factor := 1.0
		if q.Kind == stroke.AskAngleZero {
			factor = PerDegree
		}
		one := StrokeQuestion{
			Kind: string(q.Kind), Seat: q.Oar.Seat, Side: q.Oar.Side.String(), Field: q.Field.String(), Line: q.Line, Column: q.Column, Text: q.Text,
			Measured: wire.Round(q.Measured*factor, 100), Proposed: wire.Round(q.Proposed*factor, 100), Units: []string{},
		}
		if q.Kind == stroke.AskSite {
			one.Field = "force"
		}
		for _, u := range q.Units {
			one.Units = append(one.Units, nameOf(strokeUnits, u))
		}
		w = append(w, one)
	}
	return w
}

func wireValues(s *stroke.Stroke) StrokeValues {
	w := StrokeValues{StartS: wire.Round(s.Start, 1e4)}
	for i := range Features {
		if v, ok := s.Value(Features[i].Of); ok {
			w.Features.set(i, Features[i].Wire(v))
		}
	}
	return w
}

func (v *FeatureValues) set(i int, value float64) {
	v.known |= 1 << i
	v.values[i] = value
}

// Value returns a feature by its name; ok is false when the stroke does not
// have it.
func (v *FeatureValues) Value(name string) (value float64, ok bool) {
	i := slices.IndexFunc(Features, func(f Feature) bool { return f.Name == name })
	if i < 0 || v.known&(1<<i) == 0 {
		return 0, false
	}
	return v.values[i], true
}

// perStroke is about how many bytes a stroke takes as JSON, by our judgement of samples.
const perStroke = 600

// MarshalJSON writes the list in one piece: a large file has tens of thousands
// of strokes.
func (l StrokeList) MarshalJSON() ([]byte, error) {
	text := append(make([]byte, 0, 2+perStroke*len(l)), '[')
	for i := range l {
		if i > 0 {
			text = append(text, ',')
		}
		text = append(text, `{"start_s":`...)
		text = strconv.AppendFloat(text, l[i].StartS, 'f', -1, 64)
		text = append(text, `,"features":`...)
		text = append(l[i].Features.append(text), '}')
	}
	return append(text, ']'), nil
}

// MarshalJSON writes an object of the features that are known.
func (v FeatureValues) MarshalJSON() ([]byte, error) { return v.append(nil), nil }

func (v *FeatureValues) append(text []byte) []byte {
	open := byte('{')
	for i := range Features {
		if v.known&(1<<i) == 0 {
			continue
		}
		text = append(append(append(text, open, '"'), Features[i].Name...), '"', ':')
		text = strconv.AppendFloat(text, v.values[i], 'f', -1, 64)
		open = ','
	}
	if open == '{' {
		text = append(text, open)
	}
	return append(text, '}')
}

// UnmarshalJSON reads an object of features by name.
func (v *FeatureValues) UnmarshalJSON(text []byte) error {
	named := map[string]float64{}
	if err := json.Unmarshal(text, &named); err != nil {
		return err
	}
	*v = FeatureValues{}
	for i := range Features {
		if value, ok := named[Features[i].Name]; ok {
			v.set(i, value)
		}
	}
	return nil
}

// JSONSchema describes the object.
func (FeatureValues) JSONSchema() (jsonschema.Schema, error) {
	var s, number jsonschema.Schema
	number.WithType(jsonschema.Number.Type())
	s.WithType(jsonschema.Object.Type())
	s.WithAdditionalProperties(number.ToSchemaOrBool())
	return s, nil
}

// Rounded returns the values rounded.
func Rounded(values []float64, perUnit float64) []float64 {
	w := make([]float64, len(values))
	for i, v := range values {
		w[i] = wire.Round(v, perUnit)
	}
	return w
}
