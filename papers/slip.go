package papers

import (
	"fmt"
	"strings"

	"solander/edition"
	"solander/order"
)

// PackingSlip goes into the parcel: what is in it, with the facts of each edition. One for a gift
// carries the message and no price.
type PackingSlip struct {
	Head
	Mark     string // also as Code 128
	Ref      string // the outlet's reference
	Outlet   string
	Placed   string
	From, To []string
	Lines    []SlipLine
	With     []SlipOrder // what other orders have in the same parcel
	Totals   []SlipTotal // none for a gift
	Message  string      // of the giver
}

// Title names the paper.
func (PackingSlip) Title() string { return "Packing slip" }

// Gift reports whether it says no prices.
func (s PackingSlip) Gift() bool { return s.Message != "" }

// SlipLine is one print.
type SlipLine struct {
	Label   string // "17/250"
	Title   string
	Facts   string // "12 × 16 in, pigment print, cotton rag 310 gsm, edition of 250 and 25 artist's proofs"
	Price   string // "" for a gift
	Picture []byte // JPEG; nil = none
}

// SlipOrder is prints of another order in the parcel. What is owed for them stands on its own slip.
type SlipOrder struct {
	Mark   string
	Ref    string
	Placed string
	Lines  []SlipLine
}

// SlipTotal is a line of the sum.
type SlipTotal struct{ Name, Amount string }

// SlipIn is what a slip is made of. Editions holds the edition of every line, by id.
type SlipIn struct {
	Order    order.Order
	Outlet   string
	Buyer    string // named where there is no address
	From     order.Address
	Editions map[int64]edition.Edition
	With     []SlipWith       // other orders in its parcels
	Pictures map[int64][]byte // JPEG, by work; those that are lacking are left out
}

// SlipWith is lines of another order.
type SlipWith struct {
	Order order.Order
	Lines []order.Line
}

// Slip returns the packing slip of an order. An order with a gift message is a gift.
func Slip(h Head, in SlipIn) PackingSlip {
	o := in.Order
	s := PackingSlip{
		Head: h, Mark: o.Mark, Ref: o.Ref, Outlet: in.Outlet, Placed: o.Placed.Long(),
		From: in.From.Block(in.From.Country), To: o.ShipTo.Block(in.From.Country), Message: strings.TrimSpace(o.GiftMessage),
	}
	if len(s.To) == 0 && in.Buyer != "" && !s.Gift() { // of a gift, the buyer is not who gets it
		s.To = []string{in.Buyer}
	}
	s.Lines = slipLines(h, in, o.Live(), !s.Gift())
	for _, w := range in.With {
		priced := !s.Gift() && strings.TrimSpace(w.Order.GiftMessage) == ""
		s.With = append(s.With, SlipOrder{Mark: w.Order.Mark, Ref: w.Order.Ref, Placed: w.Order.Placed.Long(), Lines: slipLines(h, in, w.Lines, priced)})
	}
	if !s.Gift() {
		s.Totals = totals(o)
	}
	return s
}

func slipLines(h Head, in SlipIn, lines []order.Line, priced bool) []SlipLine {
	var out []SlipLine
	for _, l := range lines {
		e := in.Editions[l.Edition]
		line := SlipLine{Label: l.Number.Of(e), Title: e.Title, Facts: Facts(e, h), Picture: in.Pictures[e.Work]}
		if line.Label == "" {
			line.Label = "open edition"
		}
		if priced {
			line.Price = l.Price.String()
		}
		out = append(out, line)
	}
	return out
}

// totals lists goods, postage and tax as far as there is any, and what was paid of it.
func totals(o order.Order) []SlipTotal {
	t := []SlipTotal{{"Prints", o.Goods().String()}}
	if o.Postage.Sign() != 0 {
		t = append(t, SlipTotal{"Postage", o.Postage.String()})
	}
	if o.Tax.Sign() != 0 && !o.TaxByOutlet {
		t = append(t, SlipTotal{"Tax", o.Tax.String()})
	}
	t = append(t, SlipTotal{"Total", o.Due().String()})
	if o.Paid() != o.Due() {
		t = append(t, SlipTotal{"Paid", o.Paid().String()})
	}
	return t
}

// Facts says what an edition is: "12 × 16 in, pigment print on cotton rag 310 gsm, edition of 250 and
// 25 artist's proofs".
func Facts(e edition.Edition, h Head) string {
	made := strings.Join(Once([]string{e.Technique, e.Grammage.Beside(e.Paper)}), " on ")
	size := "open edition"
	if !e.Open() {
		size = fmt.Sprintf("edition of %d", e.Limit) + proofs(e.Proofs)
	}
	return strings.Join(Once([]string{e.Size(h.Units), made, size}), ", ")
}

func proofs(p edition.Proofs) string {
	var kinds []string
	for _, k := range []struct {
		n    int
		kind edition.Kind
	}{{p.AP, edition.AP}, {p.PP, edition.PP}, {p.HC, edition.HC}, {p.BAT, edition.BAT}} {
		switch {
		case k.n == 0:
		case k.n == 1 || k.kind == edition.HC || k.kind == edition.BAT: // the French terms take no s
			kinds = append(kinds, fmt.Sprintf("%d %s", k.n, k.kind.Long()))
		default:
			kinds = append(kinds, fmt.Sprintf("%d %ss", k.n, k.kind.Long()))
		}
	}
	if len(kinds) == 0 {
		return ""
	}
	return " and " + strings.Join(kinds, ", ")
}
