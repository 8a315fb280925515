// Package draw is what drawings of rowing are made of: shapes of paths, type that finds
// a clear place beside them, and the picture of both, written as SVG. It knows nothing
// of boats and bodies but the kinds of shapes that a label keeps clear of. Coordinates
// are px; sizes of type and distances are our own layout, judged by eye.
package draw
