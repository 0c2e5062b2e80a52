package explain

import (
	"fmt"

	"solander/calendar"
	"solander/measure"
	"solander/packing"
	"solander/packing/planner/means"
	"solander/packing/planner/parcel"
	"solander/tariff"
)

// sentence says how a measure of each rule comes about; %s are what is needed and what there is.
var sentence = map[string]string{
	"sleeve.length": "long side", "sleeve.width": "short side", "sleeve.thickness": "thickness",
	"envelope.length": "long side", "envelope.width": "short side", "envelope.thickness": "thickness",
	"tissue.length": "long side to cover", "tissue.width": "short side to cover",
	"board.length": "long side to cover", "board.width": "short side to cover",
	"carton.length": "long side", "carton.width": "short side", "carton.height": "height",
	"tube.diameter": "rolled diameter", "tube.length": "length of the roll",
}

// reason puts a gap into words: "tube t18: length of the roll 18 in + 2 × 1/2 in = 19 in > 18 in".
func reason(g means.Gap, l *means.Layer, it *means.Item, sized measure.Length) *packing.Reason {
	once, twice := room(l, g.Rule)
	in := measure.SystemOf(g.Limit, once, twice)
	got, limit := g.Got.Above(in), g.Limit.Below(in)
	r := &packing.Reason{Rule: g.Rule, Got: int64(g.Got), Limit: int64(g.Limit), Unit: "nm"}
	if g.Rule == "carton.empty" {
		r.Text = fmt.Sprintf("carton %s: %s would stay empty above the contents, at most %s may", it.ID, got, limit)
		return r
	}
	own := (g.Got - once - 2*twice).Above(in)
	sum := own
	if twice > 0 {
		sum += " + 2 × " + twice.Above(in)
	}
	if once > 0 {
		sum += " + " + once.Above(in)
	}
	if sum != own {
		sum += " = " + got
	}
	r.Text = fmt.Sprintf("%s %s: %s %s > %s", l.Kind, it.ID, sentence[g.Rule], sum, limit)
	if sized > 0 {
		r.Text += " inside"
	}
	return r
}

// room is the clearance that a rule adds, once and at both ends.
func room(l *means.Layer, rule string) (once, twice measure.Length) {
	c := l.Clearance
	switch rule {
	case "tube.diameter":
		return c.Across, 0
	case "tube.length":
		return 0, c.Ends
	case "sleeve.thickness", "envelope.thickness", "carton.height":
		return c.Thickness, 0
	}
	return 0, c.Sides
}

func late(k *parcel.Kit, by calendar.Day, of *means.Offer) *packing.Reason {
	if of.Service.Days == nil {
		return &packing.Reason{Rule: "order.arrive_by", Text: of.Service.Name + " states no days; it must arrive by " + by.Long()}
	}
	return &packing.Reason{
		Rule: "order.arrive_by", Got: int64(of.Days), Limit: int64(by.Sub(k.P.Day)), Unit: "days",
		Text: fmt.Sprintf("%s may arrive on %s, it must arrive by %s", of.Service.Name, of.Arrives.Long(), by.Long()),
	}
}

// Short says of which item a parcel takes more than there are, or than other parcels leave; others are the pieces of
// each item that those take, nil = none.
func Short(k *parcel.Kit, c *parcel.Final, others []int) *packing.Reason {
	if it, n, stock := shortage(c.Last); it != nil {
		return &packing.Reason{
			Rule: "shelf.stock", Got: int64(n), Limit: int64(stock), Unit: "pieces",
			Text: fmt.Sprintf("%s of %s needed, there are %d", tariff.Show(int64(n), "pieces"), it.ID, stock),
		}
	}
	if others == nil {
		return nil
	}
	count := map[*means.Item]int{}
	for ch := c.Last; ch != nil; ch = ch.Prev {
		count[ch.Item] += ch.Count
	}
	for _, it := range k.Items {
		if all := count[it] + others[it.Index]; count[it] > 0 && it.Stock != nil && all > *it.Stock {
			return &packing.Reason{
				Rule: "shelf.shared", Got: int64(all), Limit: int64(*it.Stock), Unit: "pieces",
				Text: fmt.Sprintf("%s needed, other parcels take %d of the %d of %s", tariff.Show(int64(count[it]), "pieces"), others[it.Index], *it.Stock, it.ID),
			}
		}
	}
	return nil
}

// shortage returns the first item, by id, of which a chain of choices takes more than there are.
func shortage(chain *parcel.Choice) (it *means.Item, count, stock int) {
	for c := chain; c != nil; c = c.Prev {
		if c.Item.Stock == nil || it != nil && it.Index <= c.Item.Index {
			continue
		}
		n := 0
		for d := chain; d != nil; d = d.Prev {
			if d.Item == c.Item {
				n += d.Count
			}
		}
		if n > *c.Item.Stock {
			it, count, stock = c.Item, n, *c.Item.Stock
		}
	}
	return it, count, stock
}
