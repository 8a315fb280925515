package video

import "thole/api/wire"

// The ends of a hull stand about so high over the water, cm: common practice.
const hullEndCm, hullEndSdCm = 15.0, 5.0

// HullEnd is an end of the hull on the centreline, x cm from the pins, negative towards
// the bow.
func HullEnd(name string, x float64) KnownPoint {
	return KnownPoint{Name: name, XCm: x, ZCm: hullEndCm, SdCm: wire.Ptr(hullEndSdCm)}
}

// Where a point of the waterline is marked that may lie anywhere on one end: about so far
// from the pins and from the centreline, cm; our judgement.
const waterlineCm, waterlineSdCm, waterlineOutCm = 150.0, 100.0, 20.0

// OnWaterline is a point where hull and water meet, towards an end, -1 the bow and 1 the
// stern, and on a side, -1 port and 1 starboard.
func OnWaterline(name string, end, side float64) KnownPoint {
	return KnownPoint{Name: name, XCm: end * waterlineCm, YCm: side * waterlineOutCm, XSdCm: wire.Ptr(waterlineSdCm)}
}

// TapeSdCm is how well tape and pins are measured, cm: with a tape measure along a
// saxboard, our judgement. It is the default of the request.
const TapeSdCm = 1.0
