package explain

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"solander/packing"
	"solander/packing/layout"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/packing/planner/tiers"
	"solander/sheet"
	"solander/tariff"
)

// Pool hands out the copies of an order's sheets: of alike sheets the smallest id first.
type Pool struct {
	o    *parcel.Order
	left map[*packing.Sheet]int
}

func NewPool(o *parcel.Order) *Pool {
	p := &Pool{o: o, left: map[*packing.Sheet]int{}}
	for i := range o.Groups {
		for _, s := range o.Groups[i].Sheets {
			p.left[s] = s.Number()
		}
	}
	return p
}

// Part is copies of one sheet in a parcel.
type Part struct {
	Order  string
	sheet  *packing.Sheet
	group  int
	copies int
}

func (p *Pool) Draw(set []int) []Part {
	var out []Part
	for g, n := range set {
		for _, s := range p.o.Groups[g].Sheets {
			if take := min(n, p.left[s]); take > 0 {
				p.left[s] -= take
				n -= take
				out = append(out, Part{p.o.Members[p.o.Groups[g].Member].ID, s, g, take})
			}
		}
	}
	slices.SortFunc(out, func(a, b Part) int {
		return cmp.Or(strings.Compare(a.Order, b.Order), strings.Compare(a.sheet.ID, b.sheet.ID))
	})
	return out
}

func (p *Part) Content() packing.Content {
	return packing.Content{Order: p.Order, Sheet: p.sheet.ID, Copies: p.copies}
}

// Parcel writes a pick out in full.
func Parcel(k *parcel.Kit, p *parcel.Pick, o *parcel.Order, parts []Part) packing.Parcel {
	f := o.Facts(p.Set)
	in := k.Parcel(&p.Final, f)
	price, _ := p.Offer.Price(&in, p.Extras) // Cost has found that it breaks no rule
	out := packing.Parcel{
		Order: parts[0].Order, Wrap: p.Wrap.ID, Shape: p.Wrap.Shape, Form: p.Final.Form, Stiff: p.Final.Stiff, Size: p.Final.Size,
		Mass: p.Final.Mass, Value: f.Value, Card: p.Offer.Card.ID, Service: p.Offer.Service.ID, Class: p.Offer.Service.Class,
		Zone: p.Offer.Zone, Billed: price.Billed, Cover: p.Extras.Cover, Signature: p.Extras.Signature,
		Contents: []packing.Content{}, Layers: []packing.LayerPlan{},
	}
	for _, part := range parts {
		out.Contents = append(out.Contents, part.Content())
	}
	if f.Orders.Count() > 1 {
		out.Orders = o.Ids(f.Orders)
	}
	out.Mat = Mat(p.Final.Lies, parts)
	writeLayers(k, &out, p, parts)
	out.Lines = append(out.Lines, ownLines(k, &out, p)...)
	out.Lines = append(out.Lines, price.Lines...)
	for _, l := range out.Lines {
		out.Cost += l.Amount
	}
	if d := p.Offer.Service.Days; d != nil {
		out.DaysMin, out.DaysMax, out.Arrives = new(d.Min), new(d.Max), p.Offer.Arrives
	}
	return out
}

// writeLayers lists the choices from the inside out.
func writeLayers(k *parcel.Kit, out *packing.Parcel, p *parcel.Pick, parts []Part) {
	var chain []*parcel.Choice
	for c := p.Final.Last; c != nil; c = c.Prev {
		chain = append(chain, c)
	}
	slices.Reverse(chain)
	for i := range p.Wrap.Stages {
		l := &p.Wrap.Stages[i]
		for _, part := range parts {
			for _, c := range chain {
				if c.Layer == i && c.Group == part.group {
					entry := packing.LayerPlan{Layer: i, Kind: l.Kind, Item: c.Item.ID, Count: l.Number * part.copies, Sheet: part.sheet.ID}
					if out.Orders != nil {
						entry.Order = part.Order
					}
					out.Layers = append(out.Layers, entry)
				}
			}
		}
		for _, c := range chain {
			if c.Layer == i && c.Group < 0 {
				out.Layers = append(out.Layers, packing.LayerPlan{Layer: i, Kind: l.Kind, Item: c.Item.ID, Count: c.Count, CutTo: c.Cut, CutLength: c.Length, CutWidth: c.Width})
				if c.Roll != nil {
					out.Roll = rollPlan(c.Roll, p.Final.Rests)
				}
			}
		}
	}
}

func rollPlan(r *parcel.Rolled, at packing.Lies) *packing.RollPlan {
	return &packing.RollPlan{
		Axis: r.Axis, Strip: r.Strip, Pack: r.Pack, Inner: r.Inner, Outer: sheet.RollDiameter(r.Strip, r.Pack, r.Inner), Lies: at,
	}
}

// ownLines are the studio's own costs: packaging and work.
func ownLines(k *parcel.Kit, out *packing.Parcel, p *parcel.Pick) []tariff.Line {
	var lines []tariff.Line
	for _, l := range out.Layers {
		it := item(k, l.Item)
		name := it.Name
		if name == "" {
			name = string(it.Kind) + " " + it.ID
		}
		lines = append(lines, tariff.Line{Rule: tariff.Packaging, What: l.Item, Text: name, Count: l.Count, Amount: int64(l.Count) * it.Cost})
	}
	n := 0
	for _, c := range out.Contents {
		n += c.Copies
	}
	if work := k.Work(p.Wrap, n); work > 0 {
		lines = append(lines, tariff.Line{Rule: tariff.Work, What: p.Wrap.ID, Text: "packing", Count: 1, Amount: work})
	}
	return lines
}

func item(k *parcel.Kit, id string) *means.Item {
	i, _ := slices.BinarySearchFunc(k.Items, id, func(it *means.Item, id string) int { return strings.Compare(it.ID, id) })
	return k.Items[i]
}

// words says in how many tiers sheets lie side by side.
func words(d *parcel.Tiered) string {
	switch {
	case d == nil:
		return ""
	case d.Pile.Tiers == 1:
		return ", all side by side"
	}
	return fmt.Sprintf(", side by side in %d tiers", d.Pile.Tiers)
}

// Mat says where each copy lies: of alike leaves the smallest id first.
func Mat(d *parcel.Tiered, parts []Part) *packing.Mat {
	if d == nil {
		return nil
	}
	left := make([]int, len(parts))
	for i := range parts {
		left[i] = parts[i].copies
	}
	shared := parts[0].Order != parts[len(parts)-1].Order
	out := &packing.Mat{}
	out.Width, out.Height = d.Pile.Mat()
	for p := d.Pile; p.First != nil; p = p.Rest {
		tier := packing.Tier{Thickness: p.First.Lots[0].Thick}
		at := 0
		for _, l := range p.First.Lots {
			for range l.N {
				i := next(d, parts, left, l.Foot)
				left[i]--
				tier.Spots = append(tier.Spots, parts[i].spot(shared, p.First.Spots[at]))
				at++
			}
		}
		out.Tiers = append(out.Tiers, tier)
	}
	return out
}

func (p *Part) spot(shared bool, at layout.Place) packing.Spot {
	s := packing.Spot{Sheet: p.sheet.ID, X: at.X, Y: at.Y, Width: at.Width, Height: at.Height}
	if shared {
		s.Order = p.Order
	}
	return s
}

// next returns the first part with copies left whose leaves are of a size.
func next(d *parcel.Tiered, parts []Part, left []int, f tiers.Foot) int {
	for i := range parts {
		if left[i] > 0 && d.Feet[parts[i].group] == f {
			return i
		}
	}
	panic("planner: a tier holds more leaves of a size than there are")
}
