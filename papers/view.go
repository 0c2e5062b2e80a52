package papers

import (
	"cmp"
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
	Print      string // which print it is, when there is a picture of it
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

// Key is the number of a step on a drawing, and the shape to which it points.
type Key struct {
	Step  int
	Shape Shape
}

// Keys are the numbers of a drawing from the top down, each at the widest shape of its step: on paper and on screen the same.
func (v View) Keys() []Key {
	var keys []Key
	for _, s := range v.Shapes {
		switch i := slices.IndexFunc(keys, func(k Key) bool { return k.Step == s.Step }); {
		case s.Step == 0:
		case i < 0:
			keys = append(keys, Key{s.Step, s})
		case s.W > keys[i].Shape.W:
			keys[i].Shape = s
		}
	}
	middle := func(k Key) measure.Length { return 2*k.Shape.Y + k.Shape.H }
	slices.SortFunc(keys, func(a, b Key) int { return cmp.Or(cmp.Compare(middle(a), middle(b)), cmp.Compare(a.Step, b.Step)) })
	return keys
}
