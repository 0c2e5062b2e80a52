package house

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"

	"solander/dayplan"
	"solander/edition"
	"solander/measure"
	"solander/packing"
	"solander/studio"
)

// Propose returns the keys of the packaging that an edition's prints need, by its size alone: for each wrap that takes them the
// smallest piece of each layer into which what is inside it goes, with the wrap's clearances. It prices nothing, and a plan may find
// something better among what else is ticked; a test holds that the proposed alone send one print and two.
// A print longer than rolledFrom is proposed the tube as well as the carton.
func Propose(e edition.Edition, u measure.System, wraps []packing.Wrap, shelf []studio.ShelfItem) []string {
	var out []string
	long, short := max(e.Width, e.Height), min(e.Width, e.Height)
	if short <= 0 {
		return nil
	}
	for _, w := range wraps {
		if w.Shape == packing.Rolled && long <= rolledFrom(u) || w.Shape == packing.Both { // prints of two kinds go into that
			continue
		}
		keys, ok := proposeWrap(w, long, short, shelf)
		if !ok {
			continue
		}
		for _, k := range keys {
			if !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	return out
}

// rolledFrom is the long side up to which prints go flat, by the first of the default rules.
func rolledFrom(u measure.System) measure.Length {
	if u == measure.Metric {
		return millimetres(500)
	}
	return 19 * measure.Inch
}

// proposeWrap goes through the layers of a wrap, inside out.
func proposeWrap(w packing.Wrap, long, short measure.Length, shelf []studio.ShelfItem) (keys []string, ok bool) {
	for _, l := range w.Layers {
		c := l.Clearance
		needLong, needShort := long+2*c.Sides, short+2*c.Sides
		if l.Kind == packing.Tube { // rolled along its long side
			needLong, needShort = short+2*c.Ends, 0
		}
		best := smallest(l.Kind, needLong, needShort, shelf)
		if best == nil {
			if l.Kind == packing.Tissue || l.Kind == packing.Sleeve {
				continue // it can be left out of the wrap
			}
			return nil, false
		}
		keys = append(keys, best.ID)
		switch a, b := sides(*best); l.Kind {
		case packing.Tissue, packing.Tube:
		case packing.Board:
			long, short = a, b
		default:
			long, short = a+2*best.Wall, b+2*best.Wall
		}
	}
	return keys, len(keys) > 0
}

// sides are the longer and the shorter side into which something goes; of a tube its length alone.
func sides(it packing.Item) (long, short measure.Length) {
	switch it.Kind {
	case packing.Tube:
		return it.Length, 0
	case packing.Carton:
		return max(it.Length, it.Width), min(it.Length, it.Width)
	}
	return max(it.Width, it.Height), min(it.Width, it.Height)
}

func smallest(kind packing.Kind, long, short measure.Length, shelf []studio.ShelfItem) *packing.Item {
	var best *packing.Item
	for i := range shelf {
		it := &shelf[i].Spec
		a, b := sides(*it)
		if it.Kind != kind || it.IssuedFor != "" || a < long || b < short {
			continue
		}
		if best == nil {
			best = it
			continue
		}
		x, y := sides(*best)
		if cmp.Or(cmp.Compare(a+b, x+y), cmp.Compare(a, x)) < 0 {
			best = it
		}
	}
	return best
}

// kindHeads are the kinds in packing order, as a heading says them.
var kindHeads = []struct {
	kind packing.Kind
	head string
}{
	{packing.Sleeve, "Sleeves"},
	{packing.Tissue, "Tissue"},
	{packing.Board, "Stiff boards"},
	{packing.Envelope, "Stiff envelopes"},
	{packing.Carton, "Cartons"},
	{packing.Tube, "Tubes"},
}

// ShelfGroup is packaging under one heading: its places in the shelf that was offered.
type ShelfGroup struct {
	Head     string
	Items    []int
	Proposed bool // for the first edition, each with Count pieces
}

// Count is how many pieces of packaging set-up proposes: one pack, as it is usually sold (common practice, no source). It is a
// number to type over, for only she can count her shelf.
func Count(it studio.ShelfItem) int { return max(1, it.Pack) }

// Proposed is the packaging that a first edition needs, with the counts proposed.
func Proposed(in SetUpIn, shelf []studio.ShelfItem) []studio.ShelfItem {
	var out []studio.ShelfItem
	for _, g := range Offered(in, shelf) {
		for _, at := range g.Items {
			if it := shelf[at]; g.Proposed {
				it.Stock = Count(it)
				out = append(out, it)
			}
		}
	}
	return out
}

// Offered groups the shelf that set-up offers: what is proposed for the first edition under its own heading, then the rest by kind.
func Offered(in SetUpIn, shelf []studio.ShelfItem) []ShelfGroup {
	proposed := Propose(in.Edition, in.Settings.Units, in.Settings.Wraps, shelf)
	var out []ShelfGroup
	if len(proposed) > 0 {
		g := ShelfGroup{Head: fmt.Sprintf("For %s: these", in.Edition.Size(in.Settings.Units)), Proposed: true}
		for i, it := range shelf {
			if slices.Contains(proposed, it.Spec.ID) {
				g.Items = append(g.Items, i)
			}
		}
		out = append(out, g)
	}
	for _, k := range kindHeads {
		g := ShelfGroup{Head: k.head}
		for i, it := range shelf {
			if it.Spec.Kind == k.kind && !slices.Contains(proposed, it.Spec.ID) {
				g.Items = append(g.Items, i)
			}
		}
		if len(g.Items) > 0 {
			out = append(out, g)
		}
	}
	return out
}

// Follow lets the ways to pack follow the packaging that was chosen, whichever face asked for it, and says what that changed, a sentence
// each. A name that is not on the shelf leaves its layer (see LeaveOut). A default wrap loses a sleeve or tissue of which there is none; one
// that lacks anything else goes, and with it what rules say of it, and the rules that leave no wrap. A wrap of her own stays. With nothing
// chosen all stay, for the shelf comes later.
func (in SetUpIn) Follow() (SetUpIn, []string) {
	in, said := in.LeaveOut()
	if in.Settings.Margin == DefaultMargin(measure.Imperial) { // the scale steps in the units that were chosen
		in.Settings.Margin = DefaultMargin(in.Settings.Units)
	}
	has := map[packing.Kind]bool{}
	for _, it := range in.Shelf {
		has[it.Spec.Kind] = true
	}
	var kept []packing.Wrap
	var lost []string
	for _, w := range in.Settings.Wraps {
		if !isDefault(w) {
			kept = append(kept, w)
			continue
		}
		made, lacks, ok := madeOf(w, has)
		if !ok {
			lost = append(lost, fmt.Sprintf("the wrap %s is left out: there is no %s on the shelf", dayplan.WrapName(w), lacks))
			continue
		}
		if lacks != "" {
			lost = append(lost, fmt.Sprintf("the wrap %s goes without a %s: there is none on the shelf", dayplan.WrapName(w), lacks))
		}
		kept = append(kept, made)
	}
	if len(kept) == 0 {
		return in, said
	}
	in.Settings.Wraps = kept
	rules, gone := rulesOf(in.Settings.Rules, kept)
	in.Settings.Rules = rules
	return in, slices.Concat(said, lost, gone)
}

func isDefault(w packing.Wrap) bool {
	return slices.ContainsFunc(slices.Concat(defaultWraps(measure.Imperial), defaultWraps(measure.Metric)), func(d packing.Wrap) bool { return reflect.DeepEqual(d, w) })
}

// rulesOf are the rules that still say something of the wraps there are, and leave one of them.
func rulesOf(all []packing.Rule, wraps []packing.Wrap) (rules []packing.Rule, said []string) {
	for _, r := range all {
		there := func(id string) bool {
			return slices.ContainsFunc(wraps, func(w packing.Wrap) bool { return w.ID == id })
		}
		r.Then.NotWraps = slices.DeleteFunc(slices.Clone(r.Then.NotWraps), func(id string) bool { return !there(id) })
		left := slices.ContainsFunc(wraps, func(w packing.Wrap) bool {
			return (r.Then.Shape == "" || w.Shape == r.Then.Shape) && !slices.Contains(r.Then.NotWraps, w.ID)
		})
		if len(r.Then.NotWraps) == 0 {
			r.Then.NotWraps = nil
		}
		if left && !reflect.DeepEqual(r.Then, packing.Then{}) {
			rules = append(rules, r)
			continue
		}
		said = append(said, fmt.Sprintf("the house rule “%s” is left out: the wraps leave it nothing to say", cmp.Or(r.Text, r.ID)))
	}
	return rules, said
}

// madeOf is a wrap made of the kinds that are there, and the first one that it lacks; false when it cannot be made.
func madeOf(w packing.Wrap, has map[packing.Kind]bool) (made packing.Wrap, lacks packing.Kind, ok bool) {
	var layers []packing.Layer
	for _, l := range w.Layers {
		switch {
		case has[l.Kind]:
			layers = append(layers, l)
		case l.Kind == packing.Sleeve || l.Kind == packing.Tissue:
			lacks = l.Kind
		default:
			return w, l.Kind, false
		}
	}
	w.Layers = layers
	return w, lacks, true
}
