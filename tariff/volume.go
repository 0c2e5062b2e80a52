package tariff

import (
	"encoding/json"
	"math/big"
	"math/bits"
	"strings"

	"solander/fault"
	"solander/measure"
)

// Volume is a whole number of cubic micrometres: 1 in³ = 25 400³ µm³, 0.1 ft³ is whole too. The largest
// is about 9 m³.
type Volume int64

// Units of volume.
const (
	CubicMillimetre Volume = 1_000_000_000
	CubicCentimetre Volume = 1000 * CubicMillimetre
	Litre           Volume = 1000 * CubicCentimetre
	CubicInch       Volume = 25_400 * 25_400 * 25_400
	CubicFoot       Volume = 1728 * CubicInch
)

// MaxVolume bounds what is accepted from input.
const MaxVolume = 9000 * Litre

var volumeUnits = map[string]Volume{
	"um3": 1, "mm3": CubicMillimetre, "cm3": CubicCentimetre, "dm3": Litre, "l": Litre, "m3": 1000 * Litre,
	"in3": CubicInch, "ft3": CubicFoot,
}

// ParseVolume reads "1728 in3", "0.1 ft3" or "30 dm3"; ³ may stand for 3. A value between two cubic
// micrometres is rounded to the nearest. Faults: Invalid.
func ParseVolume(text string) (Volume, error) {
	bad := fault.New(fault.Invalid, "%.40q is not a volume", text).ToMend("write it like 1728 in3, 0.1 ft3 or 30 dm3")
	number, unit, ok := strings.Cut(strings.TrimSpace(strings.ReplaceAll(text, "³", "3")), " ")
	u := volumeUnits[strings.ToLower(strings.TrimSpace(unit))]
	if !ok || u == 0 || len(number) > 20 || strings.Trim(number, "0123456789.") != "" {
		return 0, bad
	}
	r, ok := new(big.Rat).SetString(number)
	if !ok {
		return 0, bad
	}
	r.Mul(r, new(big.Rat).SetInt64(2*int64(u)))
	r.Add(r, big.NewRat(1, 1))
	n := new(big.Int).Quo(r.Num(), r.Denom())
	n.Rsh(n, 1)
	if !n.IsInt64() || n.Int64() > int64(MaxVolume) {
		return 0, bad
	}
	return Volume(n.Int64()), nil
}

// UnmarshalJSON reads a whole number of cubic micrometres or a text with a unit.
func (v *Volume) UnmarshalJSON(b []byte) error {
	if len(b) > 0 && b[0] == '"' {
		var s string
		if err := json.Unmarshal(b, &s); err != nil {
			return err
		}
		n, err := ParseVolume(s)
		*v = n
		return err
	}
	var n int64
	if err := json.Unmarshal(b, &n); err != nil || n < 0 || n > int64(MaxVolume) {
		return fault.New(fault.Invalid, "%.40s is not a possible volume", b).ToMend("write it like 1728 in3, 0.1 ft3 or 30 dm3")
	}
	*v = Volume(n)
	return nil
}

// String prints whole thousandths of a cubic foot as such below one, whole cubic inches as such, and
// anything else in cubic centimetres.
func (v Volume) String() string { return v.in(v.unit()) }

// unit is the unit in which a volume is tidy.
func (v Volume) unit() Volume {
	switch {
	case v < CubicFoot && v%(CubicFoot/1000) == 0:
		return CubicFoot
	case v%CubicInch == 0:
		return CubicInch
	}
	return CubicCentimetre
}

// in prints the volume in a unit, to three decimals.
func (v Volume) in(unit Volume) string {
	s := big.NewRat(int64(v), int64(unit)).FloatString(3)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	switch unit {
	case CubicInch:
		return s + " in³"
	case CubicFoot:
		return s + " ft³"
	}
	return s + " cm³"
}

// wide is an unsigned number of 128 bits: products of three lengths do not fit 64.
type wide struct{ hi, lo uint64 }

func (a wide) less(b wide) bool { return a.hi < b.hi || a.hi == b.hi && a.lo < b.lo }

// times is a · n; false when it has more than 128 bits.
func (a wide) times(n uint64) (wide, bool) {
	over, top := bits.Mul64(a.hi, n)
	carry, lo := bits.Mul64(a.lo, n)
	hi, more := bits.Add64(top, carry, 0)
	return wide{hi, lo}, over == 0 && more == 0
}

// over is a/n, rounded up.
func (a wide) over(n uint64) wide {
	q := wide{hi: a.hi / n}
	var rest uint64
	q.lo, rest = bits.Div64(a.hi%n, a.lo, n)
	if rest > 0 {
		carry := uint64(0)
		q.lo, carry = bits.Add64(q.lo, 1, 0)
		q.hi += carry
	}
	return q
}

func (a wide) big() *big.Int {
	n := new(big.Int).SetUint64(a.hi)
	return n.Lsh(n, 64).Or(n, new(big.Int).SetUint64(a.lo))
}

// product is a · b · c in nm³, exact up to 10³³ (three lengths of 100 km).
func product(a, b, c measure.Length) wide {
	h1, l1 := bits.Mul64(uint64(a), uint64(b))
	hi, lo := bits.Mul64(l1, uint64(c))
	return wide{hi + h1*uint64(c), lo}
}

// cubicNanometres is v in nm³.
func (v Volume) cubicNanometres() wide {
	hi, lo := bits.Mul64(uint64(v), 1_000_000_000)
	return wide{hi, lo}
}
