package sheet

import "solander/measure"

// Wound is sheets laid on one another to be rolled together.
type Wound struct {
	Axis      measure.Length // longest side along the axis: the length of the roll
	Strip     measure.Length // longest side that is wound
	Thickness measure.Length // of all sheets together
	Mass      measure.Mass
	Sheets    int
}

// Wind lays n copies of s into a roll no longer than axis: the long side lies along the axis when it is
// no longer than axis, else the short side. It reports false when neither fits.
func (w Wound) Wind(s Sheet, n int, axis measure.Length) (Wound, bool) {
	along, across := s.Long(), s.Short()
	if along > axis {
		along, across = across, along
	}
	if along > axis {
		return w, false
	}
	return Wound{
		Axis:      max(w.Axis, along),
		Strip:     max(w.Strip, across),
		Thickness: w.Thickness + measure.Length(n)*s.Thickness,
		Mass:      w.Mass + measure.Mass(n)*s.Mass,
		Sheets:    w.Sheets + n,
	}, true
}
