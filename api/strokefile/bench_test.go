package strokefile_test

import (
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"runtime"
	"strings"
	"testing"

	"thole/api/apitest"
)

// looped repeats a text up to a number of bytes.
type looped struct {
	text       string
	from, left int
}

func (l *looped) Read(p []byte) (int, error) {
	if l.left == 0 {
		return 0, io.EOF
	}
	n := copy(p[:min(len(p), l.left)], l.text[l.from:])
	l.left -= n
	l.from = (l.from + n) % len(l.text)
	return n, nil
}

// BenchmarkAnalyse100MBOverHTTP sends eight seats, 28 bytes a row and 100 rows
// a second each, through a server as a client does.
func BenchmarkAnalyse100MBOverHTTP(b *testing.B) {
	const size = 100_000_000
	var text strings.Builder
	for i := range 6000 {
		for seat := range 8 {
			angle, force, vertical := apitest.Known.Pull(float64(i) / 100)
			fmt.Fprintf(&text, "%d,%.3f,%.3f,%.3f,4.500\n", seat+1, angle, force, vertical)
		}
	}
	const mapping = `{"separator":"comma","sample_rate_hz":100,"force":"handle","columns":[{"index":0,"quantity":"seat"},{"index":1,"quantity":"oar_angle","unit":"deg"},
		{"index":2,"quantity":"force","unit":"n"},{"index":3,"quantity":"vertical_angle","unit":"deg"},{"index":4,"quantity":"boat_speed","unit":"m_s"}]}`
	for name, order := range map[string][]string{"file last": {mapping, apitest.Newtons, apitest.Arms}, "file first": nil} {
		b.Run(name, func(b *testing.B) { benchmarkSending(b, size, text.String(), mapping, order) })
	}
}

func benchmarkSending(b *testing.B, size int, text, mapping string, before []string) {
	site := httptest.NewServer(apitest.Server())
	defer site.Close()
	b.SetBytes(int64(size))
	var heap uint64
	for b.Loop() {
		in, out := io.Pipe()
		w := multipart.NewWriter(out)
		go func() {
			for i, text := range before {
				_ = w.WriteField([]string{"mapping", "thresholds", "levers"}[i], text)
			}
			file, _ := w.CreateFormFile("file", "long.csv")
			_, _ = io.CopyBuffer(struct{ io.Writer }{file}, &looped{text: text, left: size}, make([]byte, 1<<18))
			if before == nil {
				_ = w.WriteField("mapping", mapping)
			}
			_ = out.CloseWithError(w.Close())
		}()
		answer, err := http.Post(site.URL+apitest.AnalysePath, w.FormDataContentType(), in)
		if err != nil || answer.StatusCode != http.StatusOK {
			b.Fatal(err, answer)
		}
		_, _ = io.Copy(io.Discard, answer.Body)
		_ = answer.Body.Close()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		heap = max(heap, m.HeapInuse)
	}
	b.ReportMetric(float64(heap)/1e6, "MB-heap")
	b.ReportMetric(peakResident(), "MB-resident")
}

// peakResident is the largest resident size of this process so far in MB, 0
// where the system does not tell; client and server together.
func peakResident() float64 {
	text, _ := os.ReadFile("/proc/self/status")
	_, rest, _ := strings.Cut(string(text), "VmHWM:")
	var kB float64
	_, _ = fmt.Sscan(rest, &kB)
	return kB / 1e3
}
