package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"context"
	"database/sql"
	"fmt"
	"hash/crc32"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// fileForm is a multipart request with a file and another part.
func fileForm(t *testing.T, other, says, name string, file []byte) (body string, headers map[string]string) {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	_ = w.WriteField(other, says)
	part, err := w.CreateFormFile("file", name)
	if err == nil {
		_, err = part.Write(file)
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.String(), map[string]string{"Content-Type": w.FormDataContentType()}
}

// zeros are n MB of zeros as DEFLATE has them (RFC 1951), about a thousandth as long:
// the same block again and again, so that it takes no time to make them.
func zeros(t *testing.T, n int) (packed []byte) {
	t.Helper()
	var b bytes.Buffer
	z, err := flate.NewWriter(&b, flate.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	block := make([]byte, 1<<20)
	for range 2 { // the second reaches back into the first, as all that follow do
		if _, err = z.Write(block); err == nil {
			err = z.Flush()
		}
		if err != nil {
			t.Fatal(err)
		}
		if packed == nil {
			packed = bytes.Clone(b.Bytes())
		}
	}
	again := b.Bytes()[len(packed):]
	packed = append(packed, bytes.Repeat(again, n-1)...)
	return append(packed, 3, 0) // an empty block that is the last
}

// workbook is an archive with a sheet of n MB, whose directory says that it has as many
// bytes as said.
func workbook(t *testing.T, n int, said uint64) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, name := range []string{"[Content_Types].xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml"} {
		packed := zeros(t, n)
		part, err := w.CreateRaw(&zip.FileHeader{
			Name: name, Method: zip.Deflate, CRC32: crc32.ChecksumIEEE(nil), CompressedSize64: uint64(len(packed)), UncompressedSize64: said,
		})
		if err == nil {
			_, err = part.Write(packed)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// most is how much memory more the answer to a bomb may take: the bounds of the
// readers, a table of 8 MB read several times over. The bombs ask for gigabytes.
const most = 300 << 20

// taken returns by how many bytes the memory of the program grew at the most that the
// runtime asked of the system.
func taken(do func()) uint64 {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	do()
	runtime.ReadMemStats(&after)
	return after.Sys - before.Sys
}

// TestBombsAreRefused sends small requests that would become gigabytes, and lines
// without end, wherever a file or a document comes in: each is refused in the words of
// who sent it, and takes no memory to speak of.
func TestBombsAreRefused(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-db", filepath.Join(t.TempDir(), "club.db"))
	line := append([]byte("name,mass_kg\n"), bytes.Repeat([]byte("Ann,"), 2_000_000)...)
	files := map[string][]byte{
		"a workbook of 3 × 2 GB":        workbook(t, 2048, 2<<30),
		"one that says it is small":     workbook(t, 2048, 1000),
		"one line without end":          line,
		"one cell without end":          append([]byte("name\n\""), bytes.Repeat([]byte("A"), 8_000_000)...),
		"one line, and no end of files": bytes.Repeat([]byte("A"), 8_000_000),
	}
	for name, file := range files {
		for _, path := range []string{"/api/v1/squad/import", "/api/v1/athletes/import", "/api/v1/boats/import", "/api/v1/oars/import"} {
			body, headers := fileForm(t, "by", "Ines", "crew.xlsx", file)
			grown := taken(func() {
				got := send(t, http.MethodPost, p.url+path, body, headers)
				if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "/cannot-be-used") {
					t.Errorf("%s to %s: %d %.300s", name, path, got.status, got.body)
				}
			})
			if grown > most {
				t.Errorf("%s to %s took %d MB", name, path, grown>>20)
			}
		}
	}
	body, headers := fileForm(t, "force", "handle", "outing.csv", append([]byte("time,angle,force\n"), bytes.Repeat([]byte("1,"), 20_000_000)...))
	if got := send(t, http.MethodPost, p.url+"/api/v1/strokes/analyse", body, headers); got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "/cannot-be-used") {
		t.Errorf("a line of 40 MB of strokes: %d %.300s", got.status, got.body)
	}
	wantStatus(t, get(t, p.url+"/readyz"), http.StatusOK)
}

// TestCompressedRequestsAreNotUnpacked: nothing here unpacks what a client sends, so
// that a small body stays small. It is refused as no document.
func TestCompressedRequestsAreNotUnpacked(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-db", filepath.Join(t.TempDir(), "club.db"))
	var small bytes.Buffer
	z := gzip.NewWriter(&small)
	if _, err := io.WriteString(z, `{"name":"Edda","by":"Anna"}`); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	bomb := append([]byte{0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 0xff}, zeros(t, 900)...) // RFC 1952, 2.3.1
	for name, body := range map[string]string{"a document": small.String(), "900 MB": string(bomb[:1<<19])} {
		for _, kind := range []string{"application/json", "application/x-www-form-urlencoded"} {
			path := map[string]string{"application/json": "/api/v1/athletes", "application/x-www-form-urlencoded": "/athletes/new"}[kind]
			grown := taken(func() {
				got := send(t, http.MethodPost, p.url+path, body, map[string]string{"Content-Type": kind, "Content-Encoding": "gzip"})
				if got.status < 400 || got.status >= 500 {
					t.Errorf("%s as %s: %d %.200s", name, kind, got.status, got.body)
				}
			})
			if grown > most {
				t.Errorf("%s as %s took %d MB", name, kind, grown>>20)
			}
		}
	}
	if list := get(t, p.url+"/api/v1/athletes").body; strings.Contains(list, "Edda") {
		t.Error("a compressed document was read")
	}
}

// TestAPageThatIsDamagedUnderTheServer overwrites one page of the file while the server
// runs, and asks by JSON, by page and for its health: the damage is told, nothing is
// acknowledged after it, and check and the next start tell it, too.
func TestAPageThatIsDamagedUnderTheServer(t *testing.T) {
	path := filepath.Join(t.TempDir(), "club.db")
	start(t, "demo", "-addr", "127.0.0.1:0", "-db", path).end(t)
	root := rootPage(t, path, "athletes")
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-db", path)
	wantStatus(t, get(t, p.url+"/healthz"), http.StatusOK)
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, err = file.WriteAt(bytes.Repeat([]byte{0x5A}, 4096), int64(root-1)*4096)
	if err != nil || file.Close() != nil {
		t.Fatal(err)
	}
	addBoat := func(name string) answer {
		return send(t, http.MethodPost, p.url+"/api/v1/boats", fmt.Sprintf(`{"name":%q,"boat_class":"1x","by":"Anna"}`, name), asJSON)
	}
	// What the server has read before it may know by heart, until somebody writes.
	for i := range 3 {
		addBoat(fmt.Sprint("Quill ", i))
	}
	list := get(t, p.url+"/api/v1/athletes")
	wantStatus(t, list, http.StatusServiceUnavailable)
	if !strings.Contains(list.body, "damaged") || strings.Contains(list.body, "still there") {
		t.Errorf("%s", list.body)
	}
	if shown := get(t, p.url+"/athletes"); shown.status != http.StatusServiceUnavailable || !strings.Contains(shown.body, "damaged") {
		t.Errorf("the page: %d %.500s", shown.status, shown.body)
	}
	for _, path := range []string{"/healthz", "/readyz"} {
		wantStatus(t, get(t, p.url+path), http.StatusServiceUnavailable)
	}
	wantStatus(t, addBoat("Quaver"), http.StatusServiceUnavailable)
	p.end(t)
	for _, args := range [][]string{{"check", "-db", path}, {"serve", "-addr", "127.0.0.1:0", "-db", path}} {
		if _, said := ended(t, exitFailed, args...); !strings.Contains(said, "damaged") {
			t.Errorf("%s: %s", args[0], said)
		}
	}
}

// rootPage is the number of the page at which a table begins, from 1.
func rootPage(t *testing.T, path, table string) (page int) {
	t.Helper()
	db, err := sql.Open("sqlite3", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.QueryRowContext(context.Background(), "SELECT rootpage FROM sqlite_schema WHERE name = ?", table).Scan(&page); err != nil {
		t.Fatal(err)
	}
	return page
}
