package ui

import (
	"context"

	"thole/api"
	"thole/api/club"
	"thole/api/setup"
	"thole/ui/page"
)

// firstSteps is the short path of a new club: who rows, in what, and the first work
// sheet. It is over with that, and with the records of a club that has them.
func firstSteps(service *api.Service) func(context.Context) ([]page.Step, error) {
	if service.Club.Store == nil { // calculators alone
		return nil
	}
	return func(ctx context.Context) ([]page.Step, error) {
		athletes, err1 := service.Club.AthleteNames(ctx)
		boats, err2 := service.Club.Boats(ctx, club.ListRequest{})
		sheets, err3 := service.Setup.Sheets(ctx, setup.SheetsRequest{})
		for _, err := range []error{err1, err2, err3} {
			if err != nil {
				return nil, err
			}
		}
		if len(athletes) > 0 && len(boats.Boats) > 0 && len(sheets.Sheets) > 0 {
			return nil, nil
		}
		return []page.Step{
			{Title: "Your squad", Text: "Bring in the club’s spreadsheet as it is, or add athletes one by one.", Address: "/squad/import", Done: len(athletes) > 0},
			{Title: "Your boats", Text: "Name a boat, then measure its seats.", Address: "/boats/new", Done: len(boats.Boats) > 0},
			{Title: "A set-up", Text: "Choose a boat and its crew, and make the work sheet.", Address: "/setup", Done: len(sheets.Sheets) > 0},
		}, nil
	}
}
