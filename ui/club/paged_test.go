package club_test

import (
	"fmt"
	"strings"
	"testing"

	"thole/api/club"
	"thole/ui/uitest"
)

// TestALongListIsPaged walks the pages of a list with more athletes than one holds.
func TestALongListIsPaged(t *testing.T) {
	c := uitest.NewClub(t)
	if body := c.Opened("/athletes?page=7"); !strings.Contains(body, "Nobody is on record yet") {
		t.Error("an empty list has pages")
	}
	for i := range 201 {
		fields := club.AthleteFields{Name: fmt.Sprintf("Rower %03d", i), Archived: i == 200}
		if _, err := c.Service.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: fields, By: "Ines"}); err != nil {
			t.Fatal(err)
		}
	}
	for _, step := range []struct {
		address, says, later, earlier string
		rows                          int
	}{
		{"/athletes", "200 athletes, 1 to 100 here", "/athletes?page=2", "", 100},
		{"/athletes?page=2", "200 athletes, 101 to 200 here", "", "/athletes?page=1", 100},
		{"/athletes?archived=true&page=3", "201 athletes, 201 to 201 here", "", "/athletes?archived=true&amp;page=2", 1},
		{"/athletes?page=99", "101 to 200 here", "", "/athletes?page=1", 100},
		{"/athletes?page=-1", "1 to 100 here", "/athletes?page=2", "", 100},
		{"/athletes?page=x&name=Rower", "1 to 100 here", "/athletes?name=Rower&amp;page=2", "", 100},
		{"/athletes?name=Rower+19", "10 athletes", "", "", 10},
	} {
		body := c.Opened(step.address)
		uitest.WantIn(t, step.address, body, step.says)
		if n := strings.Count(body, `<th scope="row"><a href="/athletes/`); n != step.rows {
			t.Errorf("%s: %d rows, want %d", step.address, n, step.rows)
		}
		for rel, want := range map[string]string{"next": step.later, "prev": step.earlier} {
			link := `rel="` + rel + `" href="` + want + `"`
			if strings.Contains(body, `rel="`+rel+`"`) != (want != "") || want != "" && !strings.Contains(body, link) {
				t.Errorf("%s: no %s", step.address, link)
			}
		}
	}
}
