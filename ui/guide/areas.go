package guide

import (
	"cmp"
	"encoding/json"
	"maps"
	"net/http"
	"regexp"
	"slices"
	"strings"
)

// area is a part of the interface with its operations.
type area struct {
	Name, Title, Text string
	Operations        []operation
}

// outcome is one way in which an operation answers.
type outcome struct{ Status, Text string }

// areaPage is what the page of an area shows.
type areaPage struct {
	*area
	Base string // of the addresses, as the reader has it
}

// areas lists the parts in the order of the document.
func (d *document) areas() []area {
	list := make([]area, len(d.Tags))
	place := map[string]int{}
	for i, t := range d.Tags {
		title, text, _ := strings.Cut(t.Description, ". ")
		list[i], place[t.Name] = area{Name: t.Name, Title: title, Text: text}, i
	}
	for _, o := range d.operations() {
		a := &list[place[o.Tag]]
		a.Operations = append(a.Operations, o)
	}
	return list
}

// area answers a readable page of one part of the interface.
func (s *site) area(w http.ResponseWriter, r *http.Request) error {
	all, err := reference()
	if err != nil {
		return err
	}
	i := slices.IndexFunc(all, func(a area) bool { return a.Name == r.PathValue("area") })
	if i < 0 {
		return s.Missing(w, r)
	}
	base := "http://"
	if r.TLS != nil {
		base = "https://"
	}
	return s.Pages.Show(w, http.StatusOK, "reference_area", areaPage{&all[i], base + r.Host})
}

// outcomes lists how an operation answers, by status.
func (d *document) outcomes(o *described) []outcome {
	var list []outcome
	for _, status := range slices.Sorted(maps.Keys(o.Responses)) {
		r := o.Responses[status]
		if name, ok := strings.CutPrefix(r.Ref, "#/components/responses/"); ok {
			r = d.Components.Responses[name]
		}
		list = append(list, outcome{strings.Replace(status, "default", "others", 1), r.Description})
	}
	return list
}

// anyParameter is a part of a path that stands for a value.
var anyParameter = regexp.MustCompile(`:\w+`)

// call is how the operation is asked with curl, from its address on; flags stand
// before the address. Things are those with number 1.
func call(method, path, query string, body content) (flags, at, rest string) {
	if method != http.MethodGet {
		flags = " -X " + method
	}
	at = anyParameter.ReplaceAllString(path, "1")
	if query != "" {
		at += "?" + query
	}
	if form, ok := body["multipart/form-data"]; ok {
		part := cmp.Or(slices.Sorted(maps.Keys(form.Schema.Properties))...)
		if _, ok := form.Schema.Properties["file"]; ok || part == "" {
			part = "file"
		}
		return flags, at, " -F " + part + "=@table.csv"
	}
	document, ok := body[jsonMedia]
	if !ok {
		return flags, at, ""
	}
	data := "@request.json"
	if document.Example != nil {
		text, err := json.Marshal(document.Example)
		if err != nil {
			panic("guide: an example that was read cannot be written: " + err.Error())
		}
		data = "'" + strings.ReplaceAll(string(text), "'", `'\''`) + "'"
	}
	return flags, at, " \\\n  -H 'Content-Type: application/json' \\\n  -d " + data
}
