package renew

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"

	"solander/fault"
	"solander/money"
	"solander/tariff"
)

var header = []string{"service", "step", "zone", "price"}

// WritePrices writes cells as comma-separated text, a line each with its price by the card: what ReadPrices reads.
func WritePrices(w io.Writer, card *tariff.Card, cells []Used) error {
	out := csv.NewWriter(w)
	rows := [][]string{header}
	for _, u := range cells {
		rows = append(rows, []string{u.Service, u.Step(card), u.Zone, money.Of(int64(u.Price(card)), card.Currency).Plain()})
	}
	return out.WriteAll(rows)
}

// ReadPrices reads prices of a card's cells: the columns service, step, zone and price, as WritePrices writes them.
// Faults: Invalid, each line that names no cell of the card, or one twice, or holds no price.
func ReadPrices(r io.Reader, card *tariff.Card) (map[Cell]tariff.Cell, error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord = len(header)
	head, err := in.Read()
	if err != nil || !slices.Equal(head, header) {
		return nil, fault.New(fault.Invalid, "the columns are not service, step, zone, price").At("line 1").ToMend("write the prices into what the command prints without them")
	}
	typed := map[Cell]tariff.Cell{}
	var l fault.List
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			return typed, l.Err()
		}
		line, _ := in.FieldPos(0)
		if err != nil {
			l.Add(fault.New(fault.Invalid, "it is no row of four columns").At("line %d", line).ToMend("service, step, zone and price, with commas between").Because(err))
			return typed, l.Err()
		}
		c, known := cellNamed(card, row[0], row[1], row[2])
		price, err := money.Parse(row[3], card.Currency)
		_, twice := typed[c]
		switch {
		case !known:
			l.Add(fault.New(fault.Invalid, "the card has no price of %.40s, %.40s, zone %.20q", row[0], row[1], row[2]).At("line %d", line).ToMend("name service, step and zone as the command prints them"))
		case twice:
			l.Add(fault.New(fault.Invalid, "it names a price twice").At("line %d", line).ToMend("leave one of the lines out"))
		case err != nil || price.Currency != card.Currency || price.Minor <= 0:
			l.Add(fault.New(fault.Invalid, "%.40q is no price in %s", row[3], card.Currency).At("line %d", line).ToMend("write it like 5.40"))
		default:
			typed[c] = tariff.Cell(price.Minor)
		}
	}
}

// cellNamed finds a cell that has a price by its names.
func cellNamed(card *tariff.Card, service, step, zone string) (Cell, bool) {
	s := card.Service(service)
	if s == nil {
		return Cell{}, false
	}
	for row := range s.Prices.Rows {
		if c := (Cell{service, row, zone}); c.Step(card) == step {
			return c, c.Price(card) != tariff.NotCarried && (zone == "") == (len(s.Prices.Zones) == 0)
		}
	}
	return Cell{}, false
}
