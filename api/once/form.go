package once

import (
	"bytes"
	"cmp"
	"io"
	"mime"
	"net/http"
	"net/url"
	"strings"
)

// Field names the key of a form of a page. It is taken out before the form is read.
const Field = "once"

// Forms lets the forms that are posted to a handler count once where they have a
// key, however often they are sent as they are: with other content a form is another
// one. A form has most bytes; larger ones are left to the handler.
func (k *Keeper) Forms(next http.Handler, most int64) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		key, body := takeKey(r, most)
		if key == "" {
			next.ServeHTTP(w, r)
			return
		}
		_ = k.form(w, r, key, body, "", func(w http.ResponseWriter, r *http.Request) error {
			next.ServeHTTP(w, r)
			return nil
		})
	})
}

// Read is [Keeper.Forms] for a form that has been read, of whatever size. Where it came
// before, it leads to an address.
func (k *Keeper) Read(w http.ResponseWriter, r *http.Request, to string, next func(http.ResponseWriter, *http.Request) error) error {
	key := r.PostForm.Get(Field)
	if key == "" {
		return next(w, r)
	}
	r.PostForm.Del(Field)
	return k.form(w, r, key, []byte(r.PostForm.Encode()), to, next)
}

// form works on a form once. Errors of the key next meets, too, and tells.
func (k *Keeper) form(w http.ResponseWriter, r *http.Request, key string, body []byte, to string, next func(http.ResponseWriter, *http.Request) error) error {
	asked := Request{Key: "form " + key, Scope: r.URL.Path, Body: body, ByContent: true}
	ctx, done, before, err := k.Begin(r.Context(), asked)
	switch {
	case err != nil:
		return next(w, r)
	case before != nil:
		before.Location = cmp.Or(before.Location, to)
		before.leadOn(w, r)
		return nil
	}
	rec := &answering{ResponseWriter: w, status: http.StatusInternalServerError}
	defer func() { done(rec.status, cmp.Or(w.Header().Get("HX-Redirect"), w.Header().Get("Location"))) }()
	return next(rec, r.WithContext(ctx))
}

// takeKey reads a form up to most bytes and takes the key out of it; what stays is
// for the next who reads, and is returned.
func takeKey(r *http.Request, most int64) (key string, rest []byte) {
	kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if r.Method != http.MethodPost || kind != "application/x-www-form-urlencoded" || r.ContentLength > most {
		return "", nil
	}
	body, err := io.ReadAll(io.LimitReader(r.Body, most+1))
	again := io.MultiReader(bytes.NewReader(body), r.Body) // what is left, and where it broke off
	var parts []string
	whole, found := err == nil && int64(len(body)) <= most, false
	for part := range strings.SplitSeq(string(body), "&") {
		if value, ok := strings.CutPrefix(part, Field+"="); ok && whole {
			key, _ = url.QueryUnescape(value)
			found = true
			continue
		}
		parts = append(parts, part)
	}
	if found {
		rest = []byte(strings.Join(parts, "&"))
		again = bytes.NewReader(rest)
		r.ContentLength = int64(len(rest))
	}
	r.Body = struct {
		io.Reader
		io.Closer
	}{again, r.Body}
	return key, rest
}

// answering is an answer that remembers its status.
type answering struct {
	http.ResponseWriter
	status int
	begun  bool
}

func (a *answering) WriteHeader(status int) {
	if !a.begun && status >= http.StatusOK {
		a.status, a.begun = status, true
	}
	a.ResponseWriter.WriteHeader(status)
}

func (a *answering) Write(part []byte) (int, error) {
	if !a.begun {
		a.status, a.begun = http.StatusOK, true
	}
	return a.ResponseWriter.Write(part)
}

// Unwrap lets http.ResponseController reach the writer below.
func (a *answering) Unwrap() http.ResponseWriter { return a.ResponseWriter }

// leadOn leads on from a form that came before: to where it led, or to the page that
// it stands on, as that is now.
func (a *Answer) leadOn(w http.ResponseWriter, r *http.Request) {
	switch {
	case r.Header.Get("HX-Request") == "":
		http.Redirect(w, r, cmp.Or(a.Location, r.Referer(), "/"), http.StatusSeeOther)
		return
	case a.Location != "":
		w.Header().Set("HX-Redirect", a.Location)
	default:
		w.Header().Set("HX-Refresh", "true")
	}
	w.WriteHeader(http.StatusNoContent)
}
