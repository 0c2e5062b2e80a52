package planner

import (
	"slices"
)

// tiered is how the leaves of a parcel lie side by side; nil where each lies on the one below.
type tiered struct {
	pile *pile
	feet []foot // of each group
}

// mostFeet bounds the ways to choose packaging per sheet, where it changes the size of the leaves, that are
// tried side by side. Beyond, an order is not proven.
const mostFeet = 256

// beside adds to a list of plain stacks the same leaves side by side, as thin as they go in each room.
func (x *fold) beside(leaves [][]state, list []state) []state {
	s := x.o.spreads[x.w.index]
	s.Lock()
	defer s.Unlock()
	if s.gaps {
		for i := range list {
			list[i].tiers = x.facts.n
		}
	}
	x.footed(leaves, list, func(feet []foot, plain []state) {
		lots := s.lots(feet, x.set)
		for i := range x.w.ground {
			f := &x.w.ground[i]
			if !f.within(0, 1).wide(lots) {
				continue
			}
			s.piled(f, lots, func(p *pile) {
				if p.tiers == x.facts.n {
					return // each on the one below
				}
				d := &tiered{p, feet}
				for j := range plain {
					list = keep(list, plain[j].on(d, s), x.exact)
				}
			})
		}
	})
	return list
}

// on returns a plain stack laid out in tiers.
func (s state) on(d *tiered, sp *spread) state {
	w, h := d.pile.mat()
	s.long, s.short, s.thick, s.lies = max(w, h), min(w, h), d.pile.thick, d
	if sp.gaps {
		s.tiers = d.pile.tiers
	}
	return s
}

// footed calls do with each choice of a size for every group's leaves, and the plain stacks of such leaves; all are those
// of any size.
func (x *fold) footed(leaves [][]state, all []state, do func(feet []foot, plain []state)) {
	if feet := oneSize(leaves); feet != nil {
		do(feet, slices.Clone(all))
		return
	}
	sizes := make([][]foot, len(leaves))
	ways := 1
	for g := range leaves {
		for i := range leaves[g] {
			if f := leaves[g][i].foot(); !slices.Contains(sizes[g], f) {
				sizes[g] = append(sizes[g], f)
			}
		}
		ways *= max(len(sizes[g]), 1)
		if ways > mostFeet {
			x.o.partly.Store(true)
			ways = mostFeet
		}
	}
	for n := range ways {
		feet, some := make([]foot, len(leaves)), make([][]state, len(leaves))
		for g := range leaves {
			if len(sizes[g]) == 0 {
				continue
			}
			feet[g] = sizes[g][n%len(sizes[g])]
			n /= len(sizes[g])
			for i := range leaves[g] {
				if leaves[g][i].foot() == feet[g] {
					some[g] = append(some[g], leaves[g][i])
				}
			}
		}
		do(feet, x.lay(some, 0, nil))
	}
}

// oneSize returns the size of each group's leaves; nil when there is a choice.
func oneSize(leaves [][]state) []foot {
	feet := make([]foot, len(leaves))
	for g, list := range leaves {
		for i := range list {
			if feet[g] = list[0].foot(); list[i].foot() != feet[g] {
				return nil
			}
		}
	}
	return feet
}

func (s *state) foot() foot { return foot{s.long, s.short, s.thick} }

// gaps is how many gaps there are between the tiers of a stack.
func (x *fold) gaps(s *state) int {
	if s.tiers > 0 {
		return s.tiers - 1
	}
	return x.facts.n - 1
}

// levels is how many tiers n sheets lie in.
func (d *tiered) levels(n int) int {
	if d == nil {
		return n
	}
	return d.pile.tiers
}
