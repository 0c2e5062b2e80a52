package tariff

import (
	"slices"
	"sort"

	"solander/measure"
)

// Price prices a parcel item by item, or returns the first rule that it breaks.
func (o *Offer) Price(p *Parcel, e Extras) (Price, *Reason) {
	lines := make([]Line, 0, 4)
	total, billed, b := o.run(p, e, &lines)
	if b.rule != "" {
		return Price{}, o.reason(b, p)
	}
	return Price{Lines: lines, Total: total, Billed: billed}, nil
}

// Cost is Price's total alone, made for the inner loop of a search; false when a rule is broken.
func (o *Offer) Cost(p *Parcel, e Extras) (int64, bool) {
	total, _, b := o.run(p, e, nil)
	return total, b.rule == ""
}

// broken is a rule that does not hold, without words: words cost time.
type broken struct {
	rule       string
	got, limit int64
	unit       string
}

// run looks at the rules in their documented order and adds up the price; lines may be nil.
func (o *Offer) run(p *Parcel, e Extras, lines *[]Line) (int64, measure.Mass, broken) {
	if b := o.takes(p, e); b.rule != "" {
		return 0, 0, b
	}
	row, billed, b := o.row(p)
	if b.rule != "" {
		return 0, 0, b
	}
	total := int64(o.column[row])
	if lines != nil {
		*lines = append(*lines, o.postageLine(row, billed))
	}
	total += o.surcharges(p, lines)
	cover, b := o.cover(e.Cover, lines)
	if b.rule != "" {
		return 0, 0, b
	}
	total += cover
	if e.Signature {
		if o.Service.Signature == nil {
			return 0, 0, broken{rule: "service.signature"}
		}
		total += *o.Service.Signature
		if lines != nil {
			*lines = append(*lines, o.line("signature", o.Service.ID, "signature on delivery", *o.Service.Signature, "", ""))
		}
	}
	return total, billed, broken{}
}

// takes looks at rules 3 to 9: whether the service carries such a parcel at all.
func (o *Offer) takes(p *Parcel, e Extras) broken {
	s := o.Service
	if o.most > 0 && p.Mass > o.most {
		return broken{"zone.mass", int64(p.Mass), int64(o.most), "ng"}
	}
	for _, class := range p.IssuedFor {
		if class != s.Class {
			return broken{rule: "service.issued"}
		}
	}
	if s.Container != p.Container {
		return broken{rule: "service.container"}
	}
	if len(s.Forms) > 0 && !slices.Contains(s.Forms, p.Form) {
		return broken{rule: "service.form"}
	}
	if s.Flexible && p.Stiff {
		return broken{rule: "service.flexible"}
	}
	for i := range s.Limits {
		if s.Limits[i].Form != "" && s.Limits[i].Form != p.Form {
			continue
		}
		if got, limit, ok := s.Limits[i].holds(p); !ok {
			return broken{o.limits[i], got, limit, o.unit(s.Limits[i].Measure)}
		}
	}
	if e.Tracking && !s.Tracking {
		return broken{rule: "service.tracking"}
	}
	return broken{}
}

func (o *Offer) unit(m Measure) string {
	if m == ValueOf {
		return o.Card.Currency
	}
	return m.Unit()
}

// row finds the price row of a parcel and the mass it is billed by.
func (o *Offer) row(p *Parcel) (int, measure.Mass, broken) {
	prices := &o.Service.Prices
	row, billed, got, unit := 0, measure.Mass(0), int64(0), "ng"
	switch prices.By {
	case ByMass:
		billed = p.Mass
		if d := o.Service.Dimensional; d != nil {
			billed = max(billed, d.Mass(p.Size, p.Form))
		}
		got = int64(billed)
		row = sort.Search(len(prices.Rows), func(i int) bool { return prices.Rows[i].Mass >= billed })
	case ByVolume:
		size := prices.Round.size(p.Size)
		v := product(size.Length, size.Width, size.Height)
		got, unit = int64(size.Volume()), "um3"
		for row < len(o.volume) && o.volume[row].less(v) {
			row++
		}
	default:
		unit = ""
	}
	if row == len(prices.Rows) {
		return 0, 0, broken{"price.step", got, o.step(row - 1), unit}
	}
	if o.column[row] == NotCarried {
		return 0, 0, broken{"price.dash", got, o.step(row), unit}
	}
	return row, billed, broken{}
}

func (o *Offer) step(row int) int64 {
	r := o.Service.Prices.Rows[row]
	return max(int64(r.Mass), int64(r.Volume))
}

// Looks is the price in the table for an actual mass, without any rule: in the last row when it is
// heavier; where that row is a dash, in the nearest lighter one with a price; of a table by volume the
// first price. False when the table holds no price at all for the zone. It is never a promise.
func (o *Offer) Looks(mass measure.Mass) (price int64, priced bool) {
	row := 0
	if o.Service.Prices.By == ByMass {
		for row < len(o.column)-1 && o.Service.Prices.Rows[row].Mass < mass {
			row++
		}
	}
	for i := row; i >= 0; i-- {
		if o.column[i] != NotCarried {
			return int64(o.column[i]), true
		}
	}
	for i := row + 1; i < len(o.column); i++ {
		if o.column[i] != NotCarried {
			return int64(o.column[i]), true
		}
	}
	return 0, false
}

// How far a parcel gets in the order of the rules; a limit comes at stageLimit and its number.
const (
	stageZone = iota
	stageIssued
	stageContainer
	stageForm
	stageFlexible
	stageLimit
	stageTracking = 1000 + iota
	stageStep
	stageDash
	stageCover
	stageSignature
)

var stages = map[string]int{
	"zone.mass": stageZone, "service.issued": stageIssued, "service.container": stageContainer, "service.form": stageForm,
	"service.flexible": stageFlexible, "service.tracking": stageTracking, "price.step": stageStep, "price.dash": stageDash,
	"cover.most": stageCover, "service.signature": stageSignature,
}

// Reach says how far a parcel gets in the documented order of the rules before one breaks: larger is
// further. It means nothing for a parcel that breaks none.
func (o *Offer) Reach(p *Parcel, e Extras) int {
	_, _, b := o.run(p, e, nil)
	if at, ok := stages[b.rule]; ok {
		return at
	}
	for i := range o.Service.Limits {
		l := &o.Service.Limits[i]
		if l.Form != "" && l.Form != p.Form {
			continue
		}
		if _, _, ok := l.holds(p); !ok {
			return stageLimit + i
		}
	}
	return 0
}
