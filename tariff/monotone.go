package tariff

// The facts in this file let a search leave out parcels that cannot be the cheapest. They are cautious:
// false means "not known", and then nothing may be left out.

// Cheapest is the lowest price in the table for this zone: no parcel costs less by this service.
func (o *Offer) Cheapest() int64 {
	low := int64(-1)
	for _, c := range o.column {
		if c != NotCarried && (low < 0 || int64(c) < low) {
			low = int64(c)
		}
	}
	return max(low, 0)
}

// GrowsWithMass reports that a lighter parcel of the same size is taken whenever a heavier one is, and
// never costs more.
func (o *Offer) GrowsWithMass() bool {
	s := o.Service
	if s.Prices.By == ByMass && !o.ascends() {
		return false
	}
	for i := range s.Limits {
		if b := &s.Limits[i]; b.Measure == MassOf && (b.Min != nil || b.Over != nil) {
			return false
		}
	}
	return !s.fallingFee(func(m Measure) bool { return m == MassOf })
}

// GrowsWithSize reports that a parcel of the same form and mass with no side longer never costs more,
// and is taken when the larger one is, save for the lower limits that Floors returns.
func (o *Offer) GrowsWithSize() bool {
	s := o.Service
	if s.Prices.By == ByVolume && !o.ascends() {
		return false
	}
	if s.Dimensional != nil && s.Prices.By == ByMass && !o.ascends() {
		return false
	}
	return !s.fallingFee(func(m Measure) bool { return m != MassOf && m != ValueOf })
}

// GrowsWithStiffness reports that a parcel that bends is never dearer than a stiff one.
func (o *Offer) GrowsWithStiffness() bool {
	for i := range o.Service.Surcharges {
		if s := &o.Service.Surcharges[i]; s.Stiff != nil && !*s.Stiff {
			return false
		}
	}
	return true
}

// Floors returns the limits that a parcel may break by being too small.
func (o *Offer) Floors() []Bound {
	var out []Bound
	for _, b := range o.Service.Limits {
		if b.Measure != MassOf && b.Measure != ValueOf && (b.Min != nil || b.Over != nil) {
			out = append(out, Bound{Form: b.Form, Measure: b.Measure, Min: b.Min, Over: b.Over})
		}
	}
	return out
}

// Met reports whether the bound leaves the parcel alone or holds for it.
func (b *Bound) Met(p *Parcel) bool {
	if b.Form != "" && b.Form != p.Form {
		return true
	}
	_, _, ok := b.holds(p)
	return ok
}

// ascends reports that the zone's prices never fall and that no dash stands before a price.
func (o *Offer) ascends() bool {
	for i := 1; i < len(o.column); i++ {
		was, now := o.column[i-1], o.column[i]
		if now != NotCarried && (was == NotCarried || now < was) {
			return false
		}
	}
	return true
}

// fallingFee reports a surcharge that might end when a measure of interest grows.
func (s *Service) fallingFee(of func(Measure) bool) bool {
	for i := range s.Surcharges {
		for j := range s.Surcharges[i].When {
			if b := &s.Surcharges[i].When[j]; of(b.Measure) && (b.Max != nil || b.Under != nil) {
				return true
			}
		}
	}
	return false
}
