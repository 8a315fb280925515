package samples

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/store"
)

// variedBoats holds a boat on record that is changed, a new one, one that is as it
// was with something to check, and rows that cannot be used.
func variedBoats(t testing.TB) string {
	t.Helper()
	known, same := apitest.Fresh("Kestrel"), apitest.Fresh("Merlin")
	const head = "Boat,Class,Seat,Side,Spread,Sheds\n"
	first := head + fmt.Sprintf("%s,2-,1,port,85,\n%s,2-,2,starboard,85,\n%s,2-,1,port,85,\n%s,2-,2,port,85,\n", known, known, same, same)
	sendTable(t, "/api/v1/boats/import", apitest.FileOf(first), apitest.Value("by", "Ines"))
	return strings.Replace(first, ",85,", ",86,", 2) + fmt.Sprintf("%s,4+,1,port,,\n%s,2-,2,starboard,much,\n,2-,9,,,\n", apitest.Fresh("Osprey"), known)
}

// variedOars does the same of sets of oars.
func variedOars(t testing.TB) string {
	t.Helper()
	known, same := apitest.Fresh("Blue"), apitest.Fresh("Red")
	const head = "Set,Kind,How many,Length,Sheds\n"
	first := head + fmt.Sprintf("%s,sweep,8,376,\n%s,sculls,4 pairs,289,\n", known, same)
	sendTable(t, "/api/v1/oars/import", apitest.FileOf(first), apitest.Value("by", "Ines"))
	return strings.Replace(first, "376", "374", 1) + fmt.Sprintf("%s,sweep,8,,\n%s,,,,\n,,8,,\n", apitest.Fresh("Green"), apitest.Fresh("Odd"))
}

// variedList holds an athlete on record who is changed, a new one with a doubtful
// test, one that is as it was, and a cell that cannot be used.
func variedList(t testing.TB) string {
	t.Helper()
	changed, same := apitest.Fresh("Uma"), apitest.Fresh("Ute")
	const head = "Name,Born,Weight,2k,2k date,Locker\n"
	first := head + fmt.Sprintf("%s,2001-04-30,70 kg,7:00.0,2026-01-10,\n%s,2002-04-30,71 kg,7:10.0,2026-01-10,\n", changed, same)
	sendTable(t, "/api/v1/athletes/import", apitest.FileOf(first), apitest.Value("by", "Ines"))
	return strings.Replace(first, "7:00.0", "6:59.0", 1) + fmt.Sprintf("%s,,,16:35.0,2026-01-10,\n%s,,heavy,,,\n%s,2003-04-30,,,,\n", apitest.Fresh("Una"), apitest.Fresh("Ulla"), changed)
}

// book is a table as a workbook with a second sheet.
func book(t testing.TB, table, name string) apitest.Part {
	t.Helper()
	return apitest.Part{Name: "file", File: name, Text: apitest.Sheets(t, apitest.RowsOf(t, table), [][]string{{"more"}})}
}

func sendTable(t testing.TB, path string, parts ...apitest.Part) {
	t.Helper()
	w := apitest.SendParts(path, nil, parts...)
	if w.Code != http.StatusOK {
		t.Fatalf("%s: %d %s", path, w.Code, w.Body)
	}
}

func init() {
	for area, varied := range map[string]func(testing.TB) string{"boats": variedBoats, "oars": variedOars} {
		base := "/api/v1/" + area
		Of["POST "+base+"/preview"] = func(t testing.TB) []Sample {
			table := varied(t)
			unsaid := map[string]string{"boats": "Boat,Class,Seat,Side\nOwl,2-,1,S\n", "oars": "Kind,Length\nsweep,376\n"}[area]
			return []Sample{form(apitest.FileOf(table)), form(book(t, table, "x.xlsx")), form(apitest.FileOf(unsaid))}
		}
		Of["POST "+base+"/import"] = func(t testing.TB) []Sample {
			table, by, rest := varied(t), apitest.Value("by", "Ines"), apitest.Value("leave_out", "true")
			return []Sample{form(by, apitest.FileOf(table), rest, apitest.Value("keep", apitest.Fresh("list"))), form(book(t, table, "x.xlsx"), rest, by)}
		}
	}
	Of["POST /api/v1/athletes/preview"] = func(t testing.TB) []Sample {
		table := variedList(t)
		return []Sample{form(apitest.FileOf(table)), form(apitest.FileOf("Weight,Side\n70 kg,S\n")), form(book(t, table, "x.xlsx"))}
	}
	Of["POST /api/v1/athletes/import"] = func(t testing.TB) []Sample {
		table, by, rest := variedList(t), apitest.Value("by", "Ines"), apitest.Value("leave_out", "true")
		return []Sample{form(by, apitest.FileOf(table), rest, apitest.Value("keep", apitest.Fresh("list"))), form(book(t, table, "x.xlsx"), rest, by)}
	}
	// A list that cannot be read is not saved, and everybody is on record after it.
	apitest.Settled = append(apitest.Settled, "POST /api/v1/athletes/import.athletes.athlete_id", "POST /api/v1/athletes/import.asks")
	kept := func(t testing.TB) string {
		name := apitest.Fresh("kept")
		if err := apitest.Scratch.SaveTableMapping(t.Context(), store.TableMapping{Kind: "boats", Name: name, Mapping: `{"columns":[{"heading":"Boot","meaning":"boat","unit":""},{"heading":"Span","meaning":"span_cm","unit":"mm"}]}`}); err != nil {
			t.Fatal(err)
		}
		return name
	}
	Of["GET /api/v1/table-mappings"] = func(t testing.TB) []Sample { kept(t); return []Sample{{}} }
	Of["DELETE /api/v1/table-mappings/:kind/:name"] = func(t testing.TB) []Sample {
		return []Sample{{path: "/api/v1/table-mappings/boats/" + url.PathEscape(kept(t))}}
	}
}
