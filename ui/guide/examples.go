package guide

import (
	"fmt"
	"net/http"

	"thole/api/access"
	"thole/api/demo"
	"thole/api/rest"
	"thole/ui/page"
)

// examplePages lists where the examples come and go.
func (s *site) examplePages() map[string]page.Route {
	return map[string]page.Route{
		"POST /examples": page.For(access.Coaches, s.loadExamples), "GET /examples/remove": page.For(access.Coaches, s.askRemoveExamples), "POST /examples/remove": page.For(access.Coaches, s.removeExamples),
	}
}

// loadExamples puts the examples on record, and leads to the start.
func (s *site) loadExamples(w http.ResponseWriter, r *http.Request) error {
	_, err := s.service.Demo.LoadExamples(r.Context(), demo.Loading{By: page.Who(r)})
	if p := rest.Explain(err); err != nil && p.Status == http.StatusConflict {
		return s.Pages.Show(w, p.Status, "message", page.Message{Title: "The examples were not loaded", Text: p.Detail})
	}
	if err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, "/")
}

func (s *site) askRemoveExamples(w http.ResponseWriter, r *http.Request) error {
	return s.showRemoval(w, r, http.StatusOK, "")
}

// showRemoval asks whether the examples are to go, with what goes with them.
func (s *site) showRemoval(w http.ResponseWriter, r *http.Request, status int, problem string) error {
	e, err := s.service.Demo.Examples(r.Context(), struct{}{})
	if err != nil {
		return s.Fail(w, err)
	}
	text := fmt.Sprintf("%s, %s, %s and %s go for good, with their measures, tests, recordings and history. What you entered yourself stays.",
		page.Counted(e.Examples.Athletes, "athlete", "athletes"), page.Counted(e.Examples.Boats, "boat", "boats"), page.Counted(e.Examples.Oars, "set of oars", "sets of oars"), page.Counted(e.Examples.Sheets, "work sheet", "work sheets"))
	return s.Pages.Show(w, status, "record_remove", page.Removal{Title: "Remove the examples?", Text: text, Problem: problem, Address: "/examples/remove", Back: "/"})
}

func (s *site) removeExamples(w http.ResponseWriter, r *http.Request) error {
	_, err := s.service.Demo.RemoveExamples(r.Context(), struct{}{})
	if p := rest.Explain(err); err != nil && p.Status == http.StatusConflict {
		return s.showRemoval(w, r, p.Status, p.Detail)
	}
	if err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, "/")
}
