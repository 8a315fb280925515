package usage

import (
	"context"
	"log/slog"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"thole/api/access"
	"thole/api/people"
)

// Typed are names and notes on record that a rewrite would change, the longest first: a
// boat may be called Port Ellen, and a note say that something was moved 3 cm to port.
type Typed []string

// Theirs are those of the texts that people wrote which a usage would change. Where
// somebody is called Port, that word is left alone wherever it begins with a capital; a
// text that is nothing but a measure, or a side without a capital, cannot be told from the
// page's own: where it stands alone its element has the class typed.
func Theirs(texts []string) Typed {
	all := Usage{Feet: true, Rig: people.Inches, Pounds: true, Stroke: true, Days: MonthFirst, Comma: true}
	var list Typed
	for _, text := range texts {
		for line := range strings.Lines(text) {
			line = strings.TrimSpace(line)
			if changed := all.prose(line, true) != line || all.prose(line, false) != line; changed && ownWords(line) {
				list = append(list, line)
			}
		}
	}
	slices.SortFunc(list, func(a, b string) int { return len(b) - len(a) })
	return slices.Compact(list)
}

// ownWords reports whether a text has a word that pages do not rewrite, or a side as a name.
func ownWords(text string) bool {
	if side := sideWord.FindString(text); side != "" && unicode.IsUpper(rune(side[0])) {
		return true
	}
	rest := sideWord.ReplaceAllString(anyNumber.ReplaceAllString(text, ""), "")
	for _, word := range strings.FieldsFunc(rest, func(c rune) bool { return !unicode.IsLetter(c) }) {
		if !slices.Contains([]string{"cm", "mm", "kg", "to", "and", "side"}, word) && !slices.Contains(months, word) {
			return true
		}
	}
	return false
}

// Bounds of what stands in for a text that people wrote while the rest is rewritten: signs
// for private use, of which no page has any.
const (
	firstSign = '\uE000'
	lastSign  = '\uF8FF'
)

// around rewrites a text but for what people wrote in it.
func (t Typed) around(text string, rewrite func(string) string) string {
	said := rewrite(text)
	if said == text || !strings.Contains(text, "“") && !slices.ContainsFunc(t, func(own string) bool { return strings.Contains(text, own) }) {
		return said
	}
	var kept []string
	keep := func(found string) string {
		if firstSign+rune(len(kept)) > lastSign {
			return found
		}
		kept = append(kept, found)
		return string(firstSign + rune(len(kept)-1))
	}
	text = quoted.ReplaceAllStringFunc(text, keep)
	for _, own := range t {
		for from := 0; ; {
			at := strings.Index(text[from:], own)
			if at < 0 {
				break
			}
			if at += from; !alone(text, at, at+len(own)) {
				from = at + len(own)
				continue
			}
			sign := keep(own)
			text = text[:at] + sign + text[at+len(own):]
			from = at + len(sign)
		}
	}
	text = rewrite(text)
	for i, own := range slices.Backward(kept) {
		text = strings.Replace(text, string(firstSign+rune(i)), own, 1)
	}
	return text
}

// alone reports whether no letter or digit stands beside a part of a text.
func alone(text string, from, to int) bool {
	before, _ := utf8.DecodeLastRuneInString(text[:from])
	after, _ := utf8.DecodeRuneInString(text[to:])
	return !unicode.IsLetter(before) && !unicode.IsDigit(before) && !unicode.IsLetter(after) && !unicode.IsDigit(after)
}

// reader is who a page is for.
type reader struct {
	Usage
	theirs func() Typed // looked up where a page needs it
}

type key struct{}

// From returns the usage of who asks.
func From(ctx context.Context) Usage {
	r, _ := ctx.Value(key{}).(reader)
	return r.Usage
}

// Rewrite returns a page, or a part of one, as who asks has units and words.
func Rewrite(ctx context.Context, page []byte) []byte {
	r, ok := ctx.Value(key{}).(reader)
	if !ok || r.leaves(page) {
		return page
	}
	return r.Usage.Rewrite(page, r.theirs())
}

// Kept is the usage that a request's browser keeps; ok reports whether it keeps one.
func Kept(r *http.Request) (u Usage, ok bool) {
	c, err := r.Cookie(Cookie)
	if err != nil {
		return Usage{}, false
	}
	return Parse(c.Value), true
}

// Readers finds out how whoever asks has units and words. Its methods are safe for
// concurrent use.
type Readers struct {
	service *people.Service
	log     *slog.Logger

	mu     sync.Mutex
	of     int64 // version of the records that theirs belongs to
	known  bool
	theirs Typed
}

// NewReaders returns the readers of a club.
func NewReaders(service *people.Service, log *slog.Logger) *Readers {
	return &Readers{service: service, log: log}
}

// asked finds the usage of who asks: the account's own, for somebody without an account
// that of the browser, and the club's for whoever chose nothing.
func (r *Readers) asked(q *http.Request) (Usage, error) {
	if u, ok := Kept(q); ok && !access.From(q.Context()).SignedIn() {
		return u, nil
	}
	own, err := r.service.OwnUsage(q.Context(), struct{}{})
	return Of(own.Usage), err
}

// typed are what people wrote; it is looked up again when somebody has written something.
func (r *Readers) typed(ctx context.Context) (Typed, error) {
	version, err := r.service.Version(ctx)
	if err != nil {
		return nil, err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.known && r.of == version {
		return r.theirs, nil
	}
	texts, err := r.service.Typed(ctx)
	if err == nil {
		r.of, r.known, r.theirs = version, true, Theirs(texts)
	}
	return r.theirs, err
}

// asPublished are pages that quote: sources with their figures, what programs send and
// get, and licences.
var asPublished = regexp.MustCompile(`^/(sources|api|notices)(/|$)`)

// with gives a request what its pages are rewritten by. What cannot be read is logged: the
// page meets the same fault, and tells.
func (r *Readers) with(q *http.Request) (*http.Request, Usage) {
	ctx := q.Context()
	logged := func(err error) {
		if err != nil && ctx.Err() == nil {
			r.log.Error("units and words cannot be read", "err", err)
		}
	}
	u, err := r.asked(q)
	logged(err)
	if asPublished.MatchString(q.URL.Path) {
		u = Usage{}
	}
	theirs := func() Typed {
		list, err := r.typed(ctx)
		logged(err)
		return list
	}
	return q.WithContext(context.WithValue(ctx, key{}, reader{u, theirs})), u
}
