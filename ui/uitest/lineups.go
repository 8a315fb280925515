package uitest

import (
	"bytes"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"regexp"
	"strings"

	"thole/api/lineup"
)

// IdOf is the number on record of a candidate by name.
func (c *ClubSite) IdOf(name string) string {
	c.T.Helper()
	for _, class := range []string{"8+", "4x"} {
		squad, err := c.Service.Lineup.SquadFor(c.T.Context(), lineup.BoatSquadRequest{BoatClass: class})
		if err != nil {
			c.T.Fatal(err)
		}
		for _, m := range squad.Candidates {
			if m.Name == name {
				return m.ID
			}
		}
	}
	c.T.Fatalf("no candidate %s", name)
	return ""
}

// OwnForm is the form of one's own order as a browser would send it.
func OwnForm(body string) url.Values {
	_, rest, _ := strings.Cut(body, `<form class="ownform"`)
	form, _, _ := strings.Cut(rest, "</form>")
	values := FormValues(form)
	for _, m := range regexp.MustCompile(`(?s)<select id="own-\d+" name="(s\d+)".*?value="(\d+)" selected`).FindAllStringSubmatch(form, -1) {
		values.Set(m[1], m[2])
	}
	return values
}

// Upload sends a file of athletes to be looked at.
func (c *ClubSite) Upload(name, content string) Reply {
	c.T.Helper()
	return c.UploadTo("/squad/import", name, content)
}

// UploadTo sends a file to a page that takes one, with other values of the form, each after
// its name.
func (c *ClubSite) UploadTo(path, name, content string, values ...string) Reply {
	c.T.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for i := 0; i+1 < len(values); i += 2 {
		_ = w.WriteField(values[i], values[i+1])
	}
	file, err := w.CreateFormFile("file", name)
	if err != nil {
		c.T.Fatal(err)
	}
	_, _ = io.WriteString(file, content)
	_ = w.Close()
	r, err := http.NewRequestWithContext(c.T.Context(), http.MethodPost, c.URL+path, &body)
	if err != nil {
		c.T.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	answer, err := c.Client.Do(r)
	if err != nil {
		c.T.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		c.T.Fatal(err)
	}
	return Reply{answer.StatusCode, answer.Header, Unlinked(string(text))}
}
