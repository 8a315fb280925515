package season

import (
	"bytes"
	"image/jpeg"
	"testing"
)

// TestTheStillShowsWhatItsMarksSay: at each mark of the reading the drawn frame has the
// oar there: metal at the pin, the shaft or its handle at the end, the blade at the tip.
func TestTheStillShowsWhatItsMarksSay(t *testing.T) {
	for _, c := range clips {
		if !c.pictured {
			continue
		}
		body, err := c.drawn()
		if err != nil {
			t.Fatal(err)
		}
		img, err := jpeg.Decode(bytes.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range c.picture().Oar.Marks {
			red, _, blue, _ := img.At(int(m.UPx*stillShare), int(m.VPx*stillShare)).RGBA()
			red, blue = red>>8, blue>>8
			seen := map[string]bool{
				"pin":        red > 120 && red < 180 && blue > red,
				"handle_end": red < 90 && blue < 90,
				"tip":        red > 90 && blue > 130, // under water, which here is 82, 130
			}
			if !seen[m.Place] {
				t.Errorf("%g°, %s: red %d, blue %d", c.degrees, m.Place, red, blue)
			}
		}
	}
}
