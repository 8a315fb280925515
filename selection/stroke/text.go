package stroke

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"unicode/utf8"
)

// FileError says why a file cannot be read as a table, and where.
type FileError struct {
	Place
	Text string // a sentence for the user
}

// Error returns the sentence, with the line where there is one.
func (e *FileError) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("line %d: %s", e.Line, e.Text)
	}
	return e.Text
}

// kinds of file that are easily taken for a table, by how they begin.
var kinds = []struct{ magic, text string }{
	{"%PDF", "this is a PDF document: export the measurements as text (CSV) from the program that wrote it"},
	{"PK\x03\x04", "this is a spreadsheet or another zipped file: save the sheet as CSV first"},
	{"\xd0\xcf\x11\xe0", "this is an old spreadsheet or word processor file: save the sheet as CSV first"},
	{"\x1f\x8b", "this file is compressed (gzip): unpack it first"},
	{"\x89PNG", "this is a picture, not a table of measurements"},
	{"\xff\xd8\xff", "this is a photograph, not a table of measurements"},
	{"\xff\xfe", "this text is UTF-16: save it again as UTF-8"},
	{"\xfe\xff", "this text is UTF-16: save it again as UTF-8"},
	{"{", "this looks like JSON, not a table with columns"},
	{"<", "this looks like a web page or XML, not a table with columns"},
}

var byteOrderMark = []byte("\xef\xbb\xbf")

// checkText refuses what cannot be a table from the first bytes of the file.
func checkText(head []byte) error {
	if len(bytes.TrimSpace(bytes.TrimPrefix(head, byteOrderMark))) == 0 {
		return &FileError{Text: "the file is empty"}
	}
	for _, k := range kinds {
		if bytes.HasPrefix(head, []byte(k.magic)) {
			return &FileError{Text: k.text}
		}
	}
	if i := bytes.IndexByte(head, 0); i >= 0 && (i == 0 || bytes.IndexByte(head[:i], '\n') < 0) {
		return &FileError{Place: Place{Line: 1}, Text: "the file holds NUL bytes: it is not plain text"}
	}
	if bytes.IndexByte(head, '\n') < 0 && bytes.Count(head, []byte{'\r'}) > 1 {
		return &FileError{Text: "the lines end in a bare carriage return: save the file again with ordinary line ends"}
	}
	return nil
}

// Sizes of reading; engineering judgement: no row of measurements is so long.
const (
	chunkSize = 256 << 10 // bytes read at a time, and the longest line read
	hopeless  = 4 << 20   // bytes without a line end after which reading stops
)

// lineReader hands out the lines of a text in bounded memory.
type lineReader struct {
	src        io.Reader
	buf        []byte
	start, end int
	number     int64 // of the line last handed out, from 1
	read       int64 // bytes taken from src
	eof        bool
	hopeless   bool         // reading was given up inside an endless line
	each       func() error // called after every chunk
}

func newLineReader(src io.Reader, each func() error) *lineReader {
	return &lineReader{src: src, buf: make([]byte, chunkSize), each: each}
}

// next returns the next line without its end; the slice holds until the next
// call. long is set, with no line, for one that does not fit the buffer. At
// the end the error is io.EOF.
func (l *lineReader) next() (line []byte, long bool, err error) {
	from := l.start
	for {
		if i := bytes.IndexByte(l.buf[from:l.end], '\n'); i >= 0 {
			line, l.start = l.buf[l.start:from+i], from+i+1
			l.number++
			return trimReturn(line), false, nil
		}
		if l.eof {
			return l.last()
		}
		if l.end-l.start == len(l.buf) {
			l.number++
			return nil, true, l.skip()
		}
		fresh := l.end - l.start
		if err := l.fill(); err != nil {
			return nil, false, err
		}
		from = l.start + fresh
	}
}

// last returns what stands after the last line end.
func (l *lineReader) last() ([]byte, bool, error) {
	line := l.buf[l.start:l.end]
	l.start = l.end
	if len(line) == 0 {
		return nil, false, io.EOF
	}
	l.number++
	return trimReturn(line), false, nil
}

// skip passes over the rest of a line that is too long; after too many bytes
// it gives the file up.
func (l *lineReader) skip() error {
	for passed := len(l.buf); ; passed += l.end {
		l.start = l.end
		if passed >= hopeless {
			l.eof, l.hopeless = true, true
		}
		if l.eof {
			return nil
		}
		if err := l.fill(); err != nil {
			return err
		}
		if i := bytes.IndexByte(l.buf[:l.end], '\n'); i >= 0 {
			l.start = i + 1
			return nil
		}
	}
}

// fill moves what is left to the front and reads on behind it.
func (l *lineReader) fill() error {
	l.end = copy(l.buf, l.buf[l.start:l.end])
	l.start = 0
	n, err := readSome(l.src, l.buf[l.end:])
	l.end += n
	l.read += int64(n)
	if err == io.EOF {
		l.eof = true
	} else if err != nil {
		return fmt.Errorf("reading after line %d: %w", l.number, err)
	}
	if l.read == int64(n) {
		if err := l.begin(); err != nil {
			return err
		}
	}
	return l.each()
}

// begin looks at the first bytes of the text.
func (l *lineReader) begin() error {
	if bytes.HasPrefix(l.buf[:l.end], byteOrderMark) {
		l.start = len(byteOrderMark)
	}
	return checkText(l.buf[:l.end])
}

// readSome reads until dst is full or the source ends.
func readSome(src io.Reader, dst []byte) (int, error) {
	n, err := io.ReadFull(src, dst)
	if err == io.ErrUnexpectedEOF {
		err = io.EOF
	}
	return n, err
}

func trimReturn(line []byte) []byte {
	if n := len(line); n > 0 && line[n-1] == '\r' {
		return line[:n-1]
	}
	return line
}

// cutter splits a line into cells.
type cutter struct {
	separator byte // a blank stands for any run of blanks and tabs
	cells     [][]byte
	scratch   []byte
}

// cut returns the cells of the line; they hold until the next call. A cell in
// double quotes may contain the separator, and doubled quotes stand for one
// (RFC 4180); a line end inside quotes is not supported.
func (c *cutter) cut(line []byte) [][]byte {
	c.cells = c.cells[:0]
	switch {
	case c.separator == ' ':
		c.cutBlank(line)
	case bytes.IndexByte(line, '"') >= 0:
		c.cutQuoted(line)
	default:
		c.cutPlain(line)
	}
	return c.cells
}

func (c *cutter) cutPlain(line []byte) {
	from := 0
	for i, b := range line {
		if b == c.separator {
			c.cells = append(c.cells, line[from:i])
			from = i + 1
		}
	}
	c.cells = append(c.cells, line[from:])
}

func (c *cutter) cutBlank(line []byte) {
	from := -1
	for i, b := range line {
		blank := b == ' ' || b == '\t'
		if blank && from >= 0 {
			c.cells = append(c.cells, line[from:i])
			from = -1
		} else if !blank && from < 0 {
			from = i
		}
	}
	if from >= 0 {
		c.cells = append(c.cells, line[from:])
	}
}

func (c *cutter) cutQuoted(line []byte) {
	c.scratch = slices.Grow(c.scratch[:0], len(line)) // so that no cell moves
	for more := true; more; {
		var cell []byte
		cell, line, more = c.quotedCell(line)
		c.cells = append(c.cells, cell)
	}
}

// quotedCell takes one cell off the line; more reports whether a separator
// followed it.
func (c *cutter) quotedCell(line []byte) (cell, rest []byte, more bool) {
	from := len(c.scratch)
	quoted := false
	for i, b := range line {
		switch {
		case b == '"' && quoted && i+1 < len(line) && line[i+1] == '"':
			// The second of the two is kept when its turn comes.
			quoted = false
			c.scratch = append(c.scratch, '"')
		case b == '"':
			quoted = !quoted
		case b == c.separator && !quoted:
			return c.scratch[from:], line[i+1:], true
		default:
			c.scratch = append(c.scratch, b)
		}
	}
	return c.scratch[from:], nil, false
}

// label makes a cell fit to be shown: valid UTF-8 and not too long.
func label(cell []byte) string {
	const most = 40 // characters, by our judgement: what a line of a message holds
	s := string(bytes.ToValidUTF8(cell, []byte("�")))
	if utf8.RuneCountInString(s) > most {
		s = string([]rune(s)[:most]) + "…"
	}
	return s
}
