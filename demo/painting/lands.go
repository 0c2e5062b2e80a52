package painting

import "math"

func orchardLadder(c *canvas) {
	c.wash(0, 80, from(hue(0xbcd3d0), hue(0xf4ead0)).rough(14, flatB))
	c.fill(from(hue(0xa9bf9a), hue(0x92ab7c)), c.ridge(70, 3, 4, 90)...)
	for i := range 9 { // trees far off
		x := -4 + 13.5*float64(i) + c.any(-2, 2)
		c.stroke(plain(hue(0x7a7358)).thin(0.8), 1, 0.7, pt{x, 85}, pt{x, 76})
		c.dabs(26, x-6, 66, x+6, 78, 4, 3, 0.8, hue(0x86a06a), hue(0x94ad76), hue(0x789460))
	}
	c.fill(from(hue(0xb7bf6e), hue(0x6f8a48)).rough(28, flatB), c.ridge(84, 1.5, 4, c.h+2)...)
	c.dabs(240, 0, 88, 100, c.h, 6, 1, 0.5, hue(0xcfcf80), hue(0x8aa458), hue(0x5f7d3f), hue(0xdcd69a))
	c.fill(plain(hue(0x47622f)).thin(0.6), ellipse(53, 113, 42, 7, -0.03)...)
	trunk := from(hue(0x6a5543), hue(0x41342a)).rough(40, tallB)
	c.fill(trunk, append(curve(pt{39, 116}, pt{45, 108}, pt{46, 92}, pt{43, 74}, pt{38, 60}), curve(pt{45, 58}, pt{50, 70}, pt{55, 58}, pt{60, 60}, pt{55, 78}, pt{55, 96}, pt{57, 108}, pt{63, 116})...)...)
	for _, b := range [][]pt{{{47, 78}, {34, 62}, {20, 54}}, {{51, 76}, {62, 58}, {78, 48}}, {{49, 72}, {47, 50}, {51, 30}}, {{53, 80}, {68, 70}, {83, 68}}} {
		c.stroke(trunk, 3.6, 0.8, curve(b...)...)
	}
	// leaves: dark within, light where the sun is
	crown := func(n int, spread, up float64, cover float64, colours ...rgb) {
		for range n {
			a, d := c.any(0, 2*math.Pi), math.Sqrt(c.any(0, 1))
			x, y := 50+math.Cos(a)*d*(43-spread)-up, 45+math.Sin(a)*d*(33-spread)-up
			c.fill(plain(colours[c.next()%uint64(len(colours))]).thin(cover), ellipse(x, y, c.any(1.6, 3.6), c.any(1, 2.2), c.any(-1.3, 1.3))...)
		}
	}
	crown(330, 0, -1, 0.9, hue(0x3f5f36), hue(0x4c6e3c), hue(0x35522f))
	crown(260, 3, 2, 0.85, hue(0x66883f), hue(0x587a3c), hue(0x779646))
	crown(150, 9, 6, 0.8, hue(0x9fb35a), hue(0x8ba552), hue(0xbcc56c))
	for range 38 { // apples
		a, d := c.any(0, 2*math.Pi), math.Sqrt(c.any(0.05, 0.94))
		c.apple(50+math.Cos(a)*d*40, 47+math.Sin(a)*d*31, c.any(1.7, 2.4))
	}
	// the ladder, its feet in the grass
	rail := from(hue(0xe0c497), hue(0xa07f54)).rough(24, tallB)
	shade := plain(hue(0x4d5c30)).thin(0.5)
	c.stroke(shade, 1.6, 1.6, pt{78, 122}, pt{94, 116})
	c.stroke(rail, 2.1, 1.4, pt{84, 122}, pt{58, 30})
	c.stroke(rail, 2.1, 1.4, pt{70, 124}, pt{53, 31})
	for i := range 10 {
		t := 0.05 + float64(i)*0.095
		a, b := pt{84 - 26*t, 122 - 92*t}, pt{70 - 17*t, 124 - 93*t}
		c.stroke(from(hue(0xd2b285), hue(0x8d6d45)), 1.5-0.5*t, 1.5-0.5*t, b, a)
	}
	crown(26, 22, 3, 0.95, hue(0x8ba552), hue(0x66883f), hue(0x9fb35a))
	// a basket, and what fell
	c.fill(from(hue(0xb98b52), hue(0x6d4a29)).rough(40, dry), pt{17, 111}, pt{37, 111}, pt{34, 122}, pt{20, 122})
	for i := range 4 {
		c.stroke(plain(hue(0x5a3d22)).thin(0.6), 0.5, 0.5, pt{17.6 + float64(i)*0.6, 113 + 2.6*float64(i)}, pt{36.4 - float64(i)*0.6, 113 + 2.6*float64(i)})
	}
	c.stroke(plain(hue(0x8a6238)), 1, 1, curve(pt{18, 111}, pt{22, 101}, pt{32, 101}, pt{36, 111})...)
	for i := range 7 {
		c.apple(19.5+2.6*float64(i), 110.4-1.6*float64(i%2), 2.3)
	}
	for _, p := range []pt{{46, 120}, {60, 118}, {41, 126}, {9, 124}, {66, 128}} {
		c.apple(p.x, p.y, 2)
	}
	for range 60 {
		x := c.any(0, 100)
		c.stroke(plain([]rgb{hue(0x55733a), hue(0xb9c06a)}[c.next()%2]).thin(0.8), 0.6, 0.1, pt{x, c.h + 1}, pt{x + c.any(-2, 2), c.h - c.any(2, 8)})
	}
}

func (c *canvas) apple(x, y, r float64) {
	c.disc(round(hue(0xf0704a), hue(0x96211f), x-r*0.35, y-r*0.35, r*1.5), x, y, r, r*0.95)
	c.disc(plain(hue(0xffd9b8)).thin(0.7), x-r*0.4, y-r*0.4, r*0.25, r*0.2)
}

func kilnYard(c *canvas) {
	c.wash(0, 82, from(hue(0x6d8296), hue(0xd5d8d2)).rough(16, soft))
	c.dabs(70, 0, 4, 100, 44, 26, 5, 0.35, hue(0xe6e6e2), hue(0x8d9cab), hue(0xb9c1c7), hue(0x5d7186))
	c.fill(plain(hue(0xf4e9cf)).thin(0.6), ellipse(70, 60, 50, 7, 0)...)
	// roofs behind
	for _, r := range [][4]float64{{-4, 64, 24, 57}, {70, 66, 104, 56}, {40, 68, 62, 62}} {
		c.fill(from(hue(0x7b8790), hue(0x5d6a74)), pt{r[0], 78}, pt{r[0], r[1]}, pt{(r[0] + r[2]) / 2, r[3]}, pt{r[2], r[1]}, pt{r[2], 78})
		c.stroke(plain(hue(0xc7cdd0)).thin(0.8), 0.6, 0.6, pt{r[0], r[1]}, pt{(r[0] + r[2]) / 2, r[3]}, pt{r[2], r[1]})
	}
	c.wash(80, c.h, from(hue(0x98a0a2), hue(0x59646c)).rough(26, flatB))
	c.kiln(66, 88, 0.78, -0.62, 0.62) // the yard holds both of them, upside down
	c.kiln(31, 94, 1, -0.5, 0.68)
	c.kiln(66, 88, 0.78, 1, 1)
	c.kiln(31, 94, 1, 1, 1)
	for range 60 {
		y := c.any(92, c.h)
		c.fill(plain([]rgb{hue(0x9aa3a6), hue(0x747f86), hue(0x5f6a72)}[c.next()%3]).thin(0.55), ellipse(c.any(0, 100), y, c.any(6, 20), 0.25+(y-90)*0.02, 0)...)
	}
	for _, p := range []struct{ x, y, w, h float64 }{{58, 119, 25, 3.2}, {22, 128, 20, 2.6}, {88, 110, 13, 1.7}, {86, 128, 15, 2}} { // puddles: sky
		c.fill(from(hue(0xb9c4c9), hue(0x8497a6)).thin(0.85).rough(18, flatB), loop(pt{p.x - p.w, p.y}, pt{p.x - p.w*0.4, p.y - p.h}, pt{p.x + p.w*0.3, p.y - p.h*0.7}, pt{p.x + p.w, p.y - p.h*0.2}, pt{p.x + p.w*0.5, p.y + p.h}, pt{p.x - p.w*0.3, p.y + p.h*0.8})...)
	}
	// pots in a row, and a board on them
	for i := range 6 {
		x := 58 + 6.6*float64(i)
		of := []rgb{hue(0xc57a4e), hue(0xd8a06c), hue(0x9a5638)}[i%3]
		c.fill(from(mix(of, hue(0xffe2bf), 0.3), mix(of, hue(0x2b1d1a), 0.55)), append(curve(pt{x - 2.2, 92}, pt{x - 3, 97}, pt{x - 1.8, 102}), curve(pt{x + 1.8, 102}, pt{x + 3, 97}, pt{x + 2.2, 92})...)...)
		c.fill(plain(hue(0x3b2620)), ellipse(x, 92, 2.2, 0.6, 0)...)
		c.fill(plain(mix(of, hue(0x59646c), 0.4)).thin(0.45), ellipse(x, 104.6, 2.3, 2.4, 0)...)
	}
	c.stroke(from(hue(0x6d5a4a), hue(0x43362e)), 1.6, 1.6, pt{4, 121}, pt{30, 108})
	for range 26 { // the last drops
		x, y := c.any(0, 100), c.any(20, 100)
		c.stroke(plain(hue(0xf2f3f0)).thin(0.3), 0.25, 0.1, pt{x, y}, pt{x - 0.8, y + c.any(2, 5)})
	}
}

// kiln stands with its foot at a point; with a negative height it hangs from it, as wet ground shows it.
func (c *canvas) kiln(x, y, k, high, cover float64) {
	at := func(p ...pt) []pt {
		out := make([]pt, len(p))
		for i, q := range p {
			out[i] = pt{x + k*q.x, y - k*high*q.y}
		}
		return out
	}
	outline := at(append(curve(pt{-25, 0}, pt{-25.5, 14}, pt{-22, 30}, pt{-14, 46}, pt{-8.4, 60}, pt{-7, 72}), curve(pt{7, 72}, pt{8.4, 60}, pt{14, 46}, pt{22, 30}, pt{25.5, 14}, pt{25, 0})...)...)
	lit, dim := hue(0xc9764f), hue(0x6e3d33)
	c.fill(from(lit, mix(lit, dim, 0.6)).thin(cover).rough(34, dry), outline...)
	c.fill(plain(dim).thin(0.62*cover).rough(24, dry), append(at(curve(pt{7, 72}, pt{8.4, 60}, pt{14, 46}, pt{22, 30}, pt{25.5, 14}, pt{25, 0})...), at(pt{11, 0}, pt{10, 24}, pt{4, 48}, pt{1.4, 72})...)...)
	c.fill(plain(hue(0xf0a878)).thin(0.45*cover), append(at(curve(pt{-24, 2}, pt{-24.5, 14}, pt{-21, 30}, pt{-13.4, 46})...), at(pt{-10, 46}, pt{-16, 28}, pt{-18, 12}, pt{-18, 2})...)...)
	if cover == 1 {
		for i := range 19 { // courses of bricks
			h := 3 + 3.7*float64(i)
			w := 25.2 - h*h*0.0042 - h*0.02
			c.stroke(plain(hue(0x5a3029)).thin(0.3), 0.28, 0.28, curve(at(pt{-w, h}, pt{0, h - 0.9}, pt{w, h})...)...)
			for j := range 9 {
				bx := (float64(j) - 4 + 0.5*float64(i%2)) * w / 4.6
				c.stroke(plain(hue(0x5a3029)).thin(0.24), 0.25, 0.25, at(pt{bx, h}, pt{bx * 0.985, h + 3.4})...)
			}
		}
	}
	for _, h := range []float64{26, 52} { // hoops of iron
		w := 25.2 - h*h*0.0042 - h*0.02
		c.stroke(plain(hue(0x3b2f30)).thin(cover), 1.1*k, 1.1*k, curve(at(pt{-w, h}, pt{0, h - 1}, pt{w, h})...)...)
	}
	c.fill(from(hue(0x7d4a3a), hue(0x57322b)).thin(cover), at(pt{-8.6, 71}, pt{8.6, 71}, pt{8.2, 75.5}, pt{-8.2, 75.5})...)
	c.fill(plain(hue(0x2c1c1c)).thin(cover), append(at(curve(pt{-7.5, 0}, pt{-7.5, 12}, pt{0, 18}, pt{7.5, 12}, pt{7.5, 0})...), at(pt{-7.5, 0})...)...)
	c.fill(from(hue(0x4b2f2b), hue(0x7a4b30)).thin(cover), append(at(curve(pt{-4.6, 0}, pt{-4.6, 9}, pt{0, 13}, pt{4.6, 9}, pt{4.6, 0})...), at(pt{-4.6, 0})...)...)
}

func cobblersHill(c *canvas) {
	c.wash(0, 70, from(hue(0x9fb6c8), hue(0xf1e2d2)).rough(14, flatB))
	for range 10 {
		c.fill(plain(hue(0xf7efe6)).thin(0.45), ellipse(c.any(0, 100), c.any(6, 40), c.any(8, 24), c.any(0.8, 2.6), c.any(-0.04, 0.04))...)
	}
	c.fill(from(hue(0xa9b5c4), hue(0x8b9aac)), c.ridge(55, 3.4, 4, 80)...)
	c.dabs(26, 0, 52, 100, 60, 12, 1.6, 0.5, hue(0xdfe4ea))
	// the hill
	top := curve(pt{-6, 72}, pt{10, 60}, pt{30, 46}, pt{50, 39}, pt{68, 43}, pt{86, 54}, pt{106, 64})
	c.fill(from(hue(0x8c7a55), hue(0x5e5138)).rough(30, flatB), append(append([]pt{}, top...), pt{106, c.h + 4}, pt{-6, c.h + 4})...)
	// furrows: snow lies where they are in the shade
	for i := range 17 {
		f := float64(i) / 16
		foot := pt{-38 + 176*f, c.h + 6}
		head := top[2+int(f*float64(len(top)-5))]
		mid := pt{(head.x*1.5+foot.x)/2.5 + 5*math.Sin(9*f), 78 + 6*math.Sin(5*f)}
		line := curve(pt{head.x, head.y + 1}, mid, foot)
		c.stroke(plain(hue(0x43392a)).thin(0.55), 0.5, 4.2, line...)
		from := 1 + int(c.next()%3)
		for j := from; j < len(line)-3; j += 3 + int(c.next()%2) {
			c.snow(line[j:min(j+3+int(c.next()%4), len(line))], 0.7+4.4*float64(j)/float64(len(line)))
		}
	}
	c.fill(plain(hue(0xf5f3ee)), append(curve(pt{34, 45}, pt{44, 40.6}, pt{56, 40}, pt{66, 43}), curve(pt{66, 43}, pt{58, 44.6}, pt{50, 43}, pt{42, 46})...)...)
	c.fill(plain(hue(0xc4d4e4)).thin(0.8), append(curve(pt{50, 42}, pt{60, 41.6}, pt{66, 43}), curve(pt{66, 43}, pt{58, 44.8}, pt{51, 43.2})...)...)
	// the house
	c.fill(from(hue(0xd9cdb8), hue(0xb5a58c)), pt{62, 71}, pt{80, 71}, pt{80, 82}, pt{62, 82})
	c.fill(from(hue(0xf4f3f0), hue(0xcfd6df)), pt{59.6, 72}, pt{65, 63.4}, pt{79, 63.4}, pt{82.4, 72})
	c.fill(plain(hue(0x6d4a3c)), pt{74, 58}, pt{77, 58}, pt{77, 65}, pt{74, 65})
	c.fill(plain(hue(0x5a3e31)), pt{69, 75.4}, pt{72.4, 75.4}, pt{72.4, 82}, pt{69, 82})
	for _, x := range []float64{64.4, 75.4} {
		c.fill(plain(hue(0xf0b95a)), pt{x, 75}, pt{x + 2.6, 75}, pt{x + 2.6, 78}, pt{x, 78})
	}
	for i := range 9 {
		f := float64(i)
		c.fill(plain(hue(0xf4f1ec)).thin(0.5-0.045*f), ellipse(75.4+1.8*f+math.Sin(f)*1.4, 55-3.6*f, 1.4+0.75*f, 1.2+0.6*f, 0)...)
	}
	for _, t := range []struct{ x, y, h float64 }{{12, 84, 34}, {24, 78, 22}, {91, 86, 30}, {44, 70, 15}} {
		c.fill(plain(hue(0x8ea3bd)).thin(0.6), ellipse(t.x+t.h*0.28, t.y+0.6, t.h*0.32, 1, 0.08)...)
		c.bare(t.x, t.y, t.h, -math.Pi/2, 5, hue(0x3a302b))
	}
	// the brook of the thaw
	left := curve(pt{70, 83}, pt{60, 92}, pt{64, 103}, pt{50, 113}, pt{44, c.h + 3})
	right := curve(pt{72, c.h + 3}, pt{66, 115}, pt{71, 103}, pt{64, 93}, pt{72, 83})
	c.fill(from(hue(0xa9c2d2), hue(0x4f7186)).rough(18, tallB), append(left, right...)...)
	c.stroke(plain(hue(0xfaf8f4)), 0.5, 2.6, left...)
	c.stroke(plain(hue(0xe4ecf2)), 2.4, 0.4, right...)
	for range 22 {
		d := c.any(0, 1)
		y := 86 + (c.h-88)*d
		c.fill(plain(hue(0xe8f1f5)).thin(0.6), ellipse(66-8*d+c.any(-3, 3)*(0.4+2*d), y, 0.8+3*d, 0.2+0.3*d, 0.3)...)
	}
	c.reeds(14, 0, 30, c.h+1, 14, hue(0x6f5c38), hue(0x8d7748))
	c.reeds(9, 80, 100, c.h+1, 12, hue(0x6f5c38), hue(0x57472c))
}

// snow lies along a part of a furrow, so wide where it is widest: white above, blue where it is in the shade.
func (c *canvas) snow(along []pt, wide float64) {
	n := len(along)
	if n < 3 {
		return
	}
	var left, right []pt
	for i, p := range along {
		w := wide * math.Sin(math.Pi*(float64(i)+0.15)/(float64(n)-0.7)) * c.any(0.6, 1.1)
		left, right = append(left, pt{p.x - w*0.25, p.y}), append([]pt{{p.x + w*0.75, p.y + w*0.1}}, right...)
	}
	outline := loop(append(left, right...)...)
	c.fill(from(hue(0xfbf8f2), hue(0xdbe5ee)).rough(10, dry), outline...)
	c.stroke(plain(hue(0x9fb6d0)).thin(0.75), 0.12*wide, 0.2*wide, smooth(right, false)...)
}

// bare grows a tree without leaves from a point, so high.
func (c *canvas) bare(x, y, high, towards float64, deep int, of rgb) {
	end := pt{x + math.Cos(towards)*high*0.36, y + math.Sin(towards)*high*0.36}
	bend := c.any(-0.04, 0.04) * high
	c.stroke(plain(of), high*0.052, high*0.03, curve(pt{x, y}, pt{(x+end.x)/2 + bend, (y + end.y) / 2}, end)...)
	if deep == 0 {
		return
	}
	for _, turn := range []float64{c.any(-0.75, -0.3), c.any(-0.1, 0.15), c.any(0.3, 0.75)} {
		c.bare(end.x, end.y, high*c.any(0.62, 0.78), towards+turn, deep-1-int(c.next()%2)*min(1, deep-1), of)
	}
}

func rookWeather(c *canvas) {
	c.wash(0, c.h, from(hue(0x2f3a4a), hue(0xcbb79a)).rough(24, soft))
	for i, in := range []rgb{hue(0x3c4a5c), hue(0x566678), hue(0x75828c), hue(0x98978f), hue(0xc4ad8a)} { // wind in bands
		for range 26 {
			y := 8 + float64(i)*21 + c.any(-13, 13)
			x, long := c.any(-20, 100), c.any(14, 46)
			c.stroke(plain(in).thin(c.any(0.25, 0.7)).rough(30, soft), c.any(1, 6), 0.5, curve(pt{x, y + long*0.1}, pt{x + long*0.4, y - 2}, pt{x + long*0.75, y - 1}, pt{x + long, y - long*0.12})...)
		}
	}
	c.glow(76, 96, 44, hue(0xf4d9a4), 0.75)
	for range 7 { // rain far off
		x := c.any(4, 46)
		c.fill(plain(hue(0x5c6878)).thin(0.25), pt{x, 66}, pt{x + 7, 64}, pt{x - 5, 124}, pt{x - 14, 124})
	}
	c.fill(from(hue(0x6d6a66), hue(0x57544f)), c.ridge(121, 2, 5, 136)...)
	c.fill(from(hue(0x7a6f45), hue(0x33311f)).rough(36, flatB), c.ridge(127, 1.6, 4, c.h+2)...)
	for range 150 { // grass before the wind
		x, y := c.any(-6, 100), c.any(129, c.h+2)
		h := c.any(3, 9)
		c.stroke(plain([]rgb{hue(0xb59f5c), hue(0x5d5632), hue(0x8b8048), hue(0x2c2b1c)}[c.next()%4]).thin(0.85), 0.6, 0.1, curve(pt{x, y}, pt{x + h*0.5, y - h*0.5}, pt{x + h*1.5, y - h*0.62})...)
	}
	for _, t := range []struct{ x, y, h, lean float64 }{{26, 134, 86, 0.1}, {48, 131, 66, 0.15}, {10, 132, 58, 0.08}, {84, 130, 30, 0.16}} {
		c.bare(t.x, t.y, t.h, -math.Pi/2+t.lean, 6, hue(0x1d1c1f))
	}
	for range 11 { // nests
		x, y := c.any(18, 62), c.any(66, 92)
		for range 9 {
			c.stroke(plain(hue(0x1a181a)), 0.45, 0.2, pt{x + c.any(-2.4, 0), y + c.any(-1, 1)}, pt{x + c.any(0, 2.4), y + c.any(-1, 1)})
		}
		c.disc(plain(hue(0x1a181a)), x, y, 1.8, 1.1)
	}
	for i := range 30 { // blown about in turns around one place, each farther out
		f := float64(i)
		x, y := 54+(8+1.3*f)*math.Sin(f*2.4), 44+(5+0.95*f)*math.Cos(f*2.4)
		c.rook(x, y, c.any(1.2, 3.8), c.any(-0.5, 0.4))
	}
	c.rook(78, 66, 6, -0.3)
}

// rook flies at a point, so large, turned by an angle.
func (c *canvas) rook(x, y, k, turn float64) {
	sin, cos := math.Sincos(turn)
	at := func(p ...pt) []pt {
		out := make([]pt, len(p))
		for i, q := range p {
			out[i] = pt{x + k*(q.x*cos-q.y*sin), y + k*(q.x*sin+q.y*cos)}
		}
		return out
	}
	in := plain(hue(0x121217))
	up := c.any(0.5, 1.1)
	c.fill(in, at(append(curve(pt{-0.2, 0.2}, pt{-0.9, -0.7 * up}, pt{-1.7, -0.9 * up}, pt{-2.5, -0.3 * up}), curve(pt{-1.8, -0.35 * up}, pt{-0.9, 0.1}, pt{0.1, 0.6})...)...)...)
	c.fill(in, at(append(curve(pt{0.2, 0}, pt{0.7, -0.8 * up}, pt{1.5, -1.1 * up}, pt{2.4, -0.7 * up}), curve(pt{1.6, -0.5 * up}, pt{0.8, 0}, pt{0.1, 0.6})...)...)...)
	c.fill(in, loop(at(pt{-0.75, 0.15}, pt{0, -0.1}, pt{0.6, 0.1}, pt{1.3, 0.5}, pt{0.5, 0.55}, pt{-0.3, 0.5})...)...)
	c.fill(in, at(pt{-0.6, 0.1}, pt{-1.25, 0.28}, pt{-0.6, 0.36})...)
}

func beekeepersGate(c *canvas) {
	c.wash(0, 60, from(hue(0x8fbfd6), hue(0xe9efdc)).rough(12, flatB))
	c.dabs(18, 0, 6, 100, 30, 16, 3, 0.6, hue(0xffffff), hue(0xeaf3f4))
	c.fill(from(hue(0x8fae6c), hue(0x7ea05c)), c.ridge(48, 3, 4, 76)...)
	c.dabs(330, -2, 38, 102, 57, 4.6, 4, 1.7, hue(0x587c45), hue(0x6b9050), hue(0x486a3a), hue(0x82a45c))
	c.wash(56, c.h, from(hue(0xa9c06a), hue(0x6d9048)).rough(26, flatB))
	c.dabs(200, 0, 58, 100, 100, 4, 1, 0.5, hue(0xc4d283), hue(0x8fb05a), hue(0x7a9c4c))
	// hives beyond
	for _, h := range []struct{ x, y, k float64 }{{36, 66, 0.7}, {62, 64, 0.62}, {50, 74, 0.95}} {
		c.hive(h.x, h.y, h.k)
	}
	// the path
	left := curve(pt{47, 82}, pt{44, 94}, pt{36, 110}, pt{16, c.h + 3})
	right := curve(pt{84, c.h + 3}, pt{66, 110}, pt{58, 94}, pt{55, 82})
	c.fill(from(hue(0xe3d3ae), hue(0xc9a878)).rough(30, dry), append(left, right...)...)
	for range 50 {
		d := c.any(0, 1)
		c.fill(plain([]rgb{hue(0xb08f62), hue(0xf1e4c6)}[c.next()%2]).thin(0.6), ellipse(51+c.any(-1, 1)*(3+30*d), 84+(c.h-84)*d, 0.6+1.6*d, 0.3+0.6*d, 0)...)
	}
	flowers := func(n int, x0, y0, x1, y1, size float64, colours ...rgb) {
		for range n {
			x, y, h := c.any(x0, x1), c.any(y0, y1), c.any(0.5, 1)*size*4
			of := colours[c.next()%uint64(len(colours))]
			c.stroke(plain(hue(0x4b6d38)), 0.16*size, 0.1*size, curve(pt{x, y + h}, pt{x + c.any(-1, 1), y + h/2}, pt{x, y})...)
			for i := range 5 {
				a := float64(i) * 2 * math.Pi / 5
				c.disc(plain(mix(of, hue(0xffffff), c.any(0, 0.25))), x+math.Cos(a)*size*0.34, y+math.Sin(a)*size*0.3, size*0.3, size*0.27)
			}
			c.disc(plain(hue(0xf2c94a)), x, y, size*0.17, size*0.16)
		}
	}
	flowers(40, 0, 78, 30, 92, 1.4, hue(0xc9557a), hue(0xe9e3f0), hue(0x8a5fa8))
	flowers(40, 70, 78, 100, 92, 1.4, hue(0x8a5fa8), hue(0xd98ab0), hue(0xf0e6ee))
	// the gate stands open, between its posts
	wood := from(hue(0xf0ebdd), hue(0xbdb8a6)).rough(24, tallB)
	for i := range 5 {
		x, f := 76+4.6*float64(i), float64(i)
		c.stroke(wood, 2, 2.2, pt{x, 58 + f*1.1}, pt{x, 98 + f*2.4})
	}
	c.stroke(wood, 2, 2.4, pt{73, 66}, pt{97, 72})
	c.stroke(wood, 2, 2.4, pt{73, 88}, pt{97, 99})
	c.stroke(wood, 1.8, 2, pt{74, 88}, pt{95.6, 72})
	for _, x := range []float64{26, 71} {
		c.fill(from(hue(0xe7e0cd), hue(0x9c9680)).rough(30, tallB), pt{x, 50}, pt{x + 5, 50}, pt{x + 5.4, 106}, pt{x - 0.4, 106})
		c.fill(from(hue(0xf7f3e6), hue(0xc9c3ae)), pt{x - 1, 50.6}, pt{x + 2.5, 45.4}, pt{x + 6, 50.6})
	}
	for i := range 5 {
		x := 2 + 5*float64(i)
		c.fill(wood, pt{x, 64}, pt{x + 1.4, 61}, pt{x + 2.8, 64}, pt{x + 2.8, 104}, pt{x, 104})
	}
	c.stroke(wood, 1.8, 1.8, pt{-2, 70}, pt{27, 70})
	c.stroke(wood, 1.8, 1.8, pt{-2, 95}, pt{27, 95})
	c.dabs(120, -3, 98, 30, c.h+2, 4.4, 3.4, 0.9, hue(0x54783f), hue(0x6b9148), hue(0x416234))
	c.dabs(120, 70, 100, 103, c.h+2, 4.4, 3.4, 0.9, hue(0x54783f), hue(0x6b9148), hue(0x416234))
	flowers(34, -1, 94, 28, 128, 3, hue(0xd2486e), hue(0xf3dfe8), hue(0x9463b4), hue(0xe98aa8))
	flowers(34, 73, 97, 101, 128, 3, hue(0x9463b4), hue(0xf3e3ea), hue(0xe9a13a), hue(0xd2486e))
	for range 26 { // bees
		x, y := c.any(30, 72), c.any(40, 80)
		c.disc(plain(hue(0x4a3512)), x, y, 0.5, 0.34)
		c.disc(plain(hue(0xffffff)).thin(0.8), x+0.3, y-0.45, 0.4, 0.24)
	}
}

func (c *canvas) hive(x, y, k float64) {
	c.fill(plain(hue(0x55733e)).thin(0.6), ellipse(x+3*k, y+9.4*k, 11*k, 1.8*k, 0)...)
	for i, of := range []rgb{hue(0xf6f2e4), hue(0xe5dfcb), hue(0xf6f2e4)} {
		top := y - 13*k + 7*k*float64(i)
		c.fill(from(of, mix(of, hue(0x8f8a78), 0.35)), pt{x - 8*k, top}, pt{x + 8*k, top}, pt{x + 8*k, top + 6.8*k}, pt{x - 8*k, top + 6.8*k})
		c.fill(plain(hue(0xa9a48f)).thin(0.7), pt{x + 4*k, top}, pt{x + 8*k, top}, pt{x + 8*k, top + 6.8*k}, pt{x + 4*k, top + 6.8*k})
	}
	c.fill(from(hue(0xb9c4c4), hue(0x7f8f92)), pt{x - 9.4*k, y - 13*k}, pt{x - 7*k, y - 17*k}, pt{x + 7*k, y - 17*k}, pt{x + 9.4*k, y - 13*k})
	c.fill(plain(hue(0x3d3324)), pt{x - 4*k, y + 5.6*k}, pt{x + 3*k, y + 5.6*k}, pt{x + 3*k, y + 7.2*k}, pt{x - 4*k, y + 7.2*k})
}

func quarryPool(c *canvas) {
	const water = 84
	c.wash(0, 40, from(hue(0x9fb7c6), hue(0xe6e6de)).rough(16, soft))
	c.dabs(22, 0, 2, 100, 26, 22, 3, 0.5, hue(0xf4f4f0), hue(0xb9c9d2))
	c.fill(from(hue(0x8d8f84), hue(0x7a7c70)), c.ridge(30, 2, 5, 50)...)
	for i := range 16 { // last year's wood on the edge
		c.bare(6*float64(i)+c.any(-2, 2), 33, c.any(8, 14), -math.Pi/2, 3, hue(0x6f6a62))
	}
	rock := func(down bool, outline []pt, cells int, light, shade rgb) {
		put := func(in ink, p []pt) {
			if down {
				q := make([]pt, len(p))
				for i := range p {
					q[i] = pt{p[i].x, water + (water-p[i].y)*0.62}
				}
				p, in = q, in.towards(hue(0x2f7a74), 0.62).thin(in.cover*0.72)
			}
			c.fill(in, p...)
		}
		put(from(light, shade).rough(34, tallB), outline)
		x0, x1, y0, y1 := outline[0].x, outline[0].x, outline[0].y, outline[0].y
		for _, p := range outline {
			x0, x1, y0, y1 = min(x0, p.x), max(x1, p.x), min(y0, p.y), max(y1, p.y)
		}
		for range cells { // faces of rock, each lit from the left
			x, y := c.any(x0, x1), c.any(y0, y1)
			w, h := c.any(3, 9), c.any(5, 15)
			face := []pt{{x, y}, {x + w, y + c.any(-2, 2)}, {x + w*0.9, y + h}, {x - c.any(0, 2), y + h*0.9}}
			inside := true
			for _, p := range face {
				inside = inside && within(p, outline)
			}
			if !inside {
				continue
			}
			of := mix(light, shade, c.any(0, 1))
			put(from(mix(of, hue(0xfff0cf), c.any(0, 0.3)), mix(of, hue(0x3b3430), c.any(0.1, 0.5))).thin(0.85).rough(30, dry), face)
			put(plain(hue(0x3d332b)).thin(0.5), []pt{face[1], {face[1].x + 0.5, face[1].y}, {face[2].x + 0.4, face[2].y}, face[2]})
			put(plain(hue(0xf7e3b8)).thin(0.5), []pt{face[0], face[1], {face[1].x, face[1].y + 0.5}, {face[0].x, face[0].y + 0.5}})
		}
	}
	back := []pt{{-3, 36}, {22, 33}, {40, 37}, {58, 34}, {78, 38}, {103, 34}, {103, water}, {-3, water}}
	left := []pt{{-3, 28}, {12, 31}, {19, 44}, {27, 48}, {31, 63}, {41, 68}, {44, water}, {-3, water}}
	right := []pt{{103, 42}, {90, 45}, {84, 57}, {75, 61}, {70, 74}, {60, 78}, {58, water}, {103, water}}
	c.wash(water, c.h, from(hue(0x6fa79a), hue(0x1f5a5e)).rough(16, flatB))
	for _, down := range []bool{false, true} {
		c.chance = 4711 // the water shows the same faces
		rock(down, back, 150, hue(0xc0a878), hue(0x857254))
		rock(down, left, 110, hue(0xd6b06a), hue(0x8b6a45))
		rock(down, right, 110, hue(0xb89a70), hue(0x6a5846))
	}
	c.wash(water+26, c.h, plain(hue(0x1d5559)).thin(0.45).rough(20, flatB))
	c.wash(water-0.3, water+0.6, plain(hue(0xe6efe4)).thin(0.75))
	c.ripples(70, 0, 100, water+2, c.h-4, 0.4, hue(0xa9d0c2), hue(0x1d4d50), hue(0xcfe4d4))
	// the near bank and the birch
	c.fill(from(hue(0x8d8352), hue(0x4b4a30)).rough(34, flatB), append(curve(pt{-4, 119}, pt{16, 115}, pt{38, 119}, pt{60, 127}, pt{78, 131}, pt{104, 130}), pt{104, c.h + 4}, pt{-4, c.h + 4})...)
	c.dabs(90, -2, 120, 70, c.h, 4, 1, 0.7, hue(0xb5a868), hue(0x6a6a40), hue(0xd2c48a))
	trunk := curve(pt{26, 124}, pt{27.4, 100}, pt{25.4, 74}, pt{28, 46}, pt{27, 14})
	c.stroke(from(hue(0xf7f4ec), hue(0xd9d6cc)).rough(14, tallB), 4.6, 1.2, trunk...)
	c.stroke(plain(hue(0xa9a8a6)).thin(0.8), 1.6, 0.5, shifted(trunk, 1.3)...)
	for range 34 {
		p := trunk[c.next()%uint64(len(trunk)-3)]
		w := c.any(0.6, 2.2)
		c.fill(plain(hue(0x2f2b2a)), ellipse(p.x+c.any(-1.4, 1), p.y, w, 0.35, 0.08)...)
	}
	for i := range 17 { // branches with catkins
		p := trunk[12+i]
		side := float64(1 - 2*(i%2))
		long := c.any(12, 23) * (1 - 0.78*float64(i)/17)
		line := curve(p, pt{p.x + side*long*0.5, p.y - long*0.42}, pt{p.x + side*long, p.y - long*0.34}, pt{p.x + side*long*1.25, p.y + long*0.05})
		c.stroke(plain(hue(0x4b3d38)), 0.9, 0.2, line...)
		for j := 6; j < len(line); j += 3 {
			q := line[j]
			drop := c.any(2, 4)
			c.stroke(plain(hue(0x5a4a40)).thin(0.8), 0.3, 0.15, q, pt{q.x + c.any(-0.6, 0.6), q.y + drop})
			c.fill(plain([]rgb{hue(0xd9b85a), hue(0xb5c064), hue(0xc99a48)}[c.next()%3]), ellipse(q.x, q.y+drop, 0.42, 1.15, c.any(-0.2, 0.2))...)
		}
	}
}

// shifted is a line moved to the right.
func shifted(line []pt, by float64) []pt {
	out := make([]pt, len(line))
	for i, p := range line {
		out[i] = pt{p.x + by*(1-0.6*float64(i)/float64(len(line))), p.y}
	}
	return out
}

// within reports whether a point lies inside an outline.
func within(p pt, outline []pt) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.y > p.y) != (b.y > p.y) && p.x < (b.x-a.x)*(p.y-a.y)/(b.y-a.y)+a.x {
			in = !in
		}
	}
	return in
}
