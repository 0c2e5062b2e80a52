package journal

import (
	"cmp"
	"database/sql"
	"slices"

	"solander/calendar"
	"solander/earnings"
	"solander/money"
)

// keptBy are the lots by which the sums of the months are kept, with their columns.
var keptBy = map[earnings.Lot]string{earnings.LotEdition: `edition`, earnings.LotOutlet: `outlet`}

// lotOf is one of a lot in one currency.
type lotOf struct {
	id       int64
	currency string
}

// lotsKept are sums by editions or outlets: of amounts those of the months, of which there are few; the prints alone are counted line by line.
func (t *JournalRows) lotsKept(column string, q earnings.Query) ([]earnings.LotSum, error) {
	minor, prints := map[lotOf]map[earnings.Part]int64{}, map[lotOf]int{}
	var a asking
	from := a.bookedIn(q.From, q.To)
	where := a.among(`s.edition`, q.Editions) + a.among(`s.outlet`, q.Outlets)
	err := t.conn.Each(`SELECT s.`+column+`, s.currency, s.account, CAST(sum(s.amount) AS BIGINT) FROM `+from+` s WHERE s.account IN `+accountsOf("")+where+` GROUP BY 1, 2, 3`, a.args,
		func(rows *sql.Rows) error {
			var of lotOf
			var account string
			var amount money.Amount
			err := rows.Scan(&of.id, &of.currency, &account, &amount.Minor)
			if f, ok := earnings.Of(account, amount); ok {
				if minor[of] == nil {
					minor[of] = map[earnings.Part]int64{}
				}
				minor[of][f.Part] += f.Amount.Minor
			}
			return err
		})
	if err != nil {
		return nil, err
	}
	a = asking{}
	from = a.soldIn(q.From, q.To)
	where = a.among(`s.edition`, q.Editions) + a.among(`s.outlet`, q.Outlets)
	err = t.conn.Each(`SELECT s.`+column+`, s.currency, count(DISTINCT s.line) FROM `+from+` s WHERE 1 = 1`+where+` GROUP BY 1, 2`, a.args, func(rows *sql.Rows) error {
		var of lotOf
		var n int
		err := rows.Scan(&of.id, &of.currency, &n)
		if prints[of] = n; minor[of] == nil {
			minor[of] = map[earnings.Part]int64{}
		}
		return err
	})
	return lotSums(minor, prints), err
}

// lotSums lists sums by lot, currency and part, but for those of nothing.
func lotSums(minor map[lotOf]map[earnings.Part]int64, prints map[lotOf]int) []earnings.LotSum {
	var out []earnings.LotSum
	lots := make([]lotOf, 0, len(minor))
	for of := range minor {
		lots = append(lots, of)
	}
	slices.SortFunc(lots, func(a, b lotOf) int { return cmp.Or(cmp.Compare(a.id, b.id), cmp.Compare(a.currency, b.currency)) })
	for _, of := range lots {
		for _, p := range earnings.Parts() {
			s := earnings.LotSum{ID: of.id, Part: p, Amount: money.Of(minor[of][p], of.currency)}
			if p == earnings.Price {
				s.Prints = prints[of]
			}
			if s.Amount.Minor != 0 || s.Prints != 0 {
				out = append(out, s)
			}
		}
	}
	return out
}

// bookedIn is what was booked in some days on the accounts of what is earned and what it costs, in the place of a table.
func (a *asking) bookedIn(from, to calendar.Day) string {
	months, edges := wholeMonths(from, to)
	return a.spanned(`SELECT edition, outlet, account, currency, amount FROM entry_sums WHERE `,
		`SELECT l.edition, l.outlet, l.account, l.currency, l.amount`+fromEarning, months, edges)
}

// soldIn are the order lines with a price that was booked in some days, in the place of a table.
func (a *asking) soldIn(from, to calendar.Day) string {
	months, edges := wholeMonths(from, to)
	return a.spanned(`SELECT edition, outlet, currency, line FROM earned_sums WHERE sold = 1 AND `,
		`SELECT l.edition, l.outlet, l.currency, l.line FROM entries e JOIN entry_lines l ON l.entry = e.id WHERE l.account IN `+accountsOf(earnings.Price), months, edges)
}
