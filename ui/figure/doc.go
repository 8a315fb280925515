// Package figure draws rowing: the rower from the side, a seat and a crew from above,
// and the reach of a body as a graduated scale. It takes plain numbers in metres,
// kilograms and degrees, signed as in package rigging, and calculates nothing about
// rowing; shapes and type are of package draw. Sizes in px are our own layout, judged by
// eye on a phone and a desk. Every function panics when a number is not finite: callers
// draw only what was solved.
package figure
