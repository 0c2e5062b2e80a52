package studio

import (
	"context"

	"solander/edition"
	"solander/fault"
	"solander/order"
	"solander/packing"
)

func notBuilt() error { return fault.New(fault.Internal, "not built yet") }

// SetUpIn is a first studio.
type SetUpIn struct {
	Settings Settings
	Outlets  []order.Outlet
	Work     edition.Work    // zero Title: none
	Edition  edition.Edition // zero Width: none; its Work is set by SetUp
	Shelf    []ShelfItem     // with their Stock
	Sheets   int             // of the edition, in the drawer
}

// SetUp makes the first studio.
func (s *Studio) SetUp(ctx context.Context, in SetUpIn) error { return notBuilt() }

// Defaults is what set-up offers.
func (s *Studio) Defaults() SetUpIn { return SetUpIn{} }

// Find searches.
func (s *Studio) Find(ctx context.Context, text string) (Found, error) { return Found{}, notBuilt() }

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

// Check verifies database, register and stock sums.
func (s *Studio) Check(ctx context.Context) ([]Finding, error) { return nil, notBuilt() }
