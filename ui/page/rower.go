package page

import (
	"net/url"
	"strconv"

	"thole/api/club"
	"thole/api/seat"
)

// SetRower fills in what is known of an athlete's body and posture.
func SetRower(query url.Values, a *club.Athlete, scull bool) {
	query.Set("rower", a.Name)
	query.Set("athlete", strconv.FormatInt(a.ID, 10))
	if a.Sex != "" {
		query.Set("sex", a.Sex)
	}
	request := &seat.SolveRequest{Rower: a.Rower, Posture: &seat.Posture{}}
	found := a.SweepPosture
	if scull {
		found = a.ScullPosture
	}
	if found != nil {
		request.Posture = &found.Posture
	}
	for _, f := range Concat(BodyFields, SegmentFields, PostureFields) {
		SetNumber(query, f.Name, *f.At(request))
	}
}
