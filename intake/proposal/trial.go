// Package proposal puts the sales of a file together to proposed orders: which edition and which buyer each row means, which rows are
// one order, what was paid, and what the book holds already. It is the trial; it changes nothing.
package proposal

import (
	"solander/intake"
	"solander/intake/sale"
)

// Read is the trial: what the rows of a table would make, and everything that is in the way. It changes nothing.
// What is wrong with rows stands in the report; Faults are of the input as a whole: Invalid when the mapping is not sound or
// does not fit the table.
func Read(in intake.Input) (intake.Report, error) {
	rows, err := sale.Read(in)
	if err != nil {
		return intake.Report{}, err
	}
	r := &assembly{Rows: rows}
	r.settleEditions()
	r.settleBuyers()
	r.assemble()
	r.compare()
	r.finish()
	return r.Report, nil
}

// assembly puts the sales of the rows together to orders.
type assembly struct {
	*sale.Rows
	orders []*draft
}
