// Package earned is use cases: what sales earned by any grouping and time, what one order earned part by part, with where each part came from,
// and what price steps earned or would. The figures are those of the journal; what waits in the house is estimated beside them.
package earned

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"solander/calendar"
	"solander/consign"
	"solander/earnings"
	"solander/edition"
	"solander/exchange"
	"solander/fault"
	"solander/ledger"
	"solander/order"
	"solander/studio"
	"solander/supply"
)

// Store is what this room asks of the store.
type Store interface {
	ledger.Store
	earnings.Store
	consigned
	CameOf(orders ...int64) ([]exchange.Came, error)
	BuyersByID(ids []int64) (map[int64]order.Buyer, error)
	Editions() ([]edition.Edition, error)
	OpenOrders() ([]order.Order, error)
	OpenParcels() ([]studio.Parcel, error)
	Order(id int64) (order.Order, error)
	OrdersByID(ids []int64) ([]order.Order, error)
	Parcels(orderID int64) ([]studio.Parcel, error)
	Runs(openOnly bool) ([]supply.Run, error)
	SoldDays(ed int64) ([]studio.SoldDay, error)
	SoldByDay() (map[int64]map[calendar.Day]int, error)
	Unsold(ed int64) (int, error)
	Writings(person int64) ([]order.Buyer, error)
	SamePeople() (map[int64]int64, error)
}

// consigned is what this room asks about galleries.
type consigned interface {
	Galleries() ([]consign.House, error)
	Gallery(id int64) (consign.House, error)
	Consignment(id int64) (consign.Print, error)
	GalleryMoney(id int64) (consign.Money, error)
}

// Earned is one transaction as this room sees it.
type Earned struct {
	*studio.Turn
	Store
	editions map[int64]edition.Edition
}

// In returns a transaction as this room sees it.
func In(t *studio.Turn) *Earned { return &Earned{Turn: t, Store: t.Tx} }

var _, read = studio.Doors(In)

// By is what figures are grouped by.
type By string

// The groupings.
const (
	ByPicture By = "picture"
	ByEdition By = "edition"
	BySize    By = "size"
	ByGrade   By = "grade"
	ByOutlet  By = "outlet"
	ByBuyer   By = "buyer"
	ByState   By = "state"
)

// Bys returns all groupings.
func Bys() []By { return []By{ByPicture, ByEdition, BySize, ByGrade, ByOutlet, ByBuyer, ByState} }

// lot is what the store is asked by.
func (b By) lot() earnings.Lot {
	switch b {
	case ByOutlet:
		return earnings.LotOutlet
	case ByBuyer:
		return earnings.LotBuyer
	case ByState:
		return earnings.LotState
	}
	return earnings.LotEdition
}

// Ask is which figures are wanted. No day: from the first, to the last.
type Ask struct {
	From, To calendar.Day
	By       By
	Most     int // rows at most, those that left most; 0 = all
}

// Validate looks at the question alone. Faults: Invalid.
func (a Ask) Validate() error {
	var l fault.List
	l.Check(slices.Contains(Bys(), a.By), "by", fmt.Sprintf("%.20q is nothing to group by", string(a.By)), "use picture, edition, size, grade, outlet, buyer or state")
	l.Add(studio.Sane("from", a.From))
	l.Add(studio.Sane("to", a.To))
	l.Check(a.From.IsZero() || a.To.IsZero() || !a.To.Before(a.From), "to", "the last day is before the first", "look at both days")
	return l.Err()
}

// Row is a group with what it is of.
type Row struct {
	earnings.Group
	Work    int64 `json:"work,omitempty"`    // whose picture stands beside it
	Edition int64 `json:"edition,omitempty"` //
	Outlet  int64 `json:"outlet,omitempty"`
	Buyer   int64 `json:"buyer,omitempty"`
}

// Below is an order that brought less than it cost.
type Below struct {
	earnings.Group
	Order  int64    `json:"order"`
	Mark   string   `json:"mark"`
	Prints []string `json:"named"`
}

// Figures are what was earned in some days.
type Figures struct {
	From     calendar.Day     `json:"from"`
	To       calendar.Day     `json:"to"`
	By       By               `json:"by"`
	Currency string           `json:"currency"`
	Total    earnings.Group   `json:"total"`
	Rows     []Row            `json:"rows"`
	More     int              `json:"more_rows,omitempty"` // that were not asked for
	Below    []Below          `json:"below_cost"`
	Waiting  int              `json:"prints_in_the_house"` // sold, and estimated
	Others   []earnings.Group `json:"other_currencies,omitempty"`
}

// mostBelow is how many orders below cost are named.
const mostBelow = 50

// Get returns the figures of some days. Faults: Invalid.
func Get(ctx context.Context, s *studio.Studio, a Ask) (Figures, error) {
	if err := a.Validate(); err != nil {
		return Figures{}, err
	}
	return studio.Got(ctx, s, read, func(t *Earned) (Figures, error) { return t.Figures(a) })
}

// Figures is the use case Get within a transaction.
func (t *Earned) Figures(a Ask) (Figures, error) {
	out, err := t.grouped(a)
	if err == nil {
		out.Below, err = t.below(a)
	}
	return out, err
}

// grouped are the figures but for the orders below cost.
func (t *Earned) grouped(a Ask) (Figures, error) {
	out := Figures{From: a.From, To: a.To, By: a.By, Currency: t.Set.Currency, Below: []Below{}, Rows: []Row{}}
	waiting, err := t.waiting(a)
	if err != nil {
		return out, err
	}
	if a.By == ByBuyer && a.Most > 0 {
		return out, t.mostBuyers(a, waiting, &out)
	}
	sums, err := t.lots(earnings.Query{By: a.By.lot(), From: a.From, To: a.To})
	if err != nil {
		return out, err
	}
	return out, t.gather(a, sums, waiting, &out)
}

// gather puts sums and what waits into the rows of figures.
func (t *Earned) gather(a Ask, sums []earnings.LotSum, waiting []waits, out *Figures) error {
	if a.By == ByBuyer {
		if err := t.knowBuyers(sums); err != nil {
			return err
		}
	}
	name, err := t.namer(a.By)
	if err != nil {
		return err
	}
	g := &gathering{rows: map[string]*Row{}, name: name, total: earnings.Total(nil, out.Currency)}
	others := map[string][]earnings.Fact{}
	for _, s := range sums {
		if c := s.Amount.Currency; c != out.Currency {
			others[c] = append(others[c], s.Fact())
			continue
		}
		if err := g.add(s.ID, s.Text, s.Fact(), s.Prints); err != nil {
			return err
		}
	}
	out.Waiting = len(waiting)
	for _, w := range waiting {
		for i, f := range w.facts {
			id, text := lotOf(a.By.lot(), w.order, f.Edition)
			if err := g.add(id, text, f, map[bool]int{true: 1}[i == 0]); err != nil {
				return err
			}
		}
	}
	out.Rows, out.Total = g.done()
	if n := len(out.Rows) - a.Most; a.Most > 0 && n > 0 {
		out.More, out.Rows = n, out.Rows[:a.Most]
	}
	for _, c := range sortedKeys(others) {
		out.Others = append(out.Others, earnings.Total(others[c], c))
	}
	return nil
}

// gathering puts facts into rows.
type gathering struct {
	rows  map[string]*Row
	total earnings.Group
	name  func(id int64, text string) (Row, error)

	id   int64 // of the latest fact, with its row: facts of one come together
	text string
	last *Row
}

func (g *gathering) add(id int64, text string, f earnings.Fact, prints int) error {
	if g.last == nil || g.id != id || g.text != text {
		named, err := g.name(id, text)
		if err != nil {
			return err
		}
		if g.rows[named.Key] == nil {
			g.rows[named.Key] = &named
		}
		g.id, g.text, g.last = id, text, g.rows[named.Key]
	}
	for _, to := range []*earnings.Group{&g.last.Group, &g.total} {
		to.Add(f)
		to.Prints += prints
	}
	return nil
}

// done are the rows by what is left, and all of it.
func (g *gathering) done() ([]Row, earnings.Group) {
	out := make([]Row, 0, len(g.rows))
	for _, r := range g.rows {
		r.Sorted()
		out = append(out, *r)
	}
	slices.SortFunc(out, func(a, b Row) int { return earnings.Compare(a.Group, b.Group) })
	g.total.Sorted()
	return out, g.total
}

// namer says to which row an edition, an outlet, a buyer or a state belongs.
func (t *Earned) namer(by By) (func(int64, string) (Row, error), error) {
	switch by {
	case ByOutlet:
		return t.outletRow, nil
	case ByBuyer:
		return t.buyerRow, nil
	case ByState:
		return stateRow, nil
	}
	if err := t.readEditions(); err != nil {
		return nil, err
	}
	return func(id int64, _ string) (Row, error) { return t.editionRow(by, id), nil }, nil
}

func row(key, name string) Row { return Row{Group: earnings.Group{Key: key, Name: name}} }

func (t *Earned) readEditions() error {
	if t.editions != nil {
		return nil
	}
	all, err := t.Editions()
	t.editions = map[int64]edition.Edition{}
	for _, e := range all {
		t.editions[e.ID] = e
	}
	return err
}

// noEdition is told of what belongs to no edition in particular, such as a fee on a payment.
const noEdition = "of no single edition"

func (t *Earned) editionRow(by By, id int64) Row {
	e, known := t.editions[id]
	switch {
	case !known:
		return row("0", noEdition)
	case by == ByPicture:
		r := row(strconv.FormatInt(e.Work, 10), e.Title)
		r.Work = e.Work
		return r
	case by == BySize:
		return row(e.Size(t.Set.Units), e.Size(t.Set.Units))
	case by == ByGrade:
		if e.Grade == "" {
			return row("-", "no grade")
		}
		return row(e.Grade, e.Grade)
	}
	r := row(strconv.FormatInt(id, 10), e.Name(t.Set.Units))
	r.Work, r.Edition = e.Work, id
	return r
}

func (t *Earned) outletRow(id int64, _ string) (Row, error) {
	if id == 0 {
		return row("0", "of no outlet"), nil
	}
	u, err := t.OutletOf(id)
	r := row(strconv.FormatInt(id, 10), u.Name)
	r.Outlet = id
	return r, err
}

// knowBuyers reads the buyers of sums at once.
func (t *Earned) knowBuyers(sums []earnings.LotSum) error {
	var ids []int64
	for _, s := range sums {
		if s.ID != 0 && !slices.Contains(ids[max(0, len(ids)-1):], s.ID) {
			ids = append(ids, s.ID)
		}
	}
	slices.Sort(ids)
	found, err := t.BuyersByID(slices.Compact(ids))
	maps.Copy(t.BuyersRead, found)
	return err
}

func (t *Earned) buyerRow(id int64, _ string) (Row, error) {
	if id == 0 {
		return row("0", "of no buyer"), nil
	}
	b, err := t.BuyerOf(id)
	if err == nil && b.Person() != id {
		b, err = t.BuyerOf(b.Person())
	}
	r := row(strconv.FormatInt(b.ID, 10), b.Name)
	r.Buyer = b.ID
	return r, err
}

func stateRow(_ int64, text string) (Row, error) {
	if text == "" {
		return row("-", "handed over, or to nowhere"), nil
	}
	return row(text, text), nil
}
