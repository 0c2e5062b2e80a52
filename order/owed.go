package order

import "solander/money"

// OwedAs says which way an amount that is owed goes, and how much of it: what is less than nothing is to be paid back.
func OwedAs(owed money.Amount) (what string, much money.Amount) {
	if owed.Sign() < 0 {
		return "to be paid back", owed.Neg()
	}
	return "still owed", owed
}

// OwedInWords says it as "5.00 USD still owed", as "5.00 USD to be paid back", or as "settled".
func OwedInWords(owed money.Amount) string {
	if owed.IsZero() {
		return "settled"
	}
	what, much := OwedAs(owed)
	return much.String() + " " + what
}
