package strokefile

import (
	"context"
	"math"
	"net/http"
	"strconv"

	"thole/api"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/selection"
	"thole/ui/page"
	"thole/ui/plot"
)

// curvesPage brings in mean curves.
type curvesPage struct {
	Upload          strokefile.Upload
	File            strokefile.CurveFile
	Plot            *plot.Plot
	Curves          []curveChoice
	Athletes, Boats []page.Option
	Units           []page.Option
	Unit, Force     string
	Catch, Finish   string
	On, Boat, Note  string
	Problems        []page.Problem
	Own             bool // an athlete keeps their own
}

// curveChoice is one curve of the file with whose it is.
type curveChoice struct{ Name, Athlete string }

var forceUnits = []page.Option{{Value: "n", Label: "N"}, {Value: "kgf", Label: "kgf"}, {Value: "lbf", Label: "lbf"}}

func (s *site) newCurvesPage(r *http.Request, upload strokefile.Upload, unit string) (*curvesPage, error) {
	p := &curvesPage{Own: SelfOf(r) != 0, Upload: upload, Units: forceUnits, On: upload.Proposal.Day}
	var err error
	if p.File, err = s.service.Strokefile.UploadCurves(r.Context(), strokefile.CurvesRequest{ID: upload.ID, Unit: unit}); err != nil {
		return nil, err
	}
	p.Unit = p.File.Unit
	for _, c := range p.File.Curves {
		p.Curves = append(p.Curves, curveChoice{Name: c.Name})
	}
	p.draw()
	if self := SelfOf(r); self != 0 {
		p.Athletes = []page.Option{{Value: strconv.FormatInt(self, 10), Label: "mine"}}
	} else if p.Athletes, err = Everybody(r.Context(), s.service); err != nil {
		return nil, err
	}
	boats, err := s.service.Fleet.Boats(r.Context(), records.ListRequest{})
	for _, b := range boats.Boats {
		p.Boats = append(p.Boats, page.Option{Value: strconv.FormatInt(b.ID, 10), Label: b.Name + ", " + b.BoatClass})
	}
	return p, err
}

// draw draws the curves that are told.
func (p *curvesPage) draw() {
	top, x, told := [2]float64{0, 1}, plot.Evenly(selection.CurveNodes, 0, 100), 0
	for _, c := range p.File.Curves {
		if len(c.ForceN) == len(x) {
			top = plot.Extent(top, c.ForceN)
			told++
		}
	}
	if told == 0 {
		return
	}
	p.Plot = plot.New("The mean curves of the file", 220, [2]float64{0, 100}, top, "share of the arc from catch to finish, %", "force, N")
	for i, c := range p.File.Curves {
		if len(c.ForceN) == len(x) {
			p.Plot.Line(plot.Dash(i), x, c.ForceN)
			k := 15 + 70*(2*i+1)/(2*len(p.File.Curves))
			p.Plot.Note(x[k], c.ForceN[k], 0, -5, "middle", c.Name)
		}
	}
}

// Everybody lists the club's athletes with what tells them apart.
func Everybody(ctx context.Context, service *api.Service) (options []page.Option, err error) {
	athletes, err := service.Club.AthleteNames(ctx)
	for _, a := range athletes {
		options = append(options, page.Option{Value: strconv.FormatInt(a.ID, 10), Label: a.Whole})
	}
	return options, err
}

// strokeCurves shows the curves of an upload that holds no recording.
func (s *site) strokeCurves(w http.ResponseWriter, r *http.Request, upload strokefile.Upload) error {
	p, err := s.newCurvesPage(r, upload, "")
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "stroke_curves", p)
}

// strokeKeepCurves puts the curves that were assigned on record.
func (s *site) strokeKeepCurves(w http.ResponseWriter, r *http.Request) error {
	form := s.Sent(w, r)
	if form == nil {
		return s.Broken(w)
	}
	upload, err := s.service.Strokefile.UploadOf(r.Context(), strokefile.UploadRequest{ID: r.PathValue("upload")})
	if err != nil {
		return s.uploadGone(w, err)
	}
	p, err := s.newCurvesPage(r, upload, form.Text("unit"))
	if err != nil {
		return s.Fail(w, err)
	}
	ask := p.keeping(form)
	if len(p.Problems) == 0 {
		list, err := s.service.Strokes.KeepCurves(r.Context(), ask)
		if err == nil {
			return page.Saved(w, r, keptAddress(&list))
		}
		if !p.complain(err) {
			return s.Fail(w, err)
		}
	}
	return s.Pages.Show(w, http.StatusUnprocessableEntity, "stroke_curves", p)
}

// keeping reads what was typed; it stays in the form.
func (p *curvesPage) keeping(form *page.RecordForm) strokes.KeepCurvesRequest {
	p.Force, p.Catch, p.Finish, p.On, p.Boat, p.Note = form.Text("force"), form.Text("catch_deg"), form.Text("finish_deg"), form.Text("recorded_on"), form.Text("boat"), form.Text("note")
	number := func(label, text string) *float64 {
		v, ok := page.ParseNumber(text)
		if text == "" {
			return nil
		}
		if !ok {
			p.Problems = append(p.Problems, page.Problem{Label: label, Text: "“" + text + "” is not a number."})
		}
		return &v
	}
	ask := strokes.KeepCurvesRequest{
		Upload: p.Upload.ID, Unit: form.Text("unit"), Force: p.Force, FinishDeg: number("Finish", p.Finish), RecordedOn: p.On, BoatID: IDOf(p.Boat), Note: p.Note,
	}
	if catch := number("Catch", p.Catch); catch != nil {
		before := -math.Abs(*catch)
		ask.CatchDeg = &before
	}
	for i := range p.Curves {
		c := &p.Curves[i]
		if c.Athlete = form.Text("athlete" + strconv.Itoa(i)); c.Athlete != "" {
			ask.Curves = append(ask.Curves, strokes.KeptCurve{Name: c.Name, AthleteID: IDOf(c.Athlete)})
		}
	}
	return ask
}

// curveFields are the fields of the form.
var curveFields = page.FieldsAt{
	{At: wire.At("force"), ID: "force", Label: "Force measured at the"}, {At: wire.At("catch_deg"), ID: "catch_deg", Label: "Catch"},
	{At: wire.At("finish_deg"), ID: "finish_deg", Label: "Finish"}, {At: wire.At("recorded_on"), ID: "recorded_on", Label: "Day"},
	{At: wire.At("boat_id"), ID: "boat", Label: "Boat"}, {At: wire.At("note"), ID: "note", Label: "Note"},
	{At: wire.At("unit"), ID: "unit", Label: "Unit"}, {At: wire.At("curves"), Label: "Curves"},
}

func (p *curvesPage) complain(err error) bool {
	explained := rest.Explain(err)
	if explained.Status != http.StatusUnprocessableEntity {
		return false
	}
	p.Problems = append(p.Problems, curveFields.Problems(explained.Errors)...)
	if len(explained.Errors) == 0 {
		p.Problems = append(p.Problems, page.Problem{Text: explained.Detail})
	}
	return true
}
