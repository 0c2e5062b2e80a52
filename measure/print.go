package measure

import (
	"math/big"
	"strconv"
	"strings"
)

// In prints the length in a system such that ParseLength gives the same length back: inches as a whole
// number and a fraction ("8 1/2 in"), millimetres as a decimal. A length that is no tidy number there
// but is one in the other system is printed in the other: what was typed as 216 mm stays 216 mm.
func (l Length) In(s System) string {
	if s == Metric {
		if l%(Millimetre/100) == 0 || l%(Inch/64) != 0 {
			return decimalOf(int64(l), int64(Millimetre), 6) + " mm"
		}
		return inches(l)
	}
	if l%(Inch/64) == 0 || l%(Millimetre/100) != 0 {
		return inches(l)
	}
	return decimalOf(int64(l), int64(Millimetre), 6) + " mm"
}

// String prints the length in inches when that is tidy, else in millimetres.
func (l Length) String() string { return l.In(Imperial) }

func inches(l Length) string {
	if l%(Inch/64) != 0 {
		return decimalOf(int64(l), int64(Inch), 9) + " in"
	}
	whole, part := l/Inch, l%Inch
	if part < 0 {
		whole, part = whole, -part
	}
	if part == 0 {
		return strconv.FormatInt(int64(whole), 10) + " in"
	}
	n, d := int64(part/(Inch/64)), int64(64)
	for n%2 == 0 {
		n, d = n/2, d/2
	}
	frac := strconv.FormatInt(n, 10) + "/" + strconv.FormatInt(d, 10) + " in"
	if whole == 0 {
		if l < 0 {
			return "-" + frac
		}
		return frac
	}
	return strconv.FormatInt(int64(whole), 10) + " " + frac
}

// decimalOf prints n/unit rounded to at most places decimals, without trailing zeros.
func decimalOf(n, unit int64, places int) string {
	s := big.NewRat(n, unit).FloatString(places)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// In prints the mass such that ParseMass gives the same mass back: ounces below a pound, else pounds
// and ounces, as decimals; or grams, kilograms from 10 kg on. Like Length.In it prefers the system in
// which the mass is tidy (a hundredth of an ounce, a milligram).
func (m Mass) In(s System) string {
	metric := s == Metric
	if metric && m%Milligram != 0 && tidyOunces(m) {
		metric = false
	} else if !metric && !tidyOunces(m) && m%Milligram == 0 {
		metric = true
	}
	if metric {
		if m >= 10*Kilogram {
			return decimalOf(int64(m), int64(Kilogram), 12) + " kg"
		}
		return decimalOf(int64(m), int64(Gram), 9) + " g"
	}
	if m < Pound {
		return ounces(m)
	}
	if m%Pound == 0 {
		return strconv.FormatInt(int64(m/Pound), 10) + " lb"
	}
	oz := ounces(m % Pound)
	return strconv.FormatInt(int64(m/Pound), 10) + " lb " + oz
}

// tidyOunces reports whether m is what rounding a number of thousandths of an ounce gives.
func tidyOunces(m Mass) bool {
	t := new(big.Int).Mul(big.NewInt(int64(m)), big.NewInt(1000))
	k := round(new(big.Rat).SetFrac(t, big.NewInt(int64(Ounce))))
	back := new(big.Rat).SetFrac(k.Mul(k, big.NewInt(int64(Ounce))), big.NewInt(1000))
	return round(back).Int64() == int64(m)
}

func ounces(m Mass) string {
	if tidyOunces(m) {
		return decimalOf(int64(m), int64(Ounce), 3) + " oz"
	}
	return decimalOf(int64(m), int64(Ounce), 12) + " oz"
}

// String prints the mass in the system in which it is tidy, ounces first.
func (m Mass) String() string { return m.In(Imperial) }

// Caliper prints a small thickness: "20 pt" (thousandths of an inch) or "0.508 mm".
func (l Length) Caliper(s System) string {
	if s == Metric || l%(Mil/10) != 0 {
		return decimalOf(int64(l), int64(Millimetre), 6) + " mm"
	}
	return decimalOf(int64(l), int64(Mil), 1) + " pt"
}

// About prints the length rounded for reading: nearest sixteenth of an inch, or tenth of a millimetre.
// It does not parse back.
func (l Length) About(s System) string {
	if s == Metric {
		return decimalOf(int64(l), int64(Millimetre), 1) + " mm"
	}
	step := Inch / 16
	return inches((l + step/2) / step * step)
}

// About prints the mass rounded for reading: a tenth of an ounce, or a gram. It does not parse back.
func (m Mass) About(s System) string {
	if s == Metric {
		if m >= Kilogram {
			return decimalOf(int64(m), int64(Kilogram), 2) + " kg"
		}
		return decimalOf(int64(m), int64(Gram), 0) + " g"
	}
	tenth := Ounce / 10
	n := int64((m + tenth/2) / tenth)
	if n < 160 {
		return decimalOf(n, 10, 1) + " oz"
	}
	return strconv.FormatInt(n/160, 10) + " lb " + decimalOf(n%160, 10, 1) + " oz"
}

// String prints the grammage in gsm, exactly.
func (g Grammage) String() string { return decimalOf(int64(g), int64(GSM), 3) + " gsm" }
