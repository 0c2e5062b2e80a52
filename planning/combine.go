package planning

import (
	"fmt"
	"slices"
	"strings"

	"solander/money"
	"solander/order"
	"solander/packing"
	"solander/studio"
)

// With are the marks of orders with which the order shares planned parcels.
func (v PlanView) With() []string {
	var out []string
	for _, o := range v.Plan.Orders {
		if o.ID != v.Order.Mark {
			out = append(out, o.ID)
		}
	}
	return out
}

// Own is what the order bears of its plan: see Parcel.ShareOf.
func (v PlanView) Own() money.Amount {
	for _, o := range v.Plan.Orders {
		if o.ID == v.Order.Mark {
			return money.Of(o.Total, v.Plan.Currency)
		}
	}
	return money.Of(0, v.Plan.Currency)
}

// PostagePaid adds up what was paid for parcels. Faults: those of money.Sum.
func PostagePaid(parcels []studio.Parcel) (money.Amount, error) {
	var paid []money.Amount
	for _, p := range parcels {
		paid = append(paid, p.Paid)
	}
	return money.Sum(paid...)
}

// Sharing reads the orders of a parcel, the one it is named after first.
func (t *Planning) Sharing(p studio.Parcel) ([]order.Order, error) {
	return t.OrdersByID(SharersOf([]studio.Parcel{p}))
}

// SharersOf are the orders of parcels, each once, in the order of the parcels; of each the one that it is named after first.
func SharersOf(parcels []studio.Parcel) []int64 {
	var out []int64
	seen := map[int64]bool{}
	for _, p := range parcels {
		for _, id := range append([]int64{p.Order}, p.Orders...) {
			if !seen[id] {
				seen[id] = true
				out = append(out, id)
			}
		}
	}
	return out
}

// MarksOf names orders: "S-1042 and S-1043".
func MarksOf(orders []order.Order) string {
	var out []string
	for _, o := range orders {
		out = append(out, o.Mark)
	}
	slices.Sort(out)
	if n := len(out); n > 1 {
		return strings.Join(out[:n-1], ", ") + " and " + out[n-1]
	}
	return strings.Join(out, "")
}

// Others are the orders but one.
func Others(orders []order.Order, but int64) []order.Order {
	return slices.DeleteFunc(slices.Clone(orders), func(o order.Order) bool { return o.ID == but })
}

// Tell notes something in the journals of all orders but one, and returns the marks.
func (t *Planning) Tell(orders []order.Order, but int64, text string, args ...any) ([]int64, error) {
	var told []int64
	for _, o := range Others(orders, but) {
		id, err := t.Journal(studio.MarkOther, o.ID, nil, "%s %s", o.Mark, fmt.Sprintf(text, args...))
		if err != nil {
			return nil, err
		}
		told = append(told, id)
	}
	return told, nil
}

// Untell takes such notes back with what they told of.
func (t *Planning) Untell(told []int64) error {
	for _, id := range told {
		if err := t.UndoMark(id); err != nil {
			return err
		}
	}
	return nil
}

// joinKey is equal for orders that may share parcels.
func (t *Planning) joinKey(o order.Order) (string, error) {
	b, err := t.BuyerOf(o.Buyer)
	a := o.ShipTo
	fields := []string{b.Name, a.Name, a.Line1, a.Line2, a.City, a.Region, a.Postcode, a.Country}
	for i, f := range fields {
		fields[i] = strings.ToLower(strings.Join(strings.Fields(f), " "))
	}
	return strings.Join(fields, "\x00"), err
}

// OrdersOf reads the orders of a plan beside the one that is known. Faults: Missing.
func (t *Planning) OrdersOf(known order.Order, plan packing.Plan) ([]order.Order, error) {
	var out []order.Order
	for _, op := range plan.Orders {
		if op.ID == known.Mark {
			out = append(out, known)
			continue
		}
		o, err := t.OrderByMark(op.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, o)
	}
	return out, nil
}

// PostageOf is what the operator gets for a planned parcel: postage, surcharges, cover and signature.
func PostageOf(p packing.Parcel) int64 {
	var sum int64
	for _, l := range p.Lines {
		if l.OfCard() {
			sum += l.Amount
		}
	}
	return sum
}

// PartIn is which of an order's parcels it is, from 1.
func PartIn(all []studio.Parcel, id int64) int {
	return 1 + slices.IndexFunc(all, func(x studio.Parcel) bool { return x.ID == id })
}
