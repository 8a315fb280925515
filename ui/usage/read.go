package usage

import (
	"bytes"
	"io"
	"log/slog"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"thole/api/cells"
	"thole/api/people"
)

// Read turns what was typed into a form or an address into the units of the records: what
// was sent back as it was shown is what it was; numbers of fields that were shown in the
// reader's units are in those; and a length or a mass with another unit behind it, such
// as 6'2" or 165 lb, is read for every reader. What cannot be read stays as typed.
func (u Usage) Read(form url.Values) (changed bool) {
	for name, values := range form {
		k := kindOf(name)
		if k == none {
			continue
		}
		kept := form[was+name]
		for i, text := range values {
			if i < len(kept) {
				if stood, shown, _ := strings.Cut(kept[i], "|"); text == shown {
					values[i] = stood
					continue
				}
			}
			values[i] = inRecord(name, text, i < len(kept) && u.changes(k))
			changed = changed || values[i] != text
		}
	}
	for name := range form {
		if strings.HasPrefix(name, was) {
			delete(form, name)
			changed = true
		}
	}
	return changed
}

var (
	bareNumber = regexp.MustCompile(`^\s*\d+(?:[.,]\d+)?\s*$`)
	otherUnit  = regexp.MustCompile(`(?i)['′’"″”]|ft|feet|foot|\bin\b|\d\s*in\b|inch|lb|\bst\b|\d\s*st\b|stone|\d\s*m\b`)
)

// Ends of bare numbers in feet mode: up to mostFeet feet are meant, from leastCm on cm:
// nobody is 9 ft tall, or 100 in.
const (
	mostFeet = 8.5
	leastCm  = 100
)

// inRecord is what was typed in cm or kg; own tells that the field was shown in the
// reader's units, so that a bare number is in those.
func inRecord(name, text string, own bool) string {
	k := kindOf(name)
	bare := bareNumber.MatchString(text)
	if !(own && bare) && !otherUnit.MatchString(text) {
		return text
	}
	v, complaint := 0.0, ""
	switch {
	case k == aMass && bare:
		v = number(strings.TrimSpace(text)) * kgPerPound
	case k == aMass:
		v, complaint = cells.Mass(text, "lb")
	case bare && number(strings.TrimSpace(text)) >= leastCm:
		return text
	case bare && number(strings.TrimSpace(text)) <= mostFeet && wholeBody(name):
		v = number(strings.TrimSpace(text)) * inPerFoot * cmPerInch
	case bare:
		v = number(strings.TrimSpace(text)) * cmPerInch
	default:
		v, complaint = cells.Length(text, "in")
	}
	if complaint != "" {
		return text
	}
	return strconv.FormatFloat(float64(int(v*100+0.5))/100, 'f', -1, 64)
}

// wholeBody tells the fields whose lengths can be some feet.
func wholeBody(name string) bool {
	return strings.HasSuffix(name, "stature_cm") || strings.HasSuffix(name, "arm_span_cm")
}

// Handler gives pages the usage of who asks, and turns what was typed into the units of
// the records. mostForm is how long a form may be, bytes; longer ones are left to the
// page, which refuses them.
func Handler(pages http.Handler, service *people.Service, log *slog.Logger, mostForm int64) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		u, err := Asked(service, r)
		if err != nil && r.Context().Err() == nil { // the page meets the same fault, and tells
			log.Error("units and words cannot be read", "err", err)
		}
		if !u.Default() {
			r = r.WithContext(With(r.Context(), u))
		}
		if r.URL.RawQuery != "" && touches(r.URL.RawQuery) {
			query := r.URL.Query()
			if u.Read(query) {
				address := *r.URL
				address.RawQuery = query.Encode()
				r = r.WithContext(r.Context())
				r.URL = &address
			}
		}
		if r.Method == http.MethodPost && strings.HasPrefix(r.Header.Get("Content-Type"), "application/x-www-form-urlencoded") && r.ContentLength >= 0 && r.ContentLength <= mostForm {
			u.readBody(r)
		}
		pages.ServeHTTP(w, r)
	})
}

// readBody reads a form that was posted; one that is cut off or no form stays as it is,
// for the page to refuse.
func (u Usage) readBody(r *http.Request) {
	body, err := io.ReadAll(io.LimitReader(r.Body, r.ContentLength))
	form, err2 := url.ParseQuery(string(body))
	if err == nil && err2 == nil && u.Read(form) {
		body = []byte(form.Encode())
		r.ContentLength = int64(len(body))
	}
	rest := io.Reader(bytes.NewReader(body))
	if err != nil {
		rest = io.MultiReader(rest, failing{err})
	}
	r.Body = struct {
		io.Reader
		io.Closer
	}{rest, r.Body}
}

// failing is a body that could not be read on.
type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

// touches tells whether an address can hold a value to be read here.
func touches(query string) bool {
	return strings.Contains(query, "_kg=") || strings.Contains(query, "_cm=") || strings.Contains(query, "was%3A") || strings.Contains(query, "was:")
}
