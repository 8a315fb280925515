package ui_test

import (
	"fmt"
	"net/http"
	"testing"

	"thole/api/seat"
	"thole/api/setup"
)

// BenchmarkSheetPages measures the pages at the server, in a club of 200 boats
// and 500 athletes. What the fit takes of a set-up is measured beside it.
func BenchmarkSheetPages(b *testing.B) {
	c := bigClub(b)
	q := c.eight()
	sheet := c.made(q)
	boat := number(q.Get("boat"))
	paths := map[string]string{"choose": fmt.Sprintf("/setup?boat=%d", boat), "set up": "/setup?" + q.Encode(), "sheet": sheet, "sheets": "/sheets"}
	for name, path := range paths {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if p := c.get(path); p.status != http.StatusOK {
					b.Fatal(p.status)
				}
			}
		})
	}
	var crew []setup.CrewPlace
	for _, seat := range c.sheetAt(sheet).Seats {
		crew = append(crew, setup.CrewPlace{Seat: seat.Number, AthleteID: seat.AthleteID})
	}
	b.Run("fit of the set-up alone", func(b *testing.B) {
		for b.Loop() {
			if _, err := c.service.Setup.SetUp(b.Context(), setup.SetupRequest{BoatID: boat, SetupFields: setup.SetupFields{Crew: crew, Targets: &seat.FitTargets{DrawHeightCm: &seat.Goal{}}}}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
