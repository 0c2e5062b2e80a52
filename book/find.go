package book

import (
	"context"
	"slices"
	"strings"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/planning"
	"solander/studio"
)

// MostFound bounds each kind of thing found; mostNumbers the numbers, which every edition may have.
const (
	MostFound   = 20
	mostNumbers = 500
)

// Find searches numbers, in whatever state they are ("17/250 of heron", "heron 17", "who has AP 2 of heron"; "number 17" or
// "17" alone in every edition; "spoilt heron", "returned" by their state), orders by mark, reference, buyer, city or tracking number, buyers, and works by title. Case,
// accents and the form of UTF-8 do not count. Faults: Invalid for a text that is too long or no UTF-8; finding nothing is none.
// Words that only ask ("who has", "number", "the") are passed over where others are left.
func Find(ctx context.Context, s *studio.Studio, text string) (studio.Found, error) {
	if err := order.Text("q", text, 200, false); err != nil {
		return studio.Found{}, err
	}
	text = strings.Join(strings.Fields(text), " ")
	out := studio.Found{Text: text}
	if text == "" {
		return out, nil
	}
	err := read(ctx, s, func(t *Book) error {
		found, err := t.find(text)
		out = found
		return err
	})
	return out, err
}

// Example is a text that Find finds something by in this studio: a number of its first numbered edition, else the
// title of a work; "" when it has none.
func Example(ctx context.Context, s *studio.Studio) (string, error) {
	var out string
	err := read(ctx, s, func(t *Book) error {
		eds, err := t.Editions()
		if err != nil {
			return err
		}
		for _, e := range eds {
			if !e.Open() {
				out = edition.Number{Kind: edition.Numbered, N: min(17, e.Limit)}.Of(e) + " " + e.Title
				return nil
			}
		}
		if works, err := t.Works(); err != nil {
			return err
		} else if len(works) > 0 {
			out = works[0].Title
		}
		return nil
	})
	return out, err
}

func (t *Book) find(text string) (studio.Found, error) {
	out := studio.Found{Text: text}
	text = askedFor(text)
	var err error
	if out.Numbers, err = t.findNumbers(text); err != nil {
		return out, err
	}
	if out.Orders, err = t.findOrders(text); err != nil {
		return out, err
	}
	if out.Buyers, err = t.Buyers(text, MostFound); err != nil {
		return out, err
	}
	works, err := t.Works()
	if err != nil {
		return out, err
	}
	for _, w := range works {
		if containsWords(w.Title, text) && len(out.Works) < MostFound {
			out.Works = append(out.Works, w)
		}
	}
	return out, nil
}

// findOrders finds orders by their words, and by the tracking number of a parcel.
func (t *Book) findOrders(text string) ([]studio.OrderRow, error) {
	orders, err := t.Orders(studio.OrderQuery{Text: text, Limit: MostFound})
	if err != nil {
		return nil, err
	}
	if o, err := t.OrderByMark(strings.ToUpper(text)); err == nil {
		orders = append([]order.Order{o}, orders...)
	} else if !fault.Is(err, fault.Missing) {
		return nil, err
	}
	tracked, err := t.findTracked(text)
	if err != nil {
		return nil, err
	}
	orders = append(tracked, orders...)
	d, err := t.Drawer()
	if err != nil {
		return nil, err
	}
	var out []studio.OrderRow
	for _, o := range orders {
		if slices.ContainsFunc(out, func(r studio.OrderRow) bool { return r.ID == o.ID }) {
			continue
		}
		row, err := t.OrderRow(o, d)
		if err != nil {
			return nil, err
		}
		out = append(out, row)
	}
	return out, nil
}

func (t *Book) findTracked(text string) ([]order.Order, error) {
	n, err := order.ParseTracking(text)
	if err != nil {
		return nil, nil // it is no tracking number
	}
	parcels, err := t.ParcelsTracked(n.Number)
	if err != nil {
		return nil, err
	}
	var out []order.Order
	for _, p := range parcels {
		all, err := planning.In(t.Turn).Sharing(p)
		if err != nil {
			return nil, err
		}
		out = append(out, all...)
	}
	return out, nil
}
