package brute

import (
	"iter"
	"slices"

	"solander/measure"
	"solander/packing"
)

// options are the choices for contents in one wrap.
type options struct {
	*Search
	wrap   *packing.Wrap
	choice packing.Parcel
	level  int // tiers, when some sheets lie side by side; 0: each lies on the one below
	yield  func(*packing.Parcel) bool
}

// slot is the entries of a parcel's layers that share an item: all those of alike sheets in a layer.
type slot struct {
	entries []int
	items   []string
}

// each is every choice of wrap, items, cuts and axis, admissible or not. A choice may not be kept: its
// layers change.
func (s *Search) each(contents []packing.Content) iter.Seq[*packing.Parcel] {
	return func(yield func(*packing.Parcel) bool) {
		for i := range s.problem.Wraps {
			wrap := &s.problem.Wraps[i]
			for level := range tiersOf(wrap, contents) {
				t := options{s, wrap, packing.Parcel{Order: contents[0].Order, Contents: contents, Wrap: wrap.ID}, level, yield}
				if !t.items(t.slots()) {
					return
				}
			}
		}
	}
}

// tiersOf is how many tiers sheets may lie in when some lie side by side, from 1 on; and 0, when none do.
func tiersOf(wrap *packing.Wrap, contents []packing.Content) int {
	n := 0
	for _, c := range contents {
		n += c.Copies
	}
	if wrap.Beside < 2 {
		return 1
	}
	return n
}

// slots lays out the entries of the layers, still without items.
func (t *options) slots() []slot {
	var out []slot
	for li := range t.wrap.Layers {
		layer := &t.wrap.Layers[li]
		count := max(layer.Count, 1)
		contents, n := t.round(layer)
		items := layer.Items
		if len(items) == 0 {
			items = t.ofKind(layer.Kind)
		}
		add := func(count int, of packing.Content) int {
			e := packing.LayerPlan{Layer: li, Kind: layer.Kind, Count: count, Sheet: of.Sheet}
			if t.choice.Contents[0].Order != t.choice.Contents[len(t.choice.Contents)-1].Order {
				e.Order = of.Order
			}
			t.choice.Layers = append(t.choice.Layers, e)
			return len(t.choice.Layers) - 1
		}
		switch layer.Per {
		case packing.PerSheet:
			first := len(out)
			for i, c := range contents {
				e := add(count*c.Copies, c)
				j := slices.IndexFunc(contents[:i], func(b packing.Content) bool { return b.Order == c.Order && Alike(t.find(b), t.find(c)) })
				if j < 0 {
					out = append(out, slot{[]int{e}, items})
					continue
				}
				k := first + slices.IndexFunc(out[first:], func(s slot) bool { return slices.Contains(s.entries, e-i+j) })
				out[k].entries = append(out[k].entries, e)
			}
		case packing.PerGap:
			if n > 1 {
				out = append(out, slot{[]int{add(count*(n-1), packing.Content{})}, items})
			}
		default:
			out = append(out, slot{[]int{add(count, packing.Content{})}, items})
		}
	}
	return out
}

// round is what of the contents a layer goes round, and in how many tiers.
func (t *options) round(layer *packing.Layer) (contents []packing.Content, tiers int) {
	for _, c := range t.choice.Contents {
		if layer.Of == "" || t.rolls(c) == (layer.Of == packing.Rolled) {
			contents, tiers = append(contents, c), tiers+c.Copies
		}
	}
	if t.level > 0 {
		tiers = t.level
	}
	return contents, tiers
}

// rolls reports whether a sheet is rolled. Source: docs/formats/physics.md, sections 3 and 6.
func (t *options) rolls(c packing.Content) bool {
	s := t.find(c)
	switch t.wrap.Shape {
	case packing.Rolled:
		return true
	case packing.Both:
		return s.Roll != nil && (s.Width > t.wrap.FlatTo || s.Height > t.wrap.FlatTo)
	}
	return false
}

func (s *Search) ofKind(kind packing.Kind) []string {
	var out []string
	for i := range s.problem.Shelf {
		if s.problem.Shelf[i].Kind == kind {
			out = append(out, s.problem.Shelf[i].ID)
		}
	}
	return out
}

func (s *Search) find(c packing.Content) *packing.Sheet {
	for i := range s.problem.Orders {
		if s.problem.Orders[i].ID != c.Order {
			continue
		}
		sheets := s.problem.Orders[i].Sheets
		return &sheets[slices.IndexFunc(sheets, func(s packing.Sheet) bool { return s.ID == c.Sheet })]
	}
	return nil
}

// Alike compares sheets as given: two that differ only in how their mass is stated count as different
// here, so problems for this search state it in one way.
func Alike(a, b *packing.Sheet) bool {
	x, y := *a, *b
	if x.Width != y.Width { // which side is the width does not matter
		x.Width, x.Height = x.Height, x.Width
	}
	x.ID, y.ID, x.Note, y.Note, x.Copies, y.Copies, x.Roll, y.Roll = "", "", "", "", 0, 0, nil, nil
	return x == y && (a.Roll == nil) == (b.Roll == nil) && (a.Roll == nil || *a.Roll == *b.Roll)
}

// items fills the slots in every way, then cuts. It reports false when no more is wanted.
func (t *options) items(slots []slot) bool {
	if len(slots) == 0 {
		return t.cuts(0)
	}
	for _, item := range slots[0].items {
		for _, e := range slots[0].entries {
			t.choice.Layers[e].Item = item
		}
		if !t.items(slots[1:]) {
			return false
		}
	}
	return true
}

// cuts tries each size of every item that may be cut, then the axes.
func (t *options) cuts(at int) bool {
	if at == len(t.choice.Layers) {
		return t.axes()
	}
	e := &t.choice.Layers[at]
	defer func() { e.CutTo, e.CutLength, e.CutWidth = 0, 0, 0 }()
	item := t.item(e.Item)
	heights, lengths, widths := []measure.Length{0}, []measure.Length{0}, []measure.Length{0}
	if c := item.Cut; c != nil {
		heights = steps(c.Shortest, c.Step, map[bool]measure.Length{true: item.Length, false: item.Height}[item.Kind == packing.Tube])
	}
	if c := item.CutBase; c != nil {
		lengths, widths = steps(c.ShortestLength, c.Step, item.Length), steps(c.ShortestWidth, c.Step, item.Width)
	}
	for _, e.CutTo = range heights {
		for _, e.CutLength = range lengths {
			for _, e.CutWidth = range widths {
				if !t.cuts(at + 1) {
					return false
				}
			}
		}
	}
	return true
}

// steps is uncut, and every size that a side may be cut to.
func steps(shortest, step, full measure.Length) []measure.Length {
	out := []measure.Length{0}
	for s := shortest; shortest > 0 && s < full; s += step {
		out = append(out, s)
	}
	return out
}

func (s *Search) item(id string) *packing.Item {
	return &s.problem.Shelf[slices.IndexFunc(s.problem.Shelf, func(i packing.Item) bool { return i.ID == id })]
}

// axes tries each side that a sheet may have, in its film or without; what is none is told by Pack.
func (t *options) axes() bool {
	t.choice.Roll = nil
	if t.level > 0 {
		return t.tiers(t.level)
	}
	if !slices.ContainsFunc(t.choice.Contents, t.rolls) {
		return t.yield(&t.choice)
	}
	var sides []measure.Length
	for _, c := range t.choice.Contents {
		sheet := t.find(c)
		sides = append(sides, sheet.Width, sheet.Height)
	}
	for _, e := range t.choice.Layers {
		if item := t.item(e.Item); item.Kind == packing.Sleeve {
			sides = append(sides, item.Width+2*item.Wall, item.Height+2*item.Wall)
			if item.Outer != nil {
				sides = append(sides, item.Outer.Width, item.Outer.Height)
			}
		}
	}
	slices.Sort(sides)
	lies := []packing.Lies{""}
	if t.wrap.Shape == packing.Both {
		lies = []packing.Lies{packing.OnPack, packing.BesideLong, packing.BesideShort}
	}
	for _, side := range slices.Compact(sides) {
		for _, l := range lies {
			t.choice.Roll = &packing.RollPlan{Axis: side, Lies: l}
			if !t.yield(&t.choice) {
				return false
			}
		}
	}
	return true
}
