package means

import "solander/measure"

// Standing returns the bases of a carton to try for contents that go into the whole one. When smaller is always at least as good,
// and not every one is asked for, the least is enough, with the longer side of the contents along its length or along its width.
func (l *Layer) Standing(it *Item, long, short measure.Length, every bool) []Base {
	if len(it.Bases) == 1 {
		return it.Bases
	}
	long, short = long+2*l.Clearance.Sides, short+2*l.Clearance.Sides
	var out []Base
	if every {
		for _, b := range it.Bases {
			if b.Long >= long && b.Short >= short {
				out = append(out, b)
			}
		}
		return out
	}
	for _, need := range [2][2]measure.Length{{long, short}, {short, long}} {
		a, b := atLeast(it.Lengths, need[0]), atLeast(it.Widths, need[1])
		if a > 0 && b > 0 {
			out = append(out, it.BaseOf(a, b))
		}
	}
	if len(out) == 2 {
		for i := range out {
			if a, b := out[i], out[1-i]; a.OutLong <= b.OutLong && a.OutShort <= b.OutShort {
				return out[i : i+1]
			}
		}
	}
	return out
}

// atLeast is the first of ascending sizes that is not below a length, or 0.
func atLeast(sizes []measure.Length, least measure.Length) measure.Length {
	for _, s := range sizes {
		if s >= least {
			return s
		}
	}
	return 0
}
