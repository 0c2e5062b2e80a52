package cell

import "solander/order"

// CountryOf reads a country's name or code.
func CountryOf(text string) (string, bool) { return order.CountryNamed(text) }
