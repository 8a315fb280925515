package strokefile_test

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/api/apitest"
	"thole/api/jobs"
	"thole/api/strokefile"
	"thole/api/wire"
)

// TestUploadsGoWithTheService holds that the folder is private, that the
// oldest file goes when there are too many, and that nothing is left at the
// end.
func TestUploadsGoWithTheService(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	s := api.NewService(nil)
	var first string
	for i := range 8 {
		u, err := s.Strokefile.Upload(t.Context(), fmt.Sprintf("../../etc/%d\x00.csv", i), strings.NewReader(apitest.Rows(5, apitest.Known)))
		if err != nil || strings.ContainsAny(u.Name, "/\x00") {
			t.Fatal(err, u.Name)
		}
		if i == 0 {
			first = u.ID
		}
	}
	if _, err := s.Strokefile.UploadOf(t.Context(), strokefile.UploadRequest{ID: first}); err == nil {
		t.Error("the oldest upload is still there")
	}
	folders, err := filepath.Glob(filepath.Join(os.TempDir(), "*"))
	if err != nil || len(folders) != 1 {
		t.Fatal(err, folders)
	}
	info, err := os.Stat(folders[0])
	if err != nil || info.Mode().Perm() != 0o700 {
		t.Error(err, info.Mode())
	}
	files, _ := os.ReadDir(folders[0])
	apitest.Same(t, "files kept", len(files), 6)
	s.Close()
	if _, err := os.Stat(folders[0]); !os.IsNotExist(err) {
		t.Error("the folder is left behind")
	}
	if _, err := s.Strokefile.Upload(t.Context(), "late.csv", strings.NewReader(apitest.Rows(5, apitest.Known))); err == nil {
		t.Error("a closed service takes uploads")
	}
}

// TestOneOffFilesAreRemoved holds that measuring leaves no file behind, done,
// refused or as a job.
func TestOneOffFilesAreRemoved(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	s := api.NewService(nil)
	defer s.Close()
	e := echo.New()
	api.Mount(e, s, slog.New(slog.DiscardHandler))
	for _, header := range []string{"", "respond-async"} {
		for _, mapping := range []string{apitest.PlainMapping, "{"} {
			r := apitest.MultipartRequest(apitest.AnalysePath, apitest.FileOf(apitest.Rows(10, apitest.Known)), apitest.Part{Name: "mapping", File: "", Text: mapping})
			r.Header.Set("Prefer", header)
			w := httptest.NewRecorder()
			e.ServeHTTP(w, r)
			if w.Code == http.StatusAccepted {
				job := apitest.Decoded[wire.Job](t, w.Body.Bytes())
				for job.State == "running" {
					job, _ = s.Jobs.Job(t.Context(), jobs.JobRequest{ID: job.ID})
				}
			}
		}
	}
	files, err := filepath.Glob(filepath.Join(os.TempDir(), "*", "*"))
	if err != nil || len(files) != 0 {
		t.Error(err, files)
	}
}

// TestAnalysisCanBeCancelled cancels while a file without end comes in.
func TestAnalysisCanBeCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	text := apitest.Rows(30, apitest.Known)
	src := &looped{text: strings.TrimPrefix(text, text[:strings.Index(text, "\n")+1]), left: 1 << 40}
	body := io.MultiReader(strings.NewReader(text), readerFunc(func(p []byte) (int, error) { cancel(); return src.Read(p) }))
	if _, err := apitest.Service.Strokefile.AnalyseStrokes(ctx, strokefile.AnalyseStrokesRequest{Force: "handle"}, body); err != context.Canceled {
		t.Errorf("err = %v", err)
	}
}

type readerFunc func([]byte) (int, error)

func (f readerFunc) Read(p []byte) (int, error) { return f(p) }
