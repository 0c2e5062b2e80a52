// Package pricelist reads an operator's list of prices out of a table that a reader found: steps of weight or volume one way, zones
// the other, or a row for each price. It guesses what stands where, reads by what she corrected, and marks each cell that is in doubt.
//
// A step is the most that a parcel may weigh (or the volume that it may have) for the price: "not over", "up to", the upper end of
// a range. Prices are exact, in minor units. Nothing is guessed within a price: what can be read two ways bars.
package pricelist

import (
	"slices"
	"strings"

	"solander/intake"
	"solander/tariff"
)

// Layout says which way a list is laid out.
type Layout string

// The layouts.
const (
	Down   Layout = "down"   // steps down, zones across
	Across Layout = "across" // zones down, steps across: it is read turned
	Rows   Layout = "rows"   // a row for each price
)

// Mapping says what stands where. Rows and columns count from 0 in the grid as it is read, of Across the turned one; -1 is none.
type Mapping struct {
	Sheet    int      `json:"sheet"`
	Layout   Layout   `json:"layout"`
	Head     int      `json:"head"`     // the row of the zones, or of the headings; -1 = there is none
	First    int      `json:"first"`    // rows of prices, first to last
	Last     int      `json:"last"`     //
	Step     int      `json:"step"`     // column of the steps; -1 = one price for every size
	Zones    []string `json:"zones"`    // of each column: its zones, parted by commas; "" = not a price; "*" = every zone
	Zone     int      `json:"zone"`     // of Rows: column of the zones; -1 = one price everywhere
	Price    int      `json:"price"`    // of Rows: column of the prices
	Which    int      `json:"which"`    // of Rows: column that tells several tables apart; -1 = there is one
	Only     string   `json:"only"`     // of Rows: what stands there in rows of this table
	Unit     string   `json:"unit"`     // of steps without one: "g", "kg", "oz", "lb", "dm3", "in3", "ft3"
	Decimal  string   `json:"decimal"`  // "." or ","
	Currency string   `json:"currency"` // ISO 4217
	Empty    string   `json:"empty"`    // what an empty cell says: "" = a price is missing, NotCarried
}

// NotCarried is a choice for empty cells: the operator does not carry the step to the zone.
const NotCarried = "not-carried"

// Units returns the units that steps may have.
func Units() []string { return []string{"g", "kg", "oz", "lb", "dm3", "in3", "ft3"} }

// Every is what stands for the zones of a column whose price holds everywhere.
const Every = "*"

// Grid is a sheet as it is read: as it stands in the file, or turned.
type Grid struct {
	Rows  [][]intake.Cell
	Names []string // of the rows: their numbers; of a turned one the letters of columns
	Heads []string // of the columns
}

// Bounds of what is read of a sheet.
const (
	MostRows    = 3000
	MostColumns = 400
)

// GridOf lays a sheet out.
func GridOf(s intake.Sheet, layout Layout) Grid {
	var g Grid
	width := 0
	for _, r := range s.Rows[:min(len(s.Rows), MostRows)] {
		if r.Blank() {
			continue
		}
		row := make([]intake.Cell, min(len(r.Cells), MostColumns))
		copy(row, r.Cells)
		for i := range row {
			if !row[i].Blank() {
				width = max(width, i+1)
			}
		}
		g.Rows, g.Names = append(g.Rows, row), append(g.Names, itoa(r.N))
	}
	for i := range g.Rows {
		for len(g.Rows[i]) < width {
			g.Rows[i] = append(g.Rows[i], intake.Cell{})
		}
		g.Rows[i] = g.Rows[i][:width]
	}
	for i := range width {
		g.Heads = append(g.Heads, intake.Letters(i))
	}
	if layout == Across {
		return g.turned()
	}
	return g
}

func (g Grid) turned() Grid {
	out := Grid{Names: g.Heads, Heads: g.Names, Rows: make([][]intake.Cell, len(g.Heads))}
	for i := range g.Heads {
		for _, r := range g.Rows {
			out.Rows[i] = append(out.Rows[i], r[i])
		}
	}
	return out
}

// at is a cell; a blank one outside.
func (g Grid) at(row, col int) intake.Cell {
	if row < 0 || row >= len(g.Rows) || col < 0 || col >= len(g.Heads) {
		return intake.Cell{}
	}
	return g.Rows[row][col]
}

// Place names a cell as the file has it: "C7".
func (g Grid) Place(row, col int) string {
	if row < 0 || row >= len(g.Names) {
		return ""
	}
	if col < 0 || col >= len(g.Heads) {
		return "row " + g.Names[row]
	}
	letters, number := g.Heads[col], g.Names[row]
	if letters != "" && letters[0] <= '9' {
		letters, number = number, letters
	}
	return letters + number
}

// Reading is what a mapping makes of a sheet.
type Reading struct {
	Mapping Mapping
	Grid    Grid
	By      tariff.By
	Steps   []Step
	Zones   []string // in the order in which they come up; none: one price everywhere
	Prices  [][]Price
	Doubts  []Doubt
}

// Step is a row of prices.
type Step struct {
	Row  int
	Size int64  // ng or µm³; 0 = every size
	Text string // as it will be shown
}

// Price is what was read of a step and a zone, and where it stands; Row is -1 where nothing does.
type Price struct {
	Cell     tariff.Cell
	Row, Col int
}

// Doubt is something about a cell that she should look at. One that bars lets no table be made.
type Doubt struct {
	Row, Col   int
	What, Mend string
	Bars       bool
}

// Barred reports whether a doubt bars.
func (r *Reading) Barred() bool {
	return slices.ContainsFunc(r.Doubts, func(d Doubt) bool { return d.Bars })
}

// Table is what was read as a service's table of prices. It must not be barred.
func (r *Reading) Table() tariff.Prices {
	out := tariff.Prices{By: r.By, Zones: r.Zones}
	for i, s := range r.Steps {
		row := tariff.Row{}
		row.Mass, row.Volume = sized(r.By, s.Size)
		for _, p := range r.Prices[i] {
			row.Prices = append(row.Prices, p.Cell)
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// Find is where the price of a step and a zone stands, as lint names them; false when nowhere.
func (r *Reading) Find(zone, step string) (row, col int, ok bool) {
	z := 0
	if zone != "" {
		if z = slices.Index(r.Zones, zone); z < 0 {
			return 0, 0, false
		}
	}
	for i, s := range r.Steps {
		if s.Text == step && z < len(r.Prices[i]) {
			p := r.Prices[i][z]
			return p.Row, p.Col, p.Row >= 0
		}
	}
	return 0, 0, false
}

func (r *Reading) doubt(row, col int, bars bool, what, mend string) {
	r.Doubts = append(r.Doubts, Doubt{row, col, what, mend, bars})
}

// shown is what a cell holds, as text: a number exactly.
func shown(c intake.Cell) string {
	if c.Kind == intake.Number {
		return c.Number
	}
	return strings.TrimSpace(c.Text)
}
