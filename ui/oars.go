package ui

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"thole/api/club"
	"thole/api/records"
)

// oarPages lists the pages of this area.
func (s *site) oarPages() map[string]handler {
	return map[string]handler{
		"GET /oars": s.oars, "GET /oars/new": s.newOars, "POST /oars": s.addOars,
		"GET /oars/{id}": s.oarSet, "POST /oars/{id}": s.saveOars,
		"GET /oars/{id}/remove": s.askRemoveOars, "POST /oars/{id}/remove": s.removeOars,
	}
}

// oarList is the page of all sets of oars.
type oarList struct {
	Query listQuery
	Sets  []oarLine
}

type oarLine struct {
	club.OarSet
	KindWord, Length, Inboard string
}

func (s *site) oars(w http.ResponseWriter, r *http.Request) error {
	q := newListQuery(r)
	list, err := s.service.Club.OarSets(r.Context(), q.request())
	if err != nil {
		return s.fail(w, err)
	}
	page := oarList{Query: q}
	for _, o := range list.OarSets {
		page.Sets = append(page.Sets, oarLine{
			o, kindWords[o.Kind], oarText(o.LengthCm, o.LengthMinCm, o.LengthMaxCm), oarText(o.InboardCm, o.InboardMinCm, o.InboardMaxCm),
		})
	}
	return s.pages.show(w, http.StatusOK, "oars", page)
}

var kindWords = map[string]string{"scull": "sculls", "sweep": "sweep oars"}

// oarText writes a measure as set, with its range.
func oarText(now, low, high *float64) string {
	text := known(now, "cm")
	switch {
	case low == nil || high == nil:
		return text
	case *low == *high:
		return text + ", fixed"
	}
	return text + " (" + plain(*low) + " to " + plain(*high) + ")"
}

// oarForm is the page of one set, or of a new one.
type oarForm struct {
	*recordForm
	Title   string
	About   []value
	Lengths []value
	Signed  []value
	Changes []changeView
}

func oarFormOf(f *recordForm, set *club.OarSet) *oarForm {
	view := &oarForm{recordForm: f, Title: "Put oars on record", Signed: []value{byField()}}
	view.About = []value{
		textField("name", "Name", "").needed(),
		textField("kind", "Kind", "").choose(option{"scull", "sculls"}, option{"sweep", "sweep oars"}),
		numberField("count", "How many", "", "Oars, not pairs.", "0"),
		textField("blade", "Blade", "What it is called."),
		textField("note", "Note", "").as("area"),
	}
	view.Lengths = []value{
		numberField("length_cm", "Length as set", "cm", "Along the shaft to the blade’s end.", ""),
		numberField("length_min_cm", "Length from", "cm", "", ""), numberField("length_max_cm", "Length to", "cm", "", ""),
		numberField("length_step_cm", "Length in steps of", "cm", "", ""),
		numberField("inboard_cm", "Inboard as set", "cm", "Handle end to the face of the collar at the gate.", ""),
		numberField("inboard_min_cm", "Inboard from", "cm", "", ""), numberField("inboard_max_cm", "Inboard to", "cm", "", ""),
		numberField("inboard_step_cm", "Inboard in steps of", "cm", "", ""),
	}
	f.Address, f.Back = "/oars", "/oars"
	if set != nil {
		view.Title, f.Address, f.Saved = set.Name, fmt.Sprintf("/oars/%d", set.ID), true
		view.About = append(view.About, textField("archived", "Put aside", "Sold or broken: out of the lists, the history kept.").as("check"))
	}
	f.fill(view.About, view.Lengths, view.Signed)
	return view
}

func oarFieldsSent(f *recordForm) club.OarFields {
	fields := club.OarFields{
		Name: f.text("name"), Kind: f.text("kind"), Blade: f.text("blade"), Note: f.text("note"), Archived: f.ticked("archived"),
		LengthCm: f.number("length_cm"), LengthMinCm: f.number("length_min_cm"), LengthMaxCm: f.number("length_max_cm"), LengthStepCm: f.number("length_step_cm"),
		InboardCm: f.number("inboard_cm"), InboardMinCm: f.number("inboard_min_cm"), InboardMaxCm: f.number("inboard_max_cm"), InboardStepCm: f.number("inboard_step_cm"),
	}
	if text := f.text("count"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			f.complaints["count"] = "“" + text + "” is not a whole number."
		}
		fields.Count = n
	}
	return fields
}

// samePath is for forms whose fields are named as on the wire.
func samePath(path string) string { return path }

func (s *site) newOars(w http.ResponseWriter, r *http.Request) error {
	return s.pages.show(w, http.StatusOK, "oar_form", oarFormOf(newForm(url.Values{"by": {who(r)}, "kind": {"scull"}}), nil))
}

func (s *site) addOars(w http.ResponseWriter, r *http.Request) error {
	f := s.sent(w, r)
	if f == nil {
		return s.broken(w)
	}
	request := club.NewOarSet{OarFields: oarFieldsSent(f), By: f.text("by")}
	page := formPage{"oar_form", "oar-form", func() (any, error) { return oarFormOf(f, nil), nil }}
	return s.submit(w, r, f, page, samePath, func() (string, error) {
		_, err := s.service.Club.AddOarSet(r.Context(), request)
		return "/oars", err
	})
}

func (s *site) oarSet(w http.ResponseWriter, r *http.Request) error {
	set, err := s.service.Club.OarSet(r.Context(), club.IDRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	changes, err := s.service.Club.OarSetChanges(r.Context(), records.ChangesRequest{ID: set.ID})
	if err != nil {
		return s.fail(w, err)
	}
	typed := url.Values{"by": {who(r)}, "version": {strconv.FormatInt(set.Version, 10)}, "count": {strconv.Itoa(set.Count)}}
	for name, text := range map[string]string{"name": set.Name, "kind": set.Kind, "blade": set.Blade, "note": set.Note} {
		setText(typed, name, text)
	}
	for name, v := range map[string]*float64{
		"length_cm": set.LengthCm, "length_min_cm": set.LengthMinCm, "length_max_cm": set.LengthMaxCm, "length_step_cm": set.LengthStepCm,
		"inboard_cm": set.InboardCm, "inboard_min_cm": set.InboardMinCm, "inboard_max_cm": set.InboardMaxCm, "inboard_step_cm": set.InboardStepCm,
	} {
		setNumber(typed, name, v)
	}
	setTick(typed, "archived", set.Archived)
	view := oarFormOf(newForm(typed), &set)
	view.Changes = changeViews(changes.Changes)
	return s.pages.show(w, http.StatusOK, "oar_form", view)
}

func (s *site) saveOars(w http.ResponseWriter, r *http.Request) error {
	f := s.sent(w, r)
	if f == nil {
		return s.broken(w)
	}
	set, err := s.service.Club.OarSet(r.Context(), club.IDRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	edit := club.OarSetEdit{ID: set.ID, Version: f.version(), OarFields: oarFieldsSent(f), By: f.text("by")}
	page := formPage{"oar_form", "oar-form", func() (any, error) { return oarFormOf(f, &set), nil }}
	return s.submit(w, r, f, page, samePath, func() (string, error) {
		_, err := s.service.Club.UpdateOarSet(r.Context(), edit)
		return "/oars", err
	})
}

func (s *site) askRemoveOars(w http.ResponseWriter, r *http.Request) error {
	set, err := s.service.Club.OarSet(r.Context(), club.IDRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	return s.pages.show(w, http.StatusOK, "record_remove", removal{
		Title: "Remove " + set.Name + "?", Text: "The set goes with its history, for good. The boats keep what was measured.",
		Address: fmt.Sprintf("/oars/%d/remove", set.ID), Back: fmt.Sprintf("/oars/%d", set.ID),
	})
}

func (s *site) removeOars(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.Club.DeleteOarSet(r.Context(), club.IDRequest{ID: pathID(r, "id")}); err != nil {
		return s.fail(w, err)
	}
	return saved(w, r, "/oars")
}
