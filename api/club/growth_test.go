package club

import (
	"strings"
	"testing"

	"thole/api/store"
)

// TestGrowthThatTheRigFeels: 1 cm or more, at 4 cm a year or more, since the oldest measure of
// the last 365 days. 4 cm in 365 days are 4.003 cm in a year of 365.25; 1 cm in 92 days is
// 3.97 cm a year, in 91 it is 4.01.
func TestGrowthThatTheRigFeels(t *testing.T) {
	taken := func(m ...any) (list []store.Measures) {
		for i := 0; i < len(m); i += 2 {
			cm := m[i+1].(float64)
			list = append(list, store.Measures{MeasuredOn: m[i].(string), Body: store.Body{StatureCm: &cm}})
		}
		return list
	}
	for name, c := range map[string]struct {
		taken []store.Measures
		want  string // of the beginning; "" for nothing to say
	}{
		"nothing measured": {taken(), ""}, "one measure": {taken("2026-05-10", 160.0), ""}, "as tall": {taken("2026-05-10", 160.0, "2026-04-10", 160.0), ""}, "shorter": {taken("2026-05-10", 158.0, "2026-04-10", 160.0), ""},
		"1 cm": {taken("2026-05-22", 161.0, "2026-05-01", 160.0), "Grew 1.0 cm in 3 weeks."}, "below": {taken("2026-05-22", 160.9, "2026-05-01", 160.0), ""},
		"24 days": {taken("2026-05-25", 162.0, "2026-05-01", 160.0), "Grew 2.0 cm in 3 weeks."}, "25 days": {taken("2026-05-26", 162.0, "2026-05-01", 160.0), "Grew 2.0 cm in 4 weeks."},
		"14 days": {taken("2026-05-15", 162.0, "2026-05-01", 160.0), "Grew 2.0 cm in 2 weeks."}, "13 days": {taken("2026-05-14", 162.0, "2026-05-01", 160.0), "Grew 2.0 cm in 13 days."},
		"2 days": {taken("2026-05-03", 161.0, "2026-05-01", 160.0), "Grew 1.0 cm in 2 days."}, "a day": {taken("2026-05-02", 161.0, "2026-05-01", 160.0), "Grew 1.0 cm in 1 day."},
		"the same day": {taken("2026-05-01", 161.0, "2026-05-01", 160.0), ""},
		"91 days":      {taken("2026-05-02", 161.0, "2026-01-31", 160.0), "Grew 1.0 cm in 13 weeks."}, "92 days": {taken("2026-05-03", 161.0, "2026-01-31", 160.0), ""},
		"a year": {taken("2026-05-01", 164.0, "2025-05-01", 160.0), "Grew 4.0 cm in 52 weeks."}, "slower": {taken("2026-05-01", 163.9, "2025-05-01", 160.0), ""},
		"more than a year": {taken("2026-05-02", 170.0, "2025-05-01", 160.0), ""}, "since the next": {taken("2026-05-02", 170.0, "2025-06-01", 165.0, "2025-05-01", 160.0), "Grew 5.0 cm in 48 weeks."},
	} {
		got := grown(c.taken)
		if said, _, _ := strings.Cut(got, " In a growth spurt"); said != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
	if got := daysBetween("2026-05-01", "soon"); got != 0 {
		t.Errorf("%d days to no day", got)
	}
}
