package stroke

import (
	"bytes"
	"math"
	"strconv"
)

// pow10 holds the powers of ten that a float64 represents exactly.
var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// parseNumber reads a decimal number such as -12.5 or 1e-3, with mark for the
// decimal point. The value is the nearest float64: a whole number below 2^53
// divided by an exact power of ten is rounded once (W. D. Clinger, "How to
// read floating point numbers accurately", PLDI 1990); everything else goes
// through strconv. Words, hexadecimal numbers, grouped digits and numbers too
// large for a float64 are refused.
func parseNumber(b []byte, mark byte) (v float64, ok bool) {
	var whole uint64
	digits, point := 0, -1
	for _, c := range b[signLength(b):] {
		if d := c - '0'; d <= 9 {
			whole = whole*10 + uint64(d)
			digits++
		} else if c == mark && point < 0 {
			point = digits
		} else {
			return parseRare(b, mark)
		}
	}
	if digits == 0 {
		return 0, false
	}
	if digits > 19 || whole >= 1<<53 {
		return parseRare(b, mark)
	}
	v = float64(whole)
	if point >= 0 {
		v /= pow10[digits-point]
	}
	if b[0] == '-' {
		v = -v
	}
	return v, true
}

func signLength(b []byte) int {
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		return 1
	}
	return 0
}

// parseRare reads what the short way of parseNumber cannot.
func parseRare(b []byte, mark byte) (v float64, ok bool) {
	if len(b) > maxNumber || !isDecimal(b, mark) {
		return 0, false
	}
	text := string(b)
	if mark != '.' {
		text = string(bytes.Replace(b, []byte{mark}, []byte{'.'}, 1))
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// maxNumber is the length in bytes beyond which no measurement is written, by our
// judgement: a float64 in full has 24.
const maxNumber = 64

// isDecimal reports whether b is sign, digits with at most one mark, and
// perhaps an exponent.
func isDecimal(b []byte, mark byte) bool {
	b = b[signLength(b):]
	before := digitsAt(b)
	b = b[before:]
	after := 0
	if len(b) > 0 && b[0] == mark {
		after = digitsAt(b[1:])
		b = b[1+after:]
	}
	if before+after == 0 {
		return false
	}
	if len(b) == 0 {
		return true
	}
	if b[0] != 'e' && b[0] != 'E' {
		return false
	}
	b = b[1:]
	b = b[signLength(b):]
	return len(b) > 0 && digitsAt(b) == len(b)
}

// digitsAt returns how many digits b begins with.
func digitsAt(b []byte) int {
	n := 0
	for n < len(b) && b[n]-'0' <= 9 {
		n++
	}
	return n
}

// parseClock reads h:mm:ss.s or mm:ss.s as seconds. A date before it, set off
// by a blank or a T, is passed over, and so is a Z behind it.
func parseClock(b []byte, mark byte) (v float64, ok bool) {
	if i := bytes.LastIndexAny(b, " T"); i >= 0 {
		b = b[i+1:]
	}
	b = bytes.TrimSuffix(b, []byte("Z"))
	parts := bytes.Split(b, []byte(":"))
	if len(parts) < 2 || len(parts) > 3 {
		return 0, false
	}
	for i, p := range parts {
		x, ok := parseNumber(p, mark)
		whole := digitsAt(p) == len(p)
		if !ok || x < 0 || i > 0 && x >= 60 || i < len(parts)-1 && !whole {
			return 0, false
		}
		v = v*60 + x
	}
	return v, true
}

// isBlank reports whether a trimmed cell says that nothing was measured.
func isBlank(b []byte) bool {
	switch len(b) {
	case 0:
		return true
	case 1:
		return b[0] == '-'
	case 2:
		return bytes.EqualFold(b, []byte("NA"))
	case 3:
		return bytes.EqualFold(b, []byte("NaN")) || bytes.EqualFold(b, []byte("n/a"))
	case 4:
		return bytes.EqualFold(b, []byte("#N/A")) || bytes.EqualFold(b, []byte("null"))
	}
	return false
}
