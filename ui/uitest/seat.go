package uitest

import (
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// Fetch gets a page and returns status and body.
func Fetch(t testing.TB, site *httptest.Server, path string) (int, string) {
	t.Helper()
	answer, err := http.Get(site.URL + path)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, Read(t, answer)
}

func Read(t testing.TB, answer *http.Response) string {
	t.Helper()
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return Unlinked(string(body))
}

// Send posts a form, as htmx does or as a plain form, without following.
func Send(t testing.TB, site *httptest.Server, path string, form url.Values, htmx bool) *http.Response {
	t.Helper()
	request, err := http.NewRequest(http.MethodPost, site.URL+path, strings.NewReader(form.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if htmx {
		request.Header.Set("HX-Request", "true")
	}
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	return answer
}
