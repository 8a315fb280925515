package ergometer

import (
	"bytes"
	"net/http"
	"slices"
	"strings"

	"thole/api/access"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/table"
	"thole/ui/page"
)

// squadPages lists the pages of this area.
func (s *site) squadPages() map[string]page.Route {
	return map[string]page.Route{
		"GET /squad":        page.For(access.Coaches, s.squad),
		"GET /squad/{file}": page.For(access.Coaches, s.squadFile).Heavy(),

		"GET /squad/evidence":                             page.For(access.Coaches, s.evidence),
		"POST /squad/evidence":                            page.For(access.Coaches, s.addOpinion),
		"POST /squad/evidence/{athlete}/{opinion}/remove": page.For(access.Coaches, s.removeOpinion),
	}
}

// The squad ranked by the ergometer, and its export as a table.

// squadPage is the page of the squad.
type squadPage struct {
	Class   seat.BoatClass
	Classes []seat.BoatClass
	Among   page.SquadChoice
	Name    string // that is looked for; "" for everybody
	Page    page.Paging
	Squad   lineup.BoatSquad
	Bands   []squadBand
	Missing []lineup.CandidateGap // the first of those
	Further int                   // how many more they are
	Files   *page.Files
	Least   float64 // W, of the bars
	Most    float64
}

// squadBand is a group of athletes within the noise of their tests.
type squadBand struct {
	Number  int
	Members []squadRow
}

// squadRow is one athlete with the bar of the 90 % interval.
type squadRow struct {
	lineup.BoatCandidate
	Sides     string
	PerKg     float64
	Low, High float64 // shares of the bar
}

func (s *site) squad(w http.ResponseWriter, r *http.Request) error {
	p := &squadPage{Classes: s.service.Seat.BoatClasses()}
	p.Class = p.Classes[0]
	for _, c := range p.Classes {
		if c.Code == r.URL.Query().Get("class") {
			p.Class = c
		}
	}
	var err error
	if p.Among, err = page.ChooseSquad(r.Context(), s.service.Club, r.URL.Query().Get(page.Among)); err != nil {
		return err
	}
	ask := lineup.BoatSquadRequest{BoatClass: p.Class.Code, SquadID: p.Among.ID, Powers: "ergometer"}
	p.Files = page.NewFiles(r.URL, "squad", page.FileOf(r.Context(), "power", "Race power", s.service.Lineup.PowerTable, ask),
		page.File{Name: "tests", Title: "Everybody with every test", Make: func() (table.Table, error) { return s.service.Squadfile.Table(r.Context()) }})
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	if p.Squad, err = s.service.Lineup.SquadFor(r.Context(), ask); err != nil {
		return err
	}
	p.scale()
	found, err := s.named(r)
	if err != nil {
		return err
	}
	p.Name = found.name
	p.Squad.Candidates = slices.DeleteFunc(p.Squad.Candidates, func(c lineup.BoatCandidate) bool { return !found.has(c.AthleteID) })
	p.Squad.Missing = slices.DeleteFunc(p.Squad.Missing, func(a lineup.CandidateGap) bool { return !found.has(a.AthleteID) })
	p.Page = page.PageOf(r, len(p.Squad.Candidates))
	p.Missing = p.Squad.Missing[:min(len(p.Squad.Missing), page.PerPage)]
	p.Further = len(p.Squad.Missing) - len(p.Missing)
	p.band()
	return s.Pages.Show(w, http.StatusOK, "squad", p)
}

// foundNames are the athletes who have something in the name.
type foundNames struct {
	name string // "": everybody is one
	ids  map[int64]bool
}

func (f *foundNames) has(id int64) bool { return f.name == "" || f.ids[id] }

// named finds the athletes whom a request looks for.
func (s *site) named(r *http.Request) (*foundNames, error) {
	f := &foundNames{name: strings.TrimSpace(r.URL.Query().Get("name")), ids: map[int64]bool{}}
	if f.name == "" {
		return f, nil
	}
	list, err := s.service.Club.Athletes(r.Context(), records.ListRequest{Name: f.name})
	for i := range list.Athletes {
		f.ids[list.Athletes[i].ID] = true
	}
	return f, err
}

// scale fits the bars to the whole squad, so that they are the same on every page.
func (p *squadPage) scale() {
	for i, m := range p.Squad.Candidates {
		p.Most = max(p.Most, m.HighW)
		if i == 0 || m.LowW < p.Least {
			p.Least = m.LowW
		}
	}
}

// band sorts those on the page into their bands.
func (p *squadPage) band() {
	at := func(power float64) float64 { return 100 * (power - p.Least) / (p.Most - p.Least) }
	for _, m := range p.Squad.Candidates[p.Page.First-1 : p.Page.Last] {
		if len(p.Bands) == 0 || p.Bands[len(p.Bands)-1].Number != m.Band {
			p.Bands = append(p.Bands, squadBand{Number: m.Band})
		}
		band := &p.Bands[len(p.Bands)-1]
		row := squadRow{BoatCandidate: m, PerKg: m.PowerW / m.MassKg, Low: at(m.LowW), High: at(m.HighW)}
		if m.Sides != nil {
			row.Sides = page.CostWords(m.Sides)
		}
		band.Members = append(band.Members, row)
	}
}

// Wide is the bar's length between the ends of the interval.
func (r squadRow) Wide() float64 { return r.High - r.Low }

// squadFile answers the squad as a file.
func (s *site) squadFile(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("file")
	kind, ok := strings.CutPrefix(name, "squad.")
	format, known := table.FormatNamed(kind)
	if !ok || !known {
		return s.Missing(w, r)
	}
	var body bytes.Buffer
	if err := s.service.Squadfile.Write(r.Context(), kind, &body); err != nil {
		return err
	}
	w.Header().Set("Content-Type", format.ContentType())
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	_, err := w.Write(body.Bytes())
	return err
}
