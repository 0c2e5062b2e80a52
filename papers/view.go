package papers

import (
	"fmt"
	"slices"

	"solander/measure"
)

// Role is what a shape of a drawing stands for.
type Role string

// The roles.
const (
	RolePrint Role = "print"
	RoleSoft  Role = "soft"  // sleeve, tissue
	RoleStiff Role = "stiff" // board
	RoleShell Role = "shell" // envelope, tube, carton
	RoleRoom  Role = "room"  // free room inside a shell
	RoleFlap  Role = "flap"  // what is folded in or taken off: without an outline
	RoleCut   Role = "cut"   // a line to cut
	RoleFold  Role = "fold"  // a line to score and fold
)

// View is a drawing to scale: shapes in nanometres, drawn in their order, x to the right and y down.
type View struct {
	Name   string
	Note   string // "thickness drawn 20 times"
	Shapes []Shape
	Sizes  []string // to be read beside the drawing
}

// Shape is a rectangle, or with Round an ellipse, at X, Y; a line when W or H is 0. Step is its key: the
// step of the wrap sheet that it shows, 0 = none.
type Shape struct {
	Step       int
	X, Y, W, H measure.Length
	Round      bool
	Role       Role
}

func centred(step int, w, h measure.Length, role Role) Shape {
	return Shape{Step: step, X: -w / 2, Y: -h / 2, W: w, H: h, Role: role}
}

func circle(step int, d measure.Length, role Role) Shape {
	s := centred(step, d, d, role)
	s.Round = true
	return s
}

// Bounds returns the corner and the size of the box round all shapes.
func (v View) Bounds() (x, y, w, h measure.Length) {
	if len(v.Shapes) == 0 {
		return 0, 0, 0, 0
	}
	x, y = v.Shapes[0].X, v.Shapes[0].Y
	right, bottom := x, y
	for _, s := range v.Shapes {
		x, y = min(x, s.X), min(y, s.Y)
		right, bottom = max(right, s.X+s.W), max(bottom, s.Y+s.H)
	}
	return x, y, right - x, bottom - y
}

// Enlargements of the thickness in a section, so that thin layers can be told apart.
var enlargements = []measure.Length{1, 2, 5, 10, 20, 50}

// views returns the drawings of the parcel.
func (b *build) views() []View {
	var out []View
	if b.tube != nil {
		out = b.rollViews()
		if len(b.shells) == 0 {
			return out
		}
	}
	plan := View{Name: "From above", Shapes: slices.Clone(b.plan)}
	slices.Reverse(plan.Shapes) // the largest first, so that the inner ones lie on it
	plan.Sizes = []string{"outside " + about(b.units, b.long, b.short)}
	return append(append(out, plan), append(b.tierViews(), b.section())...)
}

// section draws the slabs from the bottom up, cut across the longer side.
func (b *build) section() View {
	thick := b.thickness()
	k := measure.Length(1)
	for _, k = range enlargements {
		if thick*k*5 >= b.long {
			break
		}
	}
	v := View{Name: "Cut through", Sizes: []string{"about " + thick.About(b.units) + " thick in all"}}
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
		v.Shapes = append(v.Shapes, Shape{Step: s.step, X: -s.long / 2, Y: y[s.last+1], W: s.long, H: y[s.first] - y[s.last+1], Role: RoleRoom})
	}
	for i, s := range b.stack.slabs {
		for _, x := range s.blocks {
			v.Shapes = append(v.Shapes, Shape{Step: s.step, X: x.x - s.long/2, Y: y[i] - x.thick*k, W: x.w, H: x.thick * k, Role: s.role})
		}
		if s.role != RoleRoom && len(s.blocks) == 0 {
			v.Shapes = append(v.Shapes, Shape{Step: s.step, X: -s.long / 2, Y: y[i+1], W: s.long, H: y[i] - y[i+1], Role: s.role})
		}
	}
	return v
}
