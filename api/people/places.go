package people

import (
	"fmt"
	"strconv"
	"strings"

	"thole/api/fleet"
	"thole/api/seat"
)

// SeatChoice is a seat of a boat to choose by its name.
type SeatChoice struct{ Value, Label string }

// SeatChoices lists every seat of boats, to choose one by its name.
func SeatChoices(boats []fleet.BoatSummary, classes []seat.BoatClass) []SeatChoice {
	var list []SeatChoice
	for i := range boats {
		for n := range rowersOf(boats[i].BoatClass, classes) {
			list = append(list, SeatChoice{Value: PlaceOf(boats[i].ID, n+1), Label: SeatName(boats[i].Name, n+1, rowersOf(boats[i].BoatClass, classes))})
		}
	}
	return list
}

func rowersOf(code string, classes []seat.BoatClass) int {
	for _, c := range classes {
		if c.Code == code {
			return c.Rowers
		}
	}
	return 0
}

// SeatName names a seat of a boat as people do: bow, seat 2, stroke; that of a
// single is the boat.
func SeatName(boat string, seat, seats int) string {
	switch {
	case seats == 1:
		return boat
	case seat == 1:
		return boat + ", bow"
	case seat == seats:
		return boat + ", stroke"
	}
	return boat + ", seat " + strconv.Itoa(seat)
}

// PlaceOf writes a seat of a boat on record as forms and addresses carry it, such
// as 3-5; [SeatAt] reads it.
func PlaceOf(boat int64, seat int) string { return fmt.Sprintf("%d-%d", boat, seat) }

// SeatAt reads a seat of a boat on record, and whether the text names one.
func SeatAt(text string) (boat int64, seat int, ok bool) {
	of, at, _ := strings.Cut(text, "-")
	boat, err1 := strconv.ParseInt(of, 10, 64)
	seat, err2 := strconv.Atoi(at)
	if err1 != nil || err2 != nil || boat < 1 || seat < 1 {
		return 0, 0, false
	}
	return boat, seat, true
}
