package stroke

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
)

// endless repeats a stretch of a recording with the time running on, up to a
// number of bytes, without holding more than the stretch.
type endless struct {
	body  []byte // rows whose time is seven digits, the last three after the point
	times []int  // where each row's time begins
	step  int    // ms that a repetition adds
	left  int
	from  int
}

// newEndless records eight seats of a crew for a minute.
func newEndless(size int) *endless {
	e := &endless{step: 60_000, left: size}
	o := sculler()
	for i, s := range o.record(60, disturbance{hz: 100, angle: 0.1 * deg, force: 3, seed: 1}) {
		for seat := range 8 {
			e.times = append(e.times, len(e.body))
			e.body = fmt.Appendf(e.body, "%08.3f,%d,%.2f,%.1f,%.2f,%.2f\n", float64(i)/100, seat+1, s.angle/deg, s.force, s.vertical/deg, s.speed)
		}
	}
	return e
}

func (e *endless) Read(p []byte) (int, error) {
	if e.left <= 0 {
		return 0, io.EOF
	}
	n := copy(p[:min(len(p), e.left)], e.body[e.from:])
	e.left -= n
	e.from += n
	if e.from == len(e.body) {
		e.from = 0
		e.advance()
	}
	return n, nil
}

// advance adds step to the time of every row.
func (e *endless) advance() {
	for _, at := range e.times {
		carry := e.step
		for _, k := range [...]int{7, 6, 5, 3, 2, 1, 0} {
			carry += int(e.body[at+k] - '0')
			e.body[at+k] = '0' + byte(carry%10)
			carry /= 10
		}
	}
}

// benchmarkFile analyses a file again and again, made anew each time.
func benchmarkFile(b *testing.B, size int, m Mapping, open func() io.Reader) {
	levers := func(Oar) Levers { return Levers{In: 0.84} }
	b.SetBytes(int64(size))
	b.ReportAllocs()
	var memory runtime.MemStats
	for b.Loop() {
		b.StopTimer()
		src := open()
		runtime.GC()
		b.StartTimer()
		r, err := Analyse(context.Background(), src, m, Thresholds{}, Options{Levers: levers})
		if err != nil || r.Oars[0].Count == 0 || r.Refused.Count > 1 {
			b.Fatal(err, r)
		}
		b.ReportMetric(float64(r.Rows)/1e6, "Mrows")
		b.ReportMetric(float64(r.Oars[0].Count*len(r.Oars)), "strokes")
	}
	runtime.ReadMemStats(&memory)
	b.ReportMetric(float64(memory.Sys)/1e6, "MB-from-system")
}

// Eight seats one below the other, 33 bytes a row.
func BenchmarkAnalyse100MB(b *testing.B) {
	benchmarkFile(b, 100_000_000, PlainLayout(Handle), func() io.Reader {
		return io.MultiReader(strings.NewReader(PlainHeader+"\n"), newEndless(100_000_000))
	})
}

// Whole numbers only, 14 bytes a row: as many rows as a file can well hold.
func BenchmarkAnalyseShortRows100MB(b *testing.B) {
	m := Mapping{Separator: ',', Force: Handle, SampleRate: 50, Columns: []Column{{Index: 0, Quantity: OarAngle, Unit: Degree}, {Index: 1, Quantity: Force, Unit: Newton}, {Index: 2, Quantity: VerticalAngle, Unit: Degree}}}
	var body []byte
	for _, s := range sculler().record(60, disturbance{hz: 50}) {
		body = fmt.Appendf(body, "%.1f,%.0f,%.1f\n", s.angle/deg, s.force, s.vertical/deg)
	}
	benchmarkFile(b, 100_000_000, m, func() io.Reader { return io.LimitReader(&repeated{line: body}, 100_000_000) })
}

// Eight seats side by side, 25 numbers a row.
func BenchmarkAnalyseWide100MB(b *testing.B) {
	m := Mapping{Separator: ';', Force: Handle, DecimalComma: true, SampleRate: 100}
	var body []byte
	for seat := range 8 {
		for k, q := range []Quantity{OarAngle, Force, VerticalAngle} {
			m.Columns = append(m.Columns, Column{Index: 1 + 3*seat + k, Quantity: q, Unit: [...]Unit{Degree, Newton, Degree}[k], Seat: fmt.Sprint(seat + 1)})
		}
	}
	for _, s := range sculler().record(60, disturbance{hz: 100, force: 3}) {
		body = append(body, "x"...)
		for range 8 {
			body = fmt.Appendf(body, ";%.2f;%.1f;%.2f", s.angle/deg, s.force, s.vertical/deg)
		}
		body = append(body, '\n')
	}
	body = bytes.ReplaceAll(body, []byte{'.'}, []byte{','})
	benchmarkFile(b, 100_000_000, m, func() io.Reader { return io.LimitReader(&repeated{line: body}, 100_000_000) })
}
