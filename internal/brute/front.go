package brute

import (
	"slices"
	"strings"

	"solander/packing"
	"solander/packing/check"
	"solander/tariff"
)

// Ways is what sending an order can measure: its cost, the calendar days to the latest arrival (NoDay when a service states none), and
// the least class of packaging (0 to 2) and step of care (0 to 3) of its parcels. Source: docs/formats/choices.md, section 1.
type Ways struct {
	Money           int64
	Days            int
	Packaging, Care int
}

// NoDay stands for the arrival of a service that states no days.
const NoDay = 1 << 20

func (a Ways) beats(b Ways) bool {
	return a != b && a.Money <= b.Money && a.Days <= b.Days && a.Packaging >= b.Packaging && a.Care >= b.Care
}

func (a Ways) plus(b Ways) Ways {
	return Ways{a.Money + b.Money, max(a.Days, b.Days), min(a.Packaging, b.Packaging), min(a.Care, b.Care)}
}

// Front is everything that the first order of a problem, alone, can measure, but for what something else beats: over every split, wrap, item,
// cut and service, with and without cover and signature.
func Front(problem packing.Problem) []Ways {
	problem.Orders = problem.Orders[:1]
	var all []*Search
	for _, extra := range []packing.Then{{}, {FullCover: true}, {Signature: true}, {FullCover: true, Signature: true}} {
		p := problem
		if extra.FullCover || extra.Signature {
			p.Rules = append(slices.Clone(p.Rules), packing.Rule{ID: "extra of the search", Then: extra})
		}
		s := &Search{problem: &p, reckoner: check.NewReckoner(&p), scarce: map[string]int{}, mats: map[string][]packing.Mat{}}
		s.offers = s.reckoner.Offers()
		for i := range p.Shelf {
			if it := &p.Shelf[i]; it.Stock != nil {
				s.stock[len(s.scarce)] = *it.Stock
				s.scarce[it.ID] = len(s.scarce)
			}
		}
		all = append(all, s)
	}
	o := &problem.Orders[0]
	parts := &parts{orders: []*packing.Order{o}}
	for i := range o.Sheets {
		parts.sheets = append(parts.sheets, content{&o.Sheets[i], o})
	}
	slices.SortFunc(parts.sheets, func(a, b content) int { return strings.Compare(a.ID, b.ID) })
	states := 1
	for _, sheet := range parts.sheets {
		states *= copies(sheet) + 1
	}
	single := make([]measured, states)
	for code := 1; code < states; code++ {
		single[code] = measured{}
		for _, s := range all {
			s.measure(parts.contents(code), single[code])
		}
	}
	known := map[int]measured{0: {uses{}: {{Packaging: 2, Care: 3}}}}
	var of func(int) measured
	of = func(whole int) measured {
		if m, ok := known[whole]; ok {
			return m
		}
		out := measured{}
		for part := 1; part <= whole; part++ {
			if len(single[part]) == 0 || !parts.within(part, whole) {
				continue
			}
			for u, ways := range of(whole - part) {
				for v, more := range single[part] {
					w, ok := all[0].both(u, v)
					if !ok {
						continue
					}
					for _, a := range ways {
						for _, b := range more {
							out.add(w, a.plus(b))
						}
					}
				}
			}
		}
		known[whole] = out
		return out
	}
	end := measured{}
	for _, ways := range of(states - 1) {
		for _, w := range ways {
			end.add(uses{}, w)
		}
	}
	return end[uses{}]
}

// measured holds, for each use of the stock, what no other way of that use beats.
type measured map[uses][]Ways

func (m measured) add(u uses, w Ways) {
	list := m[u]
	if slices.ContainsFunc(list, func(o Ways) bool { return o == w || o.beats(w) }) {
		return
	}
	m[u] = append(slices.DeleteFunc(list, w.beats), w)
}

// measure adds every admissible parcel of some contents.
func (s *Search) measure(contents []packing.Content, into measured) {
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
			w := Ways{Money: parcel.Cost, Days: NoDay, Packaging: s.stiffness(parcel.Wrap), Care: s.care(&parcel)}
			if !parcel.Arrives.IsZero() {
				w.Days = parcel.Arrives.Sub(s.problem.Day)
			}
			into.add(use, w)
		}
	}
}

// stiffness is the class of a wrap: 2 in a carton or a tube; 1 when a layer of board or envelope round each sheet or all of them may hold
// stiff items only; else 0.
func (s *Search) stiffness(id string) int {
	w := s.problem.Wraps[slices.IndexFunc(s.problem.Wraps, func(w packing.Wrap) bool { return w.ID == id })]
	if last := w.Layers[len(w.Layers)-1].Kind; last != packing.Envelope {
		return 2
	}
	for _, l := range w.Layers {
		if l.Per == packing.PerGap || l.Kind != packing.Board && l.Kind != packing.Envelope {
			continue
		}
		items := l.Items
		if len(items) == 0 {
			items = s.ofKind(l.Kind)
		}
		if len(items) > 0 && !slices.ContainsFunc(items, func(id string) bool { return !s.item(id).Stiff }) {
			return 1
		}
	}
	return 0
}

// care is the step of care of a parcel.
func (s *Search) care(p *packing.Parcel) int {
	var service *tariff.Service
	for i := range s.problem.Cards {
		if c := &s.problem.Cards[i]; c.ID == p.Card {
			service = &c.Services[slices.IndexFunc(c.Services, func(x tariff.Service) bool { return x.ID == p.Service })]
		}
	}
	included := p.Value <= 0 || service.Cover != nil && service.Cover.Included >= p.Value
	free, _, sold := service.Cover.Price(p.Value)
	switch {
	case !service.Tracking:
		return 0
	case !included && p.Cover < p.Value && (!sold || free > 0):
		return 1
	case !p.Signature:
		return 2
	}
	return 3
}
