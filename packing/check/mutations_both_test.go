package check_test

import (
	"slices"

	"solander/packing"
)

// both spoils the first parcel that holds a tube with a flat pack.
func both(spoil func(p *packing.Problem, parcel *packing.Parcel) bool) func(*packing.Problem, *packing.Plan) bool {
	return first(func(p *packing.Problem, parcel *packing.Parcel) bool {
		return parcel.Shape == packing.Both && spoil(p, parcel)
	})
}

func init() {
	for name, m := range map[string]mutation{
		"a tube that lies nowhere": {"plan.roll", both(func(_ *packing.Problem, p *packing.Parcel) bool { p.Roll.Lies = ""; return true })},
		"a tube that lies askew":   {"plan.roll", both(func(_ *packing.Problem, p *packing.Parcel) bool { p.Roll.Lies = "across"; return true })},
		"a tube with a pack where all is rolled": {"plan.roll", first(func(_ *packing.Problem, p *packing.Parcel) bool {
			if p.Shape == packing.Rolled {
				p.Roll.Lies = packing.OnPack
			}
			return p.Shape == packing.Rolled
		})},
		"a roll with a sheet too many": {"plan.roll", both(func(_ *packing.Problem, p *packing.Parcel) bool {
			p.Roll.Pack += 300_000
			return true
		})},
		"the tube left out": {"plan.layers", both(func(_ *packing.Problem, p *packing.Parcel) bool {
			i := slices.IndexFunc(p.Layers, func(e packing.LayerPlan) bool { return e.Kind == packing.Tube })
			p.Layers, p.Lines = slices.Delete(p.Layers, i, i+1), slices.Delete(p.Lines, i, i+1)
			return true
		})},
		"a layer of the rolled round a flat sheet, too": {"plan.layers", both(func(p *packing.Problem, parcel *packing.Parcel) bool {
			return moreRound(p, parcel, packing.Rolled)
		})},
		"a layer of the flat round a rolled sheet, too": {"plan.layers", both(func(p *packing.Problem, parcel *packing.Parcel) bool {
			return moreRound(p, parcel, packing.Flat)
		})},
		"two tubes": {"plan.layers", both(func(_ *packing.Problem, parcel *packing.Parcel) bool {
			for i, e := range parcel.Layers {
				if e.Kind == packing.Tube {
					parcel.Layers, parcel.Lines = slices.Insert(parcel.Layers, i, e), slices.Insert(parcel.Lines, i, parcel.Lines[i])
					return true
				}
			}
			return false
		})},
	} {
		mutations[name] = m
	}
}

// moreRound gives a sheet of the other sort a layer per sheet, too.
func moreRound(p *packing.Problem, parcel *packing.Parcel, of packing.Shape) bool {
	w := wrapOf(p, parcel)
	for i, e := range parcel.Layers {
		if e.Sheet == "" || w.Layers[e.Layer].Of != of {
			continue
		}
		for _, c := range parcel.Contents {
			if slices.ContainsFunc(parcel.Layers, func(o packing.LayerPlan) bool { return o.Layer == e.Layer && o.Sheet == c.Sheet && o.Order == e.Order }) || parcel.Orders != nil {
				continue
			}
			more, line := e, parcel.Lines[i]
			more.Sheet, more.Count = c.Sheet, e.Count
			parcel.Layers, parcel.Lines = slices.Insert(parcel.Layers, i+1, more), slices.Insert(parcel.Lines, i+1, line)
			return true
		}
	}
	return false
}

func wrapOf(p *packing.Problem, parcel *packing.Parcel) *packing.Wrap {
	return &p.Wraps[slices.IndexFunc(p.Wraps, func(w packing.Wrap) bool { return w.ID == parcel.Wrap })]
}
