package fleet

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"thole/api/access"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/wire"
	"thole/ui/page"
)

// oarPages lists the pages of this area.
func (s *site) oarPages() map[string]page.Route {
	return map[string]page.Route{
		"GET /oars": page.For(access.Everyone, s.oars), "GET /oars/new": page.For(access.Staff, s.newOars), "POST /oars": page.For(access.Staff, s.addOars),
		"GET /oars/{id}": page.For(access.Everyone, s.oarSet), "POST /oars/{id}": page.For(access.Staff, s.saveOars),
		"GET /oars/{id}/remove": page.For(access.Staff, s.askRemoveOars), "POST /oars/{id}/remove": page.For(access.Staff, s.removeOars),
	}
}

// oarList is the page of all sets of oars.
type oarList struct {
	Query page.ListQuery
	Sets  []oarLine
	Files *page.Files
}

type oarLine struct {
	fleet.OarSet
	KindWord, Length, Inboard string
}

func (s *site) oars(w http.ResponseWriter, r *http.Request) error {
	q := page.NewListQuery(r)
	list, err := s.service.Fleet.OarSets(r.Context(), q.Request())
	if err != nil {
		return s.Fail(w, err)
	}
	view := oarList{Query: q, Files: page.NewFiles(r.URL, "oars", page.FileOf(r.Context(), "oars", "Oars", s.service.Fleet.OarTable, q.Request()))}
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	for _, o := range list.OarSets {
		view.Sets = append(view.Sets, oarLine{
			o, kindWords[o.Kind], oarText(o.LengthCm, o.LengthMinCm, o.LengthMaxCm), oarText(o.InboardCm, o.InboardMinCm, o.InboardMaxCm),
		})
	}
	return s.Pages.Show(w, http.StatusOK, "oars", view)
}

var kindWords = map[string]string{"scull": "sculls", "sweep": "sweep oars"}

// oarText writes a measure as set, with its range.
func oarText(now, low, high *float64) string {
	text := page.Known(now, "cm")
	switch {
	case low == nil || high == nil:
		return text
	case *low == *high:
		return text + ", fixed"
	}
	return text + " (" + page.Plain(*low) + " to " + page.Plain(*high) + " cm)"
}

// oarForm is the page of one set, or of a new one.
type oarForm struct {
	*page.RecordForm
	Title   string
	About   []page.Value
	Lengths []page.Value
	Signed  []page.Value
	Changes []page.ChangeView
	Boats   []fleet.BoatSummary // that usually go with it
}

func oarFormOf(f *page.RecordForm, set *fleet.OarSet) *oarForm {
	view := &oarForm{RecordForm: f, Title: "Add oars", Signed: []page.Value{page.ByField()}}
	view.About = []page.Value{
		page.TextField("name", "Name", "").AsNeeded(),
		page.TextField("kind", "Kind", "").Choose(page.Option{Value: "scull", Label: "sculls"}, page.Option{Value: "sweep", Label: "sweep oars"}),
		page.NumberField("count", "How many", "", "Oars, not pairs.", "0").Within(fleet.OarFields{}, wire.At("count")),
		page.TextField("blade", "Blade", "What it is called."),
		page.TextField("blade_kind", "Kind of blade", "").Choose(page.Option{Value: "", Label: "not stated: hatchet"}, page.Option{Value: "hatchet", Label: "hatchet"},
			page.Option{Value: "macon", Label: "Macon"}, page.Option{Value: "large", Label: "large hatchet"}).As("select"),
		page.TextField("note", "Note", "").As("area"),
	}
	view.Lengths = []page.Value{
		page.NumberField("length_cm", "Length as set", "cm", "Along the shaft to the blade’s end.", "").Within(fleet.OarFields{}, wire.At("length_cm")),
		page.NumberField("length_min_cm", "Length from", "cm", "", "").Within(fleet.OarFields{}, wire.At("length_min_cm")), page.NumberField("length_max_cm", "Length to", "cm", "", "").Within(fleet.OarFields{}, wire.At("length_max_cm")),
		page.NumberField("length_step_cm", "Length in steps of", "cm", "", "").Within(fleet.OarFields{}, wire.At("length_step_cm")),
		page.NumberField("inboard_cm", "Inboard as set", "cm", "Handle end to the face of the collar at the gate.", "").Within(fleet.OarFields{}, wire.At("inboard_cm")),
		page.NumberField("inboard_min_cm", "Inboard from", "cm", "", "").Within(fleet.OarFields{}, wire.At("inboard_min_cm")), page.NumberField("inboard_max_cm", "Inboard to", "cm", "", "").Within(fleet.OarFields{}, wire.At("inboard_max_cm")),
		page.NumberField("inboard_step_cm", "Inboard in steps of", "cm", "", "").Within(fleet.OarFields{}, wire.At("inboard_step_cm")),
	}
	f.Address, f.Back = "/oars", "/oars"
	if set != nil {
		view.Title, f.Address, f.Saved = set.Name, fmt.Sprintf("/oars/%d", set.ID), true
		view.About = append(view.About, page.TextField("archived", "Archived", "Sold or broken: out of the lists, the history kept.").As("check"))
	}
	f.Fill(view.About, view.Lengths, view.Signed)
	return view
}

func oarFieldsSent(f *page.RecordForm) fleet.OarFields {
	fields := fleet.OarFields{
		Name: f.Text("name"), Kind: f.Text("kind"), Blade: f.Text("blade"), BladeKind: f.Text("blade_kind"), Note: f.Text("note"), Archived: f.Ticked("archived"),
		LengthCm: f.Number("length_cm"), LengthMinCm: f.Number("length_min_cm"), LengthMaxCm: f.Number("length_max_cm"), LengthStepCm: f.Number("length_step_cm"),
		InboardCm: f.Number("inboard_cm"), InboardMinCm: f.Number("inboard_min_cm"), InboardMaxCm: f.Number("inboard_max_cm"), InboardStepCm: f.Number("inboard_step_cm"),
	}
	if text := f.Text("count"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			f.Complaints["count"] = "“" + text + "” is not a whole number."
		}
		fields.Count = n
	}
	return fields
}

func (s *site) newOars(w http.ResponseWriter, r *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "oar_form", oarFormOf(page.NewForm(url.Values{"by": {page.Who(r)}, "kind": {"scull"}}), nil))
}

func (s *site) addOars(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	request := fleet.NewOarSet{OarFields: oarFieldsSent(f), By: f.Text("by")}
	page := page.FormPage{Page: "oar_form", Part: "oar-form", Build: func() (any, error) { return oarFormOf(f, nil), nil }}
	return s.Submit(w, r, f, page, func() (string, error) {
		_, err := s.service.Fleet.AddOarSet(r.Context(), request)
		return "/oars", err
	})
}

func (s *site) oarSet(w http.ResponseWriter, r *http.Request) error {
	set, err := s.service.Fleet.OarSet(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	changes, err := s.service.Fleet.OarSetChanges(r.Context(), records.ChangesRequest{ID: set.ID})
	if err != nil {
		return s.Fail(w, err)
	}
	typed := url.Values{"by": {page.Who(r)}, "version": {strconv.FormatInt(set.Version, 10)}, "count": {strconv.Itoa(set.Count)}}
	for name, text := range map[string]string{"name": set.Name, "kind": set.Kind, "blade": set.Blade, "blade_kind": set.BladeKind, "note": set.Note} {
		page.SetText(typed, name, text)
	}
	for name, v := range map[string]*float64{
		"length_cm": set.LengthCm, "length_min_cm": set.LengthMinCm, "length_max_cm": set.LengthMaxCm, "length_step_cm": set.LengthStepCm,
		"inboard_cm": set.InboardCm, "inboard_min_cm": set.InboardMinCm, "inboard_max_cm": set.InboardMaxCm, "inboard_step_cm": set.InboardStepCm,
	} {
		page.SetNumber(typed, name, v)
	}
	page.SetTick(typed, "archived", set.Archived)
	view := oarFormOf(page.NewForm(typed), &set)
	view.Changes = page.ChangeViews(changes.Changes)
	boats, err := s.service.Fleet.OarSetBoats(r.Context(), records.IDRequest{ID: set.ID})
	if err != nil {
		return s.Fail(w, err)
	}
	view.Boats = boats.Boats
	return s.Pages.Show(w, http.StatusOK, "oar_form", view)
}

func (s *site) saveOars(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	set, err := s.service.Fleet.OarSet(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	edit := fleet.OarSetEdit{ID: set.ID, Version: f.KnownVersion(), OarFields: oarFieldsSent(f), By: f.Text("by")}
	page := page.FormPage{Page: "oar_form", Part: "oar-form", Build: func() (any, error) { return oarFormOf(f, &set), nil }}
	return s.Submit(w, r, f, page, func() (string, error) {
		_, err := s.service.Fleet.UpdateOarSet(r.Context(), edit)
		return "/oars", err
	})
}

func (s *site) askRemoveOars(w http.ResponseWriter, r *http.Request) error {
	set, err := s.service.Fleet.OarSet(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "record_remove", page.Removal{
		Title: "Remove " + set.Name + "?", Text: "The set goes with its history, for good. The boats keep what was measured.",
		Address: fmt.Sprintf("/oars/%d/remove", set.ID), Back: fmt.Sprintf("/oars/%d", set.ID),
	})
}

func (s *site) removeOars(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.Fleet.DeleteOarSet(r.Context(), records.IDRequest{ID: page.PathID(r, "id")}); err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, "/oars")
}
