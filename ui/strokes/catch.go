package strokes

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"
	files "thole/ui/strokefile"

	"thole/api/advice"
	"thole/api/rest"
	"thole/api/seat"
	"thole/api/wire"
	"thole/ui/page"
	"thole/ui/plot"
	"thole/ui/usage"
)

// catchPage is the catch, to try.
type catchPage struct {
	Fields, Rig []tryField
	Class       string
	Classes     []seat.BoatClass
	C           advice.CatchTry
	Ready       bool
	Path, Costs *plot.Plot
	Moves       []move
	Head        []headline
	Tables      files.Tables
	Files       *page.Files
	Problems    []page.Problem
}

// tryField is a figure of the form.
type tryField struct{ Name, Label, Unit, Value, Help string }

// move leads to the same page with one figure changed.
type move struct{ Label, Link string }

// tryFields are the figures that a catch is tried with, and tryRig those that
// stay while it is tried.
var (
	tryFields = []tryField{
		{Name: "height_cm", Label: "Blade carried over the water", Unit: "cm", Help: "Lower edge when it starts down."},
		{Name: "sink_m_s", Label: "Blade sinks at", Unit: "m/s"},
		{Name: "moment_ms", Label: "Starts down, against the reversal", Unit: "ms", Help: "Minus is before the hands reverse."},
		{Name: "pick_up_m_s2", Label: "Hands pick up speed at", Unit: "m/s²"},
	}
	tryRig = []tryField{
		{Name: "inboard_cm", Label: "Inboard", Unit: "cm"}, {Name: "oar_length_cm", Label: "Oar length", Unit: "cm"},
		{Name: "catch_deg", Label: "Catch", Unit: "°"}, {Name: "finish_deg", Label: "Finish", Unit: "°"},
		{Name: "rate_per_min", Label: "Rate", Unit: "a minute"}, {Name: "peak_n", Label: "Peak force on one handle", Unit: "N"},
		{Name: "mass_kg", Label: "Mass of a rower", Unit: "kg"},
	}
)

func (s *site) catch(w http.ResponseWriter, r *http.Request) error {
	p := &catchPage{Classes: s.service.Seat.BoatClasses()}
	ask, typed := p.read(r.URL.Query())
	status := http.StatusOK
	if len(p.Problems) == 0 {
		c, err := s.service.Advice.TryCatch(r.Context(), ask)
		if err != nil && !p.complain(err) {
			return s.Fail(w, err)
		}
		if err == nil {
			p.lay(&c, r)
		}
	}
	if len(p.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	p.show(typed)
	p.Files = p.Tables.Files(r, "catch")
	if done, err := p.Files.Send(w, r); done {
		return err
	}
	return s.Pages.Show(w, status, "stroke_catch", p)
}

// read takes the figures of the address.
func (p *catchPage) read(typed url.Values) (advice.CatchRequest, url.Values) {
	ask := advice.CatchRequest{BoatClass: typed.Get("boat_class")}
	number := func(name string) *float64 {
		text := strings.TrimSpace(typed.Get(name))
		if text == "" {
			return nil
		}
		v, complaint := wire.ReadNumber(text)
		if complaint != "" {
			p.Problems = append(p.Problems, tryPlaces().Problem(wire.At(name).Problem(complaint)))
		}
		return &v
	}
	given := func(name string) float64 {
		if v := number(name); v != nil {
			return *v
		}
		return 0
	}
	ask.HeightCm, ask.SinkMS, ask.MomentMs, ask.PickUp = number("height_cm"), number("sink_m_s"), number("moment_ms"), number("pick_up_m_s2")
	ask.InboardCm, ask.OarLengthCm, ask.CatchDeg, ask.FinishDeg = given("inboard_cm"), given("oar_length_cm"), given("catch_deg"), given("finish_deg")
	ask.RatePerMin, ask.PeakN, ask.MassKg = given("rate_per_min"), given("peak_n"), given("mass_kg")
	return ask, typed
}

// tryPlaces are the fields of the form, which are called as the request's members.
func tryPlaces() page.FieldsAt {
	list := page.FieldsAt{{At: wire.At("boat_class"), ID: "boat_class", Label: "Boat class"}}
	for _, f := range slices.Concat(tryFields, tryRig) {
		list = append(list, page.FieldAt{At: wire.At(f.Name), ID: f.Name, Label: f.Label})
	}
	return list
}

func (p *catchPage) complain(err error) bool {
	explained := rest.Explain(err)
	if explained.Status != http.StatusUnprocessableEntity {
		return false
	}
	p.Problems = append(p.Problems, tryPlaces().Problems(explained.Errors)...)
	return true
}

// values are the figures of an answer by the names of the form.
func tryValues(c *advice.CatchTry) map[string]float64 {
	return map[string]float64{
		"height_cm": c.HeightCm, "sink_m_s": c.SinkMS, "moment_ms": c.MomentMs, "pick_up_m_s2": c.PickUpMS2, "inboard_cm": c.InboardCm,
		"oar_length_cm": c.OarLengthCm, "catch_deg": c.CatchDeg, "finish_deg": c.FinishDeg, "rate_per_min": c.RatePerMin, "peak_n": c.PeakN, "mass_kg": c.MassKg,
	}
}

// show fills the form: what was typed where something is wrong, else what was
// reckoned with.
func (p *catchPage) show(typed url.Values) {
	values := tryValues(&p.C)
	fill := func(list []tryField) []tryField {
		out := append([]tryField{}, list...)
		for i := range out {
			if out[i].Value = typed.Get(out[i].Name); p.Ready {
				out[i].Value = page.Plain(values[out[i].Name])
			}
		}
		return out
	}
	p.Fields, p.Rig, p.Class = fill(tryFields), fill(tryRig), typed.Get("boat_class")
	if p.Ready {
		p.Class = p.C.BoatClass
	}
}

// lay builds drawings, links and tables.
func (p *catchPage) lay(c *advice.CatchTry, r *http.Request) {
	p.C, p.Ready = *c, true
	p.Head = []headline{
		{"Pulled as hard as now", page.Signed(1, c.Cost.ForceTimeS) + " s", "against a free catch, over 2000 m"},
		{"At the same power", page.Signed(1, c.Cost.PowerTimeS) + " s", page.Signed(1, c.Cost.PowerForcePct) + " % of force"},
		{"Missed before it holds", page.Fix(1, c.LoadDeg) + "°", page.Fix(1, c.FreeLoadDeg) + "° with a free catch"},
		{"Best start", momentWords(c.BestForce.MomentMs), "against the reversal, pulled as hard as now; at the same power " + momentWords(c.BestPower.MomentMs)},
	}
	p.Path, p.Costs = catchPath(c, usage.From(r.Context())), catchCosts(c)
	for _, m := range []struct {
		label, name string
		by          float64
	}{
		{"25 ms sooner", "moment_ms", -25}, {"25 ms later", "moment_ms", 25}, {"1 cm lower", "height_cm", -1}, {"1 cm higher", "height_cm", 1},
		{"sinks 0.1 m/s faster", "sink_m_s", 0.1}, {"sinks 0.1 m/s slower", "sink_m_s", -0.1},
	} {
		if v := wire.Round(tryValues(c)[m.name]+m.by, 1e6); canBeTried(m.name, v) {
			p.Moves = append(p.Moves, move{m.label, tryLink(c, m.name, v)})
		}
	}
	p.Moves = append(p.Moves, move{"at the best moment", tryLink(c, "moment_ms", c.BestForce.MomentMs)})
	p.Tables = files.Tables{costTable(c), catchTable(c)}
}

// canBeTried reports whether a value lies within the limits of its field, so that no link
// leads to a refusal.
func canBeTried(name string, v float64) bool {
	field, _ := wire.MemberAt(&advice.CatchRequest{}, wire.At(name))
	l := wire.LimitsOf(field)
	return v >= *l.Least && v <= *l.Most
}

// tryLink leads to an answer with one figure changed.
func tryLink(c *advice.CatchTry, name string, value float64) string {
	q := url.Values{"boat_class": {c.BoatClass}}
	for n, v := range tryValues(c) {
		q.Set(n, strings.ReplaceAll(page.Plain(v), "−", "-"))
	}
	q.Set(name, strings.ReplaceAll(page.Fix(2, value), "−", "-"))
	return "/catch?" + q.Encode()
}

func momentWords(ms float64) string {
	switch ms = math.Round(ms); {
	case ms < 0:
		return page.Fix(0, -ms) + " ms before"
	case ms > 0:
		return page.Fix(0, ms) + " ms after"
	}
	return "at the reversal"
}

// felt is the speed against the water below which nothing is backed to speak of,
// m/s; our judgement: the force grows with its square.
const felt = 0.1

// catchPath draws the blade's lower edge along the water: in the air, backing
// water, and holding.
func catchPath(c *advice.CatchTry, reader usage.Usage) *plot.Plot {
	var x, y []float64
	cm, unit, holds := reader.Axis()
	for _, b := range c.Path {
		x, y = append(x, b.XCm/cm), append(y, b.EdgeCm/cm)
	}
	p := plot.New(fmt.Sprintf("Blade path about the catch: %s° missed, %s J a stroke lost by backing water", page.Fix(1, c.LoadDeg), page.Fix(0, c.BackedJ)),
		190, plot.Extent([2]float64{x[0], x[0]}, x), plot.Extent([2]float64{-5 / cm, 5 / cm}, y), "along the water towards the bow, "+unit, "lower edge over the water, "+unit)
	p.Unit = holds
	p.Below("underwater", 0)
	part := func(class, label, anchor string, dy float64, holds func(b advice.CatchPoint) bool) {
		var px, py []float64
		for i, b := range c.Path {
			if holds(b) {
				px, py = append(px, x[i]), append(py, y[i])
			} else if len(px) > 0 {
				break
			}
		}
		if len(px) < 2 {
			return
		}
		p.Line(class, px, py)
		at := len(px) / 2
		if anchor == "end" {
			at = len(px) - 1
		}
		p.Note(px[at], py[at], 0, dy, anchor, label)
	}
	p.Line("series back", x, y)
	part("series s3", "backs water", "start", -10, func(b advice.CatchPoint) bool { return b.SlipMS < -felt && b.Covered > 0 && b.TimeMs >= 0 })
	part("series s0", "holds", "end", 20, func(b advice.CatchPoint) bool { return b.Loaded })
	for i := range c.Path {
		if i > 0 && c.Path[i-1].TimeMs < 0 && c.Path[i].TimeMs >= 0 {
			p.Dot("peak", x[i], y[i])
			p.Note(x[i], slices.Max(y[:i+1]), 0, -8, "middle", "hands reverse") // clear of the water and of the path
		}
	}
	return p
}

// catchCosts draws what each moment costs, in both columns.
func catchCosts(c *advice.CatchTry) *plot.Plot {
	var x, force, power []float64
	for _, m := range c.ByMoment {
		x, force, power = append(x, m.MomentMs), append(force, m.ForceTimeS), append(power, m.PowerTimeS)
	}
	if len(x) < 2 {
		return nil
	}
	p := plot.New("Seconds lost against a free catch, by the moment the blade starts down; best "+momentWords(c.BestForce.MomentMs)+" pulled as hard as now, "+momentWords(c.BestPower.MomentMs)+" at the same power",
		190, plot.Extent([2]float64{x[0], x[len(x)-1]}, []float64{c.MomentMs}), plot.Extent([2]float64{0, 1}, force, power, []float64{c.Cost.ForceTimeS}), "start against the reversal of the hands, ms", "lost over 2000 m, s")
	p.Line("series s0", x, force)
	p.Line("series s1", x, power)
	k := len(x) - 1
	p.Note(x[k], force[k], -4, -8, "end", "as hard as now")
	p.Note(x[k], power[k], -4, -8, "end", "same power")
	p.Upright("level", c.MomentMs)
	p.Dot("peak", c.MomentMs, c.Cost.ForceTimeS)
	p.Dot("peak", c.MomentMs, c.Cost.PowerTimeS)
	return p
}

func costTable(c *advice.CatchTry) *files.Table {
	t := &files.Table{Name: "costs", Title: "Cost by moment", Head: []string{"Starts down, ms", "As hard as now, s", "Same power, s", "Same power, force %"}}
	for _, m := range c.ByMoment {
		t.Rows = append(t.Rows, []string{page.Fix(0, m.MomentMs), page.Fix(1, m.ForceTimeS), page.Fix(1, m.PowerTimeS), page.Fix(1, m.PowerForcePct)})
	}
	return t
}

func catchTable(c *advice.CatchTry) *files.Table {
	t := &files.Table{Name: "path", Title: "Blade path", Head: []string{"Time, ms", "Oar angle, °", "Lower edge, cm", "Along the water, cm", "Slip, m/s", "Covered", "Holds"}, Wide: true}
	for _, b := range c.Path {
		holds := "no"
		if b.Loaded {
			holds = "yes"
		}
		t.Rows = append(t.Rows, []string{page.Fix(0, b.TimeMs), page.Fix(1, b.AngleDeg), page.Fix(1, b.EdgeCm), page.Fix(1, b.XCm), page.Fix(2, b.SlipMS), page.Fix(2, b.Covered), holds})
	}
	return t
}
