package strokes

import (
	"encoding/csv"
	"fmt"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"thole/api/strokes"
	"thole/ui/page"
)

// dataTable is a table that can be downloaded.
type dataTable struct {
	Name  string // in the address
	Title string
	Head  []string
	Rows  [][]string // the first cell heads the row
	Link  string     // to the file
	Wide  bool
}

// tables are those of one page.
type tables []*dataTable

// link gives each table the address of its file: that of the page and its name.
func (list tables) link(r *http.Request) {
	for _, t := range list {
		q := r.URL.Query()
		q.Set("csv", t.Name)
		t.Link = r.URL.Path + "?" + q.Encode()
	}
}

// Named returns a table for the template.
func (list tables) Named(name string) (*dataTable, error) {
	for _, t := range list {
		if t.Name == name {
			return t, nil
		}
	}
	return nil, fmt.Errorf("no table %q", name)
}

// download answers the table that the address asks for; false when it asks for
// none.
func (list tables) download(w http.ResponseWriter, r *http.Request, base string) (bool, error) {
	name := r.URL.Query().Get("csv")
	if name == "" {
		return false, nil
	}
	for _, t := range list {
		if t.Name == name {
			return true, t.send(w, base)
		}
	}
	return false, nil
}

func (t *dataTable) send(w http.ResponseWriter, base string) error {
	h := w.Header()
	h.Set("Content-Type", "text/csv; charset=utf-8; header=present")
	h.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": base + "-" + t.Name + ".csv"}))
	h.Set("Cache-Control", "no-store")
	out := csv.NewWriter(w)
	out.UseCRLF = true // RFC 4180
	rows := append([][]string{t.Head}, t.Rows...)
	for _, row := range rows {
		cells := make([]string, len(row))
		for i, cell := range row {
			cells[i] = plainCell(cell)
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// plainCell writes a cell for other programs: numbers as they read them, and
// text that no spreadsheet takes for a formula.
func plainCell(text string) string {
	number := strings.Replace(text, "−", "-", 1)
	if _, err := strconv.ParseFloat(number, 64); err == nil {
		return number
	}
	if text == "–" {
		return ""
	}
	if text != "" && strings.ContainsRune("=+-@\t\r", rune(text[0])) {
		return "'" + text
	}
	return text
}

// featureTable lists the features of one oar.
func featureTable(features map[string]strokes.FeatureResult) *dataTable {
	t := &dataTable{Name: "features", Title: "Features", Head: []string{"Feature", "Mean", "± SD", "Strokes", "Unit"}}
	for _, l := range strokes.FeatureLabels {
		if f, ok := features[l.Name]; ok {
			t.Rows = append(t.Rows, []string{l.Label, page.Fix(l.Digits, f.Mean), page.Fix(l.Digits+1, f.SD), strconv.Itoa(f.N), l.Unit})
		}
	}
	return t
}

// strokeTable lists each stroke.
func strokeTable(list strokes.StrokeList) *dataTable {
	t := &dataTable{Name: "strokes", Title: "Each stroke", Head: []string{"Stroke", "Begins, s"}, Wide: true}
	var shown []strokes.FeatureLabel
	for _, l := range strokes.FeatureLabels {
		for i := range list {
			if _, ok := list[i].Features.Value(l.Name); ok {
				shown = append(shown, l)
				t.Head = append(t.Head, l.Heading())
				break
			}
		}
	}
	for i := range list {
		row := []string{strconv.Itoa(i + 1), page.Fix(2, list[i].StartS)}
		for _, l := range shown {
			cell := "–"
			if v, ok := list[i].Features.Value(l.Name); ok {
				cell = page.Fix(l.Digits, v)
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// curveTable lists the nodes of some curves; every curve brings its mean and,
// where it has one, its deviation.
func curveTable(name, title string, heads []string, columns ...[]float64) *dataTable {
	t := &dataTable{Name: name, Title: title, Head: append([]string{"Drive, %"}, heads...), Wide: true}
	for i := range columns[0] {
		row := []string{strconv.Itoa(i)}
		for _, c := range columns {
			row = append(row, page.Fix(1, c[i]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
