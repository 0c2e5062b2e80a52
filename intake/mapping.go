package intake

import (
	"encoding/json"
	"fmt"

	"solander/fault"
	"solander/internal/strict"
	"solander/money"
	"solander/order"
)

// Mapping says how a file of one kind is read. It is saved under its name and used again for files with the
// same headings. Form: docs/formats/mapping.md.
type Mapping struct {
	Format   string     `json:"format"` // MappingFormat
	Name     string     `json:"name"`
	Currency string     `json:"currency"`          // ISO 4217, of every amount
	Outlet   string     `json:"outlet,omitempty"`  // of rows that name none
	Country  string     `json:"country,omitempty"` // of addresses that name none, ISO 3166-1 alpha-2
	Days     DayOrder   `json:"days,omitempty"`    // how 4/6/2025 is read; "" = not decided: such days are asked about
	Decimal  string     `json:"decimal,omitempty"` // "." or ","; "" = not decided: an amount that can be read both ways is asked about
	Unit     string     `json:"unit,omitempty"`    // "in", "cm" or "mm", of sizes without one; "" = not decided
	Several  string     `json:"several,omitempty"` // "each" or "all": what the price of a row with several prints is of; "" = not decided
	Sheets   []SheetMap `json:"sheets"`
	Fills    []FillMap  `json:"fills,omitempty"`
	Words    []WordMap  `json:"words,omitempty"`
	NoFill   Meaning    `json:"no_fill,omitempty"` // of rows without a colour; "" = not decided: asked where other rows have colours that mean something
	NoWord   Meaning    `json:"no_word,omitempty"` // of an empty cell in a column of states; "" = not decided, as above
}

// MappingFormat is the form that this program writes and reads.
const MappingFormat = "solander-mapping/1"

// What the price of a row with several prints is of.
const (
	OfEach = "each"
	OfAll  = "all"
)

// DayOrder is how a day in figures is written.
type DayOrder string

// The orders. A day that begins with its year is always year, month, day (ISO 8601).
const (
	DayMonth DayOrder = "dm" // 4/6 is 4 June
	MonthDay DayOrder = "md" // 4/6 is April 6
)

// SheetMap says how one sheet is read.
type SheetMap struct {
	Sheet   string   `json:"sheet"`            // its name; "" = every sheet that has these headings
	Skip    bool     `json:"skip,omitempty"`   // the sheet holds no sales
	Header  int      `json:"header,omitempty"` // the row of the headings; 0 = there are none
	First   int      `json:"first,omitempty"`  // the first row of sales; 0 = the one after the headings
	Columns []Column `json:"columns,omitempty"`
	// What holds for each row of the sheet that says nothing of it.
	Named  Named  `json:"named,omitempty"` // what the sheet's own name says
	Outlet string `json:"outlet,omitempty"`
	Grade  string `json:"grade,omitempty"`
	Paper  string `json:"paper,omitempty"`
	Month  string `json:"month,omitempty"` // of days that stand alone: "2025-05", "05"; "2025" is the year of days without one
}

// Named is what the name of a sheet says of its rows.
type Named string

// What a sheet may be named after.
const (
	NamedOutlet Named = "outlet"
	NamedGrade  Named = "grade"
	NamedPaper  Named = "paper"
	NamedMonth  Named = "month"
)

// Names returns all of them, in the order in which a page lists them.
func Names() []Named { return []Named{NamedOutlet, NamedMonth, NamedGrade, NamedPaper} }

// Column says which field a column is. It is found by its heading, wherever it stands; without one, or when
// several columns share it, by its place.
type Column struct {
	Column  int    `json:"column"` // counted from 0
	Heading string `json:"heading,omitempty"`
	Field   Field  `json:"field"`
}

// FillMap says what one of her colours means, read as the colour of a whole row.
type FillMap struct {
	Fill  Fill    `json:"fill"`
	Means Meaning `json:"means"`
}

// WordMap says what one of her words in a column of states means; compared without regard to capitals and spaces.
type WordMap struct {
	Text  string  `json:"text"`
	Means Meaning `json:"means"`
}

// Bounds of a mapping; beyond lies a mistake.
const (
	mostMapSheets  = 200
	MostMapColumns = 500
	MostMapWords   = 500
	mostMapping    = 1 << 20 // bytes
)

// ReadMapping reads a mapping's JSON. Faults: Invalid, each with its path in Field; TooLarge.
func ReadMapping(data []byte) (Mapping, error) {
	if len(data) > mostMapping {
		return Mapping{}, fault.New(fault.TooLarge, "a mapping of %d bytes is too large", len(data)).ToMend("a mapping is at most %d bytes", mostMapping)
	}
	var m Mapping
	if err := strict.Decode(data, &m); err != nil {
		return Mapping{}, err
	}
	if err := m.Validate(); err != nil {
		return Mapping{}, err
	}
	return m, nil
}

// JSON writes the mapping in its documented form, indented, with a line end.
func (m Mapping) JSON() ([]byte, error) {
	b, err := json.MarshalIndent(m, "", "  ")
	return append(b, '\n'), err
}

// Validate looks at the mapping alone. Faults: Invalid, in the JSON path of each.
func (m Mapping) Validate() error {
	var l fault.List
	l.Check(m.Format == MappingFormat, "format", fmt.Sprintf("%q is not a form of mappings that is known", fault.Clip(m.Format)), "write \"format\": \""+MappingFormat+"\"")
	l.Add(order.Text("name", m.Name, 80, true))
	l.Check(money.Known(m.Currency), "currency", "the currency is not an ISO 4217 code", "write it like USD")
	l.Add(order.Text("outlet", m.Outlet, 80, false))
	l.Check(m.Country == "" || order.KnownCountry(m.Country), "country", "the country is not an ISO 3166-1 code", "write it like US")
	l.Check(m.Days == "" || m.Days == DayMonth || m.Days == MonthDay, "days", "the order of day and month is unknown", "write dm or md")
	l.Check(m.Decimal == "" || m.Decimal == "." || m.Decimal == ",", "decimal", "the decimal sign is unknown", "write . or a comma")
	l.Check(m.Unit == "" || m.Unit == "in" || m.Unit == "cm" || m.Unit == "mm", "unit", "the unit of sizes is unknown", "write in, cm or mm")
	l.Check(m.Several == "" || m.Several == OfEach || m.Several == OfAll, "several", "what the price of several prints is of is unknown", "write each or all")
	l.Add(m.validateSheets())
	l.Add(m.validateMeanings())
	return l.Err()
}
