package settings

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"thole/api/wire"
	"thole/rigging"
)

// Counts are the sizes of what people count when they set a boat; nil for what is not
// counted there.
type Counts struct{ WasherMm, ClamMm, InsertDeg *float64 }

// Step is one of what a setting is counted in.
type Step struct {
	Size           float64 // in the setting's unit
	One, Many      string
	More, Less     string // which way it is moved for more and for less
	unit           string
	unitsInSetting float64 // how many of unit are one of the setting's
}

// StepOf is what a setting is counted in; ok is false for one that is measured alone.
func (c Counts) StepOf(setting string) (s Step, ok bool) {
	size := (*float64)(nil)
	switch setting {
	case Name(rigging.SettingGateHeight):
		size, s = c.WasherMm, Step{One: "washer", Many: "washers", More: "from above to under the gate", Less: "from under to above the gate", unit: "mm", unitsInSetting: 10}
	case Name(rigging.SettingInboard):
		size, s = c.ClamMm, Step{One: "clam", Many: "clams", More: "on", Less: "off", unit: "mm", unitsInSetting: 10}
	case Name(rigging.SettingBladePitch):
		size, s = c.InsertDeg, Step{One: "number", Many: "numbers", More: "up in the insert", Less: "down in the insert", unit: "°", unitsInSetting: 1}
	}
	if size == nil {
		return Step{}, false
	}
	s.Size = *size / s.unitsInSetting
	return s, true
}

// Text says a move in steps, with what is left of it where they do not meet it; "" for
// less than half of one. by is in the setting's unit.
func (s *Step) Text(by float64) string {
	n := math.Round(math.Abs(by) / s.Size)
	if n == 0 {
		return ""
	}
	which, way := s.Many, s.More
	if n == 1 {
		which = s.One
	}
	if by < 0 {
		way = s.Less
	}
	text := fmt.Sprintf("%.0f %s %s", n, which, way)
	if left := (math.Abs(by) - n*s.Size) * s.unitsInSetting; math.Abs(left) >= 0.05 {
		text += fmt.Sprintf(" (%s %s off)", wire.Trimmed(1, math.Abs(left)), s.unit)
	}
	return text
}

// countSaid is a number of steps as people say it.
var countSaid = regexp.MustCompile(`^([+-]?)\s*(\d{1,2}(?:[.,]5)?)\s*(washers?|clams?|inserts?|numbers?)\s*(more|less|up|down|on|off|under|above)?$`)

// countWays are the words for more and for less.
var countWays = map[string]float64{"+": 1, "more": 1, "up": 1, "on": 1, "under": 1, "-": -1, "less": -1, "down": -1, "off": -1, "above": -1}

// countNames are what can be counted, by the setting.
var countNames = map[string]string{"washer": Name(rigging.SettingGateHeight), "clam": Name(rigging.SettingInboard), "insert": Name(rigging.SettingBladePitch), "number": Name(rigging.SettingBladePitch)}

// countSentences are what is told of a thing that is counted: that it sets something else,
// that it counts from a measure, and that the boat does not say what one makes.
var countSentences = map[string]struct{ elsewhere, first, unknown string }{
	"washer": {"does not go with this: washers set something else.", "Measure this once: washers count from there.",
		"What one washer makes is not on record for this boat: enter it on the boat’s page, or type the measure."},
	"clam": {"does not go with this: clams set something else.", "Measure this once: clams count from there.",
		"What one clam makes is not on record for this boat: enter it on the boat’s page, or type the measure."},
	"insert": {"does not go with this: inserts set something else.", "Measure this once: inserts count from there.",
		"What one insert makes is not on record for this boat: enter it on the boat’s page, or type the measure."},
	"number": {"does not go with this: numbers of the insert set something else.", "Measure this once: numbers of the insert count from there.",
		"What one number of the insert makes is not on record for this boat: enter it on the boat’s page, or type the measure."},
}

// Read reads a setting that was said in steps, such as +2 washers or 1 clam off, which
// count from a value, nil where that is not known. way is which way the setting is being
// moved, for a count without a sign; 0 where that is not known. said is false for what
// is no count.
func (c Counts) Read(setting, text string, from *float64, way float64) (v float64, complaint string, said bool) {
	m := countSaid.FindStringSubmatch(strings.ToLower(Typed.Replace(strings.TrimSpace(text))))
	if m == nil {
		return 0, "", false
	}
	thing := strings.TrimSuffix(m[3], "s")
	step, counted := c.StepOf(setting)
	if sign := countWays[m[1]] + countWays[m[4]]; sign != 0 {
		way = sign
	}
	told, unit := countSentences[thing], " cm"
	if strings.HasSuffix(setting, "_deg") {
		unit = "°"
	}
	n, _ := strconv.ParseFloat(strings.Replace(m[2], ",", ".", 1), 64)
	switch {
	case countNames[thing] != setting:
		return 0, "“" + text + "” " + told.elsewhere, true
	case !counted:
		return 0, told.unknown, true
	case from == nil:
		return 0, told.first, true
	case way == 0:
		return 0, fmt.Sprintf("Which way? Write +%s %s or −%s %s, counted from %s as it stands on record.", m[2], m[3], m[2], m[3], wire.Trimmed(2, *from)+unit), true
	}
	return wire.Round(*from+math.Copysign(n*step.Size, way), 100), "", true
}

// Typed puts one minus sign and one blank for those that people type.
var Typed = strings.NewReplacer("−", "-", "–", "-", "\u00a0", " ", "\u202f", " ")
