package measure

import "math/big"

// SystemOf returns the system in which a sentence about these lengths reads best: inches when one of
// them, other than nothing, is tidy in inches, else millimetres. Lengths that are computed say nothing of
// what the studio measures in: give it those that somebody wrote.
func SystemOf(lengths ...Length) System {
	for _, l := range lengths {
		if l != 0 && l.tidyInches() {
			return Imperial
		}
	}
	return Metric
}

// SystemOfMass returns ounces for a mass that is tidy in them, else grams.
func SystemOfMass(m Mass) System {
	if tidyOunces(m) {
		return Imperial
	}
	return Metric
}

// Above prints the length in this system and no other: exactly where it is tidy in it, else rounded up to
// a thousandth of an inch or a hundredth of a millimetre. A rounded one does not parse back.
func (l Length) Above(s System) string { return l.rounded(s, true) }

// Below is as Above, rounded down.
func (l Length) Below(s System) string { return l.rounded(s, false) }

func (l Length) rounded(s System, up bool) string {
	switch {
	case s == Metric && l.tidyMillimetres():
		return shortest(int64(l), int64(Millimetre)) + " mm"
	case s == Metric:
		return decimalOf(toStep(int64(l), int64(10*Micrometre), up), 100, 2) + " mm"
	case l.tidyInches():
		return inches(l)
	}
	return decimalOf(toStep(int64(l), int64(Mil), up), 1000, 3) + " in"
}

// Above prints the mass in this system and no other: exactly where it is tidy in it, else rounded up to a
// thousandth of an ounce or a hundredth of a gram. A rounded one does not parse back.
func (m Mass) Above(s System) string { return m.rounded(s, true) }

// Below is as Above, rounded down.
func (m Mass) Below(s System) string { return m.rounded(s, false) }

func (m Mass) rounded(s System, up bool) string {
	switch {
	case s == Metric && m%Milligram == 0:
		return m.In(Metric)
	case s == Metric:
		return decimalOf(toStep(int64(m), int64(10*Milligram), up), 100, 2) + " g"
	case tidyOunces(m):
		return m.In(Imperial)
	}
	r := new(big.Rat).SetFrac64(int64(m), int64(Ounce))
	r.Mul(r, rat(1000))
	return ounces(toStep(r.Num().Int64(), r.Denom().Int64(), up))
}

// ounces prints thousandths of an ounce: ounces below a pound, else pounds and ounces.
func ounces(thousandths int64) string {
	if thousandths < 16_000 {
		return decimalOf(thousandths, 1000, 3) + " oz"
	}
	return decimalOf(thousandths/16_000, 1, 0) + " lb " + decimalOf(thousandths%16_000, 1000, 3) + " oz"
}

// toStep returns n in whole steps, rounded up or down.
func toStep(n, step int64, up bool) int64 {
	q := n / step
	switch r := n % step; {
	case up && r > 0:
		q++
	case !up && r < 0:
		q--
	}
	return q
}
