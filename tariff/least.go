package tariff

import "solander/measure"

// Step is part of a lower bound of postage: a parcel of at most Mass costs at least Price.
type Step struct {
	Mass  measure.Mass
	Price int64
}

// Least is a lower bound of the postage, without cover, of every parcel none of whose sides is shorter than
// that of low and which else is like low; of low's mass nothing is used. Steps ascend by mass and their
// prices never fall; beyond the last mass nothing is carried. None: the service takes no such parcel.
// It is cautious: what is not certain costs nothing and is allowed.
func (o *Offer) Least(low *Parcel, e Extras) []Step {
	if s := low.Size; low.Form == Cylinder && s.Width != s.Height {
		round := *low // a disc has a greater girth than a roll as thick as it is wide: take the thinner roll
		round.Size.Width = s.Height
		low = &round
	}
	limit, ok := o.ceiling(low, e)
	if !ok {
		return nil
	}
	sure := o.sureFees(low)
	if e.Signature {
		sure += *o.Service.Signature
	}
	if o.Service.Prices.By != ByMass {
		return []Step{{limit, o.Cheapest() + sure}}
	}
	var out []Step
	price, cap := int64(-1), limit
	for i := len(o.column) - 1; i >= 0; i-- {
		if c := o.column[i]; c != NotCarried && (price < 0 || int64(c) < price) {
			price = int64(c)
		}
		if m := min(o.Service.Prices.Rows[i].Mass, cap); price >= 0 && (i == 0 || o.Service.Prices.Rows[i-1].Mass < limit) {
			out = append(out, Step{m, price + sure})
		}
	}
	for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
		out[i], out[j] = out[j], out[i]
	}
	return out
}

// ceiling is a mass that nothing the service takes exceeds; false when it takes no such parcel.
func (o *Offer) ceiling(low *Parcel, e Extras) (measure.Mass, bool) {
	limit := measure.MaxMass
	if o.most > 0 {
		limit = o.most
	}
	s := o.Service
	if s.Container != low.Container || s.Flexible && low.Stiff || e.Tracking && !s.Tracking || e.Signature && s.Signature == nil {
		return 0, false
	}
	if len(s.Forms) > 0 && !hasForm(s.Forms, low.Form) {
		return 0, false
	}
	for i := range s.Limits {
		b := s.Limits[i]
		if b.Form != "" && b.Form != low.Form || b.Measure == ValueOf {
			continue
		}
		if b.Measure == MassOf {
			if b.Max != nil {
				limit = min(limit, measure.Mass(*b.Max))
			}
			continue
		}
		upper := Bound{Measure: b.Measure, Max: b.Max, Under: b.Under}
		if _, _, ok := upper.holds(low); !ok {
			return 0, false
		}
	}
	return limit, true
}

func hasForm(list []Form, f Form) bool {
	for _, x := range list {
		if x == f {
			return true
		}
	}
	return false
}

// sureFees adds the surcharges that every parcel no smaller than low pays.
func (o *Offer) sureFees(low *Parcel) int64 {
	all := o.Service.Surcharges
	largest, total := map[string]int64{}, int64(0)
	for i := range all {
		if !all[i].sure(low) {
			continue
		}
		if all[i].Group == "" {
			total += all[i].Amount
		} else {
			largest[all[i].Group] = max(largest[all[i].Group], all[i].Amount)
		}
	}
	for _, a := range largest {
		total += a
	}
	return total
}

// sure reports that the conditions hold for low and go on holding for larger parcels.
func (c *Surcharge) sure(low *Parcel) bool {
	if c.Stiff != nil && !(*c.Stiff && low.Stiff) {
		return false
	}
	for i := range c.When {
		b := &c.When[i]
		if b.Measure == MassOf || b.Measure == ValueOf || b.Max != nil || b.Under != nil {
			return false
		}
	}
	return c.applies(low)
}
