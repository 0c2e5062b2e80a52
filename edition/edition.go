// Package edition knows works, their editions, and the register: who may hold which number, and what
// happened to every number. It holds the rules; where entries are kept is not its business.
//
// A work is a picture, whatever its prints. An edition is a work at one size, paper and grade with a
// declared limit, or an open edition: no limit and no numbers. An impression is one sheet of an
// edition; its number is written 17/250, or AP 2/5 for a proof. A number only moves along the steps
// that Standing.After allows, and each step is one entry that is never changed or removed.
package edition

import (
	"fmt"
	"strings"

	"solander/calendar"
	"solander/fault"
	"solander/measure"
	"solander/money"
)

// Work is a picture.
type Work struct {
	ID    int64  `json:"id"`
	Title string `json:"title"`
	Year  int    `json:"year"` // of the picture; 0 = not said
	Note  string `json:"note,omitempty"`
}

// Edition is a work at one size, paper and grade. Limit and Proofs are declared once; afterwards no
// path of the program can raise them.
type Edition struct {
	ID        int64            `json:"id"`
	Work      int64            `json:"work"`
	Title     string           `json:"title"` // of the work, read along
	Width     measure.Length   `json:"width_nm"`
	Height    measure.Length   `json:"height_nm"`
	Paper     string           `json:"paper"`
	Grammage  measure.Grammage `json:"grammage_mg_m2"`
	Caliper   measure.Length   `json:"caliper_nm"`
	Grade     string           `json:"grade"`     // "fine", "standard": the studio's own word, which house rules ask for
	Technique string           `json:"technique"` // "pigment print", "etching"
	Limit     int              `json:"limit"`     // N of n/N; 0 = open edition
	Proofs    Proofs           `json:"proofs"`
	// TightestRoll is the smallest inner diameter at which this paper may be rolled; 0 = it may not be.
	TightestRoll measure.Length `json:"tightest_roll_nm"`
	Price        money.Amount   `json:"price"`
	Steps        []PriceStep    `json:"price_steps,omitempty"`
	PrintCost    money.Amount   `json:"print_cost"` // what the lab asks for a sheet, as last known
	Declared     calendar.Day   `json:"declared"`
	Closed       bool           `json:"closed"` // no further sale; an edition once closed stays closed
}

// Proofs says how many proofs of each kind stand beside the numbered edition. They are not part of N.
type Proofs struct {
	AP  int `json:"ap"`  // artist's proofs
	PP  int `json:"pp"`  // printer's proofs
	HC  int `json:"hc"`  // hors commerce
	BAT int `json:"bat"` // bon à tirer, usually one
}

// PriceStep is the price once so many numbers of the edition are sold.
type PriceStep struct {
	FromSold int          `json:"from_sold"`
	Price    money.Amount `json:"price"`
}

// Open reports an open edition: no limit, no numbers.
func (e Edition) Open() bool { return e.Limit == 0 }

// Size prints "12 × 16 in" in a system of units, exactly. When the sides would stand in two units
// (254 × 300 mm, of which only one is tidy in inches), it prints both in the one unit that is tidy for
// both; when there is none, each side has its own: "10 1/64 in × 300 mm".
func (e Edition) Size(s measure.System) string {
	for _, one := range []measure.System{s, other(s)} {
		w, h := e.Width.In(one), e.Height.In(one)
		if unit := unitOf(h); unit == unitOf(w) {
			return strings.TrimSuffix(w, unit) + " × " + h
		}
	}
	return e.Width.In(s) + " × " + e.Height.In(s)
}

func other(s measure.System) measure.System {
	if s == measure.Metric {
		return measure.Imperial
	}
	return measure.Metric
}

func unitOf(text string) string {
	if i := strings.LastIndexByte(text, ' '); i >= 0 {
		return text[i:]
	}
	return ""
}

// Name prints "Heron at dusk, 12 × 16 in, fine".
func (e Edition) Name(s measure.System) string {
	name := e.Title + ", " + e.Size(s)
	if e.Grade != "" {
		name += ", " + e.Grade
	}
	return name
}

// PriceAt returns the price when sold numbers of the edition are sold already.
func (e Edition) PriceAt(sold int) money.Amount {
	price := e.Price
	for _, s := range e.Steps {
		if sold >= s.FromSold {
			price = s.Price
		}
	}
	return price
}

// Count returns how many impressions of a kind the edition has: its limit, or its proofs of the kind.
func (e Edition) Count(k Kind) int {
	switch k {
	case Numbered:
		return e.Limit
	case AP:
		return e.Proofs.AP
	case PP:
		return e.Proofs.PP
	case HC:
		return e.Proofs.HC
	case BAT:
		return e.Proofs.BAT
	}
	return 0
}

// Total is the size of the whole edition: its numbers and all its proofs.
func (e Edition) Total() int {
	n := 0
	for _, k := range Kinds() {
		n += e.Count(k)
	}
	return n
}

// Bounds of what input may declare; beyond lies a typing error.
const (
	MaxLimit  = 100_000
	MaxProofs = 1_000
	MaxSide   = 5 * measure.Metre
	MinSide   = 10 * measure.Millimetre
)

// Validate looks at a work alone.
func (w Work) Validate() error {
	var l fault.List
	l.Add(text("title", w.Title, true))
	l.Check(w.Year == 0 || w.Year >= 1400 && w.Year <= 2199, "year", fmt.Sprintf("%d is not a likely year", w.Year), "use four digits, or leave it empty")
	l.Check(readable(w.Note), "note", "the note is too long or not plain text", "shorten it, or type it again")
	return l.Err()
}

// Validate looks at the declaration of an edition alone: sizes, limit, proofs, prices.
func (e Edition) Validate() error {
	var l fault.List
	l.Check(e.Work > 0, "work", "the work is missing", "choose the picture of this edition")
	for _, side := range []struct {
		field string
		v     measure.Length
	}{{"width", e.Width}, {"height", e.Height}} {
		l.Check(side.v >= MinSide && side.v <= MaxSide, side.field, "a sheet is between 10 mm and 5 m", "look at the unit")
	}
	l.Add(text("paper", e.Paper, true))
	l.Add(text("grade", e.Grade, true))
	l.Add(text("technique", e.Technique, false))
	l.Check(e.Grammage >= 20*measure.GSM && e.Grammage <= 2000*measure.GSM, "grammage", "a print's paper is between 20 and 2000 gsm", "look at the unit")
	l.Check(e.Caliper > 0 && e.Caliper <= 10*measure.Millimetre, "caliper", "the thickness of the sheet is between 0 and 10 mm", "look at the unit; 20 pt is 0.020 in")
	l.Check(e.Limit >= 0 && e.Limit <= MaxLimit, "limit", fmt.Sprintf("an edition has at most %d numbers", MaxLimit), "use 0 for an open edition")
	for _, k := range Kinds()[1:] {
		n := e.Count(k)
		l.Check(n >= 0 && n <= MaxProofs, strings.ToLower(string(k)), fmt.Sprintf("%d is not a possible number of proofs", n), fmt.Sprintf("use 0 to %d", MaxProofs))
	}
	l.Check(!e.Open() || e.Proofs == Proofs{}, "limit", "an open edition has no numbered proofs", "declare a limit or leave the proofs out")
	l.Check(e.TightestRoll == 0 || e.TightestRoll >= measure.Centimetre && e.TightestRoll <= measure.Metre, "tightest_roll", "the tightest roll is between 1 cm and 1 m", "leave it empty when the sheet may not be rolled")
	l.Add(PricesValid(e.Price, e.Steps))
	l.Check(e.PrintCost.Sign() >= 0 && e.PrintCost.Minor <= money.MaxMinor, "print_cost", "the print cost is negative or absurd", "use 0 when it is not known")
	return l.Err()
}

// PricesValid looks at a price and its steps: not negative, one currency, thresholds rising from 1.
func PricesValid(price money.Amount, steps []PriceStep) error {
	var l fault.List
	l.Check(price.Sign() >= 0 && price.Minor <= money.MaxMinor, "price", "the price is negative or absurd", "use 0 for a gift")
	last := 0
	for i, s := range steps {
		field := fmt.Sprintf("price_steps[%d]", i)
		l.Check(s.FromSold > last, field, "the thresholds of the price steps must rise from 1", "put them in order")
		l.Check(s.Price.Sign() >= 0 && s.Price.Minor <= money.MaxMinor, field, "the price is negative or absurd", "give a price")
		l.Check(s.Price.Currency == price.Currency, field, "a price step is in another currency", "use "+price.Currency)
		last = s.FromSold
	}
	return l.Err()
}
