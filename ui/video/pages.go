// Package video shows the pages of an area: Measure from a video: an oar's angle
// and the catch frame by frame, from marks in a clip that stays on the device.
package video

import (
	"embed"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api"
	"thole/api/access"
	"thole/api/people"
	"thole/api/rest"
	"thole/api/video"
	"thole/api/wire"
	"thole/ui/page"
)

// Templates are the templates of the area, a page a file.
//
//go:embed *.html
var Templates embed.FS

// site holds what the handlers share.
type site struct {
	*page.Frame
	service *api.Service
}

// Pages lists the pages of the area by pattern.
func Pages(f *page.Frame, service *api.Service) map[string]page.Route {
	s := &site{f, service}
	own := access.Staff.OrOwn(access.Body, "id")
	return map[string]page.Route{
		"GET /video": page.For(access.Everyone, s.measure), "GET /video/keep": page.For(access.Everyone, s.chooseKeeper),
		"GET /video/body": page.For(access.Everyone, s.body), "GET /video/body/keep": page.For(access.Everyone, s.keepBody),
		"GET /athletes/{id}/filmed": page.For(own, s.filmed), "GET /athletes/{id}/filmed/new": page.For(own, s.newFilmed), "POST /athletes/{id}/filmed": page.For(own, s.keep),
		"GET /athletes/{id}/filmed/{reading}/remove": page.For(own, s.askRemove), "POST /athletes/{id}/filmed/{reading}/remove": page.For(own, s.remove),
		"GET /athletes/{id}/filmed/{reading}/still": page.For(own, s.still), "POST /athletes/{id}/filmed/{reading}/still": page.For(own, s.keepStill),
		"GET /athletes/{id}/filmed/{reading}/still.jpg":    page.For(own, s.picture),
		"GET /athletes/{id}/filmed/{reading}/still/remove": page.For(own, s.askRemoveStill), "POST /athletes/{id}/filmed/{reading}/still/remove": page.For(own, s.removeStill),
	}
}

// measurePage is the page with what was typed and what comes of it.
type measurePage struct {
	Boat, Picture []field
	Marks         []field
	Place         string // boat and seat, as forms carry it
	Places        []people.SeatChoice
	Filled        string // in words, what the record filled in
	Rate, Strokes field
	Kind, Side    string
	End, View     string
	SeenFrom      string
	Angle         *video.Angle
	Moments       *video.Strokes
	Rows          []row
	Try           string
	Problems      []page.Problem

	// What the answers were asked with, and what keeps them.
	picture *video.AngleRequest
	frames  *video.StrokesRequest
	Keepers []page.Option
	Of      string // the athlete whose reading it is, where the page was opened for one
	Kept    []hidden
	Unnamed bool // to be kept, of nobody yet
}

// field is a figure of the form.
type field struct{ Name, Label, Unit, Value, Help string }

// row is a line of the answer's table.
type row struct{ Label, Value, Spread, Count string }

// Fields of the form with what stands in them at first.
var (
	boatFields = []field{
		{"across_cm", "Span, or spread", "cm", "159", "Sculls: pin to pin. Sweep: centreline to pin."},
		{"inboard_cm", "Inboard", "cm", "88", ""}, {"oar_length_cm", "Oar length", "cm", "288", ""},
		{"gate_over_water_cm", "Gate height over the water", "cm", "26", ""},
		{"tape_x_cm", "Tape from the pins", "cm", "100", "Along the boat, the same to bow and to stern."},
		{"tape_y_cm", "Tape from the centreline", "cm", "25", "On both saxboards."}, {"tape_z_cm", "Tape over the water", "cm", "18", ""},
		{"bow_x_cm", "Bow ball from the pins", "cm", "", "Only where it is marked."}, {"stern_x_cm", "Stern’s end from the pins", "cm", "", "Only where it is marked."},
	}
	pictureFields = []field{
		{"width_px", "Width of the picture", "px", "1920", ""}, {"height_px", "Height of the picture", "px", "1080", ""},
		{"distance_m", "Distance to the boat", "m", "15", "A guess will do."}, {"camera_height_m", "Camera over the water", "m", "1.7", ""},
	}
	markFields = []field{
		{"near_pin", "Near pin", "px", "", ""}, {"far_pin", "Far pin", "px", "", ""},
		{"near_bow", "Near tape, bow", "px", "", ""}, {"near_stern", "Near tape, stern", "px", "", ""},
		{"far_bow", "Far tape, bow", "px", "", ""}, {"far_stern", "Far tape, stern", "px", "", ""},
		{"bow_ball", "Bow ball", "px", "", ""}, {"stern_end", "Stern’s end", "px", "", ""}, {"water_bow", "Waterline, bow", "px", "", ""}, {"water_stern", "Waterline, stern", "px", "", ""},
		{"handle_end", "End of the handle", "px", "", ""}, {"again", "End of the handle, once more", "px", "", ""}, {"tip", "Tip of the blade", "px", "", ""},
		{"hand", "Hand, where the end is hidden", "px", "", ""},
	}
)

const (
	rateLabel    = "Frame rate"
	strokesLabel = "Strokes"
)

func (s *site) measure(w http.ResponseWriter, r *http.Request) error {
	typed := r.URL.Query()
	p := newPage(typed)
	if err := s.fillIn(r, p, typed); err != nil {
		return s.Fail(w, err)
	}
	if typed.Has("fill") {
		return s.Pages.Show(w, http.StatusOK, "stroke_video", p)
	}
	if err := s.read(r, p, typed); err != nil {
		return s.Fail(w, err)
	}
	if p.Angle != nil || p.Moments != nil {
		if err := s.offerKeeping(r, p, typed); err != nil {
			return s.Fail(w, err)
		}
	}
	status := http.StatusOK
	if len(p.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.Pages.Show(w, status, "stroke_video", p)
}

// read answers what the marks and the moments ask.
func (s *site) read(r *http.Request, p *measurePage, typed url.Values) error {
	if anyOf(markFields, typed) {
		if err := s.readAngle(r, p, typed); err != nil {
			return err
		}
	}
	if strings.TrimSpace(typed.Get("strokes")) == "" {
		return nil
	}
	return s.readStrokes(r, p, typed)
}

// offerKeeping asks of whom the reading is to be kept.
func (s *site) offerKeeping(r *http.Request, p *measurePage, typed url.Values) (err error) {
	marks := marksOf(typed)
	for _, name := range slices.Sorted(maps.Keys(marks)) {
		p.Kept = append(p.Kept, hidden{name, marks.Get(name)})
	}
	p.Kept = append(p.Kept, hidden{"place", p.Place})
	p.Unnamed = typed.Get("unnamed") != ""
	p.Keepers, err = s.keepers(r)
	return err
}

// filled returns fields with what was typed in them.
func filled(list []field, typed url.Values) []field {
	out := append([]field{}, list...)
	for i := range out {
		if typed.Has(out[i].Name) {
			out[i].Value = typed.Get(out[i].Name)
		}
	}
	return out
}

// newPage returns the form with what was typed.
func newPage(typed url.Values) *measurePage {
	or := func(name, usual string) string {
		if v := typed.Get(name); v != "" {
			return v
		}
		return usual
	}
	return &measurePage{
		Boat: filled(boatFields, typed), Picture: filled(pictureFields, typed), Marks: filled(markFields, typed),
		Rate:    field{"frame_rate", rateLabel, "frames/s", or("frame_rate", "60"), "30 to 240; read from the clip where the browser tells it."},
		Strokes: field{"strokes", strokesLabel, "", typed.Get("strokes"), ""},
		Kind:    or("kind", "scull"), Side: or("side", "starboard"), End: or("end", "catch"), View: or("view", "abeam"), SeenFrom: or("seen_from", "starboard"),
	}
}

// anyOf reports whether something stands in one of the fields.
func anyOf(list []field, typed url.Values) bool {
	for _, f := range list {
		if strings.TrimSpace(typed.Get(f.Name)) != "" {
			return true
		}
	}
	return false
}

// places are the fields of the form by their places in the requests.
func places() page.FieldsAt {
	list := page.FieldsAt{
		{At: wire.At("frame_rate"), ID: "frame_rate", Label: rateLabel}, {At: wire.At("strokes"), ID: "strokes", Label: strokesLabel},
		{At: wire.At("oar", "marks"), ID: "handle_end", Label: "End of the handle"}, {At: wire.At("points"), ID: "near_pin", Label: "Marks"},
		{At: wire.At("oar", "pin_out_cm"), ID: "across_cm", Label: "Span, or spread"},
	}
	for _, f := range boatFields {
		list = append(list, page.FieldAt{At: wire.At("oar", f.Name), ID: f.Name, Label: f.Label}, page.FieldAt{At: wire.At(f.Name), ID: f.Name, Label: f.Label})
	}
	for _, f := range append(append([]field{}, pictureFields...), markFields...) {
		list = append(list, page.FieldAt{At: wire.At(f.Name), ID: f.Name, Label: f.Label})
	}
	return list
}

// complain takes in what is wrong with a request; false for any other fault.
func (p *measurePage) complain(err error) bool {
	explained := rest.Explain(err)
	if explained.Status != http.StatusUnprocessableEntity {
		return false
	}
	p.Problems = append(p.Problems, places().Problems(explained.Errors)...)
	return true
}

func (p *measurePage) wrong(name, text string) {
	p.Problems = append(p.Problems, places().Problem(wire.At(name).Problem(text)))
}

// number reads a figure of the form.
func (p *measurePage) number(list []field, name string) float64 {
	for _, f := range list {
		if f.Name == name {
			v, complaint := wire.ReadNumber(f.Value)
			if complaint != "" {
				p.wrong(name, complaint)
			}
			return v
		}
	}
	panic("ui/video: no field " + name)
}

// mark reads a pair of pixels; ok is false when it was not marked.
func (p *measurePage) mark(typed url.Values, name string) (m video.Mark, ok bool) {
	parts := strings.Fields(strings.ReplaceAll(typed.Get(name), ",", " "))
	if len(parts) == 0 {
		return m, false
	}
	var v [2]float64
	for i := range v {
		var err error
		if len(parts) != 2 {
			err = strconv.ErrSyntax
		} else {
			v[i], err = strconv.ParseFloat(parts[i], 64)
		}
		if err != nil || v[i] != v[i] {
			p.wrong(name, "Two numbers, from the left and from the top, such as 812.5 430.")
			return m, false
		}
	}
	return video.Mark{UPx: v[0], VPx: v[1]}, true
}

func (s *site) readAngle(r *http.Request, p *measurePage, typed url.Values) error {
	ask := p.angleRequest(typed)
	if len(p.Problems) > 0 {
		return nil
	}
	a, err := s.service.Video.Angle(r.Context(), ask)
	if err == nil {
		p.Angle, p.picture = &a, &ask
	} else if !p.complain(err) {
		return err
	}
	return nil
}

// angleRequest turns the form into the request of the interface.
func (p *measurePage) angleRequest(typed url.Values) video.AngleRequest {
	boat := func(name string) float64 { return p.number(p.Boat, name) }
	picture := func(name string) float64 { return p.number(p.Picture, name) }
	out := boat("across_cm")
	if p.Kind == "scull" {
		out /= 2
	}
	ask := video.AngleRequest{
		WidthPx: picture("width_px"), HeightPx: picture("height_px"), View: p.View, SeenFrom: p.SeenFrom,
		DistanceM: picture("distance_m"), CameraHeightM: wire.Ptr(picture("camera_height_m")),
		Oar: video.Oar{Kind: p.Kind, Side: p.Side, End: p.End, PinOutCm: out,
			GateOverWaterCm: wire.Ptr(boat("gate_over_water_cm")), InboardCm: boat("inboard_cm"), OarLengthCm: boat("oar_length_cm")},
	}
	ask.Points = p.points(typed, out)
	for _, name := range []string{"handle_end", "tip", "hand"} {
		if m, ok := p.mark(typed, name); ok {
			ask.Oar.Marks = append(ask.Oar.Marks, video.OarMark{Place: name, UPx: m.UPx, VPx: m.VPx})
		}
	}
	if m, ok := p.mark(typed, p.ownPin()); ok {
		ask.Oar.Marks = append(ask.Oar.Marks, video.OarMark{Place: "pin", UPx: m.UPx, VPx: m.VPx})
	}
	first, one := p.mark(typed, "handle_end")
	if second, two := p.mark(typed, "again"); one && two {
		ask.Twice = append(ask.Twice, video.Pair{First: first, Second: second})
	}
	return ask
}

// ownPin is the mark of the pin that the oar bears on, which is a point of the oar
// and tells more so.
func (p *measurePage) ownPin() string {
	if p.Side == p.SeenFrom {
		return "near_pin"
	}
	return "far_pin"
}

// points lists the known points that were marked, of a boat with its pins out cm
// from the centreline.
func (p *measurePage) points(typed url.Values, out float64) []video.KnownPoint {
	boat := func(name string) float64 { return p.number(p.Boat, name) }
	near := 1.0
	if p.SeenFrom == "port" {
		near = -1
	}
	gate, x, y, z := boat("gate_over_water_cm"), boat("tape_x_cm"), near*boat("tape_y_cm"), boat("tape_z_cm")
	list := []video.KnownPoint{
		{Name: "near_pin", YCm: near * out, ZCm: gate}, {Name: "far_pin", YCm: -near * out, ZCm: gate},
		{Name: "near_bow", XCm: -x, YCm: y, ZCm: z}, {Name: "near_stern", XCm: x, YCm: y, ZCm: z},
		{Name: "far_bow", XCm: -x, YCm: -y, ZCm: z}, {Name: "far_stern", XCm: x, YCm: -y, ZCm: z},
		video.OnWaterline("water_bow", -1, near), video.OnWaterline("water_stern", 1, near),
	}
	for _, end := range []struct {
		name, distance string
		way            float64
	}{{"bow_ball", "bow_x_cm", -1}, {"stern_end", "stern_x_cm", 1}} {
		if _, marked := p.mark(typed, end.name); marked {
			list = append(list, video.HullEnd(end.name, end.way*boat(end.distance)))
		}
	}
	var marked []video.KnownPoint
	for _, k := range list {
		m, ok := p.mark(typed, k.Name)
		if !ok || k.Name == p.ownPin() {
			continue
		}
		k.UPx, k.VPx, k.Name = m.UPx, m.VPx, labelOf(k.Name)
		if k.SdCm == nil {
			k.SdCm = wire.Ptr(video.TapeSdCm)
		}
		marked = append(marked, k)
	}
	return marked
}

func labelOf(name string) string {
	for _, f := range markFields {
		if f.Name == name {
			return f.Label
		}
	}
	return name
}

func (s *site) readStrokes(r *http.Request, p *measurePage, typed url.Values) error {
	rate, complaint := wire.ReadNumber(p.Rate.Value)
	if complaint != "" {
		p.wrong("frame_rate", complaint)
	}
	ask := video.StrokesRequest{End: p.End, Kind: p.Kind, FrameRate: rate}
	if p.End == "finish" {
		ask.End = "release"
	}
	if p.Angle != nil && p.Angle.Tells {
		ask.PxPerM, ask.MarkSdPx = &p.Angle.PxPerM, &p.Angle.MarkSdPx
	}
	for line := range strings.Lines(typed.Get("strokes")) {
		if strings.TrimSpace(line) != "" {
			p.strokeLine(&ask, line)
		}
	}
	if len(p.Problems) > 0 {
		return nil
	}
	m, err := s.service.Video.Strokes(r.Context(), ask)
	if err == nil {
		p.show(&m)
		p.frames = &ask
	} else if !p.complain(err) {
		return err
	}
	return nil
}

// strokeLine reads three times and, where it is there, a height in pixels, which
// counts only with a scale.
func (p *measurePage) strokeLine(ask *video.StrokesRequest, line string) {
	var v []float64
	for _, word := range strings.Fields(line) {
		x, err := strconv.ParseFloat(word, 64)
		if err != nil || x != x {
			v = nil
			break
		}
		v = append(v, x)
	}
	if len(v) != 3 && len(v) != 4 && len(v) != 6 {
		p.wrong("strokes", "“"+strings.TrimSpace(line)+"”: give three times in seconds, the height in pixels if you marked it, and after it both angles if you read them.")
		return
	}
	stroke := video.TurnFrames{ReversalS: v[0], EdgeS: v[1], WholeS: v[2]}
	if len(v) >= 4 && ask.PxPerM != nil {
		stroke.HeightPx = &v[3]
	}
	if len(v) == 6 {
		stroke.FromDeg, stroke.ToDeg = &v[4], &v[5]
		if p.Angle != nil && p.Angle.Tells {
			stroke.FromSdDeg, stroke.ToSdDeg = &p.Angle.SdDeg, &p.Angle.SdDeg
		}
	}
	ask.Strokes = append(ask.Strokes, stroke)
}

// show lays out the moments.
func (p *measurePage) show(m *video.Strokes) {
	p.Moments = m
	edge, whole := "Edge touches after", "Covered after"
	if p.End != "catch" {
		edge, whole = "Edge shows after", "Clear after"
	}
	for _, v := range []struct {
		label, unit string
		digits      int
		mean        *video.Mean
	}{
		{edge, "ms", 0, &m.EdgeMs}, {whole, "ms", 0, &m.WholeMs}, {"Lower edge at the reversal", "cm", 1, m.HeightCm},
		{"Blade goes through the surface at", "m/s", 2, m.SpeedMS}, {"Starts down, against the reversal", "ms", 0, m.StartDownMs},
		{"Missed, from the reversal to covered", "°", 1, m.MissedDeg}, {"Missed, at the blade’s middle", "cm", 0, m.MissedCm},
	} {
		if v.mean != nil {
			one := row{v.label, page.Fix(v.digits, v.mean.Value) + " ± " + page.Fix(v.digits, v.mean.Sd) + " " + v.unit, "–", strconv.Itoa(v.mean.Count)}
			if v.mean.Count > 1 { // one stroke tells no spread
				one.Spread = page.Fix(v.digits, v.mean.Spread)
			}
			p.Rows = append(p.Rows, one)
		}
	}
	if p.End == "catch" && m.HeightCm != nil && m.SpeedMS != nil && m.StartDownMs != nil {
		p.Try = tryLink(p, m)
	}
}

// tryLink leads to the catch, to try, with what was measured.
func tryLink(p *measurePage, m *video.Strokes) string {
	text := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	q := url.Values{"boat_class": {"1x"}, "height_cm": {text(max(0, m.HeightCm.Value))}, "sink_m_s": {text(m.SpeedMS.Value)}, "moment_ms": {text(m.StartDownMs.Value)}}
	if p.Kind == "sweep" {
		q.Set("boat_class", "8+")
	}
	if p.Angle != nil && p.Angle.Tells {
		q.Set("catch_deg", text(max(-p.Angle.AngleDeg, p.Angle.AngleDeg)))
	}
	return "/catch?" + q.Encode()
}
