package rates

import (
	"math"
	"math/big"

	"solander/measure"
	"solander/packing/check/exact"
	"solander/tariff"
)

// Cover is the price of cover for a value; ok is false when that much is not sold, and most is then the
// most that is. Source: docs/formats/tariff.md, section 7.
func Cover(c *tariff.Cover, value int64) (price, most int64, ok bool) {
	if c == nil {
		return 0, 0, value <= 0
	}
	if value <= c.Included {
		return 0, 0, true
	}
	last := tariff.CoverStep{}
	if len(c.Steps) > 0 {
		last = c.Steps[len(c.Steps)-1]
	}
	switch {
	case c.Most != nil:
		most = *c.Most
	case c.Per == 0:
		most = max(last.UpTo, c.Included)
	default:
		most = math.MaxInt64
	}
	if value > most {
		return 0, most, false
	}
	for _, step := range c.Steps {
		if value <= step.UpTo {
			return step.Price, most, true
		}
	}
	if c.Per == 0 {
		return 0, last.UpTo, false
	}
	parts := exact.RoundUp(big.NewInt(value-last.UpTo), big.NewInt(c.Per))
	parts.Mul(parts, big.NewInt(c.PerPrice))
	return exact.Saturated(parts.Add(parts, big.NewInt(last.Price))), most, true
}

// rounded rounds a length to a multiple of a step. Source: docs/formats/tariff.md, section 6.1.
func rounded(l measure.Length, r tariff.Rounding) measure.Length {
	if r.Step <= 0 {
		return l
	}
	down := l / r.Step * r.Step
	rest := l - down
	switch r.Mode {
	case "down":
		return down
	case "up":
		if rest > 0 {
			return down + r.Step
		}
	case "nearest":
		if rest >= r.Step-rest {
			return down + r.Step
		}
	}
	if rest == 0 || r.Mode == "nearest" {
		return down
	}
	return l
}

// Rounded rounds a size, side by side.
func Rounded(s tariff.Size, r tariff.Rounding) tariff.Size {
	return tariff.Size{Length: rounded(s.Length, r), Width: rounded(s.Width, r), Height: rounded(s.Height, r)}
}
