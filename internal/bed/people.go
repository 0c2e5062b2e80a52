package bed

import (
	"fmt"

	"solander/book"
	"solander/buyers"
	"solander/order"
	"solander/studio"
)

// Returning is the n-th order of one customer, as people write: another spelling, another place, the same person.
func (b *Bed) Returning(n int) book.Sale {
	in := book.Sale{
		Outlet: b.Own.ID, Ref: fmt.Sprintf("R-%d", n), Buyer: order.Buyer{Name: "Zoë Ødegård", Email: "zoe@post.example"}, ShipTo: Home(),
		Lines: []book.SaleLine{{Edition: b.Card.ID}},
	}
	switch n % 4 {
	case 1:
		in.Buyer.Name, in.Buyer.Email = "ZOË  ØDEGÅRD", "Zoe@POST.example"
	case 2:
		in.Buyer.Email = "" // known by name and address
		in.ShipTo.Postcode, in.ShipTo.Line1 = "24011-0003", "12, reed lane"
	case 3:
		in.Buyer.Name, in.ShipTo.Line1 = "Zoe Odegard", "3 Mill Road"
	}
	return in
}

// OneBuyer fails unless the book has one buyer, with so many orders.
func (b *Bed) OneBuyer(orders int) {
	b.Helper()
	page, err := buyers.Buyers(b.Ctx, b.Studio, studio.BuyerQuery{})
	if err != nil || len(page.Rows) != 1 || page.Rows[0].Orders != orders {
		b.Fatalf("%d buyers, the first with %+v (%v)", len(page.Rows), page.Rows, err)
	}
	b.Sound()
}

func (b *Bed) Mark(mark string) studio.OrderView {
	b.Helper()
	v, err := book.OrderByMark(b.Ctx, b.Studio, mark)
	if err != nil {
		b.Fatal(err)
	}
	return v
}
