package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"
)

// assets serves the embedded files at addresses that name their content, so
// that browsers may keep them for good.
type assets struct {
	byAddress map[string]asset
	addresses map[string]string // file name to address
}

type asset struct {
	name string
	body []byte
}

// loadAssets reads the embedded files and names each by its content. The style
// sheets and the scripts are bundled in the order of their names, so that a
// page asks for one of each.
func loadAssets(files fs.FS) (*assets, error) {
	a := &assets{byAddress: map[string]asset{}, addresses: map[string]string{}}
	for name, pattern := range map[string]string{
		"thole.css":   "assets/css/*.css",
		"thole.js":    "assets/js/*.js",
		"mark.svg":    "assets/mark.svg",
		"htmx.min.js": "node_modules/htmx.org/dist/htmx.min.js",
	} {
		body, err := bundle(files, pattern)
		if err != nil {
			return nil, fmt.Errorf("reading the assets: %w", err)
		}
		a.add(name, body)
	}
	return a, nil
}

// bundle joins the embedded files that match the pattern.
func bundle(files fs.FS, pattern string) ([]byte, error) {
	names, err := fs.Glob(files, pattern)
	if err != nil {
		return nil, err
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("no file matches %s", pattern)
	}
	var whole []byte
	for _, name := range names {
		body, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		whole = append(whole, body...)
	}
	return whole, nil
}

func (a *assets) add(name string, body []byte) {
	sum := sha256.Sum256(body)
	ext := path.Ext(name)
	hashed := strings.TrimSuffix(name, ext) + "-" + hex.EncodeToString(sum[:6]) + ext
	a.byAddress[hashed] = asset{name: name, body: body}
	a.addresses[name] = "/assets/" + hashed
}

// address returns where the named file is served. Templates call it, so that a
// name that does not exist fails the rendering.
func (a *assets) address(name string) (string, error) {
	address, ok := a.addresses[name]
	if !ok {
		return "", fmt.Errorf("no asset %q", name)
	}
	return address, nil
}

// ServeHTTP serves one file.
func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	file, ok := a.byAddress[r.PathValue("name")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	http.ServeContent(w, r, file.name, time.Time{}, bytes.NewReader(file.body))
}
