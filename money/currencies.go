package money

import (
	_ "embed"
	"encoding/csv"
	"strings"
	"sync"
)

//go:embed currencies.csv
var currencyFile string

// Named is a currency to choose from: "USD", "US Dollar".
type Named struct{ Code, Name string }

// Currencies returns the currencies that are legal tender now, by name. Source: codes as golang.org/x/text/currency lists them today,
// names of Unicode CLDR 48 in English (Unicode licence v3). The file is part of the program: a damaged one panics, and a test reads it.
func Currencies() []Named { return currencies() }

var currencies = sync.OnceValue(func() []Named {
	all, err := csv.NewReader(strings.NewReader(currencyFile)).ReadAll()
	if err != nil {
		panic(err)
	}
	var out []Named
	for _, r := range all[1:] {
		if Known(r[0]) {
			out = append(out, Named{r[0], r[1]})
		}
	}
	return out
})
