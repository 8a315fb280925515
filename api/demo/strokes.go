package demo

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"

	"thole/api/records"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/selection/stroke"
)

// demoRower is an athlete of the demo club whose strokes were measured. The
// strokes are made up, with the habit that the name of each stands for here.
type demoRower struct {
	athlete int // in demoAthletes
	boat    string
	seat    string
	oars    []demoOar
}

// demoOar is how one oar goes.
type demoOar struct {
	side          string  // of a sculler
	catch, finish float64 // degrees
	peak, place   float64 // N at the handle; share of the arc
	missed, early float64 // shares of the arc without force at catch and release
	depth         float64 // degrees
	rate          float64 // strokes a minute
	scatter       float64 // how uneven, 1 as most
}

var demoRowers = []demoRower{
	{9, "Marl", "1", []demoOar{{"", -54, 33, 720, 0.42, 0.05, 0.05, -6.5, 30, 0.9}}},
	{6, "Marl", "2", []demoOar{{"", -56, 34, 810, 0.40, 0.04, 0.04, -6, 30, 0.7}}},
	{7, "Marl", "3", []demoOar{{"", -53, 33, 760, 0.47, 0.07, 0.05, -7, 30, 1.1}}},
	{8, "Marl", "4", []demoOar{{"", -55, 32, 690, 0.39, 0.05, 0.07, -6, 30, 1}}},
	{5, "Old Friday", "2", []demoOar{{"", -50, 32, 480, 0.52, 0.10, 0.06, -9.5, 28, 1.4}}},
	{1, "Old Friday", "3", []demoOar{{"", -52, 33, 520, 0.45, 0.06, 0.05, -6.5, 28, 0.8}}},
	{0, "Old Friday", "4", []demoOar{{"", -54, 33, 560, 0.41, 0.04, 0.04, -6, 28, 0.7}}},
	{4, "Wren", "1", []demoOar{
		{"port", -65, 43, 290, 0.43, 0.05, 0.05, -6, 29, 0.8}, {"starboard", -64, 42, 275, 0.45, 0.06, 0.05, -6.5, 29, 0.9},
	}},
}

// demoEarlier is an earlier outing of one of demoRowers: what was different then.
type demoEarlier struct {
	rower, ago    int     // in demoRowers; days ago
	catch         float64 // degrees less reach
	missed, early float64 // more of the arc without force
	peak          float64 // N less
	rate          float64 // strokes a minute; 0 as now
	note          string
}

// demoEarliers hold half a year of one rower, whose catch gets better, and the
// rest of his crew and a sculler on one day a month ago.
var demoEarliers = []demoEarlier{
	{rower: 0, ago: 185, catch: 2.4, missed: 0.050, peak: 70, note: "First outing with the gates."},
	{rower: 0, ago: 130, catch: 0.6, missed: 0.044, peak: 62},
	{rower: 0, ago: 90, catch: 0.9, missed: 0.030, peak: 30},
	{rower: 0, ago: 62, catch: -0.3, missed: 0.026, peak: 26},
	{rower: 0, ago: 48, catch: 1.5, missed: 0.012, peak: 150, rate: 22, note: "Light work."},
	{rower: 0, ago: 34, catch: 0.2, missed: 0.018, peak: 12},
	{rower: 1, ago: 34, catch: 0.3, peak: -8},
	{rower: 2, ago: 34, catch: -0.4, missed: 0.030},
	{rower: 3, ago: 34, catch: 0.2, early: 0.030, peak: 25},
	{rower: 7, ago: 34, catch: 1.8, missed: 0.024, peak: 14},
}

// then is the rower as he or she rowed at an earlier outing.
func (e *demoEarlier) then() demoRower {
	r := demoRowers[e.rower]
	oars := make([]demoOar, len(r.oars))
	for i, o := range r.oars {
		o.catch += e.catch
		o.missed, o.early, o.peak = o.missed+e.missed, o.early+e.early, o.peak-e.peak
		if e.rate != 0 {
			o.rate = e.rate
		}
		oars[i] = o
	}
	r.oars = oars
	return r
}

// The demo's files: 30 strokes and a little before and behind, 50 rows a
// second, as a force logger on the handle writes them.
const (
	demoStrokes = 30
	demoHz      = 50
	demoDrive   = 0.45 // of the cycle
)

// strokes puts a measured outing of eight athletes on record, and earlier ones of
// some.
func (d *demo) strokes(ctx context.Context) error {
	boats, err := d.service.fleet.Boats(ctx, records.ListRequest{})
	if err != nil {
		return err
	}
	ids := map[string]int64{}
	for _, b := range boats.Boats {
		ids[b.Name] = b.ID
	}
	for i := range demoRowers {
		if err := d.outing(ctx, &demoRowers[i], ids, uint64(i), 6, ""); err != nil {
			return err
		}
	}
	for i := range demoEarliers {
		e := &demoEarliers[i]
		r := e.then()
		if err := d.outing(ctx, &r, ids, uint64(len(demoRowers)+i), e.ago, e.note); err != nil {
			return err
		}
	}
	return nil
}

// outing keeps the strokes of one rower on one day.
func (d *demo) outing(ctx context.Context, r *demoRower, boats map[string]int64, seed uint64, ago int, note string) error {
	if note == "" {
		note = "Steady rowing."
	}
	ask := &strokes.KeepStrokesRequest{
		Mapping: demoMapping(len(r.oars) == 2), Levers: &strokefile.OarLevers{InCm: 99}, MappingName: "", RecordedOn: d.day(ago), BoatID: wire.Ptr(boats[r.boat]),
		Note: note + " Made up for the demo.", Seats: []strokes.KeptSeat{{Seat: r.seat, AthleteID: wire.Ptr(d.ids[r.athlete])}},
	}
	if len(r.oars) == 2 {
		ask.Levers.InCm = 84
	}
	text := r.text(seed)
	then := d.ago(ago).strokes
	name := strings.ToLower(strings.ReplaceAll(r.boat, " ", "-")) + "-" + r.seat + ".csv"
	_, err := then.Keep(ctx, &strokes.Keeping{
		Service: then, Ask: ask, Name: name, Size: int64(len(text)),
		Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil },
	})
	if err != nil {
		return fmt.Errorf("demo strokes of seat %s, %s: %w", r.seat, r.boat, err)
	}
	return nil
}

// demoMapping is the plain layout, with the side as its last column for a
// sculler.
func demoMapping(scull bool) *strokefile.StrokeMapping {
	plain := stroke.PlainLayout(stroke.Handle)
	w := strokefile.WireMapping(&plain)
	if scull {
		w.Columns = append(w.Columns, strokefile.StrokeColumn{Index: len(w.Columns), Quantity: "side"})
		w.Width = len(w.Columns)
	}
	return &w
}

// text writes the rower's file.
func (r *demoRower) text(seed uint64) string {
	var b []byte
	b = append(b, stroke.PlainHeader...)
	if len(r.oars) == 2 {
		b = append(b, ",side"...)
	}
	b = append(b, '\n')
	for i := range r.oars {
		b = r.oars[i].write(b, r.seat, rand.New(rand.NewPCG(seed, uint64(i))))
	}
	return string(b)
}

// write appends the rows of one oar: half a recovery, the strokes, and a bit
// of the next.
func (o *demoOar) write(b []byte, seat string, chance *rand.Rand) []byte {
	now := *o
	end, start := 0.0, -30/o.rate
	for i := 0; ; i++ {
		t := float64(i) / demoHz
		for t >= end {
			start, end, now = end, end+60/(o.rate*(1+0.01*o.scatter*chance.NormFloat64())), o.vary(chance)
		}
		if t > (demoStrokes+1.4)*60/o.rate {
			return b
		}
		angle, force, vertical, speed := now.at((t - start) / (end - start))
		b = strconv.AppendFloat(b, t, 'f', 2, 64)
		b = append(append(append(b, ','), seat...), ',')
		for _, v := range [...]float64{angle + 0.08*chance.NormFloat64(), force + 2*chance.NormFloat64(), vertical + 0.06*chance.NormFloat64(), speed} {
			b = append(strconv.AppendFloat(b, v, 'f', 2, 64), ',')
		}
		b = append(append(b[:len(b)-1], o.tail()...), '\n')
	}
}

func (o *demoOar) tail() string {
	if o.side == "" {
		return ""
	}
	return "," + o.side
}

// vary is the oar in one stroke of many.
func (o *demoOar) vary(chance *rand.Rand) demoOar {
	now, s := *o, o.scatter
	now.catch += 0.8 * s * chance.NormFloat64()
	now.finish += 0.5 * s * chance.NormFloat64()
	now.peak *= 1 + 0.03*s*chance.NormFloat64()
	now.missed = max(0.01, now.missed+0.012*s*chance.NormFloat64())
	now.depth += 0.5 * s * chance.NormFloat64()
	return now
}

// at returns degrees, newtons, degrees and metres a second at a share of the
// cycle. The angle runs along half cosines; the force rises and falls as
// u^a·(1−u)^b between the slips, which peaks at the share a/(a+b) of that
// stretch; the boat is slowest after the catch.
func (o *demoOar) at(u float64) (angle, force, vertical, speed float64) {
	speed = 4.4 - 0.45*math.Cos(2*math.Pi*(u-0.12))
	if u >= demoDrive {
		w := (1 + math.Cos(math.Pi*(u-demoDrive)/(1-demoDrive))) / 2
		return o.catch + (o.finish-o.catch)*w, 0, 3 + 0.8*math.Sin(math.Pi*(u-demoDrive)/(1-demoDrive)), speed
	}
	w := (1 - math.Cos(math.Pi*u/demoDrive)) / 2
	down, up := smooth(w/(0.10+2.2*o.missed)), smooth((1-w)/(0.08+2*o.early))
	vertical = 3 + (o.depth-3)*min(down, up)
	if v := (w - o.missed) / (1 - o.missed - o.early); v > 0 && v < 1 {
		p := (o.place - o.missed) / (1 - o.missed - o.early)
		a, c := 2.1*p, 2.1*(1-p)
		force = o.peak * math.Pow(v/p, a) * math.Pow((1-v)/(1-p), c)
	}
	return o.catch + (o.finish-o.catch)*w, force, vertical, speed
}

// smooth runs from 0 to 1 without a kink at either end.
func smooth(x float64) float64 {
	x = min(1, max(0, x))
	return x * x * (3 - 2*x)
}
