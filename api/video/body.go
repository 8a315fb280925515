package video

import (
	"context"

	"thole/api/wire"
	"thole/rigging/camera"
)

// BodyRequest is a picture of a person from the side beside a known length.
type BodyRequest struct {
	KnownCm         float64  `json:"known_cm" validate:"gte=30,lte=400" description:"Between two marks at the person, such as on a wall or a pole."`
	KnownPx         float64  `json:"known_px" validate:"gte=50,lte=20000" description:"The same in the picture."`
	DistanceM       float64  `json:"distance_m" validate:"gte=2,lte=100" description:"From the person to the camera, which is level with the hip."`
	DepthCm         *float64 `json:"depth_cm,omitempty" validate:"omitempty,gte=0,lte=100" default:"10" description:"How much nearer or farther than the known length the body may stand."`
	MarkSdPx        *float64 `json:"mark_sd_px,omitempty" validate:"omitempty,gte=0.5,lte=50" default:"1.5" description:"Standard deviation of a mark."`
	SittingHeightPx *float64 `json:"sitting_height_px,omitempty" validate:"omitempty,gte=20,lte=20000" description:"Seat to the top of the head."`
	LegPx           *float64 `json:"leg_px,omitempty" validate:"omitempty,gte=20,lte=20000" description:"Hip to sole."`
	ArmPx           *float64 `json:"arm_px,omitempty" validate:"omitempty,gte=20,lte=20000" description:"Shoulder to grip."`
}

// Body holds the lengths that were marked; the others are null.
type Body struct {
	SittingHeightCm *Length `json:"sitting_height_cm"`
	LegCm           *Length `json:"leg_cm"`
	ArmCm           *Length `json:"arm_cm"`
}

// Length is a length with its standard deviation.
type Length struct {
	Value float64 `json:"value" description:"In cm."`
	Sd    float64 `json:"sd" description:"In cm."`
}

// clothesSD is what clothes and joints under the skin hide, m: 1–2 cm
// (common practice).
const clothesSD = .015

// Body reads the lengths. The error is an *Invalid.
func (s *Service) Body(_ context.Context, r BodyRequest) (Body, error) {
	var p wire.Problems
	p.Check(wire.Place{}, r)
	if r.SittingHeightPx == nil && r.LegPx == nil && r.ArmPx == nil {
		p.Add(wire.At("sitting_height_px").Problem("Mark at least one length of the body."))
	}
	if err := p.OrNil(); err != nil {
		return Body{}, err
	}
	length := func(px *float64) *Length {
		if px == nil {
			return nil
		}
		depth := wire.FromCm(wire.Or(r.DepthCm, 10)) / r.DistanceM
		v := camera.Length(*px, r.KnownPx, wire.FromCm(r.KnownCm), .005, wire.Or(r.MarkSdPx, 1.5), depth)
		return &Length{wire.ToCm(v.Value), wire.ToCm(camera.Both(v.SD, clothesSD))}
	}
	return Body{length(r.SittingHeightPx), length(r.LegPx), length(r.ArmPx)}, nil
}
