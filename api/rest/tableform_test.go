package rest

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// formOf is a multipart request of parts: names and bodies in turn.
func formOf(parts ...string) *http.Request {
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for i := 0; i < len(parts); i += 2 {
		part, _ := w.CreateFormField(parts[i])
		_, _ = part.Write([]byte(parts[i+1]))
	}
	w.Close()
	r := httptest.NewRequest(http.MethodPost, "/", &body)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return r
}

func TestTheFormOfATable(t *testing.T) {
	known := []string{"file", "sure"}
	f, err := ReadTableForm(formOf("sure", "true", "file", "a;b"), known)
	if err != nil || string(f.File) != "a;b" || f.Text["sure"] != "true" {
		t.Fatalf("%+v %v", f, err)
	}
	for name, c := range map[string]struct {
		r      *http.Request
		status int
		says   string
	}{
		"no file":         {formOf("sure", "true"), 422, "part named file"},
		"a part twice":    {formOf("sure", "true", "sure", "true", "file", "x"), 422, "comes twice"},
		"a file twice":    {formOf("file", "x", "file", "y"), 422, "comes twice"},
		"an unknown part": {formOf("file", "x", "more", "y"), 422, "not known here"},
		"a long text":     {formOf("sure", strings.Repeat("x", maxFormText+1), "file", "x"), 422, "too long"},
		"a large file":    {formOf("file", strings.Repeat("x", MaxTable+1)), 413, "larger than 8 MB"},
		"no form":         {httptest.NewRequest(http.MethodPost, "/", strings.NewReader("x")), 415, "multipart"},
	} {
		_, err := ReadTableForm(c.r, known)
		p := Explain(err)
		said := p.Detail
		for _, f := range p.Errors {
			said += f.Detail
		}
		if p.Status != c.status || !strings.Contains(said, c.says) {
			t.Errorf("%s: %d %s", name, p.Status, said)
		}
	}
	whole := formOf("file", strings.Repeat("x", MaxTable), "sure", strings.Repeat("x", maxFormText))
	if _, err := ReadTableForm(whole, known); err != nil {
		t.Errorf("at the bounds: %v", err)
	}
	cut := formOf("file", "x")
	cut.Body = http.NoBody
	if _, err := ReadTableForm(cut, known); err == nil {
		t.Error("a form without its end")
	}
	for text, want := range map[string]bool{"": false, "false": false, "true": true} {
		if got, err := (&TableForm{Text: map[string]string{"sure": text}}).Flag("sure"); got != want || err != nil {
			t.Errorf("%q: %v %v", text, got, err)
		}
	}
	if _, err := (&TableForm{Text: map[string]string{"sure": "maybe"}}).Flag("sure"); err == nil {
		t.Error("maybe")
	}
}
