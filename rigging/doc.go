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
// # Reach
//
// Three things are kept apart. [Case.Capacity] is how far a body goes in a rig
// with every limit held. [Case.Expect] is what its owner will probably row
// there, from the body and, weakly, from the arc of the group ([Group.Arc]); arcs
// that were measured replace the group's. [Case.Solve] is what a posture that is
// simply stated comes to. [Case.Suits] compares targets with the capacity as a
// chance, [Case.Judge] gives the one verdict on a seat, and [MakePlan] the work
// on a boat; [Setup.Proof] and [Reading] check and correct a stretcher with the
// rower in the seat.
//
// # Ranges
//
// What is plausible for each value stands in one table, [Ranges], with who says
// so. The checks go by it, and so can forms and documents at the edge.
//
// # Errors
//
// Data that cannot be right is answered with a [*FieldError] (or several,
// joined in [FieldErrors]) that names its [Place]; a body that
// cannot reach is answered with a [*ReachError] that names the limit. Misuse by a
// programmer panics. No function returns NaN.
package rigging
