package brute

import (
	"iter"
	"slices"
	"strings"

	"solander/packing"
)

// daysUnknown stands for the days of a service that states none. Source: docs/formats/plan.md, section 1.
const daysUnknown = 100

// parcels is every admissible parcel with these contents; of those with equal use of stock the best.
func (s *Search) parcels(contents []packing.Content) table {
	out := table{}
	for choice := range s.each(contents) {
		packed, broken := s.reckoner.Pack(choice)
		if broken != nil {
			continue
		}
		use := s.uses(choice)
		for _, offer := range s.offers {
			parcel, broken := s.reckoner.Send(packed, offer)
			if broken != nil {
				continue
			}
			w := worth{cost: parcel.Cost, parcels: 1, days: daysUnknown}
			if !parcel.Arrives.IsZero() {
				w.days = parcel.Arrives.Sub(s.problem.Day)
			}
			if old, known := out[use]; known && w.compare(old.worth) >= 0 {
				continue
			}
			parcel.Layers = slices.Clone(parcel.Layers)
			out[use] = newChoice(w, parcel)
		}
	}
	return out
}

// Admissible returns every parcel that some contents of one order may be, ascending by sheet, whatever it costs; stock limits nothing. The
// layers of a parcel are its own.
func Admissible(problem *packing.Problem) func(contents []packing.Content) iter.Seq[packing.Parcel] {
	s := bare(problem)
	return func(contents []packing.Content) iter.Seq[packing.Parcel] {
		return func(yield func(packing.Parcel) bool) {
			for choice := range s.each(contents) {
				packed, broken := s.reckoner.Pack(choice)
				if broken != nil {
					continue
				}
				for _, offer := range s.offers {
					parcel, broken := s.reckoner.Send(packed, offer)
					if parcel.Layers = slices.Clone(parcel.Layers); broken == nil && !yield(parcel) {
						return
					}
				}
			}
		}
	}
}

func newChoice(w worth, p packing.Parcel) choice { return choice{w, []*packing.Parcel{&p}} }

func (s *Search) uses(p *packing.Parcel) uses {
	var u uses
	for _, e := range p.Layers {
		if i, scarce := s.scarce[e.Item]; scarce {
			u[i] += e.Count
		}
	}
	return u
}

// Reasons is the first rule that breaks, of every option for contents that is not admissible: each wrap,
// item, cut, axis and service.
func (s *Search) Reasons(contents []packing.Content) iter.Seq[packing.Reason] {
	return func(yield func(packing.Reason) bool) {
		for choice := range s.each(contents) {
			packed, broken := s.reckoner.Pack(choice)
			if broken != nil {
				malformed := strings.HasPrefix(broken.Rule, "plan.") // such as an axis that is the side of no sheet
				if !malformed && !yield(*broken) {
					return
				}
				continue
			}
			for _, offer := range s.offers {
				if _, broken := s.reckoner.Send(packed, offer); broken != nil && !yield(*broken) {
					return
				}
			}
		}
	}
}
