package people_test

import (
	"fmt"
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"
)

var (
	anyHref   = regexp.MustCompile(`(?:href|hx-get)="(/[^"#]*)`)
	anyAction = regexp.MustCompile(`<form[^>]*\saction="(/[^"#?]*)[^"]*"`)
	numbers   = regexp.MustCompile(`/\d+`)
)

// crawled are the addresses that pages lead somebody to, each kind of page once,
// with the page that led there.
func crawled(b *reader, from ...string) (refused []string, seen map[string]bool) {
	seen = map[string]bool{}
	queue := from
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		p := b.get(at)
		for p.Status == http.StatusSeeOther || p.Status == http.StatusFound {
			p = b.get(p.Header.Get("Location"))
		}
		if p.Status != http.StatusOK || !strings.Contains(p.Header.Get("Content-Type"), "text/html") {
			continue
		}
		for _, m := range anyHref.FindAllStringSubmatch(p.Body, -1) {
			to := html.UnescapeString(m[1])
			path, _, _ := strings.Cut(to, "?")
			kind := numbers.ReplaceAllString(path, "/n")
			if seen[kind] || strings.HasPrefix(path, "/assets/") || strings.Contains(to, "csv=") || strings.Contains(to, "xlsx") {
				continue
			}
			seen[kind] = true
			if answer := b.get(to); answer.Status == http.StatusForbidden || answer.Status == http.StatusNotFound {
				refused = append(refused, fmt.Sprintf("%s leads to %s: %d", at, to, answer.Status))
				continue
			}
			queue = append(queue, to)
		}
	}
	return refused, seen
}

// TestNoLinkLeadsWhereOneIsRefused follows every kind of link from the start page
// and from the pages of one's own, as an athlete and as a boatman.
func TestNoLinkLeadsWhereOneIsRefused(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, athlete, own := s.club()
	mine := fmt.Sprintf("/athletes/%d", own.ID)
	for name, b := range map[string]*reader{"athlete": athlete, "boatman": boatman, "coach": coach} {
		start := []string{"/", mine, "/seat", "/boats/9", "/boats/9/history", "/boats/9/seats/4"}
		if name != "boatman" {
			start = append(start, "/recordings", mine+"/progress")
		}
		refused, seen := crawled(b, start...)
		for _, said := range refused {
			t.Errorf("%s: %s", name, said)
		}
		if len(seen) < 12 {
			t.Errorf("%s: %d kinds of links are too few to tell", name, len(seen))
		}
		t.Logf("%s: %d kinds of links", name, len(seen))
	}
}

// TestFormsAreShownToWhomTheyAnswer looks at where the forms of an athlete's own
// pages lead: none to what athletes may not do.
func TestFormsAreShownToWhomTheyAnswer(t *testing.T) {
	s := newServer(t, false)
	_, _, athlete, own := s.club()
	mine := fmt.Sprintf("/athletes/%d", own.ID)
	looked := 0
	for _, at := range []string{"/", mine, "/seat?class=1x", "/boats/9", "/boats/9/seats/4", "/recordings", mine + "/progress"} {
		for _, m := range anyAction.FindAllStringSubmatch(athlete.get(at).Body, -1) {
			looked++
			for _, method := range []string{http.MethodGet, http.MethodPost} {
				if strings.Contains(m[0], `method="post"`) != (method == http.MethodPost) {
					continue
				}
				if p := athlete.send(method, m[1], nil); p.Status == http.StatusForbidden || p.Status == http.StatusNotFound {
					t.Errorf("%s has a form for %s %s: %d", at, method, m[1], p.Status)
				}
			}
		}
	}
	seat := athlete.get("/boats/9/seats/4").Body
	if !strings.Contains(seat, "<dt>Stretcher position</dt><dd>24.5 cm</dd>") || strings.Count(seat, "<option") != 2 || !strings.Contains(seat, own.Whole) {
		t.Error("an athlete does not read the rig of a seat, or finds others to seat there")
	}
	if looked < 4 {
		t.Errorf("%d forms are too few to tell", looked)
	}
}
