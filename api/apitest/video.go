package apitest

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"net/http"
	"strings"
	"testing"
)

// PictureExample is a sculler at the catch without marks, seen from starboard at 15 m and
// 1.6 m over the water, with a hand that misses by a pixel or two.
func PictureExample() Object {
	return Parsed(`{"width_px": 1920, "height_px": 1080, "view": "abeam", "seen_from": "starboard", "distance_m": 15, "camera_height_m": 1.6,
	"twice": [{"first": {"u_px": 700, "v_px": 500}, "second": {"u_px": 702, "v_px": 501}}],
	"points": [], "oar": {"kind": "scull", "side": "starboard", "end": "catch", "pin_out_cm": 79.5, "gate_over_water_cm": 26,
	"inboard_cm": 88, "oar_length_cm": 288, "marks": []}}`)
}

// Seen puts points of the boat into a picture: the camera stands 15 m to
// starboard of the pins, 1.6 m over the water, level and square to the boat.
func Seen(x, y, z float64) (u, v float64) {
	const focal, far, high = 4500, 15, 1.6
	scale := focal / (far - y)
	return 960 - scale*x, 540 + scale*(high-z)
}

// Pictured is the whole example: pins, tape, waterline, hand and tip, with the
// oar at an angle of which sine and cosine are given.
func Pictured(sin, cos float64) Object {
	o := PictureExample()
	var points []any
	for _, p := range []struct {
		name       string
		x, y, z, s float64
	}{
		{"near pin", 0, .795, .26, 0}, {"far pin", 0, -.795, .26, 0}, {"near tape, bow", -1, .25, .18, 0}, {"near tape, stern", 1, .25, .18, 0},
		{"far tape, bow", -1, -.25, .18, 0}, {"far tape, stern", 1, -.25, .18, 0}, {"waterline, bow", -1.5, .2, 0, 50}, {"waterline, stern", 1.5, .2, 0, 50},
	} {
		u, v := Seen(p.x, p.y, p.z)
		mark := Object{"name": p.name, "x_cm": p.x * 100, "y_cm": p.y * 100, "z_cm": p.z * 100, "sd_cm": 1, "u_px": u, "v_px": v}
		if p.s > 0 {
			mark["x_sd_cm"] = p.s
		}
		points = append(points, mark)
	}
	o["points"] = points
	// A level shaft: sine and cosine of its tilt are .1392 and .9903 (8°).
	var marks []any
	for _, m := range []struct {
		place string
		along float64
	}{{"hand", -.84}, {"tip", 1.98}} {
		u, v := Seen(m.along*sin*.9903, .795+m.along*cos*.9903, .26-m.along*.1392)
		marks = append(marks, Object{"place": m.place, "u_px": u, "v_px": v})
	}
	return Put(o, "oar.marks", marks)
}

// FramesExample are three catches at 60 frames a second.
func FramesExample() Object {
	return Parsed(`{"end": "catch", "kind": "scull", "frame_rate": 60, "px_per_m": 300, "strokes": [
	{"reversal_s": 1.0, "edge_s": 1.05, "whole_s": 1.1333, "height_px": 24, "from_deg": -62, "from_sd_deg": 1, "to_deg": -55, "to_sd_deg": 1},
	{"reversal_s": 3.0, "edge_s": 3.05, "whole_s": 3.15, "height_px": 30},
	{"reversal_s": 5.0, "edge_s": 5.0667, "whole_s": 5.15}]}`)
}

// bareFrames show no height, and the blade goes in within one frame.
func bareFrames() Object {
	return Parsed(`{"end": "catch", "kind": "sweep", "frame_rate": 30, "strokes": [{"reversal_s": 1, "edge_s": 1.1, "whole_s": 1.1}]}`)
}

// BodyExample is a person beside a pole of 2 m.
func BodyExample() Object {
	return Parsed(`{"known_cm": 200, "known_px": 1500, "distance_m": 5, "sitting_height_px": 712, "leg_px": 690, "arm_px": 520}`)
}

func init() {
	Samples["POST /api/v1/video/angle"] = bodies(Pictured(-.8862, .4633))
	Samples["POST /api/v1/video/strokes"] = bodies(FramesExample(), Put(FramesExample(), "end", "release"), bareFrames())
	Samples["POST /api/v1/video/body"] = bodies(BodyExample(), Drop(BodyExample(), "arm_px"), Drop(Drop(BodyExample(), "leg_px"), "sitting_height_px"))
	path := "/api/v1/athletes/%d/filmed"
	Samples["POST /api/v1/athletes/:id/filmed"] = func(t testing.TB) []sample {
		return []sample{{fmt.Sprintf(path, KnownAthlete(t)), FilmedExample(t)}, {fmt.Sprintf(path, KnownAthlete(t)), Drop(FilmedExample(t), "frames")},
			{fmt.Sprintf(path, KnownAthlete(t)), shownBare(t)}, {fmt.Sprintf(path, KnownAthlete(t)), driven(t)}}
	}
	Samples["GET /api/v1/athletes/:id/filmed"] = func(t testing.TB) []sample {
		at := fmt.Sprintf(path, KnownAthlete(t))
		Created(t, at, FilmedExample(t))
		Created(t, at, Drop(FilmedExample(t), "frames"))
		Created(t, at, driven(t))
		Created(t, at, shownBare(t))
		with := strings.TrimSuffix(keptStill(t), "/still")
		return []sample{{path: at}, {path: with[:strings.LastIndexByte(with, '/')]}}
	}
	Samples["DELETE /api/v1/athletes/:id/filmed/:reading"] = func(t testing.TB) []sample {
		at := fmt.Sprintf(path, KnownAthlete(t))
		return []sample{{path: fmt.Sprintf("%s/%d", at, Created(t, at, FilmedExample(t)))}}
	}
	Settled = append(Settled, "POST /api/v1/athletes/:id/filmed.still") // which comes after it
	still := "/api/v1/athletes/:id/filmed/:reading/still"
	Samples["PUT "+still] = func(t testing.TB) []sample { return []sample{{path: mayKeepStill(t), Body: StillExample(t)}} }
	Samples["GET "+still+".jpg"] = func(t testing.TB) []sample { return []sample{{path: keptStill(t) + ".jpg"}} }
	Samples["DELETE "+still] = func(t testing.TB) []sample { return []sample{{path: keptStill(t)}} }
}

// Pictured640 is a JPEG of 640 × 480 px.
func Pictured640(t testing.TB) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 640, 480))
	for x := range 640 {
		for y := range 480 {
			img.Set(x, y, color.RGBA{uint8(x), uint8(y), uint8(x + y), 255})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// StillExample keeps a picture.
func StillExample(t testing.TB) Object {
	return Object{"picture": base64.StdEncoding.EncodeToString(Pictured640(t)), "consent": true, "by": "Ines"}
}

// mayKeepStill is where a picture may be kept: a parent has consented.
func mayKeepStill(t testing.TB) string {
	t.Helper()
	athlete := fmt.Sprintf("/api/v1/athletes/%d", KnownAthlete(t))
	if w := Post(t, athlete+"/consents", Object{"given": true, "guardian": "Mother", "by": "Ines"}); w.Code != http.StatusCreated {
		t.Fatalf("consent: %d %s", w.Code, w.Body)
	}
	return fmt.Sprintf("%s/filmed/%d/still", athlete, Created(t, athlete+"/filmed", FilmedExample(t)))
}

func keptStill(t testing.TB) string {
	t.Helper()
	path := mayKeepStill(t)
	if w := Request(http.MethodPut, path, JSONType, Encoded(t, StillExample(t))); w.Code != http.StatusOK {
		t.Fatalf("still: %d %s", w.Code, w.Body)
	}
	return path
}

// FilmedExample is a reading to keep, with the catch of a picture and of frames,
// in the first seat of a single.
func FilmedExample(t testing.TB) Object {
	boat := Created(t, "/api/v1/boats", BareBoat())
	return Object{"boat_id": boat, "seat": 1, "filmed_on": "2026-05-02", "end": "catch", "note": "firm", "by": "Ines", "picture": Pictured(-.8862, .4633), "frames": FramesExample()}
}

// driven is a picture in the drive.
func driven(t testing.TB) Object {
	return Put(Put(Drop(FilmedExample(t), "frames"), "end", "drive"), "picture.oar.end", "drive")
}

// shownBare is a reading of moments alone, in which no height shows.
func shownBare(t testing.TB) Object {
	return Put(Drop(FilmedExample(t), "picture"), "frames.strokes", []any{Object{"reversal_s": 1, "edge_s": 1.1, "whole_s": 1.2}})
}
