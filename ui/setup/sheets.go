package setup

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/setup"
	"thole/api/wire"
	"thole/ui/figure/code"
	"thole/ui/page"
)

// Work sheets: the list of them, and the sheet itself, which is made for paper
// and for the phone.

// sheetPages lists the pages of this area.
func (s *site) sheetPages() map[string]page.Route {
	return map[string]page.Route{
		"GET /sheets": page.For(access.Staff, s.sheets), "POST /sheets": page.For(access.Staff, s.makeSheet), "GET /sheets/{id}": page.For(access.Staff.SharedAs("work sheet"), s.sheet),
		"GET /sheets/{id}/cards": page.For(access.Staff, s.sheetCards),
		"POST /sheets/{id}/name": page.For(access.Staff, s.nameSheet), "POST /sheets/{id}/readings": page.For(access.Staff, s.readSheet), "POST /sheets/{id}/arcs": page.For(access.Staff, s.readArc),
		"POST /sheets/{id}/finish": page.For(access.Staff, s.finishSheet),
		"GET /sheets/{id}/remove":  page.For(access.Staff, s.askRemoveSheet), "POST /sheets/{id}/remove": page.For(access.Staff, s.removeSheet),
	}
}

// sheetList is the page of all sheets, or of those of one boat.
type sheetList struct {
	Boats      []fleet.BoatSummary
	Boat       int64
	Open, Done []sheetLink
	Files      *page.Files
}

// sheetLink is one sheet in the list.
type sheetLink struct {
	ID                int64
	Boat, Class, Crew string
	Made, Finished    string
	Note              string
}

func (s *site) sheets(w http.ResponseWriter, r *http.Request) error {
	boat, _ := strconv.ParseInt(r.URL.Query().Get("boat"), 10, 64)
	list, err := s.service.Setup.Sheets(r.Context(), setup.SheetsRequest{BoatID: boat})
	if err != nil {
		return s.Fail(w, err)
	}
	boats, err := s.service.Fleet.Boats(r.Context(), records.ListRequest{})
	if err != nil {
		return s.Fail(w, err)
	}
	view := sheetList{Boats: boats.Boats, Boat: boat, Files: page.NewFiles(r.URL, "work-sheets",
		page.FileOf(r.Context(), "sheets", "Work sheets", s.service.Setup.SheetListTable, setup.SheetsRequest{BoatID: boat}))}
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	for i := range list.Sheets {
		h := &list.Sheets[i]
		link := sheetLink{ID: h.ID, Boat: h.BoatName, Class: h.BoatClass, Crew: h.LineupName, Made: h.CreatedBy + ", " + page.When(h.CreatedAt), Note: h.Note}
		if h.DoneAt == nil {
			view.Open = append(view.Open, link)
			continue
		}
		link.Finished = h.DoneBy + ", " + page.When(*h.DoneAt)
		view.Done = append(view.Done, link)
	}
	return s.Pages.Show(w, http.StatusOK, "sheets", view)
}

// plannedAgain reads a form that carries a set-up and plans it again; the page is nil
// once what is wrong has been answered.
func (s *site) plannedAgain(w http.ResponseWriter, r *http.Request) (*page.RecordForm, *crewSetPage, error) {
	form := s.Sent(w, r)
	if form == nil {
		return nil, nil, s.Broken(w)
	}
	typed, err := url.ParseQuery(form.Text("setup"))
	if err != nil {
		return nil, nil, s.Broken(w)
	}
	p, err := s.planCrew(r, typed)
	if err != nil {
		return nil, nil, s.Fail(w, err)
	}
	return form, p, nil
}

// makeSheet puts a work sheet on record for what the set-up page shows. What is
// refused leads back to that page with everything on it.
func (s *site) makeSheet(w http.ResponseWriter, r *http.Request) error {
	form, p, err := s.plannedAgain(w, r)
	if p == nil {
		return err
	}
	p.By, p.Note = form.Text("by"), form.Text("note")
	if p.Plan == nil {
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "setup", p)
	}
	version, _ := strconv.ParseInt(form.Text("boat_version"), 10, 64)
	sheet, err := s.service.Setup.AddSheet(r.Context(), setup.NewSheet{
		BoatID: p.request.BoatID, BoatVersion: version, SetupFields: p.request.SetupFields, Note: p.Note, By: p.By,
	})
	if err == nil {
		return page.Saved(w, r, fmt.Sprintf("/sheets/%d", sheet.ID))
	}
	return s.notMade(w, p, err)
}

// notMade shows the set-up page again: with the complaint, or, when the boat
// has moved, worked out for the boat as it stands now.
func (s *site) notMade(w http.ResponseWriter, p *crewSetPage, err error) error {
	var moved *records.Conflict
	if errors.As(err, &moved) {
		p.Moved = page.AtBoat(p.Boat.AtMark).Views(moved.Changes)
		return s.Pages.Show(w, http.StatusConflict, "setup", p)
	}
	status := http.StatusUnprocessableEntity
	if err := p.refused(err); err != nil {
		told := rest.Explain(err)
		if told.Status == http.StatusInternalServerError {
			return err
		}
		status, p.bad[""] = told.Status, told.Detail+" No sheet was made."
	}
	p.complain()
	return s.Pages.Show(w, status, "setup", p)
}

func (s *site) sheet(w http.ResponseWriter, r *http.Request) error {
	p, err := s.findSheet(r, page.PathID(r, "id"))
	if err != nil {
		return s.Fail(w, err)
	}
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "sheet", p)
}

func (s *site) findSheet(r *http.Request, id int64) (*sheetPage, error) {
	sheet, err := s.service.Setup.Sheet(r.Context(), records.IDRequest{ID: id})
	if err != nil {
		return nil, err
	}
	p, err := s.newSheetPage(r.Context(), &sheet, page.Who(r))
	if err == nil {
		p.Code = codeOf(r, fmt.Sprintf("/sheets/%d", id))
	}
	return p, err
}

// codeOf draws the address of a page as a code for a phone; nothing where no phone
// can reach it.
func codeOf(r *http.Request, path string) template.HTML {
	base := page.ReachOf(r.Context()).Base
	if base == "" {
		return ""
	}
	return code.SVG(base + path)
}

func (s *site) newSheetPage(ctx context.Context, sheet *setup.Sheet, by string) (*sheetPage, error) {
	boat, err := s.service.Fleet.Boat(ctx, records.IDRequest{ID: sheet.BoatID})
	if err != nil {
		return nil, err
	}
	p := newSheetPage(&boat, sheet, by)
	p.Files = page.NewFiles(&url.URL{Path: fmt.Sprintf("/sheets/%d", sheet.ID)}, fmt.Sprintf("work sheet %d %s", sheet.ID, sheet.BoatName), page.TableFile("sheet", sheet.Table()))
	return p, nil
}

// nameSheet remembers who works at the boat.
func (s *site) nameSheet(w http.ResponseWriter, r *http.Request) error {
	if s.Sent(w, r) == nil {
		return s.Broken(w)
	}
	return page.Saved(w, r, fmt.Sprintf("/sheets/%d", page.PathID(r, "id")))
}

// readSheet takes one reading: the line's state is the answer to a script, the
// page at the line that to a plain form.
func (s *site) readSheet(w http.ResponseWriter, r *http.Request) error {
	form := s.Sent(w, r)
	if form == nil {
		return s.Broken(w)
	}
	id := page.PathID(r, "id")
	seat, _ := strconv.Atoi(form.Text("seat"))
	reading := setup.NewReading{SheetID: id, Key: form.Text("key"), Seat: seat, Setting: form.Text("setting"), By: form.Text("by")}
	if reading.By == "" {
		reading.By = page.Who(r)
	}
	if reading.Said = form.Text("value"); form.Text("as_on_sheet") != "" {
		reading.Value = form.Number("target")
	}
	reading.At = sentAt(form.Text("at"))
	line, err := setup.SheetLine{}, error(nil)
	if len(form.Complaints) == 0 {
		line, err = s.service.Setup.RecordReading(r.Context(), reading)
	}
	if err == nil && len(form.Complaints) == 0 {
		return s.readingTaken(w, r, id, &line)
	}
	return s.readingRefused(w, r, id, form, err)
}

// readArc takes what was read with the rower in the seat.
func (s *site) readArc(w http.ResponseWriter, r *http.Request) error {
	form := s.Sent(w, r)
	if form == nil {
		return s.Broken(w)
	}
	id := page.PathID(r, "id")
	seat, _ := strconv.Atoi(form.Text("seat"))
	arc := setup.NewArc{SheetID: id, Key: form.Text("key"), Seat: seat, FinishCm: form.Number("finish_cm"), CatchCm: form.Number("catch_cm"), By: form.Text("by")}
	if arc.By == "" {
		arc.By = page.Who(r)
	}
	var err error
	if len(form.Complaints) == 0 {
		if _, err = s.service.Setup.RecordArc(r.Context(), arc); err == nil {
			http.Redirect(w, r, fmt.Sprintf("/sheets/%d#check-%d", id, seat), http.StatusSeeOther)
			return nil
		}
	}
	return s.arcRefused(w, r, id, form, err)
}

// whyRefused is what the form complains of, or else what the records do, with its status.
func whyRefused(complaint string, err error) (text string, status int) {
	if err == nil {
		return complaint, http.StatusUnprocessableEntity
	}
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		return bad.Fields[0].Detail, rest.Explain(err).Status
	}
	p := rest.Explain(err)
	return p.Detail, p.Status
}

// arcRefused reports what is wrong with a seated check at its seat, what was typed
// kept.
func (s *site) arcRefused(w http.ResponseWriter, r *http.Request, id int64, form *page.RecordForm, err error) error {
	text, status := whyRefused(form.Complaints["finish_cm"]+" "+form.Complaints["catch_cm"], err)
	if status != http.StatusUnprocessableEntity && status != http.StatusConflict {
		return s.Fail(w, err)
	}
	p, err := s.findSheet(r, id)
	if err != nil {
		return s.Fail(w, err)
	}
	seat, _ := strconv.Atoi(form.Text("seat"))
	for i := range p.Seats {
		if c := &p.Seats[i].Check; p.Seats[i].Number == seat {
			c.FinishRead, c.CatchRead, c.Problem = form.Text("finish_cm"), form.Text("catch_cm"), strings.TrimSpace(text)
		}
	}
	return s.Pages.Show(w, status, "sheet", p)
}

func (s *site) readingTaken(w http.ResponseWriter, r *http.Request, id int64, line *setup.SheetLine) error {
	if r.Header.Get("HX-Request") != "" {
		return s.Pages.Fragment(w, http.StatusOK, "sheet", "line-state", newWorkLine(line))
	}
	http.Redirect(w, r, fmt.Sprintf("/sheets/%d#%s", id, lineID(line.Seat, line.Setting)), http.StatusSeeOther)
	return nil
}

// readingRefused reports what is wrong with a reading at its line, the value kept.
func (s *site) readingRefused(w http.ResponseWriter, r *http.Request, id int64, form *page.RecordForm, err error) error {
	text, status := whyRefused(form.Complaints["value"], err)
	if status == http.StatusInternalServerError {
		return err
	}
	if r.Header.Get("HX-Request") != "" {
		return s.Pages.Fragment(w, status, "sheet", "line-refused", text)
	}
	if status != http.StatusUnprocessableEntity && status != http.StatusConflict {
		return s.Fail(w, err)
	}
	p, err := s.findSheet(r, id)
	if err != nil {
		return s.Fail(w, err)
	}
	seat, _ := strconv.Atoi(form.Text("seat"))
	p.complainAt(lineID(seat, form.Text("setting")), form.Text("value"), text)
	return s.Pages.Show(w, status, "sheet", p)
}

// finishSheet takes what was measured into the boat's rig.
func (s *site) finishSheet(w http.ResponseWriter, r *http.Request) error {
	form := s.Sent(w, r)
	if form == nil {
		return s.Broken(w)
	}
	id := page.PathID(r, "id")
	version, _ := strconv.ParseInt(form.Text("boat_version"), 10, 64)
	if form.Text("anyway") == "" {
		if asked, err := s.askFinish(w, r, id); asked {
			return err
		}
	}
	_, err := s.service.Setup.FinishSheet(r.Context(), setup.FinishRequest{SheetID: id, BoatVersion: version, By: form.Text("by")})
	if err == nil {
		return page.Saved(w, r, fmt.Sprintf("/sheets/%d", id))
	}
	status := rest.Explain(err).Status
	if status != http.StatusConflict && status != http.StatusUnprocessableEntity {
		return s.Fail(w, err)
	}
	p, err2 := s.findSheet(r, id)
	if err2 != nil {
		return s.Fail(w, err2)
	}
	p.notFinished(err)
	p.tick(r.PostForm["check"])
	return s.Pages.Show(w, status, "sheet", p)
}

// askFinish shows what is still open on a sheet that is to be finished; asked is
// false where nothing is, or nothing was measured at all, which is refused anyway.
func (s *site) askFinish(w http.ResponseWriter, r *http.Request, id int64) (asked bool, err error) {
	p, err := s.findSheet(r, id)
	if err != nil {
		return true, s.Fail(w, err)
	}
	p.tick(r.PostForm["check"])
	if p.Ask = p.stillOpen(); p.Done || !p.touched() || len(p.Ask) == 0 {
		return false, nil
	}
	if by := strings.TrimSpace(r.PostForm.Get("by")); by != "" {
		p.By = by
	}
	return true, s.Pages.Show(w, http.StatusUnprocessableEntity, "sheet", p)
}

func (s *site) askRemoveSheet(w http.ResponseWriter, r *http.Request) error {
	sheet, err := s.service.Setup.Sheet(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "record_remove", sheetRemoval(&sheet))
}

func sheetRemoval(h *setup.Sheet) page.Removal {
	address := fmt.Sprintf("/sheets/%d", h.ID)
	return page.Removal{
		Title: "Remove the sheet of " + h.BoatName + "?", Address: address + "/remove", Back: address,
		Text: "What was measured on it goes, too. A sheet that was finished stays: the boat’s history rests on it.",
	}
}

func (s *site) removeSheet(w http.ResponseWriter, r *http.Request) error {
	id := page.PathID(r, "id")
	_, err := s.service.Setup.DeleteSheet(r.Context(), records.IDRequest{ID: id})
	if err == nil {
		return page.Saved(w, r, "/sheets")
	}
	sheet, err2 := s.service.Setup.Sheet(r.Context(), records.IDRequest{ID: id})
	if rest.Explain(err).Status != http.StatusConflict || err2 != nil {
		return s.Fail(w, err)
	}
	page := sheetRemoval(&sheet)
	page.Problem = "This sheet is finished: the boat’s history rests on it, and so it stays."
	return s.Pages.Show(w, http.StatusConflict, "record_remove", page)
}

// newKey names a reading that a plain form sends, so that sending the form
// again counts once.
func newKey() string { return "form-" + rand.Text() }

// lineID is the id of a line's element.
func lineID(seat int, setting string) string {
	return fmt.Sprintf("line-%d-%s", seat, strings.ReplaceAll(setting, " ", "_"))
}
