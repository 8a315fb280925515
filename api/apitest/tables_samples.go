package apitest

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/store"
)

// variedBoats holds a boat on record that is changed, a new one, one that is as it
// was with something to check, and rows that cannot be used.
func variedBoats(t testing.TB) string {
	t.Helper()
	known, same := Fresh("Kestrel"), Fresh("Merlin")
	const head = "Boat,Class,Seat,Side,Spread,Sheds\n"
	first := head + fmt.Sprintf("%s,2-,1,port,85,\n%s,2-,2,starboard,85,\n%s,2-,1,port,85,\n%s,2-,2,port,85,\n", known, known, same, same)
	sendTable(t, "/api/v1/boats/import", FileOf(first), Part{"by", "", "Ines"})
	return strings.Replace(first, ",85,", ",86,", 2) + fmt.Sprintf("%s,4+,1,port,,\n%s,2-,2,starboard,much,\n,2-,9,,,\n", Fresh("Osprey"), known)
}

// variedOars does the same of sets of oars.
func variedOars(t testing.TB) string {
	t.Helper()
	known, same := Fresh("Blue"), Fresh("Red")
	const head = "Set,Kind,How many,Length,Sheds\n"
	first := head + fmt.Sprintf("%s,sweep,8,376,\n%s,sculls,4 pairs,289,\n", known, same)
	sendTable(t, "/api/v1/oars/import", FileOf(first), Part{"by", "", "Ines"})
	return strings.Replace(first, "376", "374", 1) + fmt.Sprintf("%s,sweep,8,,\n%s,,,,\n,,8,,\n", Fresh("Green"), Fresh("Odd"))
}

func sendTable(t testing.TB, path string, parts ...Part) {
	t.Helper()
	w := SendParts(path, nil, parts...)
	if w.Code != http.StatusOK {
		t.Fatalf("%s: %d %s", path, w.Code, w.Body)
	}
}

func init() {
	for area, varied := range map[string]func(testing.TB) string{"boats": variedBoats, "oars": variedOars} {
		base := "/api/v1/" + area
		Samples["POST "+base+"/preview"] = func(t testing.TB) []sample {
			table := varied(t)
			unsaid := map[string]string{"boats": "Boat,Class,Seat,Side\nOwl,2-,1,S\n", "oars": "Kind,Length\nsweep,376\n"}[area]
			return []sample{form(FileOf(table)), form(Part{"file", "x.xlsx", Sheets(t, RowsOf(t, table), [][]string{{"more"}})}), form(FileOf(unsaid))}
		}
		Samples["POST "+base+"/import"] = func(t testing.TB) []sample {
			table, by, rest := varied(t), Part{"by", "", "Ines"}, Part{"leave_out", "", "true"}
			return []sample{form(by, FileOf(table), rest, Part{"keep", "", Fresh("list")}), form(Part{"file", "x.xlsx", Sheets(t, RowsOf(t, table), [][]string{{"more"}})}, rest, by)}
		}
	}
	kept := func(t testing.TB) string {
		name := Fresh("kept")
		if err := scratch.SaveTableMapping(t.Context(), store.TableMapping{Kind: "boats", Name: name, Mapping: `{"columns":[{"heading":"Boot","meaning":"boat","unit":""},{"heading":"Span","meaning":"span_cm","unit":"mm"}]}`}); err != nil {
			t.Fatal(err)
		}
		return name
	}
	Samples["GET /api/v1/table-mappings"] = func(t testing.TB) []sample { kept(t); return []sample{{}} }
	Samples["DELETE /api/v1/table-mappings/:kind/:name"] = func(t testing.TB) []sample {
		return []sample{{path: "/api/v1/table-mappings/boats/" + url.PathEscape(kept(t))}}
	}
}
