package figure

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"thole/rigging"
	browser "thole/ui/chromium"
	"thole/ui/figure/draw"
	"thole/ui/figure/letters"
)

// chromium opens a page in a browser of its own. Without one the test is
// skipped, unless THOLE_BROWSER=required says that there must be one.
func chromium(t *testing.T) context.Context {
	t.Helper()
	if path := browser.Find(); path != "" {
		allocated, stop := chromedp.NewExecAllocator(context.Background(), browser.Options(path)...)
		t.Cleanup(stop)
		ctx, done := chromedp.NewContext(allocated)
		t.Cleanup(done)
		ctx, cancel := context.WithTimeout(ctx, 90*time.Second)
		t.Cleanup(cancel)
		return ctx
	}
	if os.Getenv("THOLE_BROWSER") == "required" {
		t.Fatal("no Chromium on this machine, and THOLE_BROWSER=required")
	}
	t.Skip("no Chromium on this machine")
	return nil
}

// drawnType is what a browser made of one line of type.
type drawnType struct {
	Drawing, Text string
	Width, Size   float64
	Scale         float64 // of the drawing
}

// readType is the script that reads every line of type back.
const readType = `JSON.stringify([...document.querySelectorAll('svg.fig text')].map(t => ({
	Drawing: t.ownerSVGElement.id, Text: t.textContent, Width: t.getBBox().width, Size: parseFloat(getComputedStyle(t).fontSize),
	Scale: t.ownerSVGElement.getBoundingClientRect().width / t.ownerSVGElement.viewBox.baseVal.width })))`

// serve serves one page with the style sheets of the site and some more.
func serve(t *testing.T, more, body string) string {
	t.Helper()
	sheets := read(t, "../assets/css/00-base.css") + read(t, "../assets/css/10-seat.css") + read(t, sheetFile) + more
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		fmt.Fprintf(w, `<!doctype html><html lang="en"><meta charset="utf-8"><title>Drawings</title><style>%s</style><body>%s`, sheets, body)
	}))
	t.Cleanup(server.Close)
	return server.URL
}

// readBack opens a page and reads the answer of a script as JSON.
func readBack(t *testing.T, ctx context.Context, url, script string, into any) {
	t.Helper()
	if err := chromedp.Do(ctx, chromedp.Navigate(url)); err != nil {
		t.Fatal(err)
	}
	answer, err := chromedp.Run(ctx, chromedp.Evaluate[string](script))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(answer), into); err != nil {
		t.Fatal(err)
	}
}

// TestDrawnTypeFitsItsBox reads every line of type back from a browser, in a
// wide and in a narrow font: none is broader than the estimate that placed it,
// and each is drawn at the size the drawing was laid out for.
func TestDrawnTypeFitsItsBox(t *testing.T) {
	ctx := chromium(t)
	body := ""
	sizes := map[string]draw.Text{}
	for _, d := range gallery(t) {
		body += fmt.Sprintf(`<div style="width: %vpx">%s</div>`, d.Width, d.HTML())
		for _, l := range d.Labels {
			for _, x := range l.Texts {
				sizes[d.ID+x.Text] = x
			}
		}
	}
	for _, font := range []string{"DejaVu Sans", "Liberation Sans"} {
		var all []drawnType
		readBack(t, ctx, serve(t, `body { margin: 0; width: 1300px } .fig text { font-family: "`+font+`" !important }`, body), readType, &all)
		checked, closest := 0, 0.0
		for _, x := range all {
			want, ok := sizes[x.Drawing+x.Text]
			if !ok {
				continue // a letter inside its mark
			}
			checked++
			room := letters.Width(want.Text, want.Size, want.Bold)
			closest = max(closest, x.Width/room)
			if x.Width > room || x.Size != want.Size || x.Scale < 0.999 || x.Scale > 1.001 {
				t.Errorf("%s in %s: %q is %.1f px wide at %v px, scale %.3f; placed for %.1f at %v", font, x.Drawing, x.Text, x.Width, x.Size, x.Scale, room, want.Size)
			}
		}
		t.Logf("%s: %d lines of type, at most %.0f %% of their estimate", font, checked, 100*closest)
		if checked < 500 {
			t.Errorf("only %d lines of type were read back", checked)
		}
	}
}

// TestOneWidthIsShown: of a picture at several widths exactly the widest that
// fits is shown, whichever widths were drawn.
func TestOneWidthIsShown(t *testing.T) {
	ctx := chromium(t)
	b := usual(rigging.Male, 1.8, 80)
	for _, drawn := range [][]float64{{288, 358, 620}, {868, 440}, {358}} {
		var all []*draw.Drawing
		for i, w := range drawn {
			d := b.sides(t, w)[0].Draw()
			d.ID = fmt.Sprintf("w%d", i)
			all = append(all, d)
		}
		body := ""
		containers := []float64{260, 288, 357, 358, 439, 440, 619, 620, 867, 868, 1300}
		for _, c := range containers {
			body += fmt.Sprintf(`<div class="probe" style="width: %vpx">%s</div>`, c, draw.Responsive(all...))
		}
		var shown [][]float64
		readBack(t, ctx, serve(t, "", body), `JSON.stringify([...document.querySelectorAll('.probe')].map(p => [...p.querySelectorAll('svg')].filter(s => s.getClientRects().length).map(s => s.viewBox.baseVal.width)))`, &shown)
		for i, c := range containers {
			want := slices.Min(drawn)
			for _, w := range drawn {
				if w <= c {
					want = max(want, w)
				}
			}
			if len(shown[i]) != 1 || shown[i][0] != want {
				t.Errorf("%v px of %v: shows %v, want %v", c, drawn, shown[i], want)
			}
		}
	}
}
