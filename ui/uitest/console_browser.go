package uitest

import (
	"cmp"
	"strings"
	"sync"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
)

// console keeps the errors that the console of a tab shows.
type console struct {
	mu     sync.Mutex
	errors []string
}

// hear takes one event of the tab.
func (c *console) hear(event any) {
	text := errorIn(event)
	if text == "" {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.errors = append(c.errors, text)
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

// refused says whether an entry only says that the server answered no, as it
// does to a bad entry. A style sheet or a script that is missing is an error.
func refused(e *log.Entry) bool {
	return e.Source == "network" && !strings.Contains(e.URL, "/assets/")
}

// givenUp says whether htmx only says that a request gave way to a newer one, or
// to another page. A request that failed is reported as htmx:sendError besides.
func givenUp(words string) bool {
	words = strings.TrimPrefix(words, `"`)
	return strings.HasPrefix(words, "htmx:sendAbort,") || strings.HasPrefix(words, "htmx:afterRequest,")
}

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

// Errors returns the errors that the console has shown since the last call.
func (b *Tab) Errors() []string {
	b.t.Helper()
	Ask[int](b, "0") // the events of the tab arrive in order: those before this are here now
	b.console.mu.Lock()
	defer b.console.mu.Unlock()
	errors := b.console.errors
	b.console.errors = nil
	return errors
}

// wantQuiet fails the test for each error in the console. A test that has failed
// already may have left the tab in any state.
func (b *Tab) wantQuiet() {
	if b.t.Failed() || b.t.Skipped() {
		return
	}
	for _, text := range b.Errors() {
		b.t.Errorf("in the console: %s", text)
	}
}
