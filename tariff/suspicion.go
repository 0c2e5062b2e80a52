package tariff

import (
	"fmt"
	"strconv"

	"solander/measure"
)

// Suspicion is something in a card that is possible but looks like a slip of the pen.
type Suspicion struct {
	Kind    string // "hole", "weight dip", "zone dip", "gap"
	Service string
	Text    string
}

// Suspicions looks for holes, prices that fall with mass or zone, and missing whole pounds, as
// docs/formats/tariff.md, section 9, says. An empty answer does not prove a card right.
func (c *Card) Suspicions() []Suspicion {
	var out []Suspicion
	for i := range c.Services {
		s := &c.Services[i]
		add := func(kind, text string, args ...any) {
			out = append(out, Suspicion{kind, s.ID, fmt.Sprintf(text, args...)})
		}
		home := s.Abroad == nil || !*s.Abroad
		for col := range max(1, len(s.Prices.Zones)) {
			columnSuspicions(&s.Prices, col, home, add)
		}
		if home {
			zoneDips(&s.Prices, add)
			gaps(&s.Prices, add)
		}
	}
	return out
}

func (t *Prices) zone(col int) string {
	if len(t.Zones) == 0 {
		return "every zone"
	}
	return "zone " + t.Zones[col]
}

func (r Row) step() string {
	if r.Mass > 0 {
		return r.Mass.String()
	}
	return r.Volume.String()
}

func columnSuspicions(t *Prices, col int, home bool, add func(string, string, ...any)) {
	last := NotCarried
	hole := -1
	for i, r := range t.Rows {
		p := r.Prices[col]
		if p == NotCarried {
			hole = i
			continue
		}
		if hole >= 0 && (home || last != NotCarried) {
			add("hole", "%s: no price at %s but one at %s", t.zone(col), t.Rows[hole].step(), r.step())
		}
		hole = -1
		if last != NotCarried && p < last {
			add("weight dip", "%s: %s costs less than the step before it", t.zone(col), r.step())
		}
		last = p
	}
	if hole >= 0 && home {
		add("hole", "%s: no price at %s", t.zone(col), t.Rows[hole].step())
	}
}

func zoneDips(t *Prices, add func(string, string, ...any)) {
	for col := 1; col < len(t.Zones); col++ {
		a, err1 := strconv.Atoi(t.Zones[col-1])
		b, err2 := strconv.Atoi(t.Zones[col])
		if err1 != nil || err2 != nil || a > b {
			continue
		}
		for _, r := range t.Rows {
			if x, y := r.Prices[col-1], r.Prices[col]; x != NotCarried && y != NotCarried && y < x {
				add("zone dip", "%s: zone %d costs less than zone %d", r.step(), b, a)
			}
		}
	}
}

func gaps(t *Prices, add func(string, string, ...any)) {
	last := measure.Mass(0)
	for _, r := range t.Rows {
		if r.Mass == 0 || r.Mass%measure.Pound != 0 {
			continue
		}
		if last > 0 && r.Mass-last != measure.Pound {
			add("gap", "no step between %s and %s", last, r.Mass)
		}
		last = r.Mass
	}
}
