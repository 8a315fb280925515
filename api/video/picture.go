package video

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
)

// Bounds of a picture that is sent to be kept, by our own judgement: whatever a
// phone makes, and no more than a small machine can decode.
const (
	LargestPicture = 12 << 20 // bytes
	mostPx         = 25e6     // width times height
	leastPx        = 32       // width, and height
	mostScans      = 64       // of a progressive picture; encoders make about ten
)

// longestEdge is that of a picture as it is kept, px; our judgement: marks of a pixel can be made
// out in the part of the frame that the boat fills.
const longestEdge = 1280

// qualities lists those tried, the finest first, until a picture is small enough; our
// judgement.
var qualities = []int{88, 75, 60, 45}

// errNoPicture says that a file is no picture that can be kept.
var errNoPicture = errors.New("this is no JPEG picture")

// small makes the picture that is kept of one that was sent: upright, of at most
// longestEdge and most bytes, and decoded and encoded anew, so that nothing of what
// the camera noted beside it (place, time, its own number) is left. The error says
// what is wrong with the picture, in the reader's words.
func small(sent []byte, most int) (made []byte, width, height int, err error) {
	img, err := decoded(sent)
	if err != nil {
		return nil, 0, 0, err
	}
	scaled := shrunk(turned{img, orientation(sent)}, longestEdge)
	for edge := longestEdge; edge >= leastPx; edge = edge * 3 / 4 {
		scaled = shrunk(turned{scaled, 1}, edge)
		for _, quality := range qualities {
			var out bytes.Buffer
			if err := jpeg.Encode(&out, scaled, &jpeg.Options{Quality: quality}); err != nil {
				return nil, 0, 0, err
			}
			if out.Len() <= most {
				return out.Bytes(), scaled.Rect.Dx(), scaled.Rect.Dy(), nil
			}
		}
	}
	return nil, 0, 0, fmt.Errorf("the picture does not fit into %d kB", most/1000)
}

// decoded decodes a JPEG after a look at its head, so that a small file cannot ask
// for a large memory or for a long time.
func decoded(sent []byte) (image.Image, error) {
	head, err := jpeg.DecodeConfig(bytes.NewReader(sent))
	switch {
	case err != nil:
		return nil, errNoPicture
	case head.Width < leastPx || head.Height < leastPx:
		return nil, fmt.Errorf("the picture is %d × %d px: nothing can be seen in it", head.Width, head.Height)
	case float64(head.Width)*float64(head.Height) > mostPx:
		return nil, fmt.Errorf("the picture is %d × %d px: send one of %.0f megapixels at most", head.Width, head.Height, mostPx/1e6)
	case bytes.Count(sent, []byte{0xFF, 0xDA}) > mostScans:
		return nil, errNoPicture
	}
	img, err := jpeg.Decode(bytes.NewReader(sent))
	if err != nil {
		return nil, errors.New("the picture is cut off or damaged")
	}
	return img, nil
}

// turned is a picture as it is to be seen. How is the orientation of Exif: which edges
// the first row and the first column of the file are (JEITA CP-3451 (2002), Exif 2.2,
// table in 4.6.4 A, tag 274).
type turned struct {
	image.Image
	how int
}

// Bounds is the size of the upright picture.
func (p turned) Bounds() image.Rectangle {
	b := p.Image.Bounds()
	if p.how >= 5 { // rows are columns
		return image.Rect(0, 0, b.Dy(), b.Dx())
	}
	return image.Rect(0, 0, b.Dx(), b.Dy())
}

// source is the place in the file of a place in the upright picture.
func (p turned) source(x, y int) (u, v int) {
	b := p.Image.Bounds()
	right, bottom := b.Dx()-1, b.Dy()-1
	switch p.how {
	case 2:
		x = right - x
	case 3:
		x, y = right-x, bottom-y
	case 4:
		y = bottom - y
	case 5:
		x, y = y, x
	case 6:
		x, y = y, bottom-x
	case 7:
		x, y = right-y, bottom-x
	case 8:
		x, y = right-y, x
	}
	return b.Min.X + x, b.Min.Y + y
}

// shrunk returns the picture with its longer edge at most edge: each point is the
// mean of those it stands for.
func shrunk(p turned, edge int) *image.RGBA {
	b := p.Bounds()
	width, height := b.Dx(), b.Dy()
	if longer := max(width, height); longer > edge {
		width, height = max(1, width*edge/longer), max(1, height*edge/longer)
	}
	out := image.NewRGBA(image.Rect(0, 0, width, height))
	at := colours(p.Image)
	for y := range height {
		top, bottom := y*b.Dy()/height, max(y*b.Dy()/height+1, (y+1)*b.Dy()/height)
		for x := range width {
			left, right := x*b.Dx()/width, max(x*b.Dx()/width+1, (x+1)*b.Dx()/width)
			var sum [3]uint32
			for v := top; v < bottom; v++ {
				for u := left; u < right; u++ {
					r, g, b := at(p.source(u, v))
					sum[0], sum[1], sum[2] = sum[0]+r, sum[1]+g, sum[2]+b
				}
			}
			n := uint32((bottom - top) * (right - left))
			i := out.PixOffset(x, y)
			out.Pix[i], out.Pix[i+1], out.Pix[i+2], out.Pix[i+3] = uint8(sum[0]/n), uint8(sum[1]/n), uint8(sum[2]/n), 255
		}
	}
	return out
}

// colours reads red, green and blue, 0 to 255, of a place in a picture.
func colours(img image.Image) func(x, y int) (r, g, b uint32) {
	if fast, ok := img.(image.RGBA64Image); ok {
		return func(x, y int) (r, g, b uint32) {
			c := fast.RGBA64At(x, y)
			return uint32(c.R >> 8), uint32(c.G >> 8), uint32(c.B >> 8)
		}
	}
	return func(x, y int) (r, g, b uint32) {
		r, g, b, _ = img.At(x, y).RGBA()
		return r >> 8, g >> 8, b >> 8
	}
}

// orientation reads how a JPEG is to be turned from its Exif segment, 1 to 8; 1, as
// it is, where it does not say so (JEITA CP-3451 (2002), 4.5.2, 4.6.2 and 4.6.4).
func orientation(file []byte) int {
	const appOne, scan = 0xE1, 0xDA // markers APP1 and SOS of ISO/IEC 10918-1
	for at := 2; at+4 <= len(file) && file[at] == 0xFF && file[at+1] != scan; {
		size := int(binary.BigEndian.Uint16(file[at+2:]))
		if size < 2 || at+2+size > len(file) {
			break
		}
		if body := file[at+4 : at+2+size]; file[at+1] == appOne && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
			return orientationIn(body[6:])
		}
		at += 2 + size
	}
	return 1
}

// orientationIn reads tag 274 from the first directory of a TIFF structure.
func orientationIn(tiff []byte) int {
	if len(tiff) < 8 {
		return 1
	}
	order := binary.ByteOrder(binary.BigEndian)
	if string(tiff[:2]) == "II" {
		order = binary.LittleEndian
	}
	first := int64(order.Uint32(tiff[4:]))
	if first+2 > int64(len(tiff)) {
		return 1
	}
	entries := tiff[first+2:]
	for range order.Uint16(tiff[first:]) {
		if len(entries) < 12 {
			break
		}
		if how := int(order.Uint16(entries[8:])); order.Uint16(entries) == 274 && how >= 1 && how <= 8 {
			return how
		}
		entries = entries[12:]
	}
	return 1
}
