package mix

import (
	"slices"

	"solander/calendar"
	"solander/internal/brute"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// cards makes a service with the features, and mostly one that goes anywhere, dearer.
func (m *mixer) cards() {
	c := tariff.Card{
		ID: "card", Series: "series", Operator: "Invented Post", Currency: "USD", From: calendar.Date(2025, 7, 13), PriceClass: "counter", Source: "invented", Status: "invented",
	}
	s := tariff.Service{ID: "narrow", Class: brute.Pick(m.Dice, "slow", "fast"), Name: "a service", Tracking: m.wants("tracking")}
	m.reach(&c, &s)
	if m.wants("days") {
		least := m.IntN(3)
		s.Days = &tariff.Days{Min: least, Max: least + m.IntN(4), Counted: brute.Pick(m.Dice, tariff.CalendarDays, tariff.DeliveryDays, tariff.WeekDays)}
	}
	if m.wants("limits") {
		s.Limits = append(s.Limits, m.Bound(false))
	}
	m.table(&s)
	m.fees(&s)
	c.Services = []tariff.Service{s}
	if m.Chance(93) {
		c.Services = append(c.Services, tariff.Service{
			ID: "wide", Class: "slow", Name: "a wide service", Tracking: true, Signature: new(int64(90)), Cover: &tariff.Cover{Per: 1000, PerPrice: 40},
			Days:   &tariff.Days{Min: 1, Max: 3, Counted: tariff.CalendarDays},
			Prices: tariff.Prices{By: tariff.ByMass, Rows: []tariff.Row{{Mass: 100 * gram, Prices: []tariff.Cell{400}}, {Mass: 5000 * gram, Prices: []tariff.Cell{600}}}},
		})
	}
	m.p.Cards = append(m.p.Cards, c)
	if m.wants("cards of a series") {
		other := c
		other.ID, other.From = "card again", brute.Pick(m.Dice, c.From.Add(-30), m.p.Day, m.p.Day.Add(1))
		other.Services = slices.Clone(c.Services)
		other.Services[0].Signature = new(int64(7))
		m.p.Cards = append(m.p.Cards, other)
	}
	if m.wants("price classes") {
		m.p.PriceClasses = []string{"counter"}
		dear := c
		dear.ID, dear.Series, dear.PriceClass = "online", "online", "online"
		m.p.Cards = append(m.p.Cards, dear)
	}
}

// reach says where a service goes, and what it takes.
func (m *mixer) reach(c *tariff.Card, s *tariff.Service) {
	if m.wants("zones") || m.wants("zone most") {
		s.Zones = "z"
		rows := []tariff.ZoneRow{{Country: "US", From: "000", To: "499", Zone: "near"}, {Zone: "far"}}
		if m.wants("zone most") {
			rows[m.IntN(2)].Most = brute.Near(m.Dice, measure.Mass(10+m.IntN(40))*5*gram)
		}
		c.Zones = []tariff.ZoneTable{
			{Name: "z", Origin: tariff.Origin{Country: "US", Prefix: brute.Pick(m.Dice, "2 40", "9", "")}, Source: "invented", Status: "estimated", Rows: rows},
			{Name: "z", Source: "invented", Status: "invented", Rows: slices.Clone(rows[1:])},
		}
	}
	if m.wants("within or abroad") {
		s.Abroad = new(m.Chance(20))
	}
	if m.wants("countries") {
		s.Countries = []string{brute.Pick(m.Dice, "US", "US", "CA")}
	}
	if m.wants("forms") {
		s.Forms = []tariff.Form{brute.Pick(m.Dice, tariff.Box, tariff.Box, tariff.Cylinder)}
	}
	s.Flexible = m.wants("flexible")
	if m.wants("price of a container") && m.Chance(50) {
		s.Container = "box-1"
	}
}

// zoneAt is the name of a column of the prices, empty where there is one for all.
func zoneAt(s *tariff.Service, column int) string {
	if len(s.Prices.Zones) == 0 {
		return ""
	}
	return s.Prices.Zones[column]
}

// table is the service's prices.
func (m *mixer) table(s *tariff.Service) {
	by := tariff.ByMass
	switch {
	case m.wants("by volume"):
		by = tariff.ByVolume
	case m.wants("by piece"):
		by = tariff.ByPiece
	}
	s.Prices.By = by
	columns := 1
	if s.Zones != "" && m.Chance(80) {
		s.Prices.Zones, columns = []string{"near", "far"}, 2
	} else if m.Chance(20) {
		s.Prices.Zones = []string{""}
	}
	steps := 3
	if by == tariff.ByPiece {
		steps = 1
	}
	for i := range steps {
		var r tariff.Row
		switch by {
		case tariff.ByMass:
			r.Mass = brute.Near(m.Dice, measure.Mass(i+1)*brute.Pick[measure.Mass](m.Dice, 14, 28)*5*gram)
			if i > 0 {
				r.Mass = max(r.Mass, s.Prices.Rows[i-1].Mass+1)
			}
		case tariff.ByVolume:
			r.Volume = []tariff.Volume{300, 900, 9000}[i] * tariff.CubicCentimetre
		}
		for j := range columns {
			price := tariff.Cell(50*(i+2*j+1) + 5*m.IntN(30))
			if m.wants("not carried") && m.Chance(20) {
				price = tariff.NotCarried
			}
			r.Prices = append(r.Prices, price)
		}
		if m.wants("carried over") {
			r.Status = brute.Pick(m.Dice, "", "secondary")
			for j := range columns {
				if m.Chance(50) {
					r.Carried = append(r.Carried, zoneAt(s, j))
				}
			}
		}
		s.Prices.Rows = append(s.Prices.Rows, r)
	}
	if by == tariff.ByVolume && m.Chance(60) {
		s.Prices.Round = tariff.Rounding{Step: brute.Pick(m.Dice, mm, 10*mm), Mode: brute.Pick(m.Dice, tariff.Nearest, tariff.Up, tariff.Down)}
	}
}

// fees is what is added to the prices.
func (m *mixer) fees(s *tariff.Service) {
	if m.wants("dimensional") {
		m.Dimensional(s)
		if m.Chance(30) {
			s.Dimensional.Step = 0
		}
		if m.Chance(50) {
			s.Dimensional.Over = 0
		}
	}
	if m.wants("surcharges") || m.wants("groups") {
		for i := range 1 + m.IntN(3) {
			c := m.Surcharge(i)
			if c.Group = ""; m.wants("groups") {
				c.Group = brute.Pick(m.Dice, "size", "size", "form")
			}
			s.Surcharges = append(s.Surcharges, c)
		}
	}
	if m.wants("cover") || m.wants("cover's most") || m.wants("cover by parts") {
		s.Cover = &tariff.Cover{Included: brute.Pick[int64](m.Dice, 0, 2000), Steps: []tariff.CoverStep{{UpTo: brute.Near[int64](m.Dice, 7000), Price: 120}}}
		if m.wants("cover by parts") {
			s.Cover.Per, s.Cover.PerPrice = 1000, brute.Pick[int64](m.Dice, 0, 35)
		}
		if m.wants("cover's most") {
			s.Cover.Most = new(brute.Pick[int64](m.Dice, 0, 5000, 9000))
		}
	}
	if m.wants("signature") {
		s.Signature = new(int64(m.IntN(3) * 50))
	}
}

// conditions and demands are the words of house rules, in the order in which when and then take them.
var (
	conditions = []string{
		"grades", "sheets from", "sheets to", "order sheets from", "order sheets to", "value over", "order value over",
		"longest over", "longest to", "mass over", "mass to", "if abroad", "if in a country", "if of a shape", "if of an order",
	}
	demands = []string{
		"shape demanded", "only wraps", "not wraps", "sheets most", "together", "only classes", "not classes", "tracking demanded", "signature demanded", "full cover",
	}
)

// rules makes a house rule of every wanted condition and demand, in some order.
func (m *mixer) rules() {
	add := func(from int) *packing.Rule {
		if n := len(m.p.Rules); n > from && m.Chance(30) {
			return &m.p.Rules[n-1]
		}
		m.p.Rules = append(m.p.Rules, packing.Rule{ID: string(rune('a' + len(m.p.Rules)))})
		return &m.p.Rules[len(m.p.Rules)-1]
	}
	was := m.others
	m.others /= 4 // more rules leave nothing
	for i, c := range conditions {
		if m.wants(c) {
			m.Condition(&add(0).When, i)
		}
	}
	with := len(m.p.Rules)
	for i, c := range demands {
		if m.wants(c) {
			r := add(with)
			if with > 0 && m.Chance(60) {
				r = &m.p.Rules[m.IntN(with)]
			}
			m.Demand(&r.Then, brute.Pick(m.Dice, m.p.Wraps...).ID, i)
		}
	}
	m.others = was
	for i := range m.p.Rules { // each demands something
		for demandsNothing(&m.p.Rules[i].Then) {
			m.Demand(&m.p.Rules[i].Then, "", 7+m.IntN(3))
		}
	}
}

func demandsNothing(t *packing.Then) bool {
	return len(t.OnlyClasses)+len(t.NotClasses)+len(t.OnlyWraps)+len(t.NotWraps) == 0 && t.Shape == "" && t.SheetsMost == nil && !t.Together && !t.Tracking && !t.Signature && !t.FullCover
}
