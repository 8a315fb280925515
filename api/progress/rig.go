package progress

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"

	"thole/api/advice"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/selection/speed"
)

// RigMark is something that was changed between recordings.
type RigMark struct {
	On     string `json:"on" description:"YYYY-MM-DD."`
	BoatID int64  `json:"boat_id" description:"0 where no boat is on record."`
	Boat   string `json:"boat"`
	Said   string `json:"said"`
	Sheet  int64  `json:"sheet_id" description:"The work sheet that it came from; 0 for none."`
}

// rigMarks lists what was changed from a rower's first recording to a day: the
// rig of the seats rowed in, and the boat, seat and levers of one recording
// against those of the one before.
func (s *Service) rigMarks(ctx context.Context, list []outing, until string) ([]RigMark, error) {
	marks := []RigMark{}
	seen := map[[2]int64]bool{}
	for i := range list {
		o := &list[i]
		if i > 0 && o.on() <= until {
			marks = append(marks, moved(&list[i-1], o)...)
		}
		if o.text.BoatID == nil {
			continue
		}
		own, err := s.seatMarks(ctx, o, seen, list[0].on(), until)
		if err != nil {
			return marks, err
		}
		marks = append(marks, own...)
	}
	slices.SortStableFunc(marks, func(a, b RigMark) int { return strings.Compare(a.On, b.On) })
	return marks, nil
}

// moved describes another boat, seat or other levers.
func moved(before, after *outing) (marks []RigMark) {
	a, b := &before.text, &after.text
	add := func(said string) {
		marks = append(marks, RigMark{On: b.RecordedOn, BoatID: wire.Or(b.BoatID, 0), Boat: b.Boat, Said: said})
	}
	placeA, placeB := placeText(a), placeText(b)
	if placeA != placeB {
		add("in " + placeB + ", before in " + placeA)
	}
	inA, inB := wire.Or(before.oars[0].terms.Levers, strokefile.OarLevers{}).InCm, wire.Or(after.oars[0].terms.Levers, strokefile.OarLevers{}).InCm
	if inA != inB && inA != 0 && inB != 0 {
		add("hands " + wire.Trimmed(1, inA) + " to " + wire.Trimmed(1, inB) + " cm from the pin")
	}
	return marks
}

// placeText is where somebody sat.
func placeText(r *strokes.RecordingSummary) string {
	switch {
	case r.Boat == "":
		return "a boat not on record"
	case r.Seat == "":
		return r.Boat
	}
	return r.Boat + ", seat " + r.Seat
}

// seatMarks reports what was changed at the seat of an outing, once a seat, after
// a day and up to another.
func (s *Service) seatMarks(ctx context.Context, o *outing, seen map[[2]int64]bool, from, until string) ([]RigMark, error) {
	id := *o.text.BoatID
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: id})
	if errors.Is(err, wire.ErrNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	number := advice.SeatNumber(o.text.Seat, len(boat.Seats))
	key := [2]int64{id, int64(number)}
	if number < 1 || number > len(boat.Seats) || seen[key] {
		return nil, nil
	}
	seen[key] = true
	history, err := s.fleet.RigHistory(ctx, fleet.RigHistoryRequest{ID: id, Seat: number, Limit: mostRigChanges})
	if err != nil {
		return nil, err
	}
	var marks []RigMark
	for _, c := range slices.Backward(history.Changes) {
		on := c.At.Format(wire.DayLayout)
		if on <= from || on > until || c.From == nil || c.To == nil {
			continue // before the first recording, or the first time it was measured
		}
		said := boat.Name + ", seat " + strconv.Itoa(number) + ": " + lowerFirst(wire.SettingLabel(c.Setting)) + " " +
			wire.Trimmed(1, *c.From) + " to " + wire.Trimmed(1, *c.To) + unitOfSetting(c.Setting)
		sheet := wire.Or(c.SheetID, 0)
		if n := len(marks); n > 0 && marks[n-1].On == on && marks[n-1].Sheet == sheet {
			_, what, _ := strings.Cut(said, ": ")
			marks[n-1].Said += "; " + what
			continue
		}
		marks = append(marks, RigMark{On: on, BoatID: id, Boat: boat.Name, Said: said, Sheet: sheet})
	}
	return marks, nil
}

// mostRigChanges bounds the entries of a seat's history that are read; our judgement:
// ten years of a change a week.
const mostRigChanges = 500

func unitOfSetting(name string) string {
	if strings.HasSuffix(name, "_deg") {
		return "°"
	}
	return " cm"
}

func lowerFirst(text string) string {
	if text == "" {
		return text
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// seatOrder orders seats by their number, bow first, and others by name.
func seatOrder(a, b string) int {
	x, y := advice.SeatNumber(a, speed.MaxSeats), advice.SeatNumber(b, speed.MaxSeats)
	if x != y {
		return x - y
	}
	return strings.Compare(a, b)
}
