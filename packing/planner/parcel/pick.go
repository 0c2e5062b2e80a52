package parcel

import (
	"cmp"
	"slices"

	"solander/packing"
	"solander/packing/planner/means"
	"solander/tariff"
)

// Worth is what is minimised, in the order of its fields.
type Worth struct {
	Held    int
	Money   int64
	Parcels int
	Days    int
}

func (a Worth) Plus(b Worth) Worth {
	return Worth{a.Held + b.Held, a.Money + b.Money, a.Parcels + b.Parcels, a.Days + b.Days}
}

func (a Worth) Less(b Worth) bool {
	switch {
	case a.Held != b.Held:
		return a.Held < b.Held
	case a.Money != b.Money:
		return a.Money < b.Money
	case a.Parcels != b.Parcels:
		return a.Parcels < b.Parcels
	}
	return a.Days < b.Days
}

// Pick is one admissible parcel for a set of sheets.
type Pick struct {
	Worth
	Set    []int
	Use    []int32
	Wrap   *means.Wrap
	Final  Final
	Offer  *means.Offer
	Extras tariff.Extras
}

// Picks returns the best parcel for a set of an order's sheets; when stock is watched, the best for each
// use of it that nothing else beats. None when the set cannot go as one parcel.
func (k *Kit) Picks(o *Order, set []int) []Pick {
	f := o.Facts(set)
	rules := k.Concerned(o, set, f)
	var out []Pick
	for _, w := range k.Wraps {
		if !o.Suits(w, set, f) {
			continue
		}
		out = k.PicksBy(o, set, f, rules, w, out)
	}
	return out
}

// Suits reports whether the number of sheets and the sheets' leave to be rolled suit a wrap; of one of both shapes,
// whether some are rolled and some lie flat.
func (o *Order) Suits(w *means.Wrap, set []int, f Facts) bool {
	switch {
	case f.N < w.Fewest || w.Most > 0 && f.N > w.Most:
		return false
	case w.Shape == packing.Both:
		rolled := o.Number(o.Within(w, packing.Rolled, set))
		return rolled > 0 && rolled < f.N
	}
	return w.Shape == packing.Flat || f.NoRoll < 0
}

func (k *Kit) PicksBy(o *Order, set []int, f Facts, rules []*packing.Rule, w *means.Wrap, out []Pick) []Pick {
	weighed := slices.ContainsFunc(rules, func(r *packing.Rule) bool { return Weighs(&r.When) })
	d := demand{}
	if !weighed {
		if d = o.demands(rules, f, w, 0); d.barred || len(d.offers) == 0 {
			return out
		}
	}
	work := k.Work(w, f.N)
	k.NewFold(o, w, set, f).Run(func(c *Final) {
		if weighed {
			d = o.demands(rules, f, w, c.Mass)
		}
		p := k.Parcel(c, f)
		base := c.Cost + work
		for _, of := range d.offers {
			if len(k.Track) == 0 && len(out) > 0 && base+of.Low > out[0].Money {
				continue
			}
			postage, ok := of.Cost(&p, d.extras)
			if !ok {
				continue
			}
			out = addToFront(out, Pick{Worth: Worth{0, base + postage, 1, of.Days}, Set: set, Use: c.use, Wrap: w, Final: *c, Offer: of, Extras: d.extras})
		}
	})
	return out
}

func (k *Kit) Parcel(c *Final, f Facts) tariff.Parcel {
	return tariff.Parcel{Size: c.Size, Form: c.Form, Stiff: c.Stiff, Mass: c.Mass, Value: f.Value, Container: c.Outer.Container, IssuedFor: k.classes(c.issued)}
}

// addToFront adds a pick unless one that is there is at least as good; without watched stock one is left.
func addToFront(list []Pick, p Pick) []Pick {
	for i := range list {
		if !p.Worth.Less(list[i].Worth) && NoMore(list[i].Use, p.Use) {
			return list
		}
	}
	out := list[:0]
	for i := range list {
		if list[i].Worth.Less(p.Worth) || !NoMore(p.Use, list[i].Use) {
			out = append(out, list[i])
		}
	}
	return append(out, p)
}

func NoMore(a, b []int32) bool {
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}

func (a Worth) Compare(b Worth) int {
	return cmp.Or(cmp.Compare(a.Held, b.Held), cmp.Compare(a.Money, b.Money), cmp.Compare(a.Parcels, b.Parcels), cmp.Compare(a.Days, b.Days))
}
