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

// variedList holds an athlete on record who is changed, a new one with a doubtful
// test, one that is as it was, and a cell that cannot be used.
func variedList(t testing.TB) string {
	t.Helper()
	changed, same := Fresh("Uma"), Fresh("Ute")
	const head = "Name,Born,Weight,2k,2k date,Locker\n"
	first := head + fmt.Sprintf("%s,2001-04-30,70 kg,7:00.0,2026-01-10,\n%s,2002-04-30,71 kg,7:10.0,2026-01-10,\n", changed, same)
	sendTable(t, "/api/v1/athletes/import", FileOf(first), Part{"by", "", "Ines"})
	return strings.Replace(first, "7:00.0", "6:59.0", 1) + fmt.Sprintf("%s,,,16:35.0,2026-01-10,\n%s,,heavy,,,\n%s,2003-04-30,,,,\n", Fresh("Una"), Fresh("Ulla"), changed)
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
	Samples["POST /api/v1/athletes/preview"] = func(t testing.TB) []sample {
		table := variedList(t)
		return []sample{form(FileOf(table)), form(FileOf("Weight,Side\n70 kg,S\n")), form(Part{"file", "x.xlsx", Sheets(t, RowsOf(t, table), [][]string{{"more"}})})}
	}
	Samples["POST /api/v1/athletes/import"] = func(t testing.TB) []sample {
		table, by, rest := variedList(t), Part{"by", "", "Ines"}, Part{"leave_out", "", "true"}
		return []sample{form(by, FileOf(table), rest, Part{"keep", "", Fresh("list")}), form(Part{"file", "x.xlsx", Sheets(t, RowsOf(t, table), [][]string{{"more"}})}, rest, by)}
	}
	// A list that cannot be read is not saved, and everybody is on record after it.
	Settled = append(Settled, "POST /api/v1/athletes/import.athletes.athlete_id", "POST /api/v1/athletes/import.asks")
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
