package keep

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// temporary are the beginnings of the names of uploads and of samples on their way
// into the records; the number of the process follows.
var temporary = []string{"thole-strokes-", "thole-samples-"}

// ClearTemporary removes uploads and samples that a server which was killed left
// behind: those of processes that run no more, and of older versions, whose names
// tell no process.
func ClearTemporary() error {
	var errs []error
	for _, prefix := range temporary {
		left, err := filepath.Glob(filepath.Join(os.TempDir(), prefix+"*"))
		errs = append(errs, err)
		for _, path := range left {
			owner, _, told := strings.Cut(strings.TrimPrefix(filepath.Base(path), prefix), "-")
			if pid, err := strconv.Atoi(owner); told && err == nil && running(pid) {
				continue
			}
			if err := os.RemoveAll(path); err != nil && !errors.Is(err, fs.ErrPermission) { // of another user
				errs = append(errs, err)
			}
		}
	}
	return errors.Join(errs...)
}

// running reports whether there is a process with a number.
func running(pid int) bool {
	process, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	err = process.Signal(syscall.Signal(0))
	return err == nil || errors.Is(err, fs.ErrPermission)
}
