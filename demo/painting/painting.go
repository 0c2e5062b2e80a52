// Package painting paints the pictures of the invented studio: fourteen of them, each of its own making, the same every time. Outlines
// are filled on a canvas of its own, a hundred units wide; nothing is read from a file.
package painting

import "image"

// Long is the long side of a painting in pixels: as large as a page shows it.
const Long = 640

// sheet is a painting: its proportion, what is to be seen in it, and how it is painted.
type sheet struct {
	wide, high int
	seen       string
	paint      func(*canvas)
}

// sheets are the paintings by the titles of their works.
var sheets = map[string]sheet{
	"Heron at dusk":             {3, 4, "A heron stands in still water below a weir; a low red sun behind far trees.", heronAtDusk},
	"Salt meadow, first frost":  {4, 5, "A creek winds through pale frosted meadows to a flat horizon under a small cold sun.", saltMeadow},
	"The lamp room":             {3, 4, "An oil lamp burns on a table in a dark blue room; a thin moon in the window.", lampRoom},
	"Two quinces on blue paper": {3, 4, "Two yellow quinces, one with its leaf, on crumpled blue paper.", twoQuinces},
	"Slack water":               {4, 5, "A small boat with a bare mast lies on water without a ripple, doubled in it.", slackWater},
	"Orchard ladder":            {3, 4, "A ladder leans into an apple tree full of red apples.", orchardLadder},
	"Ferry bell, fog":           {4, 5, "A brass bell hangs on a landing stage; behind it, hardly seen, a ferry with two lit windows.", ferryBell},
	"Kiln yard after rain":      {3, 4, "Two bottle-shaped brick kilns and their reflections in a wet yard.", kilnYard},
	"Moth and lantern glass":    {3, 4, "An etching: a large moth before the glass of a lantern, in brown ink.", mothAndLantern},
	"Thaw on Cobbler's Hill":    {3, 4, "A hill with the last snow in its furrows, bare trees, a house with smoke.", cobblersHill},
	"Rook weather":              {2, 3, "Rooks blown about over bare elms under a dark sky.", rookWeather},
	"Long table, late light":    {4, 5, "A long table set with a jug and bowls; evening light through a window falls along it.", longTable},
	"The beekeeper's gate":      {3, 4, "An open garden gate, and beyond it white hives among flowers.", beekeepersGate},
	"Quarry pool in March":      {3, 4, "A green pool between ochre walls of rock, one white birch at its edge.", quarryPool},
}

// Seen says what is to be seen in the painting of a title; "" when there is none.
func Seen(title string) string { return sheets[title].seen }

// Paint paints the painting of a title. false when there is none.
func Paint(title string) (*image.RGBA, bool) {
	s, ok := sheets[title]
	if !ok {
		return nil, false
	}
	var seed uint64
	for _, r := range title {
		seed = seed*131 + uint64(r)
	}
	c := newCanvas(s.wide, s.high, Long, seed)
	s.paint(c)
	c.varnish()
	return c.img, true
}

// varnish gives the whole the tooth of its ground, and a little dark towards the edges.
func (c *canvas) varnish() {
	b := c.img.Rect
	for y := range b.Dy() {
		row := c.img.Pix[c.img.PixOffset(0, y):][:4*b.Dx()]
		dy := 2*y - b.Dy()
		edge := int32(14 * dy * dy / (b.Dy() * b.Dy()))
		fine, flat := &c.grain[y*5&255], &c.grain[y*3>>1&255]
		for x := range b.Dx() {
			dx := 2*x - b.Dx()
			k := 256 + int32(fine[x*7&255])>>3 + int32(flat[x>>3&255])>>4 - edge - int32(14*dx*dx/(b.Dx()*b.Dx()))
			p := row[4*x : 4*x+3 : 4*x+3]
			p[0], p[1], p[2] = uint8(min(int32(p[0])*k>>8, 255)), uint8(min(int32(p[1])*k>>8, 255)), uint8(min(int32(p[2])*k>>8, 255))
		}
	}
}
