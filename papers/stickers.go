package papers

import (
	"fmt"

	"solander/fault"
	"solander/measure"
)

// Leaf is a size of paper that a printer takes.
type Leaf struct {
	Name          string
	Width, Height measure.Length
}

// Leaves are the sizes of paper for a sheet of stickers: US letter (ANSI/ASME Y14.1 size A) and A4 (ISO 216).
func Leaves() []Leaf {
	return []Leaf{{"letter", 17 * measure.Inch / 2, 11 * measure.Inch}, {"a4", 210 * measure.Millimetre, 297 * measure.Millimetre}}
}

// Units are those that the paper is measured in.
func (l Leaf) Units() measure.System {
	if l.Name == "a4" {
		return measure.Metric
	}
	return measure.Imperial
}

// LeafNamed is the paper of a name. Faults: Invalid.
func LeafNamed(name string) (Leaf, error) {
	for _, l := range Leaves() {
		if l.Name == name {
			return l, nil
		}
	}
	return Leaf{}, fault.Invalidf("paper", "there is no paper %.20q", name).ToMend("take letter or a4")
}

// Stickers is how the stickers of a sheet lie: Columns × Rows of Width × Height, the first Left and Top from the edges of
// the paper, each Across and Down from its neighbour, measured from edge to the same edge.
type Stickers struct {
	Name          string // by which it is chosen; "" = stated by its sizes
	Paper         Leaf
	Columns, Rows int
	Width, Height measure.Length
	Left, Top     measure.Length
	Across, Down  measure.Length
}

// StickerSizes are die-cut sheets as they are commonly sold, named by the size of a sticker (common practice, no source).
func StickerSizes() []Stickers {
	const in, mm = measure.Inch, measure.Millimetre
	letter, a4 := Leaves()[0], Leaves()[1]
	return []Stickers{
		{"4x2in", letter, 2, 5, 4 * in, 2 * in, 5 * in / 32, in / 2, 67 * in / 16, 2 * in},
		{"4x3-1/3in", letter, 2, 3, 4 * in, 10 * in / 3, 5 * in / 32, in / 2, 67 * in / 16, 10 * in / 3},
		{"4x1-1/3in", letter, 2, 7, 4 * in, 4 * in / 3, 5 * in / 32, 5 * in / 6, 67 * in / 16, 4 * in / 3},
		{"8-1/2x5-1/2in", letter, 1, 2, 17 * in / 2, 11 * in / 2, 0, 0, 17 * in / 2, 11 * in / 2},
		{"99x68mm", a4, 2, 4, 991 * mm / 10, 677 * mm / 10, 465 * mm / 100, 131 * mm / 10, 1016 * mm / 10, 677 * mm / 10},
		{"99x57mm", a4, 2, 5, 991 * mm / 10, 57 * mm, 465 * mm / 100, 6 * mm, 1016 * mm / 10, 57 * mm},
		{"105x148mm", a4, 2, 2, 105 * mm, 1485 * mm / 10, 0, 0, 105 * mm, 1485 * mm / 10},
		{"105x74mm", a4, 2, 4, 105 * mm, 7425 * mm / 100, 0, 0, 105 * mm, 7425 * mm / 100},
	}
}

// StickersNamed is one of StickerSizes. Faults: Invalid.
func StickersNamed(name string) (Stickers, error) {
	for _, s := range StickerSizes() {
		if s.Name == name {
			return s, nil
		}
	}
	return Stickers{}, fault.Invalidf("size", "there is no sheet of stickers %.40q", name).ToMend("take %s, or state its columns, rows and sizes", StickerSizes()[0].Name)
}

// AskedStickers is a sheet as another program or a command asks for it: by the name of a common one, or by its sizes as
// lengths, such as "4 in"; a bare number is of the studio's unit.
type AskedStickers struct {
	Size, Paper                            string
	Columns, Rows                          int
	Width, Height, Left, Top, Across, Down string
}

// Sheet is the sheet asked for; whether it can be is said by Validate. Faults: Invalid, by field.
func (a AskedStickers) Sheet(u measure.System) (Stickers, error) {
	if a.Size != "" {
		return StickersNamed(a.Size)
	}
	var l fault.List
	s := Stickers{Columns: a.Columns, Rows: a.Rows}
	var err error
	s.Paper, err = LeafNamed(a.Paper)
	l.Add(err)
	for _, x := range []struct {
		name, text string
		to         *measure.Length
	}{
		{"width", a.Width, &s.Width}, {"height", a.Height, &s.Height}, {"left", a.Left, &s.Left}, {"top", a.Top, &s.Top}, {"across", a.Across, &s.Across}, {"down", a.Down, &s.Down},
	} {
		if x.text == "" {
			continue
		}
		if *x.to, err = measure.ParseLength(x.text, u); err != nil {
			for _, e := range fault.All(err) {
				l.Add(e.In(x.name))
			}
		}
	}
	return s, l.Err()
}

// Say tells the sheet, in the units of its paper: "4 × 2 in, 2 × 5 on letter".
func (s Stickers) Say() string {
	u := s.Paper.Units()
	return fmt.Sprintf("%s, %d × %d on %s", About(u, s.Width, s.Height), s.Columns, s.Rows, s.Paper.Name)
}

// Places is how many stickers a sheet has.
func (s Stickers) Places() int { return s.Columns * s.Rows }

// mostStickers bounds columns and rows, before anything is multiplied; leastSticker is the smallest that an address is
// printed on.
const (
	mostStickers = 50
	leastSticker = 10 * measure.Millimetre
)

// Validate checks that the stickers lie on the paper, and not on each other, and that first is one of them, from 1.
// Faults: Invalid by field: columns, rows, width, height, left, top, across, down, first; Refused for a sheet larger than
// its paper.
func (s Stickers) Validate(first int) error {
	var l fault.List
	l.Check(s.Columns >= 1 && s.Columns <= mostStickers, "columns", "the stickers are in 1 to 50 columns", "count them across the sheet")
	l.Check(s.Rows >= 1 && s.Rows <= mostStickers, "rows", "the stickers are in 1 to 50 rows", "count them down the sheet")
	for _, f := range []struct {
		field       string
		got, lowest measure.Length
		what        string
	}{
		{"width", s.Width, leastSticker, "a sticker is at least 10 mm wide"},
		{"height", s.Height, leastSticker, "a sticker is at least 10 mm high"},
		{"left", s.Left, 0, "the left margin cannot be less than nothing"},
		{"top", s.Top, 0, "the top margin cannot be less than nothing"},
	} {
		l.Check(f.got >= f.lowest && f.got <= measure.Metre, f.field, f.what, "measure it on the sheet")
	}
	l.Check(s.Columns < 2 || s.Across >= s.Width && s.Across <= measure.Metre, "across", "stickers side by side would lie on each other", "measure from the left edge of one to that of the next")
	l.Check(s.Rows < 2 || s.Down >= s.Height && s.Down <= measure.Metre, "down", "stickers one below the other would lie on each other", "measure from the top edge of one to that of the next")
	if err := l.Err(); err != nil {
		return err
	}
	u := s.Paper.Units()
	wide := s.Left + measure.Length(s.Columns-1)*s.Across + s.Width
	tall := s.Top + measure.Length(s.Rows-1)*s.Down + s.Height
	larger := func(field, side string, got, limit measure.Length) {
		if got > limit {
			l.Add(fault.New(fault.Refused, "the sheet of stickers is larger than its paper: margin and %s come to %s, %s is %s", side, got.In(u), s.Paper.Name, limit.In(u)).
				In(field).ToMend("count and measure the stickers again, or take another paper"))
		}
	}
	larger("columns", "columns", wide, s.Paper.Width)
	larger("rows", "rows", tall, s.Paper.Height)
	l.Check(first >= 1 && first <= s.Places(), "first", fmt.Sprintf("the sheet has places 1 to %d", s.Places()), "count the free places row by row, from the top left")
	return l.Err()
}

// At is where a place is on its sheet, from 0, row by row.
func (s Stickers) At(place int) (x, y measure.Length) {
	return s.Left + measure.Length(place%s.Columns)*s.Across, s.Top + measure.Length(place/s.Columns)*s.Down
}

// StickerSheet is address labels on sheets of stickers.
type StickerSheet struct {
	Head
	Stickers Stickers
	First    int // the first free place of the first sheet, from 1
	Labels   []AddressLabel
}

// Title names the paper.
func (StickerSheet) Title() string { return "Address stickers" }

// View draws the sheet with its places; those before the first free one are taken.
func (s Stickers) View(first int) View {
	v := View{Name: s.Say(), Shapes: []Shape{{W: s.Paper.Width, H: s.Paper.Height, Role: RoleShell}}}
	for place := range s.Places() {
		x, y := s.At(place)
		role := RolePrint
		if place < first-1 {
			role = RoleStiff
		}
		v.Shapes = append(v.Shapes, Shape{X: x, Y: y, W: s.Width, H: s.Height, Role: role})
	}
	return v
}
