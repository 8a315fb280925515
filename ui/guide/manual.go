package guide

import (
	"context"
	"html/template"
	"math"
	"net/http"
	"strings"

	"thole/api/seat"
	"thole/api/settings"
	"thole/ui/figure/measure"
	"thole/ui/glossary"
	"thole/ui/page"
)

func (s *site) guide(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "guide", nil)
}

func (s *site) walks(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "guide_walks", nil)
}

func (s *site) numbers(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "guide_numbers", nil)
}

func (s *site) glossary(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "guide_glossary", glossary.Groups())
}

// measuresPage shows every measure with its drawing.
type measuresPage struct {
	Groups []measureGroup
}

type measureGroup struct {
	Key, Title string
	Measures   []shownMeasure
}

// shownMeasure is a measure with its drawing, and what an error in it does.
type shownMeasure struct {
	how
	Drawing template.HTML
	Effect  string // "" where it moves no angle
}

func (s *site) measures(w http.ResponseWriter, r *http.Request) error {
	effects, err := s.effects(r.Context())
	if err != nil {
		return s.Fail(w, err)
	}
	var p measuresPage
	for _, g := range howGroups {
		shown := measureGroup{Key: g.key, Title: g.title}
		for _, m := range g.list {
			shown.Measures = append(shown.Measures, shownMeasure{m, measure.Draw(m.Key).HTML(), effects[m.Setting]})
		}
		p.Groups = append(p.Groups, shown)
	}
	return s.Pages.Show(w, http.StatusOK, "guide_measures", p)
}

// effects says by setting what one step does to catch and finish, in a single and
// for the spread in an eight, both with the usual rig and an average adult.
func (s *site) effects(ctx context.Context) (map[string]string, error) {
	said := map[string]string{}
	for _, boat := range []struct{ class, name string }{{"8+", "an eight"}, {"1x", "a single"}} {
		solved, err := s.service.Seat.SolveSeat(ctx, usualSeat(boat.class))
		if err != nil {
			return nil, err
		}
		for _, e := range solved.Sensitivities {
			said[e.Setting] = effect(boat.name, e)
		}
	}
	return said, nil
}

// usualSeat is the seat that pages start from.
func usualSeat(class string) seat.SolveRequest {
	r := seat.SolveRequest{BoatClass: class}
	if !strings.HasSuffix(class, "x") {
		r.Seat.Side = "port"
	}
	for _, f := range page.Concat(fieldsOf(class)) {
		v := settings.Usual(class, f.Name)
		*f.At(&r) = &v
	}
	return r
}

func fieldsOf(class string) []page.Field {
	first, _ := page.FieldsOfRig(strings.HasSuffix(class, "x"))
	return first
}

// effect is what one step of a setting does; "" where it moves neither end by a
// twentieth of a degree.
func effect(boat string, e seat.Sensitivity) string {
	if math.Abs(e.CatchDeg) < 0.05 && math.Abs(e.FinishDeg) < 0.05 {
		return ""
	}
	step := "1 cm"
	if strings.HasSuffix(e.Setting, "_deg") {
		step = "1°"
	}
	if e.Step < 0 {
		return step + " less in " + boat + ": catch " + page.Signed(1, -e.CatchDeg) + "°, finish " + page.Signed(1, e.FinishDeg) + "°."
	}
	return step + " more in " + boat + ": catch " + page.Signed(1, -e.CatchDeg) + "°, finish " + page.Signed(1, e.FinishDeg) + "°."
}
