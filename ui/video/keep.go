package video

import (
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"thole/api/access"
	"thole/api/club"
	"thole/api/people"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/video"
	"thole/ui/page"
)

// filmedPage lists what was filmed of an athlete.
type filmedPage struct {
	AthleteID int64
	Athlete   string
	Lines     []video.FilmedReading
	Stand     video.Stand // of pictures
}

func (s *site) filmed(w http.ResponseWriter, r *http.Request) error {
	id := page.PathID(r, "id")
	athlete, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: id})
	if err != nil {
		return s.Fail(w, err)
	}
	list, err := s.service.Video.Readings(r.Context(), records.IDRequest{ID: id})
	if err != nil {
		return s.Fail(w, err)
	}
	stand, err := s.service.Video.StandOf(r.Context(), id)
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "filmed", filmedPage{id, athlete.Name, list.Readings, stand})
}

// chooseKeeper leads from the marks to the athlete they are of.
func (s *site) chooseKeeper(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	id, err := strconv.ParseInt(q.Get("athlete"), 10, 64)
	if err != nil {
		q.Set("unnamed", "yes")
		http.Redirect(w, r, "/video?"+q.Encode(), http.StatusSeeOther)
		return nil
	}
	q.Del("athlete")
	http.Redirect(w, r, fmt.Sprintf("/athletes/%d/filmed/new?%s", id, q.Encode()), http.StatusSeeOther)
	return nil
}

// keepForm is the page that keeps a reading.
type keepForm struct {
	*page.RecordForm
	Athlete   string
	Said      []string
	Values    []page.Value
	Signed    []page.Value
	Marks     []hidden
	MarksLink string
}

// hidden is a value of the marks that goes with the form.
type hidden struct{ Name, Value string }

func (s *site) newFilmed(w http.ResponseWriter, r *http.Request) error {
	typed := r.URL.Query()
	if boat, seat, ok := people.SeatAt(typed.Get("place")); ok {
		typed.Set("boat_id", strconv.FormatInt(boat, 10))
		typed.Set("seat", strconv.Itoa(seat))
	}
	typed.Set("filmed_on", s.service.Club.Today())
	typed.Set("by", page.Who(r))
	p, err := s.keepFormOf(r, page.NewForm(typed))
	if err != nil {
		return s.Fail(w, err)
	}
	if len(p.Said) == 0 {
		http.Redirect(w, r, p.MarksLink, http.StatusSeeOther)
		return nil
	}
	return s.Pages.Show(w, http.StatusOK, "filmed_keep", p)
}

// marksOf picks the values of the marks' form out of what was sent.
func marksOf(sent url.Values) url.Values {
	marks := url.Values{}
	names := []string{"kind", "side", "end", "view", "seen_from", "frame_rate", "strokes"}
	for _, list := range [][]field{boatFields, pictureFields, markFields} {
		for _, f := range list {
			names = append(names, f.Name)
		}
	}
	for _, name := range names {
		if v := sent.Get(name); v != "" {
			marks.Set(name, v)
		}
	}
	return marks
}

// keepFormOf builds the form over the marks that were sent with it.
func (s *site) keepFormOf(r *http.Request, f *page.RecordForm) (*keepForm, error) {
	id := page.PathID(r, "id")
	athlete, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: id})
	if err != nil {
		return nil, err
	}
	marks := marksOf(f.Typed)
	p := &keepForm{RecordForm: f, Athlete: athlete.Name, Signed: []page.Value{page.ByField()}, MarksLink: backToMarks(id, f.Typed)}
	f.Address, f.Back = fmt.Sprintf("/athletes/%d/filmed", id), p.MarksLink
	for _, name := range slices.Sorted(maps.Keys(marks)) {
		p.Marks = append(p.Marks, hidden{name, marks.Get(name)})
	}
	read := newPage(marks)
	if err := s.read(r, read, marks); err != nil {
		return nil, err
	}
	if read.Angle != nil {
		p.Said = append(p.Said, read.Angle.Said)
	}
	if read.Moments != nil {
		p.Said = append(p.Said, read.Moments.Said)
	}
	boats, err := s.boatOptions(r, read.Kind)
	if err != nil {
		return nil, err
	}
	p.Values = []page.Value{
		page.TextField("boat_id", "Boat", "").Choose(boats...), page.TextField("seat", "Seat", "1 is bow.").AsNeeded(),
		page.TextField("filmed_on", "Filmed on", "").As("date").AsNeeded(), page.TextField("note", "Note", "").As("area"),
	}
	f.Fill(p.Values, p.Signed)
	return p, nil
}

// backToMarks leads to the marks again, with athlete, boat and seat.
func backToMarks(athlete int64, typed url.Values) string {
	q := marksOf(typed)
	q.Set("athlete", strconv.FormatInt(athlete, 10))
	if place := typed.Get("place"); place != "" {
		q.Set("place", place)
	}
	return "/video?" + q.Encode()
}

// boatOptions lists the boats of one kind of rowing.
func (s *site) boatOptions(r *http.Request, kind string) ([]page.Option, error) {
	list, err := s.service.Fleet.Boats(r.Context(), records.ListRequest{})
	options := []page.Option{{Value: "", Label: "choose"}}
	for i := range list.Boats {
		b := &list.Boats[i]
		if class, err := seat.ClassOf(b.BoatClass); err == nil && class.Scull == (kind == "scull") {
			options = append(options, page.Option{Value: strconv.FormatInt(b.ID, 10), Label: b.Name + ", " + b.BoatClass})
		}
	}
	return options, err
}

func (s *site) keep(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	ask := video.NewFilmedReading{AthleteID: page.PathID(r, "id"), FilmedOn: f.Text("filmed_on"), Note: f.Text("note"), By: f.Text("by")}
	ask.BoatID, _ = strconv.ParseInt(f.Text("boat_id"), 10, 64)
	ask.Seat, _ = strconv.Atoi(f.Text("seat"))
	marks := marksOf(f.Typed)
	read := newPage(marks)
	if err := s.read(r, read, marks); err != nil {
		return s.Fail(w, err)
	}
	if ask.End = "finish"; read.End == "catch" {
		ask.End = "catch"
	}
	if read.Angle != nil {
		ask.Picture = read.picture
	}
	if read.Moments != nil {
		ask.Frames = read.frames
	}
	return s.Submit(w, r, f, page.FormPage{Page: "filmed_keep", Part: "filmed-keep-form", Build: func() (any, error) { return s.keepFormOf(r, f) }}, func() (string, error) {
		_, err := s.service.Video.Keep(r.Context(), ask)
		return fmt.Sprintf("/athletes/%d/filmed", ask.AthleteID), err
	})
}

// askRemove asks before a reading goes.
func (s *site) askRemove(w http.ResponseWriter, r *http.Request) error {
	back := fmt.Sprintf("/athletes/%d/filmed", page.PathID(r, "id"))
	return s.Pages.Show(w, http.StatusOK, "record_remove", page.Removal{Title: "Remove this reading?", Text: "It goes with its marks, for good. Set-ups then expect the athlete’s posture without it.", Address: r.URL.Path, Back: back})
}

func (s *site) remove(w http.ResponseWriter, r *http.Request) error {
	id := page.PathID(r, "id")
	if _, err := s.service.Video.Remove(r.Context(), video.FilmedReadingRequest{AthleteID: id, ReadingID: page.PathID(r, "reading")}); err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, fmt.Sprintf("/athletes/%d/filmed", id))
}

// keepers are whom a reading may be kept of by who looks: an athlete's own page,
// else everybody on record.
func (s *site) keepers(r *http.Request) ([]page.Option, error) {
	v := access.From(r.Context())
	list, err := s.service.Club.Athletes(r.Context(), records.ListRequest{})
	var options []page.Option
	for i := range list.Athletes {
		a := &list.Athletes[i]
		if v.Role != access.Athlete || a.ID == v.Athlete {
			options = append(options, page.Option{Value: strconv.FormatInt(a.ID, 10), Label: a.Name})
		}
	}
	return options, err
}
