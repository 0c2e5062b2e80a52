// Package earnings is what sales earn, in a browser: the figures of some days by any grouping, with plots; a row opened to its parts and
// orders; an order part by part; price steps and what others would bring. Each exported method of Earnings answers one route of package web.
package earnings

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"solander/calendar"
	"solander/dues"
	"solander/earned"
	"solander/earnings"
	"solander/money"
	"solander/web/form"
	"solander/web/page"
)

// Earnings is the handlers of this room.
type Earnings struct {
	*page.Kit
	kept kept
}

// asked is what the address of a page asks for.
type asked struct {
	earned.Ask
	Span string
}

// The spans that may be chosen; any other is from one day to another.
const (
	thisMonth = "month"
	thisYear  = "year"
	lastYear  = "last-year"
	allTime   = "all"
	anySpan   = "days"
)

// askOf reads what the address asks for: this year by edition, unless it says otherwise.
func askOf(r *http.Request, today calendar.Day) (asked, *form.Form, error) {
	a := asked{earned.Ask{By: earned.ByEdition}, thisYear}
	q := r.URL.Query()
	fm := form.New("ask", "/earnings")
	form.Select(fm, "span", "Time", &a.Span, form.Pick(thisMonth, "this month"), form.Pick(thisYear, "this year"), form.Pick(lastYear, "last year"), form.Pick(allTime, "all time"), form.Pick(anySpan, "from day to day"))
	var bys []form.Choice
	for _, b := range earned.Bys() {
		bys = append(bys, form.Pick(string(b), "by "+string(b)))
	}
	form.Select(fm, "by", "Grouped", &a.By, bys...)
	fm.Day("from", "From", &a.From)
	fm.Day("to", "To", &a.To)
	typed := url.Values{}
	for _, fd := range fm.Fields() {
		typed.Set(fd.Name, cmp.Or(q.Get(fd.Name), fd.Value))
	}
	if q.Get("span") == "" && (q.Get("from") != "" || q.Get("to") != "") {
		typed.Set("span", anySpan)
	}
	if err := fm.Take(typed); err != nil {
		return a, fm, err
	}
	y, m, _ := today.Civil()
	switch a.Span {
	case thisMonth:
		a.From, a.To = calendar.Date(y, m, 1), calendar.Date(y, m+1, 0)
	case thisYear:
		a.From, a.To = calendar.Date(y, time.January, 1), calendar.Date(y, time.December, 31)
	case lastYear:
		a.From, a.To = calendar.Date(y-1, time.January, 1), calendar.Date(y-1, time.December, 31)
	case allTime:
		a.From, a.To = calendar.Day{}, calendar.Day{}
	}
	return a, fm, a.Validate()
}

// query is the address of the same days, by something.
func (a asked) query(more ...string) string {
	q := url.Values{"span": {a.Span}, "by": {string(a.By)}}
	if a.Span == anySpan {
		q.Set("from", a.From.String())
		q.Set("to", a.To.String())
	}
	for i := 0; i+1 < len(more); i += 2 {
		q.Set(more[i], more[i+1])
	}
	return q.Encode()
}

// words are the days in words.
func (a asked) words() string {
	switch {
	case a.From.IsZero() && a.To.IsZero():
		return "all time"
	case a.From.IsZero():
		return "up to " + a.To.Long()
	case a.To.IsZero():
		return "from " + a.From.Long()
	}
	return a.From.Long() + " to " + a.To.Long()
}

// Cell is a figure of a table: all of it, and how much of that is estimated.
type Cell struct {
	Text      string
	Estimated string // "" = nothing of it
	Negative  bool
}

func cell(s earnings.Sum, currency string) Cell {
	c := Cell{Text: money.Of(s.Both(), currency).Plain(), Negative: s.Both() < 0}
	if s.Estimated != 0 {
		c.Estimated = money.Of(s.Estimated, currency).Plain()
	}
	return c
}

// noShare stands where there is no income of which something could be left.
const noShare = "–"

// percent writes what is left of the income in per cent.
func percent(g earnings.Group) string {
	n, ok := earnings.PerMille(g.Left().Both(), g.Income().Both())
	if !ok {
		return noShare
	}
	if n < 0 {
		return "−" + money.PerCent(-n) + " %"
	}
	return money.PerCent(n) + " %"
}

// Line is a row of figures.
type Line struct {
	Name, Link string
	Work       int64
	Prints     int
	Income     Cell
	Sheets     Cell // and reprints
	Sending    Cell // packaging and postage
	Fees       Cell
	Other      Cell
	Left       Cell
	Share      string
	Below      bool
	Others     bool   // other costs have a column
	More       string // a further word: the prints of an order
}

// Has reports whether there is an income of which something is left.
func (l Line) Has() bool { return l.Share != noShare }

// columns are the parts that stand together in a column of a table.
var columns = struct{ sheets, sending, fees []earnings.Part }{
	[]earnings.Part{earnings.Sheet, earnings.Reprints},
	[]earnings.Part{earnings.Packaging, earnings.Postage},
	[]earnings.Part{earnings.OutletFee, earnings.PaymentFee, earnings.Gallery},
}

// others are the costs that have no column of their own.
func others() (rest []earnings.Part) {
	for _, p := range earnings.Parts() {
		if !p.Income() && !slices.Contains(columns.sheets, p) && !slices.Contains(columns.sending, p) && !slices.Contains(columns.fees, p) {
			rest = append(rest, p)
		}
	}
	return rest
}

// hasOther reports whether a group has such costs.
func hasOther(g earnings.Group) bool {
	return slices.ContainsFunc(others(), func(p earnings.Part) bool { return g.Of(p) != (earnings.Sum{}) })
}

func lineOf(g earnings.Group) Line {
	of := func(parts []earnings.Part) (s earnings.Sum) {
		for _, p := range parts {
			x := g.Of(p)
			s.Known, s.Estimated = s.Known+x.Known, s.Estimated+x.Estimated
		}
		return s
	}
	c := g.Currency
	return Line{
		Name: g.Name, Prints: g.Prints, Income: cell(g.Income(), c), Sheets: cell(of(columns.sheets), c), Sending: cell(of(columns.sending), c), Fees: cell(of(columns.fees), c),
		Other: cell(of(others()), c), Left: cell(g.Left(), c), Share: percent(g), Below: g.BelowCost(),
	}
}

// EarningsPage is the figures of some days.
type EarningsPage struct {
	page.Frame
	Ask      *form.Form
	Words    string
	Currency string
	By       string
	Total    Line
	Lines    []Line
	More     int // lines that are not shown: the file has them
	Below    []Line
	Waiting  int
	Others   []Line
	CSV      string // the address of the table as a file, but for its name
	Plots    []Figure
}

// Figures shows the figures of some days.
func (f *Earnings) Figures(w http.ResponseWriter, r *http.Request, fail *page.Failure) error {
	fr, err := f.Frame(r, "earnings", "Earnings")
	if err != nil {
		return err
	}
	a, fm, wrong := askOf(r, fr.Today)
	p := &EarningsPage{Frame: fr, Ask: fm, Words: a.words(), Currency: page.Settings(r).Currency, By: string(a.By), CSV: "/earnings.csv?" + a.query("table", "")}
	p.Tell(fail)
	if wrong != nil {
		p.Links = append(p.Links, fm.Blame(wrong)...)
		a = asked{earned.Ask{By: earned.ByEdition}, allTime}
	}
	if err := f.HangAll(r, &p.Frame); err != nil {
		return err
	}
	shown := a.Ask
	shown.Most = mostLines
	got, err := f.kept.figures(r.Context(), f.Seen(r), shown, fr.Today)
	if err != nil {
		return err
	}
	p.fill(a, got.figures)
	owed, err := dues.Owed(r.Context(), f.Seen(r))
	if err != nil {
		return err
	}
	p.Plots = append(plotsOf(got.months), owedPlot(owed))
	return f.Kit.Show(w, r, page.StatusOf(fail), "earnings", p)
}

// mostLines are the lines of a page, those that left most: a studio may have had fifty thousand buyers.
const mostLines = 300

func (p *EarningsPage) fill(a asked, got earned.Figures) {
	p.Total = lineOf(got.Total)
	p.Total.Others = hasOther(got.Total)
	p.Waiting = got.Waiting
	p.More = got.More
	for _, row := range got.Rows {
		l := lineOf(row.Group)
		l.Work, l.Link, l.Others = row.Work, "/earnings/parts?"+a.query("key", row.Key), p.Total.Others
		p.Lines = append(p.Lines, l)
	}
	for _, b := range got.Below {
		p.Below = append(p.Below, orderLine(b))
	}
	for _, g := range got.Others {
		p.Others = append(p.Others, lineOf(g))
	}
}

func orderLine(b earned.Below) Line {
	l := lineOf(b.Group)
	l.Link = "/orders/" + strconv.FormatInt(b.Order, 10) + "/earned"
	for i, name := range b.Prints {
		if i > 0 {
			l.More += ", "
		}
		l.More += name
	}
	return l
}

// PartsPage is a row of the figures, opened.
type PartsPage struct {
	page.Frame
	Words, By string
	Currency  string
	Back      string
	Work      int64
	Total     Line
	Parts     []PartLine
	Orders    []Line
	Rest      []PartLine
	Others    []PieceLine // the entries that the rest is made of
	More      int
}

// PartLine is one part of a sum.
type PartLine struct {
	Name      string
	Known     string
	Estimated string
	All       Cell
}

func partLines(sums []earnings.Sum, currency string) []PartLine {
	var out []PartLine
	for _, s := range sums {
		out = append(out, PartLine{s.Part.Words(), money.Of(s.Known, currency).Plain(), money.Of(s.Estimated, currency).Plain(), cell(s, currency)})
	}
	return out
}

// Parts opens a row of the figures.
func (f *Earnings) Parts(w http.ResponseWriter, r *http.Request) error {
	fr, err := f.Frame(r, "earnings", "Earnings")
	if err != nil {
		return err
	}
	a, _, err := askOf(r, fr.Today)
	if err != nil {
		return err
	}
	in, err := f.kept.inside(r.Context(), f.Seen(r), a.Ask, r.URL.Query().Get("key"), fr.Today)
	if err != nil {
		return err
	}
	fr.Title = "Earned: " + in.Name
	p := &PartsPage{Frame: fr, Words: a.words(), By: string(a.By), Currency: in.Currency, Back: "/earnings?" + a.query(), Work: in.Work, Total: lineOf(in.Group), More: in.More}
	if in.Work != 0 {
		if err := f.Hang(r, &p.Frame, in.Work); err != nil {
			return err
		}
	}
	p.Others = pieceLines(in.Others)
	p.Parts, p.Rest = partLines(in.Sums, in.Currency), partLines(in.Rest, in.Currency)
	p.Total.Others = slices.ContainsFunc(in.Orders, func(b earned.Below) bool { return hasOther(b.Group) })
	for _, b := range in.Orders {
		l := orderLine(b)
		l.Others = p.Total.Others
		p.Orders = append(p.Orders, l)
	}
	return f.Kit.Show(w, r, http.StatusOK, "earningsparts", p)
}

// OrderPage is what an order earned.
type OrderPage struct {
	page.Frame
	Mark     string
	Currency string
	Pieces   []PieceLine
	Foreign  []PieceLine // payments in another currency
	Total    Line
	Minutes  money.Amount // of packing at her wage; nothing while she set none
	After    money.Amount // what is left when they are taken off, too
}

// PieceLine is one part of what was earned, with links to where it came from.
type PieceLine struct {
	Part, Print, Text string
	Day               string
	Amount            Cell
	From              []page.Link
	ByCard            []earned.CardLine
}

// Order shows what an order earned.
func (f *Earnings) Order(w http.ResponseWriter, r *http.Request) error {
	id, err := page.PathID(r, "order")
	if err != nil {
		return err
	}
	got, err := earned.OfOrder(r.Context(), f.Seen(r), id)
	if err != nil {
		return err
	}
	fr, err := f.Frame(r, "earnings", "What "+got.Mark+" earned")
	if err != nil {
		return err
	}
	p := &OrderPage{Frame: fr, Mark: got.Mark, Currency: got.Currency, Total: lineOf(got.Group), Minutes: got.Minutes, After: got.AfterMinutes()}
	p.Pieces = pieceLines(got.Pieces)
	for _, x := range got.Exchanged {
		p.Foreign = append(p.Foreign, PieceLine{Day: x.Day.Long(), Text: x.Text, Amount: cell(earnings.Sum{Known: x.Amount.Minor}, x.Amount.Currency), From: []page.Link{sourceLink(x.Source)}})
	}
	return f.Kit.Show(w, r, http.StatusOK, "orderearned", p)
}
