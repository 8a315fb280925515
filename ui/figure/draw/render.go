package draw

import (
	"bytes"
	"cmp"
	_ "embed"
	"html/template"
	"slices"
	"strconv"
)

//go:embed figure.html
var figureText string

var templates = template.Must(template.New("figure").Funcs(template.FuncMap{"sized": sized}).Parse(figureText))

// sized is the class of a size of type: attributes are no place for styles
// under a strict content security policy.
func sized(px float64) string { return "fig-t" + strconv.Itoa(int(px)) }

// HTML renders the drawing as one SVG element.
func (d *Drawing) HTML() template.HTML { return execute("drawing", d) }

// Responsive renders one picture drawn at several widths, any the style sheet
// knows (288, 358, 440, 620, 868 and 1180 px); the sheet shows the widest that fits
// its container, and the narrowest made smaller where none does. Every drawing needs
// its own ID.
func Responsive(drawings ...*Drawing) template.HTML {
	sorted := slices.SortedFunc(slices.Values(drawings), func(a, b *Drawing) int { return cmp.Compare(a.Width, b.Width) })
	views := make([]widthView, len(sorted))
	for i, d := range sorted {
		views[i] = widthView{Drawing: d}
		if i > 0 && d.Width > sorted[i-1].Width {
			views[i].From = "fig-from" + Coord(d.Width)
			views[i-1].To = "fig-to" + Coord(d.Width)
		}
	}
	return execute("responsive", views)
}

// widthView is one of several widths with the classes that show and hide it.
type widthView struct {
	*Drawing
	From, To string
}

func execute(name string, data any) template.HTML {
	var b bytes.Buffer
	if err := templates.ExecuteTemplate(&b, name, data); err != nil {
		panic("draw: " + err.Error()) // the template and its data are both of this package
	}
	return template.HTML(b.String()) // html/template escaped it
}
