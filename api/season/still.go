package season

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"

	"thole/api/video"
)

// stillShare is how large the still is drawn, as a share of the clip's frame.
const stillShare = 2.0 / 3

// still keeps a drawn still beside a reading: what the clip would have shown.
func (f *filling) still(ctx context.Context, c *filmed, reading int64) error {
	picture, err := c.drawn()
	if err != nil {
		return err
	}
	_, err = f.ago(c.ago).video.KeepStill(ctx, video.NewStill{AthleteID: f.ids[c.name], ReadingID: reading, Picture: picture, Consent: true, By: coach})
	return err
}

// spot is a place: x to stern, y to starboard, z over the water, m.
type spot struct{ x, y, z float64 }

// part is a limb, a shaft or the like: a line between two places with a half-width, m,
// at each.
type part struct {
	from, to   spot
	wide, ends float64
	colour     color.RGBA
}

// Colours of the scene, by our own taste.
var (
	skin   = color.RGBA{196, 148, 118, 255}
	suit   = color.RGBA{32, 70, 92, 255}
	hair   = color.RGBA{66, 48, 38, 255}
	shaft  = color.RGBA{40, 42, 46, 255}
	blade  = color.RGBA{236, 236, 228, 255}
	shell  = color.RGBA{240, 226, 150, 255}
	metal  = color.RGBA{150, 156, 160, 255}
	tape   = color.RGBA{250, 250, 250, 255}
	shadow = color.RGBA{70, 98, 106, 255}
)

// drawn is the frame as a JPEG, by the camera that the marks of picture are seen with.
func (c *filmed) drawn() ([]byte, error) {
	s := &scene{image.NewRGBA(image.Rect(0, 0, widthPx*stillShare, heightPx*stillShare))}
	s.outdoors()
	for _, p := range c.parts() {
		s.paint(p)
	}
	s.swash(c.onOar(1, bladeFrom), c.onOar(1, bladeEnd))
	var out bytes.Buffer
	if err := jpeg.Encode(&out, s.img, &jpeg.Options{Quality: 88}); err != nil {
		return nil, fmt.Errorf("drawing a still: %w", err)
	}
	return out.Bytes(), nil
}

// bladeFrom and bladeEnd are where the blade begins and ends, m outboard of the pin.
const bladeFrom, bladeEnd = tipM - 0.42, tipM

// onOar is a place on the oar of a side, 1 for starboard and −1 for port, at a way
// along it, m outboard of the pin.
func (c *filmed) onOar(side, along float64) spot {
	sin, cos := math.Sincos(c.degrees * math.Pi / 180)
	flat := along * math.Cos(tiltRad)
	return spot{flat * sin, side * (pinM + flat*cos), gateM - along*math.Sin(tiltRad)}
}

// parts are the boat and the sculler at the catch, the farthest first. The joints are
// placed by eye for a body of 1.75 m; nothing is measured in them.
func (c *filmed) parts() []part {
	hip, shoulder, knee, heel := spot{-.02, .1, .2}, spot{.24, .14, .66}, spot{.3, .12, .56}, spot{.34, .1, .04}
	neck, hand := spot{.34, 0, .86}, c.onOar(1, -handleM+.06)
	elbow := spot{(shoulder.x + hand.x) / 2, (shoulder.y + hand.y) / 2, (shoulder.z+hand.z)/2 - .01}
	list := append(c.oar(-1), part{spot{0, -.2, .16}, spot{0, -pinM, gateM}, .02, .02, metal},
		part{hip, shoulder, .1, .1, suit}, part{shoulder, neck, .05, .05, skin}, part{spot{.34, 0, .93}, spot{.37, 0, .88}, .1, .075, skin},
		part{spot{.31, 0, .97}, spot{.3, 0, .9}, .085, .06, hair}, part{knee, heel, .05, .036, skin}, part{heel, spot{.48, .1, .1}, .04, .035, shaft},
		part{hip, knee, .08, .055, skin}, part{hip, spot{.12, .11, .37}, .084, .07, suit},
		part{spot{-4, 0, -.02}, spot{4, 0, -.02}, .05, .05, shadow}, part{spot{-3.6, 0, .07}, spot{3.6, 0, .07}, .1, .06, shell},
		part{spot{-1, .25, .16}, spot{-1, .25, .2}, .02, .02, tape}, part{spot{1, .25, .16}, spot{1, .25, .2}, .02, .02, tape},
		part{spot{0, .2, .16}, spot{0, pinM, gateM}, .02, .02, metal}, part{spot{.12, .2, .16}, spot{0, pinM, gateM}, .015, .015, metal})
	list = append(list, c.oar(1)...)
	return append(list, part{shoulder, elbow, .052, .04, skin}, part{elbow, hand, .04, .026, skin}, part{hand, hand, .04, .04, skin},
		part{spot{0, pinM, gateM - .03}, spot{0, pinM, gateM + .05}, .02, .02, metal})
}

// oar is the shaft, the handle and the blade of one side.
func (c *filmed) oar(side float64) []part {
	return []part{
		{c.onOar(side, -handleM), c.onOar(side, bladeFrom), .018, .016, shaft},
		{c.onOar(side, bladeFrom), c.onOar(side, bladeEnd), .05, .1, blade},
	}
}

// scene is the frame that is drawn.
type scene struct{ img *image.RGBA }

// outdoors fills sky, far bank and water.
func (s *scene) outdoors() {
	horizon := float64(s.img.Rect.Dy()) / 2
	for y := range s.img.Rect.Dy() {
		for x := range s.img.Rect.Dx() {
			s.img.SetRGBA(x, y, backdrop(float64(x), float64(y), horizon))
		}
	}
}

// backdrop is the colour behind the boat at one pixel.
func backdrop(x, y, horizon float64) color.RGBA {
	trees := horizon - 34 - 10*math.Sin(x/47) - 6*math.Sin(x/13+1) - 3*math.Sin(x/5)
	switch {
	case y < trees:
		return mixed(color.RGBA{150, 186, 214, 255}, color.RGBA{226, 234, 236, 255}, y/horizon)
	case y < horizon:
		return mixed(color.RGBA{84, 112, 84, 255}, color.RGBA{104, 126, 92, 255}, (y-trees)/34)
	}
	far := (y - horizon) / horizon // 0 at the far bank
	ripple := math.Sin(y/(1.5+9*far)+2*math.Sin(x/(40+160*far))) * math.Sin(x/(23+90*far)+y/7)
	return mixed(color.RGBA{138, 166, 172, 255}, color.RGBA{82, 118, 130, 255}, far+.12*ripple)
}

// mixed goes from one colour, at 0, to the other, at 1.
func mixed(a, b color.RGBA, share float64) color.RGBA {
	share = min(max(share, 0), 1)
	at := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + share*(float64(b)-float64(a)))) }
	return color.RGBA{at(a.R, b.R), at(a.G, b.G), at(a.B, b.B), 255}
}

// at is where a place shows in the still, and how many px a metre has there.
func (s *scene) at(p spot) (u, v, perM float64) {
	u, v = seen(p.x, p.y, p.z)
	return stillShare * u, stillShare * v, stillShare * focalPx / (farM - p.y)
}

// paint draws one part, with soft edges.
func (s *scene) paint(p part) {
	u0, v0, m0 := s.at(p.from)
	u1, v1, m1 := s.at(p.to)
	r0, r1 := p.wide*m0, p.ends*m1
	du, dv, most := u1-u0, v1-v0, max(r0, r1)+1
	s.each(min(u0, u1)-most, min(v0, v1)-most, max(u0, u1)+most, max(v0, v1)+most, func(x, y float64) (color.RGBA, float64) {
		t := 0.0
		if long := du*du + dv*dv; long > 0 {
			t = min(max(((x-u0)*du+(y-v0)*dv)/long, 0), 1)
		}
		return p.colour, r0 + t*(r1-r0) - math.Hypot(x-u0-t*du, y-v0-t*dv) + .5
	})
}

// swash covers what of a blade is under water, and lets it break the surface.
func (s *scene) swash(from, to spot) {
	u0, v0, _ := s.at(spot{from.x, from.y, 0})
	u1, v1, _ := s.at(spot{to.x, to.y, 0})
	left, right, top := min(u0, u1)-12, max(u0, u1)+50, min(v0, v1)
	horizon := float64(s.img.Rect.Dy()) / 2
	s.each(left, top, right, top+70, func(x, y float64) (color.RGBA, float64) {
		edge := top + 2*math.Sin(x/6)
		if y < edge+3 {
			return tape, min(y-edge+1, .8)
		}
		return backdrop(x, y, horizon), .86
	})
}

// each mixes a colour into each pixel of a box by how much of it is covered.
func (s *scene) each(x0, y0, x1, y1 float64, colour func(x, y float64) (color.RGBA, float64)) {
	box := image.Rect(int(x0), int(y0), int(x1)+1, int(y1)+1).Intersect(s.img.Rect)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			if c, covered := colour(float64(x), float64(y)); covered > 0 {
				s.img.SetRGBA(x, y, mixed(s.img.RGBAAt(x, y), c, covered))
			}
		}
	}
}
