package usage

import (
	"bytes"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"

	"thole/api/cells"
	"thole/api/wire"
)

// Read turns what was typed into a form or an address into the units of the records: what
// was sent back as it was shown is what it was; numbers of fields that were shown in the
// reader's units are in those; and a length or a mass with another unit behind it, such
// as 6'2", 15 3/4 in or 165 lb, is read for every reader. What cannot be read stays as typed.
func (u Usage) Read(form url.Values) (changed bool) {
	for name, values := range form {
		if strings.HasPrefix(name, was) {
			continue
		}
		kept, k := form[was+name], fieldIn(form, name)
		for i, text := range values {
			shown := false
			if i < len(kept) {
				of, rest, _ := strings.Cut(kept[i], "|")
				stood, as, marked := strings.Cut(rest, "|")
				if marked && text == as {
					values[i] = stood
					continue
				}
				if k, shown = kind(of), marked; holes(form, name) {
					k = aNumber
				}
			}
			values[i] = u.inRecord(k, name, text, shown)
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

// fieldIn reports what the field of a form holds by its name; of a reading at a boat by the
// setting beside it.
func fieldIn(form url.Values, name string) kind {
	if holes(form, name) {
		return aNumber
	}
	if name == "value" && strings.HasSuffix(form.Get("setting"), "_cm") {
		return rigLength
	}
	return kindOf(name)
}

// holes reports whether a field holds the number of a hole: the boat's mark is then read so.
func holes(form url.Values, name string) bool {
	return form.Get("mark") == "hole" && strings.HasSuffix(name, "heel_to_pin_cm")
}

var (
	bareNumber = regexp.MustCompile(`^\s*\d+(?:[.,]\d+)?\s*$`)
	commaed    = regexp.MustCompile(`^\s*[+−–-]?(?:\d+:)*\d*,\d+\s*$`)
	otherUnit  = regexp.MustCompile(`(?i)['′’"″”]|ft|feet|foot|\bin\b|\d\s*in\b|inch|lb|\bst\b|\d\s*st\b|stone|\d\s*m\b`)
)

// Ends of bare numbers in feet mode: up to mostFeet feet are meant, from leastCm on cm:
// nobody is 9 ft tall, or 100 in; our judgement.
const (
	mostFeet = 8.5
	leastCm  = 100
)

// inRecord is what was typed into a field as the records have it; shown tells that the
// field was shown in the reader's way, so that a bare number is in the reader's units.
func (u Usage) inRecord(k kind, name, text string, shown bool) string {
	own := shown && u.changes(k)
	switch k {
	case none:
		return text
	case rigLength, rigMove:
		return u.rigInRecord(k, text, own, shown && u.Comma)
	case bodyLength, aMass:
		if said := bodyInRecord(k, name, text, own); said != text {
			return said
		}
	}
	if shown && u.Comma && commaed.MatchString(text) {
		return strings.Replace(text, ",", ".", 1) // never thousands, for who has this sign
	}
	return text
}

// rigInRecord is a measure of the rig in the unit of its field's name. own and comma tell
// that the field was shown in the reader's unit, and with the reader's decimal sign.
func (u Usage) rigInRecord(k kind, text string, own, comma bool) string {
	size := map[kind]float64{rigLength: 1, rigMove: 1.0 / mmPerCm}[k]
	perUnit := size
	if own {
		perUnit = u.cmPerUnit()
	}
	if bare := bareNumber.MatchString(strings.TrimLeft(text, "+−–- ")); bare && !own && !comma {
		return text
	}
	cm, ok := readRig(strings.ReplaceAll(text, "\u00a0", " "), perUnit)
	if !ok {
		return text
	}
	return strconv.FormatFloat(wire.Round(cm/size, 1e4), 'f', -1, 64)
}

// bodyInRecord is a length or a mass of a body in cm or kg.
func bodyInRecord(k kind, name, text string, own bool) string {
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
		if v, complaint = cells.Length(text, "in"); complaint != "" {
			if cm, ok := readRig(text, cmPerInch); ok { // with a fraction
				v, complaint = cm, ""
			}
		}
	}
	if complaint != "" {
		return text
	}
	return strconv.FormatFloat(float64(int(v*100+0.5))/100, 'f', -1, 64)
}

// wholeBody reports whether the length in a field can be some feet.
func wholeBody(name string) bool {
	return strings.HasSuffix(name, "stature_cm") || strings.HasSuffix(name, "arm_span_cm")
}

// Handler gives pages the usage of who asks, and turns what was typed into the units of
// the records. mostForm is how long a form may be, bytes; longer ones are left to the
// page, which refuses them.
func (readers *Readers) Handler(pages http.Handler, mostForm int64) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r, u := readers.with(r)
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

// touches reports whether an address can hold a value to be read here.
func touches(query string) bool {
	return strings.Contains(query, "_kg=") || strings.Contains(query, "_cm") || strings.Contains(query, "_mm=") || strings.Contains(query, "was%3A") || strings.Contains(query, "was:")
}
