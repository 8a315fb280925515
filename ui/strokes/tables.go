package strokes

import (
	"strconv"

	"thole/api/exports"
	"thole/api/strokefile"
	"thole/ui/page"
	files "thole/ui/strokefile"
)

// featureTable lists the features of one oar.
func featureTable(features map[string]strokefile.FeatureResult) *files.Table {
	t := &files.Table{Name: "features", Title: "Features", Head: []string{"Feature", "Mean", "± SD", "Strokes", "Unit"}}
	for _, l := range strokefile.Features {
		if f, ok := features[l.Name]; ok {
			t.Rows = append(t.Rows, []string{l.Label, page.Fix(l.Digits, f.Mean), page.Fix(l.Digits+1, f.SD), strconv.Itoa(f.N), l.Unit})
		}
	}
	return t
}

// strokeTable lists each stroke.
func strokeTable(list strokefile.StrokeList) *files.Table {
	t := &files.Table{Name: "strokes", Title: "Each stroke", Head: []string{"Stroke", "Begins, s"}, Wide: true}
	var shown []strokefile.Feature
	for _, l := range strokefile.Features {
		for i := range list {
			if _, ok := list[i].Features.Value(l.Name); ok {
				shown = append(shown, l)
				t.Head = append(t.Head, exports.Heading(&l))
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
func curveTable(name, title string, heads []string, columns ...[]float64) *files.Table {
	t := &files.Table{Name: name, Title: title, Head: append([]string{"Drive, %"}, heads...), Wide: true}
	for i := range columns[0] {
		row := []string{strconv.Itoa(i)}
		for _, c := range columns {
			row = append(row, page.Fix(1, c[i]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
