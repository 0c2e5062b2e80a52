package papers_test

import (
	"testing"

	"pgregory.net/rapid"

	"solander/fault"
	"solander/measure"
	"solander/papers"
)

// By hand, from the sizes as they are commonly printed on such sheets: what is left at the right and at the foot.
func TestCommonStickersLieOnTheirPaper(t *testing.T) {
	const in, mm = measure.Inch, measure.Millimetre
	rest := map[string][2]measure.Length{
		"4x2in": {5 * in / 32, in / 2}, "4x3-1/3in": {5 * in / 32, in / 2}, "4x1-1/3in": {5 * in / 32, 5 * in / 6}, "8-1/2x5-1/2in": {0, 0},
		"99x68mm": {465 * mm / 100, 131 * mm / 10}, "99x57mm": {465 * mm / 100, 6 * mm}, "105x148mm": {0, 0}, "105x74mm": {0, 0},
	}
	for _, s := range papers.StickerSizes() {
		if err := s.Validate(s.Places()); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
		want, known := rest[s.Name]
		if !known {
			t.Errorf("%s is not checked", s.Name)
			continue
		}
		x, y := s.At(s.Places() - 1)
		const near = mm / 2
		right, foot := s.Paper.Width-x-s.Width-want[0], s.Paper.Height-y-s.Height-want[1]
		if max(right, -right) > near || max(foot, -foot) > near {
			t.Errorf("%s: %v at the right and %v at the foot are left more than at the left and the top", s.Name, right, foot)
		}
	}
}

// A sheet is taken exactly when all its places lie on the paper and none on another.
func TestASheetIsTakenWhenItsPlacesAreApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := func(name string, least int64) measure.Length {
			return measure.Length(rapid.Int64Range(least, 240).Draw(t, name)) * measure.Millimetre
		}
		s := papers.Stickers{
			Paper: rapid.SampledFrom(papers.Leaves()).Draw(t, "paper"), Columns: rapid.IntRange(1, 5).Draw(t, "columns"), Rows: rapid.IntRange(1, 5).Draw(t, "rows"),
			Width: length("width", 10), Height: length("height", 10), Left: length("left", 0) / 8, Top: length("top", 0) / 8, Across: length("across", 0), Down: length("down", 0),
		}
		fits := true
		for i := range s.Places() {
			x, y := s.At(i)
			fits = fits && x+s.Width <= s.Paper.Width && y+s.Height <= s.Paper.Height
			for j := range i {
				ox, oy := s.At(j)
				fits = fits && (x >= ox+s.Width || ox >= x+s.Width || y >= oy+s.Height || oy >= y+s.Height)
			}
		}
		err := s.Validate(1)
		if (err == nil) != fits {
			t.Fatalf("the places fit: %v; %v", fits, err)
		}
		for _, e := range fault.All(err) {
			if e.Field == "" || e.Mend == "" {
				t.Fatalf("%v names no field or no mend", e)
			}
		}
	})
}
