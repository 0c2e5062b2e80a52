package tariff

import "solander/measure"

// Of returns a measure of a parcel in its unit; a volume is rounded up to whole µm³.
func (m Measure) Of(p *Parcel) int64 {
	s := p.Size
	switch m {
	case Length:
		return int64(s.Length)
	case Width:
		return int64(s.Width)
	case Height:
		return int64(s.Height)
	case Girth:
		return int64(s.Girth(p.Form))
	case LengthGirth:
		return int64(s.Length + s.Girth(p.Form))
	case LengthWidthHeight:
		return int64(s.Length + s.Width + s.Height)
	case LengthTwoDiameters:
		return int64(s.Length + 2*s.Width)
	case VolumeOf:
		return int64(s.Volume())
	case MassOf:
		return int64(p.Mass)
	}
	return p.Value
}

// holds reports whether a parcel is within the bound, and otherwise what it has and which number it
// breaks. Volumes are compared exactly: rounded up for Max and Over, which a whole number of µm³ does not
// change, and by the cubic nanometre for Min and Under.
func (b *Bound) holds(p *Parcel) (got, limit int64, ok bool) {
	got = b.Measure.Of(p)
	floor := got
	if b.Measure == VolumeOf && !p.Size.wholeVolume() {
		floor = got - 1 // the whole µm³ that it reaches
	}
	switch {
	case b.Min != nil && floor < *b.Min:
		return got, *b.Min, false
	case b.Over != nil && got <= *b.Over:
		return got, *b.Over, false
	case b.Max != nil && got > *b.Max:
		return got, *b.Max, false
	case b.Under != nil && floor >= *b.Under:
		return got, *b.Under, false
	}
	return 0, 0, true
}

func (s Size) wholeVolume() bool {
	v := s.Volume().cubicNanometres()
	return v == product(s.Length, s.Width, s.Height)
}

// met reports whether the bound, as a condition, concerns the parcel and holds.
func (b *Bound) met(p *Parcel) bool {
	if b.Form != "" && b.Form != p.Form {
		return false
	}
	_, _, ok := b.holds(p)
	return ok
}

// Length rounds a length to a multiple of the step.
func (r Rounding) Length(l measure.Length) measure.Length {
	if r.Step <= 0 {
		return l
	}
	switch r.Mode {
	case Up:
		return (l + r.Step - 1) / r.Step * r.Step
	case Down:
		return l / r.Step * r.Step
	}
	// Nearest, halves up; doubled so that an odd step has its half.
	return (2*l + r.Step) / (2 * r.Step) * r.Step
}

func (r Rounding) size(s Size) Size {
	return Size{r.Length(s.Length), r.Length(s.Width), r.Length(s.Height)}
}
