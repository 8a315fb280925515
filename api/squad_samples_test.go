package api_test

import (
	"fmt"
	"strings"
	"testing"
)

const (
	tablePath   = "/api/v1/squad/table."
	previewPath = "/api/v1/squad/preview"
	importPath  = "/api/v1/squad/import"
)

// variedTable holds an athlete on record, with a test that is changed, a
// namesake, a new athlete with a doubtful test, and a row that cannot be used.
func variedTable(t testing.TB) string {
	t.Helper()
	name := fresh("Una")
	const head = "name,birth_date,mass_kg,test_date,test_distance_m,test_time\n"
	saved3(t, service, head+name+",2001-04-30,70,2026-01-10,2000,7:00.0\n")
	return head + fmt.Sprintf("%s,2001-04-30,71,2026-01-10,2000,6:59.0\n%s,2003-04-30,,2026-01-10,2000,7:10.0\n%s,,,2026-01-10,2000,302\n%s,,heavy,,,\n",
		name, name, fresh("Uta"), fresh("Ulla"))
}

// form keeps parts as the sample of a form.
func form(parts ...part) sample {
	path := strings.ReplaceAll(fresh("/form/squad"), " ", "/")
	forms[path] = parts
	return sample{path: path}
}

func init() {
	samples["GET "+tablePath+"csv"] = func(t testing.TB) []sample { variedTable(t); return []sample{{}} }
	samples["GET "+tablePath+"xlsx"] = samples["GET "+tablePath+"csv"]
	samples["POST "+previewPath] = func(t testing.TB) []sample {
		table := variedTable(t)
		return []sample{form(fileOf(table)), form(part{"file", "squad.xlsx", sheets(t, rowsOf(t, table), [][]string{{"name"}})})}
	}
	samples["POST "+importPath] = func(t testing.TB) []sample {
		table, by, rest := variedTable(t), part{"by", "", "Ines"}, part{"leave_out", "", "true"}
		return []sample{form(by, fileOf(table), rest), form(part{"file", "squad.xlsx", sheets(t, rowsOf(t, table), [][]string{{"name"}})}, rest, by)}
	}
	// Everybody is on record after an import.
	settled = append(settled, "POST "+importPath+".athletes.athlete_id")
}
