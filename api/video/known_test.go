package video_test

import (
	"reflect"
	"testing"

	"thole/api/video"
	"thole/api/wire"
)

// TestPlacesThatNobodyMeasures: the ends of a hull on its centreline over the water, and
// the waterline on the water, known along the boat least of all.
func TestPlacesThatNobodyMeasures(t *testing.T) {
	for _, c := range []struct{ got, want video.KnownPoint }{
		{video.HullEnd("bow_ball", -820), video.KnownPoint{Name: "bow_ball", XCm: -820, ZCm: 15, SdCm: wire.Ptr(5.)}},
		{video.OnWaterline("water_stern", 1, -1), video.KnownPoint{Name: "water_stern", XCm: 150, YCm: -20, XSdCm: wire.Ptr(100.)}},
		{video.OnWaterline("water_bow", -1, 1), video.KnownPoint{Name: "water_bow", XCm: -150, YCm: 20, XSdCm: wire.Ptr(100.)}},
	} {
		if !reflect.DeepEqual(c.got, c.want) {
			t.Errorf("%+v, want %+v", c.got, c.want)
		}
	}
}
