package bed

import (
	"solander/order"
	"solander/studio"
)

// DoorSale is one heron sold at the door.
func (b *Bed) DoorSale() studio.OrderView {
	in := b.Sale()
	in.ShipTo, in.InPerson, in.Postage = order.Address{}, true, USD(0)
	return b.Take(in)
}
