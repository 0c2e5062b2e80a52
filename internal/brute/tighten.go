package brute

import (
	"solander/measure"
	"solander/packing"
	"solander/packing/check"
	"solander/tariff"
)

// tighten moves one threshold to what a parcel of the best plan needs, one less or one more.
func (d Dice) Tighten(p *packing.Problem) {
	plan := New(p).Plan()
	if len(plan.Parcels) == 0 {
		return
	}
	parcel := &plan.Parcels[d.IntN(len(plan.Parcels))]
	by := int64(d.IntN(3) - 1)
	service := serviceOf(p, parcel)
	switch d.IntN(15) {
	case 0:
		service.Limits = append(service.Limits, d.boundAt(parcel, by))
	case 1:
		service.Surcharges = append(service.Surcharges, tariff.Surcharge{ID: fresh("tight", len(service.Surcharges), func(i int) string { return service.Surcharges[i].ID }), Name: "a fee", When: []tariff.Bound{d.boundAt(parcel, by)}, Amount: 60})
	case 2:
		if rows := service.Prices.Rows; service.Prices.By == tariff.ByMass && (len(rows) < 2 || rows[1].Mass > parcel.Billed+1) {
			rows[0].Mass = parcel.Billed + measure.Mass(by)
		}
	case 3:
		p.Rules = append(p.Rules, packing.Rule{ID: fresh("tight", len(p.Rules), func(i int) string { return p.Rules[i].ID }), When: packing.When{MassOver: ptr(parcel.Mass + measure.Mass(by))}, Then: packing.Then{Signature: true}})
	case 4:
		p.Rules = append(p.Rules, packing.Rule{ID: fresh("tight", len(p.Rules), func(i int) string { return p.Rules[i].ID }), When: packing.When{ValueOver: ptr(max(0, parcel.Value+by))}, Then: packing.Then{Tracking: true, FullCover: true}})
	case 5:
		d.stockAt(p, plan.StockUsed, int(by))
	case 6:
		if !parcel.Arrives.IsZero() && !parcel.Arrives.Add(int(by)).Before(p.Day) {
			orderOf(p, parcel).ArriveBy = parcel.Arrives.Add(int(by))
		}
	case 7:
		if parcel.Roll != nil {
			d.tubeAt(p, parcel, measure.Length(by))
		}
	case 8:
		if service.Dimensional != nil {
			v := int64(parcel.Size.Length/mm*parcel.Size.Width/mm) * int64(parcel.Size.Height)
			service.Dimensional.Over = tariff.Volume(v/1000 + by)
		}
	case 9:
		if c := service.Cover; c != nil && parcel.Cover > 1 && (len(c.Steps) == 0 || parcel.Cover+1 < c.Steps[0].UpTo) {
			c.Included = parcel.Cover + by
		}
	default:
		d.itemAt(p, parcel, measure.Length(by))
	}
}

// fresh is an id that none of so many has.
func fresh(id string, n int, of func(int) string) string {
	for i := 0; i < n; i++ {
		if of(i) == id {
			id, i = id+"er", -1
		}
	}
	return id
}

func serviceOf(p *packing.Problem, parcel *packing.Parcel) *tariff.Service {
	for i := range p.Cards {
		for j := range p.Cards[i].Services {
			if p.Cards[i].ID == parcel.Card && p.Cards[i].Services[j].ID == parcel.Service {
				return &p.Cards[i].Services[j]
			}
		}
	}
	return nil
}

func orderOf(p *packing.Problem, parcel *packing.Parcel) *packing.Order {
	for i := range p.Orders {
		if p.Orders[i].ID == parcel.Order {
			return &p.Orders[i]
		}
	}
	return nil
}

func itemOf(p *packing.Problem, id string) *packing.Item {
	for i := range p.Shelf {
		if p.Shelf[i].ID == id {
			return &p.Shelf[i]
		}
	}
	return nil
}

// boundAt is a bound at a measure of the parcel.
func (d Dice) boundAt(parcel *packing.Parcel, by int64) tariff.Bound {
	s := parcel.Size
	b := tariff.Bound{}
	var n int64
	switch d.IntN(6) {
	case 0:
		b.Measure, n = tariff.Length, int64(s.Length)
	case 1:
		b.Measure, n = tariff.Height, int64(s.Height)
	case 2:
		b.Measure, n = tariff.LengthWidthHeight, int64(s.Length+s.Width+s.Height)
	case 3:
		b.Measure, n = tariff.LengthTwoDiameters, int64(s.Length+2*s.Width)
	case 4:
		b.Measure, n = tariff.MassOf, int64(parcel.Mass)
	default:
		b.Measure, n = tariff.LengthGirth, int64(s.Length+2*(s.Width+s.Height))
		if parcel.Form == tariff.Cylinder {
			n = int64(s.Length) + (int64(s.Width)*3_141_593+999_999)/1_000_000
		}
	}
	*Pick(d, &b.Min, &b.Over, &b.Max, &b.Under) = ptr(max(0, n+by))
	return b
}

// stockAt sets the stock of a used item to what is used, one less or one more.
func (d Dice) stockAt(p *packing.Problem, used []packing.Use, by int) {
	scarce := 0
	for i := range p.Shelf {
		if p.Shelf[i].Stock != nil {
			scarce++
		}
	}
	u := used[d.IntN(len(used))]
	if item := itemOf(p, u.Item); item.Stock != nil || scarce < 8 {
		item.Stock = ptr(max(0, u.Count+by))
	}
}

// tubeAt makes the tube as wide or as long as the roll needs.
func (d Dice) tubeAt(p *packing.Problem, parcel *packing.Parcel, by measure.Length) {
	for _, e := range parcel.Layers {
		if e.Kind != packing.Tube {
			continue
		}
		item, room := itemOf(p, e.Item), wrapOf(p, parcel).Layers[e.Layer].Clearance
		if d.Chance(50) || item.Cut != nil || item.Outer != nil {
			item.Diameter = parcel.Roll.Outer + room.Across + by
		} else {
			item.Length = parcel.Roll.Axis + 2*room.Ends + by
		}
	}
}

func wrapOf(p *packing.Problem, parcel *packing.Parcel) *packing.Wrap {
	for i := range p.Wraps {
		if p.Wraps[i].ID == parcel.Wrap {
			return &p.Wraps[i]
		}
	}
	return nil
}

// itemAt moves an inner size of an item of the parcel step by step down to where the parcel stops fitting.
func (d Dice) itemAt(p *packing.Problem, parcel *packing.Parcel, by measure.Length) {
	item := itemOf(p, parcel.Layers[d.IntN(len(parcel.Layers))].Item)
	if item.Outer != nil || item.Cut != nil || item.CutBase != nil {
		return
	}
	side := &item.Width
	if item.Kind == packing.Tube || item.Kind == packing.Carton && d.Chance(50) {
		side = &item.Length
	} else if d.Chance(50) {
		side = &item.Height
	}
	reckoner := check.NewReckoner(p) // refers to the items, so it sees them change
	full, low, high := *side, measure.Length(0), *side
	for high-low > 1 { // the least size with which the same choice still packs
		*side = low + (high-low)/2
		if _, broken := reckoner.Pack(parcel); broken == nil {
			high = *side
		} else {
			low = *side
		}
	}
	if *side = high + by; *side < 1 {
		*side = full
	}
}
