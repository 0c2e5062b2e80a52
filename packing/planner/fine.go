package planner

import (
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// fineness looks whether smaller is always at least as good for this order: a price or fee that falls
// with size or mass, a rule for light parcels, or a service's lower limit that some packaging may or may
// not meet, forbid leaving anything out for being larger.
func (k *kit) fineness(o *order) fine {
	f := fine{size: !o.way.growsWithSize, mass: !o.way.growsWithMass, stiff: !o.way.growsWithStiffness}
	for i := range k.p.Rules {
		f.mass = f.mass || k.p.Rules[i].When.MassTo != nil
	}
	for _, of := range o.way.offers {
		for i := range of.floors {
			f.size = f.size || k.floorMatters(o, &of.floors[i])
		}
	}
	return f
}

// floorMatters reports whether some outermost item is between: its smallest parcel breaks the floor, its
// largest does not.
func (k *kit) floorMatters(o *order, b *tariff.Bound) bool {
	for _, w := range k.wraps {
		most := k.thickest(o, w)
		for _, it := range w.layers[len(w.layers)-1].items {
			low, high := o.extent(it, most)
			if !b.Met(&low) && b.Met(&high) {
				return true
			}
		}
	}
	return false
}

// thickest is more than the contents of a wrap's last layer can be thick when the whole order is in it.
func (k *kit) thickest(o *order, w *wrap) measure.Length {
	var t measure.Length
	for _, g := range o.groups {
		t += measure.Length(g.copies) * g.leaf.Thickness
	}
	for i := range w.layers[:len(w.layers)-1] {
		l := &w.layers[i]
		pieces := measure.Length(l.count)
		if l.per != packing.PerStack {
			pieces *= measure.Length(o.total)
		}
		var each measure.Length
		for _, it := range l.items {
			each = max(each, it.Caliper+2*it.Wall, it.outHigh, it.outAcross)
		}
		t += pieces * each
	}
	return t
}

// extent returns parcels no larger and no smaller than any with this outermost item.
func (o *order) extent(it *item, thickest measure.Length) (low, high tariff.Parcel) {
	switch it.Kind {
	case packing.Tube:
		cut := it.cuts[len(it.cuts)-1] - it.cuts[0]
		low.Size = tariff.SizeOf(it.outLength-cut, it.outAcross, it.outAcross)
		high.Size = tariff.SizeOf(it.outLength, it.outAcross, it.outAcross)
	case packing.Carton:
		cut := it.cuts[len(it.cuts)-1] - it.cuts[0]
		long, short := it.leastBase()
		low.Size = tariff.SizeOf(long, short, it.outHigh-cut)
		high.Size = tariff.SizeOf(it.outLong, it.outShort, it.outHigh)
	default:
		thin := o.groups[0].leaf.Thickness
		for _, g := range o.groups {
			thin = min(thin, g.leaf.Thickness)
		}
		low.Size = tariff.SizeOf(it.outLong, it.outShort, thin+2*it.Wall)
		high.Size = tariff.SizeOf(it.outLong, it.outShort, thickest+2*it.Wall)
	}
	low.Form, high.Form = formOf(it), formOf(it)
	return low, high
}

func formOf(it *item) tariff.Form {
	if it.Kind == packing.Tube && !it.Cornered {
		return tariff.Cylinder
	}
	return tariff.Box
}
