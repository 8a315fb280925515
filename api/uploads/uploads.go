// Package uploads keeps files that people sent until they are used: for an hour at
// most, in a folder that only the program's own user can read.
package uploads

import (
	"bytes"
	"crypto/rand"
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

	"thole/api/rest"
	"thole/api/wire"
)

// Bounds of the files that wait.
const (
	maxUpload = 1 << 30   // bytes of one file
	maxKept   = 6         // files kept; the oldest goes first
	lifetime  = time.Hour // after which a file is removed
)

// File is one file with what its beginning told, a P. A file that is being read when
// it is removed can be read to its end.
type File[P any] struct {
	ID    string
	Name  string // as sent, as far as it can be shown
	Bytes int64
	Told  P
	path  string
	timer *time.Timer
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
func (u *Line[P]) Spool(name string, src io.Reader, check bool) (*File[P], error) {
	beginning, err := io.ReadAll(io.LimitReader(src, int64(u.sample)))
	if err != nil {
		return nil, rest.ExplainReading(err)
	}
	f := &File[P]{ID: rand.Text(), Name: plainName(name)}
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
	f.Bytes, err = writeFile(f.path, io.MultiReader(bytes.NewReader(beginning), src))
	if err != nil {
		return nil, errors.Join(err, os.Remove(f.path))
	}
	return f, nil
}

// Discard removes a file that is not in line.
func (f *File[P]) Discard() { _ = os.Remove(f.path) }

// writeFile writes what src gives to a new file.
func writeFile(path string, src io.Reader) (int64, error) {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return 0, err
	}
	n, err := io.CopyBuffer(struct{ io.Writer }{file}, io.LimitReader(src, maxUpload+1), make([]byte, 256<<10))
	switch {
	case err != nil:
		err = rest.ExplainReading(err)
	case n > maxUpload:
		err = &rest.Malformed{Status: http.StatusRequestEntityTooLarge, Detail: fmt.Sprintf("The file is larger than %d MB: cut it at a pause and send the parts one by one.", maxUpload>>20)}
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
	if runes := []rune(name); len(runes) > wire.LongestName {
		name = string(runes[:wire.LongestName])
	}
	if name == "" || name == "." || name == "/" {
		return "file"
	}
	return name
}

// Add puts the file in line, and lets the oldest go when there are too many.
func (u *Line[P]) Add(f *File[P]) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.closed {
		return ErrClosed // and the folder is gone
	}
	f.timer = time.AfterFunc(lifetime, func() { _ = u.Remove(f.ID) })
	u.line = append(u.line, f)
	if len(u.line) <= maxKept {
		return nil
	}
	return u.drop(0)
}

// drop removes the file at a place in line.
func (u *Line[P]) drop(i int) error {
	f := u.line[i]
	f.timer.Stop()
	u.line = slices.Delete(u.line, i, i+1)
	return os.Remove(f.path)
}

// Find returns a file that waits. The error is ErrNotFound.
func (u *Line[P]) Find(id string) (*File[P], error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	if i := u.place(id); i >= 0 {
		return u.line[i], nil
	}
	return nil, wire.ErrNotFound
}

func (u *Line[P]) place(id string) int {
	return slices.IndexFunc(u.line, func(f *File[P]) bool { return f.ID == id })
}

// Remove removes a file. The error is ErrNotFound.
func (u *Line[P]) Remove(id string) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	i := u.place(id)
	if i < 0 {
		return wire.ErrNotFound
	}
	return u.drop(i)
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
