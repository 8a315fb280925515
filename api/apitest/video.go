package apitest

import (
	"bytes"
	"encoding/base64"
	"image"
	"image/color"
	"image/jpeg"
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

// BodyExample is a person beside a pole of 2 m.
func BodyExample() Object {
	return Parsed(`{"known_cm": 200, "known_px": 1500, "distance_m": 5, "sitting_height_px": 712, "leg_px": 690, "arm_px": 520}`)
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

// FilmedExample is a reading to keep, with the catch of a picture and of frames,
// in the first seat of a single.
func FilmedExample(t testing.TB) Object {
	boat := Created(t, "/api/v1/boats", BareBoat())
	return Object{"boat_id": boat, "seat": 1, "filmed_on": "2026-05-02", "end": "catch", "note": "firm", "by": "Ines", "picture": Pictured(-.8862, .4633), "frames": FramesExample()}
}
