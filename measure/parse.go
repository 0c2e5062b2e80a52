package measure

import (
	"encoding/json"
	"math/big"
	"strings"
	"unicode/utf8"

	"solander/fault"
)

var lengthUnits = map[string]*big.Rat{
	"nm": rat(1), "um": rat(int64(Micrometre)), "µm": rat(int64(Micrometre)), "μm": rat(int64(Micrometre)),
	"mm": rat(int64(Millimetre)), "cm": rat(int64(Centimetre)), "m": rat(int64(Metre)),
	"in": rat(int64(Inch)), "inch": rat(int64(Inch)), "inches": rat(int64(Inch)),
	`"`: rat(int64(Inch)), "″": rat(int64(Inch)), "”": rat(int64(Inch)),
	"ft": rat(int64(Foot)), "'": rat(int64(Foot)), "′": rat(int64(Foot)), "’": rat(int64(Foot)), "mil": rat(int64(Mil)), "pt": rat(int64(Mil)),
}

var massUnits = map[string]*big.Rat{
	"ng": rat(1), "mg": rat(int64(Milligram)), "g": rat(int64(Gram)), "kg": rat(int64(Kilogram)),
	"oz": rat(int64(Ounce)), "lb": rat(int64(Pound)), "lbs": rat(int64(Pound)),
}

var grammageUnits = map[string]*big.Rat{
	"gsm": rat(int64(GSM)), "g/m2": rat(int64(GSM)), "g/m²": rat(int64(GSM)),
	"mg/m2": rat(1), "mg/m²": rat(1),
}

// mostText is how many bytes of a text are read; a longer one is no measure.
const mostText = 80

// spaced writes the fractions of one character out and makes each kind of space a plain one.
var spaced = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"\u00a0", " ", "\u2009", " ", "\u202f", " ", "\t", " ")

func rat(n int64) *big.Rat { return new(big.Rat).SetInt64(n) }

// ParseLength reads a length with its unit: "8 1/2 in", `8.5"`, "216 mm", "21.6 cm", "12 pt" (caliper:
// thousandths of an inch), "2 ft 3 in", "914400 nm". A number without unit is refused unless system
// names the one to assume (inches or millimetres). A decimal comma is read; "1,200", which may be a
// thousand and more or one and a little, is refused.
// Faults: Invalid for an unknown or missing unit, a negative or absurd length, or other text.
func ParseLength(text string, system System) (Length, error) {
	assume := map[System]string{Imperial: "in", Metric: "mm"}[system]
	n, err := parse(text, "length", "8 1/2 in or 216 mm", lengthUnits, assume, int64(MaxLength))
	return Length(n), err
}

// ParseMass reads a mass with its unit: "12 oz", "1 lb 4 oz", "340 g", "1.2 kg". See ParseLength.
func ParseMass(text string, system System) (Mass, error) {
	assume := map[System]string{Imperial: "oz", Metric: "g"}[system]
	n, err := parse(text, "mass", "12 oz or 340 g", massUnits, assume, int64(MaxMass))
	return Mass(n), err
}

// ParseGrammage reads a grammage: "310 gsm", "310 g/m²", or a basis weight with its grade of paper,
// "80 lb cover" (see BasisWeight). A number alone is grams per square metre.
func ParseGrammage(text string) (Grammage, error) {
	if len(text) <= mostText {
		if g, ok, err := parseBasis(spaced.Replace(text)); ok {
			return g, err
		}
	}
	n, err := parse(text, "grammage", "310 gsm or 80 lb cover", grammageUnits, "gsm", int64(MaxGrammage))
	return Grammage(n), err
}

func parse(text, kind, example string, units map[string]*big.Rat, assume string, most int64) (int64, error) {
	bad := func(why string) (int64, error) {
		return 0, fault.New(fault.Invalid, "%q is not a %s: %s", fault.Clip(text), kind, why).ToMend("write it like %s", example)
	}
	if len(text) > mostText {
		return bad("it is too long")
	}
	if !utf8.ValidString(text) {
		return bad("it holds broken characters")
	}
	rest := strings.TrimSpace(spaced.Replace(text))
	if rest == "" {
		return bad("it is empty")
	}
	total := new(big.Rat)
	var last *big.Rat
	for rest != "" {
		number, after := cut(rest)
		if number == "" {
			if strings.HasPrefix(rest, "-") || strings.HasPrefix(rest, "−") {
				return bad("it is negative")
			}
			return bad("a number is missing")
		}
		if ambiguous(number) {
			return bad("the comma in " + number + " may mark thousands or decimals; leave it out or use a point")
		}
		v, ok := value(number)
		if !ok {
			return bad(number + " is not a number")
		}
		unit, next := cutUnit(after)
		if unit == "" {
			if assume == "" || last != nil {
				return bad("the unit is missing")
			}
			unit = assume
		}
		u := units[strings.ToLower(unit)]
		if u == nil {
			return bad(unit + " is not a unit of it")
		}
		if last != nil && u.Cmp(last) >= 0 {
			return bad("the smaller unit comes last")
		}
		last = u
		total.Add(total, v.Mul(v, u))
		rest = strings.TrimSpace(next)
	}
	n := round(total)
	if !n.IsInt64() || n.Int64() > most {
		return bad("it is absurdly large")
	}
	return n.Int64(), nil
}

// cut takes a leading number off: digits, point, comma, spaces and slashes between digits.
func cut(s string) (number, rest string) {
	end := 0
	for i, r := range s {
		if r >= '0' && r <= '9' || r == '.' || r == ',' || r == '/' || r == '⁄' || r == ' ' || r == '-' && i > 0 {
			end = i + len(string(r))
			continue
		}
		break
	}
	return strings.TrimSpace(s[:end]), s[end:]
}

// cutUnit takes a leading unit off: up to a space or a digit, save the 2 of "g/m2".
func cutUnit(s string) (unit, rest string) {
	for i, r := range s {
		if r == ' ' || r >= '0' && r <= '9' && !strings.EqualFold(s[:i+1], "g/m2") && !strings.EqualFold(s[:i+1], "mg/m2") {
			return s[:i], s[i:]
		}
	}
	return s, ""
}

// ambiguous reports a comma followed by just three digits behind a whole part that is not 0: "1,200".
func ambiguous(s string) bool {
	whole, frac, ok := strings.Cut(s, ",")
	return ok && len(frac) == 3 && strings.Trim(whole, "0") != "" && !strings.ContainsAny(s, "./ ")
}

// value reads "8", "8.5", "8,5", "1/2", "8 1/2" or "8-1/2".
func value(s string) (*big.Rat, bool) {
	s = strings.ReplaceAll(s, "⁄", "/")
	whole, frac, mixed := strings.Cut(strings.Replace(s, "-", " ", 1), " ")
	if !mixed {
		return plain(s)
	}
	frac = strings.TrimSpace(frac)
	if !strings.Contains(frac, "/") || strings.ContainsAny(whole, "/.,") {
		return nil, false
	}
	a, ok := plain(whole)
	if !ok {
		return nil, false
	}
	b, ok := plain(frac)
	if !ok || b.Cmp(rat(1)) >= 0 {
		return nil, false
	}
	return a.Add(a, b), true
}

func plain(s string) (*big.Rat, bool) {
	if num, den, ok := strings.Cut(s, "/"); ok {
		a, ok1 := digits(num)
		b, ok2 := digits(den)
		if !ok1 || !ok2 || b.Sign() == 0 {
			return nil, false
		}
		return a.Quo(a, b), true
	}
	return decimal(s)
}

func digits(s string) (*big.Rat, bool) {
	if s == "" || strings.Trim(s, "0123456789") != "" {
		return nil, false
	}
	return new(big.Rat).SetString(s)
}

func decimal(s string) (*big.Rat, bool) {
	s = strings.Replace(s, ",", ".", 1)
	a, b, point := strings.Cut(s, ".")
	if strings.Trim(a+b, "0123456789") != "" || a+b == "" || point && b == "" {
		return nil, false
	}
	return new(big.Rat).SetString("0" + s)
}

// round returns the nearest whole number, half away from zero.
func round(r *big.Rat) *big.Int {
	two := new(big.Int).Lsh(new(big.Int).Abs(r.Num()), 1)
	two.Add(two, r.Denom())
	two.Quo(two, new(big.Int).Lsh(r.Denom(), 1))
	if r.Sign() < 0 {
		two.Neg(two)
	}
	return two
}

// UnmarshalJSON reads a whole number of nanometres or a string with a unit.
func (l *Length) UnmarshalJSON(b []byte) error {
	return fromJSON(b, "length", int64(MaxLength), (*int64)(l), func(s string) (int64, error) {
		v, err := ParseLength(s, "")
		return int64(v), err
	})
}

// UnmarshalJSON reads a whole number of nanograms or a string with a unit.
func (m *Mass) UnmarshalJSON(b []byte) error {
	return fromJSON(b, "mass", int64(MaxMass), (*int64)(m), func(s string) (int64, error) {
		v, err := ParseMass(s, "")
		return int64(v), err
	})
}

// UnmarshalJSON reads a whole number of milligrams per square metre or a string with a unit.
func (g *Grammage) UnmarshalJSON(b []byte) error {
	return fromJSON(b, "grammage", int64(MaxGrammage), (*int64)(g), func(s string) (int64, error) {
		v, err := ParseGrammage(s)
		return int64(v), err
	})
}

// fromJSON stores the value in to, which is left alone on any fault and, as usual, by null.
func fromJSON(b []byte, kind string, most int64, to *int64, read func(string) (int64, error)) error {
	if len(b) > 0 && b[0] == '"' {
		var s string
		if err := json.Unmarshal(b, &s); err != nil {
			return fault.New(fault.Invalid, "a %s is a whole number or a text with its unit", kind).Because(err)
		}
		n, err := read(s)
		if err != nil {
			return err
		}
		*to = n
		return nil
	}
	n := *to
	if err := json.Unmarshal(b, &n); err != nil {
		return fault.New(fault.Invalid, "%s is not a %s", fault.Clip(string(b)), kind).
			ToMend("write a whole number of base units or a text with its unit").Because(err)
	}
	if n < 0 || n > most {
		return fault.New(fault.Invalid, "%d is not a possible %s", n, kind).
			ToMend("write a whole number of base units from 0 to %d", most)
	}
	*to = n
	return nil
}
