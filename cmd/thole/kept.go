package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"sync"

	"thole/api/access"
	"thole/api/rest"
	"thole/ui/page"
	readers "thole/ui/usage"
)

// kept answers again what the same person asked for before, as long as nobody has
// written anything and the day is the same: then nothing on these pages can have
// changed, and most of what a page costs is its templates.
type kept struct {
	version func(context.Context) (int64, error) // of what is on record
	today   func() string
	next    http.Handler

	mu      sync.Mutex
	of      string // version and day that the answers belong to
	answers map[string]*keptAnswer
	bytes   int
}

// keptAnswer is an answer, its body compressed.
type keptAnswer struct {
	header http.Header
	body   []byte
}

// Bounds of what is kept, bytes of compressed bodies. A page has 5 to 30 kB; our judgement.
const (
	mostKept    = 16 << 20
	largestKept = 512 << 10
)

// packers are used again: to make one takes most of the time of a short answer.
var packers = sync.Pool{New: func() any {
	z, err := gzip.NewWriterLevel(nil, gzip.BestSpeed)
	if err != nil {
		panic("thole: " + err.Error())
	}
	return z
}}

// keepable are the addresses whose answers follow from the records, the day and the
// reader alone. A page that shows what lies in memory, such as files that wait or work
// that goes on, is none of them.
var keepable = regexp.MustCompile(`^(?:(?:/api/v1)?/(?:boats|athletes|oars|sheets)(?:/\d+)?` +
	`|/api/v1/(?:recordings|seat-races|squads|lineups)(?:/\d+)?|/api/v1/(?:tasks|squad/evidence|selection/squad)|/squad)$`)

// ServeHTTP answers from memory, or from next and keeps it.
func (k *kept) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet || !keepable.MatchString(r.URL.Path) || !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		k.next.ServeHTTP(w, r)
		return
	}
	version, err := k.version(r.Context())
	if err != nil { // which next meets, too, and tells
		k.next.ServeHTTP(w, r)
		return
	}
	of, key := fmt.Sprint(version, k.today()), keyOf(r)
	if a := k.find(of, key); a != nil {
		a.send(w, r)
		return
	}
	rec := &keeping{ResponseWriter: w}
	k.next.ServeHTTP(rec, r)
	if rec.status == http.StatusOK && rec.header.Get("Set-Cookie") == "" && rec.header.Get("Content-Encoding") == "" {
		k.keep(of, key, rec.header, rec.body.Bytes())
	}
}

// keyOf is all of a request that its answer depends on.
func keyOf(r *http.Request) string {
	reach := page.ReachOf(r.Context())
	reach.Client = page.Reach{}.Client // whence somebody asks changes no answer
	browsers, _ := readers.Kept(r)     // an account's usage is on record, and so is the club's
	return fmt.Sprintf("%q", []any{*access.From(r.Context()), reach, r.URL.RequestURI(), page.Who(r), browsers, r.Header.Values("Accept"), r.Header.Values("HX-Request")})
}

func (k *kept) find(of, key string) *keptAnswer {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of != of {
		k.of, k.answers, k.bytes = of, map[string]*keptAnswer{}, 0
	}
	return k.answers[key]
}

// keep takes in an answer, unless something was written since it was asked for.
func (k *kept) keep(of, key string, header http.Header, body []byte) {
	var packed bytes.Buffer
	z := packers.Get().(*gzip.Writer)
	z.Reset(&packed)
	_, _ = z.Write(body) // into memory, which takes everything
	_ = z.Close()
	packers.Put(z)
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.of != of || packed.Len() > largestKept || k.bytes+packed.Len() > mostKept {
		return
	}
	k.bytes += packed.Len()
	k.answers[key] = &keptAnswer{header, packed.Bytes()}
}

// send answers with the kept body, unless the reader has it.
func (a *keptAnswer) send(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	for name, values := range a.header {
		h[name] = values
	}
	if tag := h.Get("ETag"); tag != "" && rest.Unchanged(r, tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Encoding", "gzip")
	if tag := h.Get("ETag"); tag != "" {
		h["Etag"] = []string{rest.TagOfCompressed(tag)}
	}
	if vary := h.Values("Vary"); !strings.Contains(strings.Join(vary, ","), "Accept-Encoding") {
		h["Vary"] = append(slices.Clone(vary), "Accept-Encoding")
	}
	_, _ = w.Write(a.body)
}

// keeping is an answer that is sent and remembered.
type keeping struct {
	http.ResponseWriter
	status int
	header http.Header // before it is compressed on its way
	body   bytes.Buffer
}

// begin notes what an answer begins with.
func (k *keeping) begin(status int) {
	if k.status == 0 {
		k.status, k.header = status, k.Header().Clone()
	}
}

// WriteHeader notes the status.
func (k *keeping) WriteHeader(status int) {
	k.begin(status)
	k.ResponseWriter.WriteHeader(status)
}

// Write notes what is sent.
func (k *keeping) Write(part []byte) (int, error) {
	k.begin(http.StatusOK)
	k.body.Write(part)
	return k.ResponseWriter.Write(part)
}

// Unwrap lets http.ResponseController reach the writer below.
func (k *keeping) Unwrap() http.ResponseWriter { return k.ResponseWriter }
