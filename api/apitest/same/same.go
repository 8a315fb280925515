// Package same compares what a program draws or writes, as lines, with a file that
// was looked over by a person: a changed sign or limit changes a line. A test that
// finds a difference keeps the new lines, to be looked over in their turn.
package same

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// shown is how many of the differences a failure shows.
const shown = 8

// Rounding is how far numbers may lie from those of the file: processors that
// multiply and add in one step round the last digit another way.
const Rounding = 0.11

// Lines fails the test where got is not what the file holds, a line each, but for
// [Rounding]. The new lines lie in the test's artifacts then: with
// `go test -artifacts` they stay.
func Lines(t *testing.T, file string, got []string) {
	t.Helper()
	body, err := os.ReadFile(file)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	want := strings.Split(strings.TrimSuffix(string(body), "\n"), "\n")
	list := Differences(got, want, shown)
	if len(list) == 0 {
		return
	}
	kept := filepath.Join(t.ArtifactDir(), filepath.Base(file))
	if err := os.WriteFile(kept, []byte(strings.Join(got, "\n")+"\n"), 0o600); err != nil {
		t.Error(err)
	}
	for _, line := range list {
		t.Error(line)
	}
	t.Errorf("%s holds %d lines, there are %d now; they lie in %s", file, len(want), len(got), kept)
}

// Differences returns up to most lines that say where got is not want.
func Differences(got, want []string, most int) []string {
	var list []string
	for i := 0; i < max(len(got), len(want)) && len(list) < most; i++ {
		g, w := at(got, i), at(want, i)
		if !sameLine(g, w) {
			list = append(list, "now "+g+"\nwas "+w)
		}
	}
	return list
}

// number matches a number as paths of a drawing write it.
var number = regexp.MustCompile(`-?(?:\d+\.?\d*|\.\d+)`)

// sameLine reports whether two lines are the same but for [Rounding].
func sameLine(a, b string) bool {
	if a == b {
		return true
	}
	as, bs := number.FindAllString(a, -1), number.FindAllString(b, -1)
	if len(as) != len(bs) || number.ReplaceAllString(a, " 0") != number.ReplaceAllString(b, " 0") {
		return false
	}
	for i := range as {
		x, _ := strconv.ParseFloat(as[i], 64)
		y, _ := strconv.ParseFloat(bs[i], 64)
		if math.Abs(x-y) > Rounding {
			return false
		}
	}
	return true
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "(nothing)"
}
