package code

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rsc.io/qr"
)

// TestTheDrawnCodeIsTheCode: the runs of the path, painted again, are the modules.
func TestTheDrawnCodeIsTheCode(t *testing.T) {
	const address = "https://thole.example.org/join/7f3a9c"
	want, err := qr.Encode(address, qr.M)
	if err != nil {
		t.Fatal(err)
	}
	svg := string(SVG(address))
	side := strconv.Itoa(want.Size + 8)
	if !strings.Contains(svg, `viewBox="0 0 `+side+" "+side+`"`) || !strings.Contains(svg, "M0 0h"+side+"v"+side+"h-"+side+"z") {
		t.Errorf("%.120s: not %s wide", svg, side)
	}
	black := map[[2]int]bool{}
	for _, run := range regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-(\d+)z`).FindAllStringSubmatch(svg, -1) {
		x, _ := strconv.Atoi(run[1])
		y, _ := strconv.Atoi(run[2])
		n, _ := strconv.Atoi(run[3])
		if run[3] != run[4] || n == 0 {
			t.Errorf("a run that does not close: %s", run[0])
		}
		for i := range n {
			black[[2]int{x + i - 4, y - 4}] = true
		}
	}
	same(t, want, func(x, y int) bool { return black[[2]int{x, y}] })
}

// TestTheWrittenCodeIsTheCode: half a line a module, white drawn, two modules around.
func TestTheWrittenCodeIsTheCode(t *testing.T) {
	const address = "https://thole.example.org/join/7f3a9c"
	want, err := qr.Encode(address, qr.L)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(Text(address), "\n"), "\n")
	if n := (want.Size + 5) / 2; len(lines) != n {
		t.Fatalf("%d lines, want %d", len(lines), n)
	}
	for _, line := range lines {
		if n := len([]rune(line)); n != want.Size+4 {
			t.Fatalf("a line of %d, want %d", n, want.Size+4)
		}
	}
	same(t, want, func(x, y int) bool {
		cell := []rune(lines[(y+2)/2])[x+2]
		if (y+2)%2 == 0 {
			return cell == ' ' || cell == '▄'
		}
		return cell == ' ' || cell == '▀'
	})
}

// same compares the modules and the white around them.
func same(t *testing.T, want *qr.Code, black func(x, y int) bool) {
	t.Helper()
	for y := -2; y < want.Size+2; y++ {
		for x := -2; x < want.Size+2; x++ {
			if black(x, y) != want.Black(x, y) {
				t.Errorf("%d, %d: black %v", x, y, black(x, y))
			}
		}
	}
}

func TestAnAddressThatIsTooLongHasNoCode(t *testing.T) {
	long := strings.Repeat("x", 3000)
	if SVG(long) != "" || Text(long) != "" {
		t.Error("a code of 3,000 letters")
	}
}
