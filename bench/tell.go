package bench

import (
	"cmp"
	"slices"
	"strings"

	"solander/order"
)

// Tell is what a buyer is still to be told of an edition before the print is handed over. It keeps nothing from being packed.
type Tell struct {
	Edition int64  `json:"edition"`
	Facts   int    `json:"facts"` // so many
	State   string `json:"state"` // whose rules ask for them: "California"
	Text    string `json:"text"`  // "facts to tell: signed, year and 9 more (California)"
}

// Untold makes of what the buyer of an order is still to be told a lack for each edition; none once it was overridden.
func Untold(o order.Order, tell []Tell) []order.Lack {
	var out []order.Lack
	for _, x := range tell {
		if o.Override == nil {
			out = append(out, order.Lack{Rule: order.LackFacts, What: x.Text, Mend: "say them on the page of the edition, or override it with a reason"})
		}
	}
	return out
}

// LacksToGo is all that keeps an open order from being handed over, its sheets apart: one rule for what is shown before and for the deed.
func LacksToGo(o order.Order, tell []Tell) []order.Lack {
	return append(o.Lacks(), Untold(o, tell)...)
}

// MoreToTell is what is to be told that does not stand among why it is held already.
func (t Task) MoreToTell() []Tell {
	return slices.DeleteFunc(slices.Clone(t.Tell), func(x Tell) bool { return strings.Contains(t.Blocked, x.Text) })
}

// tellIn are the groups whose rows say it, the one nearest to the hand-over first.
var tellIn = []Group{PackOrders, LabelParcel, HandOver, Waits, AskAddress, ChaseMoney}

// tell puts what is to be told on one row of each order; where its parcel is listed under another order, on a row of that one. An order of which
// sheets are only ordered or signed is told of when it is to be packed.
func (b *maker) tell() {
	open := map[int64]*Order{}
	for _, o := range b.open {
		if len(o.Tell) > 0 {
			open[o.ID] = o
		}
	}
	for _, g := range tellIn {
		for i := range b.list.Groups[g] {
			t := &b.list.Groups[g][i]
			if o := open[t.Order]; o != nil {
				t.Tell = o.Tell
				delete(open, t.Order)
			}
		}
	}
	for _, g := range tellIn[:3] {
		for i := range b.list.Groups[g] {
			t := &b.list.Groups[g][i]
			for _, o := range b.open {
				if open[o.ID] != nil && slices.Contains(t.With, o.Mark) {
					t.Tell = append(slices.Clone(t.Tell), o.Tell...)
					delete(open, o.ID)
				}
			}
		}
	}
}

// SignedOf is how many prints with a number of an edition were signed on the day of the list, for orders that are open.
type SignedOf struct {
	Edition int64  `json:"edition"`
	Name    string `json:"name"`
	Prints  int    `json:"prints"`
}

// signed counts what was signed on the day, by edition, in the order of their names.
func (b *maker) signed() {
	for _, o := range b.open {
		for _, l := range o.Live() {
			if !l.Signed || l.SignedDay != b.Day || l.Number.IsZero() {
				continue
			}
			at := slices.IndexFunc(b.list.Signed, func(s SignedOf) bool { return s.Edition == l.Edition })
			if at < 0 {
				at = len(b.list.Signed)
				b.list.Signed = append(b.list.Signed, SignedOf{Edition: l.Edition, Name: o.print(l).Edition})
			}
			b.list.Signed[at].Prints++
		}
	}
	slices.SortFunc(b.list.Signed, func(a, b SignedOf) int {
		return cmp.Or(strings.Compare(a.Name, b.Name), cmp.Compare(a.Edition, b.Edition))
	})
}
