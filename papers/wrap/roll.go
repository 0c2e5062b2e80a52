package wrap

import (
	"fmt"
	"strings"

	"solander/measure"
	"solander/packing"
	"solander/papers"
)

// tube is a filled tube: step is its key, rollStep that of the roll.
type tube struct {
	step, rollStep     int
	inner, outer       measure.Length // diameters
	innerLen, outerLen measure.Length
}

// rolled adds a layer of a rolled parcel up to its tube.
func (b *build) rolled(l packing.LayerPlan, it packing.Item) {
	if it.Kind != packing.Tube {
		text, n := "Lay %s under the prints, to lie outside the roll: %s.", max(1, l.Count)
		if b.per(l) == packing.PerGap {
			text, n = "Lay %s between each two prints: %s.", max(1, l.Count/max(1, len(b.leaves)-1))
		}
		b.blades = true
		b.step(fmt.Sprintf(text, ofTissue(n), name(it)), papers.Sides(b.units, it.Width, it.Height)+", trimmed")
		return
	}
	r := b.parcel.Roll
	t := &tube{inner: it.Diameter, outer: it.Diameter + 2*it.Wall, innerLen: it.Length, outerLen: it.Length}
	if it.Outer != nil {
		t.outer, t.outerLen = orElse(it.Outer.Diameter, t.outer), orElse(it.Outer.Length, t.outerLen)
	}
	whom := "them"
	if b.parcel.Shape == packing.Both {
		whom = strings.Join(b.leafNames(), " and ")
	}
	t.rollStep = b.step(
		fmt.Sprintf("Roll %s to a length of %s, round a hollow of at least %s.", whom, r.Axis.In(b.units), r.Inner.In(b.units)),
		fmt.Sprintf("about %s thick at the tightest; the paper springs open and fills the tube", r.Outer.About(b.units)))
	text := "Into a tube: %s."
	if l.CutTo > 0 && l.CutTo < it.Length {
		t.outerLen -= it.Length - l.CutTo
		t.innerLen = l.CutTo
		text = "Into a tube cut down to " + l.CutTo.In(b.units) + " inside: %s."
		b.cuts = append(b.cuts, b.cutTube(it, l.CutTo))
		b.blades = true
	}
	gap := max(0, t.innerLen-r.Axis) / 2
	t.step = b.step(fmt.Sprintf(text, name(it)),
		fmt.Sprintf("inside %s across, %s long; about %s free at each end: fill it so that the roll cannot slide", it.Diameter.In(b.units), t.innerLen.In(b.units), gap.About(b.units)))
	b.tube = t
	b.long, b.short = sorted(t.outerLen, t.outer)
	b.stack.slabs = []slab{{step: t.step, thick: t.outer, long: b.long, short: b.short, role: papers.RoleShell}}
	b.plan = []papers.Shape{centred(t.step, b.long, b.short, papers.RoleShell)}
}

// rollViews draws the roll in its tube: along its length and from its end.
func (b *build) rollViews() []papers.View {
	t, r := b.tube, b.parcel.Roll
	along := papers.View{Name: "Along the tube", Shapes: []papers.Shape{
		centred(t.step, t.outerLen, t.outer, papers.RoleShell),
		centred(t.step, t.innerLen, t.inner, papers.RoleRoom),
		centred(t.rollStep, r.Axis, r.Outer, papers.RolePrint),
		centred(t.rollStep, r.Axis, r.Inner, papers.RoleRoom),
	}}
	along.Sizes = []string{
		"tube outside " + papers.About(b.units, t.outerLen, t.outer),
		"roll " + r.Axis.About(b.units) + " long",
	}
	end := papers.View{Name: "End of the tube", Shapes: []papers.Shape{
		circle(t.step, t.outer, papers.RoleShell),
		circle(t.step, t.inner, papers.RoleRoom),
		circle(t.rollStep, r.Outer, papers.RolePrint),
		circle(t.rollStep, r.Inner, papers.RoleRoom),
	}}
	end.Sizes = []string{
		"tube inside " + t.inner.About(b.units),
		"roll outside " + r.Outer.About(b.units) + ", at the tightest",
		"hollow " + r.Inner.About(b.units),
	}
	return []papers.View{along, end}
}
