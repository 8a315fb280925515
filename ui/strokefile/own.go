package strokefile

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/strokefile"
	"thole/ui/page"
)

// Pages as an athlete gets them: for strokes of their own alone.

// SelfOf is the number of the athlete who asks, for whom only their own strokes are
// kept; 0 for whoever may keep everybody's.
func SelfOf(r *http.Request) int64 {
	if v := access.From(r.Context()); v.Role == access.Athlete {
		return v.Athlete
	}
	return 0
}

// seatChoice asks an athlete which seat of the file is theirs; nil for others.
type seatChoice struct {
	Chosen string
	Names  []string // seen in the beginning of the file
	Typed  bool     // rather than chosen: the file has others than its beginning tells
}

// newSeatChoice offers the seats that a proposal names.
func newSeatChoice(r *http.Request, proposal *strokefile.StrokeProposal) *seatChoice {
	if SelfOf(r) == 0 {
		return nil
	}
	c := new(seatChoice)
	for _, oar := range proposal.Seats {
		name := strings.TrimSuffix(strings.TrimSuffix(oar, " port"), " starboard")
		if !slices.Contains(c.Names, name) && name != "port" && name != "starboard" {
			c.Names = append(c.Names, name)
		}
	}
	return c
}

// Shown reports whether there is something to choose.
func (c *seatChoice) Shown() bool { return len(c.Names) > 1 || c.Typed }

// asked is the seat to be measured; nil for the only one.
func (c *seatChoice) asked() *string {
	if c == nil || c.Chosen == "" {
		return nil
	}
	return &c.Chosen
}

// mend has the seat typed where it is what was wrong.
func (c *seatChoice) mend(problems []page.Problem) {
	if c != nil && slices.ContainsFunc(problems, func(p page.Problem) bool { return p.Field == seatField }) {
		c.Typed = len(c.Names) < 2 || c.Chosen != ""
	}
}

// seatField is the id of the field in which an athlete names their seat.
const seatField = "own_seat"

// Unsure reports whether somebody should check how the file is read: there is a question
// or a mistake, or a column that measuring needs is not known.
func (p *mappingPage) Unsure() bool {
	known := map[string]bool{"time": p.Rate != ""}
	for _, c := range p.Columns {
		known[c.Quantity] = true
	}
	inFold := func(f page.Problem) bool { return f.Field != seatField && f.Field != "force" }
	return len(p.Questions) > 0 || p.ZerosWanted() || slices.ContainsFunc(p.Problems, inFold) || !known["time"] || !known["oar_angle"] || !known["force"]
}

// Given is the athlete that a form names, or else the one who asks; "" for nobody.
func Given(text string, self int64) string {
	if text == "" && self != 0 {
		return strconv.FormatInt(self, 10)
	}
	return text
}
