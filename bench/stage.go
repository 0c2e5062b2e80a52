package bench

import (
	"solander/order"
	"solander/supply"
)

// Sheets says which order lines have a sheet and when the others will.
type Sheets struct {
	Has    map[int64]bool          // by line: a sheet in the drawer is for it
	Waits  []supply.Claim          // without a sheet, in the order in which sheets will be given
	Coming map[int64]supply.Coming // by line: the run that will serve it
}

// SheetsOf gives the sheets in the drawer, then those of the open runs, to the lines of open orders
// that may have one (see the package's rules). onHand is by edition: see State.OnHand.
func SheetsOf(orders []order.Order, onHand map[int64]int, runs []supply.Run) Sheets {
	var claims []supply.Claim
	for _, o := range orders {
		for _, l := range Pending(o) {
			if l.Signed || Funded(o) {
				claims = append(claims, supply.Claim{Line: l.ID, Edition: l.Edition, Promised: o.Promised, Placed: o.Placed, Signed: l.Signed})
			}
		}
	}
	given := supply.Allot(onHand, claims)
	return Sheets{Has: given.Has, Waits: given.Waits, Coming: supply.Serve(given.Waits, runs)}
}

// Pending returns the live lines of an open order that are not sent yet; none of any other order.
func Pending(o order.Order) []order.Line {
	if o.State != order.Open {
		return nil
	}
	return order.Without(o.Live(), func(l order.Line) bool { return l.Sent })
}

// Funded reports whether a sheet may be ordered for the order: something was paid, nothing is due, or
// the artist has overridden it.
func Funded(o order.Order) bool {
	return o.Override != nil || o.Owed().Sign() <= 0 || o.Paid().Sign() > 0
}

// Settled reports whether the order's money lets it leave: paid in full, or overridden.
func Settled(o order.Order) bool { return o.Override != nil || o.Owed().Sign() <= 0 }

// StageOf says where an order stands: the first thing in working order that it waits for. has tells
// which lines have a sheet (SheetsOf), labelled one value for each of its parcels in the house.
// It is the one answer for bench and order pages.
func StageOf(o order.Order, has map[int64]bool, labelled []bool) order.Stage {
	switch {
	case o.State != order.Open:
		return order.Done
	case !Settled(o):
		return order.AwaitsMoney
	}
	toPack := unpacked(o)
	for _, l := range toPack {
		if !has[l.ID] {
			return order.AwaitsSheet
		}
	}
	for _, l := range toPack {
		if !l.Signed {
			return order.AwaitsSigning
		}
	}
	if len(toPack) > 0 {
		return readyStage(o)
	}
	for _, done := range labelled {
		if !done {
			return order.AwaitsLabel
		}
	}
	return order.AwaitsHandOver
}

// readyStage is where an order stands of which every print is signed.
func readyStage(o order.Order) order.Stage {
	switch {
	case o.InPerson:
		return order.AwaitsHandOver
	case o.NoAddress() != "":
		return order.AwaitsAddress
	}
	return order.AwaitsPacking
}

// unpacked returns the pending lines that lie in no parcel.
func unpacked(o order.Order) []order.Line {
	return order.Without(Pending(o), func(l order.Line) bool { return l.Parcel != 0 })
}
