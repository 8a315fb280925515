package rest

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/http"
	"slices"

	"thole/api/gate"
	"thole/api/wire"
)

// TableForm is a multipart request with a table.
type TableForm struct {
	File []byte
	Text map[string]string // of the other parts
}

// The bounds of the parts of such a request, bytes; our judgement.
const (
	MaxTable    = 8 << 20
	maxFormText = 4 << 10
)

// TableTooLarge says that a table is larger than MaxTable.
func TableTooLarge() error {
	return &wire.Refusal{Status: http.StatusRequestEntityTooLarge, Text: fmt.Sprintf("The file is larger than %d MB.", MaxTable>>20)}
}

// ReadTableForm takes in the parts that are known here, each once; the table is
// the part named file.
func ReadTableForm(r *http.Request, known []string) (*TableForm, error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, &Malformed{Status: http.StatusUnsupportedMediaType, Detail: "Send multipart/form-data with a part named file."}
	}
	f := &TableForm{Text: map[string]string{}}
	for {
		part, err := parts.NextRawPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, ExplainReading(err)
		}
		name := part.FormName()
		if !slices.Contains(known, name) {
			return nil, wire.At(name).Invalid("This name is not known here.")
		}
		if _, twice := f.Text[name]; twice || name == "file" && f.File != nil {
			return nil, wire.At(name).Invalid("This part comes twice.")
		}
		if err := f.take(name, part); err != nil {
			return nil, err
		}
	}
	if f.File == nil {
		return nil, wire.At("file").Invalid("Send the table as the part named file.")
	}
	return f, nil
}

func (f *TableForm) take(name string, part io.Reader) error {
	most := maxFormText
	if name == "file" {
		most = MaxTable
	}
	body, err := io.ReadAll(io.LimitReader(part, int64(most)+1))
	switch {
	case err != nil:
		return ExplainReading(err)
	case len(body) <= most && name == "file":
		f.File = body
	case len(body) <= most:
		f.Text[name] = string(body)
	case name == "file":
		return TableTooLarge()
	default:
		return wire.At(name).Invalid("This is too long.")
	}
	return nil
}

// Flag reads a part that says true or false; left out is false.
func (f *TableForm) Flag(name string) (bool, error) {
	switch f.Text[name] {
	case "true":
		return true, nil
	case "", "false":
		return false, nil
	}
	return false, wire.At(name).Invalid("Say true or false.")
}

// digest stands for all that a form says, whatever the order of its parts.
func (f *TableForm) digest() []byte {
	h := sha256.New()
	part := func(name string, content []byte) {
		fmt.Fprintf(h, "%d %s %d ", len(name), name, len(content))
		h.Write(content)
	}
	for _, name := range slices.Sorted(maps.Keys(f.Text)) {
		part(name, []byte(f.Text[name]))
	}
	part("file", f.File)
	return h.Sum(nil)
}

// TableForm reads the request as [ReadTableForm] does, once there is room for it, and
// begins what is to count once. An error is for [Call.FailUpload].
func (c *Call) TableForm(uploads *gate.Uploads, known []string) (*TableForm, error) {
	done, err := c.Admit(uploads)
	if err != nil {
		return nil, err
	}
	f, err := ReadTableForm(c.Request(), known)
	done()
	if err == nil {
		err = c.Counting(f.digest())
	}
	return f, err
}
