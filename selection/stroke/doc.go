// Package stroke reads measured force curves: it imports delimited text from
// any logger, cuts it into strokes, measures each stroke and says how alike
// two rowers' curves are.
//
// # Signs and sites
//
// The oar angle is 0 with the oar square to the hull, negative towards the
// catch and positive towards the finish; the catch is its minimum and the
// finish its maximum. The vertical angle is 0 with the blade's centre at the
// water and negative below it. Force is positive when the rower pulls and is
// taken as the part that stands at right angles to the oar in the horizontal
// plane; a logger that writes the part along the boat has to be corrected by
// 1/cos of the oar angle before the import.
//
// # Work
//
// The work of a stroke is ∫ M dθ over the drive, with M the moment about the
// pin. M is the force times an arm that follows from where the force was
// measured and from the oar's levers, which the caller supplies: see
// [Levers]. Without levers there is no work and no power.
//
// # What has to be said
//
// No file tells for certain whether its force is that at the handle or at the
// gate, in which unit a bare number stands, or where its sensors have their
// zeros. What the file leaves open is put as a [Question], with what the
// recording says about it and the field of the [Mapping] that answers it.
//
// # What a cycle is
//
// A stroke runs from one catch to the next: the drive up to the finish, then
// the recovery. Only whole cycles count. What is left out is counted with its
// reason, see [LeftOut]. Means are taken over all strokes and over those of
// one rate, see [RateGroup].
//
// # What a curve match does not tell
//
// Matched curves are a coach's hypothesis and no proven gain in speed. In one
// study neither power nor timing nor drag told which pairs were fast
// (A. Baudouin and D. Hawkins, Journal of Biomechanics 37:969, 2004), half a
// century of research has not settled on a best shape (J. Warmenhoven et al.,
// Sports Medicine 48:2703, 2018), and in a pair the two rowers have to pull
// differently for the boat to run straight (R. Smith and C. Draper, ISBS).
package stroke
