package stroke

import (
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

func benchmarkSize(b *testing.B, size int) {
	th := Thresholds{Catch: 196, Release: 98}
	levers := func(Oar) Levers { return Levers{In: 0.84} }
	var before, after runtime.MemStats
	b.SetBytes(int64(size))
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		src := io.MultiReader(strings.NewReader(PlainHeader+"\n"), newEndless(size))
		runtime.GC()
		runtime.ReadMemStats(&before)
		b.StartTimer()
		r, err := Analyse(context.Background(), src, PlainLayout(Handle), th, Options{Levers: levers})
		if err != nil || len(r.Oars) != 8 || r.Refused.Count > 1 {
			b.Fatal(err, r)
		}
		runtime.ReadMemStats(&after)
		b.ReportMetric(float64(after.Sys)/1e6, "MB-from-system")
		b.ReportMetric(float64(r.Rows), "rows")
		b.ReportMetric(float64(r.Oars[0].Count*8), "strokes")
	}
}

func BenchmarkAnalyse100MB(b *testing.B) { benchmarkSize(b, 100_000_000) }
