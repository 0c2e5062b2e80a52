// Package demo invents a studio to look around in: two years of an artist who sells prints from home,
// with some 600 orders, of which about 25 are open at every stage. People, towns, streets, titles and
// shops are invented; only the price cards, the zones and the postcodes that place a parcel in one are
// real. Beside the orders stand two galleries, a day at a table, claims, rates of tax, papers of money, payouts, the files of a bank, facts told
// and certificates: each made by its use case. The same seed and day make the same studio.
package demo

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"solander/calendar"
	"solander/edition"
	"solander/fault"
	"solander/house"
	"solander/leaving"
	"solander/measure"
	"solander/order"
	"solander/record"
	"solander/register"
	"solander/studio"
	"solander/tariff"
)

const (
	artist   = "Wren Aldermoor"
	firstDay = 730 // days before today on which the story begins
	pastEnds = 14  // days before today on which the use cases take over
)

// pastOrders is how many orders the past has; with the script of the last weeks they are 600.
const allOrders = 600

// Options say which studio is invented.
type Options struct {
	Day   calendar.Day // today
	Seed  uint64
	Cards []tariff.Card // the bundled price cards
}

// Build fills an empty store. open opens the store with the clock that is given to it, which its transactions follow, so that every
// entry bears the instant at which it happened in the story; the store is closed when Build returns. After the set-up the story is one
// transaction: it stands whole, or not at all.
func Build(ctx context.Context, open func(clock func() time.Time) (studio.Store, error), opt Options) (err error) {
	paint()
	d := &days{}
	d.turnTo(opt.Day.Add(-firstDay-1), 10)
	if d.Store, err = open(d.clock); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, d.Close()) }()
	ctx = studio.WithWho(ctx, artist)
	p, err := begin(ctx, d, opt)
	if err != nil {
		return fmt.Errorf("demo set-up: %w", err)
	}
	return d.tell(ctx, p.tell)
}

// tell tells the story: the works, two years, the last weeks, and the pictures on the wall.
func (p *past) tell() error {
	p.plan()
	if err := p.sit(p.today.Add(-firstDay), 10, p.addWorks); err != nil {
		return fmt.Errorf("demo set-up: %w", err)
	}
	days := p.salesDays(allOrders - len(script) - soldOutright)
	if err := p.live(days[:len(days)-len(soldAtTable)], p.today.Add(-pastEnds)); err != nil {
		return fmt.Errorf("demo past: %w", err)
	}
	if _, err := record.Sign(p.ctx, p.studio, ""); err != nil {
		return fmt.Errorf("demo register: %w", err)
	}
	if n := len(p.stories); n > 0 {
		return fault.New(fault.Internal, "%d orders of the demo's past did not end", n)
	}
	l := &lately{past: p}
	if err := l.live(); err != nil {
		return err
	}
	if err := p.hang(); err != nil {
		return err
	}
	_, err := record.Sign(p.ctx, p.studio, "")
	return err
}

// begin sets the studio up.
func begin(ctx context.Context, d *days, opt Options) (*past, error) {
	p := &past{gen: newGen(opt.Seed), ctx: ctx, days: d, today: opt.Day, stocks: make([]*stock, len(catalogue))}
	p.studio = studio.New(d, studio.Options{Clock: d.clock, Cards: studio.Given(opt.Cards)})
	lent, until := lend(opt.Cards, opt.Day.Add(-firstDay))
	p.lent, p.cards = studio.New(d, studio.Options{Clock: d.clock, Cards: studio.Given(lent)}), until
	in := house.Defaults(measure.Imperial)
	in.Settings, in.Outlets = settings(in.Settings, opt.Day), outlets()
	in.Work, in.Edition, in.Sheets = edition.Work{}, edition.Edition{}, 0
	for i := range in.Shelf {
		in.Shelf[i].Stock = 2*in.Shelf[i].ReorderAt + in.Shelf[i].Pack
	}
	if err := house.SetUp(ctx, p.studio, in); err != nil {
		return nil, err
	}
	p.working = in.Settings.Working()
	return p, p.readOutlets()
}

// lend makes cards for the time from a day until cards are known: the oldest of each series lends its prices.
func lend(cards []tariff.Card, from calendar.Day) (lent []tariff.Card, until calendar.Day) {
	for _, c := range cards {
		if !slices.ContainsFunc(cards, func(o tariff.Card) bool { return o.Series == c.Series && o.From.Before(c.From) }) {
			lent, until = append(lent, c), studio.Latest(until, c.From)
		}
	}
	for i := range lent {
		lent[i].From, lent[i].To = from, until.Add(-1)
	}
	return lent, until
}

// readOutlets reads the outlets in the order of their names in outlets.
func (p *past) readOutlets() error {
	stored, err := house.Outlets(p.ctx, p.studio)
	if err != nil {
		return err
	}
	for _, o := range outlets() {
		i := slices.IndexFunc(stored, func(s order.Outlet) bool { return s.Name == o.Name })
		if i < 0 {
			return fmt.Errorf("set-up lost the outlet %s", o.Name)
		}
		p.outlets = append(p.outlets, stored[i])
	}
	return nil
}

func (p *past) addWorks(st *studio.Studio) error {
	year, _, _ := p.today.Civil()
	for _, w := range works {
		work, err := register.SaveWork(p.ctx, st, edition.Work{Title: w.title, Year: year - w.years, Note: w.note})
		if err != nil {
			return err
		}
		p.works = append(p.works, work)
	}
	return nil
}

// settings are the studio's choices upon the defaults of wraps, house rules, papers and grades.
func settings(s studio.Settings, today calendar.Day) studio.Settings {
	s.Studio, s.Artist = "Larkfold Prints", artist
	s.Bills.Words = "Please pay within 30 days, to our account at Mossbank Savings, and name the number of this invoice."
	s.Address = order.Address{Name: "Larkfold Prints", Line1: "14 Tollhouse Lane", City: "Cinder Gap", Region: "VA", Postcode: "24019", Country: "US"}
	s.Currency, s.Units, s.TimeZone, s.Holidays, s.MarkPrefix = currency, "inch", Zone, "us-federal", "S"
	s.PriceClasses = []string{"commercial", "single-piece"}
	s.Labs, s.Leaving = labs, leavesBy()
	year, _, _ := today.Civil()
	s.ClosedDays = []calendar.Day{calendar.Date(year-1, 8, 17), calendar.Date(year-1, 8, 18), calendar.Date(year, 8, 16), calendar.Date(year, 8, 17)}
	return s
}

// leavesBy is how the studio's parcels leave: invented, as all of it.
func leavesBy() []leaving.Way {
	return []leaving.Way{
		{ID: "mailbox", Name: "the mailbox", Kind: leaving.Mailbox, Opening: &leaving.Opening{Length: 14 * measure.Inch, Width: 4 * measure.Inch, Depth: 19 * measure.Inch}, Most: 3},
		{ID: "pickup", Name: "the pickup", Kind: leaving.Pickup, Fee: 400, Least: 2, CutOff: "16:30"},
		{ID: "counter", Name: "the counter", Kind: leaving.Counter, Minutes: 25, CutOff: "17:00", Days: []string{"tuesday", "thursday"}},
	}
}

// salesDays invents on which days n sales of the past were made, ascending. More are made from October
// to December than in other months, and the studio grows.
func (p *past) salesDays(n int) []calendar.Day {
	days := make([]calendar.Day, 0, n)
	for len(days) < n {
		span := firstDay - 24 - pastEnds
		ago := pastEnds + 2 + p.below(span)
		d := p.today.Add(-ago)
		_, month, _ := d.Civil()
		if month >= 10 || p.below(100) < 45+40*(span-ago)/span {
			days = append(days, d)
		}
	}
	slices.SortFunc(days, func(a, b calendar.Day) int { return a.Sub(b) })
	return days
}
