package pricelist

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"solander/intake"
	"solander/measure"
	"solander/tariff"
)

func itoa(n int) string { return strconv.Itoa(n) }

// unitWords are the words for units in lists, in small letters without points.
var unitWords = map[string]string{
	"g": "g", "gr": "g", "gram": "g", "grams": "g", "gramm": "g", "gramme": "g", "grammes": "g", "gramme(s)": "g",
	"kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg", "kilogramm": "kg", "kilogramme": "kg", "kilogrammes": "kg",
	"oz": "oz", "ozs": "oz", "ounce": "oz", "ounces": "oz", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
	"dm3": "dm3", "l": "dm3", "litre": "dm3", "litres": "dm3", "liter": "dm3", "liters": "dm3", "in3": "in3", "ft3": "ft3", "cu ft": "ft3", "cu in": "in3",
}

// masses tells which units are of weight.
var masses = map[string]bool{"g": true, "kg": true, "oz": true, "lb": true}

// quantity is a number with the unit behind it, if there is one.
var quantity = regexp.MustCompile(`(\d{1,3}(?:[ \x{00a0}\x{202f}'’]\d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)*)\s*(gramme\(s\)|cu\.? ?ft|cu\.? ?in|[a-zA-Z]+3|[a-zA-Z]+\.?)?`)

// beginsAtEnd are words that say that what follows is where the step begins, and nothing where it ends.
var beginsAtEnd = regexp.MustCompile(`^(over|above|more than|ab|über|plus de|au-delà de|au delà de|over|mer enn|>|≥)\b|^[>≥]`)

// stepText is a step as it was read: how much, and of which unit it was said to be.
type stepText struct {
	number string // digits with at most one point
	unit   string // "" = none is said
	from   string // the lower end of a range, "" = none
	also   *stepText
}

// readStep reads "500 g", "not over 4 oz", "1 lb 4 oz", "1-5", "over 250 up to 500 g": the upper end. ok is false when it is no step.
func readStep(c intake.Cell, decimal string) (s stepText, ok bool) {
	if c.Kind == intake.Number {
		return stepText{number: c.Number}, !strings.HasPrefix(c.Number, "-")
	}
	if c.Kind != intake.Words || len(c.Text) > 80 || strings.ContainsAny(c.Text, "$€£¥") {
		return s, false
	}
	text := strings.NewReplacer("³", "3", "\n", " ").Replace(strings.ToLower(strings.TrimSpace(c.Text)))
	if beginsAtEnd.MatchString(text) && len(quantity.FindAllString(text, -1)) == 1 {
		return s, false
	}
	found := quantity.FindAllStringSubmatchIndex(text, -1)
	if len(found) == 0 || len(found) > 4 {
		return s, false
	}
	if before := text[:found[0][0]]; strings.ContainsFunc(before, unicode.IsLetter) && !says(before, stepWords) {
		return s, false // "page 3", "zone 1"
	}
	for i, m := range found {
		number, fine := plain(text[m[2]:m[3]], decimal)
		if !fine {
			return s, false
		}
		unit := ""
		if m[4] >= 0 {
			word := strings.TrimSuffix(text[m[4]:m[5]], ".")
			if unit = unitWords[strings.ReplaceAll(word, ".", "")]; unit == "" && i == len(found)-1 && !joins[word] {
				return s, false // "4 weeks" is no step
			}
		}
		next := stepText{number: number, unit: unit}
		if i == 0 {
			s = next
			continue
		}
		between := strings.TrimSpace(text[found[i-1][1]:m[0]])
		if between == "" && s.unit == "lb" && unit == "oz" || between == "" && s.unit == "kg" && unit == "g" {
			s.also = &next
			continue
		}
		next.from = s.number
		if s = next; s.unit == "" {
			continue
		}
	}
	return s, true
}

// joins are words that may follow a number and are no unit.
var joins = map[string]bool{"to": true, "bis": true, "à": true, "til": true, "a": true, "and": true, "under": true, "or": true, "less": true}

// plain turns a number of a list into digits with at most one point. Without a decimal sign a mark before just three digits parts
// thousands when it comes after one to three digits that are not 0.
func plain(text, decimal string) (string, bool) {
	s := strings.NewReplacer(" ", "", "\u00a0", "", "\u202f", "", "'", "", "’", "").Replace(text)
	switch decimal {
	case ",":
		s = strings.ReplaceAll(strings.ReplaceAll(s, ".", ""), ",", ".")
	default:
		if i := strings.IndexByte(s, ','); i >= 0 && !strings.Contains(s, ".") && (len(s)-i-1 != 3 || s[0] == '0') {
			s = strings.Replace(s, ",", ".", 1) // 0,5 kg in a list of decimal points
		}
		s = strings.ReplaceAll(s, ",", "")
	}
	return s, strings.Count(s, ".") <= 1 && s != ""
}

// size is a step in ng or µm³. ok is false when it is none, or beyond what is possible.
func (s stepText) size(unit string) (n int64, by tariff.By, ok bool) {
	if s.unit != "" {
		unit = s.unit
	}
	if masses[unit] {
		m, err := measure.ParseMass(s.number+" "+unit, "")
		if err == nil && s.also != nil {
			var more measure.Mass
			more, err = measure.ParseMass(s.also.number+" "+s.also.unit, "")
			m += more
		}
		return int64(m), tariff.ByMass, err == nil && m > 0
	}
	v, err := tariff.ParseVolume(s.number + " " + unit)
	return int64(v), tariff.ByVolume, err == nil && v > 0
}

func sized(by tariff.By, n int64) (measure.Mass, tariff.Volume) {
	switch by {
	case tariff.ByMass:
		return measure.Mass(n), 0
	case tariff.ByVolume:
		return 0, tariff.Volume(n)
	}
	return 0, 0
}

func stepShown(by tariff.By, n int64) string {
	switch m, v := sized(by, n); by {
	case tariff.ByMass:
		return m.String()
	case tariff.ByVolume:
		return v.String()
	}
	return ""
}

// wordPattern finds words, with the 3 of a volume.
var wordPattern = regexp.MustCompile(`[\p{L}]+3?`)

// unitIn finds the one unit that a heading names; "" when it names none or two.
func unitIn(text string) string {
	found := ""
	for _, w := range wordPattern.FindAllString(strings.ReplaceAll(strings.ToLower(text), "³", "3"), -1) {
		u := unitWords[w]
		if u == "" || u == found {
			continue
		}
		if found != "" {
			return ""
		}
		found = u
	}
	return found
}
