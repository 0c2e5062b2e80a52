package check

import (
	"math"
	"math/big"
)

// product multiplies without overflow.
func product(factors ...int64) *big.Int {
	n := big.NewInt(1)
	for _, f := range factors {
		n.Mul(n, big.NewInt(f))
	}
	return n
}

// roundUp is a / b rounded up, for a ≥ 0 and b > 0.
func roundUp(a, b *big.Int) *big.Int {
	q, rest := new(big.Int).QuoRem(a, b, new(big.Int))
	if rest.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return q
}

// saturated is n, or the largest int64.
func saturated(n *big.Int) int64 {
	if !n.IsInt64() {
		return math.MaxInt64
	}
	return n.Int64()
}
