package lineup

import (
	"strconv"
	"strings"

	"thole/api/lineup"
	"thole/ui/page"
)

// lineupSaving saves one line-up of the page.
type lineupSaving struct {
	Key, Class, Boat, Seats, Sides, Cox, By string

	Name string // proposed
}

// saving is the form that saves a line-up.
func (p *lineupPage) saving(l *lineup.ScoredLineup, key string) *lineupSaving {
	f := &lineupSaving{Key: key, Class: p.Class.Code, Seats: strings.Join(l.Seats, "."), Sides: strings.Join(l.Sides, "."), By: p.Who,
		Name: p.dayName()}
	if p.Boat != nil {
		f.Boat = strconv.FormatInt(p.Boat.ID, 10)
	}
	if p.Class.Coxed {
		f.Cox = p.typed.Get("cox")
		if c := p.cox(); c != nil && f.Cox == "" {
			f.Cox = page.Plain(c.CountedKg)
		}
	}
	return f
}
