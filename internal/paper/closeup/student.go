package closeup

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
	"hangtrue/internal/paper/draw/look"
	raster "hangtrue/internal/paper/draw/png"
)

// StudentPixels is the width and the height of a student's picture in pixels.
const StudentPixels = 800

// StudentBytes is the length of every student's picture. The busiest figures
// need somewhat more than half of it.
const StudentBytes = 128 << 10

// dpi turns a close-up into StudentPixels.
const dpi = StudentPixels / (Size / (quantity.Inch * 1000))

// StudentPNG draws a figure as a picture of [StudentPixels] and [StudentBytes]
// that carries its pixels and nothing else: no title, no date, no resolution.
// So a good state cannot be told from a bad one by anything but what is drawn.
// What is left of the length is filled with bytes that every decoder passes
// over, the same for all pictures of one compressed size, and which do not
// shrink in a transfer that compresses. Errors are those of [Draw].
func StudentPNG(figure string, params map[string]string) ([]byte, error) {
	return studentIn(figure, params, palette)
}

// StudentNightPNG is [StudentPNG] in the colours of a dark screen, pixel for pixel
// the same otherwise.
func StudentNightPNG(figure string, params map[string]string) ([]byte, error) {
	return studentIn(figure, params, night)
}

func studentIn(figure string, params map[string]string, colours color.Palette) ([]byte, error) {
	p, err := Draw(figure, params, Options{})
	if err != nil {
		return nil, err
	}
	img, err := raster.Render(p, dpi)
	if err != nil {
		return nil, fmt.Errorf("closeup: %w", err)
	}
	paletted := indexed(img)
	paletted.Palette = colours
	var buf bytes.Buffer
	if err := png.Encode(&buf, paletted); err != nil {
		return nil, fmt.Errorf("closeup: %w", err)
	}
	return pad(buf.Bytes(), StudentBytes)
}

// palette is the colours of all students' pictures: what parts are painted with,
// each in steps towards ink, which is what their soft edges are made of. One
// palette for all keeps the files small and tells nothing. night is the same
// colours, one by one, on a dark screen.
var palette, night = func() (out, dimmed color.Palette) {
	const steps = 8
	dim := func(p draw.Paint) draw.Color {
		c, _ := look.Dark(p.Role)
		return c
	}
	for _, p := range []draw.Paint{paper, pale, bright, dull, metal, cloth, dark, look.Series6, look.Grid} {
		for i := range steps {
			step := func(from, to draw.Color) color.RGBA {
				mix := func(from, to uint8) uint8 {
					return uint8((int(from)*(steps-1-i) + int(to)*i) / (steps - 1))
				}
				return color.RGBA{mix(from.R, to.R), mix(from.G, to.G), mix(from.B, to.B), 0xff}
			}
			if rgb := step(p.Color, ink.Color); len(out) == 0 || out[out.Index(rgb)] != color.Color(rgb) {
				out, dimmed = append(out, rgb), append(dimmed, step(dim(p), dim(ink)))
			}
		}
	}
	return out, dimmed
}()

// indexed is a picture in the colours of the palette.
func indexed(img *image.RGBA) *image.Paletted {
	out := image.NewPaletted(img.Rect, palette)
	known := map[[3]uint8]uint8{}
	var last [3]uint8
	var at uint8
	var ok bool
	for i := range out.Pix {
		px := img.Pix[4*i : 4*i+3 : 4*i+3]
		c := [3]uint8{px[0], px[1], px[2]}
		if i == 0 || c != last { // most pixels are as their neighbours
			if at, ok = known[c]; !ok {
				at = uint8(palette.Index(color.RGBA{c[0], c[1], c[2], 0xff}))
				known[c] = at
			}
			last = c
		}
		out.Pix[i] = at
	}
	return out
}

// errLong is for a drawing that is too busy for the common length.
var errLong = errors.New("closeup: the picture is longer than all student's pictures may be; draw it with less detail")

// pad makes a PNG file length bytes long by a private chunk before its end. Its
// name says to a decoder that it may be passed over (PNG, W3C Recommendation,
// section 5.4: ancillary, private, safe to copy).
func pad(file []byte, length int) ([]byte, error) {
	const frame, end = 12, 12 // a chunk without its data; the closing chunk
	fill := length - len(file) - frame
	if fill < 0 {
		return nil, errLong
	}
	out := make([]byte, 0, length)
	out = append(out, file[:len(file)-end]...)
	out = binary.BigEndian.AppendUint32(out, uint32(fill))
	start := len(out)
	out = append(out, "fiLl"...)
	var seed [8]byte
	for n := 0; n < fill; {
		binary.BigEndian.PutUint64(seed[:], uint64(n))
		block := sha256.Sum256(seed[:])
		k := min(len(block), fill-n)
		out = append(out, block[:k]...)
		n += k
	}
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[start:]))
	return append(out, file[len(file)-end:]...), nil
}
