package taxing

import (
	"io"
	"strconv"

	"solander/export"
	"solander/tax"
)

// WriteCSV writes what a return asks for, a place a row and all of them last (RFC 4180).
func WriteCSV(w io.Writer, v tax.Return) error {
	out := export.NewWriter(w, ',')
	if err := out.Write("country", "region", "place", "from", "until", "orders", "currency", "sales", "by_outlets", "tax_by_outlets", "resale", "no_rate", "taxed", "tax", "by_rates"); err != nil {
		return err
	}
	row := func(place string, r tax.Row) error {
		return out.Write(export.Guard(r.Country), export.Guard(r.Region), export.Guard(place), v.From.String(), v.Until.String(), strconv.Itoa(r.Orders), r.Sales.Currency,
			r.Sales.Plain(), r.ByOutlet.Plain(), r.OutletTax.Plain(), r.Exempt.Plain(), r.NoRate.Plain(), r.Taxed.Plain(), r.Tax.Plain(), r.ByRate.Plain())
	}
	for _, r := range v.Rows {
		if err := row(r.Place(), r); err != nil {
			return err
		}
	}
	if err := row("in all", v.All); err != nil {
		return err
	}
	return out.Flush()
}
