// Package uploads keeps files that people sent until they are used: for an hour at
// most, in a folder that only the program's own user can read. A file belongs to the
// account that sent it; coaches may use everybody's.
package uploads

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode"

	"thole/api/access"
	"thole/api/rest"
	"thole/api/wire"
)

// lifetime is how long a file waits before it is removed.
const lifetime = time.Hour

// bounds are those of the files that wait, in number and in bytes of each. The oldest
// goes first, never one of the other kind of account: athletes cannot push out what
// a coach is about to use.
type bounds struct {
	bytes int64
	own   int // of one account
	all   int
}

// Bounds by who sends, the project's judgement. An hour of an eight with 17 columns at
// 100 rows a second is about 50 MB of text.
var (
	forStaff    = bounds{bytes: 1 << 30, own: 6, all: 6}
	forAthletes = bounds{bytes: 128 << 20, own: 2, all: 24}
)

// boundsFor are those of who asks in ctx.
func boundsFor(ctx context.Context) *bounds {
	if access.From(ctx).Role == access.Athlete {
		return &forAthletes
	}
	return &forStaff
}

// Largest is how many bytes a file may have of who asks in ctx.
func Largest(ctx context.Context) int64 { return boundsFor(ctx).bytes }

// File is one file with what its beginning told, a P. A file that is being read when
// it is removed can be read to its end.
type File[P any] struct {
	ID    string
	Name  string // as sent, as far as it can be shown
	Bytes int64
	Sum   []byte // of its content, SHA-256
	Told  P

	account int64 // that sent it
	athlete int64 // whose account it is; 0 for none
	bounds  *bounds
	path    string
	timer   *time.Timer
}

// Line holds the files that wait.
type Line[P any] struct {
	mu     sync.Mutex
	name   string // begins that of the folder
	tell   func(beginning []byte) (P, error)
	sample int    // bytes that tell reads
	folder string // "" before the first file
	line   []*File[P]
	closed bool
}

// New returns a line without files. The folder's name begins with name; tell says
// what the first bytes of a file hold, at most sample of them, and refuses what is of
// no use.
func New[P any](name string, sample int, tell func(beginning []byte) (P, error)) *Line[P] {
	return &Line[P]{name: name, sample: sample, tell: tell}
}

// ErrClosed says that the program is ending.
var ErrClosed = errors.New("the program is ending")

// room returns the folder, which is made for the first file.
func (u *Line[P]) room() (string, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.closed {
		return "", ErrClosed
	}
	if u.folder != "" {
		return u.folder, nil
	}
	folder, err := os.MkdirTemp("", fmt.Sprintf("%s-%d-", u.name, os.Getpid()))
	if err != nil {
		return "", fmt.Errorf("making room for a file: %w", err)
	}
	u.folder = folder
	return folder, nil
}

// Spool writes a file to the folder, out of line. Errors: *malformed for a file that is too
// large, *Unreadable for one that is no text or, where check is set, begins like no
// table.
func (u *Line[P]) Spool(ctx context.Context, name string, src io.Reader, check bool) (*File[P], error) {
	beginning, err := io.ReadAll(io.LimitReader(src, int64(u.sample)))
	if err != nil {
		return nil, rest.ExplainReading(err)
	}
	f := &File[P]{ID: rand.Text(), Name: plainName(name), account: access.From(ctx).Account, athlete: access.From(ctx).Athlete, bounds: boundsFor(ctx)}
	if check || bytes.IndexByte(beginning, 0) >= 0 { // no need to write what cannot be text
		if f.Told, err = u.tell(beginning); err != nil {
			return nil, err
		}
	}
	folder, err := u.room()
	if err != nil {
		return nil, err
	}
	f.path = filepath.Join(folder, f.ID)
	sum := sha256.New()
	f.Bytes, err = writeFile(f.path, f.bounds.bytes, io.TeeReader(io.MultiReader(bytes.NewReader(beginning), src), sum))
	f.Sum = sum.Sum(nil)
	if err != nil {
		return nil, errors.Join(err, os.Remove(f.path))
	}
	return f, nil
}

// Discard removes a file that is not in line.
func (f *File[P]) Discard() { _ = os.Remove(f.path) }

// writeFile writes what src gives, so many bytes at most, to a new file.
func writeFile(path string, most int64, src io.Reader) (int64, error) {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return 0, err
	}
	n, err := io.CopyBuffer(struct{ io.Writer }{file}, io.LimitReader(src, most+1), make([]byte, 256<<10))
	switch {
	case err != nil:
		err = rest.ExplainReading(err)
	case n > most:
		err = &rest.Malformed{Status: http.StatusRequestEntityTooLarge, Detail: fmt.Sprintf("The file is larger than %d MB: cut it at a pause and send the parts one by one.", most>>20)}
	}
	return n, errors.Join(err, file.Close())
}

// plainName keeps what can be shown of a file's name.
func plainName(name string) string {
	name = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, filepath.Base(strings.ReplaceAll(name, `\`, "/")))
	runes := []rune(name)
	name = string(runes[:min(len(runes), wire.LongestName)])
	if name == "" || name == "." || name == "/" {
		return "file"
	}
	return name
}

// Add puts a file in line, and lets the oldest go when there are too many.
func (u *Line[P]) Add(f *File[P]) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.closed {
		return ErrClosed // and the folder is gone
	}
	f.timer = time.AfterFunc(lifetime, func() { _ = u.Remove(context.Background(), f.ID) })
	u.line = append(u.line, f)
	return u.makeRoom(f)
}

// makeRoom lets the oldest files go that are more than f's bounds allow.
func (u *Line[P]) makeRoom(f *File[P]) error {
	like := func(o *File[P]) bool { return o.bounds == f.bounds }
	own := func(o *File[P]) bool { return like(o) && o.account == f.account }
	return errors.Join(u.trim(f.bounds.own, own), u.trim(f.bounds.all, like))
}

// trim leaves so many of the files that count, the newest.
func (u *Line[P]) trim(most int, counts func(*File[P]) bool) error {
	n := 0
	for i := len(u.line) - 1; i >= 0; i-- {
		if !counts(u.line[i]) {
			continue
		}
		if n++; n > most {
			return u.drop(i) // one came in, so that no more than one is too many
		}
	}
	return nil
}

// drop removes the file at a place in line.
func (u *Line[P]) drop(i int) error {
	f := u.line[i]
	f.timer.Stop()
	u.line = slices.Delete(u.line, i, i+1)
	return os.Remove(f.path)
}

// Sender is the account that sent a file; 0 is nobody.
func (u *Line[P]) Sender(id string) int64 {
	u.mu.Lock()
	defer u.mu.Unlock()
	if i := u.place(id); i >= 0 {
		return u.line[i].account
	}
	return 0
}

// Find returns a file that waits, of who asks in ctx. The error is ErrNotFound, also
// for one that somebody else sent, unless a coach asks.
func (u *Line[P]) Find(ctx context.Context, id string) (*File[P], error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	if i := u.place(id); i >= 0 && access.From(ctx).Sent(u.line[i].account) {
		return u.line[i], nil
	}
	return nil, wire.ErrNotFound
}

func (u *Line[P]) place(id string) int {
	return slices.IndexFunc(u.line, func(f *File[P]) bool { return f.ID == id })
}

// Remove removes a file, as Find returns it. The error is ErrNotFound.
func (u *Line[P]) Remove(ctx context.Context, id string) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	i := u.place(id)
	if i < 0 || !access.From(ctx).Sent(u.line[i].account) {
		return wire.ErrNotFound
	}
	return u.drop(i)
}

// Forget removes the files that an athlete sent.
func (u *Line[P]) Forget(athlete int64) {
	u.mu.Lock()
	defer u.mu.Unlock()
	for i := len(u.line) - 1; i >= 0; i-- {
		if athlete != 0 && u.line[i].athlete == athlete {
			_ = u.drop(i)
		}
	}
}

// Close removes every file and takes no more.
func (u *Line[P]) Close() {
	u.mu.Lock()
	defer u.mu.Unlock()
	u.closed = true
	for _, f := range u.line {
		f.timer.Stop()
	}
	u.line = nil
	if u.folder != "" {
		_ = os.RemoveAll(u.folder)
	}
}

// Open opens the file. One that was removed meanwhile is ErrNotFound.
func (f *File[P]) Open() (io.ReadCloser, error) {
	file, err := os.Open(f.path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, wire.ErrNotFound
	}
	return file, err
}
