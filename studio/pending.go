package studio

import (
	"context"

	"solander/fault"
	"solander/packing"
)

func notBuilt() error { return fault.New(fault.Internal, "not built yet") }

// Verdict is the answer to a forced choice.
type Verdict struct {
	Possible bool             `json:"possible"`
	Total    int64            `json:"total"` // of the plan with the choice forced
	Parcels  []packing.Parcel `json:"parcels"`
	Reason   *packing.Reason  `json:"reason"` // the first rule it breaks
}

// WhyNot prices a forced choice or names the rule it breaks.
func (s *Studio) WhyNot(ctx context.Context, orderID int64, item, service string) (Verdict, error) {
	return Verdict{}, notBuilt()
}
