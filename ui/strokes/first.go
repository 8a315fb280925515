package strokes

import (
	"context"
	"fmt"
	"net/url"
	"strconv"
	files "thole/ui/strokefile"

	"thole/api/advice"
	"thole/api/strokes"
	"thole/ui/arc"
	"thole/ui/page"
)

// firstView is what to work on first, as the page shows it.
type firstView struct {
	advice.First
	Findings []findingView
	Wide     *arc.Figure // for a desk
	Narrow   *arc.Figure // for a phone
	Caption  string
	Try      string // the catch page with what was measured; "" without a class
}

// findingView is one thing to work on.
type findingView struct {
	advice.WorkOn
	Title string
	Gain  string // at equal force, with its ends
	Ends  string
}

// first works out what to work on first for the rig of the form.
func (s *site) first(ctx context.Context, p *strokePage) error {
	ask := advice.FirstRequest{ID: p.R.ID, ShareOfPeak: p.R.Thresholds.ShareOfPeak, RatePerMin: p.Rate}
	p.Rig.first(p, &ask)
	f, err := s.service.Advice.First(ctx, ask)
	if err != nil {
		if p.complain("What to work on first", err) {
			return nil
		}
		return err
	}
	p.First = newFirstView(&f, &p.R)
	return nil
}

// first fills in the rig of the form; what is no number is reported elsewhere.
func (f *rigForm) first(p *strokePage, ask *advice.FirstRequest) {
	number := func(text string) float64 { v, _ := page.ParseNumber(text); return v }
	ask.BoatSpeedMS = number(f.Speed)
	if f.Boat == "typed" {
		ask.BoatClass, ask.InboardCm, ask.OarLengthCm = f.Class, number(f.Inboard), number(f.Length)
		return
	}
	ask.BoatID = files.IDOf(f.Boat)
	ask.SeatNumber, _ = strconv.Atoi(f.Seat)
}

func newFirstView(f *advice.First, r *strokes.Recording) *firstView {
	v := &firstView{First: *f, Wide: arc.New(f, r, arc.Wide), Narrow: arc.New(f, r, arc.Narrow)}
	for i := range f.Findings {
		v.Findings = append(v.Findings, newFindingView(&f.Findings[i]))
	}
	v.Caption = fmt.Sprintf("Mean of %d strokes, band ± 1 SD. Hatched: before the blade holds and after the force has gone (%s).", f.Strokes, f.Threshold)
	v.Try = tryMeasured(f, r)
	return v
}

// tryMeasured leads to the catch page with the class, arc, rate, force and, as
// far as it was measured, the entry of a recording.
func tryMeasured(f *advice.First, r *strokes.Recording) string {
	if f.Model == nil {
		return ""
	}
	q := url.Values{"boat_class": {f.Model.BoatClass}}
	mean := func(name string) (float64, bool) { v, ok := r.Oar.Features[name]; return v.Mean, ok }
	set := func(name, feature string, digits int, factor float64) {
		if v, ok := mean(feature); ok {
			q.Set(name, strconv.FormatFloat(v*factor, 'f', digits, 64))
		}
	}
	set("catch_deg", "catch_deg", 1, -1)
	set("finish_deg", "finish_deg", 1, 1)
	set("rate_per_min", "rate_per_min", 1, 1)
	if r.Force == "handle" {
		set("peak_n", "peak_n", 0, 1)
	}
	set("height_cm", "carry_height_cm", 1, 1)
	set("sink_m_s", "sink_speed_m_s", 2, 1)
	met, a := mean("entry_moment_s")
	height, b := mean("carry_height_cm")
	sink, c := mean("sink_speed_m_s")
	if a && b && c && sink > 0 {
		q.Set("moment_ms", strconv.FormatFloat(1000*(met-max(height, 0)/100/sink), 'f', 0, 64))
	}
	return "/catch?" + q.Encode()
}

func newFindingView(w *advice.WorkOn) findingView {
	v := findingView{WorkOn: *w, Title: page.Capital(w.Title)}
	t := w.Price.ForceTimeS
	if w.Item == "over_reach" {
		return v // no gain is told
	}
	v.Gain = page.Signed(1, t.Value) + " s"
	v.Ends = page.Signed(1, t.Low) + " to " + page.Signed(1, t.High) + " s"
	return v
}
