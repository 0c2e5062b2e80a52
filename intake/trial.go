package intake

// Read is the trial: what the rows of a table would make, and everything that is in the way. It changes nothing.
// What is wrong with rows stands in the report; Faults are of the input as a whole: Invalid when the mapping is not sound or
// does not fit the table.
func Read(in Input) (Report, error) {
	rows, err := readTable(in)
	if err != nil {
		return Report{}, err
	}
	r := &assembly{Rows: rows}
	r.settleEditions()
	r.settleBuyers()
	r.assemble()
	r.compare()
	r.finish()
	return r.report, nil
}

// assembly puts the sales of the rows together to orders.
type assembly struct {
	*Rows
	orders []*draft
}
