package planner

import (
	"cmp"
	"slices"
	"strings"

	"solander/packing"
	"solander/sheet"
	"solander/tariff"
)

// pool hands out the copies of an order's sheets: of alike sheets the smallest id first.
type pool struct {
	o    *order
	left map[*packing.Sheet]int
}

func newPool(o *order) *pool {
	p := &pool{o: o, left: map[*packing.Sheet]int{}}
	for i := range o.groups {
		for _, s := range o.groups[i].sheets {
			p.left[s] = s.Number()
		}
	}
	return p
}

// part is copies of one sheet in a parcel.
type part struct {
	order  string
	sheet  *packing.Sheet
	group  int
	copies int
}

func (p *pool) draw(set []int) []part {
	var out []part
	for g, n := range set {
		for _, s := range p.o.groups[g].sheets {
			if take := min(n, p.left[s]); take > 0 {
				p.left[s] -= take
				n -= take
				out = append(out, part{p.o.members[p.o.groups[g].member].ID, s, g, take})
			}
		}
	}
	slices.SortFunc(out, func(a, b part) int {
		return cmp.Or(strings.Compare(a.order, b.order), strings.Compare(a.sheet.ID, b.sheet.ID))
	})
	return out
}

func (p *part) content() packing.Content {
	return packing.Content{Order: p.order, Sheet: p.sheet.ID, Copies: p.copies}
}

// parcelPlan writes a pick out in full.
func (k *kit) parcelPlan(p *pick, o *order, parts []part) packing.Parcel {
	f := o.facts(p.set)
	in := k.parcel(&p.final, f)
	price, _ := p.offer.Price(&in, p.extras) // Cost has found that it breaks no rule
	out := packing.Parcel{
		Order: parts[0].order, Wrap: p.wrap.ID, Shape: p.wrap.Shape, Form: p.final.form, Stiff: p.final.stiff, Size: p.final.size,
		Mass: p.final.mass, Value: f.value, Card: p.offer.Card.ID, Service: p.offer.Service.ID, Class: p.offer.Service.Class,
		Zone: p.offer.Zone, Billed: price.Billed, Cover: p.extras.Cover, Signature: p.extras.Signature,
		Contents: []packing.Content{}, Layers: []packing.LayerPlan{},
	}
	for _, part := range parts {
		out.Contents = append(out.Contents, part.content())
	}
	if f.orders.count() > 1 {
		out.Orders = o.ids(f.orders)
	}
	out.Mat = p.final.lies.plan(parts)
	k.writeLayers(&out, p, parts)
	out.Lines = append(out.Lines, k.ownLines(&out, p)...)
	out.Lines = append(out.Lines, price.Lines...)
	for _, l := range out.Lines {
		out.Cost += l.Amount
	}
	if d := p.offer.Service.Days; d != nil {
		out.DaysMin, out.DaysMax, out.Arrives = new(d.Min), new(d.Max), p.offer.arrives
	}
	return out
}

// writeLayers lists the choices from the inside out.
func (k *kit) writeLayers(out *packing.Parcel, p *pick, parts []part) {
	var chain []*choice
	for c := p.final.last; c != nil; c = c.prev {
		chain = append(chain, c)
	}
	slices.Reverse(chain)
	for i := range p.wrap.layers {
		l := &p.wrap.layers[i]
		for _, part := range parts {
			for _, c := range chain {
				if c.layer == i && c.group == part.group {
					entry := packing.LayerPlan{Layer: i, Kind: l.Kind, Item: c.item.ID, Count: l.count * part.copies, Sheet: part.sheet.ID}
					if out.Orders != nil {
						entry.Order = part.order
					}
					out.Layers = append(out.Layers, entry)
				}
			}
		}
		for _, c := range chain {
			if c.layer == i && c.group < 0 {
				out.Layers = append(out.Layers, packing.LayerPlan{Layer: i, Kind: l.Kind, Item: c.item.ID, Count: c.count, CutTo: c.cut, CutLength: c.length, CutWidth: c.width})
				if c.roll != nil {
					out.Roll = rollPlan(c.roll)
				}
			}
		}
	}
}

func rollPlan(r *rolled) *packing.RollPlan {
	return &packing.RollPlan{Axis: r.axis, Strip: r.strip, Pack: r.pack, Inner: r.inner, Outer: sheet.RollDiameter(r.strip, r.pack, r.inner)}
}

// ownLines are the studio's own costs: packaging and work.
func (k *kit) ownLines(out *packing.Parcel, p *pick) []tariff.Line {
	var lines []tariff.Line
	for _, l := range out.Layers {
		it := k.item(l.Item)
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
	if work := k.work(p.wrap, n); work > 0 {
		lines = append(lines, tariff.Line{Rule: tariff.Work, What: p.wrap.ID, Text: "packing", Count: 1, Amount: work})
	}
	return lines
}

func (k *kit) item(id string) *item {
	i, _ := slices.BinarySearchFunc(k.items, id, func(it *item, id string) int { return strings.Compare(it.ID, id) })
	return k.items[i]
}
