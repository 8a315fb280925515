package page

import (
	"bytes"
	"context"
	"net/http"
	"net/url"

	"thole/api/access"
	"thole/api/table"
)

// File is a table of a page that can be saved.
type File struct {
	Name  string // in the address
	Title string
	Make  func() (table.Table, error)
}

// TableFile is a file of a table that the page has made already.
func TableFile(name string, t table.Table) File {
	return File{name, t.Title, func() (table.Table, error) { return t, nil }}
}

// FileOf is the file of a table that a use case makes.
func FileOf[In any](ctx context.Context, name, title string, use func(context.Context, In) (table.Table, string, error), in In) File {
	return File{name, title, func() (table.Table, error) {
		t, _, err := use(ctx, in)
		return t, err
	}}
}

// FilesFor are files for those whom the rule lets in, by their role; none for
// others.
func FilesFor(r *http.Request, rule access.Rule, files ...File) []File {
	if rule.Check(r.Context(), access.Request{Method: http.MethodGet}, nil) != nil {
		return nil
	}
	return files
}

// Files are the tables of a page, shown at its foot: each as CSV, all of them as
// a spreadsheet.
type Files struct {
	Tables []FileLink
	Sheet  string // address of the spreadsheet

	base string // begins the names of the files
	list []File
}

// FileLink leads to one table as CSV.
type FileLink struct{ Title, Address string }

// NewFiles gives the tables of a page addresses: that of the page with the
// table's name. The base begins the names of the files.
func NewFiles(at *url.URL, base string, list ...File) *Files {
	f := &Files{base: base, list: list, Sheet: fileAddress(at, table.XLSX, allTables)}
	for _, one := range list {
		f.Tables = append(f.Tables, FileLink{one.Title, fileAddress(at, table.CSV, one.Name)})
	}
	return f
}

// allTables asks for all the tables of a page, in one spreadsheet.
const allTables = "all"

// fileAddress is the address of a page with what is wanted of it. The key of a
// posted form has no place in it.
func fileAddress(at *url.URL, format table.Format, name string) string {
	q := at.Query()
	for _, f := range table.Formats {
		q.Del(f.Name)
	}
	q.Set(format.Name, name)
	return at.Path + "?" + q.Encode()
}

// Send answers the tables that the address asks for; false when it asks for
// none. Nil has none.
func (f *Files) Send(w http.ResponseWriter, r *http.Request) (bool, error) {
	if f == nil {
		return false, nil
	}
	q := r.URL.Query()
	if q.Has(table.XLSX.Name) {
		return true, f.sendSheet(w)
	}
	for _, one := range f.list {
		if name := q.Get(table.CSV.Name); name != one.Name {
			continue
		}
		t, err := one.Make()
		if err != nil {
			return true, err
		}
		body := bytes.NewBufferString(table.ByteOrderMark) // for spreadsheets
		if err := table.WriteCSV(body, &t); err != nil {
			return true, err
		}
		return true, sendFile(w, table.CSV, f.name(one.Name), body.Bytes())
	}
	return false, nil
}

// name is the name of a file without its ending.
func (f *Files) name(of string) string {
	if len(f.list) == 1 || of == f.base {
		return f.base
	}
	return f.base + "-" + of
}

func (f *Files) sendSheet(w http.ResponseWriter) error {
	var tables []*table.Table
	for _, one := range f.list {
		t, err := one.Make()
		if err != nil {
			return err
		}
		tables = append(tables, &t)
	}
	var body bytes.Buffer
	if err := table.WriteXLSX(&body, tables...); err != nil {
		return err
	}
	return sendFile(w, table.XLSX, f.base, body.Bytes())
}

func sendFile(w http.ResponseWriter, format table.Format, name string, body []byte) error {
	h := w.Header()
	h.Set("Content-Type", format.ContentType())
	h.Set("Content-Disposition", `attachment; filename="`+table.FileName(name)+"."+format.Name+`"`)
	h.Set("Cache-Control", "no-store")
	_, err := w.Write(body)
	return err
}
