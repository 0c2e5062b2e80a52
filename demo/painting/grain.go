package painting

import "sync"

// grain is the tooth of paper and brush: numbers from -64 to 64 that vary smoothly and repeat every 256 steps. It is made once.
var grain = sync.OnceValue(func() *[256][256]int8 {
	c := &canvas{chance: 7}
	var out [256][256]float64
	for _, o := range []struct {
		cells int
		force float64
	}{{8, 26}, {32, 22}, {128, 22}} {
		var at [128][128]float64
		for y := range o.cells {
			for x := range o.cells {
				at[y][x] = c.any(-o.force, o.force)
			}
		}
		step := 256 / o.cells
		for y := range 256 {
			for x := range 256 {
				i, j := y/step, x/step
				fy, fx := eased(y%step, step), eased(x%step, step)
				k, l := (i+1)%o.cells, (j+1)%o.cells
				out[y][x] += (at[i][j]*(1-fx)+at[i][l]*fx)*(1-fy) + (at[k][j]*(1-fx)+at[k][l]*fx)*fy
			}
		}
	}
	var g [256][256]int8
	for y := range 256 {
		for x := range 256 {
			g[y][x] = int8(min(max(out[y][x], -64), 64))
		}
	}
	return &g
})

func eased(i, of int) float64 {
	t := float64(i) / float64(of)
	return t * t * (3 - 2*t)
}
