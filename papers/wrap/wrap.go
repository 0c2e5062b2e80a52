// Package wrap knows what stands on a wrap sheet: how one parcel is built, step by step from the inside out, with drawings
// to scale and the lines to cut. Lengths are exact; sizes are built up as docs/formats/physics.md says. Like all papers
// it is pure and draws nothing: papers/pdf draws.
package wrap

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/fault"
	"solander/measure"
	"solander/packing"
	"solander/papers"
)

// Sheet tells how to build one parcel: the steps from the inside out, drawings to scale, and where
// to cut.
type Sheet struct {
	papers.Head
	Mark     string
	Code     string // names the parcel, as Code 128: see papers.ParcelCode
	Part     string // "parcel 1 of 2"
	Buyer    string
	Wrap     string // name of the recipe
	Facts    []Fact
	Steps    []Step
	Prints   []Print // those there are pictures of, each once
	Views    []papers.View
	Cuts     []Cut
	Cautions []string
	Warnings []string
	Twins    []Twin // the parcels that it is for, when they are several
}

// Twin is one of several parcels that are built alike.
type Twin struct {
	Mark, Buyer, Part string
	Prints            []string
	Service           string
}

// Whose says which parcel the sheet is for, or which ones.
func (s Sheet) Whose() string {
	if len(s.Twins) == 0 {
		return "Order " + s.Mark
	}
	var marks []string
	for _, t := range s.Twins {
		marks = append(marks, t.named())
	}
	return fmt.Sprintf("%d parcels alike: %s", len(marks), strings.Join(marks, ", "))
}

func (t Twin) named() string { return strings.TrimSpace(t.Mark + " " + t.Part) }

// Title names the paper.
func (Sheet) Title() string { return "Wrap sheet" }

// Print is one of the prints with its picture.
type Print struct {
	Sheet   string // as the drawings name it
	Picture []byte // JPEG
}

// Fact is one property of the parcel.
type Fact struct{ Name, Text string }

// Step is one step of wrapping. Its place in the list, from 1, is its key in the drawings.
type Step struct {
	Text   string
	Detail string // size and room
}

// Cut is a piece of packaging to cut down, with a drawing of the cut lines.
type Cut struct {
	Title string
	Steps []string
	View  papers.View
}

// In is what a wrap sheet is made of, beside the parcel.
type In struct {
	Mark, Buyer string
	Part, Parts int
	Service     string // its name; "" = the plan's id
	Wrap        packing.Wrap
	Items       []packing.Item  // at least those of the parcel
	Sheets      []packing.Sheet // at least those of the parcel
	Prints      map[string]string
	Pictures    map[string][]byte // JPEG, by sheet id; those that are lacking are left out
	Warnings    []string
	Twins       []Twin // the parcels that are built so, this one among them; fewer than two = it alone
}

// Of returns the wrap sheet of a planned parcel. in.Prints names the prints by sheet id: "17/250 Heron
// at dusk". The sizes drawn are built up as docs/formats/physics.md says.
func Of(h papers.Head, p packing.Parcel, in In) Sheet {
	alike := len(in.Twins) > 1
	if alike { // prints go by their sizes, and none is shown
		in.Pictures, in.Prints = nil, map[string]string{}
		for _, s := range in.Sheets {
			in.Prints[s.ID] = "the print of " + papers.Sides(h.Units, s.Width, s.Height)
		}
	}
	b := newBuild(h.Units, p, in)
	s := Sheet{
		Head: h, Mark: in.Mark, Code: papers.ParcelCode(in.Mark, in.Part, in.Parts), Part: papers.PartOf(in.Part, in.Parts), Buyer: in.Buyer, Warnings: papers.Once(in.Warnings),
		Wrap: cmp.Or(in.Wrap.Name, in.Wrap.ID, p.Wrap),
	}
	s.Facts = []Fact{
		{"Service", cmp.Or(in.Service, p.Service)},
		{"Size outside", papers.About(h.Units, p.Size.Length, p.Size.Width, p.Size.Height)},
		{"Weight", "about " + p.Mass.About(h.Units)},
	}
	if alike {
		s.Twins, s.Code, s.Part, s.Buyer, s.Facts = in.Twins, "", "", "", s.Facts[1:]
		for _, t := range in.Twins {
			s.Facts = append(s.Facts, Fact{t.named(), strings.Join(t.Prints, ", ") + ", for " + t.Buyer + ", by " + t.Service})
		}
	}
	for _, c := range p.Contents {
		known := slices.ContainsFunc(s.Prints, func(x Print) bool { return x.Sheet == c.Sheet })
		if picture := in.Pictures[c.Sheet]; len(picture) > 0 && !known {
			s.Prints = append(s.Prints, Print{c.Sheet, picture})
		}
	}
	b.run()
	s.Steps, s.Cuts = b.steps, b.cuts
	s.Views = b.views()
	if b.blades {
		s.Cautions = papers.BladeCautions()
	}
	return s
}

// build holds what Of works on: the parcel so far, from the inside out.
type build struct {
	units   measure.System
	parcel  packing.Parcel
	in      In
	items   map[string]packing.Item
	leaves  []leaf // one a copy
	between []slab // in each gap
	mat     slab   // what they take when they lie side by side, without thickness
	tiers   []tier // of prints side by side; none when each lies on the one below
	stack
	tube   *tube
	steps  []Step
	cuts   []Cut
	blades bool
}

// leaf is one print with what lies round it.
type leaf struct {
	sheet string
	long  measure.Length
	short measure.Length
	slabs []slab
	// in a parcel of both shapes: whether it is rolled
	rolled bool
}

// slab is a layer in section: at which step it comes, how thick it is, its sides.
type slab struct {
	step  int
	thick measure.Length
	long  measure.Length
	short measure.Length
	role  papers.Role
	// of prints side by side, what a cut through them shows; none = all of it
	blocks []block
}

// stack is what lies flat: its sides, its slabs from the bottom up, and the shells round it.
type stack struct {
	long, short measure.Length
	slabs       []slab
	plan        []papers.Shape // centred on 0, 0
	shells      []shell
}

// shell is an outline round the slabs first to last.
type shell struct {
	step  int
	long  measure.Length
	first int
	last  int
}

func newBuild(units measure.System, p packing.Parcel, in In) *build {
	b := &build{units: units, parcel: p, in: in, items: make(map[string]packing.Item)}
	for _, it := range in.Items {
		b.items[it.ID] = it
	}
	sheets := make(map[string]packing.Sheet)
	for _, s := range in.Sheets {
		sheets[s.ID] = s
	}
	for _, c := range p.Contents {
		s := sheets[c.Sheet]
		long, short := sorted(s.Width, s.Height)
		for range max(1, c.Copies) {
			b.leaves = append(b.leaves, leaf{
				sheet: c.Sheet, long: long, short: short, slabs: []slab{{step: 1, thick: s.Caliper, long: long, short: short, role: papers.RolePrint}},
				rolled: s.Roll != nil && (in.Wrap.Shape != packing.Both || in.Wrap.Rolls(&s)),
			})
		}
	}
	return b
}

func sorted(a, b measure.Length) (measure.Length, measure.Length) { return max(a, b), min(a, b) }

// run goes through the layers from the inside out.
func (b *build) run() {
	b.step(b.printsStep(), "")
	if b.parcel.Shape == packing.Both && b.parcel.Roll != nil {
		b.runBoth()
	} else {
		b.within(b.parcel.Layers)
	}
	b.step("Close it, weigh it, and label it.", "about "+b.parcel.Mass.About(b.units))
}

func (b *build) printsStep() string {
	return fault.Count(len(b.leaves), "print") + ": " + strings.Join(b.names(func(string) bool { return true }), "; ") + "."
}

// names are the prints of the parcel, of the sheets that are asked for: "2 × 17/250 Heron at dusk".
func (b *build) names(of func(sheet string) bool) []string {
	var names []string
	for _, c := range b.parcel.Contents {
		if !of(c.Sheet) {
			continue
		}
		name := cmp.Or(b.in.Prints[c.Sheet], c.Sheet)
		if c.Copies > 1 {
			name = fmt.Sprintf("%d × %s", c.Copies, name)
		}
		names = append(names, name)
	}
	return names
}

// leafNames are the prints that are worked on now.
func (b *build) leafNames() []string {
	return b.names(func(sheet string) bool {
		return slices.ContainsFunc(b.leaves, func(f leaf) bool { return f.sheet == sheet })
	})
}

func (b *build) step(text, detail string) int {
	if size, more, _ := strings.Cut(detail, ", "); size != "" && strings.Contains(text, strings.TrimPrefix(size, "inside ")) {
		detail = more // its name says its size
	}
	b.steps = append(b.steps, Step{text, detail})
	return len(b.steps)
}

func (b *build) per(l packing.LayerPlan) packing.Per {
	if l.Layer < len(b.in.Wrap.Layers) && b.in.Wrap.Layers[l.Layer].Per != "" {
		return b.in.Wrap.Layers[l.Layer].Per
	}
	if l.Sheet != "" {
		return packing.PerSheet
	}
	return packing.PerStack
}

func (b *build) recipe(l packing.LayerPlan) packing.Layer {
	if l.Layer < len(b.in.Wrap.Layers) {
		return b.in.Wrap.Layers[l.Layer]
	}
	return packing.Layer{}
}

// item returns the shelf item of a layer; an unknown one is named by its id and has no size.
func (b *build) item(l packing.LayerPlan) packing.Item {
	if it, ok := b.items[l.Item]; ok {
		return it
	}
	return packing.Item{ID: l.Item, Kind: l.Kind}
}

func name(it packing.Item) string { return cmp.Or(it.Name, it.ID, string(it.Kind)) }

// sides returns the outer long and short side of a sleeve, an envelope or a board.
func sides(it packing.Item) (measure.Length, measure.Length) {
	w, h := it.Width, it.Height
	if it.Kind == packing.Sleeve || it.Kind == packing.Envelope {
		w, h = w+2*it.Wall, h+2*it.Wall
		if it.Outer != nil {
			w, h = max(w, it.Outer.Width), max(h, it.Outer.Height)
		}
	}
	return sorted(w, h)
}
