package edition

import (
	"strconv"
	"strings"

	"solander/fault"
)

// ParseNumbers reads "12, 15-20, AP 1". Faults: Invalid in a field.
func ParseNumbers(field, text string, e Edition) ([]Number, error) {
	var out []Number
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		part = strings.TrimSpace(strings.ReplaceAll(part, "–", "-"))
		if part == "" {
			continue
		}
		first, last, isRange := strings.Cut(part, "-")
		n, err := ParseNumber(first, e)
		if err != nil {
			return nil, in(field, err)
		}
		to := n.N
		if isRange {
			if to, err = strconv.Atoi(strings.TrimSpace(last)); err != nil || to < n.N {
				return nil, fault.Invalidf(field, "%.20q is not a range of numbers", part).ToMend("write it like 15-20")
			}
		}
		for ; n.N <= to; n.N++ {
			if err := n.In(e); err != nil {
				return nil, in(field, err)
			}
			out = append(out, n)
		}
	}
	if len(out) == 0 {
		return nil, fault.Invalidf(field, "no number is named").ToMend("write them like 12, 15-20, AP 1")
	}
	return out, nil
}

func in(field string, err error) error { return fault.All(err)[0].In(field) }
