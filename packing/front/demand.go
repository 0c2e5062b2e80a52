package front

import (
	"slices"

	"solander/calendar"
	"solander/packing"
	"solander/tariff"
)

// Demand is what is asked of every parcel of an order beyond the rules of its problem. The zero Demand asks nothing.
type Demand struct {
	ArriveBy   calendar.Day `json:"arrive_by,omitzero"` // latest day of arrival; no day = any
	Protection              // at least so much
}

// asksAll reports whether a demand asks all that another does.
func (d Demand) asksAll(o Demand) bool {
	return d.AtLeast(o.Protection) && (o.ArriveBy.IsZero() || !d.ArriveBy.IsZero() && !d.ArriveBy.After(o.ArriveBy))
}

// kept reports whether a measure keeps the demand.
func (d Demand) kept(m Measure) bool {
	return m.AtLeast(d.Protection) && (d.ArriveBy.IsZero() || !m.Arrives.IsZero() && !m.Arrives.After(d.ArriveBy))
}

// On asks a demand of one order of a problem. It changes the order, which is the caller's own, and returns the house rules that it adds:
// so that plan, check and reasons know of nothing new. The order's own wish to arrive stays when it is the sooner. A demand whose day
// is before that of the problem is not one that can be asked.
func (d Demand) On(p *packing.Problem, o *packing.Order) []packing.Rule {
	if !d.ArriveBy.IsZero() && (o.ArriveBy.IsZero() || d.ArriveBy.Before(o.ArriveBy)) {
		o.ArriveBy = d.ArriveBy
	}
	then := packing.Then{Tracking: d.Care != Untracked, FullCover: d.Care == Covered || d.Care == Signed, Signature: d.Care == Signed}
	for i := range p.Wraps {
		if rank(Packagings(), packagingOf(&p.Wraps[i], p.Shelf)) < rank(Packagings(), d.Packaging) {
			then.NotWraps = append(then.NotWraps, p.Wraps[i].ID)
		}
	}
	if !then.Tracking && len(then.NotWraps) == 0 {
		return nil
	}
	return []packing.Rule{{ID: ruleID(p, o.ID), Text: "your choice for " + o.ID, When: packing.When{Orders: []string{o.ID}}, Then: then}}
}

// ruleID is a name for the rule of an order that no house rule has. An id has at most 80 characters, so the order's may be cut.
func ruleID(p *packing.Problem, order string) string {
	id := []rune("chosen " + order)
	if len(id) > 80 {
		id = id[len(id)-80:]
		id[0] = '…'
	}
	for slices.ContainsFunc(p.Rules, func(r packing.Rule) bool { return r.ID == string(id) }) {
		id[0]++
	}
	return string(id)
}

// Arrivals lists the days on which a parcel of an order may arrive by the cards of a problem, each once.
func Arrivals(p *packing.Problem, o *packing.Order) []calendar.Day {
	var out []calendar.Day
	for i := range p.Cards {
		c := &p.Cards[i]
		for j := range c.Services {
			s := &c.Services[j]
			if s.Days == nil {
				continue
			}
			if _, why := tariff.NewOffer(c, s, p.Origin, o.Destination); why != nil {
				continue
			}
			if day := s.Days.Arrives(p.Day, p.Holidays); !slices.Contains(out, day) {
				out = append(out, day)
			}
		}
	}
	return out
}
