package xlsx

import (
	"strconv"
	"strings"
	"time"

	"solander/calendar"
)

// significant is how many digits of a number spreadsheet programs keep and show; files hold the 17 of a binary number, so
// that 80.1 may stand there as 80.099999999999994.
const significant = 15

// exact turns the text of a number (xsd:double) into plain decimal text of at most 15 significant digits, rounded half
// up: "-12.5", without exponent and without zeros that say nothing. ok is false for other text, and for numbers below 1e-30 or
// from 1e30 on.
func exact(s string) (number string, ok bool) {
	s = strings.TrimSpace(s)
	negative := strings.HasPrefix(s, "-")
	s = strings.TrimLeft(s, "+-")
	mantissa, exp := s, 0
	if i := strings.IndexAny(s, "eE"); i >= 0 {
		n, err := strconv.Atoi(s[i+1:])
		if err != nil || n > 400 || n < -400 {
			return "", false
		}
		mantissa, exp = s[:i], n
	}
	whole, frac, _ := strings.Cut(mantissa, ".")
	digits := whole + frac
	if digits == "" || len(digits) > 400 || strings.Trim(digits, "0123456789") != "" {
		return "", false
	}
	point := len(whole) + exp // of digits, where the decimal point stands
	zeros := len(digits) - len(strings.TrimLeft(digits, "0"))
	digits, point = digits[zeros:], point-zeros
	if len(digits) > significant {
		digits, point = roundUp(digits, point)
	}
	if digits = strings.TrimRight(digits, "0"); digits == "" {
		return "0", true
	}
	if point > 30 || point < -30 {
		return "", false
	}
	number = place(digits, point)
	if negative {
		number = "-" + number
	}
	return number, true
}

// roundUp cuts digits to the significant ones, rounding half up.
func roundUp(digits string, point int) (string, int) {
	b := []byte(digits[:significant])
	if digits[significant] < '5' {
		return string(b), point
	}
	for i := len(b) - 1; i >= 0; i-- {
		if b[i]++; b[i] <= '9' {
			return string(b), point
		}
		b[i] = '0'
	}
	return "1" + string(b), point + 1
}

// place puts the decimal point into digits.
func place(digits string, point int) string {
	switch {
	case point <= 0:
		return "0." + strings.Repeat("0", -point) + digits
	case point >= len(digits):
		return digits + strings.Repeat("0", point-len(digits))
	}
	return digits[:point] + "." + digits[point:]
}

// dayOf turns a serial number into a day (18.17.4.1), leaving out the time of day. In the 1900 system day 1 is 1900-01-01 and
// day 60 is 1900-02-29, which never was; in the 1904 system day 0 is 1904-01-01.
func dayOf(number string, date1904 bool) (calendar.Day, bool) {
	whole, _, _ := strings.Cut(number, ".")
	n, err := strconv.Atoi(whole)
	if err != nil || n < 0 || n > 200_000 || strings.HasPrefix(number, "-") {
		return calendar.Day{}, false
	}
	var d calendar.Day
	switch {
	case date1904:
		d = calendar.Date(1904, time.January, 1).Add(n)
	case n == 0 || n == 60:
		return d, false
	case n < 60:
		d = calendar.Date(1899, time.December, 31).Add(n)
	default:
		d = calendar.Date(1899, time.December, 30).Add(n)
	}
	return d, !d.Before(calendar.Earliest) && !d.After(calendar.Latest)
}
