// Package rigging holds the geometry that joins a rower's body, the rig of a
// boat and the arc of the oar.
//
// It is pure: no input or output, no clock, no logging, no global randomness.
// Lengths are metres, masses kilograms, angles radians, times seconds and
// forces newtons throughout; package api converts at the edge.
//
// # Frame and signs
//
// The origin lies on the line that joins the pins, on the centreline of the
// boat, at the height of the lowest point of the seat. The x axis points to
// the stern (the rower faces it), y from the centreline towards the pin in
// question and z up. The oar angle is 0 with the oar square to the hull,
// negative towards the catch and positive towards the finish, the sign
// convention of the biomechanics literature.
//
// # Ranges
//
// What is plausible for each value stands in one table, [Ranges], with who says
// so. The checks go by it, and so can forms and documents at the edge.
//
// # Errors
//
// Data that cannot be right is answered with a [*FieldError] (or several,
// joined in [FieldErrors]) that names the field and its [Place]; a body that
// cannot reach is answered with a [*ReachError] that names the limit. Misuse by a
// programmer panics. No function returns NaN.
package rigging
