package stroke

import (
	"bytes"
	"fmt"
	"strconv"
	"time"
)

// Day is the day of a recording as its own time stamps tell it; the zero value
// is none.
type Day struct {
	Year, Month, Day int
	// UTC is set where the stamps count from 1970, so that the day is that at
	// Greenwich: near midnight the place where it was rowed may have another.
	UTC bool
}

// String returns the day as 2026-05-01, "" where there is none.
func (d Day) String() string {
	if d.Year == 0 {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// The days that a recording can be from: loggers that were never set begin in
// 1970, 1980 or 2000 and write one that is wrong.
const (
	firstYear = 2001
	lastYear  = 2099
)

// newDay checks a date against the calendar.
func newDay(year, month, day int) (Day, bool) {
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	ok := year >= firstYear && year <= lastYear && t.Year() == year && int(t.Month()) == month && t.Day() == day
	return Day{Year: year, Month: month, Day: day}, ok
}

// dayOf reads the day from a cell of time: a date before the clock, or seconds
// since 1970. ok is false where the time is that since the start, and where a
// date can be read two ways.
func dayOf(f *field, cell []byte, seconds float64) (Day, bool) {
	if f.Unit == Clock {
		if i := bytes.LastIndexAny(cell, " T"); i > 0 {
			return parseDate(trim(cell[:i]))
		}
		return Day{}, false
	}
	if seconds < 0 || seconds > 1e11 {
		return Day{}, false
	}
	t := time.Unix(int64(seconds), 0).UTC()
	d, ok := newDay(t.Year(), int(t.Month()), t.Day())
	d.UTC = true
	return d, ok
}

// parseDate reads 2026-05-01, 2026/5/1, 20260501, 1.5.2026 and, where only one
// of the first two numbers can be a month, 31/5/2026 and 5/31/2026.
func parseDate(b []byte) (Day, bool) {
	if len(b) == 8 && digitsAt(b) == 8 {
		return newDay(number(b[:4]), number(b[4:6]), number(b[6:]))
	}
	mark := bytes.IndexAny(b, "-/.")
	if mark < 0 {
		return Day{}, false
	}
	parts := bytes.Split(b, b[mark:mark+1])
	if len(parts) != 3 {
		return Day{}, false
	}
	x, y, z := number(parts[0]), number(parts[1]), number(parts[2])
	switch {
	case len(parts[0]) == 4:
		return newDay(x, y, z)
	case len(parts[2]) != 4:
		return Day{}, false
	case b[mark] == '.' || x > 12:
		return newDay(z, y, x)
	case y > 12:
		return newDay(z, x, y)
	}
	return Day{}, false
}

// number returns a whole number, −1 for anything else.
func number(b []byte) int {
	n, err := strconv.Atoi(string(b))
	if err != nil || digitsAt(b) != len(b) {
		return -1
	}
	return n
}
