package strokefile

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"thole/api/exports"
	"thole/api/jobs"
	"thole/api/once"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/selection"
	"thole/ui/page"
	"thole/ui/plot"
)

// The import of a file of strokes: upload, confirm how it is read, measure,
// say who sat where, keep.

// strokeImportPage is the first step.
type strokeImportPage struct {
	Problem  string
	Mappings []strokefile.NamedMapping
	Own      bool // an athlete adds their own
	Most     string
}

func (s *site) strokeImport(w http.ResponseWriter, r *http.Request) error {
	return s.showImport(w, r, http.StatusOK, "")
}

func (s *site) showImport(w http.ResponseWriter, r *http.Request, status int, problem string) error {
	list, err := s.service.Strokefile.Mappings(r.Context(), struct{}{})
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, status, "stroke_import", strokeImportPage{Problem: problem, Mappings: list.Mappings, Own: SelfOf(r) != 0, Most: largest(strokefile.LargestUpload(r.Context()))})
}

// largest tells a number of bytes, a whole number of MB.
func largest(bytes int64) string {
	if bytes >= 1<<30 {
		return strconv.FormatInt(bytes>>30, 10) + " GB"
	}
	return strconv.FormatInt(bytes>>20, 10) + " MB"
}

// strokeUpload takes the file in.
func (s *site) strokeUpload(w http.ResponseWriter, r *http.Request) error {
	upload, err := s.takeUpload(w, r)
	if err == nil {
		http.Redirect(w, r, "/recordings/import/"+upload.ID, http.StatusSeeOther)
		return nil
	}
	rest.Drain(r)
	p := rest.Explain(err)
	if p.Status == http.StatusInternalServerError {
		return err
	}
	text := p.Detail
	for _, f := range p.Errors {
		text = f.Detail
	}
	return s.showImport(w, r, p.Status, text)
}

func (s *site) takeUpload(w http.ResponseWriter, r *http.Request) (strokefile.Upload, error) {
	done, err := s.service.Strokes.Uploads.Admit(w, r)
	if err != nil {
		return strokefile.Upload{}, err
	}
	defer done()
	parts, err := r.MultipartReader()
	if err != nil {
		return strokefile.Upload{}, noFile()
	}
	for {
		part, err := parts.NextPart()
		if err == io.EOF {
			return strokefile.Upload{}, noFile()
		}
		if err != nil {
			return strokefile.Upload{}, rest.ExplainReading(err)
		}
		if part.FormName() == "file" && part.FileName() != "" {
			return s.service.Strokefile.Upload(r.Context(), part.FileName(), part)
		}
	}
}

func noFile() error {
	return &wire.Invalid{Fields: []wire.FieldProblem{{Field: "file", Detail: "Choose a file first."}}}
}

// Choices of the mapping.
var (
	quantityOptions = []page.Option{
		{Value: "", Label: "pass over"}, {Value: "time", Label: "time"}, {Value: "oar_angle", Label: "oar angle"}, {Value: "force", Label: "force"}, {Value: "vertical_angle", Label: "vertical angle"},
		{Value: "boat_speed", Label: "boat speed"}, {Value: "seat", Label: "seat"}, {Value: "side", Label: "side"},
	}
	unitOptions = []page.Option{
		{Value: "", Label: "–"}, {Value: "s", Label: "s"}, {Value: "ms", Label: "ms"}, {Value: "clock", Label: "h:mm:ss"}, {Value: "deg", Label: "°"}, {Value: "rad", Label: "rad"}, {Value: "n", Label: "N"}, {Value: "kgf", Label: "kgf"}, {Value: "lbf", Label: "lbf"},
		{Value: "m_s", Label: "m/s"}, {Value: "km_h", Label: "km/h"},
	}
	sideOptions      = []page.Option{{Value: "", Label: "–"}, {Value: "port", Label: "port"}, {Value: "starboard", Label: "starboard"}}
	separatorOptions = []page.Option{{Value: "comma", Label: "comma ,"}, {Value: "semicolon", Label: "semicolon ;"}, {Value: "tab", Label: "tab"}, {Value: "bar", Label: "bar |"}, {Value: "blanks", Label: "blanks"}}
)

// columnForm is one column of the file.
type columnForm struct {
	Index                      int
	Name                       string // as the file has it
	Quantity, Unit, Seat, Side string
	Negate                     bool
	Problem                    string
}

// mappingPage is the second step.
type mappingPage struct {
	Upload     strokefile.Upload
	Columns    []*columnForm
	Preview    [][]string
	Separator  string
	Comma      bool
	Header     string
	Force      string
	Rate       string
	In, Out    string
	Saved      string // name of the mapping in use
	Mappings   []strokefile.NamedMapping
	Thresholds ThresholdForm
	Zeros      []*zeroForm
	Questions  []strokefile.StrokeQuestion // other than about zeros
	Warnings   []strokefile.StrokeWarning  // other than questions
	Problems   []page.Problem
	Told       string
	Seat       *seatChoice // for an athlete, who keeps their own

	Quantities, Units, Sides, Separators []page.Option
}

// zeroForm is what the sensors of an oar read where they should read nothing,
// as typed, with the questions that ask for it.
type zeroForm struct {
	Index              int
	Seat, Side, Label  string
	Angle, Force       string
	Follow             bool
	Asked              []strokefile.StrokeQuestion
	AskAngle, AskForce string // proposed
	AskFollow, Wanted  bool
}

// asked reports whether a warning is a question, which stands where it is
// answered.
func asked(list []strokefile.StrokeQuestion, code string) bool {
	return slices.ContainsFunc(list, func(q strokefile.StrokeQuestion) bool { return q.Kind == code })
}

// zeroOf returns the row of an oar, a new one where there is none.
func (p *mappingPage) zeroOf(seat, side string) *zeroForm {
	for _, z := range p.Zeros {
		if z.Seat == seat && z.Side == side {
			return z
		}
	}
	label := "Every oar"
	if seat != "" || side != "" {
		label = strings.TrimSpace(SeatLabel(seat) + " " + side)
	}
	z := &zeroForm{Index: len(p.Zeros), Seat: seat, Side: side, Label: label}
	p.Zeros = append(p.Zeros, z)
	return z
}

// ask lays the questions to where they are answered.
func (p *mappingPage) ask(list []strokefile.StrokeQuestion) {
	p.zeroOf("", "")
	for _, q := range list {
		switch q.Kind {
		case "angle_zero":
			z := p.zeroOf(q.Seat, q.Side)
			z.Asked, z.AskAngle, z.Wanted = append(z.Asked, q), page.Plain(q.Proposed), true
		case "force_zero":
			z := p.zeroOf(q.Seat, q.Side)
			z.Asked, z.AskForce, z.Wanted = append(z.Asked, q), page.Plain(q.Proposed), true
		case "force_drift":
			z := p.zeroOf(q.Seat, q.Side)
			z.Asked, z.AskFollow, z.Wanted = append(z.Asked, q), true, true
		case "unit":
			p.Questions = append(p.Questions, q)
		}
	}
}

// ZerosWanted reports whether a zero is asked about or given.
func (p *mappingPage) ZerosWanted() bool {
	for _, z := range p.Zeros {
		if z.Wanted || z.Angle != "" || z.Force != "" || z.Follow {
			return true
		}
	}
	return false
}

// readZeros takes the zeros that were typed.
func (p *mappingPage) readZeros(typed url.Values) []strokefile.StrokeZero {
	var list []strokefile.StrokeZero
	for i := range 200 {
		at := func(name string) string { return strings.TrimSpace(typed.Get(name + strconv.Itoa(i))) }
		if !typed.Has("za" + strconv.Itoa(i)) {
			break
		}
		z := p.zeroOf(at("zs"), at("zd"))
		z.Angle, z.Force, z.Follow = at("za"), at("zf"), at("zr") == "true"
		w := strokefile.StrokeZero{Seat: z.Seat, Side: z.Side, FollowRest: z.Follow}
		w.AngleDeg = p.number("za", z.Label+", angle with the oar square", z.Angle)
		w.ForceN = p.number("zf", z.Label+", force at rest", z.Force)
		if w.AngleDeg != 0 || w.ForceN != 0 || w.FollowRest {
			list = append(list, w)
		}
	}
	return list
}

func (s *site) strokeMapping(w http.ResponseWriter, r *http.Request) error {
	p, err := s.newMappingPage(r)
	if err != nil {
		return s.uploadGone(w, err)
	}
	if p.Upload.Proposal.Curves > 0 {
		return s.strokeCurves(w, r, p.Upload)
	}
	mapping := p.Upload.Proposal.Mapping
	if name := r.URL.Query().Get("mapping"); name != "" {
		saved, err := s.service.Strokefile.Mapping(r.Context(), strokefile.MappingRequest{Name: name})
		if err != nil {
			return s.Fail(w, err)
		}
		mapping, p.Saved = saved.Mapping, name
		p.Told = "Read with the saved mapping “" + name + "”."
	}
	thresholds := strokefile.StrokeThresholds{}
	if report := s.measured(r); report != nil { // back from the result, with what was typed
		mapping, thresholds = report.Mapping, report.Thresholds
		p.showLevers(report.Levers)
		if p.Seat != nil && len(report.Seats) == 1 {
			p.Seat.Chosen = report.Seats[0].Seat
		}
		for i := range report.Seats {
			for j := range report.Seats[i].Oars {
				p.ask(report.Seats[i].Oars[j].Questions)
			}
		}
	}
	p.show(&mapping)
	p.Thresholds.Fill(&thresholds)
	return s.Pages.Show(w, http.StatusOK, "stroke_mapping", p)
}

// measured returns the report of the job that the address names, nil without.
func (s *site) measured(r *http.Request) *strokefile.StrokeReport {
	job, err := s.service.Jobs.Job(r.Context(), jobs.JobRequest{ID: r.URL.Query().Get("job")})
	if report, ok := job.Result.(strokefile.StrokeReport); ok && err == nil {
		return &report
	}
	return nil
}

func (p *mappingPage) showLevers(l *strokefile.OarLevers) {
	if l == nil {
		return
	}
	p.In = page.Plain(l.InCm)
	if l.OutCm != 0 {
		p.Out = page.Plain(l.OutCm)
	}
}

// uploadGone says that a file does not wait any more.
func (s *site) uploadGone(w http.ResponseWriter, err error) error {
	if errors.Is(err, wire.ErrNotFound) {
		return s.Pages.Show(w, http.StatusNotFound, "message", page.Message{
			Title: "This file is gone", Text: "Files wait an hour, and go when they have been kept. Choose the file again under Strokes, Import.",
		})
	}
	return s.Fail(w, err)
}

func (s *site) newMappingPage(r *http.Request) (*mappingPage, error) {
	upload, err := s.service.Strokefile.UploadOf(r.Context(), strokefile.UploadRequest{ID: r.PathValue("upload")})
	if err != nil {
		return nil, err
	}
	list, err := s.service.Strokefile.Mappings(r.Context(), struct{}{})
	p := &mappingPage{
		Seat: newSeatChoice(r, &upload.Proposal), Upload: upload, Mappings: list.Mappings, Preview: upload.Proposal.Preview,
		Quantities: quantityOptions, Units: unitOptions, Sides: sideOptions, Separators: separatorOptions,
	}
	width := max(upload.Proposal.Mapping.Width, len(upload.Proposal.Header))
	for _, row := range p.Preview {
		width = max(width, len(row))
	}
	for i := range width {
		c := &columnForm{Index: i, Name: "Column " + strconv.Itoa(i+1)}
		if i < len(upload.Proposal.Header) && upload.Proposal.Header[i] != "" {
			c.Name = upload.Proposal.Header[i]
		}
		p.Columns = append(p.Columns, c)
	}
	p.ask(upload.Proposal.Questions)
	for _, w := range upload.Proposal.Warnings {
		if !asked(upload.Proposal.Questions, w.Code) {
			p.Warnings = append(p.Warnings, w)
		}
	}
	return p, err
}

// show fills the form from a mapping.
func (p *mappingPage) show(m *strokefile.StrokeMapping) {
	p.Separator, p.Comma, p.Header, p.Force = m.Separator, m.DecimalComma, strconv.Itoa(m.HeaderLines), m.Force
	if m.SampleRateHz > 0 {
		p.Rate = page.Plain(m.SampleRateHz)
	}
	for _, z := range m.Zeros {
		f := p.zeroOf(z.Seat, z.Side)
		f.Follow = z.FollowRest
		if z.AngleDeg != 0 {
			f.Angle = page.Plain(z.AngleDeg)
		}
		if z.ForceN != 0 {
			f.Force = page.Plain(z.ForceN)
		}
	}
	for _, c := range m.Columns {
		for len(p.Columns) <= c.Index && c.Index < 1000 {
			p.Columns = append(p.Columns, &columnForm{Index: len(p.Columns), Name: "Column " + strconv.Itoa(len(p.Columns)+1)})
		}
		if c.Index < len(p.Columns) {
			f := p.Columns[c.Index]
			f.Quantity, f.Unit, f.Seat, f.Side, f.Negate = c.Quantity, c.Unit, c.Seat, c.Side, c.Negate
		}
	}
}

// read takes what was typed into the form and the mapping.
func (p *mappingPage) read(typed url.Values) strokefile.StrokeMapping {
	p.Separator, p.Comma, p.Force = typed.Get("separator"), typed.Get("decimal_comma") == "true", typed.Get("force")
	p.Header, p.Rate = strings.TrimSpace(typed.Get("header_lines")), strings.TrimSpace(typed.Get("sample_rate_hz"))
	p.In, p.Out, p.Saved = typed.Get("in_cm"), typed.Get("out_cm"), strings.TrimSpace(typed.Get("mapping_name"))
	m := strokefile.StrokeMapping{Separator: p.Separator, DecimalComma: p.Comma, Force: p.Force}
	m.HeaderLines = int(p.number("header_lines", "Lines before the first row", p.Header))
	m.SampleRateHz = p.number("sample_rate_hz", "Samples a second", p.Rate)
	m.Zeros = p.readZeros(typed)
	for _, c := range p.Columns {
		at := func(name string) string { return typed.Get(name + strconv.Itoa(c.Index)) }
		c.Quantity, c.Unit, c.Seat, c.Side, c.Negate = at("q"), at("u"), strings.TrimSpace(at("s")), at("d"), at("n") == "true"
		if c.Quantity != "" {
			m.Columns = append(m.Columns, strokefile.StrokeColumn{Index: c.Index, Quantity: c.Quantity, Unit: c.Unit, Seat: c.Seat, Side: c.Side, Negate: c.Negate})
		}
	}
	return m
}

// number reads an optional number, 0 when there is none.
func (p *mappingPage) number(field, label, text string) float64 {
	if strings.TrimSpace(text) == "" {
		return 0
	}
	v, complaint := wire.ReadNumber(text)
	if complaint != "" {
		p.Problems = append(p.Problems, page.Problem{Field: field, Label: label, Text: complaint})
	}
	return v
}

// levers reads the two arms; nil when none is stated.
func (p *mappingPage) levers() *strokefile.OarLevers {
	if strings.TrimSpace(p.In) == "" && strings.TrimSpace(p.Out) == "" {
		return nil
	}
	return &strokefile.OarLevers{InCm: p.number("in_cm", "Pin to the hands", p.In), OutCm: p.number("out_cm", "Pin to the middle of the blade", p.Out)}
}

// sentMapping returns the page with what was typed into it; without one the answer is
// given already, with err.
func (s *site) sentMapping(w http.ResponseWriter, r *http.Request) (p *mappingPage, typed url.Values, m strokefile.StrokeMapping, err error) {
	form := s.Sent(w, r)
	if form == nil {
		return nil, nil, m, s.Broken(w)
	}
	if p, err = s.newMappingPage(r); err != nil {
		return nil, nil, m, s.uploadGone(w, err)
	}
	return p, form.Typed, p.read(form.Typed), nil
}

// unread shows the page again with what is wrong.
func (s *site) unread(w http.ResponseWriter, p *mappingPage) error {
	return s.Pages.Show(w, http.StatusUnprocessableEntity, "stroke_mapping", p)
}

// strokeMeasure measures the file.
func (s *site) strokeMeasure(w http.ResponseWriter, r *http.Request) error {
	p, typed, m, err := s.sentMapping(w, r)
	if p == nil {
		return err
	}
	levers := p.levers()
	if p.Seat != nil {
		p.Seat.Chosen = strings.TrimSpace(typed.Get(seatField))
	}
	var thresholds *strokefile.StrokeThresholds
	if thresholds, p.Thresholds = ReadThresholds(typed); p.Thresholds.Problem != "" {
		p.Problems = append(p.Problems, page.Problem{Field: "catch_n", Label: "Thresholds", Text: p.Thresholds.Problem})
	}
	if len(p.Problems) == 0 {
		err = s.measure(w, r, p, strokefile.AnalyseUploadRequest{ID: p.Upload.ID, Mapping: &m, Thresholds: thresholds, Levers: levers, Seat: p.Seat.asked()})
		if err == nil || !p.complain(err) {
			return err
		}
	}
	p.Seat.mend(p.Problems)
	return s.unread(w, p)
}

// strokeSaveMapping saves how the file is read.
func (s *site) strokeSaveMapping(w http.ResponseWriter, r *http.Request) error {
	p, _, m, err := s.sentMapping(w, r)
	if p == nil {
		return err
	}
	if len(p.Problems) > 0 {
		return s.unread(w, p)
	}
	saved, err := s.service.Strokefile.SaveMapping(r.Context(), strokefile.MappingEdit{Name: p.Saved, Mapping: m})
	if err != nil {
		if p.complain(err) {
			return s.unread(w, p)
		}
		return err
	}
	http.Redirect(w, r, "/recordings/import/"+p.Upload.ID+"?mapping="+url.QueryEscape(saved.Name), http.StatusSeeOther)
	return nil
}

// complain shows what is wrong; false for faults of ours.
func (p *mappingPage) complain(err error) bool {
	explained := rest.Explain(err)
	if explained.Status == http.StatusInternalServerError {
		return false
	}
	p.Problems = append(p.Problems, p.fields().Problems(explained.Errors)...)
	if len(explained.Errors) == 0 {
		p.Problems = append(p.Problems, page.Problem{Field: "", Label: "", Text: explained.Detail})
	}
	return true
}

// mappingFields are the fields of the form that stay the same from file to file.
var mappingFields = page.FieldsAt{
	{At: wire.At("mapping", "force"), ID: "force", Label: "Force measured at the"},
	{At: wire.At("mapping", "sample_rate_hz"), ID: "sample_rate_hz", Label: "Samples a second"},
	{At: wire.At("mapping", "header_lines"), ID: "header_lines", Label: "Lines before the rows"},
	{At: wire.At("mapping", "separator"), ID: "separator", Label: "Between the cells"},
	{At: wire.At("mapping", "decimal_comma"), ID: "decimal_comma", Label: "Decimal sign"},
	{At: wire.At("mapping", "columns"), ID: "", Label: "Columns"},
	{At: wire.At("mapping", "zeros"), ID: "", Label: "What the sensors read at rest"},
	{At: wire.At("levers", "in_cm"), ID: "in_cm", Label: "Pin to the hands"},
	{At: wire.At("levers", "out_cm"), ID: "out_cm", Label: "Pin to the middle of the blade"},
	{At: wire.At("thresholds", "catch_n"), ID: "catch_n", Label: "Force at the catch"},
	{At: wire.At("thresholds", "release_n"), ID: "release_n", Label: "Force at the release"},
	{At: wire.At("thresholds", "share_of_peak"), ID: "share", Label: "Share of the stroke’s own peak"},
	{At: wire.At("thresholds", "covered_deg"), ID: "covered_deg", Label: "Covered at"},
	{At: wire.At("thresholds"), ID: "", Label: "Thresholds"},
	{At: wire.At("name"), ID: "mapping_name", Label: "Name of the mapping"},
	{At: wire.At("seat"), ID: seatField, Label: "Your seat"},
}

// fields are the fields of the form with those of the columns that are used.
func (p *mappingPage) fields() page.FieldsAt {
	list := slices.Clone(mappingFields)
	used := 0
	for _, c := range p.Columns {
		if c.Quantity != "" {
			list = append(list, page.FieldAt{At: wire.At("mapping", "columns").Item(used), ID: "q" + strconv.Itoa(c.Index), Label: c.Name})
			used++
		}
	}
	return list
}

// measure starts the work and leads on to its page. Small files are done by
// then, and what is wrong with them is reported here.
func (s *site) measure(w http.ResponseWriter, r *http.Request, p *mappingPage, ask strokefile.AnalyseUploadRequest) error {
	job, err := s.service.Jobs.StartJob(r.Context(), func(ctx context.Context) (any, error) { return s.service.Strokefile.AnalyseUpload(ctx, ask) })
	if err != nil {
		return err
	}
	if job = s.await(r.Context(), job); job.State == "failed" {
		return &failed{job.Error}
	}
	address := "/recordings/import/" + p.Upload.ID + "/" + job.ID
	if p.Saved != "" {
		address += "?mapping=" + url.QueryEscape(p.Saved)
	}
	http.Redirect(w, r, address, http.StatusSeeOther)
	return nil
}

// failed is the error of a job.
type failed struct{ problem *wire.Problem }

func (f *failed) Error() string { return f.problem.Detail }

// Unwrap gives the error back as the work returned it.
func (f *failed) Unwrap() error {
	if len(f.problem.Errors) > 0 {
		return &wire.Invalid{Fields: f.problem.Errors}
	}
	if f.problem.Status == http.StatusInternalServerError {
		return nil
	}
	return &wire.Unreadable{Text: f.problem.Detail}
}

// patience is how long a page waits for work before it shows the progress.
const patience = time.Second

// await waits a moment for a job to end.
func (s *site) await(ctx context.Context, job wire.Job) wire.Job {
	for start := time.Now(); job.State == "running" && time.Since(start) < patience && ctx.Err() == nil; time.Sleep(5 * time.Millisecond) {
		if now, err := s.service.Jobs.Job(ctx, jobs.JobRequest{ID: job.ID}); err == nil {
			job = now
		}
	}
	return job
}

// resultPage is the third step: how far the work has come, then what came of
// it and who sat where.
type resultPage struct {
	Upload  strokefile.Upload
	Job     wire.Job
	Address string
	Percent int
	Report  *strokefile.StrokeReport
	Mapping string
	Seats   []*resultSeat
	Plot    *plot.Plot
	Tables  Tables
	Files   *page.Files
	Refused *Table
	Rates   *Table // nil where every oar kept one rate

	Athletes, Boats []page.Option
	Boat, On, Note  string
	Problems        []page.Problem
	Own             int64 // the athlete who keeps their own; 0 for others
}

// resultSeat is one rower of the file.
type resultSeat struct {
	Seat    string
	Label   string
	Oars    []resultOar
	Athlete string // as chosen
	Class   string // of the curve
	Power   string
}

// resultOar is one oar of the file.
type resultOar struct {
	Label    string
	Oar      strokefile.StrokeOar
	LeftOut  string
	Warnings []strokefile.StrokeWarning
}

func (s *site) resultPage(r *http.Request) (*resultPage, error) {
	p := &resultPage{Own: SelfOf(r), Mapping: r.URL.Query().Get("mapping"), Address: r.URL.RequestURI()}
	var err error
	if p.Job, err = s.service.Jobs.Job(r.Context(), jobs.JobRequest{ID: r.PathValue("job")}); err != nil {
		return nil, err
	}
	p.Upload, err = s.service.Strokefile.UploadOf(r.Context(), strokefile.UploadRequest{ID: r.PathValue("upload")})
	if _, over := p.Job.Result.(strokes.RecordingList); err != nil && !over {
		return nil, err
	}
	if p.Job.Total > 0 {
		p.Percent = int(100 * p.Job.Done / p.Job.Total)
	}
	if report, ok := p.Job.Result.(strokefile.StrokeReport); ok {
		p.Report = &report
		err = s.fillResult(r, p)
	} else {
		err = nil
	}
	return p, err
}

// strokeResult shows progress or result. While the work goes on, htmx asks for
// the progress alone.
func (s *site) strokeResult(w http.ResponseWriter, r *http.Request) error {
	p, err := s.resultPage(r)
	if err != nil {
		return s.uploadGone(w, err)
	}
	if list, ok := p.Job.Result.(strokes.RecordingList); ok {
		return page.Saved(w, r, keptAddress(&list))
	}
	if r.Header.Get("HX-Request") != "" {
		if p.Job.State != "running" {
			w.Header().Set("HX-Refresh", "true")
		}
		return s.Pages.Fragment(w, http.StatusOK, "stroke_result", "progress", p)
	}
	p.Files = p.Tables.Files(r, "strokes")
	if done, err := p.Files.Send(w, r); done {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "stroke_result", p)
}

// keptAddress is where to go after recordings were kept.
func keptAddress(list *strokes.RecordingList) string {
	if len(list.Recordings) == 1 {
		return fmt.Sprintf("/recordings/%d", list.Recordings[0].ID)
	}
	return fmt.Sprintf("/recordings?kept=%d", len(list.Recordings))
}

func (s *site) strokeCancel(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.Jobs.CancelJob(r.Context(), jobs.JobRequest{ID: r.PathValue("job")}); err != nil {
		return s.uploadGone(w, err)
	}
	return page.Saved(w, r, "/recordings/import/"+r.PathValue("upload"))
}

// fillResult lays out a report.
func (s *site) fillResult(r *http.Request, p *resultPage) error {
	boats, err := s.service.Fleet.Boats(r.Context(), records.ListRequest{})
	if err == nil && p.Own == 0 {
		p.Athletes, err = s.rowers(r.Context())
	}
	if err != nil {
		return err
	}
	for _, b := range boats.Boats {
		p.Boats = append(p.Boats, page.Option{Value: strconv.FormatInt(b.ID, 10), Label: b.Name + ", " + b.BoatClass})
	}
	if p.On = p.Report.Day; p.On == "" {
		p.On = s.service.Strokes.Today()
	}
	p.Rates = ratesTable(p.Report)
	for i := range p.Report.Seats {
		p.Seats = append(p.Seats, newResultSeat(i, &p.Report.Seats[i]))
	}
	p.Plot = seatCurves(p.Report)
	p.Refused = refusedTable(&p.Report.Refused)
	p.Tables = Tables{seatTable(p.Report), p.Refused}
	if p.Rates != nil {
		p.Tables = append(p.Tables, p.Rates)
	}
	return nil
}

// rowers are the club's athletes to choose from.
func (s *site) rowers(ctx context.Context) (options []page.Option, err error) {
	athletes, err := s.service.Club.Athletes(ctx, records.ListRequest{})
	for _, a := range athletes.Athletes {
		options = append(options, page.Option{Value: strconv.FormatInt(a.ID, 10), Label: a.Name})
	}
	return options, err
}

func newResultSeat(i int, seat *strokefile.StrokeSeat) *resultSeat {
	w := &resultSeat{Seat: seat.Seat, Label: SeatLabel(seat.Seat), Class: plot.Dash(i)}
	if seat.PowerW != nil {
		w.Power = page.Fix(0, *seat.PowerW)
	}
	for _, o := range seat.Oars {
		w.Oars = append(w.Oars, resultOar{Label: strings.TrimSpace(w.Label + " " + o.Side), Oar: o, LeftOut: LeftOut(&o.LeftOut), Warnings: o.Warnings})
	}
	return w
}

// SeatLabel names a seat of a file; one that names none is the rower’s.
func SeatLabel(seat string) string {
	if seat == "" {
		return "The rower"
	}
	return "Seat " + seat
}

// LeftOut reports which cycles are no strokes.
func LeftOut(l *strokefile.LeftOutStrokes) string {
	var parts []string
	for _, one := range []struct {
		n    int
		text string
	}{
		{l.Partial, "cut off at an end"}, {l.Pause, "slower than 8 a minute"}, {l.Fast, "faster than 67 a minute"},
		{l.Short, "shorter than 20°"}, {l.Gap, "with samples missing"}, {l.NoLoad, "below 30 N"}, {l.ByHand, "excluded by hand"},
	} {
		if one.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", one.n, one.text))
		}
	}
	return strings.Join(parts, ", ")
}

// seatTable sums up the oars of a file.
func seatTable(r *strokefile.StrokeReport) *Table {
	t := &Table{Name: "seats", Title: "Seat by seat", Head: []string{"Seat", "Strokes"}}
	var shown []strokefile.Feature
	for _, name := range []string{"catch_deg", "finish_deg", "rate_per_min", "catch_slip_deg", "release_slip_deg", "effective_arc_deg", "peak_n", "peak_place", "work_j", "power_w", "depth_deg"} {
		for i := range r.Seats {
			if _, ok := r.Seats[i].Oars[0].Features[name]; ok {
				shown = append(shown, *exports.FeatureNamed(name))
				t.Head = append(t.Head, exports.Heading(exports.FeatureNamed(name)))
				break
			}
		}
	}
	for i := range r.Seats {
		for j := range r.Seats[i].Oars {
			o := &r.Seats[i].Oars[j]
			row := []string{strings.TrimSpace(SeatLabel(r.Seats[i].Seat) + " " + o.Side), strconv.Itoa(o.Strokes)}
			for _, l := range shown {
				cell := "–"
				if f, ok := o.Features[l.Name]; ok {
					cell = page.Fix(l.Digits, f.Mean)
				}
				row = append(row, cell)
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// ratesTable reports the rates of a file apart; nil where each oar kept one.
func ratesTable(r *strokefile.StrokeReport) *Table {
	t := &Table{Name: "rates", Title: "Rates apart", Head: []string{"Seat", "Rate, a minute", "Strokes", "Catch slip, °", "Peak force, N"}}
	several := false
	for i := range r.Seats {
		for j := range r.Seats[i].Oars {
			o := &r.Seats[i].Oars[j]
			several = several || len(o.Rates) > 1
			for _, g := range o.Rates {
				t.Rows = append(t.Rows, []string{
					strings.TrimSpace(SeatLabel(r.Seats[i].Seat) + " " + o.Side), page.Fix(1, g.Features["rate_per_min"].Mean), strconv.Itoa(g.Strokes),
					page.Fix(1, g.Features["catch_slip_deg"].Mean), page.Fix(0, g.Features["peak_n"].Mean),
				})
			}
		}
	}
	if !several {
		return nil
	}
	return t
}

func refusedTable(r *strokefile.RefusedRows) *Table {
	t := &Table{Name: "refused", Title: "Rows refused", Head: []string{"Line", "Reason"}}
	for _, row := range r.Listed {
		t.Rows = append(t.Rows, []string{strconv.FormatInt(row.Line, 10), page.Capital(row.Reason)})
	}
	return t
}

// seatCurves draws the mean curve of every rower.
func seatCurves(r *strokefile.StrokeReport) *plot.Plot {
	top := [2]float64{0, 1}
	for i := range r.Seats {
		top = plot.Extent(top, r.Seats[i].CurveN)
	}
	x := plot.Evenly(selection.CurveNodes, 0, 100)
	p := plot.New("Mean force of each rower over the arc", 220, [2]float64{0, 100}, top, "share of the arc from catch to finish, %", "force, N")
	for i := range r.Seats {
		curve := r.Seats[i].CurveN
		if len(curve) == len(x) {
			p.Line(plot.Dash(i), x, curve)
			k := 15 + 70*(2*i+1)/(2*len(r.Seats)) // side by side, for curves that lie on each other
			p.Note(x[k], curve[k], 0, -5, "middle", r.Seats[i].Seat)
		}
	}
	return p
}

// strokeKeep puts the seats that were assigned on record.
func (s *site) strokeKeep(w http.ResponseWriter, r *http.Request) error {
	form := s.Sent(w, r)
	if form == nil {
		return s.Broken(w)
	}
	p, err := s.resultPage(r)
	if err != nil {
		return s.uploadGone(w, err)
	}
	if p.Report == nil {
		return page.Saved(w, r, p.Address)
	}
	ask := p.keeping(form)
	asked := r.Context()
	job, err := s.service.Jobs.StartJob(asked, func(ctx context.Context) (any, error) {
		return s.service.Strokes.KeepStrokes(once.Carry(asked, ctx), ask)
	})
	if err != nil {
		return s.Fail(w, err)
	}
	if job = s.await(r.Context(), job); job.State != "failed" {
		if list, ok := job.Result.(strokes.RecordingList); ok {
			return page.Saved(w, r, keptAddress(&list))
		}
		return page.Saved(w, r, "/recordings/import/"+p.Upload.ID+"/"+job.ID)
	}
	if job.Error.Status == http.StatusInternalServerError {
		return &failed{job.Error}
	}
	p.Problems = append(p.Problems, p.fields().Problems(job.Error.Errors)...)
	if len(p.Problems) == 0 {
		p.Problems = []page.Problem{{Field: "", Label: "", Text: job.Error.Detail}}
	}
	return s.Pages.Show(w, http.StatusUnprocessableEntity, "stroke_result", p)
}

// keeping reads who sat where; what was chosen stays in the form.
func (p *resultPage) keeping(form *page.RecordForm) strokes.KeepStrokesRequest {
	p.Boat, p.On, p.Note = form.Text("boat"), form.Text("recorded_on"), form.Text("note")
	ask := strokes.KeepStrokesRequest{
		Upload: p.Upload.ID, Mapping: &p.Report.Mapping, Thresholds: &p.Report.Thresholds, Levers: p.Report.Levers,
		MappingName: p.Mapping, RecordedOn: p.On, BoatID: IDOf(p.Boat), Note: p.Note,
	}
	for i, seat := range p.Seats {
		seat.Athlete = Given(form.Text("athlete"+strconv.Itoa(i)), p.Own)
		if seat.Athlete != "" {
			kept := strokes.KeptSeat{Seat: seat.Seat}
			if seat.Athlete != "nobody" {
				kept.AthleteID = IDOf(seat.Athlete)
			}
			ask.Seats = append(ask.Seats, kept)
		}
	}
	return ask
}

// IDOf reads an id; nil when there is none.
func IDOf(text string) *int64 {
	id, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return nil
	}
	return &id
}

// fields are the fields of the last step, with the seats that were assigned.
func (p *resultPage) fields() page.FieldsAt {
	list := page.FieldsAt{
		{At: wire.At("recorded_on"), ID: "recorded_on", Label: "Day"}, {At: wire.At("boat_id"), ID: "boat", Label: "Boat"},
		{At: wire.At("note"), ID: "note", Label: "Note"}, {At: wire.At("seats"), Label: "Who sat where"},
	}
	assigned := 0
	for i, seat := range p.Seats {
		if seat.Athlete != "" {
			list = append(list, page.FieldAt{At: wire.At("seats").Item(assigned), ID: "athlete" + strconv.Itoa(i), Label: seat.Label})
			assigned++
		}
	}
	return list
}
