package sealog

import (
	"fmt"
	"time"
)

// Vouched is how the rows beside the register are vouched for: their digests can be made by anybody, what is made of them by the key of the rows cannot.
type Vouched struct {
	Place bool      // the key has a place
	File  string    // which
	Key   string    // by which key they are; "" = by none
	Held  bool      // it is here, and opens what was kept
	Since time.Time // rows were taken on as they stood then; none = they were vouched for from the first on
	Why   string    // "copied" they came in a copy, "said" somebody said so, "earlier" an older program had kept them
}

// Says is what a check can not show, in one sentence; "" = there is nothing that it cannot.
func (v Vouched) Says() string {
	const unseen = "a row that somebody changed together with its digest is not seen"
	since := v.Since.Format("2 January 2006, 15:04 MST")
	switch {
	case v.Key == "" && !v.Place:
		return "the rows beside the register are vouched for by no key: " + unseen + " until the register's seals tell. A key is kept where SOLANDER_ROW_KEY names a file"
	case v.Key == "":
		return "the rows beside the register are vouched for by no key: " + unseen + " until the register's seals tell"
	case !v.Held:
		return fmt.Sprintf("the rows beside the register are vouched for by the key %s, which is not here or cannot be read (%s): %s here. Put it back; "+
			"or, when it is lost, take the rows on as they stand: solander register vouch", v.Key, v.File, unseen)
	case v.Since.IsZero():
		return ""
	case v.Why == "copied":
		return fmt.Sprintf("the rows came in a copy, and are vouched for since they were taken on as they stood in it, %s: %s when it was done before", since, unseen)
	case v.Why == "said":
		return fmt.Sprintf("the rows are vouched for since they were taken on as they stood, %s, as the bench's journal says: %s when it was done before", since, unseen)
	}
	return fmt.Sprintf("the rows are vouched for by a key since %s: %s when it was done before", since, unseen)
}
