package intake

import "solander/order"

// countryOf reads a country's name or code.
func countryOf(text string) (string, bool) { return order.CountryNamed(text) }
