package gate

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"sync"
	"time"

	"thole/api/access"
	"thole/api/wire"
)

// Bounds of files on their way in, by our own judgement.
const (
	mostUploads = 8                // at a time
	ofAthletes  = 4                // of these those of athletes, one each: they hold up no coach
	mostBytes   = 2 << 30          // of all of them together
	longest     = 15 * time.Minute // that one may take over a poor line
	stalled     = 30 * time.Second // without a byte, after which it is given up
)

// Uploads bounds the files that come in together, in number and in size.
type Uploads struct {
	mu    sync.Mutex
	count int
	bytes int64
	most  int64

	athletes map[int64]bool // accounts of athletes whose files are coming in
}

// NewUploads returns bounds with nothing on its way in.
func NewUploads() *Uploads { return &Uploads{most: mostBytes, athletes: map[int64]bool{}} }

// errCrowded says that too many files are coming in.
var errCrowded = &wire.Refusal{Status: http.StatusServiceUnavailable, Text: "too many files are coming in at once: try again in a minute"}

// errOneOfYours says that an athlete sends two files at once.
var errOneOfYours = &wire.Refusal{Status: http.StatusServiceUnavailable, Text: "a file of yours is still coming in: send the next one when it has"}

// crowded reports why there is no room for one more file of who sends it.
func (u *Uploads) crowded(v *access.Viewer, length int64) error {
	switch {
	case v.Role == access.Athlete && u.athletes[v.Account]:
		return errOneOfYours
	case u.count >= mostUploads, u.bytes+max(0, length) > u.most, v.Role == access.Athlete && len(u.athletes) >= ofAthletes:
		return errCrowded
	}
	return nil
}

// Admit lets the body of a request come in for longer than others take, as long as
// it keeps coming; done is to be called when it has been read. The error is a
// *wire.Refusal of status 503, also from reading where all files together have
// become too large. A nil Uploads lets every body in.
func (u *Uploads) Admit(w http.ResponseWriter, r *http.Request) (done func(), err error) {
	control := http.NewResponseController(w)
	until := time.Now().Add(longest)
	_ = control.SetWriteDeadline(until.Add(time.Minute)) // a writer without deadlines has none in the way
	body := &counted{ReadCloser: r.Body, control: control, until: until, of: u}
	if u == nil {
		r.Body = body
		return func() {}, nil
	}
	u.mu.Lock()
	defer u.mu.Unlock()
	v := access.From(r.Context())
	if err := u.crowded(v, r.ContentLength); err != nil {
		return nil, err
	}
	u.count++
	if v.Role == access.Athlete {
		u.athletes[v.Account] = true
		body.athlete = v.Account
	}
	r.Body = body
	return body.done, nil
}

// Load returns how many files are coming in, and how much of them has come.
func (u *Uploads) Load() (count int, bytes int64) {
	u.mu.Lock()
	defer u.mu.Unlock()
	return u.count, u.bytes
}

// counted is a body whose bytes count towards those of all.
type counted struct {
	io.ReadCloser
	control *http.ResponseController
	until   time.Time
	of      *Uploads
	read    int64
	athlete int64 // account of the athlete who sends it; 0 for others
	over    bool
}

// Read gives the sender a while for the next bytes.
func (b *counted) Read(p []byte) (int, error) {
	next := time.Now().Add(stalled)
	if next.After(b.until) {
		next = b.until
	}
	_ = b.control.SetReadDeadline(next)
	n, err := b.ReadCloser.Read(p)
	if b.of != nil && !b.of.add(b, int64(n)) {
		return n, errors.Join(errCrowded, fmt.Errorf("after %d bytes", b.read))
	}
	return n, err
}

// add counts bytes; false where there are too many together.
func (u *Uploads) add(b *counted, n int64) bool {
	u.mu.Lock()
	defer u.mu.Unlock()
	if b.over {
		return true // what is read on only to be thrown away counts no more
	}
	u.bytes += n
	b.read += n
	return u.bytes <= u.most
}

// done takes the body out of the count, once.
func (b *counted) done() {
	b.of.mu.Lock()
	defer b.of.mu.Unlock()
	if b.over {
		return
	}
	b.over = true
	b.of.count--
	delete(b.of.athletes, b.athlete)
	b.of.bytes -= b.read
}
