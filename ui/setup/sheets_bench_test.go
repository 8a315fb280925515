package setup_test

import (
	"fmt"
	"net/http"
	"testing"

	"thole/api/setup"
	"thole/ui/uitest"
)

// BenchmarkSheetPages measures the pages at the server, in a club of 200 boats
// and 500 athletes. What the plan takes of a set-up is measured beside it.
func BenchmarkSheetPages(b *testing.B) {
	c := uitest.BigClub(b)
	q := c.Eight()
	sheet := c.Made(q)
	boat := uitest.Number(q.Get("boat"))
	paths := map[string]string{"choose": fmt.Sprintf("/setup?boat=%d", boat), "set up": "/setup?" + q.Encode(), "sheet": sheet, "sheets": "/sheets"}
	for name, path := range paths {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if p := c.Get(path); p.Status != http.StatusOK {
					b.Fatal(p.Status)
				}
			}
		})
	}
	var crew []setup.CrewPlace
	for _, seat := range c.SheetAt(sheet).Seats {
		crew = append(crew, setup.CrewPlace{Seat: seat.Number, AthleteID: seat.AthleteID})
	}
	b.Run("plan of the set-up alone", func(b *testing.B) {
		for b.Loop() {
			if _, err := c.Service.Setup.SetUp(b.Context(), setup.SetupRequest{BoatID: boat, SetupFields: setup.SetupFields{Crew: crew}}); err != nil {
				b.Fatal(err)
			}
		}
	})
}
