package papers

import (
	"fmt"
	"strings"

	"solander/address"
	"solander/order"
)

// NotPostage is what every address label says, so that nobody takes it for paid postage.
const NotPostage = "Address label — this is not postage"

// AddressLabel is a label of 4 × 6 in for a parcel: where it goes, where it comes from, and the order's
// mark; the parcel's name also as Code 128.
type AddressLabel struct {
	Head
	From, To []string
	Mark     string
	Code     string // names the parcel, as Code 128: see ParcelCode
	Part     string // "parcel 1 of 2, with S-1043"; "" when the order has one parcel, of its own
	Service  string
}

// Title names the paper.
func (AddressLabel) Title() string { return "Address label" }

// LabelIn is what a label is made of. Part and Parts count the order's parcels from 1.
type LabelIn struct {
	From, To    order.Address
	Mark        string
	With        string // marks of other orders in it
	Part, Parts int
	Service     string
}

// Label returns the address label of a parcel. A foreign country stands in capitals on the last line, as
// the Universal Postal Union asks (from memory).
func Label(h Head, in LabelIn) AddressLabel {
	to := in.To.Block(in.From.Country)
	if address.Home(in.To.Country) != address.Home(in.From.Country) {
		to[len(to)-1] = strings.ToUpper(to[len(to)-1])
	}
	return AddressLabel{
		Head: h, From: in.From.Block(in.From.Country), To: to, Mark: in.Mark, Code: ParcelCode(in.Mark, in.Part, in.Parts),
		Part: partWith(in), Service: in.Service,
	}
}

// ParcelCode is what a parcel's bar code says: the order's mark, and behind a stroke which parcel it is when the
// order has several.
func ParcelCode(mark string, part, parts int) string {
	if parts < 2 {
		return mark
	}
	return fmt.Sprintf("%s/%d", mark, part)
}

func partWith(in LabelIn) string {
	part := PartOf(in.Part, in.Parts)
	if in.With == "" {
		return part
	}
	return strings.TrimPrefix(part+", with "+in.With, ", ")
}

// PartOf says which of its order's parcels one is; "" when it is the only one.
func PartOf(part, parts int) string {
	if parts < 2 {
		return ""
	}
	return fmt.Sprintf("parcel %d of %d", part, parts)
}
