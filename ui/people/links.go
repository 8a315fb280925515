package people

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/people"
	"thole/api/records"
	"thole/api/wire"
	"thole/ui/page"
)

// linkLine is one link in a list.
type linkLine struct {
	ID                    int64
	What, Name, By, Until string
	Used, Address         string
	Joins, Expired        bool
}

// linkWords tells the kinds of links.
var linkWords = map[string]string{"invitation": "invitation", "password": "to set a password", "page": "read-only page", "measuring": "measuring link"}

// linkLines lists the links that the viewer may see: a coach all, a boatman
// those to a page.
func (s *Site) linkLines(r *http.Request) ([]linkLine, error) {
	list, err := s.service.People.Links(r.Context())
	if err != nil {
		return nil, err
	}
	coach := access.From(r.Context()).Role == access.Coach
	var lines []linkLine
	for _, l := range list {
		if !coach && l.Kind != "page" {
			continue
		}
		line := linkLine{
			ID: l.ID, What: linkWords[l.Kind], Name: l.Name, By: l.CreatedBy, Until: page.When(l.ExpiresAt), Used: "not yet", Address: l.Address,
			Joins: l.Kind == "invitation" || l.Kind == "password", Expired: l.Expired,
		}
		if l.Role != "" {
			line.What += " as " + roleWords[l.Role]
		}
		if !l.UsedAt.IsZero() {
			line.Used = page.When(l.UsedAt)
		}
		lines = append(lines, line)
	}
	return lines, nil
}

func (s *Site) links(w http.ResponseWriter, r *http.Request) error {
	lines, err := s.linkLines(r)
	if err != nil {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "links", lines)
}

// share makes a read-only link to a page that may be shared.
func (s *Site) share(w http.ResponseWriter, r *http.Request) error {
	address, name := r.PostForm.Get("address"), strings.TrimSpace(r.PostForm.Get("name"))
	days, _ := strconv.Atoi(r.PostForm.Get("days"))
	if !slices.Contains(people.PageLives, days) || name == "" || len(name) > 4*wire.LongestName || !s.sharable(r, address) {
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "message", page.Message{
			Title: "This page cannot be shared", Text: "Go back and try again from the page itself.",
		})
	}
	made, err := s.service.People.Share(r.Context(), name, address, days)
	if err != nil {
		return s.Fail(w, err)
	}
	return s.showLinks(w, r, linksMade{
		Title: "Read-only link", Text: "Whoever has it sees this page until it expires or you revoke it. It is shown this once.", Back: address,
	}, "see", made)
}

// sharable reports whether the viewer sees the page at an address and may send a
// link to it.
func (s *Site) sharable(r *http.Request, address string) bool {
	answer, err := s.fetch(r.Context(), address)
	return err == nil && answer.status == http.StatusOK && s.fetchable(r, address)
}

// fetchable reports whether a page is among those that a link can show.
func (s *Site) fetchable(r *http.Request, address string) bool {
	answer, err := s.fetch(people.SharedContext(r.Context()), address)
	return err == nil && answer.status == http.StatusOK
}

func (s *Site) revoke(w http.ResponseWriter, r *http.Request) error {
	lines, err := s.linkLines(r)
	if err != nil {
		return err
	}
	id := page.PathID(r, "id")
	if !slices.ContainsFunc(lines, func(l linkLine) bool { return l.ID == id }) {
		return s.Missing(w, r)
	}
	if err := s.service.People.Revoke(r.Context(), id); err != nil {
		return s.Fail(w, err)
	}
	http.Redirect(w, r, "/links", http.StatusSeeOther)
	return nil
}

// kept is an answer that is looked at before it is sent.
type kept struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (k *kept) Header() http.Header { return k.header }

// WriteHeader keeps the first status.
func (k *kept) WriteHeader(status int) {
	if k.status == 0 {
		k.status = status
	}
}

func (k *kept) Write(body []byte) (int, error) {
	k.WriteHeader(http.StatusOK)
	return k.body.Write(body)
}

// fetch asks for another page of this server as the viewer of the context.
func (s *Site) fetch(ctx context.Context, address string) (*kept, error) {
	u, err := people.Local(address)
	if err != nil {
		return nil, err
	}
	ask, err := http.NewRequestWithContext(ctx, http.MethodGet, u.RequestURI(), nil)
	if err != nil {
		return nil, err
	}
	answer := &kept{header: http.Header{}}
	s.whole.ServeHTTP(answer, ask)
	return answer, nil
}

// see shows the page that a read-only link is for, without anything that could
// be sent or followed.
func (s *Site) see(w http.ResponseWriter, r *http.Request) error {
	l, err := s.service.People.SharedPage(r.Context(), r.PathValue("secret"))
	if err != nil {
		return s.gone(w, err)
	}
	answer, err := s.fetch(people.SharedContext(r.Context()), l.Address)
	if err != nil || answer.status != http.StatusOK {
		return s.gone(w, wire.ErrNotFound)
	}
	note := "Read-only, from " + l.CreatedBy + ". This link is good until " + page.When(l.ExpiresAt) + "."
	body, err := page.ReadOnly(answer.body.Bytes(), note)
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("X-Robots-Tag", "noindex")
	_, err = w.Write(body)
	return err
}

// taskPage is what the boatman was asked to do.
type taskPage struct {
	Open, Done []taskLine
	Page       page.Paging // of those that are open
}

type taskLine struct {
	ID                              int64
	What, Address, Note, Sent, Done string
}

func (s *Site) tasks(w http.ResponseWriter, r *http.Request) error {
	list, err := s.service.People.Tasks(r.Context(), struct{}{})
	if err != nil {
		return err
	}
	at := page.PageOf(r, len(list.Open))
	return s.Pages.Show(w, http.StatusOK, "tasks", taskPage{taskLines(list.Open[at.First-1 : at.Last]), taskLines(list.Done), at})
}

func taskLines(list []people.Task) []taskLine {
	lines := make([]taskLine, len(list))
	for i, k := range list {
		lines[i] = taskLine{ID: k.ID, What: k.What, Address: k.Address, Note: k.Note, Sent: k.SentBy + ", " + page.When(k.SentAt)}
		if k.DoneAt != nil {
			lines[i].Done = k.DoneBy + ", " + page.When(*k.DoneAt)
		}
	}
	return lines
}

func (s *Site) sendTask(w http.ResponseWriter, r *http.Request) error {
	form := r.PostForm
	_, err := s.service.People.AddTask(r.Context(), people.NewTask{What: form.Get("what"), Address: form.Get("address"), Note: form.Get("note")})
	if err != nil {
		return s.gone(w, err)
	}
	http.Redirect(w, r, "/tasks", http.StatusSeeOther)
	return nil
}

func (s *Site) finishTask(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.People.FinishTask(r.Context(), records.IDRequest{ID: page.PathID(r, "id")}); err != nil {
		return s.Fail(w, err)
	}
	http.Redirect(w, r, "/tasks", http.StatusSeeOther)
	return nil
}

// measuringLinkForm is the page on which a coach makes a measuring link.
type measuringLinkForm struct {
	form
	ID     int64
	Name   string
	Places []people.SeatChoice // seats of boats
	At     string              // the one that was chosen
}

func (s *Site) measuringLinkForm(r *http.Request) (*measuringLinkForm, error) {
	id := page.PathID(r, "id")
	athlete, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: id})
	if err != nil {
		return nil, err
	}
	boats, err := s.service.Fleet.Boats(r.Context(), records.ListRequest{})
	f := &measuringLinkForm{ID: id, Name: athlete.Name, Places: people.SeatChoices(boats.Boats, s.service.Seat.BoatClasses())}
	return f, err
}

func (s *Site) measuringLinkPage(w http.ResponseWriter, r *http.Request) error {
	f, err := s.measuringLinkForm(r)
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "measuring_link", f)
}

func (s *Site) measuringLink(w http.ResponseWriter, r *http.Request) error {
	f, err := s.measuringLinkForm(r)
	if err != nil {
		return s.Fail(w, err)
	}
	f.At = r.PostForm.Get("at")
	boat, seat, chosen := people.SeatAt(f.At)
	if f.At != "" && !chosen {
		return s.again(w, &f.form, wire.At("seat").Invalid("There is no such seat: choose one of the list."), "measuring_link", f)
	}
	made, err := s.service.People.MeasuringLink(r.Context(), f.ID, boat, seat)
	if err != nil {
		return s.again(w, &f.form, err, "measuring_link", f)
	}
	return s.showLinks(w, r, linksMade{
		Title: "Measuring link", Text: "Send it to " + made.Name + ". What is typed there arrives here at once. It is shown this once.",
		Back: fmt.Sprintf("/athletes/%d", f.ID),
	}, "measure", made)
}

// measuringForm is the page on which an athlete types measures.
type measuringForm struct {
	*page.RecordForm
	Name       string
	Boat       string // and seat; "" for the body alone
	Scull      bool
	Body, Seat []page.Value
	Done       bool
}

// measuringPage builds the page of a link; the boat is nil where there is none.
func measuringPage(f *page.RecordForm, l *people.Link, boat *fleet.Boat, done bool) *measuringForm {
	p := &measuringForm{RecordForm: f, Name: l.Name, Done: done}
	for _, field := range bodyFields() {
		place, _ := field.Place().Under(wire.At("rower"))
		p.Body = append(p.Body, page.NumberField(field.Name, field.Label, field.Unit, field.Help, "").Within(club.MeasuredBody{}, place))
	}
	if boat != nil {
		p.Boat, p.Scull = boat.Name, boat.Class.Scull
		if len(boat.Seats) > 1 {
			p.Boat += ", seat " + strconv.Itoa(l.Seat)
		}
		first, _ := page.FieldsOfRig(p.Scull)
		for _, field := range first {
			p.Seat = append(p.Seat, page.NumberField(field.Name, field.Label, field.Unit, field.Help, ""))
		}
	}
	f.Fill(p.Body, p.Seat)
	return p
}

// bodyFields are what an athlete can measure alone or with a friend.
func bodyFields() []page.Field {
	return slices.DeleteFunc(slices.Clone(page.BodyFields), func(f page.Field) bool { return f.Name == "age_years" || f.Name == "draw_height_cm" })
}

// opened looks up a measuring link with its boat.
func (s *Site) opened(r *http.Request) (l people.Link, boat *fleet.Boat, err error) {
	if l, err = s.service.People.Measuring(r.Context(), r.PathValue("secret")); err != nil || l.BoatID == 0 {
		return l, nil, err
	}
	b, err := s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: l.BoatID})
	return l, &b, err
}

func (s *Site) measurePage(w http.ResponseWriter, r *http.Request) error {
	l, boat, err := s.opened(r)
	if err != nil {
		return s.gone(w, err)
	}
	f := page.NewForm(url.Values{})
	f.Address = r.URL.Path
	return s.Pages.Show(w, http.StatusOK, "measuring", measuringPage(f, &l, boat, r.URL.Query().Has("done")))
}

func (s *Site) measure(w http.ResponseWriter, r *http.Request) error {
	l, boat, err := s.opened(r)
	if err != nil {
		return s.gone(w, err)
	}
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	f.Address = r.URL.Path
	body, some := typedBody(f)
	rig := typedRig(f, &l, boat)
	form := page.FormPage{Page: "measuring", Part: "measuring-form", Build: func() (any, error) { return measuringPage(f, &l, boat, false), nil }}
	return s.Submit(w, r, f, form, func() (string, error) {
		if !some && len(rig.Settings) == 0 {
			return "", wire.At("stature_cm").Invalid("Type at least one measure.")
		}
		return r.URL.Path + "?done", s.keepMeasures(r, &l, body, some, rig)
	})
}

// keepMeasures keeps the rig first: sent again it leaves no second trace.
func (s *Site) keepMeasures(r *http.Request, l *people.Link, body club.MeasuredBody, some bool, rig fleet.RigEdit) error {
	ctx := people.MeasuringContext(r.Context(), l)
	if len(rig.Settings) > 0 {
		if _, err := s.service.Fleet.UpdateRig(ctx, rig); err != nil {
			return err
		}
	}
	if some {
		_, err := s.service.Club.AddMeasures(ctx, club.NewMeasures{
			AthleteID: l.AthleteID, MeasuredOn: s.service.Club.Today(), MeasuredBody: body, MeasuredBy: l.Name, Note: "By measuring link.",
		})
		if err != nil {
			return err
		}
	}
	return s.service.People.Measured(ctx, r.PathValue("secret"))
}

// typedBody reads what was measured of the body, and whether it was anything.
func typedBody(f *page.RecordForm) (body club.MeasuredBody, some bool) {
	for name, v := range map[string]**float64{
		"stature_cm": &body.StatureCm, "arm_span_cm": &body.ArmSpanCm, "sitting_height_cm": &body.SittingHeightCm, "mass_kg": &body.MassKg,
	} {
		*v = f.NumberAt(name, wire.At(name))
		some = some || *v != nil
	}
	return body, some
}

// typedRig reads what was measured of the seat.
func typedRig(f *page.RecordForm, l *people.Link, boat *fleet.Boat) fleet.RigEdit {
	if boat == nil {
		return fleet.RigEdit{}
	}
	edit := fleet.RigEdit{ID: boat.ID, Version: boat.Version, Why: "Measured by the athlete.", By: l.Name}
	first, _ := page.FieldsOfRig(boat.Class.Scull)
	for _, field := range first {
		if v := f.Number(field.Name); v != nil {
			f.SetPlace(field.Name, wire.At("settings").Item(len(edit.Settings)).Name("value"))
			edit.Settings = append(edit.Settings, fleet.RigSetting{Seat: l.Seat, Setting: field.Name, Value: v})
		}
	}
	return edit
}
