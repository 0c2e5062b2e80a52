package check

import (
	"slices"

	"solander/measure"
	"solander/packing"
	"solander/packing/check/exact"
	"solander/tariff"
)

// Packed is a parcel with all its packaging on, before a service is asked.
type Packed struct {
	order     *packing.Order   // the first
	orders    []*packing.Order // all of them, ascending
	wrap      *packing.Wrap
	contents  []packing.Content
	layers    []packing.LayerPlan
	roll      *packing.RollPlan
	mat       *packing.Mat
	form      tariff.Form
	stiff     bool
	size      tariff.Size
	mass      measure.Mass
	value     int64
	copies    int
	levels    int            // tiers: as many as copies where each sheet lies on the one below
	longest   measure.Length // longest side of any sheet
	container string
	issued    []string
	broken    []packing.Reason // in the order of the rules
	lost      bool             // so malformed that the rest means nothing
	once      bool             // stop at the first broken rule
}

// done reports that nothing more need be looked at.
func (p *Packed) done() bool { return p.lost || p.once && len(p.broken) > 0 }

// Pack packs the contents of a choice in its wrap with the items, cuts and axis named there, and returns
// the first rule that breaks (docs/formats/plan.md, section 4, 1 to 3), nil when none does. Of the choice
// it reads order, contents, wrap, mat, layers and roll.axis, nothing else.
func (r *Reckoner) Pack(choice *packing.Parcel) (*Packed, *packing.Reason) {
	p := r.packed(choice, true)
	if len(p.broken) > 0 {
		return nil, &p.broken[0]
	}
	return p, nil
}

// pack goes on after a broken rule, so that all are found.
func (r *Reckoner) pack(choice *packing.Parcel) *Packed { return r.packed(choice, false) }

func (p *Packed) breaks(rule string, got, limit int64, unit string) {
	p.broken = append(p.broken, breaks(rule, got, limit, unit))
}

// lose notes a malformed plan, after which nothing more of it can be looked at.
func (p *Packed) lose(reason *packing.Reason) {
	p.broken = append(p.broken, *reason)
	p.lost = true
}

// packed packs a choice; with once it stops at the first rule broken.
func (r *Reckoner) packed(choice *packing.Parcel, once bool) *Packed {
	p := &Packed{once: once, contents: choice.Contents, layers: choice.Layers}
	leaves := r.unpacked(p, choice)
	if !p.lost {
		p.tiers(choice.Mat)
	}
	if p.done() {
		return p
	}
	layers := r.choose(p, choice.Layers, leaves)
	if p.done() {
		return p
	}
	if p.wrap.Shape == packing.Both {
		p.packBoth(choice, leaves, layers)
	} else {
		p.packOne(choice, leaves, layers)
	}
	if p.done() {
		return p
	}
	last := layers[len(layers)-1].item
	p.container = last.Container
	p.form = tariff.Box
	if last.Kind == packing.Tube && !last.Cornered {
		p.form = tariff.Cylinder
	}
	return p
}

// packOne packs sheets that are all rolled, or all lie flat.
func (p *Packed) packOne(choice *packing.Parcel, leaves []leaf, layers []chosen) {
	b := body{tiers: int64(p.levels)}
	for len(layers) > 0 && layers[0].leaf >= 0 {
		leaves[layers[0].leaf].wrapIn(p, layers[0])
		layers = layers[1:]
	}
	switch {
	case p.wrap.Shape == packing.Rolled:
		b.wind(p, leaves, choice.Roll)
	case p.mat != nil:
		b.layOut(p, leaves)
	default:
		b.stack(leaves)
	}
	b.putAll(p, layers)
	p.closed(&b, nil)
}

// closed takes the size of what there is, and how it is rolled; lies is how the tube was laid, if it was.
func (p *Packed) closed(b *body, lies *packing.RollPlan) {
	p.size = sorted(b.outer())
	if b.roll == nil {
		return
	}
	p.roll = &packing.RollPlan{Axis: b.roll.axis, Strip: b.roll.strip, Pack: b.roll.thick, Inner: b.roll.inner, Outer: b.roll.outer}
	if lies != nil {
		p.roll.Lies = lies.Lies
	}
}

// unpacked finds order, wrap and sheets, and looks at how many there are and whether they may be rolled.
func (r *Reckoner) unpacked(p *Packed, choice *packing.Parcel) []leaf {
	p.order, p.wrap = r.orders[choice.Order], r.wraps[choice.Wrap]
	if p.order == nil {
		p.lose(malformed("plan.order", "there is no order %q", choice.Order))
		return nil
	}
	if p.wrap == nil {
		p.lose(malformed("plan.wrap", "there is no wrap %q", choice.Wrap))
		return nil
	}
	p.mass = p.wrap.Mass + r.problem.Margin.Parcel
	if len(choice.Contents) == 0 {
		p.lose(malformed("plan.contents", "the parcel is empty"))
		return nil
	}
	if first := choice.Contents[0]; first.Order != choice.Order {
		p.lose(malformed("plan.contents", "sheet %q is of order %q, the parcel of %q", first.Sheet, first.Order, choice.Order))
		return nil
	}
	leaves := make([]leaf, 0, len(choice.Contents))
	for i, c := range choice.Contents {
		if i > 0 && !before(choice.Contents[i-1], c) {
			p.lose(malformed("plan.contents", "sheet %q of %q does not come after %q", c.Sheet, c.Order, choice.Contents[i-1].Sheet))
			return nil
		}
		if !r.together(p, c.Order) {
			p.lose(malformed("plan.contents", "sheet %q is of order %q, which may not share a parcel of %q", c.Sheet, c.Order, choice.Order))
			return nil
		}
		s := r.sheetOf(c)
		switch {
		case s == nil:
			p.lose(malformed("plan.contents", "order %q has no sheet %q", c.Order, c.Sheet))
		case c.Copies < 1 || c.Copies > copiesOf(s):
			p.lose(malformed("plan.contents", "expected 1 to %d copies of sheet %q, found %d", copiesOf(s), c.Sheet, c.Copies))
		}
		if p.lost {
			return nil
		}
		p.take(s, c.Copies)
		leaves = append(leaves, leafOf(s, c.Order, c.Copies))
	}
	p.counted(leaves)
	return leaves
}

// take counts copies of a sheet into the parcel.
func (p *Packed) take(s *packing.Sheet, copies int) {
	p.copies += copies
	p.value += int64(copies) * s.Value
	p.mass += measure.Mass(copies) * exact.MassOf(s)
	p.stiff = p.stiff || s.Stiff
	p.longest = max(p.longest, s.Width, s.Height)
}

// counted looks at rules 1 and 2 of plan.md, section 4.
func (p *Packed) counted(leaves []leaf) {
	if fewest := max(p.wrap.Fewest, 1); p.copies < fewest {
		p.breaks("wrap.fewest", int64(p.copies), int64(fewest), "sheets")
	}
	if p.wrap.Most > 0 && p.copies > p.wrap.Most {
		p.breaks("wrap.most", int64(p.copies), int64(p.wrap.Most), "sheets")
	}
	if p.wrap.Shape == packing.Both {
		p.someOfBoth(leaves)
	}
	if p.wrap.Shape != packing.Rolled {
		return
	}
	for _, l := range leaves {
		if l.sheet.Roll == nil {
			p.breaks("sheet.roll", 0, 0, "")
		}
	}
}

func sheetOf(o *packing.Order, id string) *packing.Sheet {
	i := slices.IndexFunc(o.Sheets, func(s packing.Sheet) bool { return s.ID == id })
	if i < 0 {
		return nil
	}
	return &o.Sheets[i]
}

func copiesOf(s *packing.Sheet) int { return max(s.Copies, 1) }
