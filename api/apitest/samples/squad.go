package samples

import (
	"fmt"
	"strings"
	"testing"

	"thole/api/apitest"
)

// variedTable holds an athlete on record, with a test that is changed, a
// namesake, a new athlete with a doubtful test, and a row that cannot be used.
func variedTable(t testing.TB) string {
	t.Helper()
	name := apitest.Fresh("Una")
	const head = "name,birth_date,mass_kg,test_date,test_distance_m,test_time\n"
	apitest.Saved3(t, apitest.Service, head+name+",2001-04-30,70,2026-01-10,2000,7:00.0\n")
	return head + fmt.Sprintf("%s,2001-04-30,71,2026-01-10,2000,6:59.0\n%s,2003-04-30,,2026-01-10,2000,7:10.0\n%s,,,2026-01-10,2000,302\n%s,,heavy,,,\n",
		name, name, apitest.Fresh("Uta"), apitest.Fresh("Ulla"))
}

// form keeps parts as the sample of a form.
func form(parts ...apitest.Part) Sample {
	path := strings.ReplaceAll(apitest.Fresh("/form/squad"), " ", "/")
	forms[path] = parts
	return Sample{path: path}
}

func init() {
	Of["GET "+apitest.TablePath+"csv"] = func(t testing.TB) []Sample { variedTable(t); return []Sample{{}} }
	Of["GET "+apitest.TablePath+"xlsx"] = Of["GET "+apitest.TablePath+"csv"]
	Of["POST "+apitest.PreviewPath] = func(t testing.TB) []Sample {
		table := variedTable(t)
		return []Sample{form(apitest.FileOf(table)), form(book(t, table, "squad.xlsx"))}
	}
	Of["POST "+apitest.ImportPath] = func(t testing.TB) []Sample {
		table, by, rest := variedTable(t), apitest.Value("by", "Ines"), apitest.Value("leave_out", "true")
		return []Sample{form(by, apitest.FileOf(table), rest), form(book(t, table, "squad.xlsx"), rest, by)}
	}
	// Everybody is on record after an import.
	apitest.Settled = append(apitest.Settled, "POST "+apitest.ImportPath+".athletes.athlete_id")
}
