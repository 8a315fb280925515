package chromium

import (
	"cmp"
	"strings"
	"sync"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
)

// Console keeps the errors that the console of a tab shows. It is safe for concurrent use.
type Console struct {
	mu     sync.Mutex
	errors []string
}

// Hear takes one event of the tab, as chromedp.Listen hands them on.
func (c *Console) Hear(event any) {
	text := errorIn(event)
	if text == "" {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.errors = append(c.errors, text)
}

// Take returns the errors heard since the last call.
func (c *Console) Take() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	errors := c.errors
	c.errors = nil
	return errors
}

// errorIn returns the error that an event tells, "" when it has none.
func errorIn(event any) string {
	switch e := event.(type) {
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError && !refused(e.Entry) {
			return e.Entry.Text + " " + e.Entry.URL
		}
	case *runtime.EventExceptionThrown:
		return thrown(e.ExceptionDetails)
	case *runtime.EventConsoleAPICalled:
		if words := said(e.Args); (e.Type == "error" || e.Type == "assert") && !givenUp(words) {
			return "console: " + words
		}
	}
	return ""
}

// refused reports whether an entry only says that the server answered no, as it
// does to a bad entry. A style sheet or a script that is missing is an error.
func refused(e *log.Entry) bool {
	return e.Source == "network" && !strings.Contains(e.URL, "/assets/")
}

// givenUp reports whether htmx only says that a request gave way to a newer one, or
// to another page. A request that failed is reported as htmx:sendError besides.
func givenUp(words string) bool {
	words = strings.TrimPrefix(words, `"`)
	return strings.HasPrefix(words, "htmx:sendAbort,") || strings.HasPrefix(words, "htmx:afterRequest,")
}

// thrown returns what an exception says.
func thrown(d *runtime.ExceptionDetails) string {
	if d.Exception == nil {
		return d.Text
	}
	return d.Text + " " + d.Exception.Description
}

// said joins what was passed to the console.
func said(args []*runtime.RemoteObject) string {
	var words []string
	for _, a := range args {
		words = append(words, cmp.Or(a.Description, string(a.Value)))
	}
	return strings.Join(words, " ")
}
