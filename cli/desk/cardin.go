package desk

import (
	"os"

	"solander/fault"
	"solander/internal/strict"
	"solander/tariff"
)

// CardIn reads a card from a folder or a file of JSON. Faults: Missing; Invalid.
func (d *Open) CardIn(name string) (tariff.Card, error) {
	info, err := os.Stat(name)
	if err != nil {
		return tariff.Card{}, fault.New(fault.Missing, "there is no price card %.60q and no such folder or file", name).In("card").ToMend("solander tariff lists the cards")
	}
	if info.IsDir() {
		return tariff.Load(os.DirFS(name))
	}
	text, err := d.ReadFile(name, "card")
	if err != nil {
		return tariff.Card{}, err
	}
	return tariff.Read(strict.AsSaved(text))
}
