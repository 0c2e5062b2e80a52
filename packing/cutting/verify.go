package cutting

import (
	"fmt"

	"solander/fault"
	"solander/measure"
	"solander/packing/cutting/onesheet"
)

// Verify looks at a plan again from what was asked: every cut runs from edge to edge of its panel and takes
// its kerf, cuts follow one another, pieces have their sizes, as many as are needed and no others come
// out, and no more sheets are used than there are. It does not judge whether there is a better plan.
// Faults: Invalid, with the sheet and the first thing that is wrong.
func Verify(stock []Stock, demand []Piece, kerf measure.Length, plan CutPlan) error {
	v := &verifier{demand: demand, kerf: kerf, got: make([]int, len(demand))}
	used := make([]int, len(stock))
	cost := int64(0)
	for i, s := range plan.Sheets {
		if s.Stock < 0 || s.Stock >= len(stock) {
			return wrong(i, "there is no stock number %d", s.Stock)
		}
		used[s.Stock]++
		cost += stock[s.Stock].Cost
		size := onesheet.Panel{Width: stock[s.Stock].Width, Height: stock[s.Stock].Height}
		if p := s.Panel; p.X != 0 || p.Y != 0 || p.Width != size.Width || p.Height != size.Height {
			return wrong(i, "the panel is not the whole sheet")
		}
		v.step = 0
		if err := v.panel(s.Panel); err != nil {
			return wrong(i, "%v", err)
		}
	}
	for i, s := range stock {
		if s.Count > 0 && used[i] > s.Count {
			return fault.Invalidf("plan", "%d sheets of stock %d are cut, and there are %d", used[i], i, s.Count)
		}
	}
	for i, d := range demand {
		if v.got[i] != d.Count {
			return fault.Invalidf("plan", "%d of piece %d are cut, and %d are needed", v.got[i], i, d.Count)
		}
	}
	if cost != plan.Cost {
		return fault.Invalidf("plan", "the sheets cost %d, not %d", cost, plan.Cost)
	}
	return nil
}

func wrong(sheet int, what string, args ...any) error {
	return fault.Invalidf("plan", "sheet %d: %s", sheet+1, fmt.Sprintf(what, args...))
}

type verifier struct {
	demand []Piece
	kerf   measure.Length
	got    []int
	step   int
}

func (v *verifier) panel(p onesheet.Panel) error {
	if p.Width <= 0 || p.Height <= 0 {
		return fmt.Errorf("a panel is %d × %d nm", p.Width, p.Height)
	}
	if p.Cut == nil {
		return v.piece(p)
	}
	if p.Piece >= 0 {
		return fmt.Errorf("piece %d is cut again", p.Piece)
	}
	if v.step++; p.Cut.Step != v.step {
		return fmt.Errorf("cut %d comes as number %d", p.Cut.Step, v.step)
	}
	want, err := v.parts(p)
	if err != nil {
		return err
	}
	if len(p.Cut.Parts) != len(want) {
		return fmt.Errorf("cut %d leaves %d parts, not %d", p.Cut.Step, len(p.Cut.Parts), len(want))
	}
	for i, part := range p.Cut.Parts {
		if part.X != want[i].X || part.Y != want[i].Y || part.Width != want[i].Width || part.Height != want[i].Height {
			return fmt.Errorf("part %d of cut %d is not what the cut leaves", i+1, p.Cut.Step)
		}
		if err := v.panel(part); err != nil {
			return err
		}
	}
	return nil
}

// parts reckons what a cut leaves.
func (v *verifier) parts(p onesheet.Panel) ([]onesheet.Panel, error) {
	start, length := p.Y, p.Height
	if p.Cut.Upright {
		start, length = p.X, p.Width
	}
	first := p.Cut.At - start
	if first <= 0 || first >= length {
		return nil, fmt.Errorf("cut %d does not go through its panel", p.Cut.Step)
	}
	a, b := p, p
	if p.Cut.Upright {
		a.Width, b.X, b.Width = first, p.X+first+v.kerf, length-first-v.kerf
	} else {
		a.Height, b.Y, b.Height = first, p.Y+first+v.kerf, length-first-v.kerf
	}
	if length-first <= v.kerf {
		return []onesheet.Panel{a}, nil
	}
	return []onesheet.Panel{a, b}, nil
}

func (v *verifier) piece(p onesheet.Panel) error {
	if p.Piece < 0 {
		return nil
	}
	if p.Piece >= len(v.demand) {
		return fmt.Errorf("there is no piece number %d", p.Piece)
	}
	d := v.demand[p.Piece]
	straight := p.Width == d.Width && p.Height == d.Height
	turned := d.Turn && p.Width == d.Height && p.Height == d.Width
	if !straight && !turned {
		return fmt.Errorf("piece %d is %d × %d nm", p.Piece, p.Width, p.Height)
	}
	v.got[p.Piece]++
	return nil
}
