package strokes

import "thole/selection/stroke"

// LevelOf is the share of the peak at which slip is read.
func LevelOf(t *stroke.Thresholds) float64 {
	if t.Share > 0 {
		return t.Share
	}
	return stroke.DefaultShare
}
