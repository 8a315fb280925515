package ergometer_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// crowd is a club of n athletes, every third without a test; the first are the strongest.
func crowd(t *testing.T, n int) *uitest.ClubSite {
	t.Helper()
	var table strings.Builder
	table.WriteString("name,sex,sculls,mass_kg,test_date,test_fixed,test_distance_m,test_time_s\n")
	for i := range n {
		fmt.Fprintf(&table, "Rower %03d,male,yes,80,", i)
		if i%3 == 2 {
			table.WriteString(",,,\n")
			continue
		}
		fmt.Fprintf(&table, "2026-01-10,distance,2000,%.1f\n", 370+float64(i)/10)
	}
	c := uitest.NewClub(t)
	file := strings.NewReplacer("test_time_s", "test_time").Replace(table.String())
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader(file), "Ines"); err != nil {
		t.Fatal(err)
	}
	return c
}

// TestTheSquadIsPagedAndSearched: pages joined are the whole squad in its order, none
// grows with the club, and a search finds whom it names on either page.
func TestTheSquadIsPagedAndSearched(t *testing.T) {
	c := crowd(t, 500)
	row := regexp.MustCompile(`<th scope="row"><a href="/athletes/\d+">(Rower \d+)</a>`)
	missing := regexp.MustCompile(`<li><a href="/athletes/`)
	for path, most := range map[string]int{"/squad?class=2x": 150_000, "/squad/evidence?": 150_000} {
		var all []string
		for number := 1; number <= 4; number++ {
			body := c.Opened(fmt.Sprintf("%s&page=%d", path, number))
			if len(body) > most {
				t.Errorf("page %d of %s has %d bytes", number, path, len(body))
			}
			rows := row.FindAllStringSubmatch(body, -1)
			if len(rows) > 100 || len(missing.FindAllString(body, -1)) > 100 {
				t.Errorf("page %d of %s has %d rows", number, path, len(rows))
			}
			for _, r := range rows {
				all = append(all, r[1])
			}
			uitest.WantIn(t, path, body, "334 athletes,")
		}
		if len(all) != 334 {
			t.Fatalf("%s: %d rows on all pages", path, len(all))
		}
		for i, name := range all {
			if want := fmt.Sprintf("Rower %03d", i/2*3+i%2); name != want {
				t.Fatalf("%s: row %d is %s, want %s", path, i, name, want)
			}
		}
		found := c.Opened(path + "&name=ROWER+49")
		uitest.WantIn(t, path, found, `value="ROWER 49"`, "7 athletes<", "Rower 499", "Rower 497")
		if strings.Contains(found, `rel="next"`) || strings.Contains(found, ">Rower 001<") {
			t.Errorf("%s: more than was looked for", path)
		}
		uitest.WantIn(t, path, c.Opened(path+"&name=nobody"), "“nobody” in the name")
	}
	uitest.WantIn(t, "gaps", c.Opened("/squad?class=2x"), "66 more: look for a name")
}
