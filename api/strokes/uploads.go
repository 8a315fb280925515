package strokes

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

	"thole/api/rest"
	"thole/api/wire"
	"thole/selection/stroke"
)

// Bounds of the files that wait to be measured.
const (
	maxUpload      = 1 << 30   // bytes of one file
	maxUploads     = 6         // files kept; the oldest goes first
	uploadLifetime = time.Hour // after which a file is removed
)

// Upload is a file of measurements that waits to be measured. It is removed
// when an hour has passed, and when the program ends.
type Upload struct {
	ID       string         `json:"id"`
	Name     string         `json:"name" description:"Of the file, as sent."`
	Bytes    int64          `json:"bytes"`
	Proposal StrokeProposal `json:"proposal" description:"How the file seems to be read, to be confirmed."`
}

// UploadRequest names an upload.
type UploadRequest struct {
	ID string `path:"id" json:"-"`
}

// RemovedUpload names an upload that is gone.
type RemovedUpload struct {
	ID string `json:"id"`
}

// AnalyseUploadRequest asks to measure a file that was uploaded.
type AnalyseUploadRequest struct {
	ID         string            `path:"id" json:"-"`
	Mapping    *StrokeMapping    `json:"mapping" description:"Left out: as detected, where that is certain."`
	Force      string            `json:"force,omitempty" enum:",handle,gate" description:"Where the force was measured; needed where the mapping is left out."`
	Thresholds *StrokeThresholds `json:"thresholds" description:"Left out: 30 % of each stroke's own peak."`
	Levers     *OarLevers        `json:"levers" description:"Left out: no work and no power."`
}

// uploads spools files to a folder that only this user can read.
type uploads struct {
	mu     sync.Mutex
	folder string // "" before the first file
	line   []*upload
	closed bool
}

// upload is one file. A file that is being read when it is removed can be
// read to its end.
type upload struct {
	Upload
	path  string
	sum   []byte // of its content, SHA-256
	timer *time.Timer
}

func newUploads() *uploads { return &uploads{} }

// errClosed says that the program is ending.
var errClosed = errors.New("the program is ending")

// room returns the folder, which is made for the first file.
func (u *uploads) room() (string, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.closed {
		return "", errClosed
	}
	if u.folder != "" {
		return u.folder, nil
	}
	folder, err := os.MkdirTemp("", fmt.Sprintf("thole-strokes-%d-", os.Getpid()))
	if err != nil {
		return "", fmt.Errorf("making room for a file of strokes: %w", err)
	}
	u.folder = folder
	return folder, nil
}

// spool writes a file to the folder, out of line. Errors: *malformed for a file that is too
// large, *Unreadable for one that is no text or, where check is set, begins like no
// table.
func (u *uploads) spool(name string, src io.Reader, check bool) (*upload, error) {
	beginning, err := io.ReadAll(io.LimitReader(src, stroke.SampleSize))
	if err != nil {
		return nil, rest.ExplainReading(err)
	}
	f := &upload{Upload: Upload{ID: rand.Text(), Name: plainName(name)}}
	if check || bytes.IndexByte(beginning, 0) >= 0 { // no need to write what cannot be text
		if f.Proposal, err = detectStrokes(beginning); err != nil {
			return nil, err
		}
	}
	folder, err := u.room()
	if err != nil {
		return nil, err
	}
	f.path = filepath.Join(folder, f.ID)
	sum := sha256.New()
	f.Bytes, err = writeFile(f.path, io.TeeReader(io.MultiReader(bytes.NewReader(beginning), src), sum))
	f.sum = sum.Sum(nil)
	if err != nil {
		return nil, errors.Join(err, os.Remove(f.path))
	}
	return f, nil
}

// discard removes a file that is not in line.
func (f *upload) discard() { _ = os.Remove(f.path) }

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
		return "strokes"
	}
	return name
}

// add puts the file in line, and lets the oldest go when there are too many.
func (u *uploads) add(f *upload) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.closed {
		return errClosed // and the folder is gone
	}
	f.timer = time.AfterFunc(uploadLifetime, func() { _ = u.remove(f.ID) })
	u.line = append(u.line, f)
	if len(u.line) <= maxUploads {
		return nil
	}
	return u.drop(0)
}

// drop removes the file at a place in line.
func (u *uploads) drop(i int) error {
	f := u.line[i]
	f.timer.Stop()
	u.line = slices.Delete(u.line, i, i+1)
	return os.Remove(f.path)
}

// find returns a file that waits. The error is ErrNotFound.
func (u *uploads) find(id string) (*upload, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	if i := u.place(id); i >= 0 {
		return u.line[i], nil
	}
	return nil, wire.ErrNotFound
}

func (u *uploads) place(id string) int {
	return slices.IndexFunc(u.line, func(f *upload) bool { return f.ID == id })
}

// remove removes a file. The error is ErrNotFound.
func (u *uploads) remove(id string) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	i := u.place(id)
	if i < 0 {
		return wire.ErrNotFound
	}
	return u.drop(i)
}

// close removes every file and takes no more.
func (u *uploads) close() {
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

// Upload keeps a file of measurements for an hour and proposes how to read it.
// Errors: *Unreadable for a file that is no table, and one of status 413 for a
// file of more than 1 GB.
func (s *Service) Upload(_ context.Context, name string, file io.Reader) (Upload, error) {
	f, err := s.uploads.spool(name, file, true)
	if err != nil {
		return Upload{}, err
	}
	return f.Upload, s.uploads.add(f)
}

// UploadOf returns an upload. The error is ErrNotFound.
func (s *Service) UploadOf(_ context.Context, r UploadRequest) (Upload, error) {
	f, err := s.uploads.find(r.ID)
	if err != nil {
		return Upload{}, err
	}
	return f.Upload, nil
}

// RemoveUpload removes an upload. The error is ErrNotFound.
func (s *Service) RemoveUpload(_ context.Context, r UploadRequest) (RemovedUpload, error) {
	return RemovedUpload(r), s.uploads.remove(r.ID)
}

// AnalyseUpload measures the strokes of an upload, telling its progress in
// bytes. The error is ErrNotFound, an *Invalid, an *Unreadable or the
// context's.
func (s *Service) AnalyseUpload(ctx context.Context, r AnalyseUploadRequest) (StrokeReport, error) {
	f, err := s.uploads.find(r.ID)
	if err != nil {
		return StrokeReport{}, err
	}
	return f.analyse(ctx, &AnalyseStrokesRequest{Mapping: r.Mapping, Force: r.Force, Thresholds: r.Thresholds, Levers: r.Levers})
}

func (f *upload) analyse(ctx context.Context, r *AnalyseStrokesRequest) (StrokeReport, error) {
	file, err := f.open()
	if err != nil {
		return StrokeReport{}, err
	}
	defer file.Close()
	report, mapping, err := analyseStrokes(ctx, r, file, f.Bytes, nil)
	if err != nil {
		return StrokeReport{}, err
	}
	return wireReport(report, mapping, r.Levers), nil
}

// open opens the file. One that was removed meanwhile is ErrNotFound.
func (f *upload) open() (io.ReadCloser, error) {
	file, err := os.Open(f.path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, wire.ErrNotFound
	}
	return file, err
}
