package front_test

import (
	"cmp"
	"slices"
	"strings"

	"solander/internal/brute"
	"solander/packing"
	"solander/tariff"
)

// noDay stands for the arrival of a service that states no days.
const noDay = 1 << 20

// total is what sending an order can measure: its cost, the calendar days to the latest arrival, and the least class of packaging (0 to 2)
// and step of care (0 to 3) of its parcels. Source: docs/formats/choices.md, section 1.
type total struct {
	Money           int64
	Days            int
	Packaging, Care int
}

func (a total) beats(b total) bool {
	return a != b && a.Money <= b.Money && a.Days <= b.Days && a.Packaging >= b.Packaging && a.Care >= b.Care
}

func (a total) plus(b total) total {
	return total{a.Money + b.Money, max(a.Days, b.Days), min(a.Packaging, b.Packaging), min(a.Care, b.Care)}
}

func sorted(list []total) []total {
	slices.SortFunc(list, func(a, b total) int {
		return cmp.Or(cmp.Compare(a.Money, b.Money), cmp.Compare(a.Days, b.Days), cmp.Compare(b.Packaging, a.Packaging), cmp.Compare(b.Care, a.Care))
	})
	return list
}

// mostScarce is how many kinds of items with a stock are told apart.
const mostScarce = 24

// uses counts the pieces of each item with a stock.
type uses [mostScarce]int

// totals holds, for each use of the stock, what no other way of that use beats.
type totals map[uses][]total

func (m totals) add(u uses, w total) {
	if list := m[u]; !slices.ContainsFunc(list, func(o total) bool { return o == w || o.beats(w) }) {
		m[u] = append(slices.DeleteFunc(list, w.beats), w)
	}
}

// enumeration tries everything for the one order of a problem.
type enumeration struct {
	p      *packing.Problem
	sheets []packing.Sheet
	scarce map[string]int // item: place in uses
	single map[string]totals
	known  map[string]totals
}

// enumerated is everything that the one order of a problem can measure, but for what something else beats: over every split, wrap, item, cut
// and service, with and without cover and signature.
func enumerated(p packing.Problem) []total {
	e := &enumeration{p: &p, sheets: slices.Clone(p.Orders[0].Sheets), scarce: map[string]int{}, single: map[string]totals{}, known: map[string]totals{}}
	slices.SortFunc(e.sheets, func(a, b packing.Sheet) int { return strings.Compare(a.ID, b.ID) })
	for i := range p.Shelf {
		if it := &p.Shelf[i]; it.Stock != nil {
			e.scarce[it.ID] = len(e.scarce)
		}
	}
	all := make([]int, len(e.sheets))
	for i := range e.sheets {
		all[i] = e.sheets[i].Number()
	}
	for _, extra := range []packing.Then{{}, {FullCover: true}, {Signature: true}, {FullCover: true, Signature: true}} {
		q := p
		if extra.FullCover || extra.Signature {
			q.Rules = append(slices.Clone(p.Rules), packing.Rule{ID: "extra of the search", Then: extra})
		}
		may := brute.Admissible(&q)
		for set := range sets(all) {
			into := e.single[key(set)]
			if into == nil {
				into = totals{}
				e.single[key(set)] = into
			}
			for parcel := range may(e.contents(set)) {
				if u, ok := e.uses(&parcel); ok {
					into.add(u, e.measure(&parcel))
				}
			}
		}
	}
	end := totals{}
	for _, list := range e.of(all) {
		for _, w := range list {
			end.add(uses{}, w)
		}
	}
	return sorted(end[uses{}])
}

// of is what some copies of the sheets can measure, in every split. The parcel that holds the first sheet left is chosen first.
func (e *enumeration) of(left []int) totals {
	if out, ok := e.known[key(left)]; ok {
		return out
	}
	out := totals{}
	first := slices.IndexFunc(left, func(n int) bool { return n > 0 })
	if first < 0 {
		out.add(uses{}, total{Packaging: 2, Care: 3})
	}
	for set := range sets(left) {
		if set[first] == 0 {
			continue
		}
		rest := slices.Clone(left)
		for i, n := range set {
			rest[i] -= n
		}
		for u, more := range e.single[key(set)] {
			for v, list := range e.of(rest) {
				w, ok := e.both(u, v)
				for _, a := range list {
					for _, b := range more {
						if ok {
							out.add(w, a.plus(b))
						}
					}
				}
			}
		}
	}
	e.known[key(left)] = out
	return out
}

// sets goes through every choice of some copies but none at all.
func sets(most []int) func(yield func([]int) bool) {
	return func(yield func([]int) bool) {
		set := make([]int, len(most))
		for {
			i := 0
			for ; i < len(set) && set[i] == most[i]; i++ {
				set[i] = 0
			}
			if i == len(set) {
				return
			}
			if set[i]++; !yield(slices.Clone(set)) {
				return
			}
		}
	}
}

func key(set []int) string {
	var b strings.Builder
	for _, n := range set {
		b.WriteByte(byte('0' + n))
	}
	return b.String()
}

func (e *enumeration) contents(set []int) []packing.Content {
	var out []packing.Content
	for i, n := range set {
		if n > 0 {
			out = append(out, packing.Content{Order: e.p.Orders[0].ID, Sheet: e.sheets[i].ID, Copies: n})
		}
	}
	return out
}

func (e *enumeration) uses(p *packing.Parcel) (uses, bool) {
	var u uses
	for _, l := range p.Layers {
		if i, scarce := e.scarce[l.Item]; scarce {
			u[i] += l.Count
		}
	}
	return e.both(u, uses{})
}

// both joins two uses; false when that is more than there is.
func (e *enumeration) both(a, b uses) (uses, bool) {
	for id, i := range e.scarce {
		if a[i] += b[i]; a[i] > *e.item(id).Stock {
			return a, false
		}
	}
	return a, true
}

func (e *enumeration) item(id string) *packing.Item {
	return &e.p.Shelf[slices.IndexFunc(e.p.Shelf, func(it packing.Item) bool { return it.ID == id })]
}

func (e *enumeration) measure(p *packing.Parcel) total {
	w := total{Money: p.Cost, Days: noDay, Packaging: e.stiffness(p.Wrap), Care: e.care(p)}
	if !p.Arrives.IsZero() {
		w.Days = p.Arrives.Sub(e.p.Day)
	}
	return w
}

// stiffness is the class of a wrap: 2 in a carton or a tube; 1 when a layer of board or envelope round each sheet or all of them may hold
// stiff items only; else 0.
func (e *enumeration) stiffness(id string) int {
	w := e.p.Wraps[slices.IndexFunc(e.p.Wraps, func(w packing.Wrap) bool { return w.ID == id })]
	if last := w.Layers[len(w.Layers)-1].Kind; last != packing.Envelope {
		return 2
	}
	for _, l := range w.Layers {
		if l.Per == packing.PerGap || l.Kind != packing.Board && l.Kind != packing.Envelope {
			continue
		}
		may := slices.DeleteFunc(slices.Clone(e.p.Shelf), func(it packing.Item) bool {
			return it.Kind != l.Kind || len(l.Items) > 0 && !slices.Contains(l.Items, it.ID)
		})
		if len(may) > 0 && !slices.ContainsFunc(may, func(it packing.Item) bool { return !it.Stiff }) {
			return 1
		}
	}
	return 0
}

// care is the step of care of a parcel.
func (e *enumeration) care(p *packing.Parcel) int {
	var service tariff.Service
	for _, c := range e.p.Cards {
		if c.ID == p.Card {
			service = c.Services[slices.IndexFunc(c.Services, func(x tariff.Service) bool { return x.ID == p.Service })]
		}
	}
	price, _, sold := service.Cover.Price(p.Value)
	switch {
	case !service.Tracking:
		return 0
	case p.Cover < p.Value && (!sold || price > 0):
		return 1
	case !p.Signature:
		return 2
	}
	return 3
}
