package intake_test

import (
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/intake"
)

// listReply sends a list with what is said of it.
func listReply(t *testing.T, path, table string, parts ...apitest.Part) (int, string) {
	t.Helper()
	w := apitest.SendParts(path, nil, append(parts, apitest.FileOf(table))...)
	return w.Code, w.Body.String()
}

// TestAClubsListComesInOverHTTP: in headings of its own, with two tests a row; what
// must be said is asked, what cannot be used is refused with row and column, and a
// plan that has grown old is refused.
func TestAClubsListComesInOverHTTP(t *testing.T) {
	name := apitest.Fresh("Zoe")
	list := "Rower;Born;Rows;Height;Weight;2k;2k date;6k;6k date\n" +
		name + ";3/4/2001;B;178 cm;70 kg;7:05.2;4/5/2026;22:40.0;6/5/2026\n"
	status, body := listReply(t, "/api/v1/athletes/preview", list)
	if status != http.StatusOK || !strings.Contains(body, `"day_order"`) || !strings.Contains(body, `"athletes":[]`) {
		t.Fatalf("%d %s", status, body)
	}
	said := []apitest.Part{{Name: "day_order", Text: "dmy"}, {Name: "sides", Text: "stroke_bow"}}
	if status, body = listReply(t, "/api/v1/athletes/import", list, apitest.Part{Name: "by", Text: "Ines"}); status != http.StatusUnprocessableEntity || !strings.Contains(body, "day_order") {
		t.Errorf("unsaid: %d %s", status, body)
	}
	status, body = listReply(t, "/api/v1/athletes/preview", list, said...)
	look := apitest.Decoded[intake.ListImport](t, []byte(body))
	if status != http.StatusOK || len(look.Athletes) != 1 || len(look.Tests) != 2 || look.Athletes[0].BirthDate == nil || *look.Athletes[0].BirthDate != "2001-04-03" || look.Tests[0].Date != "2026-05-04" {
		t.Fatalf("%d %s", status, body)
	}
	by := append(said, apitest.Part{Name: "by", Text: "Ines"})
	status, body = listReply(t, "/api/v1/athletes/import", list, append(by, apitest.Part{Name: "plan", Text: look.Plan})...)
	if saved := apitest.Decoded[intake.ListImport](t, []byte(body)); status != http.StatusOK || !saved.Saved || saved.Athletes[0].AthleteID == 0 {
		t.Fatalf("%d %s", status, body)
	}
	if status, body = listReply(t, "/api/v1/athletes/import", list, append(by, apitest.Part{Name: "plan", Text: look.Plan})...); status != http.StatusConflict {
		t.Errorf("an old plan: %d %s", status, body)
	}
	bad := strings.Replace(list, "70 kg", "heavy", 1)
	if status, body = listReply(t, "/api/v1/athletes/import", bad, by...); status != http.StatusUnprocessableEntity || !strings.Contains(body, "Row 2, Weight") {
		t.Errorf("a cell that cannot be used: %d %s", status, body)
	}
	for part, want := range map[string]string{"day_order": "Say dmy or mdy", "test_day": "YYYY-MM-DD", "sides": "Say port_starboard", "columns": "JSON list"} {
		if status, body = listReply(t, "/api/v1/athletes/preview", list, apitest.Part{Name: part, Text: "odd"}); status != http.StatusUnprocessableEntity || !strings.Contains(body, want) {
			t.Errorf("%s: %d %s", part, status, body)
		}
	}
}
