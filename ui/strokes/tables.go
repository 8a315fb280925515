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

// featureLabel is how people call a feature.
type featureLabel struct {
	name, label, unit string
	digits            int
}

var featureLabels = []featureLabel{
	{"catch_deg", "Catch", "°", 1}, {"finish_deg", "Finish", "°", 1}, {"arc_deg", "Arc", "°", 1},
	{"catch_slip_deg", "Catch slip", "°", 1}, {"release_slip_deg", "Release slip", "°", 1}, {"effective_arc_deg", "Effective arc", "°", 1},
	{"rate_per_min", "Rate", "a minute", 1}, {"drive_time_s", "Drive", "s", 2}, {"rhythm", "Rhythm (drive : recovery)", "", 2},
	{"peak_n", "Peak force", "N", 0}, {"peak_angle_deg", "Peak stands at", "°", 1}, {"peak_place", "Peak, share of the arc", "", 2},
	{"mean_force_n", "Mean force over the arc", "N", 0}, {"mean_to_peak", "Mean to peak", "", 2},
	{"work_j", "Work", "J", 0}, {"power_w", "Power", "W", 0},
	{"rise_deg", "Rise to 70 % of the peak", "°", 1}, {"rise_time_s", "Rise to 70 %, time", "s", 2},
	{"boat_speed_m_s", "Boat speed", "m/s", 2}, {"distance_m", "Distance per stroke", "m", 1},
	{"entry_deg", "Blade meets the water at", "°", 1}, {"depth_deg", "Depth", "°", 1},
	{"cover_time_s", "To covered, time", "s", 2}, {"cover_deg", "To covered (geometric catch slip)", "°", 1},
	{"down_share", "Going down, share of the effective arc", "", 2}, {"up_share", "Coming up, share of the effective arc", "", 2},
	{"down_up_share", "Going down or coming up, share of the effective arc", "", 2},
	{"detour_deg", "Below just covered", "°", 1}, {"wash_out_deg", "Still pulled after the blade is out", "°", 1},
	{"carry_height_cm", "Carried over the water", "cm", 1}, {"edge_height_cm", "Edge over the water at the catch", "cm", 1},
	{"entry_moment_s", "Edge meets the water, after the catch", "s", 3}, {"sink_speed_m_s", "Blade sinks at", "m/s", 2},
	{"cover_speed_m_s", "Hands when the blade is covered", "m/s", 2},
}

// labelOf returns the label of a feature.
func labelOf(name string) featureLabel {
	for _, l := range featureLabels {
		if l.name == name {
			return l
		}
	}
	panic("ui: no label for " + name)
}

// heading is a column's head with its unit.
func (l featureLabel) heading() string {
	if l.unit == "" {
		return l.label
	}
	return l.label + ", " + l.unit
}

// featureTable lists the features of one oar.
func featureTable(features map[string]strokes.FeatureResult) *dataTable {
	t := &dataTable{Name: "features", Title: "Features", Head: []string{"Feature", "Mean", "± SD", "Strokes", "Unit"}}
	for _, l := range featureLabels {
		if f, ok := features[l.name]; ok {
			t.Rows = append(t.Rows, []string{l.label, page.Fix(l.digits, f.Mean), page.Fix(l.digits+1, f.SD), strconv.Itoa(f.N), l.unit})
		}
	}
	return t
}

// strokeTable lists each stroke.
func strokeTable(list strokes.StrokeList) *dataTable {
	t := &dataTable{Name: "strokes", Title: "Each stroke", Head: []string{"Stroke", "Begins, s"}, Wide: true}
	var shown []featureLabel
	for _, l := range featureLabels {
		for i := range list {
			if _, ok := list[i].Features.Value(l.name); ok {
				shown = append(shown, l)
				t.Head = append(t.Head, l.heading())
				break
			}
		}
	}
	for i := range list {
		row := []string{strconv.Itoa(i + 1), page.Fix(2, list[i].StartS)}
		for _, l := range shown {
			cell := "–"
			if v, ok := list[i].Features.Value(l.name); ok {
				cell = page.Fix(l.digits, v)
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
