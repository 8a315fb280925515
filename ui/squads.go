package ui

import (
	"net/http"
	"strconv"

	"thole/ui/page"
)

// squadCookie remembers the squad that was chosen last, until the browser is closed.
const squadCookie = "thole_squad"

// rememberSquad keeps the squad that an address asks for, and shows it on pages that
// are opened without one.
func rememberSquad(pages http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked := r.URL.Query().Get(page.Among)
		kept, err := r.Cookie(squadCookie)
		switch {
		case asked != "" && (err != nil || kept.Value != asked) && isSquad(asked):
			http.SetCookie(w, &http.Cookie{Name: squadCookie, Value: asked, Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode})
		case asked == "" && err == nil:
			r = r.WithContext(page.WithSquad(r.Context(), kept.Value))
		}
		pages.ServeHTTP(w, r)
	})
}

// isSquad reports whether a choice can be one of a squad, or is that of everybody.
func isSquad(choice string) bool {
	_, err := strconv.ParseUint(choice, 10, 63)
	return err == nil || choice == page.Everybody
}
