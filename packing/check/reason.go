package check

import (
	"fmt"

	"solander/packing"
)

// breaks is a documented rule that does not hold, with its numbers.
func breaks(rule string, got, limit int64, unit string) packing.Reason {
	return packing.Reason{Rule: rule, Got: got, Limit: limit, Unit: unit}
}

// malformed is a fault of the plan itself: what it says cannot be looked at as a parcel. Its rule begins
// with "plan." and is none of docs/formats/plan.md, section 5.
func malformed(rule, text string, args ...any) *packing.Reason {
	return &packing.Reason{Rule: rule, Text: fmt.Sprintf(text, args...)}
}

func describe(r packing.Reason) string {
	if r.Text != "" {
		return r.Text
	}
	if r.Unit == "" {
		return "does not hold"
	}
	return fmt.Sprintf("does not hold: got %d, limit %d %s", r.Got, r.Limit, r.Unit)
}
