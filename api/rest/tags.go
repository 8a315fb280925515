package rest

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"log/slog"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"

	"thole/api/access"
	"thole/api/wire"
)

// Headers of conditional requests (RFC 9110, 8.8.3 and 13.1).
const (
	headerETag        = "ETag"
	headerIfMatch     = "If-Match"
	headerIfNoneMatch = "If-None-Match"
)

// Compressed is what the entity tag of a compressed answer ends in: it differs from
// the plain one byte by byte, and a strong tag says that (RFC 9110, 8.8.1).
const Compressed = "-gzip"

// TagOfCompressed is the tag of an answer once it is compressed.
func TagOfCompressed(tag string) string { return strings.TrimSuffix(tag, `"`) + Compressed + `"` }

// tagOf is the strong entity tag of an answer: the version of the record, where it
// has one, and a digest of all that is said, of 72 bits.
func tagOf(out any, body []byte) string {
	sum := sha256.Sum256(body)
	digest := base64.RawURLEncoding.EncodeToString(sum[:9])
	if v := reflect.Indirect(reflect.ValueOf(out)); v.Kind() == reflect.Struct {
		if version := v.FieldByName("Version"); version.IsValid() && version.CanInt() {
			digest = fmt.Sprintf("%d.%s", version.Int(), digest)
		}
	}
	return `"` + digest + `"`
}

// namesTag reports whether the tags of a condition, the values of a header, name the
// tag of what is there; "" is nothing there. Weak tags name nothing where the
// comparison is strong (RFC 9110, 8.8.3.2).
func namesTag(values []string, there string, strong bool) bool {
	plain := func(tag string) string { return strings.Replace(tag, Compressed+`"`, `"`, 1) }
	for _, tag := range strings.Split(strings.Join(values, ","), ",") {
		tag = strings.TrimSpace(tag)
		if !strong {
			tag = strings.TrimPrefix(tag, "W/")
		}
		if there != "" && (tag == "*" || plain(tag) == plain(there)) {
			return true
		}
	}
	return false
}

// Unchanged reports whether a client that reads has the answer with this tag
// already.
func Unchanged(r *http.Request, tag string) bool {
	asked := r.Header.Values(headerIfNoneMatch)
	return (r.Method == http.MethodGet || r.Method == http.MethodHead) && namesTag(asked, tag, false)
}

// sendTagged sends a good answer to a reader, or says that it is what the reader has.
func sendTagged(c echo.Context, contentType, tag string, body []byte) error {
	c.Response().Header().Set(headerETag, tag)
	if Unchanged(c.Request(), tag) {
		return c.NoContent(http.StatusNotModified)
	}
	return c.Blob(http.StatusOK, contentType, body)
}

// conditions holds writes to what their sender has read. One that is held so waits
// for the others, so that nothing comes between looking and writing.
type conditions struct {
	mu sync.Mutex
}

// errMoved refuses a write to what is not as its sender read it.
var errMoved = &wire.Refusal{Status: http.StatusPreconditionFailed, Text: "this is not as you read it any more, or there is none: read it again"}

// around holds PUT and DELETE to If-Match and If-None-Match. Read answers what is
// there at the same address; nil where nothing can be read.
func (w *conditions) around(read, next echo.HandlerFunc, log *slog.Logger) echo.HandlerFunc {
	return func(c echo.Context) error {
		match, none := c.Request().Header.Values(headerIfMatch), c.Request().Header.Values(headerIfNoneMatch)
		if len(match) == 0 && len(none) == 0 {
			return next(c)
		}
		w.mu.Lock()
		defer w.mu.Unlock()
		there := ""
		if read != nil {
			seen := look(c, read)
			if seen.status >= 400 && seen.status != http.StatusNotFound {
				return next(c) // which meets the same, and tells
			}
			there = seen.header.Get(headerETag)
		}
		if len(match) > 0 && !namesTag(match, there, true) || namesTag(none, there, false) {
			return answer(c, log, errMoved)
		}
		return next(c)
	}
}

// look reads what is at the address of a request, with one more parameter of the
// path where that is what names it.
func look(c echo.Context, read echo.HandlerFunc, param ...string) *unsent {
	r := c.Request().Clone(c.Request().Context())
	r.Method, r.Body, r.ContentLength, r.URL.RawQuery = http.MethodGet, http.NoBody, 0, ""
	r.Header = http.Header{}
	w := &unsent{header: http.Header{}, status: http.StatusInternalServerError}
	seen := c.Echo().NewContext(r, w)
	seen.SetPath(c.Path())
	names, values := slices.Clone(c.ParamNames()), slices.Clone(c.ParamValues())
	if len(param) == 2 {
		names, values = append(names, param[0]), append(values, param[1])
	}
	seen.SetParamNames(names...)
	seen.SetParamValues(values...)
	_ = read(seen) // what fails has its status
	return w
}

// unsent takes in an answer that nobody gets.
type unsent struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (w *unsent) Header() http.Header { return w.header }

func (w *unsent) WriteHeader(status int) { w.status = status }

func (w *unsent) Write(part []byte) (int, error) { return w.body.Write(part) }

// readerAt finds the route that reads the address of another, nil for none.
func readerAt(routes []Route, path string) *Route {
	i := slices.IndexFunc(routes, func(r Route) bool { return r.Method == http.MethodGet && r.Path == path && r.Media == "" })
	if i < 0 {
		return nil
	}
	return &routes[i]
}

// conditional reports whether writes of the method are held to conditions.
func conditional(method string) bool { return method == http.MethodPut || method == http.MethodDelete }

// held puts a route behind the conditions of its requests.
func (w *conditions) held(r *Route, routes []Route, jobs Jobs, owners access.Owners, log *slog.Logger) echo.HandlerFunc {
	next := r.handler(r, jobs, log)
	if !conditional(r.Method) {
		return next
	}
	var read echo.HandlerFunc
	if there := readerAt(routes, r.Path); there != nil {
		read = guarded(there.Access, owners, log, there.handler(there, jobs, log))
	}
	return w.around(read, next, log)
}
