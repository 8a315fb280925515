package ergometer

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"thole/api/evidence"
	"thole/api/wire"
	"thole/ui/page"
)

// What is known of the squad's power on the water, a line an athlete, and the
// form for the coach's opinion.

// evidencePage is the page of all evidence.
type evidencePage struct {
	*page.RecordForm
	Among   page.SquadChoice
	Name    string // that is looked for; "" for everybody
	Page    page.Paging
	Squad   evidence.Squad
	Rows    []evidenceRow
	Unknown []evidence.Athlete // the first of those
	Further int                // how many more they are
	More    int                // athletes whose figure rests on more than tests
	Opinion []page.Value
	Files   *page.Files
}

// evidenceRow is one athlete.
type evidenceRow struct {
	evidence.Athlete
	Ergometer, Racing, Strokes, Coach evidenceCell
	Next, NextMark                    string // against the next, in a word
}

// evidenceCell is what one source says, and what it moved.
type evidenceCell struct{ Figure, About, Moved string }

func (s *site) evidence(w http.ResponseWriter, r *http.Request) error {
	p, err := s.evidencePage(r, page.NewForm(url.Values{"said_on": {s.service.Club.Today()}, "by": {page.Who(r)}, "athlete": {r.URL.Query().Get("athlete")}}))
	if err != nil {
		return s.Fail(w, err)
	}
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "squad_evidence", p)
}

func (s *site) evidencePage(r *http.Request, f *page.RecordForm) (*evidencePage, error) {
	p := &evidencePage{RecordForm: f}
	var err error
	if p.Among, err = page.ChooseSquad(r.Context(), s.service.Club, r.URL.Query().Get(page.Among)); err != nil {
		return nil, err
	}
	ask := evidence.Request{SquadID: p.Among.ID}
	p.Files = page.NewFiles(r.URL, "evidence", page.FileOf(r.Context(), "evidence", "Evidence", s.service.Evidence.Table, ask))
	if p.Squad, err = s.service.Evidence.Squad(r.Context(), ask); err != nil {
		return nil, err
	}
	found, err := s.named(r)
	if err != nil {
		return nil, err
	}
	p.Name = found.name
	p.Squad.Athletes = slices.DeleteFunc(p.Squad.Athletes, func(a evidence.Athlete) bool { return !found.has(a.AthleteID) })
	for i := range p.Squad.Athletes {
		p.take(&p.Squad.Athletes[i])
	}
	p.Page = page.PageOf(r, len(p.Rows))
	p.Rows = p.Rows[p.Page.First-1 : p.Page.Last]
	p.Further = max(0, len(p.Unknown)-page.PerPage)
	p.Unknown = p.Unknown[:len(p.Unknown)-p.Further]
	p.ask()
	return p, nil
}

// take puts an athlete into the table, or below it.
func (p *evidencePage) take(a *evidence.Athlete) {
	if a.Joined == nil {
		p.Unknown = append(p.Unknown, *a)
		return
	}
	if a.Racing != nil || a.Strokes != nil || a.Coach != nil {
		p.More++
	}
	p.Rows = append(p.Rows, newEvidenceRow(a))
}

// ask lays out the form for an opinion.
func (p *evidencePage) ask() {
	who := page.TextField("athlete", "Athlete", "").Choose(page.Option{Label: "choose"})
	who.Kind = "select"
	for _, a := range p.Squad.Athletes {
		who.Options = append(who.Options, page.Option{Value: strconv.FormatInt(a.AthleteID, 10), Label: a.Name})
	}
	p.Opinion = []page.Value{
		who, page.NumberField("power_w", "Power on the water", "W", "Mean over 2000 m, by what you saw in the boat, not by the ergometer.", "").AsNeeded(),
		page.NumberField("sd_w", "±", "W", "You expect to be within it two times in three.", "").AsNeeded(),
		page.TextField("said_on", "Day", "").As("date").AsNeeded(), page.TextField("note", "What you saw", ""), page.ByField(),
	}
	p.Address, p.Back = "/squad/evidence", "/squad/evidence"
	p.Fill(p.Opinion)
}

func newEvidenceRow(a *evidence.Athlete) evidenceRow {
	r := evidenceRow{Athlete: *a, Racing: differenceCell(a.Racing, "seat race", "seat races"), Strokes: differenceCell(a.Strokes, "recording", "recordings")}
	if e := a.Ergometer; e != nil {
		r.Ergometer = evidenceCell{Figure: plusMinus(e.PowerW, e.SdW), About: counted(e.Count, "test", "tests")}
	}
	if o := a.Coach; o != nil {
		r.Coach = evidenceCell{Figure: plusMinus(o.PowerW, o.SdW), About: o.SaidBy + ", " + page.Day(o.SaidOn)}
	}
	for _, m := range a.Moved {
		cell := map[string]*evidenceCell{"ergometer": &r.Ergometer, "racing": &r.Racing, "strokes": &r.Strokes, "coach": &r.Coach}[m.Source]
		if cell.Moved = "confirms it"; signedW(m.ByW) != "0" {
			cell.Moved = "moves it " + signedW(m.ByW) + " W"
		}
	}
	if n := a.OverNext; n != nil {
		r.Next, r.NextMark = n.Certainty, certaintyMarks[n.Certainty]
	}
	return r
}

// certaintyMarks are the shapes of the certainties, that stand beside their words.
var certaintyMarks = map[string]string{"firm": "●", "likely": "◑", "open": "○"}

func differenceCell(d *evidence.Difference, one, many string) evidenceCell {
	if d == nil {
		return evidenceCell{}
	}
	return evidenceCell{Figure: signedW(d.DifferenceW) + " ± " + page.Fix(0, d.SdW), About: fmt.Sprintf("%s, among %d", counted(d.Count, one, many), d.Among)}
}

func plusMinus(w, sd float64) string { return page.Fix(0, w) + " ± " + page.Fix(0, sd) }

// signedW writes whole watts with their sign; what rounds to 0 has none.
func signedW(w float64) string { return page.Signed(0, w) }

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func (s *site) addOpinion(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	id, err := strconv.ParseInt(f.Text("athlete"), 10, 64)
	if err != nil {
		f.Complaints["athlete"] = "Choose an athlete."
	}
	o := evidence.NewOpinion{AthleteID: id, SaidOn: f.Text("said_on"), PowerW: f.Number("power_w"), SdW: f.Number("sd_w"), Note: f.Text("note"), By: f.Text("by")}
	form := page.FormPage{Page: "squad_evidence", Part: "opinion-form", Build: func() (any, error) { return s.evidencePage(r, f) }}
	return s.Submit(w, r, f, form, func() (string, error) {
		_, err := s.service.Evidence.AddOpinion(r.Context(), o)
		return "/squad/evidence", err
	})
}

// removeOpinion removes an opinion; one that is gone already is no fault.
func (s *site) removeOpinion(w http.ResponseWriter, r *http.Request) error {
	_, err := s.service.Evidence.RemoveOpinion(r.Context(), evidence.OpinionRemoval{AthleteID: page.PathID(r, "athlete"), Opinion: page.PathID(r, "opinion")})
	if err != nil && !errors.Is(err, wire.ErrNotFound) {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, "/squad/evidence")
}
