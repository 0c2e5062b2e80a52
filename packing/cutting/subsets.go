package cutting

import "solander/packing/cutting/onesheet"

// subsets covers all pieces by sets that fit on a sheet in the best way, by what is left after each sheet.
type subsets struct {
	p      *planner
	sets   *onesheet.Sets
	whole  uint64 // the code of all pieces
	cover  map[uint64]covered
	scarce []int // stock of which there may be too few
	ticks  int
	cut    bool
}

type covered struct {
	rank  rank
	ok    bool
	set   uint64 // on the first sheet
	stock int
	next  uint64 // key of the rest
}

const (
	mostCoded     = 20_000
	mostDivisions = 4_000_000
	mostStates    = 2_000_000
)

// small reports whether there are so few sets of pieces that every cover is looked at.
func (p *planner) small() bool {
	sets, divisions := 1, 1
	for _, d := range p.demand {
		sets *= d.Count + 1
		divisions *= (d.Count + 1) * (d.Count + 2) / 2
		if sets > mostCoded || divisions > mostDivisions {
			return false
		}
	}
	return true
}

// subsets reports whether it has ended with the best plan there is.
func (p *planner) subsets() bool {
	s := &subsets{p: p, sets: p.sets(mostDivisions), cover: map[uint64]covered{}}
	if s.sets == nil {
		return false
	}
	s.whole = s.sets.Whole()
	states := int(s.whole) + 1
	for i, st := range p.stock {
		if st.Count > 0 && st.Count < p.total {
			s.scarce = append(s.scarce, i)
			if states *= st.Count + 1; states > mostStates {
				return false
			}
		}
	}
	last := s.best(s.key(s.whole, make([]int, len(s.scarce))))
	if s.cut {
		return false
	}
	if !last.ok {
		p.best = nil
		return true
	}
	p.best = s.sheets()
	return true
}

func (s *subsets) tick() bool {
	if s.ticks++; s.ticks%256 == 0 && s.p.ctx.Err() != nil {
		s.cut = true
	}
	return !s.cut
}

// key numbers a set together with how many of the scarce stock have been used.
func (s *subsets) key(set uint64, used []int) uint64 {
	key := uint64(0)
	for i, n := range used {
		key = key*uint64(s.p.stock[s.scarce[i]].Count+1) + uint64(n)
	}
	return key*(s.whole+1) + set
}

func (s *subsets) split(key uint64) (set uint64, used []int) {
	set, key = key%(s.whole+1), key/(s.whole+1)
	used = make([]int, len(s.scarce))
	for i := len(used) - 1; i >= 0; i-- {
		n := uint64(s.p.stock[s.scarce[i]].Count + 1)
		used[i], key = int(key%n), key/n
	}
	return set, used
}

// best returns the best cover of a set with what is left of the stock.
func (s *subsets) best(key uint64) covered {
	set, used := s.split(key)
	if set == 0 {
		return covered{ok: true}
	}
	if c, ok := s.cover[key]; ok {
		return c
	}
	var out covered
	first := s.sets.First(set)
	s.sets.Parts(set, func(part uint64) bool {
		if s.sets.Count(part, first) > 0 {
			for st := range s.p.stock {
				if s.sets.Fits(part, st) {
					s.try(&out, set, part, st, used)
				}
			}
		}
		return s.tick()
	})
	s.cover[key] = out
	return out
}

func (s *subsets) try(out *covered, set, part uint64, stock int, used []int) {
	next := append([]int{}, used...)
	for i, sc := range s.scarce {
		if sc == stock {
			if next[i]++; next[i] > s.p.stock[sc].Count {
				return
			}
		}
	}
	key := s.key(set-part, next)
	rest := s.best(key)
	if !rest.ok {
		return
	}
	if r := rest.rank.with(s.p.stock[stock]); !out.ok || r.less(out.rank) {
		*out = covered{r, true, part, stock, key}
	}
}

func (s *subsets) sheets() []sheet {
	var out []sheet
	key := s.key(s.whole, make([]int, len(s.scarce)))
	for {
		if set, _ := s.split(key); set == 0 {
			return out
		}
		c := s.cover[key]
		out = append(out, sheet{c.stock, s.sets.Joint(c.set, c.stock)})
		key = c.next
	}
}
