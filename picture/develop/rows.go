package develop

import (
	"image"
	"image/color"

	"solander/picture/header"
)

// rowsOf returns what reads one row of an image as amounts of light. What is clear lies on white paper.
func rowsOf(img image.Image) func(y int, row []float32) {
	b := img.Bounds()
	switch m := img.(type) {
	case *image.YCbCr:
		return func(y int, row []float32) {
			for x := range b.Dx() {
				yi, ci := m.YOffset(b.Min.X+x, b.Min.Y+y), m.COffset(b.Min.X+x, b.Min.Y+y)
				r, g, bl := color.YCbCrToRGB(m.Y[yi], m.Cb[ci], m.Cr[ci])
				row[3*x], row[3*x+1], row[3*x+2] = light8[r], light8[g], light8[bl]
			}
		}
	case *image.Gray:
		return func(y int, row []float32) {
			for x, v := range m.Pix[y*m.Stride:][:b.Dx()] {
				row[3*x], row[3*x+1], row[3*x+2] = light8[v], light8[v], light8[v]
			}
		}
	case *image.RGBA:
		return func(y int, row []float32) {
			pix := m.Pix[y*m.Stride:]
			for x := range b.Dx() {
				p := pix[4*x : 4*x+4 : 4*x+4]
				if p[3] != 255 {
					on(row[3*x:], m.RGBAAt(b.Min.X+x, b.Min.Y+y))
					continue
				}
				row[3*x], row[3*x+1], row[3*x+2] = light8[p[0]], light8[p[1]], light8[p[2]]
			}
		}
	}
	return rarerRowsOf(img)
}

// rarerRowsOf reads the rows of images with more than 8 bits, with clear parts, or of few colours.
func rarerRowsOf(img image.Image) func(y int, row []float32) {
	b := img.Bounds()
	switch m := img.(type) {
	case *image.NRGBA:
		return func(y int, row []float32) {
			pix := m.Pix[y*m.Stride:]
			for x := range b.Dx() {
				p := pix[4*x : 4*x+4 : 4*x+4]
				put(row[3*x:], p[0], p[1], p[2], p[3])
			}
		}
	case narrow:
		return func(y int, row []float32) {
			for x := range b.Dx() {
				c := m.at(b.Min.X+x, b.Min.Y+y)
				put(row[3*x:], c.R, c.G, c.B, c.A)
			}
		}
	case *image.Paletted:
		var table [256][3]float32
		for i, c := range m.Palette {
			on(table[i][:], c)
		}
		return func(y int, row []float32) {
			for x, v := range m.Pix[y*m.Stride:][:b.Dx()] {
				copy(row[3*x:], table[v][:])
			}
		}
	case *image.RGBA64: // PNG of 16 bits: it covers all
		t := light16()
		return func(y int, row []float32) {
			pix := m.Pix[y*m.Stride:]
			for x := range b.Dx() {
				p := pix[8*x : 8*x+8 : 8*x+8]
				if p[6] != 255 || p[7] != 255 {
					on(row[3*x:], m.RGBA64At(b.Min.X+x, b.Min.Y+y))
					continue
				}
				for i := range 3 {
					row[3*x+i] = t[int(p[2*i])<<8|int(p[2*i+1])]
				}
			}
		}
	}
	return func(y int, row []float32) {
		for x := range b.Dx() {
			on(row[3*x:], img.At(b.Min.X+x, b.Min.Y+y))
		}
	}
}

// put puts values of 8 bits on white paper.
func put(to []float32, r, g, b, cover uint8) {
	if cover == 255 {
		to[0], to[1], to[2] = light8[r], light8[g], light8[b]
		return
	}
	c := float32(cover) / 255
	to[0], to[1], to[2] = light8[r]*c+1-c, light8[g]*c+1-c, light8[b]*c+1-c
}

// narrow is the image of a lossy WebP file. Its brightness runs from 16 to 235 (RFC 6386, section 9.2; ITU-R BT.601), where that of a
// JPEG runs from 0 to 255; the decoder hands both over as one type.
type narrow struct {
	*image.YCbCr
	cover *image.NYCbCrA // nil = it covers all
}

// narrowed601 is an image that a decoder of WebP returned, with its colours as they are meant.
func narrowed601(img image.Image) image.Image {
	switch m := img.(type) {
	case *image.YCbCr:
		return narrow{m, nil}
	case *image.NYCbCrA:
		return narrow{&m.YCbCr, m}
	}
	return img
}

func (n narrow) ColorModel() color.Model { return color.NRGBAModel }

func (n narrow) At(x, y int) color.Color { return n.at(x, y) }

// at is a colour by the whole numbers in which libwebp reckons (src/dsp/yuv.h, from memory).
func (n narrow) at(x, y int) color.NRGBA {
	yi, ci := n.YOffset(x, y), n.COffset(x, y)
	luma, u, v := int32(n.Y[yi])*19077>>8, int32(n.Cb[ci]), int32(n.Cr[ci])
	c := color.NRGBA{
		R: clipped(luma + v*26149>>8 - 14234),
		G: clipped(luma - u*6419>>8 - v*13320>>8 + 8708),
		B: clipped(luma + u*33050>>8 - 17685), A: 255,
	}
	if n.cover != nil {
		c.A = n.cover.A[n.cover.AOffset(x, y)]
	}
	return c
}

func clipped(v int32) uint8 { return uint8(min(max(v>>6, 0), 255)) }

// on puts a colour, which may be clear, on white paper.
func on(to []float32, c color.Color) {
	n := color.NRGBA64Model.Convert(c).(color.NRGBA64)
	cover := float32(n.A) / 65535
	t := light16()
	for i, v := range [...]uint16{n.R, n.G, n.B} {
		to[i] = t[v]*cover + 1 - cover
	}
}

// turned turns an image upright.
func turned(img *image.RGBA, turn header.Turn) *image.RGBA {
	if turn <= 1 || turn > 8 {
		return img
	}
	w, h := img.Rect.Dx(), img.Rect.Dy()
	if turn >= 5 {
		w, h = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			sx, sy := source(turn, x, y, w, h)
			copy(out.Pix[out.PixOffset(x, y):][:4], img.Pix[img.PixOffset(sx, sy):][:4])
		}
	}
	return out
}

// source is where a pixel of an upright image of w × h stands in the one that lies as turn says (CIPA DC-008, tag 274).
func source(turn header.Turn, x, y, w, h int) (int, int) {
	switch turn {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return y, w - 1 - x
	case 7:
		return h - 1 - y, w - 1 - x
	case 8:
		return h - 1 - y, x
	}
	return x, y
}
