package main

import (
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"net/netip"
	"runtime/debug"
	"strings"
	"time"

	"github.com/klauspost/compress/gzhttp"
	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/api/rest"
	"thole/api/wire"
	"thole/ui/people"
)

// newHandler puts the JSON interface, the pages and /healthz behind one
// address, with what every answer and every write must pass.
func newHandler(service *api.Service, pages http.Handler, way *reach, gate *people.Gate, log *slog.Logger) (http.Handler, error) {
	routes := echo.New()
	api.Mount(routes, service, log)
	compressed, err := gzhttp.NewWrapper(gzhttp.EnableZstd(false), gzhttp.SuffixETag(rest.Compressed))
	if err != nil {
		return nil, fmt.Errorf("setting up compression: %w", err)
	}
	inner := http.NewServeMux()
	inner.Handle("/api/v1/", routes)
	inner.Handle("/", pages)
	known := http.Handler(&kept{version: service.DataVersion, today: service.Today, next: inner})
	if gate != nil {
		known = gate.Around(known)
	}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /healthz", healthy(service, log))
	mux.HandleFunc("GET /readyz", ready(service, healthy(service, log)))
	mux.Handle("/", known)
	return secured(compressed(observed(way.around(guarded(mux)), log))), nil
}

// healthy reports whether the server takes requests and its records answer.
func healthy(service *api.Service, log *slog.Logger) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.Header().Set("Cache-Control", "no-store")
		if err := service.Ping(r.Context()); err != nil {
			log.Error("the records do not answer", "err", err)
			w.WriteHeader(http.StatusServiceUnavailable)
			_, _ = w.Write([]byte("the records do not answer\n"))
			return
		}
		_, _ = w.Write([]byte("ok\n"))
	}
}

// ready reports whether more requests should be sent here: the server is healthy,
// and there is room for big work.
func ready(service *api.Service, healthy http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if service.Club.Gate.Full() {
			w.Header().Set("Content-Type", "text/plain; charset=utf-8")
			w.Header().Set("Cache-Control", "no-store")
			w.Header().Set("Retry-After", rest.RetryAfter)
			w.WriteHeader(http.StatusServiceUnavailable)
			_, _ = w.Write([]byte("too much big work waits\n"))
			return
		}
		healthy(w, r)
	}
}

// contentPolicy lets a page load and send only what is Thole's own.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; media-src blob:; " +
	"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// secured sets the security headers of every answer.
func secured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// guarded turns away requests that another site made a browser send.
func guarded(next http.Handler) http.Handler {
	crossOrigin := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := crossOrigin.Check(r); err != nil {
			refuse(w, http.StatusForbidden, "This request comes from a page of another site. Send it from a page of this one.")
			return
		}
		next.ServeHTTP(w, r)
	})
}

// namesThisMachine reports whether a Host header means the loopback interface. A
// foreign site can point its own name at 127.0.0.1 and so pass for the same
// origin; its name gives it away.
func namesThisMachine(host string) bool {
	name := hostAlone(host)
	ip, err := netip.ParseAddr(strings.Trim(name, "[]"))
	return err == nil && ip.IsLoopback() || strings.EqualFold(name, "localhost")
}

// observed logs each request and answers those whose handler panicked. The
// query stays out of the log: addresses can hold what is known about a rower.
func observed(next http.Handler, log *slog.Logger) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		rec := &recorder{ResponseWriter: w}
		start := time.Now()
		defer func() {
			log.Debug("request", "method", r.Method, "path", wire.LoggedPath(r.URL.Path), "status", rec.status, "elapsed", time.Since(start))
		}()
		defer func() {
			if fault := recover(); fault != nil {
				rec.mend(r, fault, log)
			}
		}()
		next.ServeHTTP(rec, r)
	})
}

// recorder remembers the status of an answer, 0 before there is one.
type recorder struct {
	http.ResponseWriter
	status int
}

// WriteHeader notes the first status that is not merely informational.
func (r *recorder) WriteHeader(status int) {
	if r.status == 0 && status >= http.StatusOK {
		r.status = status
	}
	r.ResponseWriter.WriteHeader(status)
}

// Write implies status 200 as everywhere in net/http.
func (r *recorder) Write(body []byte) (int, error) {
	if r.status == 0 {
		r.status = http.StatusOK
	}
	return r.ResponseWriter.Write(body)
}

// Unwrap lets http.ResponseController reach the writer below.
func (r *recorder) Unwrap() http.ResponseWriter { return r.ResponseWriter }

// mend answers for a handler that panicked. An answer already begun is broken
// off, so that nobody takes half of it for the whole.
func (r *recorder) mend(request *http.Request, fault any, log *slog.Logger) {
	if fault == http.ErrAbortHandler {
		panic(fault)
	}
	log.Error("handler panicked", "method", request.Method, "path", wire.LoggedPath(request.URL.Path), "fault", fault, "stack", string(debug.Stack()))
	if r.status != 0 {
		panic(http.ErrAbortHandler)
	}
	refuse(r, http.StatusInternalServerError, "The fault is in Thole and has been logged.")
}

// refuse answers with a problem, as the JSON interface does.
func refuse(w http.ResponseWriter, status int, detail string) {
	body, err := json.Marshal(wire.Problem{Status: status, Detail: detail}.Typed())
	if err != nil {
		panic("thole: a problem cannot be encoded: " + err.Error())
	}
	h := w.Header()
	for _, name := range []string{"Content-Encoding", "Content-Length", "ETag"} {
		h.Del(name) // of the answer that did not come about
	}
	h.Set("Content-Type", "application/problem+json")
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(body)
}
