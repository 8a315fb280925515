package uitest

import (
	"bytes"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// SendFile posts a file as the import's form does, and returns status, where
// it leads and the body.
func (c *ClubSite) SendFile(name, text string) (status int, location, body string) {
	c.T.Helper()
	var form bytes.Buffer
	w := multipart.NewWriter(&form)
	part, err := w.CreateFormFile("file", name)
	if err != nil {
		c.T.Fatal(err)
	}
	_, _ = io.WriteString(part, text)
	_ = w.Close()
	answer, err := c.Client.Post(c.URL+"/recordings/import", w.FormDataContentType(), &form)
	if err != nil {
		c.T.Fatal(err)
	}
	return answer.StatusCode, answer.Header.Get("Location"), Read(c.T, answer)
}

func (c *ClubSite) Look(path string) (int, string) {
	c.T.Helper()
	answer, err := c.Client.Get(c.URL + path)
	if err != nil {
		c.T.Fatal(err)
	}
	return answer.StatusCode, Read(c.T, answer)
}

// Fill posts a form without JavaScript.
func (c *ClubSite) Fill(path string, form url.Values) (status int, location, body string) {
	c.T.Helper()
	answer, err := c.Client.PostForm(c.URL+path, form)
	if err != nil {
		c.T.Fatal(err)
	}
	return answer.StatusCode, answer.Header.Get("Location"), Read(c.T, answer)
}

// AsShown returns the values that a page's form of an action would send.
func AsShown(t testing.TB, body string) url.Values {
	t.Helper()
	form := url.Values{}
	for _, m := range regexp.MustCompile(`<input[^>]*name="([^"]+)"[^>]*value="([^"]*)"[^>]*>`).FindAllStringSubmatch(body, -1) {
		if !strings.Contains(m[0], `type="checkbox"`) || strings.Contains(m[0], " checked") {
			form.Set(m[1], m[2])
		}
	}
	for _, m := range regexp.MustCompile(`(?s)<select[^>]*name="([^"]+)".*?</select>`).FindAllStringSubmatch(body, -1) {
		chosen := regexp.MustCompile(`<option value="([^"]*)" selected`).FindStringSubmatch(m[0])
		if chosen != nil {
			form.Set(m[1], chosen[1])
		}
	}
	return form
}

// MeasuredFile uploads a file, confirms the mapping as it is proposed with the
// force at the handle, and returns the address of the result.
func (c *ClubSite) MeasuredFile(name, text string, change url.Values) string {
	c.T.Helper()
	status, location, body := c.SendFile(name, text)
	if status != http.StatusSeeOther {
		c.T.Fatalf("upload: %d %.300s", status, body)
	}
	_, body = c.Look(location)
	form := AsShown(c.T, body)
	form.Set("do", "measure")
	form.Set("force", "handle")
	for name, values := range change {
		form[name] = values
	}
	status, result, body := c.Fill(location, form)
	if status != http.StatusSeeOther {
		c.T.Fatalf("measuring: %d %.600s", status, regexp.MustCompile(`(?s)class="problems".*?</div>`).FindString(body))
	}
	return result
}
