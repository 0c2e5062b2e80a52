package earnings

import (
	"solander/money"
)

// Usual is what a kind of cost usually comes to, as a share of prices: so much of so much, in minor units.
type Usual struct{ Cost, Prices int64 }

// Waiting is a print that was sold and has not left the house: what the journal does not say of it yet.
type Waiting struct {
	Fact                   // what it belongs to
	Price     money.Amount //
	Charged   money.Amount // its part of the postage charged
	Fee       money.Amount // its part of the outlet's fee
	Sheet     money.Amount // what the next sheet of its edition costs
	Packaging money.Amount // of its parcel, when it is packed
	Postage   money.Amount // of its parcel, by the card, when it is packed and has no label
	Run       int64        // that the sheet came with; 0 = none, or it is still to be ordered
	Packed    bool
	Labelled  bool // its postage stands in the journal
	// UsualPackaging and UsualPostage are what other prints cost that went; they are gone by while it is not packed.
	UsualPackaging, UsualPostage Usual
}

// Estimate is what a print in the house is likely to earn, part by part: its price and its fees as they stand, the sheet that is next,
// packaging and postage as packed, or before that in the proportion to prices in which they stood of late. All of it is estimated.
func (w Waiting) Estimate() []Fact {
	var out []Fact
	add := func(p Part, minor int64) {
		if minor != 0 {
			f := w.Fact
			f.Part, f.Amount, f.Estimated = p, money.Of(minor, w.Price.Currency), true
			out = append(out, f)
		}
	}
	add(Price, w.Price.Minor)
	add(Charged, w.Charged.Minor)
	add(Sheet, -w.Sheet.Minor)
	switch {
	case w.Packed:
		add(Packaging, -w.Packaging.Minor)
	default:
		add(Packaging, -w.UsualPackaging.of(w.Price))
	}
	switch {
	case w.Labelled:
	case w.Packed:
		add(Postage, -w.Postage.Minor)
	default:
		add(Postage, -w.UsualPostage.of(w.Price))
	}
	add(OutletFee, -w.Fee.Minor)
	return out
}

// of is what it comes to for a price, rounded half away from zero; nothing while nothing was sold to go by.
func (u Usual) of(price money.Amount) int64 {
	if u.Prices <= 0 || u.Cost <= 0 {
		return 0
	}
	a, err := price.Share(u.Cost, u.Prices)
	if err != nil {
		return 0
	}
	return a.Minor
}
