package progress

import (
	"math"
	"net/http"

	"thole/api/advice"
	"thole/api/progress"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/ui/arc"
	"thole/ui/page"
)

// reportPage is what an athlete is handed.
type reportPage struct {
	progress.Report
	Title    string
	Findings []finding
	Habits   []advice.BladeHabit // that no finding tells
	Arcs     []*arc.Figure       // for a desk, a phone and paper
	Measured []figure
	Over     *charts // the measure that matters most over dates; nil without a second recording
	Each     *charts // the same stroke by stroke, where there is no second one
}

// finding is one thing to work on, in the report's words.
type finding struct {
	advice.WorkOn
	Title, Gain string
}

type figure struct{ Label, Value, Plain string }

func (s *site) report(w http.ResponseWriter, r *http.Request) error {
	rate, _ := page.ParseNumber(r.URL.Query().Get("rate"))
	id := page.PathID(r, "recording")
	p := &reportPage{}
	var err error
	if p.Report, err = s.service.Progress.Report(r.Context(), progress.ReportRequest{ID: id, RatePerMin: rate}); err != nil {
		return s.Fail(w, err)
	}
	ask := strokes.RecordingRequest{ID: id, RatePerMin: rate}
	all, err := s.service.Strokes.Recording(r.Context(), ask)
	if err == nil && rate == 0 && len(all.Oar.Rates) > 1 {
		ask.RatePerMin = p.First.RatePerMin
		all, err = s.service.Strokes.Recording(r.Context(), ask)
	}
	if err != nil {
		return s.Fail(w, err)
	}
	p.lay(&all)
	if err := s.over(r, p, &all); err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "stroke_report", p)
}

// lay builds drawings and figures.
func (p *reportPage) lay(r *strokes.Recording) {
	switch p.Title = p.Recording.Athlete; {
	case p.Title == "" && p.Recording.Seat == "":
		p.Title = "The rower"
	case p.Title == "":
		p.Title = "Seat " + p.Recording.Seat
	}
	for _, size := range []arc.Size{arc.Wide, arc.Narrow, arc.Paper} {
		if a := arc.New(&p.First, r, size); a != nil {
			p.Arcs = append(p.Arcs, a)
		}
	}
	deep := false
	for i := range p.First.Findings {
		f := &p.First.Findings[i]
		deep = deep || f.Item == "depth"
		own := finding{*f, page.Capital(f.Title), gainOf(f)}
		own.Do = own.Do[:min(len(own.Do), mostDo)]
		p.Findings = append(p.Findings, own)
	}
	for _, h := range p.First.Habits {
		if h.Habit != "too deep" || !deep {
			p.Habits = append(p.Habits, h)
		}
	}
	for _, m := range p.Report.Measured {
		digits := digitsOfUnit(m.Unit)
		p.Measured = append(p.Measured, figure{m.Label, withUnit(page.Fix(digits, m.Value)+" ± "+page.Scatter(digits, m.SD), m.Unit), m.Plain})
	}
}

// mostDo is how many things to do are printed for a finding; our judgement.
const mostDo = 2

func digitsOfUnit(unit string) int {
	switch unit {
	case "N", "W":
		return 0
	case "m/s":
		return 2
	}
	return 1
}

// gainOf is what a finding is worth in seconds, with its ends, below zero where it
// may cost some; "" where it has no price.
func gainOf(f *advice.WorkOn) string {
	t := f.Price.ForceTimeS
	if t == (advice.PriceRange{}) || f.Item == "over_reach" {
		return ""
	}
	return page.Fix(1, -t.Value) + " s (" + page.Fix(1, -t.High) + " to " + page.Fix(1, -t.Low) + ")"
}

// followed is the measure that shows whether the first finding was worked on.
var followed = map[string]string{
	"catch_slip": "catch_slip_deg", "entry_early": "entry_moment_s", "entry_late": "catch_slip_deg", "release_slip": "release_slip_deg", "depth": "detour_deg",
	"catch": "catch_deg", "over_reach": "catch_deg", "finish": "finish_deg", "peak_place": "peak_place",
}

// over draws the measure of the first finding over dates, or, with one recording
// alone, stroke by stroke.
func (s *site) over(r *http.Request, p *reportPage, all *strokes.Recording) error {
	feature := "catch_slip_deg"
	if len(p.First.Findings) > 0 {
		feature = followed[p.First.Findings[0].Item]
	}
	if p.Since != nil && p.Recording.AthleteID != nil {
		list, err := s.service.Progress.Athlete(r.Context(), progress.AthleteRequest{ID: *p.Recording.AthleteID, RatePerMin: math.Round(p.First.RatePerMin)})
		if err != nil {
			return err
		}
		own := athletePage{Progress: list}
		days := own.layChanges()
		for i := range list.Series {
			if line := &list.Series[i]; line.Feature == feature {
				p.Over = &charts{Label: line.Label, Wide: newChart(line, days, wideChart), Narrow: newChart(line, days, narrowChart)}
				if line.Trend != nil {
					p.Over.Said = line.Trend.Said
				}
				return nil
			}
		}
	}
	p.Each = eachStroke(all.Oar.List, feature)
	return nil
}

// eachStroke draws a feature stroke by stroke; nil with fewer than two.
func eachStroke(list strokefile.StrokeList, feature string) *charts {
	var x, y []float64
	name := featureNames[feature]
	for i := range list {
		if v, ok := list[i].Features.Value(feature); ok {
			x, y = append(x, float64(i+1)), append(y, v*name.factor)
		}
	}
	if len(x) < 2 {
		return nil
	}
	return &charts{Label: name.label, Wide: newEach(name, x, y, wideChart), Narrow: newEach(name, x, y, narrowChart)}
}

// featureName is a measure as the report calls it.
type featureName struct {
	label, unit string
	digits      int
	factor      float64
}

// featureNames holds label, unit, factor and digits of the measures that are followed.
var featureNames = map[string]featureName{
	"catch_slip_deg": {"Catch slip", "°", 1, 1}, "release_slip_deg": {"Release slip", "°", 1, 1}, "entry_moment_s": {"Blade meets the water", "ms", 0, 1000},
	"detour_deg": {"Depth below just covered", "°", 1, 1}, "catch_deg": {"Catch", "°", 1, -1}, "finish_deg": {"Finish", "°", 1, 1}, "peak_place": {"Place of the peak", "% of the arc", 0, 100},
}
