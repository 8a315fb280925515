package table_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"thole/api/table"
)

var columns = []table.Column{
	{Heading: "Name", Kind: table.Text},
	{Heading: "Span, cm", Kind: table.Number, Digits: 1},
	{Heading: "Seats", Kind: table.Number},
	{Heading: "Born", Kind: table.Day},
	{Heading: "Time", Kind: table.Time},
	{Heading: "Raced at", Kind: table.Moment},
	{Heading: "Raw", Kind: table.Number, Digits: table.Free},
}

// sample is a table with every kind of cell, blank ones too.
func sample() table.Table {
	t := table.New("Boats: all/of [them]", columns...)
	noon := time.Date(2026, time.May, 1, 12, 30, 0, 0, time.FixedZone("", 3600))
	t.Add("Ann", 159.25, 1, "2001-04-30", 392.4, noon, 1.0/3)
	t.Add("=1+1", new(-3.0), new(int64(8)), new("1890-01-02"), new(3723.45), &noon, math.Copysign(0, -1))
	t.Add("", nil, (*float64)(nil), "", (*float64)(nil), (*time.Time)(nil), nil)
	t.Add("Ümit, “the Cox”", 88.0, 0, "soon", "24:00:00.0", nil, 1e6)
	return t
}

func read(t *testing.T, tables ...*table.Table) *excelize.File {
	t.Helper()
	var b bytes.Buffer
	if err := table.WriteXLSX(&b, tables...); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&b)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.Close() })
	return f
}

// TestSpreadsheetCellsAreTyped reads a spreadsheet back and compares what each
// cell is, how it is stored and how it is shown. The numbers of days are those of
// ECMA-376 part 1, 18.17.4.1: 1 May 2026 is day 46143 of the 1900 base.
func TestSpreadsheetCellsAreTyped(t *testing.T) {
	made := sample()
	f := read(t, &made)
	sheet := f.GetSheetName(0)
	for _, c := range []struct {
		at         string
		kind       excelize.CellType
		raw, shown string
	}{
		{"A1", excelize.CellTypeSharedString, "Name", "Name"},
		{"A2", excelize.CellTypeSharedString, "Ann", "Ann"},
		{"A3", excelize.CellTypeSharedString, "=1+1", "=1+1"},
		{"B2", excelize.CellTypeUnset, "159.25", "159.3"},
		{"B3", excelize.CellTypeUnset, "-3", "-3.0"},
		{"C3", excelize.CellTypeUnset, "8", "8"},
		{"D2", excelize.CellTypeUnset, "37011", "2001-04-30"},
		{"D3", excelize.CellTypeSharedString, "1890-01-02", "1890-01-02"}, // before there are numbers of days
		{"D5", excelize.CellTypeSharedString, "soon", "soon"},
		{"E2", excelize.CellTypeUnset, "0.00454166666666666", "6:32.4"},
		{"E3", excelize.CellTypeUnset, "0.0430954861111111", "62:03.4"},
		{"E5", excelize.CellTypeSharedString, "24:00:00.0", "24:00:00.0"},
		{"F2", excelize.CellTypeUnset, "46143.5208333333", "2026-05-01 12:30"},
		{"G2", excelize.CellTypeUnset, "0.333333333333333", "0.3333333333"},
		{"B5", excelize.CellTypeUnset, "88", "88.0"}, {"A5", excelize.CellTypeSharedString, "Ümit, “the Cox”", "Ümit"},
		{"G5", excelize.CellTypeUnset, "1000000", "1000000"},
		{"B4", excelize.CellTypeUnset, "", ""}, {"D4", excelize.CellTypeUnset, "", ""}, {"A4", excelize.CellTypeUnset, "", ""},
	} {
		kind, err1 := f.GetCellType(sheet, c.at)
		raw, err2 := f.GetCellValue(sheet, c.at, excelize.Options{RawCellValue: true})
		shown, err3 := f.GetCellValue(sheet, c.at)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		if kind != c.kind || raw != c.raw || !strings.HasPrefix(shown, c.shown) {
			t.Errorf("%s: kind %d, raw %q, shown %q; want %d, %q, %q", c.at, kind, raw, shown, c.kind, c.raw, c.shown)
		}
		if formula, _ := f.GetCellFormula(sheet, c.at); formula != "" {
			t.Errorf("%s is a formula: %s", c.at, formula)
		}
	}
}

func TestSpreadsheetHasAFrozenHeadingAndWidths(t *testing.T) {
	made := sample()
	made.Add(strings.Repeat("long ", 40), 1.0, 1, "", nil, nil, nil)
	f := read(t, &made)
	sheet := f.GetSheetName(0)
	if sheet != "Boats  all of  them" {
		t.Errorf("sheet %q", sheet)
	}
	panes, err := f.GetPanes(sheet)
	if err != nil || !panes.Freeze || panes.YSplit != 1 || panes.XSplit != 0 || panes.TopLeftCell != "A2" {
		t.Errorf("%+v %v", panes, err)
	}
	for column, want := range map[string]float64{"A": 48, "B": 10, "C": 8, "D": 12, "E": 12, "F": 21} {
		if w, err := f.GetColWidth(sheet, column); err != nil || w != want {
			t.Errorf("column %s is %g wide, want %g (%v)", column, w, want, err)
		}
	}
	id, err := f.GetCellStyle(sheet, "C1")
	if err != nil {
		t.Fatal(err)
	}
	if style, err := f.GetStyle(id); err != nil || style.Font == nil || !style.Font.Bold {
		t.Errorf("heading: %+v %v", style, err)
	}
}

func TestEachTableHasASheet(t *testing.T) {
	one, two, none := sample(), sample(), table.New("?")
	long := table.New(strings.Repeat("very ", 10), columns[0])
	f := read(t, &one, &two, &none, &long)
	want := []string{"Boats  all of  them", "Boats  all of  them 2", "Table", "very very very very very very v"}
	if diff := cmp.Diff(want, f.GetSheetList()); diff != "" {
		t.Error(diff)
	}
}

func TestEqualTablesGiveEqualFiles(t *testing.T) {
	a, b := sample(), sample()
	for _, format := range table.Formats {
		one, err1 := format.File(&a)
		two, err2 := format.File(&b)
		if err1 != nil || err2 != nil || !bytes.Equal(one, two) {
			t.Errorf("%s: %d and %d bytes, %v %v", format.Name, len(one), len(two), err1, err2)
		}
	}
}

// TestCSV holds what RFC 4180 asks for: lines end in CR LF, and quotation marks
// within a cell are doubled.
func TestCSV(t *testing.T) {
	made := sample()
	body, err := table.CSV.File(&made)
	if err != nil {
		t.Fatal(err)
	}
	want := "Name,\"Span, cm\",Seats,Born,Time,Raced at,Raw\r\n" +
		"Ann,159.25,1,2001-04-30,6:32.4,2026-05-01 12:30:00,0.3333333333333333\r\n" +
		"'=1+1,-3,8,1890-01-02,1:02:03.45,2026-05-01 12:30:00,0\r\n" +
		",,,,,,\r\n" +
		"\"Ümit, “the Cox”\",88,0,soon,24:00:00.0,,1000000\r\n"
	if diff := cmp.Diff(want, string(body)); diff != "" {
		t.Error(diff)
	}
}

// TestNoTextIsAFormula: what spreadsheets run begins with one of these signs
// (common practice against formula injection); numbers keep their minus.
func TestNoTextIsAFormula(t *testing.T) {
	made := table.New("x", table.Column{Heading: "text"}, table.Column{Heading: "number", Kind: table.Number, Digits: 1})
	risky := []string{"=1", "+1", "-1", "@a", "\tx", "\rx", "＝1", "＋1", "－1", "＠a", "'=1", "'"}
	for _, text := range risky {
		made.Add(text, -1)
	}
	made.Add("a=1", -1)
	body, err := table.CSV.File(&made)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(body)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, text := range risky {
		if text[0] == '\r' { // encoding/csv writes line ends of one kind
			text = text[1:]
		}
		if got := rows[i+1]; got[0] != "'"+text || got[1] != "-1" || text != "x" && table.Unguarded(got[0]) != text {
			t.Errorf("%q came out as %q", text, got)
		}
	}
	if rows[len(risky)+1][0] != "a=1" {
		t.Errorf("harmless text came out as %q", rows[len(risky)+1][0])
	}
}

func TestUnguardedUndoesGuarded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("='+-@a ＝\t'"))).Draw(t, "text")
		if got := table.Unguarded(table.Guarded(text)); got != text {
			t.Fatalf("%q came back as %q", text, got)
		}
	})
}

// TestSpreadsheetsKeepTexts: any text comes back as it was, also one that looks
// like the code of a sign.
func TestSpreadsheetsKeepTexts(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.StringOf(rapid.RuneFrom([]rune("_x0041=ab <&\"'"))).Draw(r, "text")
		made := table.New("t", table.Column{Heading: "text"})
		made.Add(text)
		f := read(t, &made)
		if got, err := f.GetCellValue("t", "A2"); err != nil || got != text {
			r.Fatalf("%q came back as %q (%v)", text, got, err)
		}
	})
}

func TestMisuse(t *testing.T) {
	for name, add := range map[string]func(*table.Table){
		"too few cells":  func(t *table.Table) { t.Add("a") },
		"number as text": func(t *table.Table) { t.Add(1.0, 1.0, 1, "", nil, nil, nil) },
		"text as number": func(t *table.Table) { t.Add("a", "b", 1, "", nil, nil, nil) },
		"no number":      func(t *table.Table) { t.Add("a", math.NaN(), 1, "", nil, nil, nil) },
		"no moment":      func(t *table.Table) { t.Add("a", nil, 1, "", nil, "now", nil) },
	} {
		made := sample()
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: taken", name)
				}
			}()
			add(&made)
		}()
	}
}

func TestFileName(t *testing.T) {
	for text, want := range map[string]string{
		"Ann Ash": "ann-ash", "Žofie / 8+": "zofie-8", "../../etc": "etc", "日本": "", "  a--b\n": "a-b", "a0`z9{/:": "a0-z9",
	} {
		if got := table.FileName(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestFormats(t *testing.T) {
	for _, f := range table.Formats {
		if got, ok := table.FormatNamed(f.Name); !ok || got != f {
			t.Errorf("%s: %v", f.Name, got)
		}
	}
	if csv, xlsx := table.CSV.ContentType(), table.XLSX.ContentType(); csv != "text/csv; charset=utf-8" || strings.Contains(xlsx, ";") {
		t.Errorf("%s, %s", csv, xlsx) // RFC 4180, 3: the sign set is a parameter of text/csv
	}
	if _, ok := table.FormatNamed("ods"); ok {
		t.Error("ods is written")
	}
}

func BenchmarkXLSX(b *testing.B) {
	made := table.New("x", columns...)
	for range 1000 {
		made.Add("Ann", 159.25, 1, "2001-04-30", 392.4, time.Unix(1e9, 0), 1.0/3)
	}
	for b.Loop() {
		if _, err := table.XLSX.File(&made); err != nil {
			b.Fatal(err)
		}
	}
}

// TestDaysAreNumbersFromMarch1900: spreadsheets count a day that never was before it, so
// that the first right number is 61 (ECMA-376 part 1, 18.17.4.1).
func TestDaysAreNumbersFromMarch1900(t *testing.T) {
	made := table.New("t", table.Days("Day", ""))
	made.Add("1900-03-01")
	made.Add("1900-02-28")
	f := read(t, &made)
	for at, want := range map[string]string{"A2": "61", "A3": "1900-02-28"} {
		if got, err := f.GetCellValue("t", at, excelize.Options{RawCellValue: true}); err != nil || got != want {
			t.Errorf("%s: %s %v, want %s", at, got, err, want)
		}
	}
}

// TestATableWithoutRowsIsItsHeading: nothing is set below it.
func TestATableWithoutRowsIsItsHeading(t *testing.T) {
	made := table.New("t", columns...)
	f := read(t, &made)
	if style, err := f.GetCellStyle("t", "B2"); err != nil || style != 0 {
		t.Errorf("style %d %v", style, err)
	}
}
