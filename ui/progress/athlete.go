package progress

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"thole/api/progress"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/video"
	"thole/ui/page"
)

// athletePage is a rower's progress.
type athletePage struct {
	progress.Progress
	Rates   []rateLink
	Charts  []charts
	Steady  []charts // without a change beyond the noise
	Changes []change
	Rows    []row
	Files   *page.Files
	Filmed  []video.FilmedReading
	Problem string
}

// rateLink leads to the recordings at one rate.
type rateLink struct {
	Label, Link string
	Current     bool
}

// charts is one measure, for a desk and for a phone.
type charts struct {
	Label, Said string
	DaySD       string
	Own         bool
	Wide        *chart
	Narrow      *chart
}

// change is what was changed on one day.
type change struct {
	Number int
	On     string
	Said   []changeLine
}

type changeLine struct {
	Text  string
	Sheet int64
}

// row is one recording in the list, the newest first.
type row struct {
	progress.Outing
	Compare string // with the newest at the rate; "" for that one
}

func (s *site) athlete(w http.ResponseWriter, r *http.Request) error {
	rate, _ := page.ParseNumber(r.URL.Query().Get("rate"))
	ask := progress.AthleteRequest{ID: page.PathID(r, "id"), RatePerMin: rate}
	p, status := &athletePage{}, http.StatusOK
	var err error
	if p.Progress, err = s.service.Progress.Athlete(r.Context(), ask); err != nil && rate != 0 {
		if explained := rest.Explain(err); explained.Status == http.StatusUnprocessableEntity && len(explained.Errors) > 0 {
			p.Problem, status = explained.Errors[0].Detail, http.StatusUnprocessableEntity
			ask.RatePerMin = 0
			p.Progress, err = s.service.Progress.Athlete(r.Context(), ask)
		}
	}
	if err != nil {
		return s.Fail(w, err)
	}
	filmed, err := s.service.Video.Readings(r.Context(), records.IDRequest{ID: ask.ID})
	if err != nil {
		return s.Fail(w, err)
	}
	p.Filmed = filmed.Readings
	p.lay(r.URL.Path)
	if len(p.Series) > 0 {
		p.Files = page.NewFiles(r.URL, "progress", page.TableFile("progress", progressTable(&p.Progress)))
		if sent, err := p.Files.Send(w, r); sent {
			return err
		}
	}
	return s.Pages.Show(w, status, "stroke_progress", p)
}

// lay builds links, charts and the list.
func (p *athletePage) lay(address string) {
	if len(p.Progress.Rates) > 1 {
		for _, one := range p.Progress.Rates {
			q := url.Values{"rate": {page.Fix(0, one.RatePerMin)}}
			p.Rates = append(p.Rates, rateLink{
				Label: fmt.Sprintf("%s a minute, %s", page.Fix(0, one.RatePerMin), count(one.Recordings, "recording", "recordings")), Link: address + "?" + q.Encode(),
				Current: one.RatePerMin == p.RatePerMin,
			})
		}
	}
	days := p.layChanges()
	for i := range p.Series {
		line := &p.Series[i]
		c := charts{Label: line.Label, Own: line.Own, DaySD: withUnit(page.Fix(digitsOf(line), line.DaySD), line.Unit), Wide: newChart(line, days, wideChart), Narrow: newChart(line, days, narrowChart)}
		if line.Trend != nil {
			c.Said = line.Trend.Said
		}
		if line.Trend != nil && line.Trend.Change.Verdict == "same" {
			p.Steady = append(p.Steady, c)
			continue
		}
		p.Charts = append(p.Charts, c)
	}
	p.layRows()
}

// layChanges numbers the days on which something was changed.
func (p *athletePage) layChanges() (days []string) {
	for _, m := range p.Rig {
		if n := len(p.Changes); n == 0 || days[n-1] != m.On {
			days = append(days, m.On)
			p.Changes = append(p.Changes, change{Number: n + 1, On: m.On})
		}
		last := &p.Changes[len(p.Changes)-1]
		last.Said = append(last.Said, changeLine{page.Capital(m.Said), m.Sheet})
	}
	return days
}

// layRows lists the recordings, the newest first.
func (p *athletePage) layRows() {
	newest := int64(0)
	for i := range p.Outings {
		if o := p.Outings[len(p.Outings)-1-i]; o.Used && newest == 0 {
			newest = o.RecordingID
		}
	}
	for i := range p.Outings {
		one := row{Outing: p.Outings[len(p.Outings)-1-i]}
		if one.RecordingID != newest && newest != 0 {
			one.Compare = fmt.Sprintf("/recordings/compare?a=%d&b=%d", one.RecordingID, newest)
		}
		p.Rows = append(p.Rows, one)
	}
}

// count writes a number of things.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// crewPage is a crew between two days.
type crewPage struct {
	progress.Crew
	Options []page.Option
	Heads   []string
	Lines   []crewLine
	Files   *page.Files
	Filmed  []video.FilmedReading
	Problem string
}

// crewLine is one rower.
type crewLine struct {
	progress.CrewRow
	Cells   []crewCell
	Compare string
}

// crewCell is one measure of one rower.
type crewCell struct{ Figures, Verdict, Class string }

// crewMeasures are those of the table, in its order.
var crewMeasures = []struct{ feature, head string }{
	{"catch_slip_deg", "Catch slip, °"}, {"release_slip_deg", "Release slip, °"}, {"catch_deg", "Catch, °"}, {"effective_arc_deg", "Effective arc, °"},
	{"peak_n", "Peak force, N"}, {"power_w", "Power, W"},
}

func (s *site) crew(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	ask := progress.CrewRequest{ID: page.PathID(r, "id"), From: strings.TrimSpace(q.Get("from")), To: strings.TrimSpace(q.Get("to"))}
	p, status := &crewPage{}, http.StatusOK
	var err error
	p.Crew, err = s.service.Progress.Crew(r.Context(), ask)
	if explained := rest.Explain(err); err != nil && explained.Status == http.StatusUnprocessableEntity && len(explained.Errors) > 0 {
		p.Problem, status = explained.Errors[0].Detail, explained.Status
		p.Crew, err = s.service.Progress.Crew(r.Context(), progress.CrewRequest{ID: ask.ID})
	}
	if err != nil {
		return s.Fail(w, err)
	}
	p.lay()
	if p.From != "" {
		p.Files = page.NewFiles(r.URL, "crew", page.TableFile("crew", crewTable(&p.Crew)))
		if sent, err := p.Files.Send(w, r); sent {
			return err
		}
	}
	return s.Pages.Show(w, status, "stroke_crew", p)
}

// lay builds the table.
func (p *crewPage) lay() {
	for _, day := range p.Days {
		p.Options = append(p.Options, page.Option{Value: day, Label: page.Day(day)})
	}
	for _, m := range crewMeasures {
		p.Heads = append(p.Heads, m.head)
	}
	for _, one := range p.Crew.Rows {
		line := crewLine{CrewRow: one}
		if one.Changes != nil {
			line.Compare = fmt.Sprintf("/recordings/compare?a=%d&b=%d", one.BeforeID, one.AfterID)
			for _, m := range crewMeasures {
				line.Cells = append(line.Cells, cellOf(one.Changes, m.feature))
			}
		}
		p.Lines = append(p.Lines, line)
	}
}

func cellOf(c *progress.FeatureChanges, feature string) crewCell {
	for i := range c.List {
		one := &c.List[i]
		if one.Feature != feature {
			continue
		}
		digits := 1
		if one.Unit != "°" {
			digits = 0
		}
		return crewCell{page.Fix(digits, one.Before) + " → " + page.Fix(digits, one.After), page.ProgressVerdicts[one.Change.Verdict], one.Change.Verdict}
	}
	return crewCell{"–", "", ""}
}
