package wrap

import (
	"fmt"
	"slices"

	"solander/measure"
	"solander/papers"
)

// Enlargements of the thickness in a section, so that thin layers can be told apart.
var enlargements = []measure.Length{1, 2, 5, 10, 20, 50}

// views returns the drawings of the parcel.
func (b *build) views() []papers.View {
	var out []papers.View
	if b.tube != nil {
		out = b.rollViews()
		if len(b.shells) == 0 {
			return out
		}
	}
	plan := papers.View{Name: "From above", Shapes: slices.Clone(b.plan)}
	slices.Reverse(plan.Shapes) // the largest first, so that the inner ones lie on it
	plan.Sizes = []string{"outside " + papers.About(b.units, b.long, b.short)}
	return append(append(out, plan), append(b.tierViews(), b.section())...)
}

// section draws the slabs from the bottom up, cut across the longer side.
func (b *build) section() papers.View {
	thick := b.thickness()
	k := measure.Length(1)
	for _, k = range enlargements {
		if thick*k*5 >= b.long {
			break
		}
	}
	v := papers.View{Name: "Cut through", Sizes: []string{"about " + thick.About(b.units) + " thick in all"}}
	if k > 1 {
		v.Note = fmt.Sprintf("thickness drawn %d times as large as length", k)
	}
	y := make([]measure.Length, len(b.stack.slabs)+1) // of the tops, from the bottom at 0 upwards
	for i, s := range b.stack.slabs {
		y[i+1] = y[i] - s.thick*k
	}
	shells := slices.Clone(b.shells)
	slices.Reverse(shells)
	for _, s := range shells {
		v.Shapes = append(v.Shapes, papers.Shape{Step: s.step, X: -s.long / 2, Y: y[s.last+1], W: s.long, H: y[s.first] - y[s.last+1], Role: papers.RoleRoom})
	}
	for i, s := range b.stack.slabs {
		for _, x := range s.blocks {
			v.Shapes = append(v.Shapes, papers.Shape{Step: s.step, X: x.x - s.long/2, Y: y[i] - x.thick*k, W: x.w, H: x.thick * k, Round: x.round, Role: s.role})
		}
		if s.role != papers.RoleRoom && len(s.blocks) == 0 {
			v.Shapes = append(v.Shapes, papers.Shape{Step: s.step, X: -s.long / 2, Y: y[i+1], W: s.long, H: y[i] - y[i+1], Role: s.role})
		}
	}
	return v
}

func centred(step int, w, h measure.Length, role papers.Role) papers.Shape {
	return papers.Shape{Step: step, X: -w / 2, Y: -h / 2, W: w, H: h, Role: role}
}

func circle(step int, d measure.Length, role papers.Role) papers.Shape {
	s := centred(step, d, d, role)
	s.Round = true
	return s
}
