package season

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"strconv"
	"strings"
	"testing"
)

// Cells that a picture is told by: each is the mean of its red, green and blue.
const cellsAcross, cellsDown = 32, 18

// cellsOf tells a picture by the mean colours of its cells, six figures in hexadecimal each.
func cellsOf(img image.Image) []string {
	wide, high := img.Bounds().Dx()/cellsAcross, img.Bounds().Dy()/cellsDown
	rows := make([]string, cellsDown)
	for j := range cellsDown {
		for i := range cellsAcross {
			var sum [3]uint32
			for y := j * high; y < (j+1)*high; y++ {
				for x := i * wide; x < (i+1)*wide; x++ {
					r, g, b, _ := img.At(x, y).RGBA()
					sum[0], sum[1], sum[2] = sum[0]+r>>8, sum[1]+g>>8, sum[2]+b>>8
				}
			}
			for _, s := range sum {
				rows[j] += fmt.Sprintf("%02x", s/uint32(wide*high))
			}
		}
	}
	return rows
}

// TestTheStillIsAsItWasApproved by eye: a sculler at the catch, seen from starboard, in a
// yellow single between two pieces of tape, under a sky with trees on the far bank. It holds
// each cell to one in 255.
func TestTheStillIsAsItWasApproved(t *testing.T) {
	body, err := clips[0].drawn()
	if err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	for j, row := range cellsOf(img) {
		for k := 0; k < len(row); k += 2 {
			got, _ := strconv.ParseInt(row[k:k+2], 16, 32)
			want, _ := strconv.ParseInt(approved[j][k:k+2], 16, 32)
			if got < want-1 || got > want+1 {
				t.Errorf("row %d, cell %d: %s, approved %s", j+1, k/6+1, row[k/6*6:k/6*6+6], approved[j][k/6*6:k/6*6+6])
				break
			}
		}
	}
}

// TestMarksLieWhereTheirNamesSay: near is to starboard of the middle and far to port, the bow
// before the pins and the stern behind them, and each shows by similar triangles, seen from
// 12 m to starboard and 1 m over the water by a lens of 4500 px.
func TestMarksLieWhereTheirNamesSay(t *testing.T) {
	for _, p := range clips[0].picture().Points {
		if near := strings.HasPrefix(p.Name, "Near"); near != (p.YCm > 0) {
			t.Errorf("%s lies %g cm to starboard", p.Name, p.YCm)
		}
		if strings.HasSuffix(p.Name, "bow") && p.XCm != -100 || strings.HasSuffix(p.Name, "stern") && p.XCm != 100 {
			t.Errorf("%s lies %g cm to the stern", p.Name, p.XCm)
		}
		away := 12 - p.YCm/100
		if u, v := 960-4500*p.XCm/100/away, 540+4500*(1-p.ZCm/100)/away; math.Abs(u-p.UPx) > 0.051 || math.Abs(v-p.VPx) > 0.051 {
			t.Errorf("%s shows at %g, %g, want %.1f, %.1f", p.Name, p.UPx, p.VPx, u, v)
		}
	}
}

// TestFramesOfAClip: three strokes, of which the blade is through as late on average as the
// clip says; its edge meets the water after two fifths of that, and the higher it is carried
// the later.
func TestFramesOfAClip(t *testing.T) {
	for _, c := range clips {
		r, mean := c.frames(), 0.0
		if want := map[bool]string{true: "release", false: "catch"}[c.end == "finish"]; r.End != want || (r.Kind == "scull") != (c.degrees != 0) || (r.PxPerM != nil) != (c.degrees != 0) || len(r.Strokes) != 3 {
			t.Errorf("%d days ago: %+v", c.ago, r)
		}
		for i, s := range r.Strokes {
			whole, edge := s.WholeS-s.ReversalS, s.EdgeS-s.ReversalS
			mean += whole / 3
			if math.Abs(edge-0.4*whole) > 1e-9 || i > 0 && s.ReversalS <= r.Strokes[i-1].WholeS {
				t.Errorf("stroke %d: %+v", i+1, s)
			}
			if s.HeightPx != nil && math.Abs(*s.HeightPx-26-300*(whole-c.missed)) > 1e-9 {
				t.Errorf("stroke %d is carried %g px high", i+1, *s.HeightPx)
			}
		}
		if math.Abs(mean-c.missed) > 1e-9 {
			t.Errorf("%d days ago: %.3f s, want %.3f", c.ago, mean, c.missed)
		}
	}
}

// approved is the still of the first clip.
var approved = [cellsDown]string{
	"9abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd79abcd7",
	"a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9a2c2d9",
	"abc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7ddabc7dd",
	"b4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdfb4ccdf",
	"bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1bbd2e1",
	"c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4c5d7e4",
	"cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7cddde7",
	"d2dfe4cddadfc5d3d6d5e2e9d5e2e9d5e2e9d5e2e9d5e1e8c3d2d4d3e0e6cbd9ddd5e2e9d5e2e9d5e2e9d5e2e9d4e0e7bececfd5e2e9d4e1e7d5e2e9d5e2e9d5e2e9d0dde3d3dfe6c5d3d6d5e2e8d5e2e9d5e2e9d5e2e9d5e2e9c8d6dacedce1",
	"627b5c667e60647c5d768c74798f7898ab9e7d937d798f78627959647c5e657d5f869a8780958097a59a697a636d8469627a5a6a816668806392a5958499858da190647b5e647b5e62795a738a71778d7597a99b829783798f78647b5d637b5c",
	"87a1a987a2a987a2a986a2a987a2a986a2a987a2a986a2a987a2a986a1a987a2a986a1a986a2a988796c63676586a2a987a2a986a2a987a2a986a2a986a2a987a2a986a2a987a2a986a2a986a2a987a2a987a2a987a2a987a2a986a2a987a2a9",
	"809da5819ea5819ea6819ea5819ea5819ea6819ea5819da5819ea6809da5819ea5819ea6819ea58e9a99978d837f9ca4819ea5819ea5819ea6819ea6809ea5819ea6809da5819ea5819ea6809da5809da5819ea5809ea5809da5819ea6809da5",
	"7b98a07a98a07a98a07b98a07b98a07a98a07b99a17b99a17b98a07b98a07b98a07a98a07b98a09d958a8e7a6d5576847a98a17a98a07a98a07a98a07a98a07b98a07b99a17b98a07b98a07b98a07b98a07a98a07a98a07b98a17b98a07a98a0",
	"75939c74939c74929c75939c75939c75939c75939c75939d75939c75939c75939c7e8f929a8d8196938bb38e763151626f8e9875939c75939d74939c74939b74939c74939c75939c74939b74939c74929c75939d75939d74939c74939c75939d",
	"6d8d966f8f986f8f986e8d976b8c966b8b966b8b956b8b956b8c956b8b956a8b9477828252676f6366656567652a4a5b436271607a82607a82617c856b88926e8d976e8e986f8e986f8e986e8e976d8d976c8d966d8d966d8d976e8e976e8e97",
	"b8bd95b9be96bbc096bcc196bdc196bdc196bdc195bec195bec195cccca1c0c395c1c495c2c496ccc592c8c593beba8db1ac7e9c9e7c979b7d979a7ba6a47bbcb683cfcb9bdad59fe0d9a3d7d39dcdcb96cecc97cfcd97d0cd97d0cd96d0cd96",
	"75897e778b7f798c807a8d817b8e817c8e817c8f817d8f817e8f817e90817e90807f91808092818293828394828495838595828595828596828696827183775c6e6b758172858d75818870b1b599b8bc9fafb599a1aa8f919f8693a08794a187",
	"5b7d885d7f8a5e808a5d7f895b7d885a7c86587b86587a86587a86597b86597b875a7c875a7c875a7c86597b86597b86597b86597b86597b865a7c875b7d885d7f895e808a5f818b5f808a7d979e88a0a68da3a98ca3a964848e5e808a5f818b",
	"577a85567984557883547783547783547783557884577985587a85587a86587a86587a86577a85577a85577a85587a85587a85587a86587a86587a86587a86587a86587a86577a85567985557884537683547783587a86557884577a85587a86",
}
