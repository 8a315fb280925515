package squadfile

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"

	"thole/api/wire"
)

var errSheet = &wire.Unreadable{Text: "The first sheet cannot be read; save it again as .xlsx, or as CSV."}

// readSheet reads the first sheet as it is stored: numbers in full, days as
// numbers of days. Nothing is unpacked to the disk.
func readSheet(body []byte) (t table, err error) {
	file, err := excelize.OpenReader(bytes.NewReader(body), excelize.Options{
		UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked, RawCellValue: true,
	})
	if err != nil {
		return t, &wire.Unreadable{Text: "This spreadsheet cannot be opened, or is too large; save it again as .xlsx, or as CSV."}
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	names := file.GetSheetList()
	if len(names) == 0 {
		return t, &wire.Unreadable{Text: "This spreadsheet holds no sheet."}
	}
	if crowded(file) {
		return t, &wire.Unreadable{Text: "This spreadsheet holds more texts than a squad has: copy the squad to one of its own, or save it as CSV."}
	}
	t.sheet = names[0]
	if t.unsolved, err = inspect(file); err != nil {
		return t, err
	}
	for _, name := range names[1:min(len(names), lookedAt)] {
		t.others = t.others || holdsSomething(file, name)
	}
	if props, err := file.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		t.since04 = *props.Date1904
	}
	return t, t.addSheet(file, names[0])
}

// Bounds of a spreadsheet: sheets that are looked at, and texts, which take
// many times the memory that they have in the file; our judgement.
const (
	lookedAt = 20
	maxTexts = 2 * maxTableRows * 13 // columns
)

// crowded reports whether there are too many texts to read; a mark in a text that
// looks like the start of one may count, too.
func crowded(file *excelize.File) bool {
	content, _ := file.Pkg.Load("xl/sharedStrings.xml")
	texts, _ := content.([]byte)
	return bytes.Count(texts, []byte("<si"))+bytes.Count(texts, []byte(":si")) > maxTexts
}

// addSheet takes in a sheet row by row, so that one that pretends to be huge
// is refused before it is.
func (t *table) addSheet(file *excelize.File, name string) error {
	rows, err := file.Rows(name)
	if err != nil {
		return errSheet
	}
	for number := 1; rows.Next(); number++ {
		cells, err := rows.Columns()
		if err != nil {
			return errors.Join(errSheet, rows.Close())
		}
		if err := t.add(number, cells); err != nil {
			return errors.Join(err, rows.Close())
		}
	}
	if rows.Close() != nil {
		return errSheet
	}
	return nil
}

// holdsSomething reports whether there is a value on a further sheet: near its
// top, for one that is looked at is not blank there.
func holdsSomething(file *excelize.File, name string) bool {
	const top = 1000 // rows, by our judgement
	rows, err := file.Rows(name)
	if err != nil {
		return false // such as a sheet that is a chart
	}
	defer rows.Close()
	for number := 1; number <= top && rows.Next(); number++ {
		if cells, err := rows.Columns(); err != nil || strings.TrimSpace(strings.Join(cells, "")) != "" {
			return err == nil
		}
	}
	return false
}

// inspect reads the sheets once by itself. It finds cells with a formula and no
// result, which programs write that do not calculate: they would pass for
// blank. With several sheets it is not told which one a cell is of; only cells
// that are blank ask. The error is an *Unreadable for a sheet that breaks off,
// of which half would pass for the whole.
func inspect(file *excelize.File) (unsolved map[cellAt]bool, err error) {
	unsolved = map[cellAt]bool{}
	file.Pkg.Range(func(name, content any) bool {
		sheet, ok := content.([]byte)
		if ok && strings.HasPrefix(strings.ToLower(name.(string)), "xl/worksheets/") && strings.HasSuffix(strings.ToLower(name.(string)), ".xml") {
			err = findUnsolved(sheet, unsolved)
		}
		return err == nil
	})
	return unsolved, err
}

// sheetCell is what matters here of a cell as spreadsheets store it.
type sheetCell struct {
	At      string    `xml:"r,attr"`
	Formula *struct{} `xml:"f"`
	Value   string    `xml:"v"`
}

func findUnsolved(sheet []byte, found map[cellAt]bool) error {
	d := xml.NewDecoder(bytes.NewReader(sheet))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // places are ASCII
	formulas := bytes.Contains(sheet, []byte("f>")) || bytes.Contains(sheet, []byte("<f"))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return errSheet
		}
		start, ok := token.(xml.StartElement)
		if !ok || start.Name.Local != "c" || !formulas {
			continue
		}
		var cell sheetCell
		if d.DecodeElement(&cell, &start) != nil {
			return errSheet
		}
		if column, row, err := excelize.CellNameToCoordinates(cell.At); err == nil && cell.Formula != nil && cell.Value == "" {
			found[cellAt{row, column - 1}] = true
		}
	}
}
