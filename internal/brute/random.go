package brute

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/tariff"
)

const (
	mm   = measure.Millimetre
	gram = measure.Gram
)

// Random makes a small problem. The same number gives the same problem. Sizes and masses are multiples of
// a few round numbers, some off by one nanometre or nanogram, so that things fit exactly, or just not.
// Half of the problems have one threshold moved to, or next to, what the best plan of the problem needs.
func Random(seed uint64) packing.Problem {
	return random(seed, Dice{rand.New(rand.NewPCG(seed, 20251126))}.combine)
}

// Apart makes one, too, in which no order may share a parcel with another.
func Apart(seed uint64) packing.Problem { return random(seed, func(*packing.Problem) {}) }

func random(seed uint64, combine func(p *packing.Problem)) packing.Problem {
	d := Dice{rand.New(rand.NewPCG(seed, 20251005))}
	p := d.problem(combine)
	Dice{rand.New(rand.NewPCG(seed, 7))}.beside(&p)
	if d.Chance(50) {
		d.Tighten(&p)
	}
	return p
}

// problem makes one without thresholds moved.
func (d Dice) problem(combine func(p *packing.Problem)) packing.Problem {
	p := packing.Problem{
		Format: packing.ProblemFormat, Currency: "USD", Day: calendar.Date(2025, 11, 3).Add(d.IntN(9)),
		Origin:  packing.Place{Country: "US", Postcode: "24060"},
		Options: packing.Options{MinuteWage: int64(d.IntN(3) * 7)},
	}
	if d.Chance(30) {
		p.Holidays = append(p.Holidays, p.Day.Add(1+d.IntN(4)))
	}
	copies := Pick(d, 1, 1, 2, 2, 2, 3, 3, 3, 4, 4, 5, 5)
	if d.Chance(3) {
		copies = 6 + d.IntN(2)
	}
	for i := range Pick(d, 1, 1, 1, 1, 2, 2, 3) {
		p.Orders = append(p.Orders, d.order(&p, i, copies))
		copies = 1 + d.IntN(2)
	}
	combine(&p)
	d.Shuffle(len(p.Orders), func(i, j int) { p.Orders[i], p.Orders[j] = p.Orders[j], p.Orders[i] })
	d.shelf(&p)
	d.wraps(&p)
	d.cards(&p)
	d.rules(&p)
	return p
}

type Dice struct{ *rand.Rand }

func (d Dice) Chance(percent int) bool { return d.IntN(100) < percent }

func Pick[T any](d Dice, of ...T) T { return of[d.IntN(len(of))] }

// near is a number, or seldom the one before or after it.
func Near[T ~int | ~int64](d Dice, n T) T {
	switch d.IntN(8) {
	case 0:
		return n - 1
	case 1:
		return n + 1
	}
	return n
}

func ptr[T any](v T) *T { return &v }

func (d Dice) order(p *packing.Problem, i, copies int) packing.Order {
	o := packing.Order{ID: fmt.Sprintf("order %c", 'c'-rune(i)), Destination: packing.Place{
		Country:  Pick(d, "US", "US", "US", "US", "CA"),
		Postcode: Pick(d, "24060", "972 01", "00500", "k1a-0b1", ""),
	}}
	if d.Chance(15) {
		o.ArriveBy = p.Day.Add(d.IntN(8))
	}
	for copies > 0 {
		s := d.sheet()
		if len(o.Sheets) > 0 && d.Chance(35) {
			s = o.Sheets[0]
		}
		s.ID = fmt.Sprintf("s%c", 'z'-rune(len(o.Sheets)))
		s.Copies = 1 + d.IntN(min(copies, 3))
		copies -= s.Copies
		if s.Copies == 1 && d.Chance(50) {
			s.Copies = 0
		}
		o.Sheets = append(o.Sheets, s)
	}
	return o
}

// combine lets orders share parcels, in some problems that have several.
func (d Dice) combine(p *packing.Problem) {
	if len(p.Orders) < 2 || d.Chance(40) {
		return
	}
	for i := range p.Orders {
		if i == 2 && d.Chance(50) {
			return
		}
		if d.Chance(20) {
			p.Orders[i].ArriveBy = p.Day.Add(2 + d.IntN(6))
		}
		p.Orders[i].Combine = "together"
		p.Orders[i].Destination = p.Orders[0].Destination
	}
}

func (d Dice) sheet() packing.Sheet {
	s := packing.Sheet{
		Width: Pick(d, 200*mm, 240*mm, 300*mm), Height: Pick(d, 200*mm, 280*mm, 360*mm, 400*mm),
		Caliper: Pick(d, 300*measure.Micrometre, 500*measure.Micrometre, mm),
		Value:   Pick[int64](d, 0, 2000, 5000, 9000), Grade: Pick(d, "", "fine", "plain"),
	}
	if d.Chance(25) {
		s.Grammage = Pick(d, 310*measure.GSM, 189_501)
	} else {
		s.Mass = Pick(d, 10*gram, 20*gram, 25*gram, 50*gram)
	}
	if d.Chance(80) {
		s.Roll = &packing.Roll{Tightest: Pick(d, 40*mm, 60*mm)}
	} else if d.Chance(20) {
		s.Stiff = true
	}
	return s
}

func (d Dice) shelf(p *packing.Problem) {
	scarce := 0
	add := func(kind packing.Kind, most int, fill func(*packing.Item)) {
		for i := range max(d.IntN(most+1), min(1, d.IntN(12))) {
			item := packing.Item{ID: fmt.Sprintf("%s-%d", kind, i), Kind: kind, Mass: measure.Mass(d.IntN(12)) * 5 * gram, Cost: int64(d.IntN(30) * 5)}
			fill(&item)
			if scarce < 5 && d.Chance(22) {
				item.Stock = ptr(Pick(d, 0, 1, 1, 2, 2, 3, 4))
				scarce++
			}
			if d.Chance(10) {
				item.IssuedFor = Pick(d, "slow", "fast")
			}
			p.Shelf = append(p.Shelf, item)
		}
	}
	flat := func(item *packing.Item, more measure.Length) {
		item.Width, item.Height = Near(d, 300*mm+more), Near(d, 400*mm+more)
		if d.Chance(30) {
			item.Width = Near(d, Pick(d, 200*mm, 240*mm)+more)
		}
		if d.Chance(30) {
			item.Height = Near(d, Pick(d, 280*mm, 360*mm)+more)
		}
	}
	add(packing.Sleeve, 2, func(i *packing.Item) {
		flat(i, Pick(d, 0, 4*mm, 10*mm, 10*mm, 10*mm))
		i.Wall = Pick(d, 0, 100*measure.Micrometre)
		d.thickest(i, mm)
		if d.Chance(20) {
			i.Outer = &packing.Outer{Width: i.Width + 8*mm}
		}
		i.Soft = d.Chance(20)
	})
	add(packing.Tissue, 1, func(i *packing.Item) { flat(i, Pick(d, 0, 20*mm, 40*mm)); i.Caliper = 50 * measure.Micrometre })
	add(packing.Board, 2, func(i *packing.Item) {
		flat(i, Pick(d, 0, 20*mm, 30*mm, 30*mm))
		i.Caliper, i.Stiff = Pick(d, mm, 2*mm), d.Chance(60)
	})
	add(packing.Envelope, 4, func(i *packing.Item) {
		flat(i, Pick(d, 10*mm, 40*mm, 60*mm, 60*mm, 90*mm))
		i.Wall = Pick(d, 0, 500*measure.Micrometre, mm)
		d.thickest(i, 5*mm)
		i.Soft, i.Stiff = d.Chance(20), d.Chance(50)
		if d.Chance(15) {
			i.Outer = &packing.Outer{Width: i.Width + 10*mm, Height: i.Height + 30*mm}
		}
		d.container(i)
	})
	add(packing.Tube, 2, func(i *packing.Item) {
		i.Length, i.Diameter, i.Wall = Near(d, Pick(d, 210*mm, 300*mm, 320*mm, 430*mm)), Near(d, Pick(d, 50*mm, 70*mm, 90*mm)), 2*mm
		i.Cornered = d.Chance(30)
		if d.Chance(30) {
			i.Outer = &packing.Outer{Length: i.Length + 20*mm}
		}
		if d.Chance(50) {
			i.Cut = &packing.Cut{Shortest: Near(d, 200*mm), Step: Pick(d, 50*mm, 80*mm)}
		} else {
			d.container(i)
		}
	})
	add(packing.Carton, 2, func(i *packing.Item) {
		i.Length, i.Width = Near(d, Pick(d, 360*mm, 440*mm, 500*mm, 520*mm)), Near(d, Pick(d, 300*mm, 340*mm, 400*mm, 420*mm))
		i.Height, i.Wall = Near(d, Pick(d, 8*mm, 40*mm, 80*mm)), Pick(d, 0, 3*mm)
		if d.Chance(20) {
			i.Outer = &packing.Outer{Length: i.Length + 10*mm, Height: i.Height + 12*mm}
		}
		if d.Chance(50) {
			i.Cut = &packing.Cut{Shortest: Near(d, Pick(d, 2*mm, 5*mm)), Step: Pick(d, 2*mm, 10*mm, 25*mm)}
		} else {
			d.container(i)
		}
	})
}

func (d Dice) thickest(i *packing.Item, most measure.Length) {
	if d.Chance(40) {
		i.Thickest = Near(d, most*measure.Length(1+d.IntN(4))/2)
	}
}

func (d Dice) container(i *packing.Item) {
	if d.Chance(8) {
		i.Container = Pick(d, "box-1", "box-2")
	}
}

func (d Dice) wraps(p *packing.Problem) {
	for i := range Pick(d, 1, 2, 2, 3, 3) {
		w := packing.Wrap{ID: fmt.Sprintf("wrap %d", i), Shape: Pick(d, packing.Flat, packing.Flat, packing.Rolled)}
		if d.Chance(15) {
			w.Fewest = 1 + d.IntN(2)
		}
		if d.Chance(25) {
			w.Most = max(w.Fewest, 1) + d.IntN(3)
		}
		if d.Chance(40) {
			w.Minutes, w.MinutesPerSheet = d.IntN(5), d.IntN(3)
		}
		w.Layers = d.layers(p, &w)
		if i == 0 && d.Chance(80) { // one that takes nearly anything
			w.Shape, w.Fewest, w.Most, w.Core = packing.Flat, 0, 0, 0
			w.Layers = []packing.Layer{{Kind: Pick(d, packing.Envelope, packing.Carton, packing.Tube)}}
			if w.Layers[0].Kind == packing.Tube {
				w.Shape = packing.Rolled
			}
		}
		p.Wraps = append(p.Wraps, w)
	}
}

func (d Dice) layers(p *packing.Problem, w *packing.Wrap) []packing.Layer {
	var out []packing.Layer
	add := func(percent int, kind packing.Kind, per packing.Per) {
		if !d.Chance(percent) {
			return
		}
		l := packing.Layer{Kind: kind, Per: per}
		if kind == packing.Tissue || kind == packing.Board {
			l.Count = d.IntN(3)
		}
		d.clearance(&l)
		if ids := ofKind(p, kind); len(ids) > 1 && d.Chance(35) {
			l.Items = ids[:1+d.IntN(len(ids)-1)]
		}
		if per == packing.PerStack && d.Chance(50) {
			l.Per = ""
		}
		out = append(out, l)
	}
	add(40, packing.Sleeve, packing.PerSheet)
	add(12, packing.Tissue, packing.PerSheet)
	if w.Shape == packing.Flat {
		add(10, packing.Board, packing.PerSheet)
	}
	add(12, packing.Tissue, packing.PerGap)
	add(12, packing.Tissue, packing.PerStack)
	last := Pick(d, packing.Envelope, packing.Envelope, packing.Carton)
	nested := d.Chance(40)
	if w.Shape == packing.Rolled {
		w.Core = Pick(d, 0, 0, 50*mm)
		add(100, packing.Tube, packing.PerStack)
		nested = false
		if d.Chance(75) {
			return out
		}
	} else {
		add(35, packing.Board, packing.PerStack)
		add(8, packing.Sleeve, packing.PerStack)
	}
	if nested {
		add(100, packing.Envelope, packing.PerStack)
	}
	add(100, last, packing.PerStack)
	return out
}

func (d Dice) clearance(l *packing.Layer) {
	c := &l.Clearance
	switch l.Kind {
	case packing.Tissue:
	case packing.Tube:
		c.Ends, c.Across = Pick(d, 0, 5*mm), Pick(d, 0, 3*mm)
	case packing.Board:
		c.Sides = Pick(d, 0, 0, 5*mm)
	default:
		c.Sides = Pick(d, 0, 0, 2*mm, 5*mm)
		c.Thickness = Pick(d, 0, 0, mm/2)
		if l.Kind == packing.Carton && d.Chance(30) {
			l.Empty = ptr(Pick(d, 0, 10*mm, 40*mm))
		}
	}
}

func ofKind(p *packing.Problem, kind packing.Kind) []string {
	var out []string
	for i := range p.Shelf {
		if p.Shelf[i].Kind == kind {
			out = append(out, p.Shelf[i].ID)
		}
	}
	return out
}

func (d Dice) rules(p *packing.Problem) {
	for i := range Pick(d, 0, 0, 1, 1, 2, 3) {
		rule := packing.Rule{ID: fmt.Sprintf("rule %d", i)}
		for range d.IntN(3) {
			d.when(&rule.When)
		}
		for range 1 + d.IntN(2) {
			d.then(&rule.Then, p)
		}
		p.Rules = append(p.Rules, rule)
	}
}

func (d Dice) when(w *packing.When) { d.Condition(w, d.IntN(14)) }

func (d Dice) Condition(w *packing.When, kind int) {
	switch kind {
	case 0:
		w.Grades = []string{Pick(d, "fine", "plain")}
	case 1:
		w.SheetsFrom = ptr(1 + d.IntN(3))
	case 2:
		w.SheetsTo = ptr(1 + d.IntN(3))
	case 3:
		w.OrderSheetsFrom = ptr(1 + d.IntN(4))
	case 4:
		w.OrderSheetsTo = ptr(1 + d.IntN(4))
	case 5:
		w.ValueOver = ptr(Pick[int64](d, 0, 1999, 2000, 5000, 9000))
	case 6:
		w.OrderValueOver = ptr(Pick[int64](d, 0, 5000, 9000, 10000))
	case 7:
		w.LongestOver = ptr(Near(d, Pick(d, 280*mm, 360*mm)))
	case 8:
		w.LongestTo = ptr(Near(d, Pick(d, 280*mm, 360*mm)))
	case 9:
		w.MassOver = ptr(Near(d, measure.Mass(1+d.IntN(40))*5*gram))
	case 10:
		w.MassTo = ptr(Near(d, measure.Mass(1+d.IntN(40))*5*gram))
	case 11:
		w.Abroad = ptr(d.Chance(50))
	case 12:
		w.Countries = []string{Pick(d, "US", "CA")}
	case 13:
		w.Shape = Pick(d, packing.Flat, packing.Rolled)
	case 14:
		w.Orders = []string{Pick(d, "order b", "order c")}
	}
}

func (d Dice) then(t *packing.Then, p *packing.Problem) {
	wrap := p.Wraps[d.IntN(len(p.Wraps))].ID
	d.Demand(t, wrap, d.IntN(10))
}

func (d Dice) Demand(t *packing.Then, wrap string, kind int) {
	switch kind {
	case 0:
		t.Shape = Pick(d, packing.Flat, packing.Rolled)
	case 1:
		t.OnlyWraps = []string{wrap}
	case 2:
		t.NotWraps = []string{wrap}
	case 3:
		t.SheetsMost = ptr(1 + d.IntN(3))
	case 4:
		t.Together = true
	case 5:
		t.OnlyClasses = []string{Pick(d, "slow", "fast")}
	case 6:
		t.NotClasses = []string{Pick(d, "slow", "fast")}
	case 7:
		t.Tracking = true
	case 8:
		t.Signature = true
	case 9:
		t.FullCover = true
	}
}

func (d Dice) cards(p *packing.Problem) {
	left := Pick(d, 1, 2, 2, 3)
	for i := 0; left > 0; i++ {
		c := tariff.Card{
			ID: fmt.Sprintf("card %d", i), Series: fmt.Sprintf("series %d", i), Operator: "Invented Post", Currency: "USD",
			From: calendar.Date(2025, 7, 13), PriceClass: Pick(d, "counter", "online"), Source: "invented", Status: Pick(d, "primary", "invented"),
		}
		switch d.IntN(6) {
		case 0:
			c.To = p.Day.Add(d.IntN(2) - 1)
		case 1:
			c.From = p.Day.Add(-366 - d.IntN(2))
		}
		d.zones(&c)
		for range min(left, 1+d.IntN(2)) {
			c.Services = append(c.Services, d.service(&c))
			left--
		}
		p.Cards = append(p.Cards, c)
		if d.Chance(12) { // an earlier or a later one of the series
			other := c
			other.ID += " again"
			other.From = Pick(d, c.From.Add(-30), p.Day, p.Day.Add(1))
			other.Services = slices.Clone(c.Services)
			other.Services[0].Signature = ptr(int64(7))
			if other.From != c.From && (other.To.IsZero() || !other.To.Before(other.From)) {
				p.Cards = append(p.Cards, other)
			}
		}
	}
	if d.Chance(5) {
		p.PriceClasses = []string{"counter"}
	}
}

func (d Dice) zones(c *tariff.Card) {
	if d.Chance(40) {
		return
	}
	rows := []tariff.ZoneRow{{Country: "US", From: "000", To: "499", Zone: "near"}, {Country: "US", Zone: "far"}}
	if d.Chance(60) {
		rows = append(rows, tariff.ZoneRow{Country: "CA", From: "K", To: "K", Zone: "near"}, tariff.ZoneRow{Zone: Pick(d, "far", "nowhere")})
	}
	if d.Chance(20) {
		rows[d.IntN(len(rows))].Most = Near(d, measure.Mass(10+d.IntN(40))*5*gram)
	}
	c.Zones = append(c.Zones, tariff.ZoneTable{
		Name: "z", Origin: tariff.Origin{Country: Pick(d, "", "US", "CA"), Prefix: Pick(d, "", "", "240", "9")},
		Source: "invented", Status: Pick(d, "primary", "estimated"), Rows: rows,
	})
	if d.Chance(70) {
		c.Zones = append(c.Zones, tariff.ZoneTable{Name: "z", Source: "invented", Status: "invented", Rows: slices.Clone(rows[1:])})
	}
}
