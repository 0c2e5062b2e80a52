package supply

import "solander/money"

// Cause is why a stock changed, for those who reckon what it cost.
type Cause string

// The causes. Moves that an earlier edition of the program made have none: their reason alone says it, in words.
const (
	FirstCount  Cause = "first-count"
	Counted     Cause = "counted"
	Received    Cause = "received" // sheets of a run
	NotReceived Cause = "not-received"
	Restocked   Cause = "restocked"
	NotRestock  Cause = "not-restocked"
	HandedOver  Cause = "handed-over"
	NotHanded   Cause = "not-handed-over"
	CameBack    Cause = "came-back"   // from a buyer
	BroughtIn   Cause = "brought-in"  // came back before the program knew of it
	BroughtOut  Cause = "brought-out" // a file that said so was taken back
	Spoiled     Cause = "spoilt"
	Withdrawn   Cause = "withdrawn"
	Kept        Cause = "kept" // for the artist's archive
	Unkept      Cause = "not-kept"
	AtGallery   Cause = "at-gallery" // on consignment
	FromGallery Cause = "from-gallery"
)

// CauseOfCount is the cause of a count that finds so many more. It is the first count as long as nothing moved the stock but what a file
// brought in: what is there was there before the books were kept, and is no gain.
func CauseOfCount(more int, moved bool) Cause {
	if more > 0 && !moved {
		return FirstCount
	}
	return Counted
}

// Moves reports whether a move for this cause happened under the eyes of the program: what a file brings in happened before.
func (c Cause) Moves() bool { return c != BroughtIn && c != BroughtOut }

// Why is what a move says of its cause, with what it belongs to; 0 = nothing.
type Why struct {
	Cause  Cause `json:"cause,omitempty"`
	Line   int64 `json:"line,omitempty"`   // of an order
	Parcel int64 `json:"parcel,omitempty"` // in which it left
	Run    int64 `json:"run,omitempty"`

	// Consignment is the print at a gallery that went, or came back: it is given back the cost that it took along.
	Consignment int64 `json:"consignment,omitempty"`

	Cost money.Amount `json:"cost,omitzero"` // of what came in or did not come after all, in all; what goes out costs what its layers did
}
