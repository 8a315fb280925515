package people

import (
	"html/template"
	"net/http"
	"time"

	"thole/api/access"
	"thole/api/people"
	"thole/ui/figure/code"
	"thole/ui/page"
)

// signInForm is the page on which to sign in.
type signInForm struct {
	form
	Name, Next string
	Long       bool
	Empty      bool // there are no accounts yet
	Plain      bool // the connection is not encrypted
}

func (s *Site) signInPage(w http.ResponseWriter, r *http.Request) error {
	f := &signInForm{Next: r.URL.Query().Get("next")}
	if access.From(r.Context()).SignedIn() {
		http.Redirect(w, r, next(f.Next), http.StatusSeeOther)
		return nil
	}
	accounts, err := s.service.People.Accounts(r.Context(), struct{}{})
	f.Empty = len(accounts.Accounts) == 0
	if err != nil {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "sign_in", f)
}

func (s *Site) signIn(w http.ResponseWriter, r *http.Request) error {
	typed := r.PostForm
	f := &signInForm{Name: typed.Get("name"), Next: typed.Get("next"), Long: typed.Get("long") == "true"}
	account, err := s.service.People.SignIn(r.Context(), people.SignIn{
		Name: f.Name, Password: typed.Get("password"), From: from(r), Browser: s.gate.browser(r),
	})
	if err != nil {
		return s.again(w, &f.form, err, "sign_in", f)
	}
	return s.enter(w, r, account.ID, f.Long, next(f.Next))
}

// enter signs an account in and goes to a page.
func (s *Site) enter(w http.ResponseWriter, r *http.Request, account int64, long bool, to string) error {
	if err := s.gate.begin(w, r, account, long); err != nil {
		return err
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func (s *Site) signOut(w http.ResponseWriter, r *http.Request) error {
	if err := s.gate.sessions.Destroy(r.Context()); err != nil {
		return err
	}
	// What the browser kept of the pages goes, too; the mark that it is known to
	// the account stays.
	w.Header().Set("Clear-Site-Data", `"cache"`)
	http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
	return nil
}

// joinForm is the page on which an account is made, or a password set.
type joinForm struct {
	form
	Link  people.Link
	Role  string
	Name  string
	Reset bool
	Code  template.HTML
	Until string
}

func (s *Site) joinForm(r *http.Request, l people.Link) *joinForm {
	return &joinForm{
		Link: l, Role: roleWords[l.Role], Name: l.Name, Reset: l.Kind == "password",
		Code: code.SVG(link(r, "join", r.PathValue("secret"))), Until: page.When(l.ExpiresAt),
	}
}

func (s *Site) joinPage(w http.ResponseWriter, r *http.Request) error {
	l, err := s.service.People.Joining(r.Context(), r.PathValue("secret"))
	if err != nil {
		return s.gone(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "join", s.joinForm(r, l))
}

// gone answers for a link that is good no more.
func (s *Site) gone(w http.ResponseWriter, err error) error {
	var f form
	status := f.refused(err)
	if status == 0 {
		return err
	}
	text := f.Problem
	if status == http.StatusNotFound {
		text = "There is no such link; it may have been revoked. Ask for a new one."
	}
	return s.Pages.Show(w, status, "message", page.Message{Title: "This link does not work", Text: text})
}

func (s *Site) join(w http.ResponseWriter, r *http.Request) error {
	secret := r.PathValue("secret")
	l, err := s.service.People.Joining(r.Context(), secret)
	if err != nil {
		return s.gone(w, err)
	}
	f := s.joinForm(r, l)
	if !f.Reset {
		f.Name = r.PostForm.Get("name")
	}
	account, err := s.service.People.Join(r.Context(), secret, f.Name, r.PostForm.Get("password"))
	if err != nil {
		return s.again(w, &f.form, err, "join", f)
	}
	return s.enter(w, r, account.ID, r.PostForm.Get("long") == "true", "/")
}

// accountPage is what somebody has to do with their own account.
type accountPage struct {
	form
	Name, Role string
	Sessions   []sessionLine
	Tokens     []tokenLine
	TokenName  string
	Fresh      string // a token that was just made
	Said       string
}

type sessionLine struct {
	ID, Device, Since, Seen string
	Present                 bool
}

type tokenLine struct {
	ID                          int64
	Name, Scopes, Made, Expires string
	Used                        string
}

func (s *Site) account(w http.ResponseWriter, r *http.Request) error {
	p, err := s.accountPage(r)
	if err != nil {
		return err
	}
	if r.URL.Query().Has("changed") {
		p.Said = "Your password is changed. Everywhere else you are signed out."
	}
	return s.Pages.Show(w, http.StatusOK, "account", p)
}

func (s *Site) accountPage(r *http.Request) (*accountPage, error) {
	v := access.From(r.Context())
	p := &accountPage{Name: v.Name, Role: roleWords[v.Role]}
	sessions, err := s.gate.all(r.Context())
	if err != nil {
		return nil, err
	}
	for i := range sessions {
		if one := &sessions[i]; one.in.Account == v.Account {
			p.Sessions = append(p.Sessions, sessionLine{one.ID, one.Device, page.When(one.Since), page.When(one.Seen), one.Present})
		}
	}
	tokens, err := s.service.People.Tokens(r.Context())
	for _, k := range tokens {
		line := tokenLine{ID: k.ID, Name: k.Name, Scopes: scopeWords(k.Scopes), Made: page.When(k.CreatedAt), Expires: page.When(k.ExpiresAt), Used: "never"}
		if !k.UsedAt.IsZero() {
			line.Used = page.When(k.UsedAt)
		}
		p.Tokens = append(p.Tokens, line)
	}
	return p, err
}

func scopeWords(scopes []access.Scope) string {
	if len(scopes) > 1 {
		return "read and write"
	}
	return "read"
}

func (s *Site) changePassword(w http.ResponseWriter, r *http.Request) error {
	v := access.From(r.Context())
	err := s.service.People.ChangePassword(r.Context(), v.Name, r.PostForm.Get("present"), r.PostForm.Get("password"), from(r))
	if err != nil {
		p, broken := s.accountPage(r)
		if broken != nil {
			return broken
		}
		return s.again(w, &p.form, err, "account", p)
	}
	long := time.Until(s.gate.sessions.Deadline(r.Context())) > shortLife
	return s.enter(w, r, v.Account, long, "/account?changed")
}

// endSession ends one of the viewer's own sessions.
func (s *Site) endSession(w http.ResponseWriter, r *http.Request) error {
	v, id := access.From(r.Context()), r.PostForm.Get("id")
	if err := s.gate.endAll(r, func(one *session) bool { return one.in.Account == v.Account && one.ID == id }); err != nil {
		return err
	}
	http.Redirect(w, r, "/account", http.StatusSeeOther)
	return nil
}

func (s *Site) addToken(w http.ResponseWriter, r *http.Request) error {
	scopes := []access.Scope{access.Read}
	if r.PostForm.Get("write") == "true" {
		scopes = append(scopes, access.Write)
	}
	secret, failed := s.service.People.AddToken(r.Context(), r.PostForm.Get("name"), scopes)
	p, err := s.accountPage(r)
	if err != nil {
		return err
	}
	if failed != nil {
		p.TokenName = r.PostForm.Get("name")
		return s.again(w, &p.form, failed, "account", p)
	}
	p.Fresh = secret
	return s.Pages.Show(w, http.StatusOK, "account", p)
}

func (s *Site) removeToken(w http.ResponseWriter, r *http.Request) error {
	if err := s.service.People.RemoveToken(r.Context(), page.PathID(r, "id")); err != nil {
		return s.Fail(w, err)
	}
	http.Redirect(w, r, "/account", http.StatusSeeOther)
	return nil
}
