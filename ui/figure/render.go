package figure

import (
	"bytes"
	_ "embed"
	"html/template"
	"strconv"
)

//go:embed figure.html
var figureText string

var figures = template.Must(template.New("figure").Funcs(template.FuncMap{"sized": sized}).Parse(figureText))

// sized is the class of a size of type: attributes are no place for styles
// under a strict content security policy.
func sized(px float64) string { return "fig-t" + strconv.Itoa(int(px)) }

// HTML renders the drawing as one SVG element.
func (d *Drawing) HTML() template.HTML { return execute("drawing", d) }

// Responsive renders one picture drawn at several widths; the style sheet
// shows the widest that fits its container. The widths must be among
// [Widths], and every drawing needs its own ID.
func Responsive(drawings ...*Drawing) template.HTML { return execute("responsive", drawings) }

// Widths are the widths the style sheet knows, px.
func Widths() []float64 { return []float64{288, 358, 440, 620, 868, 1180} }

func execute(name string, data any) template.HTML {
	var b bytes.Buffer
	if err := figures.ExecuteTemplate(&b, name, data); err != nil {
		panic("figure: " + err.Error()) // the template and its data are both of this package
	}
	return template.HTML(b.String()) //nolint:gosec // html/template escaped it
}
