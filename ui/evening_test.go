package ui_test

import (
	"fmt"
	"testing"

	"thole/api/records"
	"thole/api/setup"
	"thole/ui/uitest"
)

// clubList is a club's list of 24 in headings of its own: family name first, sides
// as boathouses say them, two tests side by side with their day.
func clubList() (table string, names []string) {
	given := []string{"Ada", "Bea", "Cara", "Dora", "Elsa", "Fay", "Gwen", "Hope", "Ida", "June", "Kay", "Lena"}
	family := []string{"Ashby", "Brook"}
	table = "Rower;Born;Sex;Rows;Height;Weight;Arm span;2k;2k date;6k;6k date\n"
	for i := range 24 {
		name := [2]string{given[i%12], family[i/12]}
		side := []string{"stroke side", "bow side", "both"}[i%3]
		table += fmt.Sprintf("%s, %s;%02d.%02d.%d;f;%s;%d cm;%d kg;%d;7:%02d.%d;24.10.2026;23:%02d.0;17.10.2026\n",
			name[1], name[0], 13+i%15, 1+i%12, 1990+i%12, side, 166+i%18, 60+i%16, 168+i%18, 10+i, i%10, 10+i)
		names = append(names, name[0]+" "+name[1])
	}
	return table, names
}

// boatTable is a boathouse's table of four boats, one row a seat, the boat named
// once.
func boatTable() string {
	table := "Boat;Class;Seat;Side;Span/spread;Inboard;Oar;Stretcher;Heel depth;Height\n"
	for _, b := range []struct {
		name, class string
		seats       int
		row         string
	}{
		{"Heron", "8+", 8, "84.5;114.5;374;%d;17;17"}, {"Plover", "4-", 4, "85;115;374;%d;17;17"}, {"Grebe", "2x", 2, "159;88;288;%d;17;17"}, {"Teal", "1x", 1, "159;88;288;%d;17;17"},
	} {
		for n := 1; n <= b.seats; n++ {
			name, side := "", ""
			if n == 1 {
				name = b.name
			}
			if b.seats > 2 {
				side = []string{"starboard", "port"}[(n-1)%2]
			}
			table += fmt.Sprintf("%s;%s;%d;%s;"+b.row+"\n", name, b.class, n, side, 17+n)
		}
	}
	return table
}

// mostEntries is what the first evening may take, and more than which it may not: a field
// that is typed in or chosen, or a button or link that is pressed.
const mostEntries = 25

// seatable are eight who row the sides of the eight's seats, bow on starboard.
func seatable(names []string) []string {
	var port, starboard, crew []string
	for i, name := range names {
		if i%3 == 0 {
			port = append(port, name)
		} else {
			starboard = append(starboard, name)
		}
	}
	for i := range 4 {
		crew = append(crew, starboard[i], port[i])
	}
	return crew
}

// wantKept looks for what the files hold among the records.
func wantKept(t *testing.T, c *uitest.ClubSite) {
	t.Helper()
	ctx := t.Context()
	athletes, err := c.Service.Club.Athletes(ctx, records.ListRequest{})
	if err != nil || len(athletes.Athletes) != 24 {
		t.Fatal(len(athletes.Athletes), err)
	}
	for _, a := range athletes.Athletes {
		if a.StatureCm == nil || a.MassKg == nil || a.PortCostS == nil && a.StarboardCostS == nil || a.Sex != "female" {
			t.Errorf("%s: something of the list is lost: %+v", a.Name, a)
		}
	}
	sheets, err := c.Service.Setup.Sheets(ctx, setup.SheetsRequest{})
	if err != nil || len(sheets.Sheets) != 1 {
		t.Fatal(len(sheets.Sheets), err)
	}
}
