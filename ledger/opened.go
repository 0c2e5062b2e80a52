package ledger

import "strconv"

// OpenedBank is the part of an opening entry of the account Bank: of one of the accounts at banks, or, 0, of all that have none of their own.
func OpenedBank(account int64) string {
	if account == 0 {
		return Bank
	}
	return Bank + " " + strconv.FormatInt(account, 10)
}
