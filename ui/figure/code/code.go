// Package code draws addresses as codes that a phone reads.
package code

import (
	"fmt"
	"html/template"
	"strings"

	"rsc.io/qr"
)

// quietZone is the white around a code, in modules (ISO/IEC 18004, from memory).
const quietZone = 4

// SVG draws an address as a code that a phone reads; nothing where it is too long
// for one.
func SVG(address string) template.HTML {
	code, err := qr.Encode(address, qr.M)
	if err != nil {
		return ""
	}
	var path strings.Builder
	for y := range code.Size {
		for x := range code.Size {
			if code.Black(x-1, y) { // in the run that began before
				continue
			}
			if n := run(code, x, y); n > 0 {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", x+quietZone, y+quietZone, n, n)
			}
		}
	}
	side := code.Size + 2*quietZone
	return template.HTML(fmt.Sprintf(`<svg class="p-code" viewBox="0 0 %d %d" role="img" aria-label="QR code of the address below">`+
		`<path class="p-paper" d="M0 0h%dv%dh-%dz"/><path class="p-ink" d="%s"/></svg>`, side, side, side, side, side, path.String()))
}

// run counts the black modules in a row from one on.
func run(code *qr.Code, x, y int) int {
	n := 0
	for code.Black(x+n, y) {
		n++
	}
	return n
}

// Text draws an address as a code for a terminal, two rows of modules in a
// line; "" where it is too long for one.
func Text(address string) string {
	code, err := qr.Encode(address, qr.L)
	if err != nil {
		return ""
	}
	var text strings.Builder
	for line := range (code.Size + quietZone + 1) / 2 {
		for column := range code.Size + quietZone {
			x, y := column-quietZone/2, 2*line-quietZone/2
			// White is what is drawn: most terminals are dark.
			text.WriteString([]string{" ", "▄", "▀", "█"}[2*white(code, x, y)+white(code, x, y+1)])
		}
		text.WriteByte('\n')
	}
	return text.String()
}

// white is 1 for a module that is not black.
func white(code *qr.Code, x, y int) int {
	if code.Black(x, y) {
		return 0
	}
	return 1
}
