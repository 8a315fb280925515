package ergometer

import (
	"bytes"
	"encoding/base64"
	"errors"
	"io"
	"net/http"
	"strings"

	"thole/api/access"
	"thole/api/ergometer"
	"thole/api/lineup"
	"thole/api/rest"
	"thole/api/seat"
	"thole/api/table"
	"thole/api/wire"
	"thole/ui/page"
)

// squadPages lists the pages of this area.
func (s *site) squadPages() map[string]page.Route {
	return map[string]page.Route{
		"GET /squad":         page.For(access.Coaches, s.squad),
		"GET /squad/import":  page.For(access.Coaches, s.squadImport),
		"POST /squad/import": page.For(access.Coaches, s.squadImport),
		"GET /squad/{file}":  page.For(access.Coaches, s.squadFile),
	}
}

// The squad ranked by the ergometer, and its import and export as a table.

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
	ask := lineup.BoatSquadRequest{BoatClass: p.Class.Code, SquadID: p.Among.ID}
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

// importPage imports a table: chosen, previewed, saved.
type importPage struct {
	Plan     *ergometer.SquadImport
	Athletes []ergometer.ImportedAthlete // new and changed ones, and those to check
	Tests    []ergometer.ImportedTest    // the same
	Problem  string
	Moved    bool   // athletes or tests have changed since the preview
	Name     string // of the file
	Content  string // of the file, carried from the preview to the saving
	By       string
	ByWrong  string
	Of       [2]tally // athletes and tests
	Doubtful int
}

// largestImport bounds the upload; the reading has its own, lower bound.
const largestImport = 12 << 20

func (s *site) squadImport(w http.ResponseWriter, r *http.Request) error {
	p := &importPage{By: page.Who(r)}
	if r.Method == http.MethodGet {
		return s.Pages.Show(w, http.StatusOK, "squad_import", p)
	}
	content, status := p.receive(w, r)
	if status != http.StatusOK {
		return s.Pages.Show(w, status, "squad_import", p)
	}
	return s.answerImport(w, r, p, content)
}

// receive takes the file from the first form, or its content from the second; the
// status is that of the answer where there is none.
func (p *importPage) receive(w http.ResponseWriter, r *http.Request) (content []byte, status int) {
	r.Body = http.MaxBytesReader(w, r.Body, largestImport)
	large := new(http.MaxBytesError)
	switch err := r.ParseMultipartForm(largestImport); {
	case errors.As(err, &large):
		p.Problem = "The file is larger than 8 MB."
		return nil, http.StatusRequestEntityTooLarge
	case err != nil && !errors.Is(err, http.ErrNotMultipart):
		p.Problem = "The file was cut off. Send it again."
		return nil, http.StatusUnprocessableEntity
	}
	content, p.Problem = p.sent(r)
	if p.Problem != "" {
		return nil, http.StatusUnprocessableEntity
	}
	return content, http.StatusOK
}

// sent returns the file of a form that arrived whole, or what is wrong with it.
func (p *importPage) sent(r *http.Request) (content []byte, problem string) {
	if kept := r.PostFormValue("content"); kept != "" {
		p.Name = r.PostFormValue("name")
		content, err := base64.StdEncoding.DecodeString(kept)
		if err != nil {
			return nil, "The file was cut off. Send it again."
		}
		return content, ""
	}
	file, header, err := r.FormFile("file")
	if err != nil {
		return nil, "Choose a file first."
	}
	defer file.Close()
	if content, err = io.ReadAll(file); err != nil {
		return nil, "The file was cut off. Send it again."
	}
	p.Name = header.Filename
	return content, ""
}

// answerImport shows the preview, or saves what was previewed. A saving without
// the plan of a preview is shown the preview first.
func (s *site) answerImport(w http.ResponseWriter, r *http.Request, p *importPage, content []byte) error {
	p.Content = base64.StdEncoding.EncodeToString(content)
	seen, wanted := r.PostFormValue("plan"), r.PostFormValue("save") != ""
	if wanted {
		p.By = strings.TrimSpace(r.PostFormValue("by"))
		page.Remember(w, p.By)
	}
	if !wanted || seen == "" {
		return s.preview(w, r, p, content, http.StatusOK)
	}
	plan, err := s.service.Ergometer.ImportSquad(r.Context(), bytes.NewReader(content), ergometer.SquadSaving{By: p.By, Plan: seen})
	var bad *wire.Invalid
	switch {
	case errors.As(err, &bad):
		p.ByWrong = bad.Fields[0].Detail
		return s.preview(w, r, p, content, http.StatusUnprocessableEntity)
	case errors.Is(err, ergometer.ErrStale):
		return s.preview(w, r, p, content, http.StatusConflict)
	case err != nil:
		return s.refuseTable(w, p, err)
	}
	p.show(&plan)
	return s.Pages.Show(w, http.StatusOK, "squad_import", p)
}

// preview shows what the table would change now, and whether that differs from
// what the reader has seen.
func (s *site) preview(w http.ResponseWriter, r *http.Request, p *importPage, content []byte, status int) error {
	plan, err := s.service.Ergometer.ReadSquad(r.Context(), bytes.NewReader(content))
	if err != nil {
		return s.refuseTable(w, p, err)
	}
	seen := r.PostFormValue("plan")
	p.Moved = status == http.StatusConflict || seen != "" && seen != plan.Plan
	p.show(&plan)
	return s.Pages.Show(w, status, "squad_import", p)
}

// refuseTable shows why a file cannot be used; other errors are passed on.
func (s *site) refuseTable(w http.ResponseWriter, p *importPage, err error) error {
	said := rest.Explain(err)
	if said.Status != http.StatusUnprocessableEntity && said.Status != http.StatusRequestEntityTooLarge {
		return err
	}
	p.Problem = said.Detail
	return s.Pages.Show(w, said.Status, "squad_import", p)
}

// show counts what the table brings, and leaves out what is unchanged and needs
// no check.
func (p *importPage) show(plan *ergometer.SquadImport) {
	p.Plan = plan
	for _, a := range plan.Athletes {
		if p.count(&p.Of[0], a.Action, a.Doubt) {
			p.Athletes = append(p.Athletes, a)
		}
	}
	for _, t := range plan.Tests {
		if p.count(&p.Of[1], t.Action, t.Doubt) {
			p.Tests = append(p.Tests, t)
		}
	}
}

// tally counts athletes or tests by what becomes of them.
type tally struct{ New, Changed, Known int }

// count counts one athlete or test, and reports whether it is to be shown.
func (p *importPage) count(of *tally, action, doubt string) bool {
	switch action {
	case "new":
		of.New++
	case "changed":
		of.Changed++
	default:
		of.Known++
	}
	if doubt != "" {
		p.Doubtful++
	}
	return action != "known" || doubt != ""
}

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
