package once

import (
	"cmp"
	"net/http"
)

// Field names the key of a form of a page. It is taken out before anybody reads the
// form.
const Field = "once"

// Form works on a form that was read. With a key it counts once, however often it is
// sent as it is; with other content it is another one.
func (k *Keeper) Form(w http.ResponseWriter, r *http.Request, work func(http.ResponseWriter, *http.Request) (status int, err error)) error {
	key := r.PostForm.Get(Field)
	r.PostForm.Del(Field)
	r.Form.Del(Field)
	if key == "" || k == nil {
		_, err := work(w, r)
		return err
	}
	asked := Request{Key: "form " + key, Scope: r.URL.Path, Body: []byte(r.PostForm.Encode()), ByContent: true}
	ctx, done, before, err := k.Begin(r.Context(), asked)
	switch {
	case err != nil:
		return err
	case before != nil:
		before.leadOn(w, r)
		return nil
	}
	status := http.StatusInternalServerError // unless there is an answer
	defer func() { done(status, cmp.Or(w.Header().Get("HX-Redirect"), w.Header().Get("Location"))) }()
	answered, err := work(w, r.WithContext(ctx))
	if err == nil {
		status = answered
	}
	return err
}

// leadOn leads on from a form that came before: to where it led, or to the page that
// it stands on, as that is now.
func (a *Answer) leadOn(w http.ResponseWriter, r *http.Request) {
	switch {
	case r.Header.Get("HX-Request") == "":
		http.Redirect(w, r, cmp.Or(a.Location, r.Referer(), "/"), http.StatusSeeOther)
		return
	case a.Location != "":
		w.Header().Set("HX-Redirect", a.Location)
	default:
		w.Header().Set("HX-Refresh", "true")
	}
	w.WriteHeader(http.StatusNoContent)
}
