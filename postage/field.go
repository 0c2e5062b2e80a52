package postage

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"solander/calendar"
	"solander/export"
	"solander/order"
)

// Field is something that a column can hold.
type Field string

// The fields.
const (
	Key         Field = "parcel" // see Parcel.Key
	Mark        Field = "order"
	Ref         Field = "reference"
	Name        Field = "name"
	Line1       Field = "line1"
	Line2       Field = "line2"
	City        Field = "town"
	Region      Field = "state"
	Postcode    Field = "postcode"
	Country     Field = "country" // two letters
	CountryName Field = "country-name"
	Email       Field = "email"
	Phone       Field = "phone"
	Prints      Field = "prints" // how many are in it
	Mass        Field = "mass"
	Length      Field = "length"
	Width       Field = "width"
	Height      Field = "height"
	Service     Field = "service" // as planned
	Value       Field = "value"   // of what is in it
	Currency    Field = "currency"
	Packed      Field = "packed"
	Promised    Field = "promised"
)

var fields = []Field{
	Key, Mark, Ref, Name, Line1, Line2, City, Region, Postcode, Country, CountryName, Email, Phone, Prints,
	Mass, Length, Width, Height, Service, Value, Currency, Packed, Promised,
}

// Fields returns every field that a column may hold.
func Fields() []Field { return slices.Clone(fields) }

func fieldNames() string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = string(f)
	}
	return strings.Join(names, ", ")
}

// String says what a column is: its heading and its field, or its text in quotes.
func (c Column) String() string {
	if c.Field == "" {
		return fmt.Sprintf("%s = '%s'", c.Heading, c.Text)
	}
	return c.Heading + " = " + string(c.Field)
}

// Write writes the rows of parcels in the layout, by RFC 4180 with the layout's separator; cells that a
// spreadsheet would run are neutralised as in package export unless the layout is bare.
func (l Layout) Write(w io.Writer, parcels []Parcel) error {
	out := export.NewWriter(w, separators[l.Separator])
	row := make([]string, len(l.Columns))
	if !l.NoHead {
		for i, c := range l.Columns {
			row[i] = l.safe(c.Heading)
		}
		if err := out.Write(row...); err != nil {
			return err
		}
	}
	for _, p := range parcels {
		for i, c := range l.Columns {
			row[i] = l.safe(l.cell(c, p))
		}
		if err := out.Write(row...); err != nil {
			return err
		}
	}
	return out.Flush()
}

func (l Layout) safe(s string) string {
	if l.Bare {
		return s
	}
	return export.Guard(s)
}

func (l Layout) cell(c Column, p Parcel) string {
	if text, ok := p.address(c.Field); ok {
		return text
	}
	decimal := decimals[l.Decimal]
	switch c.Field {
	case Key:
		return p.Key()
	case Mark:
		return p.Mark
	case Ref:
		return p.Ref
	case Prints:
		return fmt.Sprint(p.Prints)
	case Mass:
		return masses[l.Mass].up(int64(p.Mass), decimal)
	case Length:
		return lengths[l.Length].up(int64(p.Size.Length), decimal)
	case Width:
		return lengths[l.Length].up(int64(p.Size.Width), decimal)
	case Height:
		return lengths[l.Length].up(int64(p.Size.Height), decimal)
	case Service:
		return p.Service
	case Value:
		return strings.Replace(p.Value.Plain(), ".", decimal, 1)
	case Currency:
		return p.Value.Currency
	case Packed:
		return dated(p.Packed, l.Date)
	case Promised:
		return dated(p.Promised, l.Date)
	}
	return c.Text
}

func (p Parcel) address(f Field) (string, bool) {
	switch f {
	case Name:
		return p.To.Name, true
	case Line1:
		return p.To.Line1, true
	case Line2:
		return p.To.Line2, true
	case City:
		return p.To.City, true
	case Region:
		return p.To.Region, true
	case Postcode:
		return p.To.Postcode, true
	case Country:
		return p.To.Country, true
	case CountryName:
		return order.CountryName(p.To.Country), true
	case Email:
		return p.Email, true
	case Phone:
		return p.Phone, true
	}
	return "", false
}

// dated prints a day in a form of Dates; no day is empty.
func dated(d calendar.Day, form string) string {
	if d.IsZero() {
		return ""
	}
	y, m, day := d.Civil()
	return strings.NewReplacer("YYYY", fmt.Sprintf("%04d", y), "MM", fmt.Sprintf("%02d", m), "DD", fmt.Sprintf("%02d", day)).Replace(form)
}
