package table

import (
	"bytes"
	"slices"
)

// Format is a kind of file that tables are written to.
type Format struct {
	Name  string // and the ending of the file's name
	Media string
}

// The formats. XLSX holds several tables, CSV one.
var (
	CSV  = Format{"csv", "text/csv"}
	XLSX = Format{"xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}
)

// Formats lists them.
var Formats = []Format{CSV, XLSX}

// FormatNamed returns a format by its name.
func FormatNamed(name string) (Format, bool) {
	i := slices.IndexFunc(Formats, func(f Format) bool { return f.Name == name })
	if i < 0 {
		return Format{}, false
	}
	return Formats[i], true
}

// ContentType is the format as an answer declares it.
func (f Format) ContentType() string {
	if f == CSV {
		return f.Media + "; charset=utf-8"
	}
	return f.Media
}

// File returns a table as a file of the format.
func (f Format) File(t *Table) ([]byte, error) {
	var b bytes.Buffer
	if f == XLSX {
		err := WriteXLSX(&b, t)
		return b.Bytes(), err
	}
	err := WriteCSV(&b, t)
	return b.Bytes(), err
}
