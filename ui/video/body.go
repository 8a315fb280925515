package video

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"

	"thole/api/rest"
	"thole/api/video"
	"thole/api/wire"
	"thole/ui/page"
)

// bodyPage reads lengths of a body beside a known length.
type bodyPage struct {
	Marks    []field
	Known    []field
	Lines    []bodyLine
	Keepers  []page.Option
	Kept     []hidden
	Problems []page.Problem
}

// bodyLine is one length that was read.
type bodyLine struct{ Label, Value string }

// span is a length between two marks and where it goes.
type span struct {
	from, to, label string
	measure         string // of the athlete's measures; "" for none
	asked           func(*video.BodyRequest) **float64
	read            func(*video.Body) *video.Length
}

var bodySpans = []span{
	{"seat", "head", "Sitting height", "sitting_height_cm", func(r *video.BodyRequest) **float64 { return &r.SittingHeightPx }, func(b *video.Body) *video.Length { return b.SittingHeightCm }},
	{"hip", "sole", "Leg, hip to sole", "", func(r *video.BodyRequest) **float64 { return &r.LegPx }, func(b *video.Body) *video.Length { return b.LegCm }},
	{"shoulder", "grip", "Arm, shoulder to grip", "arm_cm", func(r *video.BodyRequest) **float64 { return &r.ArmPx }, func(b *video.Body) *video.Length { return b.ArmCm }},
}

// Fields of the form with what stands in them at first.
var (
	bodyMarks = []field{
		{"known_top", "Known length, upper end", "px", "", ""}, {"known_bottom", "Known length, lower end", "px", "", ""},
		{"head", "Top of the head", "px", "", ""}, {"seat", "Seat, sitting upright", "px", "", ""},
		{"hip", "Hip joint", "px", "", ""}, {"sole", "Sole of the foot", "px", "", ""},
		{"shoulder", "Shoulder joint", "px", "", ""}, {"grip", "Grip, arm straight", "px", "", ""},
	}
	bodyKnown = []field{
		{"known_cm", "Known length", "cm", "", "Between two marks on a wall or a pole next to the person, 1 m or more."},
		{"distance_m", "Distance to the person", "m", "5", "Camera level with the hip, 4 m away or more."},
		{"depth_cm", "Nearer or farther than the known length", "cm", "10", ""},
	}
)

func (s *site) body(w http.ResponseWriter, r *http.Request) error {
	typed := r.URL.Query()
	p := &bodyPage{Marks: filled(bodyMarks, typed), Known: filled(bodyKnown, typed)}
	status := http.StatusOK
	if anyOf(bodyMarks, typed) {
		if err := s.readBody(r, p, typed); err != nil {
			return s.Fail(w, err)
		}
		if len(p.Problems) > 0 {
			status = http.StatusUnprocessableEntity
		}
	}
	return s.Pages.Show(w, status, "stroke_video_body", p)
}

// readBody answers what the marks ask.
func (s *site) readBody(r *http.Request, p *bodyPage, typed url.Values) error {
	form := &measurePage{Boat: p.Known}
	ask := video.BodyRequest{KnownCm: form.number(p.Known, "known_cm"), DistanceM: form.number(p.Known, "distance_m"), DepthCm: wire.Ptr(form.number(p.Known, "depth_cm"))}
	ask.KnownPx = wire.Or(form.between(typed, "known_top", "known_bottom"), 0)
	for _, one := range bodySpans {
		*one.asked(&ask) = form.between(typed, one.from, one.to)
	}
	if p.Problems = form.Problems; len(p.Problems) > 0 {
		return nil
	}
	body, err := s.service.Video.Body(r.Context(), ask)
	if err != nil {
		explained := rest.Explain(err)
		if explained.Status != http.StatusUnprocessableEntity {
			return err
		}
		p.Problems = bodyPlaces().Problems(explained.Errors)
		return nil
	}
	note := "From a picture:"
	for _, one := range bodySpans {
		l := one.read(&body)
		if l == nil {
			continue
		}
		text := page.Fix(1, l.Value) + " cm ± " + page.Fix(1, l.Sd)
		p.Lines = append(p.Lines, bodyLine{one.label, text})
		if one.measure != "" {
			p.Kept = append(p.Kept, hidden{one.measure, page.Fix(1, l.Value)})
			note += fmt.Sprintf(" %s ± %s cm;", one.label, page.Fix(1, l.Sd))
		}
	}
	if len(p.Kept) > 0 {
		p.Kept = append(p.Kept, hidden{"note", note[:len(note)-1] + "."})
		p.Keepers, err = s.keepers(r)
	}
	return err
}

// between is the distance of two marks in pixels; nil where one is not marked.
func (p *measurePage) between(typed url.Values, from, to string) *float64 {
	a, one := p.mark(typed, from)
	b, two := p.mark(typed, to)
	if !one || !two {
		return nil
	}
	return wire.Ptr(math.Hypot(a.UPx-b.UPx, a.VPx-b.VPx))
}

// bodyPlaces are the fields of the form by their places in the request.
func bodyPlaces() page.FieldsAt {
	list := page.FieldsAt{{At: wire.At("known_px"), ID: "known_top", Label: "Known length"}}
	for _, one := range bodySpans {
		name := map[string]string{"seat": "sitting_height_px", "hip": "leg_px", "shoulder": "arm_px"}[one.from]
		list = append(list, page.FieldAt{At: wire.At(name), ID: one.to, Label: one.label})
	}
	for _, f := range append(append([]field{}, bodyKnown...), bodyMarks...) {
		list = append(list, page.FieldAt{At: wire.At(f.Name), ID: f.Name, Label: f.Label})
	}
	return list
}

// keepBody leads on to the measures of an athlete, with the lengths filled in.
func (s *site) keepBody(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	id, err := strconv.ParseInt(q.Get("athlete"), 10, 64)
	if err != nil {
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "message", page.Message{Title: "Choose whose body this is", Text: "Go back and choose the athlete."})
	}
	q.Del("athlete")
	http.Redirect(w, r, fmt.Sprintf("/athletes/%d?%s#measures", id, q.Encode()), http.StatusSeeOther)
	return nil
}
