package strokes

import (
	"bufio"
	"encoding/gob"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"

	"thole/api/store"
)

// spool holds recordings on their way into the records, with their samples in a
// file that only this user can read: those of a whole crew are too many for the
// memory.
type spool struct {
	file *os.File
	out  *gob.Encoder
	list []store.Recording // without samples
}

func newSpool() (*spool, error) {
	file, err := os.CreateTemp("", fmt.Sprintf("thole-samples-%d-", os.Getpid()))
	if err != nil {
		return nil, fmt.Errorf("making room for samples: %w", err)
	}
	return &spool{file: file, out: gob.NewEncoder(file)}, nil
}

// add puts a recording at the end.
func (s *spool) add(r store.Recording) error {
	if err := s.out.Encode(r.Samples); err != nil {
		return fmt.Errorf("putting samples aside: %w", err)
	}
	r.Samples = store.Samples{}
	s.list = append(s.list, r)
	return nil
}

// recordings returns the recordings whole, in the order in which they came.
func (s *spool) recordings() iter.Seq2[store.Recording, error] {
	return func(yield func(store.Recording, error) bool) {
		_, err := s.file.Seek(0, io.SeekStart)
		in := gob.NewDecoder(bufio.NewReader(s.file))
		for _, r := range s.list {
			if err == nil {
				err = in.Decode(&r.Samples)
			}
			if !yield(r, err) || err != nil {
				return
			}
		}
	}
}

// close removes the file.
func (s *spool) close() { _ = errors.Join(s.file.Close(), os.Remove(s.file.Name())) }
