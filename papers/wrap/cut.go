package wrap

import (
	"fmt"

	"solander/measure"
	"solander/packing"
	"solander/papers"
)

// cutCarton says how to cut a carton down to an inner height: its four walls laid out, the line to score
// and the four corners to cut (common practice, no source).
func (b *build) cutCarton(it packing.Item, to measure.Length) Cut {
	u := b.units
	off := it.Height - to
	long, short := sorted(it.Length, it.Width)
	c := Cut{Title: fmt.Sprintf("Cut down: %s, to %s inside", name(it), to.In(u))}
	c.Steps = []string{
		fmt.Sprintf("Mark %s above the inside of the base on all four walls, and score along the marks: do not cut through.", to.In(u)),
		fmt.Sprintf("Cut each of the four corners from the rim down to the mark: %s.", off.In(u)),
		"Fold the walls in along the score: they are the new lid. Cut off old flaps that are in the way.",
	}
	if 2*off > short {
		c.Steps = append(c.Steps, fmt.Sprintf("Trim each new flap to %s at most, half the width, so that the flaps meet and do not overlap.", (short/2).In(u)))
	}
	if it.IssuedFor != "" {
		c.Steps = append(c.Steps, fmt.Sprintf("However it is cut, this carton may only go by the class it is issued for: %s.", it.IssuedFor))
	}
	c.View = papers.View{Name: "The four walls laid out, from the inside", Sizes: []string{
		"walls " + long.In(u) + " and " + short.In(u) + " wide, " + it.Height.In(u) + " high",
		"dotted: score at " + to.In(u) + " above the base",
		"dashed: cut " + off.In(u) + " down each corner",
	}}
	around := 2 * (long + short)
	c.View.Shapes = []papers.Shape{{X: 0, Y: 0, W: around, H: off, Role: papers.RoleFlap}}
	x := measure.Length(0)
	for _, w := range []measure.Length{long, short, long, short} {
		c.View.Shapes = append(c.View.Shapes,
			papers.Shape{X: x, Y: off, W: w, H: to, Role: papers.RoleShell},
			papers.Shape{X: x, Y: 0, H: off, Role: papers.RoleCut})
		x += w
	}
	c.View.Shapes = append(c.View.Shapes,
		papers.Shape{X: x, Y: 0, H: off, Role: papers.RoleCut}, // the first corner again: the walls close to a ring
		papers.Shape{X: 0, Y: off, W: x, Role: papers.RoleFold})
	return c
}

// cutTube says how to cut a tube down to an inner length (common practice, no source).
func (b *build) cutTube(it packing.Item, to measure.Length) Cut {
	u := b.units
	return Cut{
		Title: fmt.Sprintf("Cut down: %s, to %s inside", name(it), to.In(u)),
		Steps: []string{
			fmt.Sprintf("Take off one cap. Mark the tube all round so that %s comes off.", (it.Length - to).In(u)),
			"Saw square along the mark, turning the tube, and clean the edge, before the prints are near.",
			fmt.Sprintf("Put the cap back and measure: %s between the caps.", to.In(u)),
		},
		View: papers.View{Name: "The tube", Sizes: []string{it.Length.In(u) + " inside, whole", to.In(u) + " inside once cut at the dashed line"}, Shapes: []papers.Shape{
			{X: 0, Y: 0, W: to, H: it.Diameter, Role: papers.RoleShell},
			{X: to, Y: 0, W: it.Length - to, H: it.Diameter, Role: papers.RoleFlap},
			{X: to, Y: 0, H: it.Diameter, Role: papers.RoleCut},
		}},
	}
}

// cutBase says how to cut a carton down to an inner length and width, 0 = whole: a strip is cut out across it, and
// what is left is pushed together and taped (common practice, no source).
func (b *build) cutBase(it packing.Item, length, width measure.Length) Cut {
	u := b.units
	to := [2]measure.Length{orElse(length, it.Length), orElse(width, it.Width)}
	off := [2]measure.Length{it.Length - to[0], it.Width - to[1]}
	c := Cut{Title: fmt.Sprintf("Cut down the base: %s, to %s inside", name(it), papers.Sides(u, to[0], to[1]))}
	v := papers.View{Name: "The base, from above", Sizes: []string{papers.Sides(u, it.Length, it.Width) + " inside, whole"}}
	v.Shapes = append(v.Shapes, papers.Shape{W: to[0], H: to[1], Role: papers.RoleShell})
	if off[0] > 0 {
		c.Steps = append(c.Steps, fmt.Sprintf("Mark %s from one end along the length, on base, walls and flaps, and %s further on; cut straight through at both marks and take the strip out.", to[0].In(u), off[0].In(u)))
		v.Shapes = append(v.Shapes, papers.Shape{X: to[0], W: off[0], H: it.Width, Role: papers.RoleFlap}, papers.Shape{X: to[0], H: it.Width, Role: papers.RoleCut})
		v.Sizes = append(v.Sizes, off[0].In(u)+" off the length")
	}
	if off[1] > 0 {
		c.Steps = append(c.Steps, fmt.Sprintf("Mark %s from one side along the width, on base, walls and flaps, and %s further on; cut straight through at both marks and take the strip out.", to[1].In(u), off[1].In(u)))
		v.Shapes = append(v.Shapes, papers.Shape{Y: to[1], W: to[0], H: off[1], Role: papers.RoleFlap}, papers.Shape{Y: to[1], W: it.Length, Role: papers.RoleCut})
		v.Sizes = append(v.Sizes, off[1].In(u)+" off the width")
	}
	c.Steps = append(c.Steps,
		"Push the parts together edge to edge and tape every seam, inside and outside.",
		fmt.Sprintf("Measure again: %s inside. Press on the seams; if they give, lay a strip of board across them and tape it down.", papers.Sides(u, to[0], to[1])))
	if it.IssuedFor != "" {
		c.Steps = append(c.Steps, fmt.Sprintf("However it is cut, this carton may only go by the class it is issued for: %s.", it.IssuedFor))
	}
	c.View = v
	return c
}
