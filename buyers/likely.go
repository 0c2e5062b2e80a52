package buyers

import (
	"context"
	"maps"
	"slices"

	"solander/order"
	"solander/studio"
)

// LikelyBuyer is a buyer who may be the same person as another.
type LikelyBuyer struct {
	order.Buyer
	studio.Dealing
	Place order.Address `json:"place"` // to which her latest order went
	Rule  string        `json:"rule"`  // why: order.ByEmail and its like
}

// LikelyGroup is buyers who may be one person, who has been in the book longest first.
type LikelyGroup struct {
	Buyers []LikelyBuyer `json:"buyers"`
}

const (
	mostSharing = 1000 // buyers that are compared for the list of who may be the same
	mostGroups  = 50   // groups of that list
)

// LikelyBuyers lists buyers who may be the same person, by the rules of order.Alike, without those who were told apart. It compares up
// to 1000 buyers who share a name or an e-mail address, and tells up to 50 groups; what is settled makes room for the next.
func LikelyBuyers(ctx context.Context, s *studio.Studio) ([]LikelyGroup, error) {
	out := []LikelyGroup{}
	err := read(ctx, s, func(t *People) error {
		all, err := t.BuyersSharing(mostSharing)
		if err != nil || len(all) < 2 {
			return err
		}
		ps, err := t.parties(all)
		if err != nil {
			return err
		}
		apart, err := t.KnownApart()
		if err != nil {
			return err
		}
		of := map[int64]order.Buyer{}
		for _, b := range all {
			of[b.ID] = b
		}
		for _, g := range alikeGroups(ps, apart) {
			group, err := t.likelyGroup(g, of, ps)
			if err != nil {
				return err
			}
			out = append(out, group)
		}
		return nil
	})
	return out, err
}

// likeness is two parties that may be one person.
type likeness struct {
	a, b int64
	rule string
}

// group is persons that may be one, ascending, each with why.
type group struct {
	ids  []int64
	rule map[int64]string
}

// alikeGroups gathers who may be one person. Where two of a group were told apart, each likeness stands alone.
func alikeGroups(all []order.Party, apart map[[2]int64]bool) []group {
	found := likenesses(all, apart)
	next := map[int64][]likeness{}
	for _, l := range found {
		next[l.a], next[l.b] = append(next[l.a], l), append(next[l.b], l)
	}
	var out []group
	seen := map[int64]bool{}
	for _, l := range found {
		if seen[l.a] {
			continue
		}
		g := group{rule: map[int64]string{}}
		var edges []likeness
		for queue := []int64{l.a}; len(queue) > 0; queue = queue[1:] {
			id := queue[0]
			if seen[id] {
				continue
			}
			seen[id] = true
			g.ids = append(g.ids, id)
			for _, e := range next[id] {
				g.rule[e.a], g.rule[e.b] = order.Stronger(g.rule[e.a], e.rule), order.Stronger(g.rule[e.b], e.rule)
				if e.a == id {
					edges = append(edges, e)
				}
				queue = append(queue, e.a, e.b)
			}
		}
		slices.Sort(g.ids)
		if !anyPair(g.ids, apart) && len(g.ids) <= mostTogether {
			out = append(out, g)
			continue
		}
		for _, e := range edges {
			out = append(out, group{ids: []int64{e.a, e.b}, rule: map[int64]string{e.a: e.rule, e.b: e.rule}})
		}
	}
	return out[:min(len(out), mostGroups)]
}

func anyPair(ids []int64, apart map[[2]int64]bool) bool {
	for i, a := range ids {
		for _, b := range ids[:i] {
			if apart[Pair(a, b)] {
				return true
			}
		}
	}
	return false
}

// likenesses compares everybody with who shares a name or an e-mail address.
func likenesses(all []order.Party, apart map[[2]int64]bool) []likeness {
	shelf := map[string][]int{}
	all = slices.Clone(all)
	for i, p := range all {
		all[i] = p.Ready()
		shelf["n"+order.NameKey(p.Name)] = append(shelf["n"+order.NameKey(p.Name)], i)
		if key := order.EmailKey(p.Email); key != "" {
			shelf["e"+key] = append(shelf["e"+key], i)
		}
	}
	seen := map[[2]int64]bool{}
	var out []likeness
	for i, p := range all {
		for _, key := range []string{"e" + order.EmailKey(p.Email), "n" + order.NameKey(p.Name)} {
			for _, j := range shelf[key] {
				k := Pair(p.Person, all[j].Person)
				if j <= i || seen[k] || apart[k] || k[0] == k[1] {
					continue
				}
				seen[k] = true
				if like, rule := order.Alike(p, all[j]); like >= order.Perhaps {
					out = append(out, likeness{k[0], k[1], rule})
				}
			}
		}
	}
	return out
}

func (t *People) likelyGroup(g group, of map[int64]order.Buyer, ps []order.Party) (LikelyGroup, error) {
	dealings, err := t.Dealings(g.ids)
	if err != nil {
		return LikelyGroup{}, err
	}
	var out LikelyGroup
	for _, id := range g.ids {
		b := LikelyBuyer{Buyer: of[id], Dealing: dealings[id], Rule: g.rule[id]}
		if i := slices.IndexFunc(ps, func(p order.Party) bool { return p.Person == id && len(p.Addresses) > 0 }); i >= 0 {
			b.Place = ps[i].Addresses[0]
		}
		out.Buyers = append(out.Buyers, b)
	}
	return out, nil
}

// likelyOf lists who may be the same person as one.
func (t *People) likelyOf(b order.Buyer, writings []order.Buyer) ([]LikelyBuyer, error) {
	if b.Apart {
		return nil, nil
	}
	apart, err := t.KnownApart()
	if err != nil {
		return nil, err
	}
	mine, err := t.parties(append([]order.Buyer{b}, writings...))
	if err != nil {
		return nil, err
	}
	rule, like := map[int64]string{}, map[int64]order.Likeness{}
	for _, m := range mine {
		known, err := t.BuyersAlike(m.Name, m.Email)
		if err != nil {
			return nil, err
		}
		others, err := t.parties(known)
		if err != nil {
			return nil, err
		}
		for _, p := range others {
			l, r := order.Alike(m, p)
			if p.Person != b.ID && l >= order.Perhaps && l > like[p.Person] && !apart[Pair(p.Person, b.ID)] {
				like[p.Person], rule[p.Person] = l, r
			}
		}
	}
	g := group{ids: slices.Sorted(maps.Keys(rule)), rule: rule}
	of := map[int64]order.Buyer{}
	var ps []order.Party
	for _, id := range g.ids {
		if of[id], err = t.Buyer(id); err != nil {
			return nil, err
		}
		at, err := t.Places(id, 1)
		if err != nil {
			return nil, err
		}
		ps = append(ps, order.Party{Person: id, Addresses: at})
	}
	out, err := t.likelyGroup(g, of, ps)
	return out.Buyers, err
}
