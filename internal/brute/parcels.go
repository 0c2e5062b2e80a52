package brute

import (
	"slices"
	"strings"

	"solander/measure"
	"solander/packing"
)

// daysUnknown stands for the days of a service that states none. Source: docs/formats/plan.md, section 1.
const daysUnknown = 100

// parcels is every admissible parcel with these contents; of those with equal use of stock the best.
func (s *Search) parcels(o *packing.Order, contents []packing.Content) table {
	out := table{}
	s.each(o, contents, func(choice *packing.Parcel) {
		packed, broken := s.reckoner.Pack(choice)
		if broken != nil {
			return
		}
		use := s.uses(choice)
		for _, offer := range s.offers {
			parcel, broken := s.reckoner.Send(packed, offer)
			if broken != nil {
				continue
			}
			w := worth{cost: parcel.Cost, parcels: 1, days: daysUnknown}
			if !parcel.Arrives.IsZero() {
				w.days = parcel.Arrives.Sub(s.problem.Day)
			}
			if old, known := out[use]; known && w.compare(old.worth) >= 0 {
				continue
			}
			parcel.Layers = slices.Clone(parcel.Layers)
			out[use] = newChoice(w, parcel)
		}
	})
	return out
}

func newChoice(w worth, p packing.Parcel) choice { return choice{w, []*packing.Parcel{&p}} }

func (s *Search) uses(p *packing.Parcel) uses {
	var u uses
	for _, e := range p.Layers {
		if i, scarce := s.scarce[e.Item]; scarce {
			u[i] += e.Count
		}
	}
	return u
}

// Reasons is the first rule that breaks, for every option of contents that none admits: each wrap, item,
// cut, axis and service.
func (s *Search) Reasons(order string, contents []packing.Content) []packing.Reason {
	var out []packing.Reason
	i := slices.IndexFunc(s.problem.Orders, func(o packing.Order) bool { return o.ID == order })
	s.each(&s.problem.Orders[i], contents, func(choice *packing.Parcel) {
		packed, broken := s.reckoner.Pack(choice)
		if broken != nil {
			if !strings.HasPrefix(broken.Rule, "plan.") { // such as an axis that is the side of no sheet
				out = append(out, *broken)
			}
			return
		}
		for _, offer := range s.offers {
			if _, broken := s.reckoner.Send(packed, offer); broken != nil {
				out = append(out, *broken)
			}
		}
	})
	return out
}

// slot is the entries of a parcel's layers that share an item: all those of alike sheets in a layer.
type slot struct {
	entries []int
	items   []string
}

// each calls do with every choice of wrap, items, cuts and axis, admissible or not. The choice may not be
// kept: its layers change.
func (s *Search) each(o *packing.Order, contents []packing.Content, do func(*packing.Parcel)) {
	for i := range s.problem.Wraps {
		wrap := &s.problem.Wraps[i]
		choice := &packing.Parcel{Order: o.ID, Contents: contents, Wrap: wrap.ID}
		slots := s.slots(o, wrap, choice)
		s.items(o, wrap, choice, slots, do)
	}
}

// slots lays out the entries of the layers, still without items.
func (s *Search) slots(o *packing.Order, wrap *packing.Wrap, choice *packing.Parcel) []slot {
	n := 0
	for _, c := range choice.Contents {
		n += c.Copies
	}
	var out []slot
	for li := range wrap.Layers {
		layer := &wrap.Layers[li]
		count := max(layer.Count, 1)
		items := layer.Items
		if len(items) == 0 {
			items = s.ofKind(layer.Kind)
		}
		add := func(count int, sheet string) int {
			choice.Layers = append(choice.Layers, packing.LayerPlan{Layer: li, Kind: layer.Kind, Count: count, Sheet: sheet})
			return len(choice.Layers) - 1
		}
		switch layer.Per {
		case packing.PerSheet:
			first := len(out)
			for i, c := range choice.Contents {
				e := add(count*c.Copies, c.Sheet)
				j := slices.IndexFunc(choice.Contents[:i], func(b packing.Content) bool { return alike(find(o, b.Sheet), find(o, c.Sheet)) })
				if j < 0 {
					out = append(out, slot{[]int{e}, items})
					continue
				}
				k := first + slices.IndexFunc(out[first:], func(t slot) bool { return slices.Contains(t.entries, e-i+j) })
				out[k].entries = append(out[k].entries, e)
			}
		case packing.PerGap:
			if n > 1 {
				out = append(out, slot{[]int{add(count*(n-1), "")}, items})
			}
		default:
			out = append(out, slot{[]int{add(count, "")}, items})
		}
	}
	return out
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

func find(o *packing.Order, sheet string) *packing.Sheet {
	return &o.Sheets[slices.IndexFunc(o.Sheets, func(s packing.Sheet) bool { return s.ID == sheet })]
}

// alike compares sheets as given: two that differ only in how their mass is stated count as different
// here, so problems for this search state it in one way.
func alike(a, b *packing.Sheet) bool {
	x, y := *a, *b
	x.ID, y.ID, x.Note, y.Note, x.Copies, y.Copies, x.Roll, y.Roll = "", "", "", "", 0, 0, nil, nil
	return x == y && (a.Roll == nil) == (b.Roll == nil) && (a.Roll == nil || *a.Roll == *b.Roll)
}

// items fills the slots in every way, then cuts.
func (s *Search) items(o *packing.Order, wrap *packing.Wrap, choice *packing.Parcel, slots []slot, do func(*packing.Parcel)) {
	if len(slots) == 0 {
		s.cuts(o, wrap, choice, 0, do)
		return
	}
	for _, item := range slots[0].items {
		for _, e := range slots[0].entries {
			choice.Layers[e].Item = item
		}
		s.items(o, wrap, choice, slots[1:], do)
	}
}

// cuts tries each size of every item that may be cut, then the axes.
func (s *Search) cuts(o *packing.Order, wrap *packing.Wrap, choice *packing.Parcel, at int, do func(*packing.Parcel)) {
	if at == len(choice.Layers) {
		s.axes(o, wrap, choice, do)
		return
	}
	e := &choice.Layers[at]
	e.CutTo = 0
	s.cuts(o, wrap, choice, at+1, do)
	item := s.item(e.Item)
	if item.Cut == nil {
		return
	}
	full := item.Height
	if item.Kind == packing.Tube {
		full = item.Length
	}
	for size := item.Cut.Shortest; size < full; size += item.Cut.Step {
		e.CutTo = size
		s.cuts(o, wrap, choice, at+1, do)
	}
	e.CutTo = 0
}

func (s *Search) item(id string) *packing.Item {
	return &s.problem.Shelf[slices.IndexFunc(s.problem.Shelf, func(i packing.Item) bool { return i.ID == id })]
}

// axes tries each side that a sheet may have, in its film or without; what is none is told by Pack.
func (s *Search) axes(o *packing.Order, wrap *packing.Wrap, choice *packing.Parcel, do func(*packing.Parcel)) {
	choice.Roll = nil
	if wrap.Shape != packing.Rolled {
		do(choice)
		return
	}
	var sides []measure.Length
	for _, c := range choice.Contents {
		sheet := find(o, c.Sheet)
		sides = append(sides, sheet.Width, sheet.Height)
	}
	for _, e := range choice.Layers {
		if item := s.item(e.Item); item.Kind == packing.Sleeve {
			sides = append(sides, item.Width+2*item.Wall, item.Height+2*item.Wall)
			if item.Outer != nil {
				sides = append(sides, item.Outer.Width, item.Outer.Height)
			}
		}
	}
	slices.Sort(sides)
	for _, side := range slices.Compact(sides) {
		choice.Roll = &packing.RollPlan{Axis: side}
		do(choice)
	}
}
