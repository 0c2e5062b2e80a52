package brute

import (
	"slices"
	"strings"

	"solander/packing"
)

// parts is one order with everything that parcels of its sheets can be.
type parts struct {
	order  *packing.Order
	sheets []*packing.Sheet // ascending by id
	single []table          // by code of its contents: each admissible parcel that is best for its use
	whole  table            // the whole order in parcels
}

// part fills the tables of one order. Contents are coded as a number in mixed radix: the copies of each
// sheet, the first sheet counting least.
func (s *Search) part(o *packing.Order) *parts {
	p := &parts{order: o}
	for i := range o.Sheets {
		p.sheets = append(p.sheets, &o.Sheets[i])
	}
	slices.SortFunc(p.sheets, func(a, b *packing.Sheet) int { return strings.Compare(a.ID, b.ID) })
	states := 1
	for _, sheet := range p.sheets {
		states *= copies(sheet) + 1
	}
	p.single = make([]table, states)
	for code := 1; code < states; code++ {
		p.single[code] = s.parcels(o, p.contents(code))
	}
	p.whole = s.split(p, states-1)
	return p
}

func copies(sheet *packing.Sheet) int { return max(sheet.Copies, 1) }

// contents reads a code.
func (p *parts) contents(code int) []packing.Content {
	var out []packing.Content
	for _, sheet := range p.sheets {
		n := code % (copies(sheet) + 1)
		code /= copies(sheet) + 1
		if n > 0 {
			out = append(out, packing.Content{Order: p.order.ID, Sheet: sheet.ID, Copies: n})
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

// split parts contents into parcels in every way.
func (s *Search) split(p *parts, all int) table {
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
			for u, c := range of(all - part) {
				for v, d := range p.single[part] {
					if w, ok := s.both(u, v); ok {
						out.offer(w, c.plus(d.worth), c.parcels, d.parcels)
					}
				}
			}
		}
		known[all] = out
		return out
	}
	return of(all)
}
