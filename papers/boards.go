package papers

import (
	"fmt"
	"reflect"
	"slices"

	"solander/measure"
	"solander/packing/cutting"
	"solander/packing/cutting/onesheet"
)

// CuttingList tells how to cut boards from big sheets: each kind of cutting once, drawn to scale, with its
// cuts in order.
type CuttingList struct {
	Head
	Proof    string // "3 sheets; proven: no list takes fewer sheets"
	Sheets   []DrawnSheet
	Cautions []string
}

// Title names the paper.
func (CuttingList) Title() string { return "Cutting list" }

// DrawnSheet is one kind of cutting as a reader sees it.
type DrawnSheet struct {
	Title  string // "Cutting 1: mount board, 32 × 40 in, 2 alike"
	Steps  []string
	Boards []string // "4 × board 12 × 16 in"
	Waste  string
	View   View
	Marks  []Mark // on the drawing: numbers of cuts, names of boards
}

// Mark is a word on a drawing, centred on X, Y. Cut says that it numbers a cut.
type Mark struct {
	X, Y measure.Length
	Text string
	Cut  bool
}

// BoardCut is one cut through a panel from edge to edge: upright from bottom to top at X = At, or level
// from left to right at Y = At; Of is the panel cut, Measure what is measured from its left or lower edge.
type BoardCut struct {
	Step    int            `json:"step"`
	Upright bool           `json:"upright"`
	At      measure.Length `json:"at"`
	Measure measure.Length `json:"measure"`
	Of      Place          `json:"of"`
}

// Place is a rectangle on a big sheet, from its lower left corner.
type Place struct {
	X      measure.Length `json:"x"`
	Y      measure.Length `json:"y"`
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
}

// CutBoard is a board, or with no name an offcut, on a big sheet.
type CutBoard struct {
	Board string `json:"board,omitempty"`
	Place
}

// BladeCautions is the usual caution for work with blades (common practice, no source).
func BladeCautions() []string {
	return []string{
		"Cut away from you, along a steel rule, on a cutting mat; keep the other hand behind the blade.",
		"Use a sharp blade, cut in several light strokes, and cover the blade between cuts.",
		"Follow the maker's and local safety advice.",
	}
}

// KnifeCautions is the usual caution for cutting boards (common practice, no source).
func KnifeCautions() []string {
	return append(BladeCautions(), "Stand, clamp the rule on long cuts, and never cut towards the hand that holds it. With a machine, keep its guards on and follow its maker's rules.")
}

// Alike is sheets of one kind that are cut in the same way.
type Alike struct {
	Stock, Copies int
	Panel         onesheet.Panel
}

// AlikeSheets gathers sheets that are cut alike, in the order of their first.
func AlikeSheets(sheets []cutting.Cutting) []Alike {
	var out []Alike
	for _, s := range sheets {
		i := slices.IndexFunc(out, func(a Alike) bool { return a.Stock == s.Stock && reflect.DeepEqual(a.Panel, s.Panel) })
		if i < 0 {
			out = append(out, Alike{Stock: s.Stock, Copies: 1, Panel: s.Panel})
			continue
		}
		out[i].Copies++
	}
	return out
}

// CutOrder walks a tree of cuts: the cuts in their order, the boards, and the offcuts, each from left to
// right as they come. ids names the boards.
func CutOrder(p onesheet.Panel, ids []string) (cuts []BoardCut, boards, waste []CutBoard) {
	at := Place{p.X, p.Y, p.Width, p.Height}
	switch {
	case p.Cut != nil:
		c := BoardCut{Step: p.Cut.Step, Upright: p.Cut.Upright, At: p.Cut.At, Measure: p.Cut.At - p.Y, Of: at}
		if c.Upright {
			c.Measure = p.Cut.At - p.X
		}
		cuts = append(cuts, c)
		for _, part := range p.Cut.Parts {
			c, b, w := CutOrder(part, ids)
			cuts, boards, waste = append(cuts, c...), append(boards, b...), append(waste, w...)
		}
	case p.Piece >= 0:
		boards = append(boards, CutBoard{ids[p.Piece], at})
	default:
		waste = append(waste, CutBoard{"", at})
	}
	return cuts, boards, waste
}

// SheetIn is what DrawSheet needs: the nth kind of cutting.
type SheetIn struct {
	N, Copies     int
	Name          string
	Width, Height measure.Length
	Cuts          []BoardCut
	Boards, Waste []CutBoard
}

// DrawSheet draws one kind of cutting to scale with its cuts numbered, and tells them in words.
func DrawSheet(u measure.System, in SheetIn) DrawnSheet {
	d := DrawnSheet{Title: fmt.Sprintf("Cutting %d: %s, %s", in.N, in.Name, Sides(u, in.Width, in.Height))}
	if in.Copies > 1 {
		d.Title += fmt.Sprintf(", %d cut alike", in.Copies)
	}
	for _, c := range in.Cuts {
		d.Steps = append(d.Steps, cutStep(u, c))
	}
	d.Boards = boardCounts(u, in.Boards)
	d.Waste = wasteText(in)
	d.View, d.Marks = drawCutting(u, in)
	return d
}

func cutStep(u measure.System, c BoardCut) string {
	from, side := "lower", c.Of.Height
	if c.Upright {
		from, side = "left", c.Of.Width
	}
	return fmt.Sprintf("Cut the piece of %s at %s from its %s edge (of %s).", Sides(u, c.Of.Width, c.Of.Height), c.Measure.In(u), from, side.In(u))
}

// boardCounts says how many of each board come out of one sheet, in the order of their first.
func boardCounts(u measure.System, boards []CutBoard) []string {
	var names []string
	count := map[string]int{}
	for _, b := range boards {
		name := fmt.Sprintf("%s, %s", b.Board, Sides(u, min(b.Width, b.Height), max(b.Width, b.Height)))
		if count[name] == 0 {
			names = append(names, name)
		}
		count[name]++
	}
	for i, n := range names {
		names[i] = fmt.Sprintf("%d × %s", count[n], n)
	}
	return names
}

// wasteText says how much of a sheet is left over: whole percents of its area, rounded down, and the
// largest offcut is drawn, not told.
func wasteText(in SheetIn) string {
	const mil = measure.Mil // areas in square mils keep within 64 bits
	area := func(w, h measure.Length) int64 { return int64(w/mil) * int64(h/mil) }
	whole := area(in.Width, in.Height)
	for _, b := range in.Boards {
		whole -= area(b.Width, b.Height)
	}
	return fmt.Sprintf("about %d %% of the sheet is left over", max(0, whole)*100/max(1, area(in.Width, in.Height)))
}

// drawCutting turns a sheet over: on it y runs up, in a drawing down.
func drawCutting(u measure.System, in SheetIn) (View, []Mark) {
	v := View{Name: in.Name, Sizes: []string{"sheet " + Sides(u, in.Width, in.Height)}}
	down := func(p Place) measure.Length { return in.Height - p.Y - p.Height }
	v.Shapes = append(v.Shapes, Shape{W: in.Width, H: in.Height, Role: RoleRoom})
	var marks []Mark
	for _, b := range in.Boards {
		v.Shapes = append(v.Shapes, Shape{X: b.X, Y: down(b.Place), W: b.Width, H: b.Height, Role: RoleStiff})
		marks = append(marks, Mark{X: b.X + b.Width/2, Y: down(b.Place) + b.Height/2, Text: Sides(u, b.Width, b.Height)})
	}
	for _, c := range in.Cuts {
		line := Shape{X: c.Of.X, Y: in.Height - c.At, W: c.Of.Width, Role: RoleCut}
		mark := Mark{X: c.Of.X + c.Of.Width/8, Y: in.Height - c.At}
		if c.Upright {
			line = Shape{X: c.At, Y: down(c.Of), H: c.Of.Height, Role: RoleCut}
			mark = Mark{X: c.At, Y: down(c.Of) + c.Of.Height/8}
		}
		v.Shapes = append(v.Shapes, line)
		mark.Text, mark.Cut = fmt.Sprint(c.Step), true
		marks = append(marks, mark)
	}
	return v, marks
}
