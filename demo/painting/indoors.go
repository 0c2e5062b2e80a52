package painting

import "math"

func lampRoom(c *canvas) {
	c.wash(0, c.h, from(hue(0x22304f), hue(0x1a2138)).rough(26, flatB))
	c.glow(40, 78, 72, hue(0xc98a4a), 0.62)
	c.glow(40, 74, 40, hue(0xf0b562), 0.55)
	// the window and the night
	c.fill(plain(hue(0x141b30)), pt{61, 16}, pt{92, 16}, pt{92, 63}, pt{61, 63})
	c.fill(from(hue(0x2a4373), hue(0x5d7fa6)).rough(14, soft), pt{63, 18}, pt{90, 18}, pt{90, 61}, pt{63, 61})
	for range 16 {
		c.disc(plain(hue(0xdfe7f2)).thin(c.any(0.4, 1)), c.any(64, 89), c.any(19, 50), 0.28, 0.28)
	}
	c.disc(plain(hue(0xf3ecd2)), 82, 29, 3.6, 3.6)
	c.disc(plain(hue(0x365484)), 80.5, 28.2, 3.3, 3.3)
	c.fill(plain(hue(0x2c3f63)), append(curve(pt{63, 56}, pt{70, 53.4}, pt{79, 55.6}, pt{90, 52}), pt{90, 61}, pt{63, 61})...)
	for _, bar := range [][4]float64{{76, 18, 77.2, 61}, {63, 39, 90, 40.2}} {
		c.fill(plain(hue(0x141b30)), pt{bar[0], bar[1]}, pt{bar[2], bar[1]}, pt{bar[2], bar[3]}, pt{bar[0], bar[3]})
	}
	c.fill(from(hue(0x6a5a55), hue(0x40394a)), pt{59, 63}, pt{94, 63}, pt{95, 66}, pt{58, 66})
	// the picture on the wall, and the shelf
	c.fill(plain(hue(0x6b4d36)), pt{9, 30}, pt{33, 30}, pt{33, 54}, pt{9, 54})
	c.fill(from(hue(0xd8b98a), hue(0x94714f)), pt{11, 32}, pt{31, 32}, pt{31, 52}, pt{11, 52})
	c.fill(from(hue(0x8b6d54), hue(0x5c4a45)), append(curve(pt{11, 46}, pt{17, 42}, pt{23, 45}, pt{31, 40}), pt{31, 52}, pt{11, 52})...)
	c.disc(plain(hue(0xc9603c)), 25, 37, 2.2, 2.2)
	// the table
	c.fill(from(hue(0x8a5530), hue(0x4b2b1f)).rough(34, flatB), pt{-2, 102}, pt{c.w + 2, 102}, pt{c.w + 2, 114}, pt{-2, 114})
	c.fill(from(hue(0x2c1c1c), hue(0x16121b)).rough(20, flatB), pt{-2, 114}, pt{c.w + 2, 114}, pt{c.w + 2, c.h + 2}, pt{-2, c.h + 2})
	c.fill(from(hue(0x5f3a26), hue(0x2c1c1c)), pt{-2, 112.6}, pt{c.w + 2, 112.6}, pt{c.w + 2, 116.5}, pt{-2, 116.5})
	c.fill(plain(hue(0xe3a75c)).thin(0.35), ellipse(40, 106, 32, 4.6, 0)...)
	// books and a cup
	for i, b := range []struct {
		x, w float64
		of   rgb
	}{{66, 26, hue(0x7c2f33)}, {69, 21, hue(0x31566a)}, {67, 23, hue(0xa98446)}} {
		y := 100.6 - 5.2*float64(i)
		c.fill(from(b.of, mix(b.of, hue(0x140f16), 0.45)), pt{b.x, y - 5}, pt{b.x + b.w, y - 5}, pt{b.x + b.w, y}, pt{b.x, y})
		c.fill(plain(hue(0xe2c99a)), pt{b.x + 0.6, y - 3.9}, pt{b.x + 1.6, y - 3.9}, pt{b.x + 1.6, y - 1.1}, pt{b.x + 0.6, y - 1.1})
	}
	c.fill(from(hue(0xd9d0bf), hue(0x80776f)), append(curve(pt{8, 94}, pt{8.6, 101}, pt{12, 105}), curve(pt{17, 105}, pt{20.4, 101}, pt{21, 94})...)...)
	c.stroke(from(hue(0xb5aa9a), hue(0x80776f)), 1.2, 1.2, curve(pt{8.4, 96}, pt{4.6, 96.6}, pt{5, 100.6}, pt{9.4, 101.4})...)
	c.fill(plain(hue(0x4b2d20)), ellipse(14.5, 94, 6.5, 1.3, 0)...)
	// the lamp
	c.fill(round(hue(0xe6b65d), hue(0x5d3815), 36, 96, 14), append(curve(pt{33, 91}, pt{29, 95}, pt{30, 101}, pt{36, 104.4}), curve(pt{44, 104.4}, pt{50, 101}, pt{51, 95}, pt{47, 91})...)...)
	c.fill(from(hue(0xa97331), hue(0x5d3a1a)), pt{34, 104}, pt{46, 104}, pt{50, 107.4}, pt{30, 107.4})
	c.fill(from(hue(0xd9a24e), hue(0x7a4f20)), pt{34.4, 87}, pt{45.6, 87}, pt{47, 91.4}, pt{33, 91.4})
	glass := append(curve(pt{36, 87}, pt{32.4, 80}, pt{33.4, 72}, pt{37, 64}, pt{37.4, 53}), curve(pt{42.6, 53}, pt{43, 64}, pt{46.6, 72}, pt{47.6, 80}, pt{44, 87})...)
	c.fill(from(hue(0xf6d591), hue(0xffe6a8)).thin(0.5), glass...)
	c.glow(40, 78, 16, hue(0xfff1b8), 0.9)
	c.fill(from(hue(0xfff7d6), hue(0xffb43c)), append(curve(pt{40, 67}, pt{37.6, 75}, pt{36.8, 80}, pt{38.4, 85}), curve(pt{41.6, 85}, pt{43.2, 80}, pt{42.4, 75}, pt{40, 67})...)...)
	c.stroke(plain(hue(0xfffbe8)).thin(0.8), 0.4, 1, curve(pt{38.3, 54}, pt{37.9, 64}, pt{34.8, 72.6}, pt{34, 79})...)
	c.stroke(plain(hue(0x2c1c12)), 0.8, 0.8, pt{46, 94}, pt{52, 92.4})
	c.disc(plain(hue(0xd9a24e)), 52.6, 92.2, 1.5, 1.5)
}

func twoQuinces(c *canvas) {
	c.wash(0, c.h, from(hue(0x4c78a4), hue(0x3b6796)).rough(18, flatB))
	// the folds of the paper: each field of its own blue
	rows, cols := 7, 5
	var at [8][6]pt
	for i := range rows + 1 {
		for j := range cols + 1 {
			x, y := float64(j)*100/float64(cols), float64(i)*c.h/float64(rows)
			at[i][j] = pt{x + c.any(-7, 7), y + c.any(-7, 7)}
			if j == 0 {
				at[i][j].x = -8
			}
			if j == cols {
				at[i][j].x = 108
			}
			if i == 0 {
				at[i][j].y = -8
			}
			if i == rows {
				at[i][j].y = c.h + 8
			}
		}
	}
	blues := []rgb{hue(0x5a8bb5), hue(0x6a9bc2), hue(0x4b7aa8), hue(0x416f9e), hue(0x83aecd), hue(0x37618f)}
	for i := range rows {
		for j := range cols {
			a, b, d, e := at[i][j], at[i][j+1], at[i+1][j+1], at[i+1][j]
			one, two := blues[c.next()%6], blues[c.next()%6]
			c.fill(from(one, mix(one, two, 0.5)).rough(20, dry), a, b, d)
			c.fill(from(two, mix(one, two, 0.6)).rough(20, dry), a, d, e)
			c.stroke(plain(hue(0xb4d2e6)).thin(0.55), 0.5, 0.2, a, d)
			c.stroke(plain(hue(0x27496f)).thin(0.5), 0.3, 0.6, a, b)
		}
	}
	c.fill(plain(hue(0x1c3559)).thin(0.55), ellipse(60, 104, 33, 9, 0.03)...)
	c.fill(plain(hue(0x1c3559)).thin(0.5), ellipse(48, 86, 24, 10, -0.25)...)
	c.quince(38, 62, 0.86, -0.35)
	c.quince(60, 83, 1.05, 0.22)
	// the leaf
	leaf := append(curve(pt{66, 57}, pt{74, 47}, pt{87, 45}, pt{97, 50}), curve(pt{97, 50}, pt{88, 57}, pt{76, 60}, pt{66, 57})...)
	c.fill(from(hue(0x7d9a55), hue(0x3f6538)).rough(26, dry), leaf...)
	c.stroke(plain(hue(0xc4d395)), 0.8, 0.2, curve(pt{63, 60}, pt{72, 54}, pt{84, 50.6}, pt{95, 50.2})...)
	for i := range 5 {
		f := float64(i)
		c.stroke(plain(hue(0xb2c684)).thin(0.7), 0.4, 0.1, pt{72 + 4.4*f, 54 - 0.9*f}, pt{76 + 4.2*f, 49 - 0.2*f})
		c.stroke(plain(hue(0x2d4c2b)).thin(0.6), 0.4, 0.1, pt{72 + 4.4*f, 54.4 - 0.9*f}, pt{78 + 3.8*f, 57.6 - 0.9*f})
	}
}

// quince lies around a point, leaning by an angle.
func (c *canvas) quince(x, y, k, lean float64) {
	sin, cos := math.Sincos(lean)
	at := func(p ...pt) []pt {
		out := make([]pt, len(p))
		for i, q := range p {
			out[i] = pt{x + k*(q.x*cos-q.y*sin), y + k*(q.x*sin+q.y*cos)}
		}
		return out
	}
	body := loop(at(pt{-3, -24}, pt{-9, -19}, pt{-14, -10}, pt{-21, 2}, pt{-20, 13}, pt{-11, 21}, pt{0, 22.5}, pt{12, 20}, pt{20, 11}, pt{20, 0}, pt{13, -11}, pt{8, -19.5}, pt{3, -24})...)
	c.fill(round(hue(0xf8e07c), hue(0xb98a1c), x-6*k, y-5*k, 31*k).rough(16, soft), body...)
	c.fill(round(hue(0xd2a52e), hue(0x7d6416), x+6*k, y+22*k, 30*k).thin(0.45).rough(14, soft), loop(at(pt{-19, 8}, pt{-9, 15}, pt{3, 16}, pt{14, 9}, pt{20.5, -1}, pt{20, 11}, pt{12, 20}, pt{0, 22.5}, pt{-11, 21}, pt{-19, 14})...)...)
	for range 46 { // the down of the skin
		q := at(pt{c.any(-13, 9), c.any(-17, 14)})[0]
		c.fill(plain([]rgb{hue(0xfdf0a8), hue(0xa8b24a), hue(0xd9a93a)}[c.next()%3]).thin(0.3), ellipse(q.x, q.y, k*c.any(0.6, 2.2), k*c.any(0.4, 1), lean)...)
	}
	c.fill(plain(hue(0xfff9d8)).thin(0.75), ellipse(x-8*k, y-6*k, 2.6*k, 4.4*k, 0.5)...)
	eye := at(pt{-1, 20.5})[0]
	c.fill(plain(hue(0x5d4a1e)), ellipse(eye.x, eye.y, 3.4*k, 1.5*k, lean)...)
	for i := range 5 {
		q := at(pt{-4 + 1.6*float64(i), 22.6})[0]
		c.stroke(plain(hue(0x4b3a1a)), 0.9*k, 0.2*k, eye, q)
	}
	c.stroke(from(hue(0x6b5030), hue(0x4a3822)), 2*k, 1.5*k, curve(at(pt{0, -23}, pt{1, -28}, pt{4, -31})...)...)
	c.fill(plain(hue(0x8f7a1d)).thin(0.7), ellipse(at(pt{0, -23})[0].x, at(pt{0, -23})[0].y, 3.6*k, 1.6*k, lean)...)
}

func mothAndLantern(c *canvas) {
	paper, brown := hue(0xeee4d0), hue(0x3a2618)
	c.wash(0, c.h, plain(paper).rough(10, dry))
	// the plate: its edge pressed into the paper, its tone wiped thin
	c.fill(plain(hue(0xcdbfa4)), pt{8.6, 10.6}, pt{91.4, 10.6}, pt{91.4, c.h - 18.6}, pt{8.6, c.h - 18.6})
	c.fill(from(hue(0x7a5f47), hue(0x5c432f)).rough(40, soft), pt{9.6, 11.6}, pt{90.4, 11.6}, pt{90.4, c.h - 19.6}, pt{9.6, c.h - 19.6})
	line := func(cover float64, p ...pt) { c.stroke(plain(brown).thin(cover), 0.42, 0.3, p...) }
	for i := range 128 { // two ways of hatching, denser away from the light
		f := float64(i)*1.32 - 60
		for _, lean := range []float64{0.62, -0.5} {
			top, bottom := 12.2, c.h-20.2
			x0, x1 := f, f+lean*(bottom-top)
			if x1 < 10 && x0 < 10 || x1 > 90 && x0 > 90 {
				continue
			}
			var p []pt
			for k := range 13 {
				t := float64(k) / 12
				x := x0 + (x1-x0)*t
				y := top + (bottom-top)*t
				if x < 10.2 || x > 89.8 {
					continue
				}
				p = append(p, pt{x + c.any(-0.15, 0.15), y})
			}
			line(0.5, p...)
		}
	}
	c.glow(50, 62, 46, hue(0xf2e4c3), 0.98)
	c.glow(50, 62, 26, hue(0xfbf2da), 0.9)
	// the lantern
	metal := from(hue(0x4a3423), hue(0x24170e)).rough(30, dry)
	c.stroke(metal, 1.3, 1.3, curve(pt{33, 31}, pt{38, 20}, pt{50, 15.5}, pt{62, 20}, pt{67, 31})...)
	c.fill(metal, pt{40, 25}, pt{60, 25}, pt{68, 33}, pt{32, 33})
	c.fill(metal, pt{30, 33}, pt{70, 33}, pt{70, 36}, pt{30, 36})
	c.fill(metal, pt{29, 93}, pt{71, 93}, pt{75, 103}, pt{25, 103})
	c.fill(metal, pt{29, 90}, pt{71, 90}, pt{71, 93.4}, pt{29, 93.4})
	for _, x := range []float64{32, 68} {
		c.stroke(metal, 1.7, 1.7, pt{x, 36}, pt{x, 91})
	}
	for i, x := range []float64{35.6, 37.6, 64.6, 66.2} {
		line(0.5, pt{x, 38 + float64(i)}, pt{x + 0.2, 60}, pt{x - 0.1, 88 - float64(i)})
	}
	c.fill(from(hue(0xd9c9a3), hue(0x9a8156)), pt{46, 74}, pt{54, 74}, pt{54, 90}, pt{46, 90})
	c.stroke(plain(brown), 0.5, 0.4, pt{50, 74}, pt{50, 71})
	c.fill(from(hue(0xffffff), hue(0xf2d99a)), append(curve(pt{50, 60}, pt{47, 67}, pt{48.4, 72}), curve(pt{51.6, 72}, pt{53, 67}, pt{50, 60})...)...)
	c.moth(50, 53)
	// what is written under a plate
	for i, w := range []struct{ x0, x1 float64 }{{12, 20}, {44, 56}, {74, 88}} {
		var p []pt
		for k := range 22 {
			t := float64(k) / 21
			p = append(p, pt{w.x0 + (w.x1-w.x0)*t, c.h - 12.4 + 0.9*math.Sin(t*20+float64(i))*c.any(0.4, 1)})
		}
		c.stroke(plain(hue(0x6a625a)), 0.35, 0.3, curve(p...)...)
	}
}

// moth spreads its wings around a point.
func (c *canvas) moth(x, y float64) {
	dark := hue(0x2c1b10)
	for _, side := range []float64{-1, 1} {
		at := func(p ...pt) []pt {
			out := make([]pt, len(p))
			for i, q := range p {
				out[i] = pt{x + side*q.x, y + q.y}
			}
			return out
		}
		c.fill(from(hue(0x8d7050), hue(0x5a4029)).rough(34, dry), loop(at(pt{2, 3}, pt{12, 5}, pt{21, 11}, pt{23, 20}, pt{16, 25}, pt{8, 21}, pt{3, 13})...)...)
		c.fill(from(hue(0x5f452f), hue(0x9a7b56)).rough(34, dry), loop(at(pt{1.6, -3}, pt{10, -11}, pt{22, -18}, pt{34, -20.5}, pt{35, -15}, pt{30, -4}, pt{22, 6}, pt{12, 8}, pt{3, 5})...)...)
		for i := range 9 { // veins
			f := float64(i) / 8
			c.stroke(plain(dark).thin(0.75), 0.5, 0.15, curve(at(pt{2, 0}, pt{13 - 2*f, -9 + 12*f}, pt{33 - 13*f, -18 + 24*f})...)...)
		}
		for i := range 6 {
			f := float64(i) / 5
			c.stroke(plain(dark).thin(0.7), 0.4, 0.15, curve(at(pt{3, 7}, pt{10 - 3*f, 11 + 4*f}, pt{21 - 12*f, 14 + 9*f})...)...)
		}
		c.stroke(plain(hue(0xe6d6b4)).thin(0.9), 0.9, 0.5, curve(at(pt{28, -18}, pt{26, -9}, pt{20, 0}, pt{13, 6.4})...)...)
		c.stroke(plain(dark), 0.6, 0.4, curve(at(pt{32.4, -19}, pt{31, -9}, pt{25, 0.6}, pt{17, 7.4})...)...)
		c.disc(plain(dark), x+side*20, y-8, 2.6, 2.8)
		c.disc(plain(hue(0xefe3c6)), x+side*20, y-8, 1.5, 1.6)
		c.disc(plain(dark), x+side*20, y-8, 0.7, 0.8)
		c.disc(plain(dark).thin(0.9), x+side*14, y+15, 1.8, 2)
		c.disc(plain(hue(0xd9c39a)), x+side*14, y+15, 0.8, 0.9)
		feeler := curve(at(pt{0.8, -9}, pt{3.4, -16}, pt{9, -22})...)
		c.stroke(plain(dark), 0.5, 0.2, feeler...)
		for i := 4; i < len(feeler)-1; i += 2 {
			q := feeler[i]
			c.stroke(plain(dark).thin(0.9), 0.25, 0.1, q, pt{q.x + side*2.2, q.y - 0.2})
			c.stroke(plain(dark).thin(0.9), 0.25, 0.1, q, pt{q.x - side*0.8, q.y - 2.2})
		}
	}
	c.fill(from(hue(0x6a4c33), hue(0x3a2617)).rough(40, dry), loop(pt{x, y - 9}, pt{x - 3, y - 5}, pt{x - 3, y + 3}, pt{x - 2.2, y + 14}, pt{x, y + 20}, pt{x + 2.2, y + 14}, pt{x + 3, y + 3}, pt{x + 3, y - 5})...)
	for i := range 6 {
		yy := y + 3 + 2.4*float64(i)
		c.stroke(plain(hue(0xdcc7a0)).thin(0.6), 0.35, 0.35, pt{x - 2.2, yy}, pt{x, yy + 0.7}, pt{x + 2.2, yy})
	}
	for range 40 {
		c.stroke(plain(hue(0xcdb48a)).thin(0.6), 0.3, 0.1, pt{x + c.any(-2.6, 2.6), y + c.any(-7, 2)}, pt{x + c.any(-3.4, 3.4), y + c.any(-4, 4)})
	}
}

func longTable(c *canvas) {
	c.wash(0, 62, from(hue(0x6f4a3c), hue(0xa3704e)).rough(20, flatB))
	// light of the window on the wall
	for i := range 2 {
		for j := range 3 {
			x, y := 12+float64(i)*15, 7+float64(j)*14
			c.fill(from(hue(0xf2b765), hue(0xf7cf8a)).thin(0.85).rough(14, flatB), pt{x, y}, pt{x + 13, y + 2.6}, pt{x + 13, y + 14.8}, pt{x, y + 12.2})
		}
	}
	for range 22 { // leaves outside, as shadows
		c.fill(plain(hue(0x9d6a47)).thin(0.5), ellipse(c.any(12, 40), c.any(8, 48), c.any(0.6, 1.8), c.any(0.4, 0.9), c.any(-1, 1))...)
	}
	c.fill(from(hue(0x3b2a2c), hue(0x4f3733)).rough(20, tallB), pt{66, 4}, pt{94, 4}, pt{94, 62}, pt{66, 62}) // a door
	c.fill(from(hue(0x5a4044), hue(0x2b1f24)), pt{69, 8}, pt{91, 8}, pt{91, 31}, pt{69, 31})
	c.fill(from(hue(0x5a4044), hue(0x2b1f24)), pt{69, 35}, pt{91, 35}, pt{91, 60}, pt{69, 60})
	c.disc(plain(hue(0xe0b060)), 71, 36.4, 0.9, 0.9)
	c.wash(61, c.h, from(hue(0x5b3b33), hue(0x2a1d22)).rough(26, flatB))
	// the table runs towards the light
	c.fill(from(hue(0xf3dcb6), hue(0xd6a878)).rough(16, flatB), pt{36, 58}, pt{62, 58}, pt{96, c.h + 3}, pt{2, c.h + 3})
	c.fill(from(hue(0xb5835f), hue(0x7d5145)).thin(0.8), pt{55, 58}, pt{62, 58}, pt{96, c.h + 3}, pt{76, c.h + 3})
	c.fill(plain(hue(0xfff1d2)).thin(0.65), pt{40, 58}, pt{46, 58}, pt{45, c.h + 3}, pt{24, c.h + 3})
	for i := range 5 {
		f := float64(i) / 5
		y := 61 + 58*f*f
		c.stroke(plain(hue(0xc09468)).thin(0.35), 0.3, 0.3, pt{35 - 32*f*f, y}, pt{63 + 31*f*f, y + 0.4})
	}
	// bowls along it, their shadows all one way
	for _, b := range []struct {
		x, y, k float64
		of      rgb
	}{{44, 63, 0.34, hue(0x7d93a0)}, {56, 66, 0.4, hue(0xd8c7ad)}, {38, 74, 0.58, hue(0xe2d6c2)}, {62, 80, 0.72, hue(0x5e7d86)}, {30, 96, 1, hue(0xcdbfa8)}} {
		c.fill(plain(hue(0x5e3b37)).thin(0.55), ellipse(b.x+15*b.k, b.y+3*b.k, 15*b.k, 3.4*b.k, 0.12)...)
		c.fill(from(mix(b.of, hue(0xfff0d0), 0.45), mix(b.of, hue(0x3a2530), 0.6)), append(curve(pt{b.x - 11*b.k, b.y - 5*b.k}, pt{b.x - 8*b.k, b.y + 1.5*b.k}, pt{b.x - 3*b.k, b.y + 4.6*b.k}), curve(pt{b.x + 3*b.k, b.y + 4.6*b.k}, pt{b.x + 8*b.k, b.y + 1.5*b.k}, pt{b.x + 11*b.k, b.y - 5*b.k})...)...)
		c.fill(from(mix(b.of, hue(0x3a2530), 0.55), mix(b.of, hue(0xfff0d0), 0.3)), ellipse(b.x, b.y-5*b.k, 11*b.k, 2.7*b.k, 0)...)
		c.stroke(plain(hue(0xfff4dc)).thin(0.8), 0.3*b.k, 0.9*b.k, curve(pt{b.x - 11*b.k, b.y - 4.6*b.k}, pt{b.x - 8.6*b.k, b.y + 0.4*b.k}, pt{b.x - 4*b.k, b.y + 3.8*b.k})...)
	}
	for i := range 5 { // plums in the near bowl
		x, y := 23.6+3.2*float64(i), 90.6-float64(i%2)*1.7
		c.disc(round(hue(0xa8557a), hue(0x3b1d38), x-0.8, y-0.8, 3), x, y, 2.3, 2.2)
	}
	// the jug
	c.fill(plain(hue(0x4b2e30)).thin(0.6), loop(pt{60, 105}, pt{74, 103}, pt{92, 108}, pt{99, 112}, pt{84, 113}, pt{66, 111})...)
	jug := append(curve(pt{51, 78}, pt{52.4, 84}, pt{47, 92}, pt{46.4, 101}, pt{51, 108}), curve(pt{66, 108}, pt{70.6, 101}, pt{70, 92}, pt{64.6, 84}, pt{65.6, 78})...)
	c.fill(round(hue(0xfbeccb), hue(0x4e6a78), 50, 95, 24), jug...)
	c.stroke(from(hue(0xa9b3ae), hue(0x4e6a78)), 2.2, 1.9, curve(pt{65, 82}, pt{74, 82}, pt{76, 90}, pt{69.6, 97})...)
	c.fill(plain(hue(0x3d4f5a)), ellipse(58.3, 78, 7.2, 1.8, 0)...)
	c.fill(plain(hue(0xfbeccb)), pt{51.2, 77.4}, pt{47.6, 75.6}, pt{52.6, 80.6})
	for i := range 7 { // branches in it
		f := float64(i) - 3
		tip := pt{58 + 6.4*f, 46 + f*f*1.5 + c.any(-3, 3)}
		line := curve(pt{58 + f*0.7, 78}, pt{58 + 2.4*f, 66}, tip)
		c.stroke(plain(hue(0x4d3c2a)), 0.7, 0.25, line...)
		for j := 5; j < len(line); j += 2 {
			p := line[j]
			c.fill(plain([]rgb{hue(0x8c9a5a), hue(0xc9b25a), hue(0x6a7d4a), hue(0xd98a4a)}[c.next()%4]), ellipse(p.x+c.any(-1.8, 1.8), p.y+c.any(-1.4, 1.4), c.any(1.2, 2.1), c.any(0.6, 1.1), c.any(-1.4, 1.4))...)
		}
	}
	c.glow(20, 30, 70, hue(0xffc878), 0.22)
}
