package tariff

// applies reports whether every condition of the surcharge holds.
func (c *Surcharge) applies(p *Parcel) bool {
	if c.Form != "" && c.Form != p.Form || c.Stiff != nil && *c.Stiff != p.Stiff {
		return false
	}
	for i := range c.When {
		if !c.When[i].met(p) {
			return false
		}
	}
	return true
}

// surcharges adds up what counts: every surcharge that applies, but of a group only the largest, the
// first of equals.
func (o *Offer) surcharges(p *Parcel, lines *[]Line) int64 {
	all := o.Service.Surcharges
	total := int64(0)
	for i := range all {
		if !all[i].applies(p) || outdone(all, i, p) {
			continue
		}
		total += all[i].Amount
		if lines != nil {
			*lines = append(*lines, o.line("surcharge", all[i].ID, all[i].Name, all[i].Amount, all[i].Source, all[i].Status))
		}
	}
	return total
}

// outdone reports whether another surcharge of the same group that applies counts instead of number i.
func outdone(all []Surcharge, i int, p *Parcel) bool {
	if all[i].Group == "" {
		return false
	}
	for j := range all {
		if j == i || all[j].Group != all[i].Group {
			continue
		}
		if (all[j].Amount > all[i].Amount || all[j].Amount == all[i].Amount && j < i) && all[j].applies(p) {
			return true
		}
	}
	return false
}
