package guide

import (
	"net/http"

	"thole/api/wire"
)

// problems explains the kinds of problems that the interface for programs answers
// with: all of them, or the one that the address names.
func (s *site) problems(w http.ResponseWriter, r *http.Request) error {
	list := wire.ProblemTypes
	if name := r.PathValue("name"); name != "" {
		t, ok := wire.TypeNamed(name)
		if !ok {
			return s.Missing(w, r)
		}
		list = []wire.ProblemType{*t}
	}
	return s.Pages.Show(w, http.StatusOK, "problems", list)
}
