// Package stroke reads measured force curves: it imports delimited text from any
// logger, cuts it into strokes, measures each stroke, says how alike two rowers'
// curves are and what changed between recordings. It asks where a file leaves
// something open ([Question]) and says nothing of what a stroke is worth, which is for
// package speed.
package stroke
