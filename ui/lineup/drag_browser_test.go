package lineup_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"thole/ui/uitest"
)

func TestDraggingARowerWithAMouse(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	for _, part := range []string{".grip", ".no"} {
		b.Desk(c, 1280, 900, false)
		was := b.Seated()
		from, to := b.Seat(1, part), b.Seat(3, part)
		b.Pull(from, to, input.DispatchMouseEventPointerTypeMouse)
		b.Until(`document.querySelector(".ownseat:nth-child(1)").matches(".lifted") && document.querySelector(".ownseat:nth-child(3)").matches(".over")`)
		// The name follows, and the other one shows where it would go.
		if at, other := b.Seat(1, "select"), b.Seat(3, "select"); math.Abs(at.Y-to.Y) > 2 || math.Abs(other.Y-from.Y) > 2 {
			t.Errorf("%s: the names stand at %.0f and %.0f, the mouse went from %.0f to %.0f", part, at.Y, other.Y, from.Y, to.Y)
		}
		if text := uitest.Ask[string](b, "getSelection().toString()"); text != "" {
			t.Errorf("%s: %q is selected", part, text)
		}
		b.Mouse(chromedp.MouseReleased, to, input.DispatchMouseEventPointerTypeMouse)
		b.Exchanged(was, 1, 3)
	}
}

// TestAMouseOnListsAndButtonsDragsNothing: they are there for something else.
func TestAMouseOnListsAndButtonsDragsNothing(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Desk(c, 1280, 900, false)
	was := b.Seated()
	from, to := b.Seat(1, ".move[disabled]"), b.Seat(3, ".grip")
	b.Pull(from, to, input.DispatchMouseEventPointerTypeMouse)
	b.Mouse(chromedp.MouseReleased, to, input.DispatchMouseEventPointerTypeMouse)
	b.PutBack(was)
	// Neither does a press that does not move.
	b.Pull(b.Seat(2, ".no"), b.Seat(2, ".no"), input.DispatchMouseEventPointerTypeMouse)
	b.Mouse(chromedp.MouseReleased, b.Seat(2, ".no"), input.DispatchMouseEventPointerTypeMouse)
	b.PutBack(was)
}

func TestDraggingARowerWithAPen(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Desk(c, 1280, 900, false)
	was := b.Seated()
	b.Pull(b.Seat(4, ".grip"), b.Seat(2, ".grip"), input.DispatchMouseEventPointerTypePen)
	b.Mouse(chromedp.MouseReleased, b.Seat(2, ".grip"), input.DispatchMouseEventPointerTypePen)
	b.Exchanged(was, 4, 2)
}

func TestDraggingARowerWithAFinger(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Desk(c, 375, 740, true)
	was := b.Seated()
	stood := uitest.Ask[float64](b, "scrollY")
	to := b.Seat(2, ".grip")
	b.Touch(b.Seat(4, ".grip"), to)
	b.Until(`document.querySelector(".ownseat:nth-child(4)").matches(".lifted") && document.querySelector(".ownseat:nth-child(2)").matches(".over")`)
	if now := uitest.Ask[float64](b, "scrollY"); now != stood {
		t.Errorf("the page scrolled from %g to %g", stood, now)
	}
	b.Finger(input.DispatchTouchEventTypeTouchEnd)
	b.Exchanged(was, 4, 2)
}

// TestAFingerBesideTheGripScrolls: a row that fills the phone must not hold the
// page fast.
func TestAFingerBesideTheGripScrolls(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Desk(c, 375, 740, true)
	was := b.Seated()
	stood := uitest.Ask[float64](b, "scrollY")
	from := b.Seat(4, ".no")
	b.Touch(from, uitest.Place{X: from.X, Y: from.Y - 200})
	b.Finger(input.DispatchTouchEventTypeTouchEnd)
	b.Until(fmt.Sprintf("scrollY > %g", stood+50))
	b.PutBack(was)
}

func TestTheGripIsLargeEnoughForAFinger(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	for _, width := range []int64{320, 375} {
		b.Desk(c, width, 740, true)
		size := uitest.Ask[uitest.Place](b, `(() => { const r = document.querySelector(".grip").getBoundingClientRect(); return {X: r.width, Y: r.height}; })()`)
		if size.X < 44 || size.Y < 44 {
			t.Errorf("%d wide: the grip is %.0f by %.0f", width, size.X, size.Y)
		}
	}
}

// TestACancelledDragPutsTheRowerBack: by Escape, by a drop beside the list, by
// the device itself.
func TestACancelledDragPutsTheRowerBack(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Desk(c, 1280, 900, false)
	was := b.Seated()
	from, to := b.Seat(1, ".grip"), b.Seat(3, ".grip")
	b.Pull(from, to, input.DispatchMouseEventPointerTypeMouse)
	b.Until(`document.querySelector(".lifted")`)
	b.Do(chromedp.KeyEvent("\x1b"))
	b.PutBack(was)
	b.Mouse(chromedp.MouseReleased, to, input.DispatchMouseEventPointerTypeMouse)
	b.PutBack(was)

	away := uitest.Place{X: to.X + 700, Y: to.Y}
	b.Pull(from, away, input.DispatchMouseEventPointerTypeMouse)
	b.Until(`document.querySelector(".lifted") && !document.querySelector(".over")`)
	b.Mouse(chromedp.MouseReleased, away, input.DispatchMouseEventPointerTypeMouse)
	b.PutBack(was)

	b.Desk(c, 375, 740, true)
	b.Touch(b.Seat(1, ".grip"), b.Seat(3, ".grip"))
	b.Until(`document.querySelector(".lifted")`)
	b.Finger(input.DispatchTouchEventTypeTouchCancel)
	b.PutBack(was)
}

// TestDraggingNearTheEdgeScrolls reaches a seat that is out of sight.
func TestDraggingNearTheEdgeScrolls(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	b.Desk(c, 375, 300, true)
	uitest.Ask[any](b, `document.querySelector(".ownlist").scrollIntoView({block: "start"}); scrollBy(0, -180)`)
	was := b.Seated()
	if last := b.Seat(4, ".grip"); last.Y < 300 {
		t.Fatalf("the last seat is in sight, at %.0f", last.Y)
	}
	from := b.Seat(1, ".grip")
	b.Touch(from, uitest.Place{X: from.X, Y: 290})
	b.Until(`document.querySelector(".ownseat:nth-child(4)").getBoundingClientRect().bottom <= innerHeight + 1`)
	last := b.Seat(4, "") // of the row: the grip has changed places already
	b.Finger(input.DispatchTouchEventTypeTouchMove, last)
	b.Until(`document.querySelector(".ownseat:nth-child(4)").matches(".over")`)
	b.Finger(input.DispatchTouchEventTypeTouchEnd)
	b.Exchanged(was, 1, 4)
}
