package stroke

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"thole/rigging"
)

// Options are what an analysis can be given besides; the zero value is
// sensible.
type Options struct {
	// Levers returns the levers of an oar; nil, or a zero lever that is
	// needed, leaves work and power out.
	Levers func(Oar) Levers
	// Skip reports whether the stroke of an oar whose catch is at a time, s, is left
	// out as somebody chose; nil leaves none out.
	Skip func(o Oar, start float64) bool
	// Progress is told the bytes read so far, about every quarter megabyte.
	Progress func(bytes int64)
	// Samples receives the cleaned samples of each oar in blocks, ascending
	// in time; an error ends the analysis. Nothing is kept when it is nil.
	// It is called by one goroutine at a time, which need not be the
	// caller's, and not after Analyse has returned.
	Samples func(Oar, Block) error
}

// earlyRows is after how many rows, none of them usable, a file is given up;
// engineering judgement: over a minute at 100 Hz.
const earlyRows = 10_000

// Analyse reads a file as the mapping says and measures its strokes. Memory
// does not grow with the file beyond the strokes listed. A row that cannot be
// used is counted in the report with its reason. Errors: *rigging.FieldError
// for the mapping, the thresholds or a lever, *FileError for a file without a
// single usable row, the context's error when it was cancelled, and errors of
// src and of Samples.
func Analyse(ctx context.Context, src io.Reader, m Mapping, th Thresholds, opt Options) (*Report, error) {
	if err := m.Validate(); err != nil {
		return nil, err
	}
	if err := th.Validate(); err != nil {
		return nil, err
	}
	a := &analysis{mapping: m, thresholds: th, options: opt}
	x, lines, err := a.read(ctx, src)
	if err != nil {
		return nil, err
	}
	r := a.report(x)
	r.Bytes = lines.read
	if lines.hopeless {
		r.warn("stopped", fmt.Sprintf("reading stopped at line %d, which does not end: what follows is not text", lines.number), Place{Line: lines.number})
	}
	return r, a.refused
}

// read takes the whole file through the importer, and the samples through the
// relay, which has measured everything when it returns.
func (a *analysis) read(ctx context.Context, src io.Reader) (x *importer, lines *lineReader, err error) {
	a.relay = newRelay(func() error { return a.refused })
	defer func() {
		a.relay.close()
		err = cmp.Or(a.refused, a.wrong, err)
	}()
	x = newImporter(a.mapping, a.open)
	lines, err = feed(ctx, src, x, func(n int64) error {
		if a.options.Progress != nil {
			a.options.Progress(n)
		}
		if a.relay.stopped.Load() {
			return errStopped
		}
		return a.wrong
	})
	return x, lines, err
}

// errStopped ends the reading when the receiver of samples has failed; the
// receiver's own error is what is returned.
var errStopped = errors.New("the receiver of samples has failed")

// feed reads src through the importer. It fails when no row can be used.
func feed(ctx context.Context, src io.Reader, x *importer, progress func(int64) error) (*lineReader, error) {
	lines := newLineReader(src, nil)
	lines.each = func() error {
		if err := progress(lines.read); err != nil {
			return err
		}
		return ctx.Err()
	}
	for {
		line, long, err := lines.next()
		if err == io.EOF {
			return lines, x.usable()
		}
		if err != nil {
			return lines, err
		}
		switch {
		case long:
			x.long(lines.number)
		case lines.number > int64(x.mapping.HeaderLines):
			x.row(line, lines.number)
		}
		if x.accepted == 0 && x.rows >= earlyRows {
			return lines, x.usable()
		}
	}
}

// usable returns the error of a file of which nothing could be used.
func (x *importer) usable() error {
	switch {
	case x.accepted > 0:
		return nil
	case len(x.refusals.Listed) > 0:
		first := x.refusals.Listed[0]
		return &FileError{first.Place, "no row can be read with this mapping; the first: " + first.Reason}
	case x.rows > 0:
		return &FileError{Text: "the columns said to hold the oar angle and the force are blank in every row"}
	}
	return &FileError{Text: "the file holds no rows below the header"}
}

// analysis is the work in progress on a file.
type analysis struct {
	mapping    Mapping
	thresholds Thresholds
	options    Options
	relay      *relay
	oars       []*oarWork
	kept       int   // strokes listed so far
	wrong      error // of a lever; belongs to the goroutine that reads
	refused    error // by the receiver of samples; belongs to the one that measures
}

// oarWork is the work in progress on one oar.
type oarWork struct {
	all       *analysis
	oar       Oar
	segmenter segmenter
	gauge     gauge
	strokes   []Stroke
	bins      [rateBins]*bin // by the rate of the stroke, nil while empty
	rest      line           // force on the recoveries over time
	rough     roughness
	seen      extent
}

// open prepares the work on an oar that turned up in the file.
func (a *analysis) open(o Oar) taker {
	w := a.work(o)
	a.oars = append(a.oars, w)
	return address{a.relay, w}
}

func (a *analysis) work(o Oar) *oarWork {
	w := &oarWork{all: a, oar: o, seen: newExtent()}
	w.gauge.thresholds = a.thresholds
	w.gauge.follow = a.mapping.zeroOf(o).FollowRest
	if a.options.Levers != nil {
		l := a.options.Levers(o)
		if !plausible(l.In) || !plausible(l.Out) {
			a.wrong = wrong(rigging.ProblemMismatch, "the levers"+of(o)+" are lengths of up to 4 m", "levers")
		}
		w.gauge.levers = l
		w.gauge.arm, w.gauge.hasArm = l.arm(a.mapping.Force)
	}
	w.segmenter.cycle = w.cycle
	if a.options.Samples != nil {
		w.segmenter.clean = func(b Block) {
			if a.refused == nil {
				a.refused = a.options.Samples(o, b)
			}
		}
	}
	return w
}

func plausible(lever float64) bool { return lever >= 0 && lever <= 4 }

func (w *oarWork) take(s sample) {
	w.seen.add(s)
	w.segmenter.take(s)
}

// cycle measures one whole cycle.
func (w *oarWork) cycle(k *track, catch, finish, next turn) {
	if skip := w.all.options.Skip; skip != nil && skip(w.oar, catch.t) {
		w.segmenter.leftOut.ByHand++
		return
	}
	m, ok := w.gauge.measure(k, catch, finish, next)
	if !ok {
		w.segmenter.leftOut.NoLoad++
		return
	}
	b := w.bin(&m.Stroke)
	for f := range Feature(FeatureCount) {
		if v, ok := m.Value(f); ok {
			b.features[f].add(v)
		}
	}
	w.rest.add(m.Start, m.recovery)
	w.rough.add(&w.gauge)
	b.curves.add(&w.gauge.byAngle, &w.gauge.byTime)
	if w.all.kept < MaxStrokes {
		w.all.kept++
		w.strokes = append(w.strokes, m.Stroke)
	}
}

// bin returns where a stroke is gathered.
func (w *oarWork) bin(s *Stroke) *bin {
	rate, _ := s.Value(Rate)
	i := binOf(rate)
	if w.bins[i] == nil {
		w.bins[i] = &bin{}
	}
	return w.bins[i]
}

// report closes all oars and puts the result together.
func (a *analysis) report(x *importer) *Report {
	r := &Report{Rows: x.rows, Refused: x.refusals, Thresholds: a.thresholds, Day: x.day, Force: a.mapping.Force}
	count := 0
	for _, w := range a.oars {
		w.segmenter.end()
	}
	bounds := a.rateBounds()
	for i, w := range a.oars {
		o := w.report(x.order[i])
		o.Rates = w.groups(bounds)
		count += o.Count
		r.Oars = append(r.Oars, o)
	}
	slices.SortFunc(r.Oars, func(p, q OarReport) int { return compareOars(p.Oar, q.Oar) })
	r.caution(x, count)
	return r
}

func (w *oarWork) report(c *channel) OarReport {
	all := w.span(0, rateBins)
	o := OarReport{Oar: c.oar, Samples: c.samples, Missing: c.missing, Spikes: w.segmenter.spikes,
		SampleRate: c.rate(), LeftOut: w.segmenter.leftOut, Strokes: w.strokes, Features: all.summaries(), Curve: all.curves.curve()}
	o.Count = o.Curve.Strokes
	o.caution(w)
	return o
}
