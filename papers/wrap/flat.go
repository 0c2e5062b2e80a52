package wrap

import (
	"cmp"
	"fmt"
	"slices"

	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/papers"
)

// perSheet adds a layer that each print of its sheet gets.
func (b *build) perSheet(l packing.LayerPlan) {
	it := b.item(l)
	copies := 0
	for _, f := range b.leaves {
		if l.Sheet == "" || f.sheet == l.Sheet {
			copies++
		}
	}
	each := max(1, l.Count/max(1, copies))
	n := b.step(b.perSheetText(l, it, copies, each), papers.Sides(b.units, it.Width, it.Height))
	for i := range b.leaves {
		if f := &b.leaves[i]; l.Sheet == "" || f.sheet == l.Sheet {
			f.wrap(n, it, each)
		}
	}
	b.blades = b.blades || it.Kind == packing.Tissue
}

func (b *build) perSheetText(l packing.LayerPlan, it packing.Item, copies, each int) string {
	whom := "each print"
	if l.Sheet != "" && (copies < len(b.leaves) || b.parcel.Shape == packing.Both) {
		whom = cmp.Or(b.in.Prints[l.Sheet], l.Sheet)
	}
	switch it.Kind {
	case packing.Sleeve:
		return fmt.Sprintf("Slip %s into a sleeve: %s.", whom, name(it))
	case packing.Board:
		return fmt.Sprintf("Back %s with %s: %s.", whom, fault.Count(each, "board"), name(it))
	}
	return fmt.Sprintf("Cover %s with %s, trimmed to it: %s.", whom, ofTissue(each), name(it))
}

// wrap puts a layer round one print.
func (f *leaf) wrap(step int, it packing.Item, each int) {
	switch it.Kind {
	case packing.Sleeve:
		f.long, f.short = sides(it)
		film := slab{step: step, thick: it.Wall, long: f.long, short: f.short, role: papers.RoleSoft}
		f.slabs = append(append([]slab{film}, f.slabs...), film)
	case packing.Board:
		f.long, f.short = sides(it)
		f.slabs = append([]slab{{step: step, thick: it.Caliper * measure.Length(each), long: f.long, short: f.short, role: papers.RoleStiff}}, f.slabs...)
	default:
		f.slabs = append(f.slabs, slab{step: step, thick: it.Caliper * measure.Length(each), long: f.long, short: f.short, role: papers.RoleSoft})
	}
}

// drawnApart is how many prints are drawn one by one in a section.
const drawnApart = 12

// gather lays the prints on each other. Many are drawn as one slab.
func (b *build) gather() {
	total := slab{step: 1, role: papers.RolePrint}
	for _, f := range b.leaves {
		b.long, b.short = max(b.long, f.long), max(b.short, f.short)
		b.stack.slabs = append(b.stack.slabs, f.slabs...)
		total.long = max(total.long, f.long)
		for _, s := range f.slabs {
			total.thick += s.thick
		}
	}
	if len(b.leaves) > drawnApart {
		b.stack.slabs = []slab{total}
	}
	for _, f := range b.leaves {
		for _, s := range f.slabs {
			b.lay(centred(s.step, s.long, s.short, s.role), f.sheet)
		}
	}
	slices.SortStableFunc(b.plan, func(x, y papers.Shape) int {
		return cmp.Or(cmp.Compare(x.Step, y.Step), cmp.Compare(x.W, y.W), cmp.Compare(x.H, y.H))
	})
}

// lay adds a shape to the plan unless one like it lies there; of prints alike in size the last lies on top.
func (b *build) lay(r papers.Shape, sheet string) {
	at := slices.Index(b.plan, r)
	if r.Role == papers.RolePrint {
		at = slices.IndexFunc(b.plan, func(o papers.Shape) bool { o.Print = ""; return o == r })
		r.Print = b.pictured(sheet)
	}
	if at < 0 {
		b.plan = append(b.plan, r)
		return
	}
	b.plan[at] = r
}

// pictured is the sheet when there is a picture of it.
func (b *build) pictured(sheet string) string {
	if len(b.in.Pictures[sheet]) == 0 {
		return ""
	}
	return sheet
}

// layer adds a layer of the whole parcel.
func (b *build) layer(l packing.LayerPlan) {
	it := b.item(l)
	if b.parcel.Roll != nil && b.tube == nil {
		b.rolled(l, it)
		return
	}
	switch it.Kind {
	case packing.Tissue:
		b.tissue(l, it)
	case packing.Board:
		b.boards(l, it)
	case packing.Carton:
		b.carton(l, it)
	default:
		b.envelope(l, it)
	}
}

func ofTissue(n int) string { return fault.Count(n, "sheet") + " of tissue" }

func (b *build) tissue(l packing.LayerPlan, it packing.Item) {
	b.blades = true
	detail := papers.Sides(b.units, it.Width, it.Height) + ", trimmed"
	gaps, what := max(1, len(b.leaves)-1), "prints"
	if len(b.tiers) > 0 {
		gaps, what = max(1, len(b.tiers)-1), "tiers"
	}
	if b.per(l) == packing.PerGap {
		n := b.step(fmt.Sprintf("Lay %s between each two %s: %s.", ofTissue(max(1, l.Count/gaps)), what, name(it)), detail)
		b.interleave(n, it.Caliper*measure.Length(max(1, l.Count/gaps)))
		return
	}
	n := b.step(fmt.Sprintf("Cover the prints with %s: %s.", ofTissue(l.Count), name(it)), detail)
	b.add(slab{step: n, thick: it.Caliper * measure.Length(l.Count), long: b.long, short: b.short, role: papers.RoleSoft})
	b.plan = append(b.plan, centred(n, b.long, b.short, papers.RoleSoft))
}

// interleave puts a slab on every print, or tier, but the last, beside those of earlier layers. When the prints
// are drawn as one slab it thickens that.
func (b *build) interleave(step int, thick measure.Length) {
	b.between = append(b.between, slab{step: step, thick: thick, long: b.long, short: b.short, role: papers.RoleSoft})
	b.plan = append(b.plan, centred(step, b.long, b.short, papers.RoleSoft))
	lying := b.lying()
	if len(lying) > drawnApart {
		b.stack.slabs[0].thick += thick * measure.Length(len(lying)-1)
		return
	}
	b.stack.slabs = nil
	for i, slabs := range lying {
		b.stack.slabs = append(b.stack.slabs, slabs...)
		if i < len(lying)-1 {
			b.stack.slabs = append(b.stack.slabs, b.between...)
		}
	}
}

// lying is the slabs of each print, or of each tier of prints, from the bottom up.
func (b *build) lying() [][]slab {
	var out [][]slab
	for _, t := range b.tiers {
		out = append(out, []slab{b.tierSlab(t)})
	}
	if len(b.tiers) == 0 {
		for _, f := range b.leaves {
			out = append(out, f.slabs)
		}
	}
	return out
}

// boards stiffens the stack: one board lies under it, the second of each two on it.
func (b *build) boards(l packing.LayerPlan, it packing.Item) {
	n := max(1, l.Count)
	text := "Lay the stack on a board: %s."
	switch {
	case n == 2:
		text = "Put the stack between 2 boards: %s."
	case n > 2:
		text = fmt.Sprintf("Put the stack between %d boards, %d under it: ", n, (n+1)/2) + "%s."
	}
	room := b.recipe(l).Clearance.Sides
	detail := papers.Sides(b.units, it.Width, it.Height)
	if room > 0 {
		detail += ", at least " + room.In(b.units) + " beyond the prints on every side"
	}
	step := b.step(fmt.Sprintf(text, name(it)), detail)
	long, short := sides(it)
	under := slab{step: step, thick: it.Caliper * measure.Length((n+1)/2), long: long, short: short, role: papers.RoleStiff}
	b.prepend(under)
	if n > 1 {
		b.add(slab{step: step, thick: it.Caliper * measure.Length(n/2), long: long, short: short, role: papers.RoleStiff})
	}
	b.long, b.short = long, short
	b.plan = append(b.plan, centred(step, long, short, papers.RoleStiff))
}

func (b *build) add(s slab) { b.stack.slabs = append(b.stack.slabs, s) }

func (b *build) prepend(s slab) {
	b.stack.slabs = append([]slab{s}, b.stack.slabs...)
	for i := range b.shells {
		b.shells[i].first++
		b.shells[i].last++
	}
}

// envelope puts what there is into a sleeve or an envelope.
func (b *build) envelope(l packing.LayerPlan, it packing.Item) {
	what := "an envelope"
	if it.Kind == packing.Sleeve {
		what = "a sleeve"
	}
	detail := "inside " + papers.Sides(b.units, it.Width, it.Height)
	if it.Thickest > 0 {
		detail += ", for contents of at most " + it.Thickest.In(b.units)
	}
	step := b.step(fmt.Sprintf("Into %s: %s.", what, name(it)), detail)
	long, short := sides(it)
	b.enclose(step, long, short, it.Wall, it.Wall, 0)
}

// enclose puts walls under and over what there is, with free height above the contents.
func (b *build) enclose(step int, long, short, bottom, top, free measure.Length) {
	b.prepend(slab{step: step, thick: bottom, long: long, short: short, role: papers.RoleShell})
	if free > 0 {
		b.add(slab{step: step, thick: free, long: long, short: short, role: papers.RoleRoom})
	}
	b.add(slab{step: step, thick: top, long: long, short: short, role: papers.RoleShell})
	b.shells = append(b.shells, shell{step, long, 0, len(b.stack.slabs) - 1})
	b.long, b.short = long, short
	b.plan = append(b.plan, centred(step, long, short, papers.RoleShell))
}

// carton puts what there is into a carton, cut down where the plan says so.
func (b *build) carton(l packing.LayerPlan, it packing.Item) {
	text, based := "Into a carton: %s.", l.CutLength > 0 || l.CutWidth > 0
	if based {
		b.cuts = append(b.cuts, b.cutBase(it, l.CutLength, l.CutWidth))
		b.blades = true
		it = onBase(it, l.CutLength, l.CutWidth)
		text = "Into a carton with its base cut down to " + papers.Sides(b.units, it.Length, it.Width) + " inside: %s."
	}
	inner := it.Height
	detail := "inside " + papers.Sides(b.units, it.Length, it.Width, it.Height)
	if l.CutTo > 0 && l.CutTo < it.Height {
		inner = l.CutTo
		text = "Into a carton cut down to " + l.CutTo.In(b.units) + " inside: %s."
		if based {
			text = "Into a carton with its base cut down to " + papers.Sides(b.units, it.Length, it.Width) + " and its height to " + l.CutTo.In(b.units) + " inside: %s."
		}
		b.cuts = append(b.cuts, b.cutCarton(it, l.CutTo))
		b.blades = true
	}
	free := max(0, inner-b.thickness())
	if free > 0 {
		detail += ", " + free.About(b.units) + " left above the contents"
	}
	step := b.step(fmt.Sprintf(text, name(it)), detail)
	length, width, height := cartonOutside(it)
	walls := max(0, height-it.Height)
	long, short := sorted(length, width)
	b.enclose(step, long, short, walls/2, walls-walls/2, free)
}

// onBase is a carton with its base cut down, 0 = whole: what is cut off inside is gone outside, too.
func onBase(it packing.Item, length, width measure.Length) packing.Item {
	l, w, _ := cartonOutside(it)
	offLength, offWidth := it.Length-orElse(length, it.Length), it.Width-orElse(width, it.Width)
	outer := packing.Outer{}
	if it.Outer != nil {
		outer = *it.Outer
	}
	outer.Length, outer.Width = l-offLength, w-offWidth
	it.Length, it.Width, it.Outer = it.Length-offLength, it.Width-offWidth, &outer
	return it
}

func cartonOutside(it packing.Item) (length, width, height measure.Length) {
	length, width, height = it.Length+2*it.Wall, it.Width+2*it.Wall, it.Height+2*it.Wall
	if o := it.Outer; o != nil {
		length, width, height = orElse(o.Length, length), orElse(o.Width, width), orElse(o.Height, height)
	}
	return length, width, height
}

func orElse(a, b measure.Length) measure.Length {
	if a > 0 {
		return a
	}
	return b
}

func (s stack) thickness() measure.Length {
	var t measure.Length
	for _, x := range s.slabs {
		t += x.thick
	}
	return t
}
