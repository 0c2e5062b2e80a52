package exchange

import "solander/calendar"

// Store keeps rates, one a pair and day; what was agreed of orders in another currency; and payments as they came.
type Store interface {
	// Rates returns the rates of days from and to, the latest first.
	Rates(from, to calendar.Day) ([]Rate, error)
	// SaveRates keeps rates, in place of those of the same pair and day; it returns how many were new or other than before.
	SaveRates([]Rate) (int, error)
	// AddAgreed keeps an agreement; the latest of an order counts. Faults: Missing for no such order.
	AddAgreed(Agreed) (int64, error)
	// AgreedOf returns what was agreed last of an order, the zero Agreed when nothing stands.
	AgreedOf(order int64) (Agreed, error)
	// AgreedOfAll returns the same of many orders, by order; those of which nothing stands are not in it.
	AgreedOfAll(orders []int64) (map[int64]Agreed, error)
	// AgreedOpen returns the same of all orders that are open.
	AgreedOpen() (map[int64]Agreed, error)
	// AddCame keeps how a payment came. Faults: Taken when that is kept already; Missing for no such payment.
	AddCame(Came) (int64, error)
	// CameOf returns how the payments of orders came, by id; of all orders when none is named.
	CameOf(orders ...int64) ([]Came, error)
}
