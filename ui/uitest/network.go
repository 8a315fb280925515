package uitest

import (
	"context"
	"strings"
	"sync"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// Traffic is what a tab sends over the network, as the browser itself tells it:
// requests of every kind, with sockets.
type Traffic struct {
	mu   sync.Mutex
	sent []Sent
}

// Sent is one request.
type Sent struct {
	Method, URL string
	Body        bool
}

// Traffic listens to what the tab sends from now on.
func (b *Tab) Traffic() *Traffic {
	b.t.Helper()
	heard := new(Traffic)
	if err := chromedp.Listen(b.ctx, heard.hear); err != nil {
		b.t.Fatal(err)
	}
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, network.Enable, network.EnableParams{})
		return err
	}))
	return heard
}

func (f *Traffic) hear(event any) {
	var sent Sent
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		sent = Sent{e.Request.Method, e.Request.URL, e.Request.HasPostData}
	case *network.EventWebSocketCreated:
		sent = Sent{"socket", e.URL, true}
	case *network.EventWebTransportCreated:
		sent = Sent{"transport", e.URL, true}
	default:
		return
	}
	if strings.HasPrefix(sent.URL, "blob:") || strings.HasPrefix(sent.URL, "data:") {
		return // what the device has already
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.sent = append(f.sent, sent)
}

// Take returns what was sent since the last time.
func (f *Traffic) Take() []Sent {
	f.mu.Lock()
	defer f.mu.Unlock()
	sent := f.sent
	f.sent = nil
	return sent
}
