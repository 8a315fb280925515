package video_test

import (
	"fmt"
	"math"
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
)

const anglePath, strokesPath, bodyPath = "/api/v1/video/angle", "/api/v1/video/strokes", "/api/v1/video/body"

// TestAngleOfProjectedPoints: places projected by similar triangles (closed
// form) come back within the printed ±, at the catch and the finish.
func TestAngleOfProjectedPoints(t *testing.T) {
	for _, want := range []float64{-62.4, -50, 42} {
		sin, cos := math.Sincos(want * math.Pi / 180)
		o := apitest.Pictured(sin, cos)
		if want > 0 {
			o = apitest.Put(o, "oar.end", "finish")
		}
		a := apitest.Answered(t, anglePath, o)
		within := apitest.Number(t, a, "within_deg")
		apitest.Near(t, "angle", apitest.Number(t, a, "angle_deg"), want, within)
		if within < .3 || within > 5 {
			t.Errorf("%v°: ± %v°", want, within)
		}
		apitest.Near(t, "scale at the blade", apitest.Number(t, a, "px_per_m"), 4500/(15-.795-1.748*cos), 12)
		apitest.Near(t, "scatter of marks", apitest.Number(t, a, "mark_sd_px"), math.Sqrt(5./4), .01)
		tip := apitest.At(t, a, "heights").([]any)[1]
		apitest.Near(t, "height of the tip", apitest.Number(t, tip, "height_cm"), 26-198*.1392, 2*apitest.Number(t, tip, "sd_cm"))
		if said := a["said"].(string); !strings.Contains(said, "±") {
			t.Errorf("said: %q", said)
		}
	}
}

// TestMirrored: seen from port with everything mirrored it is the same angle.
func TestMirrored(t *testing.T) {
	o := apitest.Pictured(-.8862, .4633)
	a := apitest.Answered(t, anglePath, o)
	o = apitest.Put(apitest.Put(o, "seen_from", "port"), "oar.side", "port")
	for _, list := range [][]any{o["points"].([]any), apitest.At(t, o, "oar.marks").([]any)} {
		for _, m := range list {
			mark := m.(apitest.Object)
			mark["u_px"] = 1920 - mark["u_px"].(float64)
			if y, ok := mark["y_cm"].(float64); ok {
				mark["y_cm"] = -y
			}
		}
	}
	b := apitest.Answered(t, anglePath, o)
	apitest.Near(t, "angle", apitest.Number(t, b, "angle_deg"), apitest.Number(t, a, "angle_deg"), .05)
	apitest.Near(t, "±", apitest.Number(t, b, "sd_deg"), apitest.Number(t, a, "sd_deg"), .02)
}

// TestFewerMarks gives a wider ± and says what to do.
func TestFewerMarks(t *testing.T) {
	o := apitest.Pictured(-.8862, .4633)
	full := apitest.Number(t, apitest.Answered(t, anglePath, o), "sd_deg")
	o["points"] = o["points"].([]any)[:3]
	o["twice"] = []any{apitest.Parsed(`{"first": {"u_px": 10, "v_px": 10}, "second": {"u_px": 22, "v_px": 16}}`)}
	a := apitest.Answered(t, anglePath, o)
	if sd := apitest.Number(t, a, "sd_deg"); sd <= full {
		t.Errorf("± %v° with three coarse marks, %v° with all", sd, full)
	}
	if len(a["advice"].([]any)) == 0 {
		t.Error("no advice")
	}
}

func TestWhatNoPictureCanTell(t *testing.T) {
	full := func() apitest.Object { return apitest.Pictured(-.8862, .4633) }
	for name, c := range map[string]struct {
		o             apitest.Object
		pointer, says string
	}{
		"no known length": {apitest.Put(full(), "points", []any{}), "#/points", "Without a known length"},
		"no oar":          {apitest.Put(full(), "oar.marks", []any{}), "#/oar/marks", "Mark the handle’s end"},
		"distance":        {apitest.Put(full(), "distance_m", 0.5), "#/distance_m", "2"},
		"view":            {apitest.Put(full(), "view", "ahead"), "#/view", "Say abeam"},
		"oar":             {apitest.Put(full(), "oar.oar_length_cm", 28.8), "#/oar/oar_length_cm", "200"},
		"levers":          {apitest.Put(apitest.Put(full(), "oar.oar_length_cm", 205), "oar.inboard_cm", 110), "#/oar/inboard_cm", "outboard is shorter"},
	} {
		said := apitest.Refused(t, anglePath, c.o)
		if !strings.Contains(said[c.pointer], c.says) {
			t.Errorf("%s: %v", name, said)
		}
	}
}

// TestFramesOfSeveralStrokes: 3 and 4 frames of 60 until the edge touches, 8, 9
// and 9 until covered.
func TestFramesOfSeveralStrokes(t *testing.T) {
	a := apitest.Answered(t, strokesPath, apitest.FramesExample())
	apitest.Near(t, "edge", apitest.Number(t, a, "edge_ms.value"), (50+50+66.7)/3, .1)
	apitest.Near(t, "covered", apitest.Number(t, a, "whole_ms.value"), (133.3+150+150)/3, .1)
	apitest.Near(t, "height", apitest.Number(t, a, "height_cm.value"), 9, .01)
	apitest.Near(t, "missed", apitest.Number(t, a, "missed_deg.value"), 7, .01)
	apitest.Near(t, "missed at the blade", apitest.Number(t, a, "missed_cm.value"), 7*math.Pi/180*(200-2-25), .01)
	apitest.Near(t, "strokes with a height", apitest.Number(t, a, "height_cm.count"), 2, 0)
	apitest.Near(t, "a frame", apitest.Number(t, a, "frame_ms.sd"), 4.81, .01)
	if said := a["said"].(string); !strings.HasPrefix(said, "The blade is covered 144 ms") {
		t.Errorf("said: %q", said)
	}
	r := apitest.Answered(t, strokesPath, apitest.Put(apitest.FramesExample(), "end", "release"))
	if said := r["said"].(string); !strings.Contains(said, "clear") || r["start_down_ms"] != nil {
		t.Errorf("said of the release: %q, %v", said, r["start_down_ms"])
	}
}

func TestFramesThatCannotBe(t *testing.T) {
	full := apitest.FramesExample
	one := func(text string) apitest.Object { return apitest.Put(full(), "strokes", []any{apitest.Parsed(text)}) }
	for name, c := range map[string]struct {
		o             apitest.Object
		pointer, says string
	}{
		"no stroke":     {apitest.Put(full(), "strokes", []any{}), "#/strokes", "at least one"},
		"backwards":     {one(`{"reversal_s": 1, "edge_s": 1.1, "whole_s": 1.05}`), "#/strokes/0/whole_s", "before its edge"},
		"other strokes": {one(`{"reversal_s": 1, "edge_s": 4, "whole_s": 4.1}`), "#/strokes/0/edge_s", "another stroke"},
		"no scale":      {apitest.Drop(full(), "px_per_m"), "#/px_per_m", "pixels a metre"},
		"frame rate":    {apitest.Put(full(), "frame_rate", 3), "#/frame_rate", "20"},
	} {
		if said := apitest.Refused(t, strokesPath, c.o); !strings.Contains(said[c.pointer], c.says) {
			t.Errorf("%s: %v", name, said)
		}
	}
}

func TestBody(t *testing.T) {
	a := apitest.Answered(t, bodyPath, apitest.BodyExample())
	apitest.Near(t, "sitting height", apitest.Number(t, a, "sitting_height_cm.value"), 712*200/1500., .01)
	// Clothes 1.5 cm, half a centimetre of 2 m, marks 2.1 pixels of 7.5 a cm twice, parallax of 10 cm at 5 m.
	apitest.Near(t, "±", apitest.Number(t, a, "sitting_height_cm.sd"), 2.45, .1)
	said := apitest.Refused(t, bodyPath, apitest.Drop(apitest.Drop(apitest.Drop(apitest.BodyExample(), "arm_px"), "leg_px"), "sitting_height_px"))
	if !strings.Contains(said["#/sitting_height_px"], "at least one") {
		t.Errorf("said: %v", said)
	}
}

// filmedPath is where readings of an athlete are kept.
func filmedPath(t *testing.T) string {
	return fmt.Sprintf("/api/v1/athletes/%d/filmed", apitest.KnownAthlete(t))
}

func keep(t *testing.T, path string, o apitest.Object) apitest.Object {
	t.Helper()
	w := apitest.Post(t, path, o)
	if w.Code != http.StatusCreated {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	return apitest.Decoded[apitest.Object](t, w.Body.Bytes())
}

func TestAKeptReadingHoldsWhatTheMarksSay(t *testing.T) {
	path := filmedPath(t)
	example := apitest.FilmedExample(t)
	kept := keep(t, path, example)
	shown := apitest.Answered(t, anglePath, example["picture"].(apitest.Object))
	apitest.Near(t, "angle", apitest.Number(t, kept, "angle_deg"), apitest.Number(t, shown, "angle_deg"), 0)
	apitest.Near(t, "±", apitest.Number(t, kept, "sd_deg"), apitest.Number(t, shown, "sd_deg"), 0)
	apitest.Near(t, "height", apitest.Number(t, kept, "height_cm.value"), 9, .01)
	apitest.Near(t, "strokes", apitest.Number(t, kept, "strokes"), 3, 0)
	if kept["tells"] != true || kept["by"] != "Ines" || kept["boat_class"] != "1x" {
		t.Errorf("%v", kept)
	}
}

// TestADoubtfulMarkCalibratesNobody: a reading with a mark that does not fit is
// kept and not used.
func TestADoubtfulMarkCalibratesNobody(t *testing.T) {
	example := apitest.FilmedExample(t)
	points := example["picture"].(apitest.Object)["points"].([]any)
	points[2].(apitest.Object)["v_px"] = points[2].(apitest.Object)["v_px"].(float64) + 60
	if kept := keep(t, filmedPath(t), example); kept["tells"] != false {
		t.Errorf("%v", kept)
	}
}

func TestWhatCannotBeKept(t *testing.T) {
	path := filmedPath(t)
	for name, c := range map[string]struct {
		o             apitest.Object
		pointer, says string
	}{
		"no such boat":   {apitest.Put(apitest.FilmedExample(t), "boat_id", 987654), "#/boat_id", "not on record"},
		"no such seat":   {apitest.Put(apitest.FilmedExample(t), "seat", 2), "#/seat", "seats 1 to 1"},
		"nothing":        {apitest.Drop(apitest.Drop(apitest.FilmedExample(t), "picture"), "frames"), "#/picture", "Mark a picture"},
		"tomorrow":       {apitest.Put(apitest.FilmedExample(t), "filmed_on", "2999-01-01"), "#/filmed_on", "still to come"},
		"nobody":         {apitest.Put(apitest.FilmedExample(t), "by", " "), "#/by", "Say who"},
		"a sweep oar":    {apitest.Put(apitest.FilmedExample(t), "picture.oar.kind", "sweep"), "#/picture/oar/kind", "a sweep oar"},
		"the other end":  {apitest.Put(apitest.FilmedExample(t), "end", "finish"), "#/picture/oar/end", "other end"},
		"other frames":   {apitest.Put(apitest.FilmedExample(t), "frames.end", "release"), "#/frames/end", "other end"},
		"too few points": {apitest.Put(apitest.FilmedExample(t), "picture.points", []any{}), "#/picture/points", "known length"},
		"no strokes":     {apitest.Put(apitest.FilmedExample(t), "frames.strokes", []any{}), "#/frames/strokes", "at least one"},
	} {
		if said := apitest.Refused(t, path, c.o); !strings.Contains(said[c.pointer], c.says) {
			t.Errorf("%s: %v", name, said)
		}
	}
}

// TestTheEndOfTheHandleTellsBetterThanTheHand: where a hand holds is known to a
// centimetre or two, where the handle ends to millimetres.
func TestTheEndOfTheHandleTellsBetterThanTheHand(t *testing.T) {
	sd := func(place string, along float64) float64 {
		o := apitest.Pictured(-.8862, .4633)
		u, v := apitest.Seen(along*-.8862*.9903, .795+along*.4633*.9903, .26-along*.1392)
		return apitest.Number(t, apitest.Answered(t, anglePath, apitest.Put(o, "oar.marks", []any{apitest.Object{"place": place, "u_px": u, "v_px": v}})), "sd_deg")
	}
	hand, end := sd("hand", -.84), sd("handle_end", -.90)
	t.Logf("hand ± %.2f°, end of the handle ± %.2f° (one SD)", hand, end)
	if end >= hand {
		t.Errorf("the end tells ± %v°, the hand ± %v°", end, hand)
	}
}

// TestTheDepthInTheDrive: the shaft of the example is tilted by 8°, sine .1392, and
// the blade's middle lies 1.73 m outboard of the pin's gate at 26 cm.
func TestTheDepthInTheDrive(t *testing.T) {
	o := apitest.Put(apitest.Pictured(-.0872, .9962), "oar.end", "drive")
	a := apitest.Answered(t, anglePath, o)
	apitest.Near(t, "height of the blade’s middle", apitest.Number(t, a, "blade_cm"), 26-100*.1392*1.73, 1.5)
	if sd := apitest.Number(t, a, "blade_sd_cm"); !(sd > 0 && sd < 6) {
		t.Errorf("± %v cm", sd)
	}
	if said := a["said"].(string); !strings.Contains(said, "the blade’s middle is") || !strings.Contains(said, "over the water") && !strings.Contains(said, "under the water") {
		t.Errorf("said %q", said)
	}
	only := apitest.Put(apitest.Pictured(-.8862, .4633), "oar.marks", []any{apitest.Object{"place": "pin", "u_px": 960, "v_px": 540}})
	if said := apitest.Refused(t, anglePath, only); !strings.Contains(said["#/oar/marks"], "Mark the handle’s end") {
		t.Errorf("the pin alone: %v", said)
	}
}
