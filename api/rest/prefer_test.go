package rest

import (
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/labstack/echo/v4"
)

// TestWhoPrefersAJob follows RFC 7240, section 2: wishes of one line stand between
// commas, a header may come twice, and names of wishes know no case.
func TestWhoPrefersAJob(t *testing.T) {
	for want, cases := range map[bool][][]string{
		true:  {{"respond-async"}, {"wait=5, Respond-Async"}, {"wait=5", "respond-async"}},
		false: {nil, {""}, {"wait=5"}, {"respond-async-not"}},
	} {
		for _, lines := range cases {
			r := httptest.NewRequest(http.MethodPost, "/", nil)
			for _, line := range lines {
				r.Header.Add("Prefer", line)
			}
			if got := prefersJob(r); got != want {
				t.Errorf("%q: %t", lines, got)
			}
		}
	}
}

// asked is what a request's address is read into.
type asked struct {
	ID    int64    `path:"id"`
	After int64    `query:"after"`
	All   bool     `query:"all"`
	Share *float64 `query:"share"`
	Name  string   `query:"name"`
	Body  string
}

// bound reads an address.
func bound(id, query string) (asked, error) {
	c := echo.New().NewContext(httptest.NewRequest(http.MethodGet, "/x?"+query, nil), httptest.NewRecorder())
	c.SetParamNames("id")
	c.SetParamValues(id)
	var a asked
	err := (&Route{}).bindAddress(c, &a)
	return a, err
}

func TestAddressesAreRead(t *testing.T) {
	a, err := bound("7", "after=3&all=true&share=0.5&name=Ann")
	if err != nil || a.ID != 7 || a.After != 3 || !a.All || *a.Share != 0.5 || a.Name != "Ann" || a.Body != "" {
		t.Errorf("%+v, %v", a, err)
	}
	if a, err := bound("7", "after="); err != nil || a.After != 0 || a.Share != nil {
		t.Errorf("empty: %+v, %v", a, err)
	}
	for query, status := range map[string]int{"after=x": 422, "all=maybe": 422, "share=x": 422, "Body=x": 422, "none=1": 422} {
		if _, err := bound("7", query); err == nil || Explain(err).Status != status || len(Explain(err).Errors) != 1 {
			t.Errorf("%s: %v", query, err)
		}
	}
	if _, err := bound("x", ""); err == nil || Explain(err).Status != http.StatusNotFound {
		t.Errorf("no number: %v", err)
	}
}
