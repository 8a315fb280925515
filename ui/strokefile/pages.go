// Package strokefile shows the pages by which files of strokes come in: what the columns
// mean, what was measured, who sat where, single curves, the layout of a plain file. Here
// lie the tables, the form of thresholds and the parts of pages that recordings on record,
// in ui/strokes, show as well.
package strokefile

import (
	"embed"
	"net/http"

	"thole/api"
	"thole/api/access"
	"thole/api/demo"
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
	self, sent, asked := access.Coaches.OrForThemselves(), access.Coaches.OrSent(access.Upload, "upload"), access.Coaches.OrSent(access.Job, "job")
	return map[string]page.Route{
		"GET /recordings/layout":                        page.For(access.Everyone, s.strokeLayout),
		"GET /recordings/layout.csv":                    page.For(access.Everyone, s.strokeSample),
		"GET /recordings/import":                        page.For(self, s.strokeImport),
		"POST /recordings/import":                       page.For(self, s.strokeUpload),
		"GET /recordings/import/{upload}":               page.For(sent, s.strokeMapping),
		"POST /recordings/import/{upload}":              page.For(sent, s.strokeMeasure),
		"POST /recordings/import/{upload}/mapping":      page.For(access.Coaches, s.strokeSaveMapping),
		"POST /recordings/import/{upload}/curves":       page.For(sent, s.strokeKeepCurves),
		"GET /recordings/import/{upload}/{job}":         page.For(asked, s.strokeResult),
		"POST /recordings/import/{upload}/{job}":        page.For(asked, s.strokeKeep),
		"POST /recordings/import/{upload}/{job}/cancel": page.For(asked, s.strokeCancel),
	}
}

func (s *site) strokeLayout(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "stroke_layout", nil)
}

// strokeSample answers a small file in the plain layout.
func (s *site) strokeSample(w http.ResponseWriter, _ *http.Request) error {
	h := w.Header()
	h.Set("Content-Type", "text/csv; charset=utf-8; header=present")
	h.Set("Content-Disposition", `attachment; filename="strokes-sample.csv"`)
	_, err := w.Write(demo.StrokeSample())
	return err
}
