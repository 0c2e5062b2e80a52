package parcel

import (
	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/tariff"
)

// fineness looks whether smaller is always at least as good for this order: a price or fee that falls
// with size or mass, a rule for light parcels, or a service's lower limit that some packaging may or may
// not meet, forbid leaving anything out for being larger.
func (k *Kit) fineness(o *Order) fine {
	f := fine{size: !o.Way.GrowsWithSize, mass: !o.Way.GrowsWithMass, stiff: !o.Way.GrowsWithStiffness}
	for i := range k.P.Rules {
		f.mass = f.mass || k.P.Rules[i].When.MassTo != nil
	}
	for _, of := range o.Way.Offers {
		for i := range of.Bounds {
			f.size = f.size || k.floorMatters(o, &of.Bounds[i])
		}
	}
	return f
}

// floorMatters reports whether some outermost item is between: its smallest parcel breaks the floor, its
// largest does not.
func (k *Kit) floorMatters(o *Order, b *tariff.Bound) bool {
	for _, w := range k.Wraps {
		most := k.thickest(o, w)
		for _, it := range w.Stages[len(w.Stages)-1].Choices {
			low, high := o.extent(it, most)
			if !b.Met(&low) && b.Met(&high) {
				return true
			}
		}
	}
	return false
}

// thickest is more than the contents of a wrap's last layer can be thick when the whole order is in it.
func (k *Kit) thickest(o *Order, w *means.Wrap) measure.Length {
	var t measure.Length
	for _, g := range o.Groups {
		t += measure.Length(g.Copies) * g.Leaf.Thickness
	}
	for i := range w.Stages[:len(w.Stages)-1] {
		l := &w.Stages[i]
		pieces := measure.Length(l.Number)
		if l.Each != packing.PerStack {
			pieces *= measure.Length(o.Total)
		}
		var each measure.Length
		for _, it := range l.Choices {
			each = max(each, it.Caliper+2*it.Wall, it.OutHigh, it.OutAcross)
		}
		t += pieces * each
	}
	return t
}

// extent returns parcels no larger and no smaller than any with this outermost item.
func (o *Order) extent(it *means.Item, thickest measure.Length) (low, high tariff.Parcel) {
	switch it.Kind {
	case packing.Tube:
		cut := it.Cuts[len(it.Cuts)-1] - it.Cuts[0]
		low.Size = tariff.SizeOf(it.OutLength-cut, it.OutAcross, it.OutAcross)
		high.Size = tariff.SizeOf(it.OutLength, it.OutAcross, it.OutAcross)
	case packing.Carton:
		cut := it.Cuts[len(it.Cuts)-1] - it.Cuts[0]
		long, short := it.LeastBase()
		low.Size = tariff.SizeOf(long, short, it.OutHigh-cut)
		high.Size = tariff.SizeOf(it.OutLong, it.OutShort, it.OutHigh)
	default:
		thin := o.Groups[0].Leaf.Thickness
		for _, g := range o.Groups {
			thin = min(thin, g.Leaf.Thickness)
		}
		low.Size = tariff.SizeOf(it.OutLong, it.OutShort, thin+2*it.Wall)
		high.Size = tariff.SizeOf(it.OutLong, it.OutShort, thickest+2*it.Wall)
	}
	low.Form, high.Form = means.FormOf(it), means.FormOf(it)
	return low, high
}
