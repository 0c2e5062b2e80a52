package guess

import (
	"fmt"
	"strings"

	"solander/intake"
	"solander/intake/cell"
	"solander/intake/grid"
	"solander/intake/naming"
)

// habits guesses how days, amounts and sizes are written in the columns that hold them.
func (g *Guess) habits(plans []grid.Grid) {
	var h habits
	for i := range plans {
		p := &plans[i]
		for j := range p.Sheet.Rows {
			r := &p.Sheet.Rows[j]
			if r.N < p.First || r.N == p.Header {
				continue
			}
			for column, f := range p.Used {
				if c := r.At(column); !c.Blank() {
					h.look(f, c, intake.Place{Sheet: p.Sheet.Name, Row: r.N, Column: intake.Letters(column)})
				}
			}
		}
		for column, f := range p.Used {
			if f != intake.Unused {
				h.language(p.Heading(column))
			}
			switch {
			case f == intake.Size:
				h.headingUnit(p.Heading(column))
			case grid.MoneyFields[f] && f != intake.Quantity:
				h.currency(p.Heading(column))
			}
		}
		h.outlets += len(p.Fields[intake.Outlet]) + intake.One(p.Outlet != "")
	}
	g.guessDays(h)
	g.guessDecimal(h)
	g.guessUnit(h)
	g.guessCurrency(h)
	if h.outlets == 0 {
		g.Asks = append(g.Asks, Ask{Part: "outlet", What: intake.WholeFile[intake.AskOutlet].What, Choices: []intake.Choice{}})
	}
}

// habits counts what speaks for each way of writing, and remembers a cell that leaves it open.
type habits struct {
	dm, md, dots        int
	point, comma        int
	units               map[string]int
	currencies          map[string]int
	day, decimal, size  intake.Place
	openDay, openAmount int
	openSize, outlets   int
	money               intake.Place
	foreign, english    int // headings in German, French or Spanish, and others
}

func (h *habits) language(heading string) {
	if foreignOnly[intake.Fold(heading)] {
		h.foreign++
	} else if heading != "" {
		h.english++
	}
}

// dayFirst reports headings mostly in German, French or Spanish. In their short forms of days the day comes first, and their decimal sign is the
// comma. Source: Unicode CLDR, de dd.MM.yy, fr dd/MM/y, es d/M/yy; Spanish as read, the others from memory. Not so in Switzerland and Mexico: so it is only likely.
func (h *habits) dayFirst() bool { return h.foreign > h.english }

func (h *habits) look(f intake.Field, c intake.Cell, at intake.Place) {
	switch f {
	case intake.SoldOn, intake.Promised, intake.ArriveBy, intake.SentOn:
		if c.Kind == intake.Words {
			h.lookDay(c.Text, at)
		}
	case intake.Price, intake.Total, intake.Paid, intake.Owed, intake.Fee, intake.Postage, intake.Tax:
		h.lookMoney(c, at)
	case intake.Size, intake.Title:
		if c.Kind == intake.Words {
			h.lookSize(f, c.Text, at)
		}
	}
}

func (h *habits) lookDay(text string, at intake.Place) {
	a, okA, _ := cell.DayText(text, intake.DayMonth)
	b, okB, _ := cell.DayText(text, intake.MonthDay)
	switch {
	case okA && !okB:
		h.dm++
	case okB && !okA:
		h.md++
	case okA && okB && a != b:
		if h.openDay++; h.openDay == 1 {
			h.day = at
		}
		if strings.Count(text, ".") >= 2 {
			h.dots++
		}
	case okA && a.Order && a.Day > 12:
		_, _, t := cell.DayText(text, "")
		parts := cell.DayParts(text)
		if t.None() && len(parts) > 1 && parts[0] == fmt.Sprint(a.Day) {
			h.dm++
		} else {
			h.md++
		}
	}
}

func (h *habits) lookMoney(c intake.Cell, at intake.Place) {
	if h.money == (intake.Place{}) {
		h.money = at
	}
	h.currency(c.Text)
	if c.Kind != intake.Words {
		return
	}
	digits := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '.' || r == ',' {
			return r
		}
		return -1
	}, c.Text)
	digits = strings.TrimRight(digits, ".,")
	i := strings.LastIndexAny(digits, ".,")
	switch {
	case i < 0:
	case len(digits)-i-1 != 3 && digits[i] == '.':
		h.point++
	case len(digits)-i-1 != 3:
		h.comma++
	default:
		if h.openAmount++; h.openAmount == 1 {
			h.decimal = at
		}
	}
}

// currency looks for the sign or the code of a currency.
func (h *habits) currency(text string) {
	if h.currencies == nil {
		h.currencies = map[string]int{}
	}
	for _, s := range cell.Signs {
		if strings.Contains(text, s.Sign) {
			code, _, _ := strings.Cut(s.Currency, " ")
			h.currencies[code]++
			break
		}
	}
	for _, code := range currencyCodes {
		if strings.Contains(strings.ToUpper(text), code) {
			h.currencies[code]++
		}
	}
}

// currencyCodes are the codes that are looked for.
var currencyCodes = []string{"USD", "EUR", "GBP", "CAD", "AUD", "NZD", "CHF", "JPY", "SEK", "NOK", "DKK"}

func (h *habits) lookSize(f intake.Field, text string, at intake.Place) {
	if f == intake.Title {
		for _, p := range naming.PiecesOf(text, "") {
			if p.Kind == naming.ASize {
				h.lookSize(intake.Size, p.Text, at)
			}
		}
		return
	}
	_, ok, t := cell.SizeOf(text, "")
	if t.Rule == "size.unit" {
		if h.openSize++; h.openSize == 1 {
			h.size = at
		}
	}
	if m := cell.SizePattern.FindStringSubmatch(strings.ToLower(intake.Clean(text))); ok && m != nil {
		h.countUnit(m[4])
	}
}

func (h *habits) countUnit(unit string) {
	if h.units == nil {
		h.units = map[string]int{}
	}
	if cell.Inches[unit] {
		unit = "in"
	}
	if unit == "in" || unit == "cm" || unit == "mm" {
		h.units[unit]++
	}
}

// headingUnit looks for a unit in the heading of sizes: "Size (cm)".
func (h *habits) headingUnit(heading string) {
	for _, w := range strings.Fields(intake.Fold(heading)) {
		if w == "inch" || w == "inches" {
			w = "in"
		}
		h.countUnit(w)
	}
}

func (g *Guess) reason(part, value string, sure intake.Confidence, why string, args ...any) {
	g.Reasons = append(g.Reasons, Reason{Column: -1, Part: part, Value: value, Why: fmt.Sprintf(why, args...), Sure: sure})
}

func (g *Guess) ask(part string, at intake.Place) {
	q := intake.WholeFile[part]
	g.Asks = append(g.Asks, Ask{Part: part, What: q.What, Choices: q.Choices, Example: at})
}

func (g *Guess) guessDays(h habits) {
	switch {
	case h.dm > 0 && h.md == 0:
		g.Mapping.Days = intake.DayMonth
		g.reason(intake.AskDays, string(intake.DayMonth), intake.Plain, "days that can only be read with the day first: %d", h.dm)
	case h.md > 0 && h.dm == 0:
		g.Mapping.Days = intake.MonthDay
		g.reason(intake.AskDays, string(intake.MonthDay), intake.Plain, "days that can only be read with the month first: %d", h.md)
	case h.openDay == 0:
	case h.dots == h.openDay && h.md == 0:
		g.Mapping.Days = intake.DayMonth
		g.reason(intake.AskDays, string(intake.DayMonth), intake.Likely, "days are parted by points, which is usual where the day comes first")
	case h.dayFirst() && h.md == 0:
		g.Mapping.Days = intake.DayMonth
		g.reason(intake.AskDays, string(intake.DayMonth), intake.Likely, "the headings are in a language in which the day usually comes first: %d of them", h.foreign)
	default:
		g.ask(intake.AskDays, h.day)
	}
}

func (g *Guess) guessDecimal(h habits) {
	switch {
	case h.point > 0 && h.comma == 0:
		g.Mapping.Decimal = "."
		g.reason(intake.AskDecimal, ".", intake.Plain, "amounts that can only be read with a decimal point: %d", h.point)
	case h.comma > 0 && h.point == 0:
		g.Mapping.Decimal = ","
		g.reason(intake.AskDecimal, ",", intake.Plain, "amounts that can only be read with a decimal comma: %d", h.comma)
	case h.openAmount > 0 && h.dayFirst() && h.point == 0:
		g.Mapping.Decimal = ","
		g.reason(intake.AskDecimal, ",", intake.Likely, "the headings are in a language in which a comma usually marks decimals: %d of them", h.foreign)
	case h.openAmount > 0:
		g.ask(intake.AskDecimal, h.decimal)
	}
}

func (g *Guess) guessUnit(h habits) {
	best := ""
	for _, u := range []string{"in", "cm", "mm"} {
		if h.units[u] > h.units[best] {
			best = u
		}
	}
	switch {
	case best != "" && len(h.units) == 1:
		g.Mapping.Unit = best
		g.reason(intake.AskUnit, best, intake.Plain, "sizes or headings that name it: %d, and none names another unit", h.units[best])
	case h.openSize > 0:
		g.ask(intake.AskUnit, h.size)
	}
}

func (g *Guess) guessCurrency(h habits) {
	best, others := "", 0
	for _, c := range currencyCodes {
		if h.currencies[c] > h.currencies[best] {
			best = c
		}
		others += intake.One(h.currencies[c] > 0)
	}
	if best == "" || others > 1 {
		g.Asks = append(g.Asks, Ask{Part: "currency", What: "Which currency are the amounts in?", Choices: []intake.Choice{}, Example: h.money})
	}
	if best == "" {
		return
	}
	g.Mapping.Currency = best
	sure := intake.Plain
	if best == "USD" {
		sure = intake.Likely // the sign is that of other dollars, too
	}
	g.reason("currency", best, sure, "amounts or headings with its sign or code: %d", h.currencies[best])
}
