package figure

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

func reach(width float64, end string, target, likely, sd, capacity float64) *Reach {
	return &Reach{ID: "r", Width: width, End: end, Target: &target, Likely: likely, LikelySD: sd, Capacity: capacity, CapacitySD: 4}
}

// TestReachLabelsAreClear: the texts keep clear of each other, of bar, flag
// and hatching, wherever the marks stand.
func TestReachLabelsAreClear(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 3))
	pictures, captions := 0, 0
	for _, width := range fiveWidths {
		for i := range 40 {
			end := []string{"catch", "finish"}[i%2]
			capacity := 50 + 20*r.Float64()
			s := reach(width, end, capacity-8+14*r.Float64(), capacity-8+9*r.Float64(), 1.5+4*r.Float64(), capacity)
			d := s.Draw()
			pictures++
			captions += btoi(d.Caption != "")
			checkClear(t, fmt.Sprintf("%v px, %s, target %.1f, likely %.1f ± %.1f, capacity %.1f", width, end, *s.Target, s.Likely, s.LikelySD, capacity), d, draw.Hatching, draw.Mark)
		}
	}
	t.Logf("%d scales, %d with a text in the caption", pictures, captions)
	if captions*20 > pictures {
		t.Errorf("%d of %d scales have a text in the caption", captions, pictures)
	}
}

// TestReachIsGraduated: a tick each degree, the marks at their angles, the
// hatching from the capacity to the end of the scale.
func TestReachIsGraduated(t *testing.T) {
	for _, end := range []string{"catch", "finish"} {
		s := reach(440, end, 64, 62, 4, 66).layout(5, 5, draw.TermSize)
		ticks := 0
		for _, p := range s.Shapes {
			if p.Class == "fig-axis" && p.Lines[0][0].X == p.Lines[0][1].X {
				ticks++
			}
		}
		if want := int(s.high-s.low) + 1; ticks != want {
			t.Errorf("%s: %d ticks for %d degrees", end, ticks, want)
		}
		if bow := s.x(70) < s.x(60); bow != (end == "catch") {
			t.Errorf("%s: 70° stands on the wrong side of 60°", end)
		}
		from, to := s.x(66), s.x(s.high)
		for _, p := range s.Shapes {
			if p.Class != "fig-beyond" {
				continue
			}
			var all []Point
			for _, l := range p.Lines {
				all = append(all, l...)
			}
			if b := plane.Around(all); b.X < min(from, to)-0.01 || b.Right() > max(from, to)+0.01 || b.W < 0.9*(max(from, to)-min(from, to)) {
				t.Errorf("%s: hatching %.1f to %.1f, want %.1f to %.1f", end, b.X, b.Right(), from, to)
			}
		}
	}
}

// TestReachIsWritten: nothing rests on the picture alone.
func TestReachIsWritten(t *testing.T) {
	d := reach(358, "catch", 64, 62, 4, 66).Draw()
	for _, part := range []string{"likely 62 ± 4", "reach ends 66 ± 4", "target 64°"} {
		if !strings.Contains(d.Desc, part) {
			t.Errorf("%q is not in %q", part, d.Desc)
		}
	}
	words := d.Caption
	for _, l := range d.Labels {
		words += " " + l.Texts[0].Text
	}
	for _, part := range []string{"likely 62 ± 4", "reach ends 66 ± 4", "target 64°"} {
		if !strings.Contains(words, part) {
			t.Errorf("%q is not in %q", part, words)
		}
	}
}

// TestReachWithoutTarget has neither flag nor word of it.
func TestReachWithoutTarget(t *testing.T) {
	r := reach(358, "catch", 64, 62, 4, 66)
	r.Target = nil
	if html := string(r.Draw().HTML()); strings.Contains(html, "target") || strings.Contains(html, "fig-flag") {
		t.Error("a scale without a target shows one")
	}
	r.NoCapacity = true
	if html := string(r.Draw().HTML()); strings.Contains(html, "reach ends") || strings.Contains(html, "fig-beyond") {
		t.Error("a scale without an end of the reach shows one")
	}
}

func BenchmarkReach(b *testing.B) {
	r := reach(358, "catch", 64, 62, 4, 66)
	for b.Loop() {
		r.Draw()
	}
}
