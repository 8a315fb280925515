package seat

import (
	"net/http"
	"slices"

	"thole/api/advice"
	"thole/api/table"
	"thole/ui/page"
)

// stepsPage is what one step of each setting does, with load and time: a page by
// itself, and a part of the seat's page that is fetched when it is opened.
type stepsPage struct {
	Priced  advice.Centimetres
	Rows    []pricedRow
	Reasons []reason // why steps have no price
	Back    string   // to the seat
	Rower   string
	Boat    string
	Files   *page.Files
}

// pricedRow is a line of the table of centimetres with its price.
type pricedRow struct {
	sensitivityRow
	Load, LoadRange, Time string
}

// reason is why some settings are not priced.
type reason struct{ Settings, Why string }

// steps answers the table to htmx, and a page with it to anything else.
func (s *site) steps(w http.ResponseWriter, r *http.Request) error {
	typed := r.URL.Query()
	p := s.newSeatPage(typed)
	request, complaints := p.read(typed)
	p.First = s.solveOne(r.Context(), request, complaints, p.Class, "a")
	back := "/seat?" + address(typed)
	if p.First == nil {
		http.Redirect(w, r, back, http.StatusSeeOther) // which tells what is wrong
		return nil
	}
	priced, err := s.service.Advice.PriceSolved(request, p.First.Solution)
	if err != nil {
		return s.Fail(w, err)
	}
	view := newStepsPage(&priced)
	view.Back, view.Rower, view.Boat = back, p.Rower, p.Boat
	view.Files = page.NewFiles(r.URL, "centimetres", page.TableFile("centimetres", view.table()))
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	if r.Header.Get("HX-Request") != "" {
		return s.Pages.Fragment(w, http.StatusOK, "seat_steps", "steps", view)
	}
	return s.Pages.Show(w, http.StatusOK, "seat_steps", view)
}

func newStepsPage(priced *advice.Centimetres) *stepsPage {
	p := &stepsPage{Priced: *priced}
	for i := range priced.Steps {
		step := &priced.Steps[i]
		row := pricedRow{sensitivityRow: newSensitivityRow(&step.Sensitivity), Load: "–", Time: "–"}
		if step.Price == nil {
			p.addReason(row.Label, step.Unpriced)
		} else {
			row.Load = page.Signed(1, step.Price.LoadPct.Value)
			row.LoadRange = span(step.Price.LoadPct.Low, step.Price.LoadPct.High)
			row.Time = span(step.Price.FromS, step.Price.ToS)
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

// span writes a range, or one figure where both ends are the same.
func span(low, high float64) string {
	from, to := page.Signed(1, low), page.Signed(1, high)
	if from == to {
		return from
	}
	return from + " to " + to
}

// addReason gathers the settings that one sentence is about.
func (p *stepsPage) addReason(label, why string) {
	i := slices.IndexFunc(p.Reasons, func(r reason) bool { return r.Why == why })
	if i < 0 {
		p.Reasons = append(p.Reasons, reason{label, why})
		return
	}
	p.Reasons[i].Settings += ", " + page.LowerFirst(label)
}

var stepColumns = []table.Column{
	table.Texts("Move", "The setting."), table.Texts("By", "One centimetre or one degree."),
	table.Numbers("Catch, °", 1, "More is longer."), table.Numbers("Finish, °", 1, "More is longer."), table.Numbers("Arc, °", 1, "Both together."),
	table.Numbers("Lever ratio", 2, "Blade to handle."), table.Numbers("Handle, cm", 1, "At the finish."),
	table.Numbers("Load, %", 1, "At equal power."), table.Numbers("Load from, %", 1, "Low end."), table.Numbers("Load to, %", 1, "High end."),
	table.Numbers("Time at equal power, s", 1, "Over 2000 m."), table.Numbers("Time at equal force, s", 1, "Over 2000 m."),
	table.Numbers("Time from, s", 1, "Low end of both."), table.Numbers("Time to, s", 1, "High end of both."), table.Texts("Not priced", "Why."),
}

// table is the page's table.
func (p *stepsPage) table() table.Table {
	t := table.New("What a small move does", stepColumns...)
	for i := range p.Priced.Steps {
		step := &p.Priced.Steps[i]
		row := []any{p.Rows[i].Label, p.Rows[i].Step, -step.CatchDeg, step.FinishDeg, step.ArcDeg, step.LeverRatio, step.HandleFinishCm}
		if price := step.Price; price != nil {
			row = append(row, price.LoadPct.Value, price.LoadPct.Low, price.LoadPct.High, price.PowerTimeS.Value, price.ForceTimeS.Value, price.FromS, price.ToS)
		} else {
			row = append(row, make([]any, 7)...)
		}
		t.Add(append(row, step.Unpriced)...)
	}
	return t
}
