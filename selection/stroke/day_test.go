package stroke

import (
	"context"
	"fmt"
	"strings"
	"testing"
)

func TestTheDayIsReadFromTheStamps(t *testing.T) {
	for stamp, want := range map[string]Day{
		"2026-05-01T06:59:%05.2fZ": {2026, 5, 1, false},
		"2026-05-01 06:59:%05.2f":  {2026, 5, 1, false},
		"2026/5/1 06:59:%05.2f":    {2026, 5, 1, false},
		"20260501T06:59:%05.2f":    {2026, 5, 1, false},
		"1.5.2026 06:59:%05.2f":    {2026, 5, 1, false},
		"31/05/2026 06:59:%05.2f":  {2026, 5, 31, false},
		"05/31/2026 06:59:%05.2f":  {2026, 5, 31, false},
		"05/01/2026 06:59:%05.2f":  {}, // May or January
		"12/05/2026 06:59:%05.2f":  {}, // May or December
		"2026-02-30 06:59:%05.2f":  {}, // no such day
		"1980-01-06 06:59:%05.2f":  {}, // a clock that was never set
		"06:59:%05.2f":             {},
		"%.3f":                     {},
		"17777%08.2f":              {2026, 5, 2, true}, // seconds since 1970: 2026-05-02 and some hours
		"17777000%05.0f":           {2026, 5, 2, true}, // the same in ms
	} {
		var b strings.Builder
		b.WriteString("time;angle_deg;handle force N\n")
		for i, s := range sculler().record(30, disturbance{hz: 50}) {
			at := s.t
			if strings.Contains(stamp, "%05.0f") {
				at = float64(20 * i)
			}
			fmt.Fprintf(&b, stamp+";%.3f;%.2f\n", at, s.angle/deg, s.force)
		}
		p, err := Detect([]byte(b.String()))
		if err != nil || !p.Ready || p.Day != want {
			t.Errorf("%s: %v %v %v, want %v", stamp, err, p.Missing, p.Day, want)
			continue
		}
		r, err := Analyse(context.Background(), strings.NewReader(b.String()), p.Mapping, Thresholds{}, Options{})
		if err != nil || r.Day != want || r.Oars[0].Count < 13 {
			t.Errorf("%s: %v %+v", stamp, err, r)
		}
	}
}

func TestDaysInWords(t *testing.T) {
	if got := (Day{2026, 5, 1, false}).String() + "|" + (Day{}).String(); got != "2026-05-01|" {
		t.Error(got)
	}
}
