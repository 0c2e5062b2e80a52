package journal

import (
	"cmp"
	"slices"

	"solander/ledger"
	"solander/studio"
)

// write enters what was gathered: lines first, so that the entries are refused when they do not balance.
func (k *keeping) write() error {
	lines, err := k.made()
	if err != nil {
		return err
	}
	sums, earned := ledger.SumsOf(k.entries), earnedOfEntries(k.entries)
	f, err := k.follows(earned)
	if err != nil {
		return err
	}
	slices.SortFunc(sums, bySum)
	if err := Lines.InsertTold(k.conn, lines); err != nil {
		return err
	}
	if err := Entries.InsertTold(k.conn, k.entries); err != nil {
		return err
	}
	k.entries = nil
	if err := EarnedSums.InsertSoon(k.conn, earned, keepEarned); err != nil {
		return err
	}
	if err := f.write(k.conn); err != nil {
		return err
	}
	return Totals.InsertSoon(k.conn, sums, ` ON CONFLICT (month, account, currency, outlet, edition) DO UPDATE SET amount = entry_sums.amount + excluded.amount`)
}

// made gives what was gathered its ids, days and instants, and returns its lines.
func (k *keeping) made() (lines []entryLine, err error) {
	if len(k.entries) == 0 {
		return nil, nil
	}
	if _, err := k.day(); err != nil {
		return nil, err
	}
	for i := range k.entries {
		e := k.entries[i].Opened(k.until)
		if err := ledger.Balanced(e.Lines); err != nil {
			return nil, err
		}
		if e.ID, err = k.conn.Next(Entries.Name); err != nil {
			return nil, err
		}
		e.At, e.Who = k.conn.Now(), studio.Who(k.conn.Context())
		for place, l := range e.Lines {
			lines = append(lines, entryLine{e.ID, int64(place), l})
		}
		k.entries[i] = e
	}
	return lines, nil
}

func bySum(a, b ledger.Sum) int {
	return cmp.Or(cmp.Compare(a.Month, b.Month), cmp.Compare(a.Account, b.Account), cmp.Compare(a.Amount.Currency, b.Amount.Currency),
		cmp.Compare(a.Outlet, b.Outlet), cmp.Compare(a.Edition, b.Edition))
}

// Enter enters what no row of the book says, such as an opening balance; it gets its id, instant and person. An entry of a closed period
// goes to the first day that is open. Faults: Invalid when it does not balance.
func (t *JournalRows) Enter(e ledger.Entry) error {
	k := &keeping{JournalRows: t, entries: []ledger.Entry{e}}
	return k.write()
}
