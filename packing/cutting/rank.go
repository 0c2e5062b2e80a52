package cutting

import "math/bits"

// with adds one sheet.
func (r rank) with(s Stock) rank {
	hi, lo := bits.Mul64(uint64(s.Width), uint64(s.Height))
	var carry uint64
	r.areaLow, carry = bits.Add64(r.areaLow, lo, 0)
	r.areaHigh, _ = bits.Add64(r.areaHigh, hi, carry)
	r.sheets++
	r.cost += s.Cost
	return r
}
