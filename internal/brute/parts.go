package brute

import (
	"cmp"
	"slices"
	"strings"

	"solander/packing"
)

// parts is one order, or several that may share parcels, with everything that parcels of the sheets can be.
type parts struct {
	orders []*packing.Order // ascending by id
	sheets []content        // ascending by order, then by id
	single []table          // by code of its contents: each admissible parcel that is best for its use
	whole  table            // as parcels: all orders, or some of them with the others held
	able   map[string]bool  // orders that can go, alone or with others
}

// content is a sheet with its order.
type content struct {
	*packing.Sheet
	order *packing.Order
}

// part fills the tables of one order. Contents are coded as a number in mixed radix: the copies of each
// sheet, the first sheet counting least.
func (s *Search) part(orders []*packing.Order) *parts {
	p := &parts{orders: orders, whole: table{}, able: map[string]bool{}}
	for _, o := range orders {
		for i := range o.Sheets {
			p.sheets = append(p.sheets, content{&o.Sheets[i], o})
		}
	}
	slices.SortFunc(p.sheets, func(a, b content) int {
		return cmp.Or(strings.Compare(a.order.ID, b.order.ID), strings.Compare(a.ID, b.ID))
	})
	states := 1
	for _, sheet := range p.sheets {
		states *= copies(sheet) + 1
	}
	p.single = make([]table, states)
	for code := 1; code < states; code++ {
		p.single[code] = s.parcels(p.contents(code))
	}
	split := s.splits(p)
	for some := range 1 << len(orders) {
		if some == 0 {
			continue
		}
		held := len(orders)
		for i := range orders {
			held -= some >> i & 1
		}
		for u, c := range split(p.all(some)).each() {
			p.whole.offer(u, c.plus(worth{held: held}), c.parcels, nil)
			for i, o := range orders {
				p.able[o.ID] = p.able[o.ID] || some>>i&1 == 1
			}
		}
	}
	return p
}

// all is the code of all sheets of some orders: bit i stands for the i-th.
func (p *parts) all(some int) int {
	code, radix := 0, 1
	for _, sheet := range p.sheets {
		if some>>slices.Index(p.orders, sheet.order)&1 == 1 {
			code += radix * copies(sheet)
		}
		radix *= copies(sheet) + 1
	}
	return code
}

func copies(sheet content) int { return max(sheet.Copies, 1) }

// contents reads a code.
func (p *parts) contents(code int) []packing.Content {
	var out []packing.Content
	for _, sheet := range p.sheets {
		n := code % (copies(sheet) + 1)
		code /= copies(sheet) + 1
		if n > 0 {
			out = append(out, packing.Content{Order: sheet.order.ID, Sheet: sheet.ID, Copies: n})
		}
	}
	return out
}

// within reports whether part holds no more copies of any sheet than all, and at least one of the first
// sheet that all holds.
func (p *parts) within(part, all int) bool {
	first := true
	for _, sheet := range p.sheets {
		radix := copies(sheet) + 1
		n, most := part%radix, all%radix
		if n > most || first && most > 0 && n == 0 {
			return false
		}
		first = first && most == 0
		part, all = part/radix, all/radix
	}
	return true
}

// splits parts contents into parcels in every way.
func (s *Search) splits(p *parts) func(all int) table {
	known := map[int]table{0: {uses{}: {}}}
	var of func(int) table
	of = func(all int) table {
		if t, ok := known[all]; ok {
			return t
		}
		out := table{}
		for part := 1; part <= all; part++ {
			if len(p.single[part]) == 0 || !p.within(part, all) {
				continue
			}
			for u, c := range of(all - part).each() {
				for v, d := range p.single[part].each() {
					if w, ok := s.both(u, v); ok {
						out.offer(w, c.plus(d.worth), c.parcels, d.parcels)
					}
				}
			}
		}
		known[all] = out
		return out
	}
	return of
}
