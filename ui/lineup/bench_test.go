package lineup_test

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/records"
	"thole/ui/uitest"
)

// squadOf is a table of athletes of both sides, some of whom row both, with
// two tests each.
func squadOf(n int) string {
	random := rand.New(rand.NewPCG(7, 11))
	var b strings.Builder
	b.WriteString("name,sex,sculls,port_cost_s,starboard_cost_s,mass_kg,test_date,test_fixed,test_distance_m,test_time\n")
	for i := range n {
		port, starboard := "0", ""
		switch i % 4 {
		case 1, 3:
			port, starboard = starboard, port
		case 2:
			starboard = "1.5"
		}
		mass, time := 70+25*random.Float64(), 365+40*random.Float64()
		for _, day := range []string{"2025-09-20", "2025-11-02"} {
			fmt.Fprintf(&b, "Athlete %02d,%s,yes,%s,%s,%.1f,%s,distance,2000,6:%04.1f\n", i, []string{"male", "female"}[i%2], port, starboard, mass, day, time-360)
		}
	}
	return b.String()
}

// squadClub is a club with nothing but a squad of n.
func squadClub(t testing.TB, n int) *uitest.ClubSite {
	t.Helper()
	c := uitest.NewClub(t)
	if n == 0 {
		return c
	}
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader(squadOf(n)), "Anna"); err != nil {
		t.Fatal(err)
	}
	return c
}

func BenchmarkLineupsPage(b *testing.B) {
	for _, n := range []int{20, 40, 60} {
		c := squadClub(b, n)
		for name, path := range map[string]string{
			"eight": "/line-ups", "free sides": "/line-ups?pattern=free", "four": "/line-ups?class=4-", "quad": "/line-ups?class=4x",
		} {
			b.Run(fmt.Sprintf("%s of %d", name, n), func(b *testing.B) {
				for b.Loop() {
					if p := c.Get(path); p.Status != http.StatusOK {
						b.Fatalf("%d %.300s", p.Status, p.Body)
					}
				}
			})
		}
	}
}

// BenchmarkSquadOfALargeClub answers for a squad of 40 in a club of 500.
func BenchmarkSquadOfALargeClub(b *testing.B) {
	c := squadClub(b, 500)
	list, err := c.Service.Club.Athletes(b.Context(), records.ListRequest{})
	if err != nil {
		b.Fatal(err)
	}
	fields := club.SquadFields{Name: "Spring"}
	for i := 0; i < 40; i++ {
		fields.AthleteIDs = append(fields.AthleteIDs, list.Athletes[i*len(list.Athletes)/40].ID)
	}
	squad, err := c.Service.Club.AddSquad(b.Context(), club.NewSquad{SquadFields: fields})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if p := c.Get(fmt.Sprintf("/line-ups?squad=%d", squad.ID)); p.Status != http.StatusOK {
			b.Fatalf("%d %.300s", p.Status, p.Body)
		}
	}
}
