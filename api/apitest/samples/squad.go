package apitest

import (
	"fmt"
	"strings"
	"testing"
)

const (
	TablePath   = "/api/v1/squad/table."
	PreviewPath = "/api/v1/squad/preview"
	ImportPath  = "/api/v1/squad/import"
)

// variedTable holds an athlete on record, with a test that is changed, a
// namesake, a new athlete with a doubtful test, and a row that cannot be used.
func variedTable(t testing.TB) string {
	t.Helper()
	name := Fresh("Una")
	const head = "name,birth_date,mass_kg,test_date,test_distance_m,test_time\n"
	Saved3(t, Service, head+name+",2001-04-30,70,2026-01-10,2000,7:00.0\n")
	return head + fmt.Sprintf("%s,2001-04-30,71,2026-01-10,2000,6:59.0\n%s,2003-04-30,,2026-01-10,2000,7:10.0\n%s,,,2026-01-10,2000,302\n%s,,heavy,,,\n",
		name, name, Fresh("Uta"), Fresh("Ulla"))
}

// form keeps parts as the sample of a form.
func form(parts ...Part) sample {
	path := strings.ReplaceAll(Fresh("/form/squad"), " ", "/")
	forms[path] = parts
	return sample{path: path}
}

func init() {
	Samples["GET "+TablePath+"csv"] = func(t testing.TB) []sample { variedTable(t); return []sample{{}} }
	Samples["GET "+TablePath+"xlsx"] = Samples["GET "+TablePath+"csv"]
	Samples["POST "+PreviewPath] = func(t testing.TB) []sample {
		table := variedTable(t)
		return []sample{form(FileOf(table)), form(Part{"file", "squad.xlsx", Sheets(t, RowsOf(t, table), [][]string{{"name"}})})}
	}
	Samples["POST "+ImportPath] = func(t testing.TB) []sample {
		table, by, rest := variedTable(t), Part{"by", "", "Ines"}, Part{"leave_out", "", "true"}
		return []sample{form(by, FileOf(table), rest), form(Part{"file", "squad.xlsx", Sheets(t, RowsOf(t, table), [][]string{{"name"}})}, rest, by)}
	}
	// Everybody is on record after an import.
	Settled = append(Settled, "POST "+ImportPath+".athletes.athlete_id")
}
