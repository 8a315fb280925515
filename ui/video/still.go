package video

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"

	"thole/api/club"
	"thole/api/video"
	"thole/api/wire"
	"thole/ui/page"
)

// stillPage shows the still beside a reading, or the form that keeps one.
type stillPage struct {
	*page.RecordForm
	Athlete string
	Reading video.FilmedReading
	Stand   video.Stand
	Picture page.Value
	Consent page.Value
	Signed  []page.Value
	Day     string // on which the still was kept
}

// readingAt is the reading that an address names.
func readingAt(r *http.Request) video.FilmedReadingRequest {
	return video.FilmedReadingRequest{AthleteID: page.PathID(r, "id"), ReadingID: page.PathID(r, "reading")}
}

func stillAddress(at video.FilmedReadingRequest) string {
	return fmt.Sprintf("/athletes/%d/filmed/%d/still", at.AthleteID, at.ReadingID)
}

// stillForm builds the page around a form.
func (s *site) stillForm(r *http.Request, f *page.RecordForm) (*stillPage, error) {
	at := readingAt(r)
	athlete, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: at.AthleteID})
	if err != nil {
		return nil, err
	}
	reading, err := s.service.Video.ReadingOf(r.Context(), at)
	if err != nil {
		return nil, err
	}
	stand, err := s.service.Video.StandOf(r.Context(), at.AthleteID)
	if err != nil {
		return nil, err
	}
	f.Address, f.Back = stillAddress(at), fmt.Sprintf("/athletes/%d/filmed", at.AthleteID)
	f.SetPlace("file", wire.At("picture"))
	p := &stillPage{RecordForm: f, Athlete: athlete.Name, Reading: reading, Stand: stand}
	asked := []page.Value{page.TextField("file", "File", ""), page.TextField("consent", "Everybody who can be recognised agrees that it is kept", "").As("check")}
	p.Signed = []page.Value{page.ByField()}
	f.Fill(asked, p.Signed)
	p.Picture, p.Consent = asked[0], asked[1]
	if reading.Still != nil {
		p.Day = page.When(reading.Still.At)
	}
	return p, nil
}

func (s *site) still(w http.ResponseWriter, r *http.Request) error {
	p, err := s.stillForm(r, page.NewForm(url.Values{"by": {page.Who(r)}}))
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "filmed_still", p)
}

func (s *site) keepStill(w http.ResponseWriter, r *http.Request) error {
	f, picture, err := s.sentPicture(w, r)
	switch {
	case err != nil:
		return s.Fail(w, err)
	case f == nil:
		return s.Broken(w)
	}
	at := readingAt(r)
	ask := video.NewStill{AthleteID: at.AthleteID, ReadingID: at.ReadingID, Picture: picture, Consent: f.Ticked("consent"), By: f.Text("by")}
	return s.Submit(w, r, f, page.FormPage{Page: "filmed_still", Part: "main", Build: func() (any, error) { return s.stillForm(r, f) }}, func() (string, error) {
		_, err := s.service.Video.KeepStill(r.Context(), ask)
		return stillAddress(at), err
	})
}

// sentPicture reads the form with its file, which is empty where none was chosen; the
// form is nil where it was cut off. One that is too large is complained about at the
// field of the file, and the rest of the form is lost.
func (s *site) sentPicture(w http.ResponseWriter, r *http.Request) (*page.RecordForm, []byte, error) {
	done, err := s.Uploads.Admit(w, r)
	if err != nil {
		return nil, nil, err
	}
	defer done()
	const most = video.LargestPicture + page.MaxForm
	r.Body = http.MaxBytesReader(w, r.Body, most)
	large := new(http.MaxBytesError)
	switch err := r.ParseMultipartForm(most); {
	case errors.As(err, &large):
		f := page.NewForm(url.Values{"by": {page.Who(r)}})
		f.Complaints["file"] = fmt.Sprintf("The file is larger than %d MB.", video.LargestPicture>>20)
		return f, nil, nil
	case err != nil:
		return nil, nil, nil
	}
	page.Sign(r)
	page.Remember(w, r.PostForm.Get("by"))
	content, err := sentFile(r)
	return page.NewForm(r.PostForm), content, err
}

func sentFile(r *http.Request) ([]byte, error) {
	file, _, err := r.FormFile("file")
	if errors.Is(err, http.ErrMissingFile) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(file)
}

// picture answers the still itself.
func (s *site) picture(w http.ResponseWriter, r *http.Request) error {
	body, err := s.service.Video.Still(r.Context(), readingAt(r))
	if err != nil {
		return s.Fail(w, err)
	}
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Cache-Control", "no-store")
	h.Set("X-Content-Type-Options", "nosniff")
	_, err = w.Write(body)
	return err
}

// askRemoveStill asks before a still goes.
func (s *site) askRemoveStill(w http.ResponseWriter, r *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "record_remove", page.Removal{Title: "Remove this still?", Text: "The picture goes, for good. The reading stays.", Address: r.URL.Path, Back: stillAddress(readingAt(r))})
}

func (s *site) removeStill(w http.ResponseWriter, r *http.Request) error {
	at := readingAt(r)
	if _, err := s.service.Video.RemoveStill(r.Context(), at); err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, fmt.Sprintf("/athletes/%d/filmed", at.AthleteID))
}
