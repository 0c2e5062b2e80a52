package earnings

import "solander/fault"

// BreakEven is from how many prints on a run or an edition has paid for itself.
type BreakEven struct {
	Prints int64 `json:"prints"` // the fewest that bear the fixed costs
	Sales  int64 `json:"sales"`  // what they are sold for, minor units
	Each   int64 `json:"each"`   // what one of them bears of the fixed costs
}

// EvenAt finds the fewest prints whose prices, less what each costs by itself, bear fixed costs and a profit that is wished for, all in minor
// units: rounded up, for a part of a print is not sold. Faults: Invalid when something is negative; Refused when a print costs
// as much as it brings, for then no number of them does.
// Source: the break-even examples of common textbooks of accounting: fixed costs divided by what a piece contributes.
func EvenAt(fixed, price, each, profit int64) (BreakEven, error) {
	var l fault.List
	l.Check(fixed >= 0, "fixed", "the fixed costs are negative", "give what the run cost")
	l.Check(price >= 0, "price", "the price is negative", "give the price of a print")
	l.Check(each >= 0, "each", "what a print costs is negative", "give what each costs by itself")
	l.Check(profit >= 0, "profit", "the profit is negative", "use 0 for none")
	if err := l.Err(); err != nil {
		return BreakEven{}, err
	}
	if price <= each {
		return BreakEven{}, fault.New(fault.Refused, "a print costs as much as it brings: no number of them bears the fixed costs").ToMend("look at the price, or at what a print costs by itself")
	}
	left := price - each
	n := (fixed + profit + left - 1) / left
	return BreakEven{Prints: n, Sales: n * price, Each: left}, nil
}
