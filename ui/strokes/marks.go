package strokes

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"thole/api/records"
	"thole/api/rest"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/ui/page"
)

// markForm is a mark of a stroke, as typed.
type markForm struct {
	Start, Note   string
	LeftOut, Open bool
}

// strokeOptions lists the strokes to choose from.
func strokeOptions(list strokefile.StrokeList) []page.Option {
	var options []page.Option
	for i := range list {
		options = append(options, page.Option{
			Value: strconv.FormatFloat(list[i].StartS, 'f', -1, 64), Label: fmt.Sprintf("%d, at %s s", i+1, page.Fix(1, list[i].StartS)),
		})
	}
	return options
}

// strokeMark marks a stroke or removes its mark.
func (s *site) strokeMark(w http.ResponseWriter, r *http.Request, form *page.RecordForm) error {
	start, ok := page.ParseNumber(form.Text("start_s"))
	if !ok {
		return s.Broken(w)
	}
	edit := strokes.StrokeMarkEdit{ID: page.PathID(r, "recording"), Version: form.KnownVersion(), StartS: start, By: form.Text("by")}
	if form.Text("do") == "mark" {
		edit.Note, edit.LeftOut = form.Text("note"), form.Text("left_out") != ""
		if edit.Note == "" {
			return s.markProblem(w, r, form, http.StatusUnprocessableEntity, page.Problem{Label: "Note or reason", Text: "Say what this stroke shows, or why it is excluded."})
		}
	}
	_, err := s.service.Strokes.MarkStroke(r.Context(), edit)
	var moved *records.Conflict
	switch explained := rest.Explain(err); {
	case err == nil:
		return page.Saved(w, r, r.URL.Path+"#each-h")
	case errors.As(err, &moved):
		return s.markProblem(w, r, form, http.StatusConflict, page.Problem{Text: "This recording was changed meanwhile: check its history, then mark again."})
	case explained.Status == http.StatusUnprocessableEntity && len(explained.Errors) > 0:
		return s.markProblem(w, r, form, explained.Status, page.Problem{Label: markLabels[explained.Errors[0].Field], Text: explained.Errors[0].Detail})
	}
	return s.Fail(w, err)
}

// markLabels are the words of the form.
var markLabels = map[string]string{"start_s": "Stroke", "note": "Note or reason", "left_out": "Exclude it", "by": "Your name"}

// markProblem shows the page with what was typed and what is wrong with it.
func (s *site) markProblem(w http.ResponseWriter, r *http.Request, form *page.RecordForm, status int, problem page.Problem) error {
	p, err := s.strokePage(r)
	if err != nil {
		return s.Fail(w, err)
	}
	p.Problems = append(p.Problems, problem)
	p.Mark = markForm{Start: form.Text("start_s"), Note: form.Text("note"), LeftOut: form.Text("left_out") != "", Open: true}
	p.Correct.By = form.Text("by")
	return s.Pages.Show(w, status, "stroke", p)
}
