package figure

import "thole/ui/figure/plane"

// Point is a place on a drawing, px, y downwards.
type Point = plane.Point

// Box is a rectangle on a drawing, px; X and Y are its left and top.
type Box = plane.Box
