package dayplan

import (
	"fmt"
	"slices"
	"strings"

	"solander/packing"
)

// bare says which kinds of packaging are wholly missing, and which wraps can therefore not be made; "" when every
// wrap has a piece for each of its layers. It stands behind the reason that holds an order: the planner tells how
// far it got with what there is, which is no help to one whose shelf has no sleeves at all.
func bare(p packing.Problem) string {
	var kinds, wraps []string
	for _, w := range p.Wraps {
		short := false
		for _, l := range w.Layers {
			if slices.ContainsFunc(p.Shelf, func(it packing.Item) bool { return serves(it, l) }) {
				continue
			}
			short = true
			if k := "no " + string(l.Kind); !slices.Contains(kinds, k) {
				kinds = append(kinds, k)
			}
		}
		if short {
			wraps = append(wraps, WrapName(w))
		}
	}
	if len(kinds) == 0 {
		return ""
	}
	return "; there is " + strings.Join(kinds, ", ") + " on the shelf, without which these wraps cannot be made: " + strings.Join(wraps, ", ")
}

// serves reports whether a piece of an item is there for a layer.
func serves(it packing.Item, l packing.Layer) bool {
	return it.Kind == l.Kind && (it.Stock == nil || *it.Stock > 0) && (len(l.Items) == 0 || slices.Contains(l.Items, it.ID))
}

// WrapName is how a wrap is told to people.
func WrapName(w packing.Wrap) string {
	if w.Name != "" {
		return fmt.Sprintf("“%s”", w.Name)
	}
	return w.ID
}

// HeldIn is why a plan of one order sends nothing, with the names that its problem gives; "" when it goes.
func HeldIn(p packing.Problem, plan packing.Plan) string {
	for _, o := range plan.Orders {
		switch {
		case o.Reason != nil:
			return ofPrint(p, o) + p.Told(*o.Reason) + quarrel(o) + bare(p)
		case o.Parcels == 0:
			return "the planner found no way to send it" + bare(p)
		}
	}
	return ""
}

// ofPrint names the print that holds an order of several, before the reason; "" when it is no single one.
func ofPrint(p packing.Problem, o packing.OrderPlan) string {
	w := whyWords{p: &p}
	for _, x := range p.Orders {
		if x.ID == o.ID && len(x.Sheets) > 1 && o.Sheet != "" {
			return w.sheet(o.ID, o.Sheet) + ": "
		}
	}
	return ""
}
