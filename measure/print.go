package measure

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// In prints the length in a system such that ParseLength gives the same length back: inches as a whole
// number and a fraction ("8 1/2 in") or a decimal, millimetres as a decimal. A length that is tidy in
// the system asked for is printed in it; one that is tidy only in the other is printed in the other, so
// that what was typed as 216 mm stays 216 mm. One that is tidy in neither keeps to the system asked for.
// Tidy is a whole number of 1/64 in or of 0.001 in; and of micrometres.
func (l Length) In(s System) string {
	metric := s == Metric
	if metric && !l.tidyMillimetres() && l.tidyInches() || !metric && !l.tidyInches() && l.tidyMillimetres() {
		metric = !metric
	}
	if metric {
		return shortest(int64(l), int64(Millimetre)) + " mm"
	}
	return inches(l)
}

func (l Length) tidyInches() bool      { return l%(Inch/64) == 0 || l%Mil == 0 }
func (l Length) tidyMillimetres() bool { return l%Micrometre == 0 }

// String prints the length as In does for Imperial.
func (l Length) String() string { return l.In(Imperial) }

func inches(l Length) string {
	if l%(Inch/64) != 0 {
		return shortest(int64(l), int64(Inch)) + " in"
	}
	sign := ""
	if l < 0 {
		sign, l = "-", -l
	}
	whole, part := strconv.FormatInt(int64(l/Inch), 10), l%Inch
	if part == 0 {
		return sign + whole + " in"
	}
	n, d := int64(part/(Inch/64)), int64(64)
	for n%2 == 0 {
		n, d = n/2, d/2
	}
	fraction := strconv.FormatInt(n, 10) + "/" + strconv.FormatInt(d, 10) + " in"
	if whole == "0" {
		return sign + fraction
	}
	return sign + whole + " " + fraction
}

// shortest prints n/unit with the fewest decimals that, multiplied by unit and rounded, give n again.
// A typed decimal that is finer than one base unit in its last place therefore comes back as typed.
func shortest(n, unit int64) string {
	for places, scale := 0, int64(1); n >= 0 && n < math.MaxInt64/4/scale && unit < math.MaxInt64/4/scale; places, scale = places+1, 10*scale {
		d := (2*n*scale + unit) / (2 * unit)
		if (2*d*unit+scale)/(2*scale) != n {
			continue
		}
		if places == 0 {
			return strconv.FormatInt(d, 10)
		}
		decimals := strconv.FormatInt(d%scale, 10)
		return strconv.FormatInt(d/scale, 10) + "." + strings.Repeat("0", places-len(decimals)) + decimals
	}
	return shortestOfAny(n, unit)
}

// shortestOfAny is shortest for numbers that 64 bits do not bear, too.
func shortestOfAny(n, unit int64) string {
	exact := big.NewRat(n, unit)
	for places := 0; ; places++ {
		s := exact.FloatString(places)
		r, _ := new(big.Rat).SetString(s)
		if round(r.Mul(r, rat(unit))).Cmp(big.NewInt(n)) == 0 {
			return s
		}
	}
}

// decimalOf prints n/unit rounded to at most places decimals, half away from zero, without trailing
// zeros and without a sign before nothing.
func decimalOf(n, unit int64, places int) string {
	s := big.NewRat(n, unit).FloatString(places)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// In prints the mass such that ParseMass gives the same mass back: ounces below a pound, else pounds
// and ounces, as decimals; or grams, kilograms from 10 kg on. Like Length.In it prefers the system in
// which the mass is tidy: a whole number of thousandths of an ounce (rounded to the nanogram), or of
// milligrams.
func (m Mass) In(s System) string {
	metric := s == Metric
	if metric && m%Milligram != 0 && tidyOunces(m) || !metric && m%Milligram == 0 && !tidyOunces(m) {
		metric = !metric
	}
	switch {
	case metric && m >= 10*Kilogram:
		return shortest(int64(m), int64(Kilogram)) + " kg"
	case metric:
		return shortest(int64(m), int64(Gram)) + " g"
	case m < Pound:
		return shortest(int64(m), int64(Ounce)) + " oz"
	case m%Pound == 0:
		return strconv.FormatInt(int64(m/Pound), 10) + " lb"
	}
	return strconv.FormatInt(int64(m/Pound), 10) + " lb " + shortest(int64(m%Pound), int64(Ounce)) + " oz"
}

// tidyOunces reports whether m is what rounding a number of thousandths of an ounce gives.
func tidyOunces(m Mass) bool {
	if m >= 0 && m < 1<<50 { // as below, in 64 bits
		k := (2000*m + Ounce) / (2 * Ounce)
		return (2*k*Ounce+1000)/2000 == m
	}
	return tidyOuncesOfAny(m)
}

func tidyOuncesOfAny(m Mass) bool {
	k := new(big.Rat).SetFrac64(int64(m), int64(Ounce))
	thousandths := round(k.Mul(k, rat(1000)))
	back := new(big.Rat).SetFrac(thousandths.Mul(thousandths, big.NewInt(int64(Ounce))), big.NewInt(1000))
	return round(back).Cmp(big.NewInt(int64(m))) == 0
}

// String prints the mass as In does for Imperial.
func (m Mass) String() string { return m.In(Imperial) }

// Caliper prints a small thickness such that ParseLength gives it back: "20 pt" (thousandths of an inch,
// where it is a whole number of tenths of one) or "0.508 mm".
func (l Length) Caliper(s System) string {
	if s == Metric || l%(Mil/10) != 0 {
		return shortest(int64(l), int64(Millimetre)) + " mm"
	}
	return shortest(int64(l), int64(Mil)) + " pt"
}

// About prints the length rounded for reading: nearest sixteenth of an inch, or tenth of a millimetre.
// It does not parse back.
func (l Length) About(s System) string {
	if s == Metric {
		return decimalOf(int64(l), int64(Millimetre), 1) + " mm"
	}
	return inches(Length(nearest(int64(l), int64(Inch), 16)) * (Inch / 16))
}

// nearest returns n/unit in whole parts of a unit, half away from zero.
func nearest(n, unit, parts int64) int64 {
	r := big.NewRat(n, unit)
	return round(r.Mul(r, rat(parts))).Int64()
}

// About prints the mass rounded for reading: a tenth of an ounce, or a gram (ten grams from a kilogram on). It does not parse back.
func (m Mass) About(s System) string {
	if s == Metric {
		if m >= Kilogram {
			return decimalOf(int64(m), int64(Kilogram), 2) + " kg"
		}
		return decimalOf(int64(m), int64(Gram), 0) + " g"
	}
	n := nearest(int64(m), int64(Ounce), 10)
	if n < 160 {
		return decimalOf(n, 10, 1) + " oz"
	}
	return strconv.FormatInt(n/160, 10) + " lb " + decimalOf(n%160, 10, 1) + " oz"
}

// String prints the grammage in gsm, exactly.
func (g Grammage) String() string { return shortest(int64(g), int64(GSM)) + " gsm" }
