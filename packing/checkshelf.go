package packing

import (
	"slices"

	"solander/fault"
	"solander/measure"
)

// has lists the fields that a kind of item has: r required, o optional. Any other must be absent.
var has = map[Kind]map[string]byte{
	Sleeve:   {"width": 'r', "height": 'r', "thickest": 'o', "wall": 'o', "outer.width": 'o', "outer.height": 'o', "soft": 'o'},
	Tissue:   {"width": 'r', "height": 'r', "caliper": 'r'},
	Board:    {"width": 'r', "height": 'r', "caliper": 'r', "stiff": 'o'},
	Envelope: {"width": 'r', "height": 'r', "thickest": 'o', "wall": 'o', "outer.width": 'o', "outer.height": 'o', "soft": 'o', "stiff": 'o', "container": 'o'},
	Tube:     {"length": 'r', "diameter": 'r', "wall": 'o', "outer.length": 'o', "outer.diameter": 'o', "cornered": 'o', "cut": 'o', "container": 'o'},
	Carton:   {"length": 'r', "width": 'r', "height": 'r', "wall": 'o', "outer.length": 'o', "outer.width": 'o', "outer.height": 'o', "cut": 'o', "cut_base": 'o', "container": 'o'},
}

func (k *checker) shelf() {
	k.items = map[string]*Item{}
	seen := map[string]bool{}
	for i := range k.p.Shelf {
		it := &k.p.Shelf[i]
		path := problem.Entry("shelf", i)
		k.id(path, it.ID, seen)
		k.items[it.ID] = it
		k.item(path, it)
	}
}

func (k *checker) item(p fault.Path, i *Item) {
	k.must(slices.Contains(Kinds(), i.Kind), p.To("kind"), "is not a kind of packaging", "use sleeve, tissue, board, envelope, tube or carton")
	fields := has[i.Kind]
	if fields == nil {
		return
	}
	foreign := "does not belong to a " + string(i.Kind)
	o := i.outer()
	for _, f := range []struct {
		name string
		l    measure.Length
	}{
		{"width", i.Width},
		{"height", i.Height},
		{"length", i.Length},
		{"diameter", i.Diameter},
		{"caliper", i.Caliper},
		{"wall", i.Wall},
		{"thickest", i.Thickest},
		{"outer.width", o.Width},
		{"outer.height", o.Height},
		{"outer.length", o.Length},
		{"outer.diameter", o.Diameter},
	} {
		k.itemLength(p.To(f.name), fields[f.name], f.l, foreign)
	}
	for _, f := range []struct {
		name  string
		given bool
	}{{"soft", i.Soft}, {"stiff", i.Stiff}, {"cornered", i.Cornered}, {"cut", i.Cut != nil}, {"cut_base", i.CutBase != nil}, {"container", i.Container != ""}} {
		k.must(!f.given || fields[f.name] != 0, p.To(f.name), foreign, "leave it out")
	}
	k.mass(p.To("mass"), i.Mass)
	k.money(p.To("cost"), i.Cost)
	k.must(i.Stock == nil || *i.Stock >= 0 && *i.Stock <= 1_000_000, p.To("stock"), "is no possible number", "0 to 1000000, or leave it out for plenty")
	k.outer(p, i)
	k.cut(p, i)
	k.cutBase(p, i)
}

// itemLength looks at a length that is required (r), optional (o), or foreign to the kind.
func (k *checker) itemLength(p fault.Path, has byte, l measure.Length, foreign string) {
	switch has {
	case 'r':
		k.length(p, l, 1)
	case 'o':
		k.length(p, l, 0)
	default:
		k.must(l == 0, p, foreign, "leave it out")
	}
}

// outer checks that no outer size is less than the inner one.
func (k *checker) outer(p fault.Path, i *Item) {
	o := i.outer()
	for _, f := range []struct {
		name         string
		outer, inner measure.Length
	}{{"width", o.Width, i.Width}, {"height", o.Height, i.Height}, {"length", o.Length, i.Length}, {"diameter", o.Diameter, i.Diameter}} {
		k.must(f.outer == 0 || f.outer >= f.inner, p.To("outer."+f.name), "is less than the inner size", "outer sizes include the walls")
	}
}

func (k *checker) cut(p fault.Path, i *Item) {
	if i.Cut == nil {
		return
	}
	full := i.Height
	if i.Kind == Tube {
		full = i.Length
	}
	k.length(p.To("cut.shortest"), i.Cut.Shortest, 1)
	k.length(p.To("cut.step"), i.Cut.Step, 1)
	k.must(i.Cut.Shortest < full, p.To("cut.shortest"), "is not below the full size", "an item is cut down, not up")
	k.must(i.Cut.Step <= 0 || int64((full-i.Cut.Shortest-1)/i.Cut.Step)+2 <= maxCuts, p.To("cut.step"), "is too small", "at most 2000 sizes")
	k.must(i.Container == "", p.To("cut"), "does not go with container", "an issued container may not be cut")
}

func (k *checker) cutBase(p fault.Path, i *Item) {
	c := i.CutBase
	if c == nil {
		return
	}
	k.length(p.To("cut_base.step"), c.Step, 1)
	k.must(c.ShortestLength > 0 || c.ShortestWidth > 0, p.To("cut_base"), "names no shortest side", "give shortest_length, shortest_width, or both")
	k.must(i.Container == "", p.To("cut_base"), "does not go with container", "an issued container may not be cut")
	sizes := int64(1)
	for _, side := range []struct {
		name           string
		shortest, full measure.Length
	}{{"shortest_length", c.ShortestLength, i.Length}, {"shortest_width", c.ShortestWidth, i.Width}} {
		k.length(p.To("cut_base."+side.name), side.shortest, 0)
		k.must(side.shortest < max(side.full, 1), p.To("cut_base."+side.name), "is not below the full size", "an item is cut down, not up")
		if side.shortest > 0 && c.Step > 0 && side.shortest < side.full {
			sizes *= min(int64((side.full-side.shortest-1)/c.Step)+2, maxCuts+1)
		}
	}
	if cut := i.Cut; cut != nil && cut.Step > 0 && cut.Shortest < i.Height {
		sizes *= min(int64((i.Height-cut.Shortest-1)/cut.Step)+2, maxCuts+1)
	}
	k.must(sizes <= maxCuts, p.To("cut_base.step"), "is too small", "at most 2000 sizes, of height, length and width together")
}

// maxIssued is how many classes packaging may be issued for in one problem.
const maxIssued = 64

func (k *checker) issued() {
	classes := map[string]bool{}
	for i := range k.p.Shelf {
		classes[k.p.Shelf[i].IssuedFor] = true
	}
	delete(classes, "")
	k.must(len(classes) <= maxIssued, problem.To("shelf"), "names more than 64 classes in issued_for", "leave out items that are not used")
}
