// Package cards holds the bundled price cards: one folder each, embedded, with the source and the status
// of every price. It knows no rule of its own; the form of a folder is docs/formats/tariff.md, section 10.
//
// Every card has an end. Past it the card still prices, and everything that uses it says till when it
// held: prices change, so look at the operator's own list before you rely on one.
package cards

import (
	"embed"
	"io/fs"
	"sync"

	"solander/fault"
	"solander/tariff"
)

//go:embed */*.toml */*.csv zip-prefixes.csv
var files embed.FS

// All returns the bundled cards in the order of their ids. The answer is shared: do not change it.
// Faults: Internal when a bundled card is damaged, which a test rules out.
var All = sync.OnceValues(func() ([]tariff.Card, error) {
	entries, err := fs.ReadDir(files, ".")
	if err != nil {
		return nil, err
	}
	var all []tariff.Card
	for _, e := range entries {
		if !e.IsDir() {
			continue
		}
		folder, err := fs.Sub(files, e.Name())
		if err != nil {
			return nil, err
		}
		card, err := tariff.Load(folder)
		if err != nil {
			return nil, fault.New(fault.Internal, "the bundled card %s is damaged", e.Name()).Because(err)
		}
		all = append(all, card)
	}
	return all, nil
})
