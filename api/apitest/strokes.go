package apitest

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"

	"thole/selection/stroke"
)

const (
	AnalysePath    = "/api/v1/strokes/analyse"
	UploadsPath    = "/api/v1/uploads"
	RecordingsPath = "/api/v1/recordings"
)

// Puller is a rower whose strokes are known: the angle runs along half cosines
// from catch to finish and back, the force along a half sine over the arc.
type Puller struct {
	Catch, Finish float64 // degrees
	Peak          float64 // N
	Lean          float64 // moves the peak: negative towards the catch
	Period        float64 // s
	Noise         float64 // N and hundredths of a degree
}

var Known = Puller{Catch: -64, Finish: 44, Peak: 600, Period: 2}

// Pull returns angle, force and vertical angle at a time.
func (p Puller) Pull(t float64) (angle, force, vertical float64) {
	const drive = 0.45
	u := math.Mod(t, p.Period) / p.Period
	if u < drive {
		w := (1 - math.Cos(math.Pi*u/drive)) / 2
		return p.Catch + (p.Finish-p.Catch)*w, p.Peak * math.Sin(math.Pi*math.Pow(w, math.Exp2(p.Lean))), 2.5 - 8.5*math.Sin(math.Pi*w)
	}
	w := (1 + math.Cos(math.Pi*(u-drive)/(1-drive))) / 2
	return p.Catch + (p.Finish-p.Catch)*w, 0, 2.5
}

// Rows writes seconds of rowing at 50 Hz in the plain layout, one seat after
// the other at each instant.
func Rows(seconds float64, crew ...Puller) string {
	var b strings.Builder
	b.WriteString(stroke.PlainHeader + "\n")
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range int(seconds * 50) {
		t := float64(i) / 50
		for seat, p := range crew {
			angle, force, vertical := p.Pull(t)
			fmt.Fprintf(&b, "%.3f,%d,%.3f,%.2f,%.3f,4.500\n", t, seat+1, angle+p.Noise*rng.NormFloat64()/100, force+p.Noise*rng.NormFloat64(), vertical)
		}
	}
	return b.String()
}

// Part is one part of a multipart request.
type Part struct{ Name, File, Text string }

// AtHandle says where the force was measured, for a mapping as detected.
var AtHandle = Part{"force", "", `"handle"`}

// Value is a part that is no file.
func Value(name, text string) Part { return Part{name, "", text} }

func FileOf(text string) Part { return Part{"file", "outing.csv", text} }

// SendParts posts a multipart request.
func SendParts(path string, header http.Header, parts ...Part) *httptest.ResponseRecorder {
	r := MultipartRequest(path, parts...)
	for name, values := range header {
		r.Header[name] = values
	}
	answer := httptest.NewRecorder()
	Server().ServeHTTP(answer, r)
	return answer
}

func MultipartRequest(path string, parts ...Part) *http.Request {
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for _, p := range parts {
		var to io.Writer
		if p.File != "" {
			to, _ = w.CreateFormFile(p.Name, p.File)
		} else {
			to, _ = w.CreateFormField(p.Name)
		}
		_, _ = io.WriteString(to, p.Text)
	}
	_ = w.Close()
	r := httptest.NewRequest(http.MethodPost, path, &body)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return r
}

const (
	PlainMapping = `{"separator":"comma","force":"handle","header_lines":1,"columns":[{"index":0,"quantity":"time","unit":"s"},{"index":1,"quantity":"seat"},
		{"index":2,"quantity":"oar_angle","unit":"deg"},{"index":3,"quantity":"force","unit":"n"},{"index":4,"quantity":"vertical_angle","unit":"deg"},
		{"index":5,"quantity":"boat_speed","unit":"m_s"}]}`
	Newtons  = `{"catch_n":196,"release_n":98}`
	OfPeak   = `{"share_of_peak":0.3}`
	Arms     = `{"in_cm":84}`
	GateArms = `{"in_cm":84,"out_cm":180}`
)
