package brute

import (
	"slices"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

// cards makes a service with the features, and mostly one that goes anywhere, dearer.
func (m *mixer) cards() {
	c := tariff.Card{
		ID: "card", Series: "series", Operator: "Invented Post", Currency: "USD", From: calendar.Date(2025, 7, 13), PriceClass: "counter", Source: "invented", Status: "invented",
	}
	s := tariff.Service{ID: "narrow", Class: pick(m.dice, "slow", "fast"), Name: "a service", Tracking: m.wants("tracking")}
	m.reach(&c, &s)
	if m.wants("days") {
		least := m.IntN(3)
		s.Days = &tariff.Days{Min: least, Max: least + m.IntN(4), Counted: pick(m.dice, tariff.CalendarDays, tariff.DeliveryDays, tariff.WeekDays)}
	}
	if m.wants("limits") {
		s.Limits = append(s.Limits, m.bound(false))
	}
	m.table(&s)
	m.fees(&s)
	c.Services = []tariff.Service{s}
	if m.chance(93) {
		c.Services = append(c.Services, tariff.Service{
			ID: "wide", Class: "slow", Name: "a wide service", Tracking: true, Signature: ptr[int64](90), Cover: &tariff.Cover{Per: 1000, PerPrice: 40},
			Days:   &tariff.Days{Min: 1, Max: 3, Counted: tariff.CalendarDays},
			Prices: tariff.Prices{By: tariff.ByMass, Rows: []tariff.Row{{Mass: 100 * gram, Prices: []tariff.Cell{400}}, {Mass: 5000 * gram, Prices: []tariff.Cell{600}}}},
		})
	}
	m.p.Cards = append(m.p.Cards, c)
	if m.wants("cards of a series") {
		other := c
		other.ID, other.From = "card again", pick(m.dice, c.From.Add(-30), m.p.Day, m.p.Day.Add(1))
		other.Services = slices.Clone(c.Services)
		other.Services[0].Signature = ptr(int64(7))
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
			rows[m.IntN(2)].Most = near(m.dice, measure.Mass(10+m.IntN(40))*5*gram)
		}
		c.Zones = []tariff.ZoneTable{
			{Name: "z", Origin: tariff.Origin{Country: "US", Prefix: pick(m.dice, "2 40", "9", "")}, Source: "invented", Status: "estimated", Rows: rows},
			{Name: "z", Source: "invented", Status: "invented", Rows: slices.Clone(rows[1:])},
		}
	}
	if m.wants("within or abroad") {
		s.Abroad = ptr(m.chance(20))
	}
	if m.wants("countries") {
		s.Countries = []string{pick(m.dice, "US", "US", "CA")}
	}
	if m.wants("forms") {
		s.Forms = []tariff.Form{pick(m.dice, tariff.Box, tariff.Box, tariff.Cylinder)}
	}
	s.Flexible = m.wants("flexible")
	if m.wants("price of a container") && m.chance(50) {
		s.Container = "box-1"
	}
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
	if s.Zones != "" && m.chance(80) {
		s.Prices.Zones, columns = []string{"near", "far"}, 2
	} else if m.chance(20) {
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
			r.Mass = near(m.dice, measure.Mass(i+1)*pick[measure.Mass](m.dice, 14, 28)*5*gram)
			if i > 0 {
				r.Mass = max(r.Mass, s.Prices.Rows[i-1].Mass+1)
			}
		case tariff.ByVolume:
			r.Volume = []tariff.Volume{300, 900, 9000}[i] * tariff.CubicCentimetre
		}
		for j := range columns {
			price := tariff.Cell(50*(i+2*j+1) + 5*m.IntN(30))
			if m.wants("not carried") && m.chance(20) {
				price = tariff.NotCarried
			}
			r.Prices = append(r.Prices, price)
		}
		s.Prices.Rows = append(s.Prices.Rows, r)
	}
	if by == tariff.ByVolume && m.chance(60) {
		s.Prices.Round = tariff.Rounding{Step: pick(m.dice, mm, 10*mm), Mode: pick(m.dice, tariff.Nearest, tariff.Up, tariff.Down)}
	}
}

// fees is what is added to the prices.
func (m *mixer) fees(s *tariff.Service) {
	if m.wants("dimensional") {
		m.dimensional(s)
		if m.chance(30) {
			s.Dimensional.Step = 0
		}
		if m.chance(50) {
			s.Dimensional.Over = 0
		}
	}
	if m.wants("surcharges") || m.wants("groups") {
		for i := range 1 + m.IntN(3) {
			c := m.surcharge(i)
			if c.Group = ""; m.wants("groups") {
				c.Group = pick(m.dice, "size", "size", "form")
			}
			s.Surcharges = append(s.Surcharges, c)
		}
	}
	if m.wants("cover") || m.wants("cover's most") || m.wants("cover by parts") {
		s.Cover = &tariff.Cover{Included: pick[int64](m.dice, 0, 2000), Steps: []tariff.CoverStep{{UpTo: near[int64](m.dice, 7000), Price: 120}}}
		if m.wants("cover by parts") {
			s.Cover.Per, s.Cover.PerPrice = 1000, pick[int64](m.dice, 0, 35)
		}
		if m.wants("cover's most") {
			s.Cover.Most = ptr(pick[int64](m.dice, 0, 5000, 9000))
		}
	}
	if m.wants("signature") {
		s.Signature = ptr(int64(m.IntN(3) * 50))
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
		if n := len(m.p.Rules); n > from && m.chance(30) {
			return &m.p.Rules[n-1]
		}
		m.p.Rules = append(m.p.Rules, packing.Rule{ID: string(rune('a' + len(m.p.Rules)))})
		return &m.p.Rules[len(m.p.Rules)-1]
	}
	was := m.others
	m.others /= 4 // more rules leave nothing
	for i, c := range conditions {
		if m.wants(c) {
			m.condition(&add(0).When, i)
		}
	}
	with := len(m.p.Rules)
	for i, c := range demands {
		if m.wants(c) {
			r := add(with)
			if with > 0 && m.chance(60) {
				r = &m.p.Rules[m.IntN(with)]
			}
			m.demand(&r.Then, pick(m.dice, m.p.Wraps...).ID, i)
		}
	}
	m.others = was
	for i := range m.p.Rules { // each demands something
		for demandsNothing(&m.p.Rules[i].Then) {
			m.demand(&m.p.Rules[i].Then, "", 7+m.IntN(3))
		}
	}
}

func demandsNothing(t *packing.Then) bool {
	return len(t.OnlyClasses)+len(t.NotClasses)+len(t.OnlyWraps)+len(t.NotWraps) == 0 && t.Shape == "" && t.SheetsMost == nil && !t.Together && !t.Tracking && !t.Signature && !t.FullCover
}
