// Package scale is what weighed parcels say of a wrap: by how much its parcels weigh more or less than planned, how sure that is, and
// what the wrap's own mass should be then. All is whole nanograms; a difference is what was weighed less what was planned without any
// margin. It knows no store, no wrap and no parcel, and changes nothing.
package scale

import (
	"math/big"
	"slices"

	"solander/measure"
)

// Least is how many parcels are asked for before anything is said: with fewer than 6 no bounds of a median are 95 % sure (Lehmann,
// Nonparametrics, 1975, p. 182), and with 6 or 7 a single slip of the scale hides what is so. Common practice, no source.
const Least = 8

// Apart is by how many times a mass may be more or less than planned: more is a slip of the decimal point, which is ten times, or of the
// unit: an ounce is 28 grams, a pound 16 ounces. Common practice, no source.
const Apart = 3

// Bias is by how much parcels of a wrap differ from their plans.
type Bias struct {
	Parcels int          `json:"parcels"`
	Off     measure.Mass `json:"off"`  // the median difference, of an even number the mean of the middle two, rounded half away from zero
	Low     measure.Mass `json:"low"`  // the median is so much at least, and High at most, 95 % sure; both 0 of fewer than 6 parcels
	High    measure.Mass `json:"high"` //
	Quarter measure.Mass `json:"quarter"`
	Three   measure.Mass `json:"three_quarters"` // from Quarter to it is the middle half of the differences
}

// Of is the bias of differences. The median is taken and not the mean: one parcel on the wrong plan, or one figure read wrongly, moves
// a mean as far as it is off, and a median not at all (Conover, Practical Nonparametric Statistics, 1999; from memory).
func Of(differences []measure.Mass) Bias {
	d := slices.Sorted(slices.Values(differences))
	n := len(d)
	b := Bias{Parcels: n}
	if n == 0 {
		return b
	}
	b.Off = mean(d[(n-1)/2], d[n/2])
	b.Quarter, b.Three = d[(n+3)/4-1], d[(3*n+3)/4-1]
	if k := Rank(n); k > 0 {
		b.Low, b.High = d[k-1], d[n-k]
	}
	return b
}

// mean is half of the sum of two masses, half away from zero.
func mean(a, b measure.Mass) measure.Mass {
	sum := a + b
	if sum%2 == 0 {
		return sum / 2
	}
	if sum < 0 {
		return (sum - 1) / 2
	}
	return (sum + 1) / 2
}

// Rank is which differences, from the least and from the greatest, bound the median of n so that it lies between them with a chance of
// 95 % or more, whatever the differences are spread like; 0 when none do. The chance that fewer than k of n lie below the median is that
// of fewer than k heads in n throws of a coin. Source: Lehmann, Nonparametrics, 1975, pages 182 and 183 (as named where it is computed
// by others; not read).
func Rank(n int) int {
	all := new(big.Int).Lsh(big.NewInt(1), uint(n))
	fewer, term := new(big.Int), big.NewInt(1) // of k heads at most; of exactly k
	for k := 0; ; k++ {
		fewer.Add(fewer, term)
		if new(big.Int).Mul(fewer, big.NewInt(40)).Cmp(all) > 0 { // 2 × fewer > 5 % of all
			return k
		}
		term.Mul(term, big.NewInt(int64(n-k))).Quo(term, big.NewInt(int64(k+1)))
	}
}

// Sure reports whether the bias is worth saying: of Least parcels or more, beyond a step of the scale, and 95 % sure to be to that side.
func (b Bias) Sure(step measure.Mass) bool {
	return b.Parcels >= Least && abs(b.Off) > step && (b.Low > 0 || b.High < 0)
}

// Moved reports whether the bias is another than it was when she said no to it: by more than a step of the scale.
func (b Bias) Moved(then, step measure.Mass) bool { return abs(b.Off-then) > step }

// Corrected is what a wrap's own mass becomes: with the median difference, rounded half up to what a household scale shows, a gram or a
// tenth of an ounce, and never less than nothing.
func (b Bias) Corrected(own measure.Mass, u measure.System) measure.Mass {
	m := max(0, own+b.Off)
	if u == measure.Metric {
		return (m + measure.Gram/2) / measure.Gram * measure.Gram
	}
	tenths := (20*m + measure.Ounce) / (2 * measure.Ounce)
	return (2*tenths*measure.Ounce + 10) / 20 // a tenth of an ounce is no whole number of nanograms
}

// Likely reports whether a mass may be that of a parcel of which so much was planned.
func Likely(planned, weighed measure.Mass) bool {
	return weighed <= Apart*planned && planned <= Apart*weighed
}

func abs(m measure.Mass) measure.Mass { return max(m, -m) }
