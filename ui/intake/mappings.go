package intake

import (
	"fmt"
	"net/http"
	"strings"

	"thole/api/access"
	"thole/api/columns"
	"thole/api/intake"
	"thole/api/strokefile"
	"thole/ui/page"
)

// mappingsPage lists how the columns of files are kept to be read.
type mappingsPage struct {
	Tables     []keptTable
	Recordings []keptTable
}

// keptTable is one kept mapping.
type keptTable struct {
	Kind, KindWords, Name, Saved string
	Columns                      []page.Entry
}

// recordings stands for the kind of mappings of recordings.
const recordings = "recordings"

var kindWords = map[string]string{"squad": "athletes", "boats": "boats", "oars": "oars", recordings: "recordings"}

func (s *site) mappings(w http.ResponseWriter, r *http.Request) error {
	p := &mappingsPage{}
	list, err := s.service.Intake.Mappings(r.Context(), struct{}{})
	if err != nil {
		return err
	}
	for _, m := range list.Mappings {
		p.Tables = append(p.Tables, tableMapping(&m))
	}
	if !mayReadRecordings(r) {
		return s.Pages.Show(w, http.StatusOK, "import_mappings", p)
	}
	files, err := s.service.Strokefile.Mappings(r.Context(), struct{}{})
	if err != nil {
		return err
	}
	for _, m := range files.Mappings {
		kept := keptTable{Kind: recordings, KindWords: kindWords[recordings], Name: m.Name, Saved: page.When(m.SavedAt)}
		for _, c := range m.Mapping.Columns {
			kept.Columns = append(kept.Columns, page.Entry{Label: fmt.Sprintf("column %d", c.Index+1), Value: strings.ReplaceAll(c.Quantity, "_", " ")})
		}
		p.Recordings = append(p.Recordings, kept)
	}
	return s.Pages.Show(w, http.StatusOK, "import_mappings", p)
}

// mayReadRecordings tells those who bring recordings in.
func mayReadRecordings(r *http.Request) bool {
	return access.Coaches.Check(r.Context(), access.Request{Method: http.MethodGet}, nil) == nil
}

func tableMapping(m *intake.KeptMapping) keptTable {
	kept := keptTable{Kind: m.Kind, KindWords: kindWords[m.Kind], Name: m.Name, Saved: page.When(m.SavedAt)}
	words := map[string]string{}
	for _, c := range columns.Kind(m.Kind).Choices(nil) {
		words[string(c.Meaning)] = c.Words
	}
	for _, c := range m.Columns {
		holds := words[c.Meaning]
		if holds == "" {
			holds = c.Meaning
		}
		if c.Unit != "" {
			holds += ", " + c.Unit
		}
		kept.Columns = append(kept.Columns, page.Entry{Label: c.Heading, Value: holds})
	}
	return kept
}

// removeMapping removes the mapping that a form names.
func (s *site) removeMapping(w http.ResponseWriter, r *http.Request) (err error) {
	kind, name := r.PostFormValue("kind"), r.PostFormValue("name")
	if kind == recordings {
		if !mayReadRecordings(r) {
			return s.Missing(w, r)
		}
		_, err = s.service.Strokefile.DeleteMapping(r.Context(), strokefile.MappingRequest{Name: name})
	} else {
		_, err = s.service.Intake.RemoveMapping(r.Context(), intake.MappingRequest{Kind: kind, Name: name})
	}
	if err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, "/import/mappings")
}
