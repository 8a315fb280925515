package ui_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// Dragging a rower to another seat, with events of the input devices
// themselves: what the page makes of them is the browser's own doing.

// place is a point of the window.
type place struct{ X, Y float64 }

// seat is the middle of a part of a seat's row; "" is the row.
func (b *tab) seat(number int, part string) place {
	b.t.Helper()
	return ask[place](b, fmt.Sprintf(`(() => { const r = document.querySelector(".ownseat:nth-child(%d) %s").getBoundingClientRect();
		return {X: r.x + r.width / 2, Y: r.y + r.height / 2}; })()`, number, part))
}

// seated lists who sits where, bow first.
func (b *tab) seated() []string {
	b.t.Helper()
	return ask[[]string](b, `[...document.querySelectorAll(".ownseat select")].map(s => s.value)`)
}

// mouse lets the left button of a mouse, or the tip of a pen, do something.
func (b *tab) mouse(what input.DispatchMouseEventType, at place, device input.DispatchMouseEventPointerType) {
	b.t.Helper()
	p := input.DispatchMouseEventParams{Type: what, X: at.X, Y: at.Y, Button: input.MouseButtonLeft, ClickCount: 1, PointerType: device}
	if what != chromedp.MouseReleased {
		p.Buttons = 1
	}
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchMouseEvent, p)
		return err
	}))
}

// finger lets a finger do something.
func (b *tab) finger(what input.DispatchTouchEventType, at ...place) {
	b.t.Helper()
	p := input.DispatchTouchEventParams{Type: what, TouchPoints: []*input.TouchPoint{}}
	for _, a := range at {
		p.TouchPoints = append(p.TouchPoints, &input.TouchPoint{X: a.X, Y: a.Y})
	}
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, p)
		return err
	}))
}

// Steps of a drag between two points.
const dragSteps = 8

// between are points on the way, both ends included.
func between(from, to place) []place {
	var way []place
	for i := range dragSteps + 1 {
		part := float64(i) / dragSteps
		way = append(way, place{from.X + part*(to.X-from.X), from.Y + part*(to.Y-from.Y)})
	}
	return way
}

// pull presses at a point and moves on to another, without letting go.
func (b *tab) pull(from, to place, device input.DispatchMouseEventPointerType) {
	b.t.Helper()
	b.mouse(chromedp.MousePressed, from, device)
	for _, at := range between(from, to) {
		b.mouse(chromedp.MouseMoved, at, device)
	}
}

// touch does the same with a finger.
func (b *tab) touch(from, to place) {
	b.t.Helper()
	b.finger(input.DispatchTouchEventTypeTouchStart, from)
	for _, at := range between(from, to)[1:] {
		b.finger(input.DispatchTouchEventTypeTouchMove, at)
		time.Sleep(20 * time.Millisecond) // slower than a fling
	}
}

// desk opens the orders of a quad with one's own in the middle of the window.
func (b *tab) desk(c *clubSite, width, height int64, touching bool) {
	b.t.Helper()
	b.do(chromedp.EmulateViewport(width, height), chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: touching})
		return err
	}))
	b.open(c.url + "/orders?class=4x")
	ask[any](b, `window.asked = 0; document.addEventListener("htmx:beforeRequest", () => window.asked++);
		document.querySelector(".ownlist").scrollIntoView({block: "center"})`)
}

// exchanged wants two seats to have changed places, and no other.
func (b *tab) exchanged(was []string, one, other int) {
	b.t.Helper()
	b.changed()
	want := slices.Clone(was)
	want[one-1], want[other-1] = was[other-1], was[one-1]
	if got := b.seated(); !slices.Equal(got, want) {
		b.t.Errorf("%v became %v, want %v", was, got, want)
	}
	b.asked(1)
}

// asked wants that often to have been asked for an order.
func (b *tab) asked(want int) {
	b.t.Helper()
	if got := ask[int](b, "window.asked"); got != want {
		b.t.Errorf("asked %d times, want %d", got, want)
	}
}

// putBack wants everything as it was, and nothing marked.
func (b *tab) putBack(was []string) {
	b.t.Helper()
	b.until(`!document.querySelector(".lifted, .over, .dragging") && ![...document.querySelectorAll(".ownseat, .ownseat *")].some(s => s.style.transform)`)
	if got := b.seated(); !slices.Equal(got, was) {
		b.t.Errorf("%v became %v", was, got)
	}
	b.asked(0)
}

func TestDraggingARowerWithAMouse(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	for _, part := range []string{".grip", ".no"} {
		b.desk(c, 1280, 900, false)
		was := b.seated()
		from, to := b.seat(1, part), b.seat(3, part)
		b.pull(from, to, input.DispatchMouseEventPointerTypeMouse)
		b.until(`document.querySelector(".ownseat:nth-child(1)").matches(".lifted") && document.querySelector(".ownseat:nth-child(3)").matches(".over")`)
		// The name follows, and the other one shows where it would go.
		if at, other := b.seat(1, "select"), b.seat(3, "select"); math.Abs(at.Y-to.Y) > 2 || math.Abs(other.Y-from.Y) > 2 {
			t.Errorf("%s: the names stand at %.0f and %.0f, the mouse went from %.0f to %.0f", part, at.Y, other.Y, from.Y, to.Y)
		}
		if text := ask[string](b, "getSelection().toString()"); text != "" {
			t.Errorf("%s: %q is selected", part, text)
		}
		b.mouse(chromedp.MouseReleased, to, input.DispatchMouseEventPointerTypeMouse)
		b.exchanged(was, 1, 3)
	}
}

// TestAMouseOnListsAndButtonsDragsNothing: they are there for something else.
func TestAMouseOnListsAndButtonsDragsNothing(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.desk(c, 1280, 900, false)
	was := b.seated()
	from, to := b.seat(1, ".move[disabled]"), b.seat(3, ".grip")
	b.pull(from, to, input.DispatchMouseEventPointerTypeMouse)
	b.mouse(chromedp.MouseReleased, to, input.DispatchMouseEventPointerTypeMouse)
	b.putBack(was)
	// Neither does a press that does not move.
	b.pull(b.seat(2, ".no"), b.seat(2, ".no"), input.DispatchMouseEventPointerTypeMouse)
	b.mouse(chromedp.MouseReleased, b.seat(2, ".no"), input.DispatchMouseEventPointerTypeMouse)
	b.putBack(was)
}

func TestDraggingARowerWithAPen(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.desk(c, 1280, 900, false)
	was := b.seated()
	b.pull(b.seat(4, ".grip"), b.seat(2, ".grip"), input.DispatchMouseEventPointerTypePen)
	b.mouse(chromedp.MouseReleased, b.seat(2, ".grip"), input.DispatchMouseEventPointerTypePen)
	b.exchanged(was, 4, 2)
}

func TestDraggingARowerWithAFinger(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.desk(c, 375, 740, true)
	was := b.seated()
	stood := ask[float64](b, "scrollY")
	to := b.seat(2, ".grip")
	b.touch(b.seat(4, ".grip"), to)
	b.until(`document.querySelector(".ownseat:nth-child(4)").matches(".lifted") && document.querySelector(".ownseat:nth-child(2)").matches(".over")`)
	if now := ask[float64](b, "scrollY"); now != stood {
		t.Errorf("the page scrolled from %g to %g", stood, now)
	}
	b.finger(input.DispatchTouchEventTypeTouchEnd)
	b.exchanged(was, 4, 2)
}

// TestAFingerBesideTheGripScrolls: a row that fills the phone must not hold the
// page fast.
func TestAFingerBesideTheGripScrolls(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.desk(c, 375, 740, true)
	was := b.seated()
	stood := ask[float64](b, "scrollY")
	from := b.seat(4, ".no")
	b.touch(from, place{from.X, from.Y - 200})
	b.finger(input.DispatchTouchEventTypeTouchEnd)
	b.until(fmt.Sprintf("scrollY > %g", stood+50))
	b.putBack(was)
}

func TestTheGripIsLargeEnoughForAFinger(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	for _, width := range []int64{320, 375} {
		b.desk(c, width, 740, true)
		size := ask[place](b, `(() => { const r = document.querySelector(".grip").getBoundingClientRect(); return {X: r.width, Y: r.height}; })()`)
		if size.X < 44 || size.Y < 44 {
			t.Errorf("%d wide: the grip is %.0f by %.0f", width, size.X, size.Y)
		}
	}
}

// TestACancelledDragPutsTheRowerBack: by Escape, by a drop beside the list, by
// the device itself.
func TestACancelledDragPutsTheRowerBack(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.desk(c, 1280, 900, false)
	was := b.seated()
	from, to := b.seat(1, ".grip"), b.seat(3, ".grip")
	b.pull(from, to, input.DispatchMouseEventPointerTypeMouse)
	b.until(`document.querySelector(".lifted")`)
	b.do(chromedp.KeyEvent("\x1b"))
	b.putBack(was)
	b.mouse(chromedp.MouseReleased, to, input.DispatchMouseEventPointerTypeMouse)
	b.putBack(was)

	away := place{to.X + 700, to.Y}
	b.pull(from, away, input.DispatchMouseEventPointerTypeMouse)
	b.until(`document.querySelector(".lifted") && !document.querySelector(".over")`)
	b.mouse(chromedp.MouseReleased, away, input.DispatchMouseEventPointerTypeMouse)
	b.putBack(was)

	b.desk(c, 375, 740, true)
	b.touch(b.seat(1, ".grip"), b.seat(3, ".grip"))
	b.until(`document.querySelector(".lifted")`)
	b.finger(input.DispatchTouchEventTypeTouchCancel)
	b.putBack(was)
}

// TestDraggingNearTheEdgeScrolls reaches a seat that is out of sight.
func TestDraggingNearTheEdgeScrolls(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	b.desk(c, 375, 300, true)
	ask[any](b, `document.querySelector(".ownlist").scrollIntoView({block: "start"}); scrollBy(0, -180)`)
	was := b.seated()
	if last := b.seat(4, ".grip"); last.Y < 300 {
		t.Fatalf("the last seat is in sight, at %.0f", last.Y)
	}
	from := b.seat(1, ".grip")
	b.touch(from, place{from.X, 290})
	b.until(`document.querySelector(".ownseat:nth-child(4)").getBoundingClientRect().bottom <= innerHeight + 1`)
	last := b.seat(4, "") // of the row: the grip has changed places already
	b.finger(input.DispatchTouchEventTypeTouchMove, last)
	b.until(`document.querySelector(".ownseat:nth-child(4)").matches(".over")`)
	b.finger(input.DispatchTouchEventTypeTouchEnd)
	b.exchanged(was, 1, 4)
}
