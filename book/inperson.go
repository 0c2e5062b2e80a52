package book

import (
	"solander/fault"
	"solander/order"
	"solander/studio"
)

// amendInPerson says that an order is handed over in person, or sent after all. Faults: Refused while a parcel of it is packed.
func (t *Book) amendInPerson(o *order.Order, in AmendIn) (string, error) {
	if in.InPerson == nil || *in.InPerson == o.InPerson {
		return "", nil
	}
	if err := studio.StillOpen(*o); err != nil {
		return "", err
	}
	parcels, err := t.Parcels(o.ID)
	if err != nil {
		return "", err
	}
	for _, p := range parcels {
		if p.State != studio.HandedOver {
			return "", fault.New(fault.Refused, "a parcel of it is %s", p.State).In("in_person").ToMend("undo the packing first")
		}
	}
	o.InPerson = *in.InPerson
	if o.InPerson {
		return "handed over in person", nil
	}
	return "sent in a parcel", nil
}
