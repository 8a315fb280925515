// Package rigging holds the geometry that joins a rower's body, the rig of a boat and
// the arc of the oar: reach, heights and pitch, the work on a boat, the rules, and the
// calibration to arcs that were measured. It is pure: no input or output, no clock, no
// logging, no global randomness. Lengths are metres, masses kilograms, angles radians,
// times seconds and forces newtons throughout; package api converts at the edge. What
// data cannot be right is an error, misuse by a programmer panics, and no function
// returns NaN.
package rigging
