package stockroom

import (
	"solander/edition"
	"solander/fault"
	"solander/supply"
)

// Sheets moves sheets of an edition in or out of the drawer. Faults: Refused when there are not so many.
func (t *Stockroom) Sheets(ed edition.Edition, delta int, reason string) error {
	if delta == 0 {
		return nil
	}
	err := t.AddMove(supply.Move{Kind: supply.Sheets, Of: ed.ID, Delta: delta, Reason: reason, Day: t.Today, At: t.Now, Who: t.Who})
	if fault.Is(err, fault.Refused) {
		return fault.New(fault.Refused, "the drawer holds fewer sheets than that").At("%s", ed.Name(t.Set.Units)).ToMend("count the drawer").Because(err)
	}
	return err
}
