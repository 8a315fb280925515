package ergometer

import (
	"bytes"
	"net/http"
	"strings"

	"thole/api/access"
	"thole/api/lineup"
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
	Squad   lineup.BoatSquad
	Bands   []squadBand
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
		page.File{Name: "tests", Title: "Everybody with every test", Make: func() (table.Table, error) { return s.service.Ergometer.SquadTable(r.Context()) }})
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	if p.Squad, err = s.service.Lineup.SquadFor(r.Context(), ask); err != nil {
		return err
	}
	p.band()
	return s.Pages.Show(w, http.StatusOK, "squad", p)
}

// band sorts the squad into its bands.
func (p *squadPage) band() {
	for i, m := range p.Squad.Candidates {
		p.Most = max(p.Most, m.HighW)
		if i == 0 || m.LowW < p.Least {
			p.Least = m.LowW
		}
	}
	at := func(power float64) float64 { return 100 * (power - p.Least) / (p.Most - p.Least) }
	for _, m := range p.Squad.Candidates {
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
	if err := s.service.Ergometer.WriteSquad(r.Context(), kind, &body); err != nil {
		return err
	}
	w.Header().Set("Content-Type", format.ContentType())
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	_, err := w.Write(body.Bytes())
	return err
}
