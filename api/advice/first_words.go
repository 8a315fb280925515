package advice

import (
	"fmt"
	"math"
	"strings"

	"thole/api/strokefile"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/speed"
	"thole/selection/stroke"
)

// itemWord is how an item is told.
type itemWord struct {
	title    string
	measured string // what was measured
	unit     string // on the wire
	factor   float64
	step     float64 // steps to a unit that are kept
	text     func(si float64) string
	do       []string // common practice
	bound    string   // what may allow less than the reference asks for
}

// itemWords are the words of each item. What would change it is common
// practice among coaches.
var itemWords = map[speed.Item]itemWord{
	speed.ItemCatchSlip: {"the catch: let the blade hold sooner", "Arc before the blade holds (catch slip)", "deg", strokefile.PerDegree, 100, degText, []string{
		"Row 20 strokes with the blade placed from the last of the slide, before the legs push, then record again.",
	}, "The speed of the water"},
	speed.ItemReleaseSlip: {"the finish: keep the force on longer (washing out)", "Arc without force before the finish (release slip)", "deg", strokefile.PerDegree, 100, degText, []string{
		"Keep the blade covered and the hands level to the body, the legs down and the heels pressed; if the draw ends past the seat, check the stretcher position.",
	}, "The arc without force"},
	speed.ItemEntryEarly: {"the entry: later, it backs water", "Moment the blade starts down, against the reversal of the hands", "s", 1, 1000, momentText, []string{
		"Keep the hands level until the last of the slide; raise them when the reach is complete.",
	}, ""},
	speed.ItemEntryLate: {"the entry: sooner, it sweeps air", "Moment the blade starts down, against the reversal of the hands", "s", 1, 1000, momentText, []string{
		"Raise the hands while they still come forward: half-slide strokes with a pause before the catch, then record again.",
	}, ""},
	speed.ItemDepth: {"the depth: the blade goes too deep", "Depth below just covered", "deg", strokefile.PerDegree, 100, degText, []string{
		"Draw level: hands no higher than where the blade is just covered; check height (seat to gate) and pitch, too little pitch lets a blade dive.",
	}, ""},
	speed.ItemCatch: {"the reach: longer at the catch", "Catch", "deg", strokefile.PerDegree, 100, degText, []string{
		"Come forward from the hips before the slide ends; if the body is there already, move the stretcher towards the stern or lower the heels.",
	}, "The body’s reach"},
	speed.ItemFinish: {"the finish: longer", "Finish", "deg", strokefile.PerDegree, 100, degText, []string{
		"Draw to the body with the lean held; if the handle cannot get there, move the stretcher towards the bow.",
	}, ""},
	speed.ItemOverReach: {"the reach: further than the body allows at this rig", "Catch", "deg", strokefile.PerDegree, 100, degText, []string{
		"Check body, rig and the sensor’s zero first. Then sit up at the front stops: shins upright, chest off the thighs, the reach from the hips and not from a round back.",
		"If the arc is to stay as long, let the rig give it: move the stretcher towards the stern or lower the heels.",
	}, ""},
	speed.ItemPeakPlace: {"the force: another place of the peak", "Place of the peak in the arc that works", "share", 1, 1000, shareText, []string{
		"Let the legs load at once where the peak comes late; hold the back until the legs are half down where it comes early.",
	}, ""},
}

// reachWords judge the catch against the body's reach; own is how well the catch
// is known, rad. It is never called beyond where the ± of both cover it.
func reachWords(by, own float64, rec *speed.Recording, beyond bool) (verdict, said string) {
	measured := fmt.Sprintf("Catch %s ± %s; the body allows %s ± %s at this rig", degText(rec.Catch.Mean), degText(own), degText(rec.Reach), degText(rec.ReachSD))
	switch {
	case beyond:
		return "beyond", measured + fmt.Sprintf(": %s beyond, more than both ± cover. Over-reaching, unless body, rig or the sensor’s zero is wrong on record.", degText(by))
	case by > 0:
		return "unclear", measured + ": too close to tell whether it over-reaches."
	}
	return "within", measured + "."
}

// gapWords say what is missing and how to get it.
var gapWords = map[speed.Gap]MissingMeasure{
	speed.GapSpeed:     {"boat speed", "Drag is that of the class, not of the day.", "Record a column of boat speed, or type the mean speed of the piece in."},
	speed.GapCurve:     {"force curve", "A usual curve stands in.", "Import the recording again."},
	speed.GapVertical:  {"vertical angle", "Nothing can be said of entry, carry height and depth.", "Use a gate that measures the vertical angle, and state both levers."},
	speed.GapPeak:      {"place of the peak", "It is not ranked.", "Use a threshold that every stroke reaches."},
	speed.GapStrokes:   {"strokes", "Fewer than three strokes tell no noise to hold anything against.", "Record twenty strokes at one rate."},
	speed.GapReference: {"reference", "Nothing stands to hold the strokes against.", "Record the crew on the same day, or at least ten strokes."},
}

var missingEntry = MissingMeasure{"way into the water", "Nothing can be said of carry height and moment of entry.", "Record whole recoveries with the vertical angle, at 50 samples a second or more; a blade whose edge never leaves the water has none."}

var missingDepth = MissingMeasure{"vertical angle", "Nothing can be said of depth.", "Use a gate that measures the vertical angle, and state both levers."}

var missingStrokes = MissingMeasure{"single strokes", "A mean curve has no spread from stroke to stroke, no rate and no speed.", "Import the recording the curve was made from."}

var missingRig = MissingMeasure{"boat and rig", "Without class, levers and masses nothing can be priced.", "Name the boat of this recording, or choose a boat class below."}

var missingCrew = MissingMeasure{"the crew of that day", "Held against one’s own best strokes, a fault in every stroke does not show.", "Record at least two others of the crew on the same day, or compare it over dates."}

// modelLeavesOut stands beside every price.
const modelLeavesOut = "Not in the model: the drag of hub and shaft (but for a blade carried deep), unsteady lift, the bend of the oar, the lean of the boat, skill under fatigue. Differences hold far better than levels; it predicts no race."

// fadeRule reports how a shorter slip changes the curve.
func fadeRule() string {
	return fmt.Sprintf("A shorter slip moves the flank of the measured curve and fades into the rest over %.0f° (ranges take %.0f° to %.0f° in). "+
		"Ranges also hold the blade’s force ± %.0f %%, the body’s travel ± %.0f %%, hands of %g to %g m/s², the place of the peak ± %.2f of the arc, and the spread from stroke to stroke.",
		speed.FadeArc.Degrees(), speed.ShortFade.Degrees(), speed.LongFade.Degrees(), 100*speed.BladeSpread, 100*speed.TravelSpread, speed.SlowHands, speed.FastHands, speed.PlaceSpread)
}

func degText(rad float64) string { return fmt.Sprintf("%.1f°", rigging.Angle(rad).Degrees()) }

func momentText(s float64) string {
	switch ms := math.Round(1000 * s); {
	case ms < 0:
		return fmt.Sprintf("%.0f ms before", -ms)
	case ms > 0:
		return fmt.Sprintf("%.0f ms after", ms)
	}
	return "0 ms"
}

func shareText(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

// causeWords tell a cause of a late catch and what would change it.
func causeWords(c speed.Cause, rec *speed.Recording, k *speed.Ranking) (said, do string) {
	switch c {
	case speed.CauseLateEntry:
		return fmt.Sprintf("the blade starts down %s the reversal; %s is %s", momentText(rec.Start.Mean), rec.Start.Source, momentText(rec.Start.Reference)),
			fmt.Sprintf("Raise the hands %.0f ms sooner, while they still come forward.", 1000*(rec.Start.Mean-rec.Start.Reference))
	case speed.CauseCarriedHigh:
		return fmt.Sprintf("the blade is carried %.0f cm over the water; %s is %.0f cm", 100*rec.Height.Mean, rec.Height.Source, 100*rec.Height.Reference),
			fmt.Sprintf("Carry the blade %.0f cm lower on the recovery.", 100*(rec.Height.Mean-rec.Height.Reference))
	case speed.CauseSlowSink:
		return fmt.Sprintf("the blade sinks at %.1f m/s; %s is %.1f m/s", rec.Sink.Mean, rec.Sink.Source, rec.Sink.Reference),
			"Unweight the handle and let the blade fall in rather than lowering it."
	}
	return fmt.Sprintf("the hands go at %.2f m/s when the blade is covered; the water asks for %.2f m/s", rec.Hands, k.MatchSpeed),
		"Pick the hands up with the legs at once: short, quick catches from the front stops."
}

// timeText writes what a change does to the time, with its ends.
func timeText(r speed.Range) string {
	if r.Value > 0 {
		return fmt.Sprintf("%s s (%s to %s) slower", signless(r.Value), signless(r.Low), signless(r.High))
	}
	return fmt.Sprintf("%s s (%s to %s) faster", signless(-r.Value), signless(-r.High), signless(-r.Low))
}

func signless(v float64) string {
	return strings.Replace(fmt.Sprintf("%.1f", v+0), "-", "−", 1)
}

func moreText(v float64, unit, more, less string) string {
	switch pct := math.Round(1000*v) / 10; {
	case pct > 0:
		return fmt.Sprintf("%.1f %% %s %s", pct, more, unit)
	case pct < 0:
		return fmt.Sprintf("%.1f %% %s %s", -pct, less, unit)
	}
	return "the same " + unit
}

// forceWords and powerWords tell the two columns of a price.
func forceWords(p *speed.Price, distance float64) string {
	return fmt.Sprintf("pulled as hard as now: %s over %.0f m, with %s", timeText(p.ForceTime), distance, moreText(p.ForcePower.Value, "power", "more", "less"))
}

func powerWords(p *speed.Price, distance float64) string {
	return fmt.Sprintf("at the same power: %s over %.0f m, with %s", timeText(p.PowerTime), distance, moreText(p.PowerForce.Value, "force on each stroke", "more", "less"))
}

func wireHabit(h *stroke.HabitSeen) BladeHabit {
	w := BladeHabit{Habit: string(h.Habit), Unit: "deg", Mean: wire.Round(h.Mean*strokefile.PerDegree, 100), Bound: wire.Round(h.Bound*strokefile.PerDegree, 100)}
	switch h.Habit {
	case stroke.WashingOut:
		w.Said = fmt.Sprintf("The blade comes out %s before the force ends, more than the %s from which it is called washing out.", degText(h.Mean), degText(h.Bound))
	case stroke.DownAndUp:
		w.Unit, w.Mean, w.Bound = "share", wire.ToRatio(h.Mean), wire.ToRatio(h.Bound)
		w.Said = fmt.Sprintf("The blade goes down or comes up over %s of the arc that works, more than the %s from which it is called down-and-up: it is hardly ever level.", shareText(h.Mean), shareText(h.Bound))
	default:
		w.Said = fmt.Sprintf("The blade goes %s below just covered, more than the %s from which it is called too deep (digging).", degText(h.Mean), degText(h.Bound))
	}
	return w
}
