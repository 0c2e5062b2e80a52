package planner

// scale is how finely prices are kept: parts of a minor unit.
const scale = 1 << 16

// dearest is the most that a plan may cost for its bound to be looked for: beyond, the sums might not go into
// 64 bits.
const dearest = 1 << 31

// upwards is a / b rounded up, at least 0.
func upwards(a, b int64) int64 {
	if a <= 0 {
		return 0
	}
	return (a + b - 1) / b
}
