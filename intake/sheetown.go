package intake

import (
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"

	"solander/fault"
	"solander/order"
)

// sheetMonth is the month of a sheet, or its year alone; what is not said is zero.
type sheetMonth struct {
	year  int
	month time.Month
}

// validateOwn checks what a sheet says of all its rows.
func (s SheetMap) validateOwn(at string) error {
	var l fault.List
	l.Check(s.Named == "" || s.Named == NamedOutlet || s.Named == NamedGrade || s.Named == NamedPaper || s.Named == NamedMonth, at+".named", "what the sheet is named after is unknown", "write outlet, month, grade or paper")
	l.Add(order.Text(at+".outlet", s.Outlet, 80, false))
	l.Add(order.Text(at+".grade", s.Grade, 40, false))
	l.Add(order.Text(at+".paper", s.Paper, 80, false))
	_, ok := monthIn(s.Month)
	l.Check(s.Month == "" || ok, at+".month", "the month is not understood", "write it like 2025-05, or 05")
	return l.Err()
}

var monthParts = regexp.MustCompile(`[\pL]+|[0-9]+`)

// monthIn reads a month, in words or figures, with its year or without, or a year alone: "May 2025", "2025-05", "05/2025", "Mai", "5",
// "Sales 2025". ok is false for other words.
func monthIn(text string) (m sheetMonth, ok bool) {
	bare := !strings.ContainsFunc(text, unicode.IsLetter) // "Sheet1" is no January
	for _, p := range monthParts.FindAllString(strings.ToLower(text), -1) {
		n, err := strconv.Atoi(p)
		named, is := monthOf(p)
		switch {
		case err == nil && n >= 1980 && n < 2080 && m.year == 0:
			m.year = n
		case err == nil && bare && n >= 1 && n <= 12 && m.month == 0 && len(p) <= 2:
			m.month = time.Month(n)
		case err != nil && is && m.month == 0:
			m.month = named
		case err != nil && plainSheet[Fold(p)]:
		default:
			return sheetMonth{}, false
		}
	}
	return m, m != sheetMonth{}
}

// plainSheet are names of sheets that say nothing of their rows. Common practice, no source.
var plainSheet = map[string]bool{
	"": true, "sheet": true, "table": true, "sales": true, "sale": true, "orders": true, "order": true, "sold": true, "prints": true, "list": true, "data": true, "all": true,
	"tabelle": true, "blatt": true, "verkäufe": true, "verkauf": true, "bestellungen": true, "liste": true, "drucke": true,
	"feuille": true, "feuil": true, "ventes": true, "commandes": true, "hoja": true, "ventas": true, "pedidos": true,
}

// plainName reports a name such as "Sheet1" or "Sales 2025".
func plainName(name string) bool {
	for _, p := range monthParts.FindAllString(strings.ToLower(name), -1) {
		if _, err := strconv.Atoi(p); err != nil && !plainSheet[p] {
			return false
		}
	}
	return true
}

// ownOf settles what holds for all rows of a sheet: what the mapping says, then what she answered, then what its name says.
func (r *reader) ownOf(p *plan, m SheetMap) {
	name := p.sheet.Name
	p.outlet, p.grade, p.paper = m.Outlet, m.Grade, m.Paper
	month := firstOf(m.Month, r.in.Answers["month:"+name])
	switch m.Named {
	case NamedOutlet:
		p.outlet = firstOf(p.outlet, name)
	case NamedGrade:
		p.grade = firstOf(p.grade, name)
	case NamedPaper:
		p.paper = firstOf(p.paper, name)
	case NamedMonth:
		month = firstOf(month, name)
	}
	p.outlet = firstOf(p.outlet, r.answer("outlet:"+name))
	p.month, _ = monthIn(month)
	r.askFresh(p, m)
}

// outletAsk is the question where rows without an outlet were sold: of each sheet, when several are read.
func (r *reader) outletAsk(s *sale) string {
	if r.sheets < 2 {
		return askOutlet
	}
	return r.ask(Question{ID: "outlet:" + s.origin.Sheet, What: "Where were the sales of " + sheetWords(s.plan.sheet) + " made that name no outlet?", Where: s.place(-1)})
}

var dayAlone = regexp.MustCompile(`^(?:[\pL]{2,10}\.?,? )?([0-9]{1,2})(?:st|nd|rd|th|er|º|\.)?$`)

// aloneDay reads a day of the month that stands alone; 0 for anything else.
func aloneDay(c Cell) int {
	text := c.Number
	if c.Kind == Words {
		text = strings.ToLower(clean(c.Text))
	}
	m := dayAlone.FindStringSubmatch(text)
	if m == nil || c.Kind != Words && c.Kind != Number {
		return 0
	}
	n, _ := strconv.Atoi(m[1])
	if n > 31 {
		return 0
	}
	return n
}

// dayIn reads a day of a row; one that stands alone is of the month of its sheet.
func (r *reader) dayIn(p *plan, c Cell) (d dayRead, ok bool, t trouble) {
	n := aloneDay(c)
	switch {
	case n == 0:
		d, ok, t = dayOf(c, r.reading.days)
		if ok && d.year == 0 && p.month.year != 0 && (p.month.month == 0 || p.month.month == d.month) {
			d.year = p.month.year
			return d.checked(c.Text)
		}
		return d, ok, t
	case p.month.month != 0:
		return dayRead{year: p.month.year, month: p.month.month, day: n}.checked(c.Text)
	}
	id := r.ask(Question{
		ID: "month:" + p.sheet.Name, What: "Which month are the days of " + sheetWords(p.sheet) + "? Write it like 2025-05", Where: Place{Sheet: p.sheet.Name, Row: 0},
	})
	return d, false, trouble{"day.month", "the month of the day is missing: " + fault.Clip(c.Text), "say which month it is, or write the whole day", true, id}
}
