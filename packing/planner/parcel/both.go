package parcel

import (
	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
)

// lies are the ways that a tube may lie with a flat pack, in the order in which they are looked at.
var lies = []packing.Lies{packing.OnPack, packing.BesideLong, packing.BesideShort}

// both rolls some of the sheets, lays the others flat, and puts the tube with the pack in every way.
func (x *Fold) both() []State {
	rolls := x.inside(x.W.Rolled, x.Miss)
	if len(rolls) == 0 {
		return nil
	}
	var miss func(*Tiered, *Choice, *means.Layer, *means.Item, means.Gap, measure.Length)
	if x.Miss != nil {
		miss = func(lies *Tiered, chain *Choice, l *means.Layer, it *means.Item, g means.Gap, sized measure.Length) {
			for i := range rolls {
				x.Miss(lies, joined(rolls[i].Last, chain), l, it, g, sized)
			}
		}
	}
	var out []State
	packs := x.inside(x.W.Flat, miss)
	for i := range rolls {
		for j := range packs {
			for _, r := range lies {
				if s, ok := x.laidBy(&rolls[i], &packs[j], r); ok {
					out = keep(out, s, x.exact)
				}
			}
		}
	}
	return out
}

// inside wraps the sheets of one shape in the layers that go round them alone.
func (x *Fold) inside(w *means.Wrap, miss func(*Tiered, *Choice, *means.Layer, *means.Item, means.Gap, measure.Length)) []State {
	set := x.o.Within(x.W, w.Shape, x.set)
	in := &Fold{K: x.K, o: x.o, W: w, set: set, facts: x.o.Facts(set), exact: x.exact, part: true, Miss: miss}
	list, at := in.contents()
	for ; at < len(w.Stages) && len(list) > 0; at++ {
		list = in.layer(list, &w.Stages[at])
	}
	return list
}

// laidBy lays a tube, whose sides are its length and its diameter, on a pack or beside it.
// Source: docs/formats/physics.md, section 6.
func (x *Fold) laidBy(tube, pack *State, at packing.Lies) (State, bool) {
	out := State{
		Long: max(pack.Long, tube.Long, tube.Short), Short: max(pack.Short, min(tube.Long, tube.Short)), Thick: pack.Thick + tube.Thick,
		Mass: x.base() + tube.Mass + pack.Mass, Cost: tube.Cost + pack.Cost, issued: tube.issued | pack.issued, Stiff: tube.Stiff || pack.Stiff,
		Rests: at,
	}
	if at != packing.OnPack {
		along, across := pack.Long, pack.Short
		if at == packing.BesideShort {
			along, across = across, along
		}
		along, across = max(along, tube.Long), across+tube.Thick
		out.Long, out.Short, out.Thick = max(along, across), min(along, across), max(pack.Thick, tube.Thick)
	}
	var ok bool
	out.use, ok = x.uses(tube, pack)
	out.Last = joined(tube.Last, pack.Last)
	return out, ok
}
