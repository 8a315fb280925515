package stroke

import (
	"bytes"
	"context"
	"fmt"
	"slices"

	"thole/rigging"
)

// Proposal is what a file seems to hold, to be shown and confirmed.
type Proposal struct {
	Mapping Mapping
	Header  []string   // the name of each column as the file has it; "" without a header
	Preview [][]string // the first rows, cell by cell
	Oars    []Oar      // seen in the sample
	Day     Day        // as the time stamps tell it
	// SampleRate is the samples a second of an oar, Hz; 0 where unknown.
	SampleRate float64
	// Ready reports whether the mapping can be used as it is. Where it is
	// false, Missing names what the user has to point out.
	Ready     bool
	Missing   string
	Warnings  []Warning
	Curves    *CurveTable // not nil where the file holds mean curves and no recording
	Questions []Question  // that the user is to answer before the mapping is used

	unnamed  []int // columns whose names give no unit
	siteOnly bool  // nothing but the site of the force is missing
}

// Answer reports where the force was measured, the answer to an [AskSite]; the
// proposal is ready when nothing else was missing. It panics for NoSite.
func (p *Proposal) Answer(site Site) {
	if site != Handle && site != Gate {
		panic("stroke: the answer names no site")
	}
	p.Mapping.Force = site
	p.Questions = slices.DeleteFunc(p.Questions, func(q Question) bool { return q.Kind == AskSite })
	if p.siteOnly {
		p.siteOnly, p.Ready, p.Missing = false, true, ""
	}
}

// Sizes of what is looked at; engineering judgement.
const (
	// SampleSize is how much of the beginning of a file Detect should see;
	// what is beyond is not looked at.
	SampleSize  = 1 << 20
	previewRows = 8
	formLines   = 1000 // from which separator and header are found
)

// Detect proposes how to read a file from its beginning, best SampleSize
// bytes of it. It errs, with a *FileError, for what is no table of text.
func Detect(sample []byte) (Proposal, error) {
	sample = sample[:min(len(sample), SampleSize)]
	if err := checkText(sample); err != nil {
		return Proposal{}, err
	}
	sample = wholeLines(bytes.TrimPrefix(sample, byteOrderMark))
	f, err := findForm(sample)
	if err != nil {
		return Proposal{}, err
	}
	p := Proposal{Mapping: f.mapping(), Header: f.names(), Preview: f.preview()}
	f.warn(&p)
	if f.cutNumbers() {
		p.Missing = fmt.Sprintf("the header has %d names and the rows have %d cells: if the comma is also the decimal mark, save the file with semicolons", f.headWidth, f.width)
		return p, nil
	}
	if t, ok := f.curves(None); ok {
		p.Curves, p.Questions = &t, t.Questions
		p.Missing = "this is no recording but " + t.String() + ": import them as curves"
		return p, nil
	}
	p.assign(&f)
	if err := p.Mapping.validateForm(); err != nil {
		p.missing(err)
		p.sayUnits()
		return p, nil
	}
	p.Ready = true
	p.look(sample)
	p.sayUnits()
	if err := p.Mapping.Validate(); err != nil && p.Ready {
		p.siteOnly = true
		p.missing(err)
	}
	return p, nil
}

// missing notes what the mapping lacks.
func (p *Proposal) missing(err error) {
	p.Ready, p.Missing = false, err.(*rigging.FieldError).Detail
}

// sayUnits adds which units were taken where the file names none, as they
// stand in the mapping.
func (p *Proposal) sayUnits() {
	for i, c := range p.Mapping.Columns {
		if slices.Contains(p.unnamed, c.Index) {
			p.warnAt("unit", fmt.Sprintf("column %d (%s) names no unit: %s is taken from its values", c.Index+1, c.Quantity, c.Unit), p.Mapping.columnPlace(i, "unit"))
		}
	}
}

// wholeLines cuts a last line that the sample may have broken off.
func wholeLines(sample []byte) []byte {
	if i := bytes.LastIndexByte(sample, '\n'); i >= 0 && bytes.IndexByte(sample, '\n') < i {
		return sample[:i+1]
	}
	return sample
}

func (p *Proposal) warn(code, text string) { p.warnAt(code, text, Place{}) }

func (p *Proposal) warnAt(code, text string, at Place) {
	p.Warnings = append(p.Warnings, Warning{code, text, at})
}

// form is how the text of a file is laid out.
type form struct {
	separator    byte
	decimalComma bool
	width        int        // cells of a row
	first        int        // line of the first row, from 0
	rows         [][]string // from the first row
	heads        [][]string // the lines above that have as many cells
	headWidth    int        // cells of the last line above
	score        float64
}

// findForm tries each separator with each decimal mark and takes what gives
// the most numbers in rows of one width.
func findForm(sample []byte) (form, error) {
	lines := bytes.Split(sample, []byte{'\n'})
	lines = lines[:min(len(lines), formLines)]
	var best form
	for _, separator := range []byte("\t;,| ") {
		for _, comma := range []bool{false, true} {
			if f := tryForm(lines, separator, comma); f.score > best.score {
				best = f
			}
		}
	}
	if best.score == 0 {
		return form{}, &FileError{Text: "no table of numbers is found: rows of at least two numbers between commas, semicolons, tabs, bars or blanks are expected"}
	}
	return best, nil
}

func tryForm(lines [][]byte, separator byte, comma bool) form {
	f := form{separator: separator, decimalComma: comma}
	c := cutter{separator: separator}
	var cut [][]string
	widths := map[int]int{}
	for _, line := range lines {
		var cells []string
		if found := c.cut(trimReturn(line)); len(found) <= maxColumns {
			cells = texts(found)
		}
		cut = append(cut, cells)
		if f.numbers(cells) >= 2 {
			widths[len(cells)]++
		}
	}
	for w, n := range widths {
		if n > widths[f.width] || n == widths[f.width] && w > f.width {
			f.width = w
		}
	}
	f.settle(cut)
	return f
}

func texts(cells [][]byte) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		out[i] = label(trim(c))
	}
	return out
}

// mark is the decimal mark.
func (f *form) mark() byte {
	if f.decimalComma {
		return ','
	}
	return '.'
}

func (f *form) isNumber(cell string) bool {
	_, ok := parseNumber([]byte(cell), f.mark())
	if !ok {
		_, ok = parseClock([]byte(cell), f.mark())
	}
	return ok
}

func (f *form) numbers(cells []string) int {
	n := 0
	for _, c := range cells {
		if f.isNumber(c) {
			n++
		}
	}
	return n
}

// settle splits the lines into header and rows and scores the form: the share
// of lines that are rows of one width, times the share of cells in them that
// are numbers.
func (f *form) settle(cut [][]string) {
	if f.width < 2 {
		return
	}
	isRow := func(cells []string) bool { return len(cells) == f.width && f.numbers(cells) >= 2 }
	f.first = slices.IndexFunc(cut, isRow)
	var lines, numbers, cells float64
	for _, c := range cut[f.first:] {
		if len(c) == 0 || len(c) == 1 && c[0] == "" {
			continue
		}
		lines++
		if isRow(c) {
			f.rows = append(f.rows, c)
			numbers += float64(f.numbers(c))
			cells += float64(f.filled(c))
		}
	}
	for _, c := range cut[:f.first] {
		if n := f.filled(c); n > 0 {
			f.headWidth = len(c)
			if len(c) == f.width {
				f.heads = append(f.heads, c)
			}
		}
	}
	f.score = float64(len(f.rows)) / lines * numbers / cells
}

// filled counts the cells that are not blank.
func (f *form) filled(cells []string) int {
	n := 0
	for _, c := range cells {
		if !isBlank([]byte(c)) {
			n++
		}
	}
	return n
}

func (f *form) mapping() Mapping {
	return Mapping{Separator: f.separator, DecimalComma: f.decimalComma, HeaderLines: f.first, Width: f.width}
}

// names joins, for each column, what the last two header lines say: a name
// and perhaps a unit below it.
func (f *form) names() []string {
	names := make([]string, f.width)
	for _, head := range f.heads[max(0, len(f.heads)-2):] {
		for i, c := range head {
			names[i] = joinName(names[i], c)
		}
	}
	return names
}

func joinName(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + " " + b
}

func (f *form) preview() [][]string { return f.rows[:min(len(f.rows), previewRows)] }

func (f *form) warn(p *Proposal) {
	if len(f.heads) == 0 {
		p.warn("no_header", "the file has no header: the columns are guessed from their values, check each of them")
	}
}

// cutNumbers reports whether the separator seems to cut numbers in two, as a
// comma does that is also the decimal mark: fewer names than cells.
func (f *form) cutNumbers() bool {
	return len(f.heads) == 0 && f.headWidth > 1 && f.headWidth < f.width
}

// column returns the numbers of a column; ok is false when a filled cell is
// none.
func (f *form) column(i int) (v []float64, ok bool) {
	for _, row := range f.rows {
		x, isNumber := parseNumber([]byte(row[i]), f.mark())
		if !isNumber && !isBlank([]byte(row[i])) {
			return nil, false
		}
		if isNumber {
			v = append(v, x)
		}
	}
	return v, true
}

// look reads the sample with the mapping and mends units and signs that the
// measurements contradict.
func (p *Proposal) look(sample []byte) {
	w := &watcher{}
	x := newImporter(p.Mapping, w.open)
	none := func(int64) error { return nil }
	if _, err := feed(context.Background(), bytes.NewReader(sample), x, none); err != nil {
		p.Ready, p.Missing = false, err.Error()
		return
	}
	for _, c := range x.order {
		p.Oars = append(p.Oars, c.oar)
	}
	slices.SortFunc(p.Oars, compareOars)
	p.SampleRate, p.Day = x.order[0].rate(), x.day
	p.mend(w.seen, x)
	p.askZeros(sample)
}

// askZeros measures the sample as it is now mapped and takes over what is
// questioned.
func (p *Proposal) askZeros(sample []byte) {
	a := &analysis{mapping: p.Mapping}
	x, _, err := a.read(context.Background(), bytes.NewReader(sample))
	if err != nil {
		return // the first reading went through: there are only fewer rows
	}
	for _, o := range a.report(x).Oars {
		for _, q := range o.Questions {
			p.warnAt(string(q.Kind), q.Text, q.Place)
			p.Questions = append(p.Questions, q)
		}
	}
}

// watcher notes the extent of each oar.
type watcher struct{ seen []*extent }

func (w *watcher) open(Oar) taker {
	e := newExtent()
	w.seen = append(w.seen, &e)
	return &e
}

func (e *extent) take(s sample) { e.add(s) }
