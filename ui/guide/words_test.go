package guide

import (
	"strings"
	"testing"
	"time"

	"thole/api/seat"
)

// TestTheEffectOfAStepInWords: the catch counts from square, and what moves neither end by
// a twentieth of a degree is not told.
func TestTheEffectOfAStepInWords(t *testing.T) {
	for _, c := range []struct {
		setting             string
		step, catch, finish float64
		want                string
	}{
		{"span_cm", 1, 0.4, -0.3, "1 cm more in a single: catch −0.4°, finish −0.3°."}, {"heel_to_pin_cm", -1, -0.8, 0.7, "1 cm less in a single: catch +0.8°, finish +0.7°."},
		{"plate_angle_deg", 1, 0.2, 0, "1° more in a single: catch −0.2°, finish 0°."}, {"gate_height_cm", 1, 0.049, -0.049, ""}, {"gate_height_cm", 1, 0.05, 0, "1 cm more in a single: catch −0.1°, finish 0°."},
		{"gate_height_cm", 1, 0, 0.05, "1 cm more in a single: catch 0°, finish +0.1°."},
	} {
		if got := effect("a single", seat.Sensitivity{Setting: c.setting, Step: c.step, CatchDeg: c.catch, FinishDeg: c.finish}); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

func TestIntervalsInWords(t *testing.T) {
	for d, want := range map[time.Duration]string{24 * time.Hour: "day", 72 * time.Hour: "3 days", time.Hour: "hour", 6 * time.Hour: "6 hours", 36 * time.Hour: "36 hours", 30 * time.Minute: "30 minutes", 90 * time.Minute: "90 minutes"} {
		if got := spoken(d); got != want {
			t.Errorf("%v: %s, want %s", d, got, want)
		}
	}
}

func TestDefaultsOfTheReference(t *testing.T) {
	for want, v := range map[string]any{"": nil, "0": 0, "false": false, "158": 158} {
		if got := defaultOf(schema{Default: v}); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
}

// TestABackupIsLateWhenOneWasMissed: at two intervals the one due may be under way.
func TestABackupIsLateWhenOneWasMissed(t *testing.T) {
	for age, want := range map[time.Duration]bool{0: false, 12 * time.Hour: false, 12*time.Hour + 1: true, -time.Hour: false} {
		if late(age, 6*time.Hour) != want {
			t.Errorf("%v old, made every 6 hours: late is %v", age, !want)
		}
	}
}

// TestZonesInWords: that of the machine goes by the letters of the season.
func TestZonesInWords(t *testing.T) {
	at := time.Date(2026, 7, 1, 12, 0, 0, 0, time.UTC)
	letters, _ := at.Local().Zone()
	for want, moment := range map[string]time.Time{"UTC": at, "Lake": at.In(time.FixedZone("Lake", 3600)), letters + ", the machine’s own time": at.Local()} {
		if got := zoneOf(moment); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// TestAFileIsSentInItsPart: in the one for files where the form has one.
func TestAFileIsSentInItsPart(t *testing.T) {
	for _, c := range []struct{ parts, want string }{{"", "file"}, {"file", "file"}, {"by file", "file"}, {"table", "table"}} {
		properties := map[string]schema{}
		for _, part := range strings.Fields(c.parts) {
			properties[part] = schema{}
		}
		_, _, rest := call("POST", "/tables", "", content{"multipart/form-data": {Schema: schema{Properties: properties}}})
		if want := " -F " + c.want + "=@table.csv"; rest != want {
			t.Errorf("%s: %s, want %s", c.parts, rest, want)
		}
	}
}
