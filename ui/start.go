package ui

import (
	"context"
	"fmt"

	"thole/api"
	"thole/api/records"
	"thole/api/setup"
	"thole/ui/page"
)

// firstSteps is the short path of a new club: who rows, in what, and the first work
// sheet. It is over with those of the club's own; examples take no step.
func firstSteps(service *api.Service) func(context.Context) (page.Start, error) {
	if service.Club.Store == nil { // calculators alone
		return nil
	}
	return func(ctx context.Context) (page.Start, error) {
		e, err := service.Demo.Examples(ctx, struct{}{})
		if err != nil {
			return page.Start{}, err
		}
		start := page.Start{Empty: e.Empty()}
		if e.Loaded() {
			start.Examples = page.Counted(e.Examples.Athletes, "athlete", "athletes") + ", " + page.Counted(e.Examples.Boats, "boat", "boats")
		}
		if own := e.Own; own.Athletes == 0 || own.Boats == 0 || own.Sheets == 0 {
			start.Steps = []page.Step{
				{Title: "Your squad", Text: "Import the club’s spreadsheet as it is, or add athletes one by one.", Address: "/squad/import", Done: own.Athletes > 0},
				{Title: "Your boats", Text: "Import the club’s table of boats, or name a boat and measure its seats.", Address: "/boats/import", Done: own.Boats > 0},
				{Title: "A set-up", Text: "Choose a boat and its crew, and make the work sheet.", Address: "/setup", Done: own.Sheets > 0},
			}
		}
		if start.Todo, err = underWay(ctx, service); err != nil {
			return page.Start{}, err
		}
		return start, nil
	}
}

// mostUnderWay is how many open sheets the start page names; our judgement.
const mostUnderWay = 4

// underWay is what was begun: today's seat races, and work sheets that are not finished.
func underWay(ctx context.Context, service *api.Service) (list []page.Todo, err error) {
	races, err := service.Seatrace.Races(ctx, records.ListRequest{})
	if err != nil {
		return nil, err
	}
	today := service.Seatrace.Today()
	for _, r := range races.Races {
		if r.HeldOn == today && !r.Archived {
			list = append(list, page.Todo{Text: "Seat race today: " + r.Name, Address: fmt.Sprintf("/seat-races/%d", r.ID), Note: r.BoatClass})
		}
	}
	sheets, err := service.Setup.Sheets(ctx, setup.SheetsRequest{Open: true})
	if err != nil {
		return nil, err
	}
	for _, h := range sheets.Sheets[:min(len(sheets.Sheets), mostUnderWay)] {
		list = append(list, page.Todo{Text: "Work sheet open: " + h.BoatName, Address: fmt.Sprintf("/sheets/%d", h.ID), Note: "made by " + h.CreatedBy + ", " + page.When(h.CreatedAt)})
	}
	return list, nil
}
