package currencies

import (
	"io"

	"solander/export"
)

// WriteCSV writes payments in other currencies with what was gained by each, a payment a row (RFC 4180). What was paid back is negative.
func WriteCSV(w io.Writer, g Gains) error {
	out := export.NewWriter(w, ',')
	if err := out.Write("day", "order", "currency", "came", "book_currency", "worth", "settled", "gain", "rate", "banked"); err != nil {
		return err
	}
	for _, f := range g.Payments {
		came, worth, settled := f.Amount, f.Worth, f.Settled
		banked := ""
		if f.Banked.Currency != "" {
			banked = f.Banked.Plain()
		}
		if f.Refund {
			came, worth, settled = came.Neg(), worth.Neg(), settled.Neg()
		}
		if err := out.Write(f.Day.String(), export.Guard(f.Mark), came.Currency, came.Plain(), worth.Currency, worth.Plain(), settled.Plain(), f.Gain.Plain(), export.Guard(f.Rate), banked); err != nil {
			return err
		}
	}
	return out.Flush()
}
