package develop

import (
	"context"
	"image"
	"math"
	"sync"

	"solander/picture"
)

// light is an image as amounts of light, red, green and blue a pixel, 0 to 1 of white: means of amounts of light are what an eye sees
// from afar, means of numbers in a file are darker.
type light struct {
	picture.Box
	of []float32
}

// lightAt is the light of a value of sRGB, 0 to 1 (IEC 61966-2-1).
func lightAt(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// valueAt is the value of sRGB of an amount of light.
func valueAt(l float64) float64 {
	if l <= 0.0031308 {
		return 12.92 * l
	}
	return 1.055*math.Pow(l, 1/2.4) - 0.055
}

// light8 is the light of each value of 8 bits.
var light8 = func() (t [256]float32) {
	for i := range t {
		t[i] = float32(lightAt(float64(i) / 255))
	}
	return t
}()

// light16 is the light of each value of 16 bits.
var light16 = sync.OnceValue(func() *[65536]float32 {
	t := new([65536]float32)
	for i := range t {
		t[i] = float32(lightAt(float64(i) / 65535))
	}
	return t
})

// steps is how finely amounts of light are told apart when they become values again; a step is below a tenth of one of 8 bits.
const steps = 1 << 16

// values is the value of each step of light.
var values = sync.OnceValue(func() *[steps + 1]float32 {
	t := new([steps + 1]float32)
	for i := range t {
		t[i] = float32(valueAt(float64(i) / steps))
	}
	return t
})

// share is what each of a run of pixels gives to one pixel of a smaller image; the shares add up to 1.
type share struct {
	from int
	of   []float32
}

// sharesOf divides a row of so many pixels among fewer, by the cubic of Catmull and Rom (a = -1/2), as wide as a pixel of the smaller
// image. A row of the same length is taken as it is.
func sharesOf(in, out int) []share {
	shares := make([]share, out)
	scale := float64(in) / float64(out)
	for i := range shares {
		centre := (float64(i)+0.5)*scale - 0.5
		from, to := max(0, int(math.Ceil(centre-2*scale))), min(in-1, int(math.Floor(centre+2*scale)))
		s, sum := share{from: from, of: make([]float32, to-from+1)}, 0.0
		for j := range s.of {
			w := cubic((float64(from+j) - centre) / scale)
			s.of[j], sum = float32(w), sum+w
		}
		for j := range s.of {
			s.of[j] /= float32(sum)
		}
		shares[i] = s
	}
	return shares
}

func cubic(x float64) float64 {
	switch x = math.Abs(x); {
	case x < 1:
		return (1.5*x-2.5)*x*x + 1
	case x < 2:
		return ((-0.5*x+2.5)*x-4)*x + 2
	}
	return 0
}

// reduced makes a smaller image. It reads the large one row by row, and each row once: beside it stands nothing larger than a row and
// the image that is made.
func reduced(ctx context.Context, img image.Image, to picture.Box) (light, error) {
	b := img.Bounds()
	read := rowsOf(img)
	across, down := sharesOf(b.Dx(), to.Width), sharesOf(b.Dy(), to.Height)
	out := light{to, make([]float32, 3*to.Width*to.Height)}
	row, narrow := make([]float32, 3*b.Dx()), make([]float32, 3*to.Width)
	first := 0 // the first row of the smaller image that is not yet whole
	for y := range b.Dy() {
		if y%64 == 0 && ctx.Err() != nil {
			return out, ctx.Err()
		}
		read(y, row)
		narrowed(row, narrow, across)
		for i := first; i < to.Height && down[i].from <= y; i++ {
			s := down[i]
			if y >= s.from+len(s.of) {
				first = i + 1
				continue
			}
			add(out.of[3*i*to.Width:], narrow, s.of[y-s.from])
		}
	}
	return out, nil
}

// narrowed makes a row narrower.
func narrowed(row, to []float32, across []share) {
	for i, s := range across {
		var r, g, b float32
		in := row[3*s.from:]
		for j, w := range s.of {
			p := in[3*j : 3*j+3 : 3*j+3]
			r, g, b = r+w*p[0], g+w*p[1], b+w*p[2]
		}
		to[3*i], to[3*i+1], to[3*i+2] = r, g, b
	}
}

func add(to, row []float32, part float32) {
	to = to[:len(row)]
	for i, v := range row {
		to[i] += part * v
	}
}

// value8 rounds a value of 0 to 1 to 8 bits.
func value8(v float32) uint8 { return uint8(min(max(v, 0), 1)*255 + 0.5) }

// seen makes values of sRGB of light; a colour that is not nil makes them of the values of another space first.
func (l light) seen(colour Colour) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, l.Width, l.Height))
	table := values()
	value := func(x float32) float32 { return table[int(min(max(x, 0), 1)*steps+0.5)] }
	for i := 0; i < len(l.of); i += 3 {
		r, g, b := value(l.of[i]), value(l.of[i+1]), value(l.of[i+2])
		if colour != nil {
			r, g, b = colour(r, g, b)
		}
		p := out.Pix[i/3*4 : i/3*4+4 : i/3*4+4]
		p[0], p[1], p[2], p[3] = value8(r), value8(g), value8(b), 255
	}
	return out
}
