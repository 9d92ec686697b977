// Package png draws a picture as pixels. It has its own small rasteriser
// instead of a library's, because it needs what a picture may ask for: both
// fill rules, and strokes whose overlapping parts do not grow heavier. The same
// picture gives the same pixels on one kind of processor; edges may differ by
// a grey step on another, where products and sums are fused.
package png

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"hangtrue/internal/engine/quantity"
	"hangtrue/internal/paper/draw"
)

// most pixels drawn; a sheet of A0 at 300 dpi has 139 million.
const mostPixels = 150_000_000

// Render draws the picture on white at a number of dots per inch. It returns an
// error where the picture cannot be drawn (see [draw.Picture.Check]), dpi is not
// positive or the image would have more than 150 million pixels.
func Render(p *draw.Picture, dpi float64) (*image.RGBA, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	if !(dpi > 0) {
		return nil, fmt.Errorf("png: resolution %g dpi is not positive", dpi)
	}
	k := dpi / (quantity.Inch * 1000)
	w, h := math.Ceil(p.Width*k-1e-6), math.Ceil(p.Height*k-1e-6)
	if w*h > mostPixels {
		return nil, fmt.Errorf("png: %g × %g pixels are more than %d; a lower resolution would do", w, h, mostPixels)
	}
	img := image.NewRGBA(image.Rect(0, 0, int(w), int(h)))
	for i := range img.Pix {
		img.Pix[i] = 0xff
	}
	c := canvas{img: img, ras: newRaster(int(w), int(h))}
	c.list(p.Items, draw.Transform{Scale: k}, nil)
	return img, nil
}

// Encode writes the picture as a PNG file that knows its printed size.
func Encode(w io.Writer, p *draw.Picture, dpi float64) error {
	img, err := Render(p, dpi)
	if err != nil {
		return err
	}
	var buf bytes.Buffer
	if err := png.Encode(&buf, img); err != nil {
		return fmt.Errorf("png: %w", err)
	}
	// The standard encoder writes no resolution. Its chunk goes between the
	// header chunk, which always ends at byte 33, and the pixels (PNG, W3C
	// Recommendation, section 11.3.4.3: pixels per metre, unit 1 = metre).
	const header = 33
	phys := make([]byte, 0, 21)
	phys = binary.BigEndian.AppendUint32(phys, 9)
	phys = append(phys, "pHYs"...)
	perMetre := uint32(math.Round(dpi / quantity.Inch))
	phys = binary.BigEndian.AppendUint32(phys, perMetre)
	phys = binary.BigEndian.AppendUint32(phys, perMetre)
	phys = append(phys, 1)
	phys = binary.BigEndian.AppendUint32(phys, crc32.ChecksumIEEE(phys[4:]))
	for _, part := range [][]byte{buf.Bytes()[:header], phys, buf.Bytes()[header:]} {
		if _, err := w.Write(part); err != nil {
			return fmt.Errorf("png: %w", err)
		}
	}
	return nil
}

// canvas replays items onto an image. Frames are in pixels.
type canvas struct {
	img *image.RGBA
	ras *raster
}

// tolerance is how far a flattened curve may stray, in pixels.
const tolerance = 0.05

func (c *canvas) list(items []draw.Item, t draw.Transform, clip []float32) {
	for _, it := range items {
		switch it := it.(type) {
		case draw.Path:
			c.path(it.Apply(t), clip)
		case draw.Text:
			placed := it.Apply(t)
			if back, ok := placed.Backing(); ok {
				c.path(back, clip)
			}
			c.path(placed.Shape(), clip)
		case *draw.Group:
			inner := it.Transform.Then(t)
			within := clip
			if it.Clip != nil {
				within = c.mask(it.Clip.Corners(), inner, clip)
			}
			c.list(it.Items, inner, within)
		}
	}
}

func (c *canvas) path(p draw.Path, clip []float32) {
	if !p.Fill.Visible() && !p.Stroke.Visible() {
		return
	}
	runs := p.Flatten(tolerance)
	if p.Fill.Visible() {
		var areas [][]draw.Point
		for _, r := range runs {
			areas = append(areas, r.Pts)
		}
		c.paint(areas, p.EvenOdd, p.Fill, clip)
	}
	if p.Stroke.Visible() {
		c.paint(outline(runs, p.Stroke), false, p.Stroke.Paint, clip)
	}
}

func (c *canvas) paint(areas [][]draw.Point, evenOdd bool, p draw.Paint, clip []float32) {
	col := color.RGBA{p.Color.R, p.Color.G, p.Color.B, 0xff}
	c.ras.scan(areas, evenOdd, func(y, x0 int, cover []float32) {
		for i, a := range cover {
			x := x0 + i
			if clip != nil {
				a *= clip[y*c.ras.w+x]
			}
			if a <= 0 {
				continue
			}
			o := c.img.PixOffset(x, y)
			px := c.img.Pix[o : o+3 : o+3]
			px[0] = blend(px[0], col.R, a)
			px[1] = blend(px[1], col.G, a)
			px[2] = blend(px[2], col.B, a)
		}
	})
}

func blend(under, over uint8, a float32) uint8 {
	return uint8(float32(under) + (float32(over)-float32(under))*a + 0.5)
}

// mask is the share of each pixel inside the rectangle, times the mask around it.
func (c *canvas) mask(corners []draw.Point, t draw.Transform, around []float32) []float32 {
	m := make([]float32, c.ras.w*c.ras.h)
	pts := make([]draw.Point, len(corners))
	for i, q := range corners {
		pts[i] = t.Apply(q)
	}
	c.ras.scan([][]draw.Point{pts}, false, func(y, x0 int, cover []float32) {
		copy(m[y*c.ras.w+x0:], cover)
	})
	if around != nil {
		for i := range m {
			m[i] *= around[i]
		}
	}
	return m
}
