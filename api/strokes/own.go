package strokes

import (
	"context"
	"fmt"
	"slices"

	"thole/api/access"
	"thole/api/records"
	"thole/api/wire"
	"thole/selection/stroke"
)

// What an athlete brings in and changes: strokes of their own. Whoever else sat in the
// boat is left out.

// RecordingOwner returns the athlete whose strokes a recording holds; 0 where
// nobody is named.
func (s *Service) RecordingOwner(ctx context.Context, id int64) (int64, error) {
	r, err := s.Store.RecordingRow(ctx, id)
	if err != nil || r.AthleteID == nil {
		return 0, records.RecordError(err)
	}
	return *r.AthleteID, nil
}

// SoleOwner is RecordingOwner with access.ErrOthersToo where recordings of others, or
// of nobody, were kept from the same file.
func (s *Service) SoleOwner(ctx context.Context, id int64) (int64, error) {
	owner, err := s.RecordingOwner(ctx, id)
	if err != nil || owner == 0 {
		return owner, err
	}
	others, err := s.Store.HoldsOthers(ctx, id)
	if err == nil && others {
		err = access.ErrOthersToo
	}
	return owner, records.RecordError(err)
}

// UploadSender is the account that sent an upload; 0 is nobody.
func (s *Service) UploadSender(id string) int64 { return s.uploads.Sender(id) }

// keepsOwn reports whether who asks may keep strokes of an athlete, nil for nobody, and
// complains otherwise.
func keepsOwn(ctx context.Context, p *wire.Problems, at wire.Place, athlete *int64) bool {
	if access.From(ctx).Owns(wire.Or(athlete, 0)) {
		return true
	}
	p.Add(at.Problem("You can keep your own strokes only: a coach can keep those of others."))
	return false
}

// narrow leaves the strokes of one seat in a report: of the one that was asked for or,
// for an athlete, of the only one there is. An athlete has to say which of several is
// theirs.
func narrow(ctx context.Context, report *stroke.Report, seat *string) error {
	names := seatsOf(report)
	athlete := access.From(ctx).Role == access.Athlete
	switch {
	case seat == nil && athlete && len(names) > 1:
		return wire.At("seat").Invalid(fmt.Sprintf("The file holds %s: say which is yours. The others are left out.", seatNames(names)))
	case seat == nil:
		return nil
	case !slices.Contains(names, *seat):
		return wire.At("seat").Invalid(fmt.Sprintf("The file has no seat “%s”; it holds %s.", *seat, seatNames(names)))
	}
	report.Oars = slices.DeleteFunc(report.Oars, func(o stroke.OarReport) bool { return o.Oar.Seat != *seat })
	return nil
}

// seatsOf are the seats of a report, each once.
func seatsOf(report *stroke.Report) []string {
	var names []string
	for i := range report.Oars {
		if name := report.Oars[i].Oar.Seat; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// mostNamed is how many seats a message names, by our judgement: an eight and its coxswain.
const mostNamed = 9

// seatNames lists seats in a sentence.
func seatNames(names []string) string {
	switch {
	case len(names) == 1 && names[0] == "":
		return "one rower without a seat"
	case len(names) == 1:
		return "seat " + names[0]
	case len(names) > mostNamed:
		return fmt.Sprintf("%d seats", len(names))
	}
	return "seats " + wire.And(names)
}
