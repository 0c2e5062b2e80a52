package painting

import (
	"image"
	"image/draw"
	"math"
	"slices"

	"golang.org/x/image/vector"
)

// rgb is a colour of sRGB, each part 0 to 255.
type rgb struct{ r, g, b int32 }

// hue reads a colour as it is written: 0x274b5a.
func hue(v int32) rgb { return rgb{v >> 16 & 255, v >> 8 & 255, v & 255} }

// mix is a colour between two: t = 0 is the first, 1 the second.
func mix(a, b rgb, t float64) rgb {
	part := func(x, y int32) int32 { return x + int32(t*float64(y-x)) }
	return rgb{part(a.r, b.r), part(a.g, b.g), part(a.b, b.b)}
}

// pt is a point: x from 0 to 100 across the picture, y downwards in the same measure.
type pt struct{ x, y float64 }

// ink is how an area is filled: from the colour above to the one below, as dense as cover says, with the tooth of the paper or the
// brush. round instead goes from the first colour at a point to the second at a distance.
type ink struct {
	above, below rgb
	cover        float64 // 0 = none, 1 = all
	tooth        int32   // how uneven: 0 to 60
	brush        brush
	round        bool
	at           pt
	reach        float64
}

// brush is how the unevenness runs: steps across and down the grain, in 256ths a pixel.
type brush struct{ across, down int }

var (
	dry   = brush{256, 256} // paper
	flatB = brush{40, 330}  // strokes from side to side
	tallB = brush{330, 40}  // strokes from above
	soft  = brush{64, 64}   // clouds
)

// plain is one colour, a little uneven.
func plain(c rgb) ink { return ink{above: c, below: c, cover: 1, tooth: 14, brush: flatB} }

// from goes from one colour above to another below.
func from(a, b rgb) ink { return ink{above: a, below: b, cover: 1, tooth: 14, brush: flatB} }

// round goes from a colour at a point to another at a distance.
func round(a, b rgb, x, y, reach float64) ink {
	return ink{above: a, below: b, cover: 1, tooth: 12, brush: soft, round: true, at: pt{x, y}, reach: reach}
}

func (i ink) thin(cover float64) ink         { i.cover = cover; return i }
func (i ink) rough(tooth int32, b brush) ink { i.tooth, i.brush = tooth, b; return i }
func (i ink) towards(c rgb, t float64) ink {
	i.above, i.below = mix(i.above, c, t), mix(i.below, c, t)
	return i
}

// canvas is what is painted on.
type canvas struct {
	img    *image.RGBA
	scale  float64 // pixels a unit
	w, h   float64 // units
	raster vector.Rasterizer
	mask   []uint8
	chance uint64
	grain  *[256][256]int8
}

// newCanvas is a sheet in the proportion of width to height, whose long side has so many pixels.
func newCanvas(width, height, long int, seed uint64) *canvas {
	box := image.Rect(0, 0, long, long*height/width)
	if height > width {
		box = image.Rect(0, 0, long*width/height, long)
	}
	c := &canvas{img: image.NewRGBA(box), chance: seed, grain: grain()}
	c.scale = float64(box.Dx()) / 100
	c.w, c.h = 100, float64(box.Dy())/c.scale
	c.mask = make([]uint8, box.Dx()*box.Dy())
	return c
}

// next is a number of a fixed sequence (splitmix64), so that a picture is the same on every machine.
func (c *canvas) next() uint64 {
	c.chance += 0x9e3779b97f4a7c15
	z := c.chance
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// any is a number between two.
func (c *canvas) any(from, to float64) float64 {
	return from + (to-from)*float64(c.next()>>11)/(1<<53)
}

// fill fills an outline.
func (c *canvas) fill(in ink, outline ...pt) {
	if len(outline) < 3 {
		return
	}
	left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range outline {
		left, right = min(left, p.x), max(right, p.x)
		top, bottom = min(top, p.y), max(bottom, p.y)
	}
	s := c.scale
	box := image.Rect(int(math.Floor(left*s)), int(math.Floor(top*s)), int(math.Ceil(right*s))+1, int(math.Ceil(bottom*s))+1).Intersect(c.img.Rect)
	if box.Empty() {
		return
	}
	c.raster.Reset(box.Dx(), box.Dy())
	c.raster.DrawOp = draw.Src
	ox, oy := float64(box.Min.X), float64(box.Min.Y)
	for i, p := range outline {
		x, y := float32(p.x*s-ox), float32(p.y*s-oy)
		if i == 0 {
			c.raster.MoveTo(x, y)
			continue
		}
		c.raster.LineTo(x, y)
	}
	c.raster.ClosePath()
	mask := &image.Alpha{Pix: c.mask[:box.Dx()*box.Dy()], Stride: box.Dx(), Rect: image.Rect(0, 0, box.Dx(), box.Dy())}
	c.raster.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	c.lay(in, box, mask, top*s, bottom*s)
}

// lay puts an ink where a mask lets it.
func (c *canvas) lay(in ink, box image.Rectangle, mask *image.Alpha, top, bottom float64) {
	cover := int32(in.cover * 256)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		t := 0.0
		if bottom > top {
			t = min(max((float64(y)-top)/(bottom-top), 0), 1)
		}
		base := mix(in.above, in.below, t)
		grain := &c.grain[y*in.brush.down>>8&255]
		row := mask.Pix[(y-box.Min.Y)*mask.Stride:][:box.Dx()]
		pix := c.img.Pix[c.img.PixOffset(box.Min.X, y):]
		for x, m := range row {
			if m == 0 {
				continue
			}
			if in.round {
				base = in.roundAt(float64(box.Min.X+x)/c.scale, float64(y)/c.scale)
			}
			g := 256 + int32(grain[(box.Min.X+x)*in.brush.across>>8&255])*in.tooth>>6
			a := int32(m) * cover >> 8
			p := pix[4*x : 4*x+4 : 4*x+4]
			blend(p, base.r*g>>8, base.g*g>>8, base.b*g>>8, a)
		}
	}
}

func (i *ink) roundAt(x, y float64) rgb {
	d := math.Hypot(x-i.at.x, y-i.at.y) / i.reach
	d = min(d, 1)
	return mix(i.above, i.below, d*d*(3-2*d))
}

// blend lays a colour on a pixel, a of 255 dense.
func blend(p []uint8, r, g, b, a int32) {
	a += a >> 7 // 255 is all
	p[0] = uint8(int32(p[0]) + (min(r, 255)-int32(p[0]))*a>>8)
	p[1] = uint8(int32(p[1]) + (min(g, 255)-int32(p[1]))*a>>8)
	p[2] = uint8(int32(p[2]) + (min(b, 255)-int32(p[2]))*a>>8)
	p[3] = 255
}

// glow lightens, or darkens, around a point towards a colour.
func (c *canvas) glow(x, y, reach float64, colour rgb, strength float64) {
	s := c.scale
	box := image.Rect(int((x-reach)*s), int((y-reach)*s), int((x+reach)*s)+1, int((y+reach)*s)+1).Intersect(c.img.Rect)
	for py := box.Min.Y; py < box.Max.Y; py++ {
		dy := (float64(py)/s - y) / reach
		pix := c.img.Pix[c.img.PixOffset(box.Min.X, py):]
		for px := range box.Dx() {
			dx := (float64(box.Min.X+px)/s - x) / reach
			d := 1 - dx*dx - dy*dy
			if d <= 0 {
				continue
			}
			blend(pix[4*px:4*px+4:4*px+4], colour.r, colour.g, colour.b, int32(255*strength*d*d*d))
		}
	}
}

// wash fills a band from side to side, from one height to another.
func (c *canvas) wash(top, bottom float64, in ink) {
	top -= 0.4 // so that nothing shows between one band and the next
	c.fill(in, pt{0, top}, pt{c.w, top}, pt{c.w, bottom}, pt{0, bottom})
}

// curve is a smooth line through points (Catmull-Rom), in short straight pieces.
func curve(p ...pt) []pt { return smooth(p, false) }

// loop is a smooth outline through points.
func loop(p ...pt) []pt { return smooth(p, true) }

func smooth(p []pt, closed bool) []pt {
	n := len(p)
	at := func(i int) pt {
		if closed {
			return p[(i+n)%n]
		}
		return p[min(max(i, 0), n-1)]
	}
	ends := n - 1
	if closed {
		ends = n
	}
	const pieces = 8
	out := make([]pt, 0, ends*pieces+1)
	for i := range ends {
		a, b, d, e := at(i-1), at(i), at(i+1), at(i+2)
		for k := range pieces {
			t := float64(k) / pieces
			f := func(a, b, d, e float64) float64 {
				return b + t*(d-a)/2 + t*t*(2*a-5*b+4*d-e)/2 + t*t*t*(-a+3*b-3*d+e)/2
			}
			out = append(out, pt{f(a.x, b.x, d.x, e.x), f(a.y, b.y, d.y, e.y)})
		}
	}
	if !closed {
		out = append(out, p[n-1])
	}
	return out
}

// stroke draws along a line, as wide at its beginning and end as is said.
func (c *canvas) stroke(in ink, from, to float64, line ...pt) {
	n := len(line)
	if n < 2 {
		return
	}
	left, right := make([]pt, 0, 2*n), make([]pt, 0, n)
	for i, p := range line {
		a, b := line[max(i-1, 0)], line[min(i+1, n-1)]
		dx, dy := b.x-a.x, b.y-a.y
		l := math.Hypot(dx, dy)
		if l == 0 {
			continue
		}
		w := (from + (to-from)*float64(i)/float64(n-1)) / 2
		nx, ny := -dy/l*w, dx/l*w
		left, right = append(left, pt{p.x + nx, p.y + ny}), append(right, pt{p.x - nx, p.y - ny})
	}
	slices.Reverse(right)
	c.fill(in, append(left, right...)...)
}

// disc is an ellipse.
func (c *canvas) disc(in ink, x, y, rx, ry float64) { c.fill(in, ellipse(x, y, rx, ry, 0)...) }

// ellipse is its outline, turned by an angle.
func ellipse(x, y, rx, ry, turn float64) []pt {
	n := int(min(max(12, 10*max(rx, ry)), 64))
	out := make([]pt, n)
	sin, cos := math.Sincos(turn)
	for i := range out {
		s, k := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = pt{x + k*rx*cos - s*ry*sin, y + k*rx*sin + s*ry*cos}
	}
	return out
}

// ridge is the outline of land from side to side: around a height, as high as rise, with so many hills; down to the foot.
func (c *canvas) ridge(height, rise float64, hills int, foot float64) []pt {
	var p []pt
	for i := range hills + 3 {
		p = append(p, pt{(float64(i) - 1 + c.any(-0.25, 0.25)) * c.w / float64(hills), height + c.any(-rise, rise)})
	}
	return append(curve(p...), pt{c.w + 5, foot}, pt{-5, foot})
}

// dabs lays many short touches of a brush within a box, each of one of the colours: wide and high are those of one touch. A cover
// over 1.6 leaves nothing seen through.
func (c *canvas) dabs(n int, x0, y0, x1, y1, wide, high, cover float64, colours ...rgb) {
	for range n {
		x, y := c.any(x0, x1), c.any(y0, y1)
		k := c.any(0.5, 1.3)
		in := plain(colours[c.next()%uint64(len(colours))]).thin(min(1, cover*c.any(0.6, 1)))
		c.fill(in, ellipse(x, y, wide*k/2, high*k/2, c.any(-0.15, 0.15))...)
	}
}
