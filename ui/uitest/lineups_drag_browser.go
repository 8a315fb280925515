package uitest

import (
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// Place is a point of the window.
type Place struct{ X, Y float64 }

// Seat is the middle of a part of a seat's row; "" is the row.
func (b *Tab) Seat(number int, part string) Place {
	b.t.Helper()
	return Ask[Place](b, fmt.Sprintf(`(() => { const r = document.querySelector(".ownseat:nth-child(%d) %s").getBoundingClientRect();
		return {X: r.x + r.width / 2, Y: r.y + r.height / 2}; })()`, number, part))
}

// Seated lists who sits where, bow first.
func (b *Tab) Seated() []string {
	b.t.Helper()
	return Ask[[]string](b, `[...document.querySelectorAll(".ownseat select")].map(s => s.value)`)
}

// Mouse lets the left button of a mouse, or the tip of a pen, do something.
func (b *Tab) Mouse(what input.DispatchMouseEventType, at Place, device input.DispatchMouseEventPointerType) {
	b.t.Helper()
	p := input.DispatchMouseEventParams{Type: what, X: at.X, Y: at.Y, Button: input.MouseButtonLeft, ClickCount: 1, PointerType: device}
	if what != chromedp.MouseReleased {
		p.Buttons = 1
	}
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchMouseEvent, p)
		return err
	}))
}

// Finger lets a finger do something.
func (b *Tab) Finger(what input.DispatchTouchEventType, at ...Place) {
	b.t.Helper()
	p := input.DispatchTouchEventParams{Type: what, TouchPoints: []*input.TouchPoint{}}
	for _, a := range at {
		p.TouchPoints = append(p.TouchPoints, &input.TouchPoint{X: a.X, Y: a.Y})
	}
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, p)
		return err
	}))
}

// Steps of a drag between two points.
const dragSteps = 8

// between are points on the way, both ends included.
func between(from, to Place) []Place {
	var way []Place
	for i := range dragSteps + 1 {
		part := float64(i) / dragSteps
		way = append(way, Place{from.X + part*(to.X-from.X), from.Y + part*(to.Y-from.Y)})
	}
	return way
}

// Pull presses at a point and moves on to another, without letting go.
func (b *Tab) Pull(from, to Place, device input.DispatchMouseEventPointerType) {
	b.t.Helper()
	b.Mouse(chromedp.MousePressed, from, device)
	for _, at := range between(from, to) {
		b.Mouse(chromedp.MouseMoved, at, device)
	}
}

// Touch does the same with a finger.
func (b *Tab) Touch(from, to Place) {
	b.t.Helper()
	b.Finger(input.DispatchTouchEventTypeTouchStart, from)
	for _, at := range between(from, to)[1:] {
		b.Finger(input.DispatchTouchEventTypeTouchMove, at)
		time.Sleep(20 * time.Millisecond) // slower than a fling
	}
}

// Desk opens the orders of a quad with one's own in the middle of the window.
func (b *Tab) Desk(c *ClubSite, width, height int64, touching bool) {
	b.t.Helper()
	b.Do(chromedp.EmulateViewport(width, height), chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: touching})
		return err
	}))
	b.Open(c.URL + "/line-ups?class=4x")
	Ask[any](b, `window.asked = 0; document.addEventListener("htmx:beforeRequest", () => window.asked++);
		document.querySelector(".ownlist").scrollIntoView({block: "center"})`)
}

// Exchanged wants two seats to have changed places, and no other.
func (b *Tab) Exchanged(was []string, one, other int) {
	b.t.Helper()
	b.Changed()
	want := slices.Clone(was)
	want[one-1], want[other-1] = was[other-1], was[one-1]
	if got := b.Seated(); !slices.Equal(got, want) {
		b.t.Errorf("%v became %v, want %v", was, got, want)
	}
	b.asked(1)
}

// asked wants that often to have been asked for an order.
func (b *Tab) asked(want int) {
	b.t.Helper()
	if got := Ask[int](b, "window.asked"); got != want {
		b.t.Errorf("asked %d times, want %d", got, want)
	}
}

// PutBack wants everything as it was, and nothing marked.
func (b *Tab) PutBack(was []string) {
	b.t.Helper()
	b.Until(`!document.querySelector(".lifted, .over, .dragging") && ![...document.querySelectorAll(".ownseat, .ownseat *")].some(s => s.style.transform)`)
	if got := b.Seated(); !slices.Equal(got, was) {
		b.t.Errorf("%v became %v", was, got)
	}
	b.asked(0)
}
