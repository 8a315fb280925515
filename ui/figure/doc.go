// Package figure draws rowing: the rower from the side, a seat and a crew from
// above, and the reach of a body as a graduated scale.
//
// Drawings are made of plain numbers in metres, kilograms and degrees and come
// out as a [Drawing]: paths with classes of the style sheet, labels with the
// boxes they take, and a title and a description. Coordinates are pixels at
// the width asked for, because type has a smallest size and a label that fits
// at one width does not at another; [Responsive] puts several widths into a
// page and leaves the choice to the style sheet.
//
// Positions along the boat are signed as in package rigging: X towards the
// stern from the line through the pins, Z up from the lowest point of the
// seat. On the drawings the bow lies left or at the top.
//
// Every function panics when a number is not finite: callers draw only what
// was solved.
package figure
