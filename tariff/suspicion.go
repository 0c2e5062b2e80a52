package tariff

import (
	"fmt"
	"slices"
	"strconv"

	"solander/measure"
)

// Suspicion is something in a card that is possible but looks like a slip of the pen. Zone and Step name the cell, ""
// where it is none.
type Suspicion struct {
	Kind    string // "hole", "weight dip", "zone dip", "gap", "missing zone", "shape dip"
	Service string
	Zone    string
	Step    string
	Text    string
	Mend    string
}

// Suspicions looks for holes, prices that fall with mass, zone or shape, missing whole pounds and zones without prices, as
// docs/formats/tariff.md, section 9, says. An empty answer does not prove a card right.
func (c *Card) Suspicions() []Suspicion {
	var out []Suspicion
	for i := range c.Services {
		s := &c.Services[i]
		add := func(f Suspicion) {
			f.Service = s.ID
			out = append(out, f)
		}
		home := s.Abroad == nil || !*s.Abroad
		for col := range max(1, len(s.Prices.Zones)) {
			columnSuspicions(&s.Prices, col, home, add)
		}
		if home {
			zoneDips(&s.Prices, add)
			gaps(&s.Prices, add)
		}
		c.missingZones(s, add)
		for j := range c.Services {
			if larger := &c.Services[j]; j != i && s.within(larger) {
				shapeDips(s, larger, add)
			}
		}
	}
	return out
}

// Cell names the cell of a suspicion in words, "" where it is none.
func (f Suspicion) Cell() string {
	zone := f.Zone
	if zone != "" {
		zone = "zone " + zone
	}
	switch {
	case f.Step == "":
		return zone
	case zone == "":
		return "up to " + f.Step
	}
	return zone + ", up to " + f.Step
}

func (t *Prices) zone(col int) string {
	if len(t.Zones) == 0 {
		return ""
	}
	return t.Zones[col]
}

// every names a column in a sentence.
func every(zone string) string {
	if zone == "" {
		return "every zone"
	}
	return "zone " + zone
}

func (r Row) step() string {
	if r.Mass > 0 {
		return r.Mass.String()
	}
	return r.Volume.String()
}

func columnSuspicions(t *Prices, col int, home bool, add func(Suspicion)) {
	const missing = "look whether the list has a dash there; else write the price"
	last, zone := NotCarried, t.zone(col)
	hole := -1
	for i, r := range t.Rows {
		p := r.Prices[col]
		if p == NotCarried {
			hole = i
			continue
		}
		if hole >= 0 && (home || last != NotCarried) {
			step := t.Rows[hole].step()
			add(Suspicion{Kind: "hole", Zone: zone, Step: step, Text: fmt.Sprintf("%s: no price at %s but one at %s", every(zone), step, r.step()), Mend: missing})
		}
		hole = -1
		if last != NotCarried && p < last {
			add(Suspicion{
				Kind: "weight dip", Zone: zone, Step: r.step(), Text: fmt.Sprintf("%s: %s costs less than the step before it", every(zone), r.step()),
				Mend: "compare both prices with the list",
			})
		}
		last = p
	}
	if hole >= 0 && home {
		step := t.Rows[hole].step()
		add(Suspicion{Kind: "hole", Zone: zone, Step: step, Text: fmt.Sprintf("%s: no price at %s", every(zone), step), Mend: missing})
	}
}

func zoneDips(t *Prices, add func(Suspicion)) {
	for col := 1; col < len(t.Zones); col++ {
		a, err1 := strconv.Atoi(t.Zones[col-1])
		b, err2 := strconv.Atoi(t.Zones[col])
		if err1 != nil || err2 != nil || a > b {
			continue
		}
		for _, r := range t.Rows {
			if x, y := r.Prices[col-1], r.Prices[col]; x != NotCarried && y != NotCarried && y < x {
				add(Suspicion{
					Kind: "zone dip", Zone: t.Zones[col], Step: r.step(), Text: fmt.Sprintf("%s: zone %d costs less than zone %d", r.step(), b, a),
					Mend: "compare both prices with the list",
				})
			}
		}
	}
}

func gaps(t *Prices, add func(Suspicion)) {
	last := measure.Mass(0)
	for _, r := range t.Rows {
		if r.Mass == 0 || r.Mass%measure.Pound != 0 {
			continue
		}
		if last > 0 && r.Mass-last != measure.Pound {
			add(Suspicion{Kind: "gap", Step: r.step(), Text: fmt.Sprintf("no step between %s and %s", last, r.Mass), Mend: "look whether the list leaves it out, too"})
		}
		last = r.Mass
	}
}

// missingZones names the zones of a service's table for which it has no prices: parcels there are refused.
func (c *Card) missingZones(s *Service, add func(Suspicion)) {
	if s.Zones == "" || len(s.Prices.Zones) == 0 {
		return
	}
	has := map[string]bool{}
	for _, z := range s.Prices.Zones {
		has[z] = true
	}
	for i := range c.Zones {
		if c.Zones[i].Name != s.Zones {
			continue
		}
		for _, r := range c.Zones[i].Rows {
			if !has[r.Zone] {
				has[r.Zone] = true
				add(Suspicion{Kind: "missing zone", Zone: r.Zone, Text: fmt.Sprintf("the table %s leads to zone %s, for which there are no prices", s.Zones, r.Zone), Mend: "add its column, or correct the zone's name in one of the two"})
			}
		}
	}
}

// within reports that whatever the service takes the other one takes, too, as far as class, forms and limits say: tables by
// shape of one class, the smaller shape and a larger one. False means that it is not known.
func (s *Service) within(larger *Service) bool {
	if s.Class != larger.Class || s.Container != larger.Container || s.Zones != larger.Zones || s.Prices.By != ByMass || larger.Prices.By != ByMass ||
		s.Tracking && !larger.Tracking || larger.Flexible && !s.Flexible || s.Cover != nil || larger.Cover != nil {
		return false
	}
	if len(larger.Forms) > 0 && (len(s.Forms) == 0 || slices.ContainsFunc(s.Forms, func(f Form) bool { return !hasForm(larger.Forms, f) })) {
		return false
	}
	narrower := false
	for _, l := range larger.Limits {
		if l.Form != "" && len(s.Forms) > 0 && !hasForm(s.Forms, l.Form) {
			continue
		}
		if l.Measure == LengthWidthHeight && l.Min == nil && l.Over == nil && l.Max != nil && s.sum() > 0 && s.sum() <= *l.Max {
			narrower = true
			continue
		}
		i := slices.IndexFunc(s.Limits, func(b Bound) bool { return b.Measure == l.Measure && (b.Form == l.Form || b.Form == "") })
		if i < 0 || !s.Limits[i].inside(l) {
			return false
		}
		narrower = narrower || !l.inside(s.Limits[i])
	}
	return narrower || len(s.Limits) > len(larger.Limits)
}

// sum is the most that the sides can add up to by the limits of each; 0 when one of them is not limited.
func (s *Service) sum() int64 {
	total := int64(0)
	for _, m := range []Measure{Length, Width, Height} {
		i := slices.IndexFunc(s.Limits, func(b Bound) bool { return b.Measure == m && b.Form == "" && b.Max != nil })
		if i < 0 {
			return 0
		}
		total += *s.Limits[i].Max
	}
	return total
}

// inside reports that whatever is within the bound is within the other.
func (b Bound) inside(o Bound) bool {
	atLeast := func(x, y *int64) bool { return y == nil || x != nil && *x >= *y }
	atMost := func(x, y *int64) bool { return y == nil || x != nil && *x <= *y }
	return atLeast(b.Min, o.Min) && atLeast(b.Over, o.Over) && atMost(b.Max, o.Max) && atMost(b.Under, o.Under)
}

// shapeDips names the steps at which the larger shape costs less than the smaller one: the cheapest service that takes a
// parcel would not be the one of its shape.
func shapeDips(s, larger *Service, add func(Suspicion)) {
	if !slices.Equal(s.Prices.Zones, larger.Prices.Zones) {
		return
	}
	for _, r := range s.Prices.Rows {
		at := slices.IndexFunc(larger.Prices.Rows, func(l Row) bool { return l.Mass >= r.Mass })
		if at < 0 {
			return
		}
		for col, p := range r.Prices {
			if q := larger.Prices.Rows[at].Prices[col]; p != NotCarried && q != NotCarried && q < p {
				zone := s.Prices.zone(col)
				add(Suspicion{
					Kind: "shape dip", Zone: zone, Step: r.step(), Text: fmt.Sprintf("%s: up to %s it costs more than %s, which takes larger ones", every(zone), r.step(), larger.Name),
					Mend: "compare both prices with the list",
				})
			}
		}
	}
}
