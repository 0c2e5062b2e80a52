package prices

// Scale is how finely prices are kept: parts of a minor unit.
const Scale = 1 << 16

// Dearest is the most that a plan may cost for its bound to be looked for: beyond, the sums might not go into
// 64 bits.
const Dearest = 1 << 31

// Upwards is a / b rounded up, at least 0.
func Upwards(a, b int64) int64 {
	if a <= 0 {
		return 0
	}
	return (a + b - 1) / b
}
