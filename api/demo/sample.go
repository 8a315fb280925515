package demo

// StrokeSample is a small file in the plain layout: made-up strokes of one
// sweep rower, to try the import with.
func StrokeSample() []byte {
	return []byte(demoRowers[0].text(0))
}
