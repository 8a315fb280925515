package squadfile

import (
	"archive/zip"
	"bytes"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"thole/api/wire"
)

// decoded returns text as UTF-8. Files come in UTF-8, in UTF-16 with or without a
// mark in front, or in Windows-1252, which is what spreadsheets call ANSI.
func decoded(body []byte) ([]byte, error) {
	switch {
	case bytes.HasPrefix(body, []byte("\ufeff")):
		return body[len("\ufeff"):], nil
	case bytes.HasPrefix(body, []byte{0xff, 0xfe}), bytes.HasPrefix(body, []byte{0xfe, 0xff}), wideText(body):
		order := unicode.LittleEndian
		if len(body) > 0 && body[0] == 0 {
			order = unicode.BigEndian
		}
		text, err := unicode.UTF16(order, unicode.UseBOM).NewDecoder().Bytes(body)
		if err != nil || len(body)%2 != 0 || bytes.IndexByte(text, 0) >= 0 {
			return nil, &wire.Unreadable{Text: "The text of this file is cut off or damaged: save the table again as CSV or as a spreadsheet (.xlsx)."}
		}
		return text, nil
	case utf8.Valid(body) || bytes.IndexByte(body, 0) >= 0 || unprintable(body):
		return body, nil // or no text, which the reading tells
	}
	text, err := charmap.Windows1252.NewDecoder().Bytes(body)
	return text, err
}

// wideText reports whether every other byte is 0, as in UTF-16 of Latin letters
// without a mark.
func wideText(body []byte) bool {
	const looked = 64 // bytes, by our judgement: a heading is longer
	head := body[:min(len(body), looked)]
	even, odd := 0, 0
	for i, b := range head {
		if b == 0 && i%2 == 0 {
			even++
		} else if b == 0 {
			odd++
		}
	}
	return len(head) >= 8 && (odd*3 >= len(head) && even == 0 || even*3 >= len(head) && odd == 0)
}

// unprintable tells a file of another kind: text holds no signs below a blank but
// those that end cells and lines.
func unprintable(body []byte) bool {
	return bytes.ContainsFunc(body[:min(len(body), 4096)], func(r rune) bool { return r < ' ' && !strings.ContainsRune("\t\n\r\v\f", r) })
}

// otherArchive reports how to save a spreadsheet of another program's kind; "" for
// one that may be read.
func otherArchive(body []byte) string {
	z, err := zip.NewReader(bytes.NewReader(body), int64(len(body)))
	if err != nil {
		return ""
	}
	for _, f := range z.File {
		switch {
		case f.Name == "mimetype" || f.Name == "content.xml":
			return "This is an OpenDocument spreadsheet (.ods): in its program choose “Save as” and there “Excel (.xlsx)” or “CSV”."
		case strings.HasPrefix(f.Name, "Index/") || strings.HasSuffix(f.Name, ".iwa") || f.Name == "Index.zip":
			return "This is a Numbers spreadsheet (.numbers): in Numbers choose File, Export To, and there Excel or CSV."
		}
	}
	return ""
}
