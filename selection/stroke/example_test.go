package stroke_test

import (
	"context"
	"fmt"
	"math"
	"strings"

	"thole/rigging"
	"thole/selection/stroke"
)

// outing writes twenty strokes of a rower at 24 a minute, as a logger with
// semicolons and decimal commas might.
func outing() string {
	var b strings.Builder
	b.WriteString("Zeit [s];Winkel [°];Griffkraft [N]\n")
	for i := range 5000 {
		t := float64(i) / 100
		cycle, place := math.Mod(t, 2.5), 0.0
		if cycle < 1 {
			place = (1 - math.Cos(math.Pi*cycle)) / 2
		} else {
			place = (1 + math.Cos(math.Pi*(cycle-1)/1.5)) / 2
		}
		force := 0.0
		if cycle < 1 {
			force = 500 * math.Sin(math.Pi*place)
		}
		row := fmt.Sprintf("%.2f;%.3f;%.2f\n", t, -60+100*place, force)
		b.WriteString(strings.ReplaceAll(row, ".", ","))
	}
	return b.String()
}

func Example() {
	file := outing()

	// What does the file hold? The user confirms or corrects the proposal.
	p, err := stroke.Detect([]byte(file))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("ready:", p.Ready)
	for _, c := range p.Mapping.Columns {
		fmt.Printf("column %d: %v in %v\n", c.Index+1, c.Quantity, c.Unit)
	}

	r, err := stroke.Analyse(context.Background(), strings.NewReader(file), p.Mapping, stroke.Thresholds{}, stroke.Options{
		Levers: func(stroke.Oar) stroke.Levers { return stroke.Levers{In: 0.85} },
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	o := r.Oars[0]
	degrees := func(f stroke.Feature) float64 { return rigging.Angle(o.Features[f].Mean).Degrees() }
	fmt.Println("strokes:", o.Count)
	fmt.Printf("catch %.1f, finish %.1f\n", degrees(stroke.CatchAngle), degrees(stroke.FinishAngle))
	fmt.Printf("catch slip %.1f at %v\n", degrees(stroke.CatchSlip), r.Thresholds)
	fmt.Printf("%.1f a minute, %.0f J a stroke\n", 60*o.Features[stroke.Rate].Mean, o.Features[stroke.Work].Mean)
	// Output:
	// ready: true
	// column 1: time in s
	// column 2: oar angle in deg
	// column 3: force in N
	// strokes: 18
	// catch -60.0, finish 40.0
	// catch slip 9.7 at 30 % of peak force
	// 24.0 a minute, 472 J a stroke
}

func ExampleArrange() {
	// Two pairs of rowers who pull alike: the first with the third, the
	// second with the fourth.
	d := [][]float64{
		{0, 0.20, 0.02, 0.24},
		{0.20, 0, 0.18, 0.03},
		{0.02, 0.18, 0, 0.22},
		{0.24, 0.03, 0.22, 0},
	}
	fmt.Println(stroke.Arrange(d))
	// Output: [0 2 1 3]
}
