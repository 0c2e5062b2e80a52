package papers

// FairDay is a day at a table: what was sold and taken, the cash box, what the day cost and earned.
type FairDay struct {
	Head
	Name   string
	Outlet string
	Prints string // "3 prints"
	Sold   []FairRow
	Taken  []FairRow
	Costs  []FairRow
	Box    []FairRow
	Earned []FairRow
}

// Title names the paper.
func (FairDay) Title() string { return "A day at the table" }

// FairRow is one amount. An empty one is written in by hand.
type FairRow struct{ What, Note, Amount string }
