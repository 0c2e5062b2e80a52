package earned

import (
	"cmp"
	"context"
	"slices"
	"strconv"

	"solander/calendar"
	"solander/earnings"
	"solander/ledger"
	"solander/studio"
)

// Months are figures of whole months, for plots: those that the days asked for touch.
type Months struct {
	Currency string           `json:"currency"`
	Months   []earnings.Group `json:"months"`  // ascending, without gaps
	Total    earnings.Group   `json:"total"`   // of those months
	Outlets  []Row            `json:"outlets"` //
	Stock    []StockValue     `json:"stock"`   // at the end of each month
}

// StockValue is what lies in the house at the end of a month, at what it cost; minor units.
type StockValue struct {
	Month     string `json:"month"`
	Sheets    int64  `json:"sheets"`
	Consigned int64  `json:"consigned"` // with galleries
	Supplies  int64  `json:"packaging"`
}

// Sum is all of it.
func (v StockValue) Sum() int64 { return v.Sheets + v.Consigned + v.Supplies }

// ByMonth returns the figures of the months that some days touch; of a studio from its first entry, at most ten years.
// Faults: Invalid.
func ByMonth(ctx context.Context, s *studio.Studio, a Ask) (Months, error) {
	if err := a.Validate(); err != nil {
		return Months{}, err
	}
	return studio.Got(ctx, s, read, func(t *Earned) (Months, error) { return t.byMonth(a) })
}

// mostMonths bounds what is drawn.
const mostMonths = 120

func (t *Earned) byMonth(a Ask) (Months, error) {
	out := Months{Currency: t.Set.Currency}
	sums, err := t.SumsByOutlet("", month(a.To))
	if err != nil {
		return out, err
	}
	from, last := month(a.From), month(a.To)
	var facts []earnings.Fact
	for _, s := range sums {
		if last == "" || s.Month > last {
			last = s.Month
		}
		f, ok := earnings.Of(s.Account, s.Amount)
		if !ok || s.Month < from {
			continue
		}
		f.Month, f.Outlet = s.Month, s.Outlet
		facts = append(facts, f)
	}
	waiting, err := t.waiting(a)
	if err != nil {
		return out, err
	}
	for _, w := range waiting { // in the house today
		for _, f := range w.facts {
			f.Month = ledger.Month(t.Today)
			facts = append(facts, f)
			last = max(last, f.Month)
		}
	}
	if last > ledger.Month(t.Today) {
		last = max(ledger.Month(t.Today), from)
	}
	out.Months = filled(earnings.By(facts, out.Currency, func(f earnings.Fact) (string, string) { return f.Month, f.Month }), from, last, out.Currency)
	if n := len(out.Months); n > mostMonths {
		out.Months = out.Months[n-mostMonths:]
	}
	out.Total = earnings.Together(out.Months, out.Currency)
	for _, g := range earnings.By(facts, out.Currency, func(f earnings.Fact) (string, string) { return strconv.FormatInt(f.Outlet, 10), "" }) {
		id, _ := strconv.ParseInt(g.Key, 10, 64)
		r, err := t.outletRow(id, "")
		if err != nil {
			return out, err
		}
		g.Name = r.Name
		out.Outlets = append(out.Outlets, Row{Group: g, Outlet: id})
	}
	out.Stock = stockOf(sums, out.Months, out.Currency)
	return out, nil
}

func month(d calendar.Day) string {
	if d.IsZero() {
		return ""
	}
	return ledger.Month(d)
}

// filled are the groups of months ascending, with one of nothing for a month in between.
func filled(groups []earnings.Group, from, to, currency string) []earnings.Group {
	slices.SortFunc(groups, func(a, b earnings.Group) int { return cmp.Compare(a.Key, b.Key) })
	if from == "" && len(groups) > 0 {
		from = groups[0].Key
	}
	if from == "" || to == "" {
		return groups
	}
	var out []earnings.Group
	for m := from; m <= to && len(out) < 12*400; m = nextMonth(m) {
		if len(groups) > 0 && groups[0].Key == m {
			out, groups = append(out, groups[0]), groups[1:]
			continue
		}
		out = append(out, earnings.Group{Key: m, Name: m, Currency: currency})
	}
	return append(out, groups...)
}

// nextMonth is the month after one: "2031-12" → "2032-01".
func nextMonth(m string) string {
	d, err := calendar.ParseDay(m + "-01")
	if err != nil {
		return "~" // beyond all
	}
	return ledger.Month(d.Add(31))
}

// stockOf is what the stocks cost at the end of each month.
func stockOf(sums []ledger.Sum, months []earnings.Group, currency string) []StockValue {
	sums = slices.Clone(sums)
	slices.SortFunc(sums, func(a, b ledger.Sum) int { return cmp.Compare(a.Month, b.Month) })
	var out []StockValue
	var v StockValue
	for _, m := range months {
		for len(sums) > 0 && sums[0].Month <= m.Key {
			s := sums[0]
			sums = sums[1:]
			if s.Amount.Currency != currency {
				continue
			}
			switch s.Account {
			case ledger.Sheets:
				v.Sheets += s.Amount.Minor
			case ledger.Consigned:
				v.Consigned += s.Amount.Minor
			case ledger.Supplies:
				v.Supplies += s.Amount.Minor
			}
		}
		v.Month = m.Key
		out = append(out, v)
	}
	return out
}
