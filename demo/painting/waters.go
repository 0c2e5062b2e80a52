package painting

// ripples lays level strokes of light on water between two heights, closer together towards the upper one.
func (c *canvas) ripples(n int, x0, x1, top, bottom, cover float64, colours ...rgb) {
	for range n {
		d := c.any(0, 1)
		y := top + (bottom-top)*d*d
		long := (2 + 12*d) * c.any(0.4, 1.3)
		x := c.any(x0, x1)
		c.fill(plain(colours[c.next()%uint64(len(colours))]).thin(cover*c.any(0.4, 1)), ellipse(x, y, long, 0.12+0.5*d*c.any(0.5, 1), 0)...)
	}
}

func heronAtDusk(c *canvas) {
	const shore = 58
	c.wash(0, 30, from(hue(0x22384f), hue(0x5d6a86)).rough(18, flatB))
	c.wash(30, 47, from(hue(0x5d6a86), hue(0xc98a78)).rough(16, flatB))
	c.wash(47, shore, from(hue(0xc98a78), hue(0xf2bd7d)).rough(12, flatB))
	for range 9 { // long thin clouds
		y := c.any(10, 46)
		c.fill(plain(mix(hue(0x34465f), hue(0xe59a7c), y/50)).thin(0.5), ellipse(c.any(5, 95), y, c.any(12, 34), c.any(0.5, 1.6), 0)...)
	}
	c.glow(66, 54, 40, hue(0xffc98a), 0.55)
	c.disc(from(hue(0xe8583a), hue(0xf58a4b)), 66, 52, 7.2, 7.2)
	c.fill(from(hue(0x6a6478), hue(0x54566c)), c.ridge(52, 2.2, 6, shore+2)...)
	c.dabs(150, 0, shore-6.5, 100, shore-2, 4, 3.6, 1.6, hue(0x2f3a4c), hue(0x38425a), hue(0x293243))
	c.wash(shore-2, c.h, from(hue(0xdc9d7c), hue(0x1f3349)).rough(22, flatB))
	c.wash(shore-2, shore+9, from(hue(0x394259), hue(0x8a6a70)).thin(0.75).rough(24, flatB)) // trees in the water
	c.ripples(150, 0, 100, shore+2, c.h-6, 0.5, hue(0xf0b283), hue(0x2a4058), hue(0x8f7684))
	c.ripples(70, 58, 74, shore+3, c.h-24, 0.85, hue(0xf68b51), hue(0xffb070))
	// the weir
	c.fill(from(hue(0x3d4a5e), hue(0x24303f)), pt{-2, 82}, pt{38, 77}, pt{40, 79.5}, pt{-2, 86})
	for range 120 { // what falls over it, and its foam
		x := c.any(-1, 39)
		y := 85.4 - x*0.155
		c.stroke(plain([]rgb{hue(0xb9a9a6), hue(0x8d8794), hue(0xe3cfc2)}[c.next()%3]).thin(c.any(0.25, 0.6)), 0.5, 0.3, pt{x, y - 3}, pt{x + 0.2, y + c.any(0, 2)})
		c.fill(plain(hue(0xf0e0d4)).thin(c.any(0.15, 0.6)), ellipse(x+c.any(-1, 2), y+c.any(0.6, 2.6), c.any(0.5, 2.4), c.any(0.2, 0.5), -0.12)...)
	}
	c.heron(52, 118, 0.92)
	c.reeds(16, 0, 30, c.h+2, 46, hue(0x14202e), hue(0x1d2c3a))
	c.reeds(9, 82, 101, c.h+2, 34, hue(0x14202e), hue(0x223040))
}

// heron stands with its feet at a point, looking left.
func (c *canvas) heron(x, y, k float64) {
	dark, back, pale := from(hue(0x223041), hue(0x162130)), from(hue(0x4d6076), hue(0x2a394b)), plain(hue(0xb9b6bd))
	at := func(p ...pt) []pt {
		out := make([]pt, len(p))
		for i, q := range p {
			out[i] = pt{x + k*q.x, y + k*q.y}
		}
		return out
	}
	for _, leg := range [][]pt{{{-1, -24}, {-1.6, -12}, {-1, 0}}, {{3, -24}, {4, -13}, {3.2, 1}}} {
		c.stroke(dark, 1.3*k, 0.8*k, at(leg...)...)
	}
	c.stroke(dark, 0.8*k, 0.4*k, at(pt{-1, 0}, pt{-5, 1})...)
	c.stroke(dark, 0.8*k, 0.4*k, at(pt{3.2, 1}, pt{-0.5, 2})...)
	c.fill(dark, loop(at(pt{-8, -33}, pt{-9, -27}, pt{-3, -21.5}, pt{6, -22}, pt{14, -25}, pt{20, -29}, pt{24, -27.5}, pt{19, -32}, pt{10, -37}, pt{0, -38.5}, pt{-6, -37.5})...)...)
	c.fill(back, loop(at(pt{-4, -35}, pt{-2, -29}, pt{6, -25.5}, pt{15, -26.5}, pt{21, -29}, pt{14, -33.5}, pt{5, -37})...)...)
	for i := range 5 {
		f := float64(i)
		c.stroke(plain(hue(0x8092a6)).thin(0.6), 0.7*k, 0.2*k, curve(at(pt{-1 + 2*f, -34 + 0.6*f}, pt{6 + 2*f, -30 + 0.5*f}, pt{13 + 1.5*f, -28 + 0.2*f})...)...)
	}
	neck := curve(at(pt{-5, -34}, pt{-9, -40}, pt{-6.5, -47}, pt{-3.5, -53}, pt{-5.5, -59}, pt{-9, -61})...)
	c.stroke(dark, 6*k, 3*k, neck...)
	c.stroke(pale.thin(0.75), 2*k, 1.1*k, curve(at(pt{-7, -34}, pt{-10, -40}, pt{-7.6, -47}, pt{-4.7, -53}, pt{-6.5, -58})...)...)
	c.fill(dark, loop(at(pt{-5, -61.5}, pt{-8, -63.5}, pt{-12, -62.4}, pt{-14, -60.6}, pt{-11, -59.3}, pt{-7, -58.6})...)...)
	c.fill(plain(hue(0xd79a55)), at(pt{-12.5, -62}, pt{-25, -58.4}, pt{-12.5, -59.6})...)
	c.stroke(plain(hue(0x0f1824)), 0.9*k, 0.1*k, curve(at(pt{-8, -62.4}, pt{-3, -61}, pt{3, -57.5})...)...)
	c.disc(plain(hue(0xf0d9a0)), x-10.6*k, y-61.2*k, 0.55*k, 0.55*k)
	for i := range 4 {
		f := float64(i)
		c.stroke(plain(hue(0x8092a6)).thin(0.7), 0.45*k, 0.1*k, curve(at(pt{-7.5 + f*0.6, -33}, pt{-9.5 + f, -28}, pt{-8.5 + 1.3*f, -23.5})...)...)
	}
}

// reeds stand along the foot of the picture, so high.
func (c *canvas) reeds(n int, x0, x1, foot, high float64, colours ...rgb) {
	for range n {
		x, lean, h := c.any(x0, x1), c.any(-7, 7), high*c.any(0.45, 1)
		in := plain(colours[c.next()%uint64(len(colours))])
		c.stroke(in, 1.3, 0.15, curve(pt{x, foot}, pt{x + lean*0.2, foot - h*0.5}, pt{x + lean, foot - h})...)
		if c.next()%3 == 0 {
			c.fill(in.towards(hue(0x6b3d2a), 0.5), ellipse(x+lean*0.8, foot-h*0.92, 1, 3.4, lean*0.03)...)
		}
	}
}

func saltMeadow(c *canvas) {
	const far = 50
	c.wash(0, far, from(hue(0xb9c3cf), hue(0xefe3d6)).rough(14, flatB))
	for range 12 {
		y := c.any(4, 42)
		c.fill(plain(hue(0xd3d3d8)).thin(0.35), ellipse(c.any(0, 100), y, c.any(10, 30), c.any(0.6, 2), 0)...)
	}
	c.glow(31, 30, 22, hue(0xfff3df), 0.9)
	c.disc(plain(hue(0xfdf6e6)), 31, 30, 3.4, 3.4)
	c.fill(plain(hue(0x9aa5b3)), c.ridge(far-2.4, 1, 5, far+1)...)
	c.dabs(24, 55, far-4, 100, far-1, 3, 2, 1.6, hue(0x7f8a98), hue(0x8a94a0))
	for i, y := range []float64{far, 54, 60, 69, 82, 99} {
		f := float64(i) / 5
		c.fill(from(mix(hue(0xb9b59f), hue(0x9a8a5e), f), mix(hue(0xcfc8b0), hue(0x6f6a44), f)).rough(26, flatB), c.ridge(y, 0.4+f, 4+i, c.h+2)...)
		c.dabs(60+30*i, 0, y+0.5, 100, y+6+9*f, 1.5+7*f, 0.3+0.7*f, 0.55, hue(0xe9e8e0), hue(0xf4f3ee), hue(0xd9d2b6))
	}
	// the creek, wider towards us
	left := curve(pt{57, far + 0.5}, pt{60, 54}, pt{47, 60}, pt{33, 66}, pt{39, 76}, pt{63, 88}, pt{58, 104}, pt{30, c.h + 4})
	right := curve(pt{92, c.h + 4}, pt{90, 104}, pt{86, 88}, pt{56, 76}, pt{42, 67}, pt{52, 60.5}, pt{62.5, 54.2}, pt{58, far + 0.5})
	c.fill(from(hue(0xe9dfd4), hue(0x7e93a6)).rough(20, flatB), append(left, right...)...)
	c.stroke(plain(hue(0x5b5233)).thin(0.7), 0.2, 2.2, left...)
	for range 46 { // light on the creek
		d := c.any(0, 1)
		y := far + 2 + (c.h-far-6)*d*d
		mid := []float64{59, 50, 42, 47, 66, 74, 70, 66}[int(d*d*7.9)]
		c.fill(plain(hue(0xfaf2e4)).thin(0.5), ellipse(mid+c.any(-4, 4)*(0.3+d), y, 0.6+6*d*c.any(0.3, 1), 0.12+0.3*d, 0)...)
	}
	for i := range 7 { // posts along the creek, smaller with distance
		f := float64(i)
		x, y, h := 20+f*5.2, 101-f*f*0.25-f*6, 15-f*1.9
		c.stroke(from(hue(0x5a4f45), hue(0x39322c)), 1.7-0.18*f, 1.5-0.16*f, pt{x, y - h}, pt{x + 0.4, y})
		c.disc(plain(hue(0xf7f6f2)), x, y-h, 0.95-0.1*f, 0.4)
	}
	for range 130 { // frosted grass in front
		x, y, h := c.any(-2, 102), c.any(106, 130), c.any(3, 10)
		if x > 34 && x < 88 && y < 122 {
			continue
		}
		c.stroke(plain([]rgb{hue(0xf2f2ec), hue(0xdcd6bd), hue(0x7a7148)}[c.next()%3]).thin(0.8), 0.7, 0.1, curve(pt{x, y}, pt{x + c.any(-1, 1), y - h*0.6}, pt{x + c.any(-4, 4), y - h})...)
	}
}

func slackWater(c *canvas) {
	const line = 57
	c.wash(0, line, from(hue(0x8fb0b8), hue(0xf6dfc0)).rough(14, flatB))
	c.fill(plain(hue(0xf3cdb4)).thin(0.6), ellipse(60, 46, 55, 5, -0.02)...)
	for range 16 {
		c.fill(plain(hue(0xfdeedd)).thin(0.4), ellipse(c.any(0, 100), c.any(8, 40), c.any(8, 26), c.any(0.7, 2.4), c.any(-0.05, 0.05))...)
	}
	c.fill(from(hue(0x9aa7b6), hue(0xb7b4b6)), c.ridge(48, 2.6, 4, line)...)
	c.fill(from(hue(0x5f7486), hue(0x7d8a94)), append(curve(pt{-5, 50}, pt{10, 45}, pt{25, 48}, pt{38, 54}, pt{52, line}), pt{-5, line})...)
	c.wash(line, c.h, from(hue(0xefd6ba), hue(0x5d8793)).rough(12, flatB))
	c.fill(from(hue(0x7d8a94), hue(0x9fa6a6)).thin(0.75).rough(20, flatB), append(curve(pt{-5, 64}, pt{10, 69}, pt{25, 66}, pt{38, 60}, pt{52, line}), pt{-5, line})...)
	c.wash(line-0.2, line+0.5, plain(hue(0x5c7180)).thin(0.7))
	c.boat(52, 84, 1, false)
	c.boat(52, 84, 1, true)
	for range 70 { // the stillness, drawn by a few level lines
		y := c.any(62, c.h-2)
		c.fill(plain([]rgb{hue(0xf7e6cf), hue(0x4d7783)}[c.next()%2]).thin(c.any(0.12, 0.4)), ellipse(c.any(-5, 105), y, c.any(4, 20), 0.1+(y-60)*0.006, 0)...)
	}
	for i := range 3 { // a rope to the buoy
		c.stroke(plain(hue(0x4b4a48)).thin(0.5), 0.35, 0.35, curve(pt{31, 82}, pt{24, 91 + float64(i)*0.1}, pt{17, 94})...)
	}
	c.disc(from(hue(0xd8573b), hue(0x9d3527)), 15.5, 93.6, 2.6, 2.2)
	c.disc(from(hue(0x9d4a3a), hue(0x6f7d80)).thin(0.55), 15.5, 97, 2.6, 1.6)
}

// boat lies at a point with its mast; down is what the water shows of it.
func (c *canvas) boat(x, y, k float64, down bool) {
	side, thin := -1.0, 1.0
	if down {
		side, thin = 0.86, 0.62
	}
	at := func(p ...pt) []pt {
		out := make([]pt, len(p))
		for i, q := range p {
			out[i] = pt{x + k*q.x, y + k*side*q.y}
		}
		return out
	}
	c.fill(from(hue(0x2f4c57), hue(0x203640)).thin(thin), append(curve(at(pt{-21, 7}, pt{-12, 4.6}, pt{2, 3.9}, pt{16, 5}, pt{25, 8})...), curve(at(pt{25, 8}, pt{21, 1.5}, pt{10, -0.6}, pt{-8, -0.6}, pt{-17, 1.5}, pt{-21, 7})...)...)...)
	c.stroke(plain(hue(0xe9dcc4)).thin(thin), 1, 1, curve(at(pt{-21, 7}, pt{-12, 4.6}, pt{2, 3.9}, pt{16, 5}, pt{25, 8})...)...)
	c.stroke(plain(hue(0xb4513a)).thin(thin), 0.7, 0.7, curve(at(pt{-18.6, 3}, pt{-8, 1}, pt{10, 1}, pt{22, 3.6})...)...)
	c.fill(from(hue(0xe6d8bf), hue(0xc9b393)).thin(thin), at(pt{-8, 4.3}, pt{-6.5, 10}, pt{5, 10}, pt{7, 4})...)
	c.fill(plain(hue(0x35525e)).thin(thin), at(pt{-4, 6}, pt{-3.5, 8.6}, pt{-0.5, 8.6}, pt{-0.5, 6})...)
	c.fill(plain(hue(0x35525e)).thin(thin), at(pt{1.5, 6}, pt{1.5, 8.6}, pt{4, 8.6}, pt{4.6, 6})...)
	mast := at(pt{9, 4}, pt{9.6, 25}, pt{9.9, 46})
	if down { // water breaks a mast into pieces
		mast = at(pt{9, 4}, pt{9.8, 12}, pt{9, 18}, pt{10.2, 25}, pt{9.3, 32}, pt{10, 39})
	}
	c.stroke(plain(hue(0x5d4a3a)).thin(thin), 1.3*k, 0.6*k, mast...)
	c.stroke(plain(hue(0x4d4136)).thin(thin*0.8), 0.28, 0.28, at(pt{9.9, 44}, pt{24.6, 8})...)
	c.stroke(plain(hue(0x4d4136)).thin(thin*0.8), 0.28, 0.28, at(pt{9.9, 44}, pt{-20, 7.4})...)
	c.stroke(from(hue(0xd9cdb6), hue(0xb7a88d)).thin(thin), 2.2*k, 1.4*k, at(pt{9, 13}, pt{-12, 11.5})...)
}

func ferryBell(c *canvas) {
	c.wash(0, c.h, from(hue(0xc3cbcb), hue(0xdcd9cf)).rough(16, soft))
	c.glow(60, 40, 60, hue(0xf1ece0), 0.6)
	c.wash(74, c.h, from(hue(0xb9c1c0), hue(0x7c8a8c)).thin(0.8).rough(20, flatB))
	// the ferry, hardly there
	c.fill(from(hue(0xa9b2b4), hue(0x9aa5a8)).thin(0.75), pt{30, 66}, pt{88, 66}, pt{84, 74}, pt{35, 74})
	c.fill(plain(hue(0xb2babb)).thin(0.8), pt{42, 58}, pt{76, 58}, pt{77, 66}, pt{41, 66})
	c.fill(plain(hue(0xa3adae)).thin(0.8), pt{60, 47}, pt{66, 47}, pt{66.5, 58}, pt{59.5, 58})
	for _, x := range []float64{47, 70} {
		c.glow(x, 62, 9, hue(0xffdf9e), 0.85)
		c.fill(plain(hue(0xffd07a)), pt{x - 1.6, 60.4}, pt{x + 1.6, 60.4}, pt{x + 1.6, 63.4}, pt{x - 1.6, 63.4})
	}
	for _, x := range []float64{47, 70} {
		c.ripples(10, x-2, x+2, 76, 96, 0.6, hue(0xf6d9a4))
	}
	c.wash(52, 80, plain(hue(0xd3d6d2)).thin(0.32).rough(20, soft))
	// piles, one behind the other
	for i := range 6 {
		f := float64(i)
		x, top, foot, w := 96-f*11.5, 50+f*4.2, 106-f*5.4, 5.6-f*0.8
		in := from(hue(0x4a4a47), hue(0x33383a)).towards(hue(0xc3c9c8), f/6.6).rough(26, tallB)
		c.fill(in, pt{x - w/2, top}, pt{x + w/2, top}, pt{x + w/2 + 0.4, foot}, pt{x - w/2 - 0.4, foot})
		c.fill(in.thin(0.3), pt{x - w/2, foot}, pt{x + w/2, foot}, pt{x + w/2, foot + 13 - f}, pt{x - w/2, foot + 13 - f})
	}
	c.fill(from(hue(0x6d675e), hue(0x3b3a38)).rough(30, flatB), pt{-2, 110}, pt{c.w + 2, 103}, pt{c.w + 2, c.h + 2}, pt{-2, c.h + 2}) // planks
	for i := range 6 {
		f := float64(i)
		c.stroke(plain(hue(0x25282a)).thin(0.8), 0.4, 0.5, pt{-2 + f*22, c.h + 2}, pt{22 + f*14, 108.4 - f*0.9})
	}
	// the frame and the bell
	post := from(hue(0x4b443c), hue(0x2b2825)).rough(34, tallB)
	c.fill(post, pt{14, 20}, pt{20, 20}, pt{21, 116}, pt{13, 116})
	c.fill(post, pt{8, 20}, pt{60, 17}, pt{60, 22}, pt{8, 25})
	c.stroke(post, 2.6, 2.6, pt{19, 46}, pt{38, 21})
	c.stroke(plain(hue(0x23211f)), 1.2, 1.2, pt{48, 21}, pt{48, 30})
	bell := append(curve(pt{43.5, 31}, pt{41.6, 38}, pt{40.6, 46}, pt{38.4, 51}, pt{35, 54.5}), curve(pt{61, 54.5}, pt{57.6, 51}, pt{55.4, 46}, pt{54.4, 38}, pt{52.5, 31})...)
	c.fill(round(hue(0xf3d489), hue(0x6b4a20), 44, 40, 19), bell...)
	c.fill(from(hue(0x8a662d), hue(0x53391a)), ellipse(48, 54.6, 13.2, 2.3, 0)...)
	c.fill(plain(hue(0x2e2113)), ellipse(48, 54.8, 11, 1.4, 0)...)
	c.disc(round(hue(0xd9b566), hue(0x4e361a), 47, 57, 3), 48, 57.4, 2.3, 2.5)
	c.stroke(plain(hue(0xfff2cb)).thin(0.8), 0.5, 1.3, curve(pt{45, 33}, pt{43.6, 40}, pt{42.6, 47})...)
	c.stroke(plain(hue(0x3f2c14)).thin(0.5), 0.4, 0.4, curve(pt{41.2, 44}, pt{48, 45.6}, pt{54.8, 44})...)
	c.disc(from(hue(0xc9a45a), hue(0x7d5a28)), 48, 30.4, 3.4, 1.9)
	c.stroke(from(hue(0xd8c9a4), hue(0x9b8a66)), 1, 1.3, curve(pt{48, 59}, pt{48.4, 72}, pt{46, 88}, pt{47.4, 98})...)
	c.disc(plain(hue(0xa8946c)), 47.4, 98.6, 1.5, 1.8)
	for range 9 { // fog before all of it
		c.fill(plain(hue(0xdfe0da)).thin(0.09), ellipse(c.any(0, 100), c.any(84, 112), c.any(30, 60), c.any(3, 7), 0)...)
	}
}
