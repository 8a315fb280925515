package chromium

import (
	"slices"
	"testing"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
)

func TestConsoleKeepsErrorsAlone(t *testing.T) {
	called := func(kind runtime.ConsoleAPICalledType, words string) any {
		return &runtime.EventConsoleAPICalled{Type: kind, Args: []*runtime.RemoteObject{{Description: words}}}
	}
	entry := func(level log.EntryLevel, source log.EntrySource, url string) any {
		return &log.EventEntryAdded{Entry: &log.Entry{Level: level, Source: source, Text: "failed", URL: url}}
	}
	var c Console
	for _, event := range []any{
		called("error", "wrong"), called("assert", "not so"), called("warning", "careful"),
		called("error", `"htmx:sendAbort, gave way`),
		entry("error", "network", "http://x/boats/9"), entry("error", "network", "http://x/assets/a.js"), entry("warning", "security", ""),
		&runtime.EventExceptionThrown{ExceptionDetails: &runtime.ExceptionDetails{Text: "Uncaught"}},
		&runtime.EventExceptionThrown{ExceptionDetails: &runtime.ExceptionDetails{Text: "Uncaught", Exception: &runtime.RemoteObject{Description: "Error: x"}}},
		&runtime.EventConsoleAPICalled{}, "another event",
	} {
		c.Hear(event)
	}
	want := []string{"console: wrong", "console: not so", "failed http://x/assets/a.js", "Uncaught", "Uncaught Error: x"}
	if got := c.Take(); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if again := c.Take(); len(again) > 0 {
		t.Errorf("taken twice: %q", again)
	}
}
