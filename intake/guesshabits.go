package intake

import (
	"fmt"
	"strings"
)

// habits guesses how days, amounts and sizes are written in the columns that hold them.
func (g *Guess) habits(plans []plan) {
	var h habits
	for i := range plans {
		p := &plans[i]
		for j := range p.sheet.Rows {
			r := &p.sheet.Rows[j]
			if r.N < p.first || r.N == p.header {
				continue
			}
			for column, f := range p.used {
				if c := r.At(column); !c.blank() {
					h.look(f, c, Place{p.sheet.Name, r.N, Letters(column)})
				}
			}
		}
		for column, f := range p.used {
			if f != Unused {
				h.language(p.heading(column))
			}
			switch {
			case f == Size:
				h.headingUnit(p.heading(column))
			case moneyFields[f] && f != Quantity:
				h.currency(p.heading(column))
			}
		}
		h.outlets += len(p.fields[Outlet]) + One(p.outlet != "")
	}
	g.guessDays(h)
	g.guessDecimal(h)
	g.guessUnit(h)
	g.guessCurrency(h)
	if h.outlets == 0 {
		g.Asks = append(g.Asks, Ask{Part: "outlet", What: wholeFile[askOutlet].What, Choices: []Choice{}})
	}
}

// habits counts what speaks for each way of writing, and remembers a cell that leaves it open.
type habits struct {
	dm, md, dots        int
	point, comma        int
	units               map[string]int
	currencies          map[string]int
	day, decimal, size  Place
	openDay, openAmount int
	openSize, outlets   int
	money               Place
	foreign, english    int // headings in German, French or Spanish, and others
}

func (h *habits) language(heading string) {
	if foreignOnly[Fold(heading)] {
		h.foreign++
	} else if heading != "" {
		h.english++
	}
}

// dayFirst reports headings mostly in German, French or Spanish. In their short forms of days the day comes first, and their decimal sign is the
// comma. Source: Unicode CLDR, de dd.MM.yy, fr dd/MM/y, es d/M/yy; Spanish as read, the others from memory. Not so in Switzerland and Mexico: so it is only likely.
func (h *habits) dayFirst() bool { return h.foreign > h.english }

func (h *habits) look(f Field, c Cell, at Place) {
	switch f {
	case SoldOn, Promised, ArriveBy, SentOn:
		if c.Kind == Words {
			h.lookDay(c.Text, at)
		}
	case Price, Total, Paid, Owed, Fee, Postage, Tax:
		h.lookMoney(c, at)
	case Size, Title:
		if c.Kind == Words {
			h.lookSize(f, c.Text, at)
		}
	}
}

func (h *habits) lookDay(text string, at Place) {
	a, okA, _ := dayText(text, DayMonth)
	b, okB, _ := dayText(text, MonthDay)
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
	case okA && a.order && a.day > 12:
		_, _, t := dayText(text, "")
		parts := dayParts(text)
		if t.none() && len(parts) > 1 && parts[0] == fmt.Sprint(a.day) {
			h.dm++
		} else {
			h.md++
		}
	}
}

func (h *habits) lookMoney(c Cell, at Place) {
	if h.money == (Place{}) {
		h.money = at
	}
	h.currency(c.Text)
	if c.Kind != Words {
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
	for _, s := range signs {
		if strings.Contains(text, s.sign) {
			code, _, _ := strings.Cut(s.currency, " ")
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

func (h *habits) lookSize(f Field, text string, at Place) {
	if f == Title {
		for _, p := range piecesOf(text, "") {
			if p.kind == aSize {
				h.lookSize(Size, p.text, at)
			}
		}
		return
	}
	_, ok, t := sizeOf(text, "")
	if t.rule == "size.unit" {
		if h.openSize++; h.openSize == 1 {
			h.size = at
		}
	}
	if m := sizePattern.FindStringSubmatch(strings.ToLower(clean(text))); ok && m != nil {
		h.countUnit(m[4])
	}
}

func (h *habits) countUnit(unit string) {
	if h.units == nil {
		h.units = map[string]int{}
	}
	if inches[unit] {
		unit = "in"
	}
	if unit == "in" || unit == "cm" || unit == "mm" {
		h.units[unit]++
	}
}

// headingUnit looks for a unit in the heading of sizes: "Size (cm)".
func (h *habits) headingUnit(heading string) {
	for _, w := range strings.Fields(Fold(heading)) {
		if w == "inch" || w == "inches" {
			w = "in"
		}
		h.countUnit(w)
	}
}

func (g *Guess) reason(part, value string, sure Confidence, why string, args ...any) {
	g.Reasons = append(g.Reasons, Reason{Column: -1, Part: part, Value: value, Why: fmt.Sprintf(why, args...), Sure: sure})
}

func (g *Guess) ask(part string, at Place) {
	q := wholeFile[part]
	g.Asks = append(g.Asks, Ask{Part: part, What: q.What, Choices: q.Choices, Example: at})
}

func (g *Guess) guessDays(h habits) {
	switch {
	case h.dm > 0 && h.md == 0:
		g.Mapping.Days = DayMonth
		g.reason(askDays, string(DayMonth), Plain, "days that can only be read with the day first: %d", h.dm)
	case h.md > 0 && h.dm == 0:
		g.Mapping.Days = MonthDay
		g.reason(askDays, string(MonthDay), Plain, "days that can only be read with the month first: %d", h.md)
	case h.openDay == 0:
	case h.dots == h.openDay && h.md == 0:
		g.Mapping.Days = DayMonth
		g.reason(askDays, string(DayMonth), Likely, "days are parted by points, which is usual where the day comes first")
	case h.dayFirst() && h.md == 0:
		g.Mapping.Days = DayMonth
		g.reason(askDays, string(DayMonth), Likely, "the headings are in a language in which the day usually comes first: %d of them", h.foreign)
	default:
		g.ask(askDays, h.day)
	}
}

func (g *Guess) guessDecimal(h habits) {
	switch {
	case h.point > 0 && h.comma == 0:
		g.Mapping.Decimal = "."
		g.reason(askDecimal, ".", Plain, "amounts that can only be read with a decimal point: %d", h.point)
	case h.comma > 0 && h.point == 0:
		g.Mapping.Decimal = ","
		g.reason(askDecimal, ",", Plain, "amounts that can only be read with a decimal comma: %d", h.comma)
	case h.openAmount > 0 && h.dayFirst() && h.point == 0:
		g.Mapping.Decimal = ","
		g.reason(askDecimal, ",", Likely, "the headings are in a language in which a comma usually marks decimals: %d of them", h.foreign)
	case h.openAmount > 0:
		g.ask(askDecimal, h.decimal)
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
		g.reason(askUnit, best, Plain, "sizes or headings that name it: %d, and none names another unit", h.units[best])
	case h.openSize > 0:
		g.ask(askUnit, h.size)
	}
}

func (g *Guess) guessCurrency(h habits) {
	best, others := "", 0
	for _, c := range currencyCodes {
		if h.currencies[c] > h.currencies[best] {
			best = c
		}
		others += One(h.currencies[c] > 0)
	}
	if best == "" || others > 1 {
		g.Asks = append(g.Asks, Ask{Part: "currency", What: "Which currency are the amounts in?", Choices: []Choice{}, Example: h.money})
	}
	if best == "" {
		return
	}
	g.Mapping.Currency = best
	sure := Plain
	if best == "USD" {
		sure = Likely // the sign is that of other dollars, too
	}
	g.reason("currency", best, sure, "amounts or headings with its sign or code: %d", h.currencies[best])
}
