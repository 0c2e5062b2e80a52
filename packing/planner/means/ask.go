package means

import (
	"slices"

	"solander/packing"
	"solander/tariff"
)

// ForbidsClass says why a rule in force forbids a class of service, or returns nil.
func ForbidsClass(r *packing.Rule, class string) *packing.Reason {
	t := &r.Then
	if len(t.OnlyClasses) > 0 && !slices.Contains(t.OnlyClasses, class) || slices.Contains(t.NotClasses, class) {
		return House(r, "the class "+class+" is not allowed")
	}
	return nil
}

// House is the reason that a house rule is.
func House(r *packing.Rule, text string) *packing.Reason {
	name := r.Text
	if name == "" {
		name = "house rule " + r.ID
	}
	return &packing.Reason{Rule: "house." + r.ID, Text: name + ": " + text}
}

// Asks gathers what rules in force ask of the service.
func Asks(rules []*packing.Rule, value int64) tariff.Extras {
	var e tariff.Extras
	for _, r := range rules {
		if r.Then.FullCover {
			e.Cover = value
		}
		e.Signature = e.Signature || r.Then.Signature
		e.Tracking = e.Tracking || r.Then.Tracking
	}
	return e
}
