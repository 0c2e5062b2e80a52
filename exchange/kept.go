package exchange

import "solander/calendar"

// Store keeps rates, one a pair and day.
type Store interface {
	// Rates returns the rates of days from and to, the latest first.
	Rates(from, to calendar.Day) ([]Rate, error)
	// SaveRates keeps rates, in place of those of the same pair and day; it returns how many were new or other than before.
	SaveRates([]Rate) (int, error)
}
