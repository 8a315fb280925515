package apitest

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"thole/api"
	"thole/api/squadfile"
)

const Heading = "name,sex,birth_date,sculls,port_cost_s,starboard_cost_s,mass_kg,test_date,test_fixed,test_distance_m,test_time,test_mass_kg,note\n"

// SmallSquad is a table of three, one with two tests below each other.
const SmallSquad = Heading +
	"Ann Ash,female,2001-04-30,yes,0,1.5,72.5,2026-01-10,distance,2000,7:02.4,73,hard\n" +
	",,,,,,,2026-02-10,distance,6000,22:30.0,,\n" +
	"Bea Birch,f,,,,0,,2026-01-10,time,8000,30:00.0,,\n" +
	"Cy Cedar,m,1999-12-01,,0,,88,,,,,,\n"

func Saved3(t testing.TB, s *api.Service, table string) squadfile.SquadImport {
	t.Helper()
	plan, err := s.Squadfile.Save(t.Context(), strings.NewReader(table), "Ines")
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

func RowsOf(t testing.TB, table string) [][]string {
	t.Helper()
	r := csv.NewReader(strings.NewReader(table))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// Sheets writes a spreadsheet with one sheet for each table.
func Sheets(t testing.TB, tables ...[][]string) string {
	t.Helper()
	f := excelize.NewFile()
	for k, rows := range tables {
		name := fmt.Sprintf("Sheet%d", k+1)
		if k > 0 {
			if _, err := f.NewSheet(name); err != nil {
				t.Fatal(err)
			}
		}
		for i, row := range rows {
			for j, cell := range row {
				at, _ := excelize.CoordinatesToCellName(j+1, i+1)
				if err := f.SetCellValue(name, at, cell); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	var b bytes.Buffer
	if _, err := f.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

const (
	TablePath   = "/api/v1/squad/table."
	PreviewPath = "/api/v1/squad/preview"
	ImportPath  = "/api/v1/squad/import"
)
