package bank

import (
	"database/sql"

	"solander/calendar"
	"solander/ledger"
	"solander/store/table"
)

// openings are the days of opening balances of the account Bank, by the part of their entries.
type openings map[string]calendar.Day

// of is the day of the opening balance that holds for an account.
func (o openings) of(account int64) calendar.Day {
	if d := o[ledger.OpenedBank(account)]; !d.IsZero() {
		return d
	}
	return o[ledger.OpenedBank(0)]
}

// openings reads them: of each account the latest day whose entries do not come to nothing, and of none the whole of which does, as when one was entered
// wrongly and again with the other sign.
func (t *BankRows) openings() (openings, error) {
	sums, days := map[string]int64{}, map[string]map[calendar.Day]int64{}
	err := t.conn.Each(`SELECT e.part, CASE WHEN e.true_day <> '' THEN e.true_day ELSE e.day END, l.amount FROM entries e JOIN entry_lines l ON l.entry = e.id AND l.account = $1
		WHERE e.subject = $2 AND e.subject_id = 0`, []any{ledger.Bank, ledger.OpeningOf}, func(rows *sql.Rows) error {
		var part string
		var day calendar.Day
		var amount int64
		if err := rows.Scan(&part, table.Day(&day), &amount); err != nil {
			return err
		}
		if days[part] == nil {
			days[part] = map[calendar.Day]int64{}
		}
		sums[part] += amount
		days[part][day] += amount
		return nil
	})
	latest := openings{}
	for part, of := range days {
		for day, sum := range of {
			if sums[part] != 0 && sum != 0 && day.After(latest[part]) {
				latest[part] = day
			}
		}
	}
	return latest, err
}

// earliest is the day of the first of them.
func (o openings) earliest() (day calendar.Day) {
	for _, d := range o {
		if day.IsZero() || d.Before(day) {
			day = d
		}
	}
	return day
}

// Carried returns for cash that was carried to the bank the day of the opening balance of the account that it went to: of the one whose line it is, or
// while no line is, of the first account that has one; none when there is none.
func (t *BankRows) Carried(ids []int64) (map[int64]calendar.Day, error) {
	o, err := t.openings()
	if err != nil || len(o) == 0 || len(ids) == 0 {
		return nil, err
	}
	out := make(map[int64]calendar.Day, len(ids))
	for _, id := range ids {
		out[id] = o.earliest()
	}
	in, args := table.InList(ids)
	err = t.conn.Each(`SELECT fair_carry, account FROM bank_lines WHERE state = 'matched' AND fair_carry IN `+in, args, func(rows *sql.Rows) error {
		var id, account int64
		err := rows.Scan(&id, &account)
		out[id] = o.of(account)
		return err
	})
	return out, err
}

// BankOpened returns the day of the opening balance that holds for an account; see bankfile.BankStore.
func (t *BankRows) BankOpened(account int64) (calendar.Day, error) {
	o, err := t.openings()
	return o.of(account), err
}

// Reopened says that an opening balance was entered; see bankfile.BankStore.
func (t *BankRows) Reopened(account int64) error {
	if err := t.conn.TouchAll(ledger.FairDay, `SELECT DISTINCT fair_day FROM fair_carries WHERE reversed = 0`); err != nil {
		return err
	}
	return t.conn.TouchAll(ledger.BankLine, `SELECT id FROM bank_lines WHERE state = 'matched' AND (account = $1 OR $1 = 0)`, account)
}
