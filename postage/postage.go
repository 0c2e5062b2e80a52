// Package postage writes a batch of addresses for whoever sells the artist her postage, in a layout that she
// defines, and reads what comes back: tracking numbers and prices paid. It knows columns and rows, and no
// store; numbers are rounded up, never down, so that no parcel is declared lighter or smaller than it is.
package postage

import (
	"fmt"
	"slices"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
	"solander/order"
	"solander/tariff"
)

// Layout is how one seller of postage wants its rows, and how it gives them back.
type Layout struct {
	Name      string   `json:"name"`
	Columns   []Column `json:"columns"`
	Separator string   `json:"separator"` // "comma", "semicolon" or "tab"
	Decimal   string   `json:"decimal"`   // "point" or "comma"
	Mass      string   `json:"mass"`      // "g", "kg", "oz" or "lb"
	Length    string   `json:"length"`    // "mm", "cm" or "in"
	Date      string   `json:"date"`      // one of Dates
	NoHead    bool     `json:"no_head,omitempty"`
	// Bare leaves cells that look like formulas as they are: for a seller whose program takes an apostrophe
	// for a part of the text. Such a file must not be opened in a spreadsheet.
	Bare bool `json:"bare,omitempty"`
	Back Back `json:"back"`
}

// Column is one column: a heading, and the field that stands in it or a fixed text.
type Column struct {
	Heading string `json:"heading"`
	Field   Field  `json:"field,omitempty"`
	Text    string `json:"text,omitempty"` // of every row, when no field is named
}

// Back names the columns of the file that comes back, by their headings. Mark and Tracking are needed.
type Back struct {
	Mark     string `json:"mark"`
	Tracking string `json:"tracking"`
	Price    string `json:"price,omitempty"`
	Service  string `json:"service,omitempty"`
}

// Parcel is what a row is made of.
type Parcel struct {
	ID       int64
	Mark     string // of its order
	Part     int    // from 1
	Parts    int
	Ref      string
	To       order.Address
	Email    string
	Phone    string
	Prints   int
	Mass     measure.Mass
	Size     tariff.Size
	Service  string
	Value    money.Amount
	Packed   calendar.Day
	Promised calendar.Day
}

// Key names a parcel on its row and when it comes back: the order's mark, and behind a stroke which parcel it
// is when there are several.
func (p Parcel) Key() string {
	if p.Parts < 2 {
		return p.Mark
	}
	return fmt.Sprintf("%s/%d", p.Mark, p.Part)
}

// Separators, decimals, units and dates that a layout may choose from.
var (
	separators = map[string]byte{"comma": ',', "semicolon": ';', "tab": '\t'}
	decimals   = map[string]string{"point": ".", "comma": ","}
	masses     = map[string]unit{"g": {int64(measure.Gram), 0}, "kg": {int64(measure.Kilogram), 3}, "oz": {int64(measure.Ounce), 1}, "lb": {int64(measure.Pound), 2}}
	lengths    = map[string]unit{"mm": {int64(measure.Millimetre), 0}, "cm": {int64(measure.Centimetre), 1}, "in": {int64(measure.Inch), 2}}
	dates      = []string{"YYYY-MM-DD", "YYYYMMDD", "DD.MM.YYYY", "DD/MM/YYYY", "MM/DD/YYYY"}
)

// Dates returns the forms of a day that a layout may choose.
func Dates() []string { return slices.Clone(dates) }

// unit is a unit with its decimal places.
type unit struct {
	size   int64
	places int
}

// up prints n in the unit, rounded up at its last place.
func (u unit) up(n int64, decimal string) string {
	step := u.size
	scale := int64(1)
	for range u.places {
		scale *= 10
	}
	// n/step·scale, rounded up, without leaving 64 bits: whole units first.
	whole, rest := n/step, n%step
	parts := (rest*scale + step - 1) / step
	whole, parts = whole+parts/scale, parts%scale
	if u.places == 0 {
		return fmt.Sprint(whole)
	}
	return fmt.Sprintf("%d%s%0*d", whole, decimal, u.places, parts)
}

// Plain is a layout to begin with.
func Plain(s measure.System) Layout {
	l := Layout{
		Name: "plain", Separator: "comma", Decimal: "point", Mass: "oz", Length: "in", Date: dates[0],
		Back: Back{Mark: "Parcel", Tracking: "Tracking", Price: "Paid", Service: "Service"},
	}
	if s == measure.Metric {
		l.Mass, l.Length = "g", "mm"
	}
	l.Columns = []Column{
		{Heading: "Parcel", Field: Key},
		{Heading: "Name", Field: Name},
		{Heading: "Street", Field: Line1},
		{Heading: "Street 2", Field: Line2},
		{Heading: "Town", Field: City},
		{Heading: "State", Field: Region},
		{Heading: "Postcode", Field: Postcode},
		{Heading: "Country", Field: Country},
		{Heading: "Weight", Field: Mass},
		{Heading: "Length", Field: Length},
		{Heading: "Width", Field: Width},
		{Heading: "Height", Field: Height},
		{Heading: "Service", Field: Service},
	}
	return l
}

// Validate looks at a layout. Faults: Invalid, one a field.
func (l Layout) Validate() error {
	var f fault.List
	f.Add(order.Text("name", l.Name, 60, true))
	f.Check(len(l.Columns) > 0 && len(l.Columns) <= 60, "columns", "a layout has 1 to 60 columns", "give it one, and no more than a seller takes")
	seen := map[string]bool{}
	for i, c := range l.Columns {
		at := fmt.Sprintf("columns[%d].", i)
		f.Add(order.Text(at+"heading", c.Heading, 80, true))
		f.Add(order.Text(at+"text", c.Text, 200, false))
		f.Check(!seen[fold(c.Heading)], at+"heading", fmt.Sprintf("two columns are headed %.40q", c.Heading), "give each its own heading")
		f.Check(c.Field == "" || slices.Contains(fields, c.Field), at+"field", fmt.Sprintf("%.40q is no field", c.Field), "use one of: "+fieldNames())
		seen[fold(c.Heading)] = true
	}
	_, ok := separators[l.Separator]
	f.Check(ok, "separator", fmt.Sprintf("%.20q is no separator", l.Separator), "use comma, semicolon or tab")
	_, ok = decimals[l.Decimal]
	f.Check(ok, "decimal", fmt.Sprintf("%.20q is no decimal sign", l.Decimal), "use point or comma")
	_, ok = masses[l.Mass]
	f.Check(ok, "mass", fmt.Sprintf("%.20q is no unit of mass", l.Mass), "use g, kg, oz or lb")
	_, ok = lengths[l.Length]
	f.Check(ok, "length", fmt.Sprintf("%.20q is no unit of length", l.Length), "use mm, cm or in")
	f.Check(slices.Contains(dates, l.Date), "date", fmt.Sprintf("%.20q is no form of a day", l.Date), "use one of: "+strings.Join(dates, ", "))
	f.Add(l.Back.validate())
	return f.Err()
}

// Of returns the heading that a fault's field stands under: "mark", "tracking", "paid" or "service".
func (b Back) Of(field string) string {
	return map[string]string{"mark": b.Mark, "tracking": b.Tracking, "paid": b.Price, "service": b.Service}[field]
}

func (b Back) validate() error {
	var f fault.List
	f.Add(order.Text("back_mark", b.Mark, 80, true))
	f.Add(order.Text("back_tracking", b.Tracking, 80, true))
	f.Add(order.Text("back_price", b.Price, 80, false))
	f.Add(order.Text("back_service", b.Service, 80, false))
	return f.Err()
}

// fold is a heading as it is compared: without capitals and outer spaces.
func fold(s string) string { return strings.ToLower(strings.TrimSpace(s)) }
