package bank

import (
	"fmt"
	"strings"

	"solander/matching"
)

// what is a candidate in words.
func what(c matching.Candidate) string {
	switch {
	case c.Payout != 0:
		return fmt.Sprintf("payout %d", c.Payout)
	case c.Money != 0:
		return fmt.Sprintf("money %d of a gallery", c.Money)
	case c.Gallery != 0:
		return "what the gallery owes"
	case c.Claim != 0 && c.Owed:
		return fmt.Sprintf("what was granted for claim %d of %s", c.Claim, c.Mark)
	case c.Claim != 0:
		return fmt.Sprintf("payment of claim %d of %s", c.Claim, c.Mark)
	case c.Carry != 0:
		return fmt.Sprintf("cash %d carried to the bank", c.Carry)
	case c.Fair != 0:
		return "cash of the day at the table"
	case c.Payment == 0 && c.Amount.Sign() < 0:
		return fmt.Sprintf("what is to be paid back of %s", c.Mark)
	case c.Payment == 0:
		return fmt.Sprintf("what %s owes", c.Mark)
	}
	return fmt.Sprintf("payment %d of %s", c.Payment, c.Mark)
}

func reasons(all []matching.Reason) string {
	var out []string
	for _, r := range all {
		out = append(out, r.Text)
	}
	return strings.Join(out, "; ")
}
