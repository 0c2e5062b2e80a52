package journal_test

import (
	"cmp"
	"maps"
	"reflect"
	"slices"

	"solander/calendar"
	"solander/earned"
	"solander/earnings"
	"solander/journal"
	"solander/ledger"
	"solander/money"
	"solander/studio"
)

// groupingsAddUp holds that the sums by outlet, by edition, by month and by order are each the sum of the journal, and that so is what was earned by
// whatever it is grouped and of whatever days, with the orders that cost more than they brought.
func (h *history) groupingsAddUp() {
	h.Helper()
	var entries []ledger.Entry
	h.Must(h.Read(h.Ctx, func(tx *studio.Turn) error {
		err := tx.Tx.EachEntry(calendar.Day{}, calendar.Day{}, func(e ledger.Entry) error {
			entries = append(entries, e)
			return nil
		})
		if err != nil {
			return err
		}
		months, err := tx.Tx.Sums("", "")
		if err != nil {
			return err
		}
		outlets, err := tx.Tx.SumsByOutlet("", "")
		if err != nil {
			return err
		}
		left := map[ledger.Sum]int64{}
		for _, s := range months {
			left[ledger.Sum{Month: s.Month, Account: s.Account, Outlet: s.Outlet, Amount: money.Of(0, s.Amount.Currency)}] += s.Amount.Minor
		}
		for _, s := range outlets {
			left[ledger.Sum{Month: s.Month, Account: s.Account, Outlet: s.Outlet, Amount: money.Of(0, s.Amount.Currency)}] -= s.Amount.Minor
		}
		for s, n := range left {
			if n != 0 {
				h.Errorf("%v by outlet is off by %d", s, n)
			}
		}
		days, err := tx.Tx.SumsBetween(calendar.Day{}, calendar.Day{})
		if err != nil {
			return err
		}
		if !slices.Equal(months, days) {
			h.Errorf("the sums kept along are not those of the lines:\n%v\n%v", months, days)
		}
		want, got := map[string]int64{}, map[string]int64{}
		for _, s := range months {
			got[s.Account] += s.Amount.Minor
		}
		byOrder := map[int64]int64{}
		for _, e := range entries {
			for _, l := range e.Lines {
				want[l.Account] += l.Amount.Minor
				byOrder[l.Order] += l.Amount.Minor
			}
		}
		maps.DeleteFunc(want, none)
		if maps.DeleteFunc(got, none); !maps.Equal(want, got) {
			h.Errorf("by month, outlet and edition %v, the journal says %v", got, want)
		}
		for id, n := range byOrder {
			if id == 0 {
				continue
			}
			of, err := tx.Tx.OrderEntries([]int64{id})
			if err != nil {
				return err
			}
			for _, e := range of {
				for _, l := range e.Lines {
					if l.Order == id {
						n -= l.Amount.Minor
					}
				}
			}
			if n != 0 {
				h.Errorf("the entries of order %d are off by %d", id, n)
			}
		}
		if len(want) < 8 {
			h.Errorf("%d accounts: nothing was tested", len(want))
		}
		return nil
	}))
	first, last := entries[0].Day, entries[len(entries)-1].Day
	third := last.Sub(first) / 3
	spans := []journal.Span{{}, {From: first.Add(third)}, {To: last.Add(-third)}, {From: first.Add(third), To: last.Add(-third)}, {From: first, To: first}}
	for i, days := range spans {
		for _, by := range earned.Bys() {
			h.earnedIs(entries, days, by, i == 0)
		}
	}
}

// mostAre holds that the rows of which most is left are the same when those alone are asked for, but for who stands at the end of equals, with the same sums
// of all.
func (h *history) mostAre(all earned.Figures, a earned.Ask) {
	h.Helper()
	for _, a.Most = range []int{1, 3, 300} {
		got, err := earned.Get(h.Ctx, h.Studio, a)
		h.Must(err)
		n := min(a.Most, len(all.Rows))
		if len(got.Rows) != n || got.More != len(all.Rows)-n {
			h.Errorf("%d rows of %s, and %d more, of %d", len(got.Rows), a.By, got.More, len(all.Rows))
			continue
		}
		for i, r := range got.Rows {
			at := slices.IndexFunc(all.Rows, func(x earned.Row) bool { return x.Key == r.Key })
			if at < 0 || !reflect.DeepEqual(r, all.Rows[at]) || r.Left() != all.Rows[i].Left() {
				h.Errorf("row %d of the %d most by %s is %v; all are %v", i, a.Most, a.By, r, all.Rows)
			}
		}
		if !reflect.DeepEqual(got.Total.Sums, all.Total.Sums) || got.Total.Prints != all.Total.Prints || !reflect.DeepEqual(got.Others, all.Others) {
			h.Errorf("the most by %s come to %v and %v, all to %v and %v", a.By, got.Total, got.Others, all.Total, all.Others)
		}
		for _, r := range got.Rows {
			in, err := earned.Open(h.Ctx, h.Studio, earned.Ask{From: a.From, To: a.To, By: a.By}, r.Key)
			h.Must(err)
			if !reflect.DeepEqual(in.Row, r) {
				h.Errorf("opened by %s it is %v, and stands there as %v", a.By, in.Row, r)
			}
			h.insideIs(in, a)
		}
	}
}

// insideIs holds that the orders of a row and what belongs to none come to what the journal knows of it.
func (h *history) insideIs(in earned.Inside, a earned.Ask) {
	h.Helper()
	if in.More > 0 {
		return
	}
	sums := map[earnings.Part]int64{}
	for _, g := range append(slices.Clone(in.Orders), earned.Below{Group: earnings.Group{Sums: in.Rest}}) {
		for _, s := range g.Sums {
			sums[s.Part] += s.Known
		}
	}
	for _, s := range in.Sums {
		if sums[s.Part] != s.Known {
			h.Errorf("%s %s: its orders come to %d of %s, it says %d", a.By, in.Key, sums[s.Part], s.Part, s.Known)
		}
	}
	if !slices.IsSortedFunc(in.Orders, func(x, y earned.Below) int { return cmp.Compare(y.Left().Known, x.Left().Known) }) {
		h.Errorf("%s %s: its orders do not stand by what is left", a.By, in.Key)
	}
}

func none(_ string, n int64) bool { return n == 0 }

// earnedIs compares figures, but for what is estimated, with the lines of the journal: part by part and print by print, and those that lost.
func (h *history) earnedIs(entries []ledger.Entry, days journal.Span, by earned.By, all bool) {
	h.Helper()
	want, sold := map[earnings.Part]int64{}, map[int64]bool{}
	left, income, asked := map[int64]int64{}, map[int64]int64{}, map[int64]bool{}
	for _, e := range entries {
		in := !e.Day.Before(days.From) && (days.To.IsZero() || !e.Day.After(days.To))
		for _, l := range e.Lines {
			f, ok := earnings.Of(l.Account, l.Amount)
			if !ok {
				continue
			}
			left[l.Order] += f.Amount.Minor
			if f.Part.Income() {
				income[l.Order] += f.Amount.Minor
			}
			if !in {
				continue
			}
			want[f.Part] += f.Amount.Minor
			if f.Part == earnings.Price {
				sold[l.Line], asked[l.Order] = true, true
			}
		}
	}
	got, err := earned.Get(h.Ctx, h.Studio, earned.Ask{From: days.From, To: days.To, By: by})
	h.Must(err)
	rows, prints := map[earnings.Part]int64{}, 0
	for _, r := range got.Rows {
		for _, s := range r.Sums {
			rows[s.Part] += s.Known
		}
		prints += r.Prints
	}
	part := func(p earnings.Part, n int64) bool { return n == 0 }
	maps.DeleteFunc(rows, part)
	if maps.DeleteFunc(want, part); !maps.Equal(rows, want) || prints != len(sold)+got.Waiting || prints != got.Total.Prints {
		h.Errorf("%v by %s: %v and %d prints, %d of them waiting; the journal says %v and %d", days, by, rows, prints, got.Waiting, want, len(sold))
	}
	h.mostAre(got, earned.Ask{From: days.From, To: days.To, By: by})
	if all && len(want) < 3 {
		h.Errorf("%v: nothing was tested", want)
	}
	var lost []int64
	for id, n := range left {
		if id != 0 && n < 0 && income[id] > 0 && asked[id] {
			lost = append(lost, id)
		}
	}
	for _, b := range got.Below {
		if !slices.Contains(lost, b.Order) || b.Left().Known != left[b.Order] {
			h.Errorf("%v: order %d is said to have left %d; the journal says %d", days, b.Order, b.Left().Known, left[b.Order])
		}
	}
	if len(got.Below) != len(lost) {
		h.Errorf("%v: %d orders are said to have lost, %d did", days, len(got.Below), len(lost))
	}
}
