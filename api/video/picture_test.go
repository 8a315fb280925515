package video

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"strings"
	"testing"
)

// encoded is a picture as a camera writes it, with segments of its own.
func encoded(t testing.TB, img image.Image, segments ...[]byte) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	whole := append([]byte{}, out.Bytes()[:2]...)
	for _, s := range segments {
		whole = append(whole, s...)
	}
	return append(whole, out.Bytes()[2:]...)
}

// exif is the segment with a place, so to say, and an orientation.
func exif(order binary.AppendByteOrder, how uint16) []byte {
	body := []byte("Exif\x00\x00MM\x00\x2a")
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		body = []byte("Exif\x00\x00II\x2a\x00")
	}
	body = order.AppendUint32(body, 8)
	body = order.AppendUint16(body, 2)
	for _, tag := range []struct{ tag, value uint16 }{{256, 4000}, {274, how}} {
		body = order.AppendUint16(body, tag.tag)
		body = order.AppendUint16(body, 3)
		body = order.AppendUint32(body, 1)
		body = order.AppendUint16(body, tag.value)
		body = order.AppendUint16(body, 0)
	}
	body = append(body, "Secret boathouse 47.37N 8.54E"...)
	return append(binary.BigEndian.AppendUint16([]byte{0xFF, 0xE1}, uint16(len(body)+2)), body...)
}

var (
	red, green = color.RGBA{255, 0, 0, 255}, color.RGBA{0, 255, 0, 255}
	blue       = color.RGBA{0, 0, 255, 255}
	yellow     = color.RGBA{255, 255, 0, 255}
)

// corners is a picture of four fields, as wide as twice its height.
func corners(first, right, below, across color.Color) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, 128, 64))
	for x := range 128 {
		for y := range 64 {
			img.Set(x, y, [][]color.Color{{first, right}, {below, across}}[y/32][x/64])
		}
	}
	return img
}

// TestPicturesStandUpright: the table of Exif (JEITA CP-3451 (2002), 4.6.4 A, tag
// 274) says which edges of what is seen the first row and the first column are.
// What is seen has red at the left of its top, green at the right, blue below red
// and yellow below green.
func TestPicturesStandUpright(t *testing.T) {
	seen := map[string]color.Color{"top left": red, "top right": green, "bottom left": blue, "bottom right": yellow}
	opposite := map[string]string{"top": "bottom", "bottom": "top", "left": "right", "right": "left"}
	at := func(row, column string) color.Color {
		if c, ok := seen[row+" "+column]; ok {
			return c
		}
		return seen[column+" "+row]
	}
	for how, edges := range [][2]string{
		{"top", "left"}, {"top", "right"}, {"bottom", "right"}, {"bottom", "left"}, {"left", "top"}, {"right", "top"}, {"right", "bottom"}, {"left", "bottom"},
	} {
		row, column := edges[0], edges[1]
		img := corners(at(row, column), at(row, opposite[column]), at(opposite[row], column), at(opposite[row], opposite[column]))
		for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
			made, width, height, err := small(encoded(t, img, exif(order, uint16(how+1))), 100_000)
			if err != nil {
				t.Fatal(err)
			}
			if wide := how < 4; wide != (width == 128 && height == 64) {
				t.Errorf("orientation %d: %d × %d", how+1, width, height)
			}
			got, err := jpeg.Decode(bytes.NewReader(made))
			if err != nil {
				t.Fatal(err)
			}
			for place, want := range seen {
				x, y := width/4, height/4
				if strings.HasSuffix(place, "right") {
					x *= 3
				}
				if strings.HasPrefix(place, "bottom") {
					y *= 3
				}
				if !near(got.At(x, y), want) {
					t.Errorf("orientation %d: %v at the %s", how+1, got.At(x, y), place)
				}
			}
			if bytes.Contains(made, []byte("Exif")) || bytes.Contains(made, []byte("Secret")) {
				t.Errorf("orientation %d: what the camera noted is kept", how+1)
			}
		}
	}
}

func near(a, b color.Color) bool {
	r, g, c, _ := a.RGBA()
	s, h, d, _ := b.RGBA()
	off := func(x, y uint32) bool { return max(x, y)-min(x, y) > 0x2000 }
	return !off(r, s) && !off(g, h) && !off(c, d)
}

// TestBrokenNotesOfACameraAreIgnored: whatever the segment holds, the picture is
// taken as it is.
func TestBrokenNotesOfACameraAreIgnored(t *testing.T) {
	good := exif(binary.BigEndian, 6)
	whole := encoded(t, corners(red, green, blue, yellow), good)
	for n := 2; n < 2+len(good); n++ {
		if how := orientation(whole[:n]); how < 1 || how > 8 {
			t.Errorf("cut at %d: %d", n, how)
		}
	}
	for i := 4; i < len(good); i++ {
		for _, v := range []byte{0, 0xFF} {
			bad := bytes.Clone(good)
			bad[i] = v
			if how := orientation(encoded(t, corners(red, green, blue, yellow), bad)); how < 1 || how > 8 {
				t.Errorf("byte %d as %d: %d", i, v, how)
			}
		}
	}
}

// noise is a picture that cannot be packed.
func noise(width, height int) image.Image {
	img, random := image.NewRGBA(image.Rect(0, 0, width, height)), rand.New(rand.NewPCG(1, 2))
	for i := range img.Pix {
		img.Pix[i] = uint8(random.Uint32())
	}
	return img
}

// TestKeptPicturesAreSmall: of at most 1280 px and of as many bytes as are allowed,
// also where nothing can be packed; small ones keep their size.
func TestKeptPicturesAreSmall(t *testing.T) {
	large := encoded(t, noise(2000, 1500))
	for _, most := range []int{400_000, 60_000} {
		made, width, height, err := small(large, most)
		if err != nil || len(made) > most || width > longestEdge || width*3 != height*4 {
			t.Errorf("%d bytes, %d × %d, %v", len(made), width, height, err)
		}
	}
	if _, width, height, err := small(encoded(t, corners(red, green, blue, yellow)), 400_000); err != nil || width != 128 || height != 64 {
		t.Errorf("%d × %d, %v", width, height, err)
	}
	if _, _, _, err := small(large, 100); err == nil {
		t.Error("a picture of 100 bytes")
	}
	grey := image.NewGray(image.Rect(0, 0, 300, 200))
	if made, width, _, err := small(encoded(t, grey), 400_000); err != nil || width != 300 || len(made) == 0 {
		t.Errorf("grey: %v", err)
	}
}

// TestWhatIsNoPictureIsRefused: other files, a small file that asks for a large
// memory, one that asks for a long time, one cut off.
func TestWhatIsNoPictureIsRefused(t *testing.T) {
	good := encoded(t, corners(red, green, blue, yellow))
	frame := bytes.Index(good, []byte{0xFF, 0xC0})
	vast := bytes.Clone(good)
	binary.BigEndian.PutUint16(vast[frame+5:], 60000)
	binary.BigEndian.PutUint16(vast[frame+7:], 60000)
	for name, c := range map[string]struct {
		file []byte
		says string
	}{
		"nothing": {nil, "no JPEG"}, "text": {[]byte("not a picture"), "no JPEG"}, "another kind": {[]byte("\x89PNG\r\n\x1a\n rest"), "no JPEG"},
		"page": {[]byte("<svg onload=alert(1)>"), "no JPEG"},
		"vast": {vast, "25 megapixels"}, "slow": {append(bytes.Clone(good), bytes.Repeat([]byte{0xFF, 0xDA}, 1000)...), "no JPEG"},
		"cut off": {good[:len(good)-20], "cut off"}, "tiny": {encoded(t, image.NewGray(image.Rect(0, 0, 20, 20))), "20 × 20"},
	} {
		if _, _, _, err := small(c.file, 400_000); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// FuzzPicture: whatever comes in, there is a picture within the bounds or an error.
func FuzzPicture(f *testing.F) {
	f.Add(encoded(f, corners(red, green, blue, yellow), exif(binary.BigEndian, 6)))
	f.Fuzz(func(t *testing.T, file []byte) {
		made, width, height, err := small(file, 50_000)
		if err == nil && (len(made) > 50_000 || width > longestEdge || height > longestEdge) {
			t.Error(fmt.Sprint(len(made), width, height))
		}
	})
}

// BenchmarkSmall makes the picture that is kept of one of a phone, 12 megapixels.
func BenchmarkSmall(b *testing.B) {
	img := image.NewRGBA(image.Rect(0, 0, 4032, 3024))
	for i := range img.Pix {
		img.Pix[i] = uint8(i/64) ^ uint8(i%7)
	}
	sent := encoded(b, img)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, _, err := small(sent, 400_000); err != nil {
			b.Fatal(err)
		}
	}
}
