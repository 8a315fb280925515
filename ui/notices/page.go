package notices

import (
	"embed"
	"net/http"

	"thole/api/access"
	"thole/ui/page"
)

// Templates are the templates of the area, a page a file.
//
//go:embed *.html
var Templates embed.FS

// Pages lists the page of the area; list returns the libraries in the program.
func Pages(f *page.Frame, list func() []Library) map[string]page.Route {
	return map[string]page.Route{"GET /notices": page.For(access.Everyone, func(w http.ResponseWriter, _ *http.Request) error {
		return f.Pages.Show(w, http.StatusOK, "notices", list())
	})}
}
