package settings

import (
	"math"
	"strings"
	"testing"
	"testing/quick"
)

func cm(v float64) *float64 { return &v }

// TestCountsAreReadAsBoatmenSayThem: 4 mm washers, 5 mm clams, inserts of 1° a number.
func TestCountsAreReadAsBoatmenSayThem(t *testing.T) {
	c := Counts{WasherMm: cm(4), ClamMm: cm(5), InsertDeg: cm(1)}
	for _, k := range []struct {
		setting, text   string
		from, way, want float64
	}{
		{"gate_height_cm", "+2 washers", 16.5, 0, 17.3},
		{"gate_height_cm", "−1 washer", 16.5, 0, 16.1},
		{"gate_height_cm", "2 washers up", 16.5, 0, 17.3},
		{"gate_height_cm", "3 Washers above", 16.5, 0, 15.3},
		{"gate_height_cm", "2 washers", 16.5, -1, 15.7},
		{"inboard_cm", "1 clam on", 88, 0, 88.5},
		{"inboard_cm", "2 clams off", 88, 0, 87},
		{"blade_pitch_deg", "+1 insert", 3, 0, 4},
		{"blade_pitch_deg", "0,5 numbers less", 3, 0, 2.5},
	} {
		v, complaint, said := c.Read(k.setting, k.text, &k.from, k.way)
		if !said || complaint != "" || math.Abs(v-k.want) > 1e-9 {
			t.Errorf("%s from %g: %g %q %v, want %g", k.text, k.from, v, complaint, said, k.want)
		}
	}
}

func TestCountsThatCannotBeRead(t *testing.T) {
	c := Counts{WasherMm: cm(4)}
	for _, k := range []struct {
		setting, text string
		from          *float64
		says          string
	}{
		{"gate_height_cm", "2 washers", cm(16), "Which way? Write +2 washers or −2 washers, counted from 16 cm"},
		{"gate_height_cm", "+2 washers", nil, "Measure this once"},
		{"inboard_cm", "+1 clam", cm(88), "What one clam makes is not on record"},
		{"inboard_cm", "+1 washer", cm(88), "washers set something else"},
	} {
		if _, complaint, said := c.Read(k.setting, k.text, k.from, 0); !said || !strings.Contains(complaint, k.says) {
			t.Errorf("%s: %q %v, want %q", k.text, complaint, said, k.says)
		}
	}
	for _, text := range []string{"16.5", "-2", "2 w", "two washers", ""} {
		if _, _, said := c.Read("gate_height_cm", text, cm(16), 0); said {
			t.Errorf("%q counts as a count", text)
		}
	}
}

// TestWhatIsToldInStepsReadsBack: the text of a move in steps, read in those words,
// gives the place that it was told to.
func TestWhatIsToldInStepsReadsBack(t *testing.T) {
	c := Counts{WasherMm: cm(4), ClamMm: cm(5), InsertDeg: cm(0.5)}
	names := []string{"gate_height_cm", "inboard_cm", "blade_pitch_deg"}
	law := func(steps int8, which uint8) bool {
		setting, from := names[int(which)%len(names)], 20.0
		step, _ := c.StepOf(setting)
		by := float64(steps%40) * step.Size
		text := step.Text(by)
		if by == 0 {
			return text == ""
		}
		count := strings.Join(strings.Fields(text)[:2], " ")
		v, complaint, said := c.Read(setting, count, &from, by)
		return said && complaint == "" && math.Abs(v-(from+by)) < 1e-9
	}
	if err := quick.Check(law, nil); err != nil {
		t.Error(err)
	}
}
