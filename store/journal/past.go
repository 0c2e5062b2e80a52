package journal

import (
	"database/sql"
	"slices"

	"solander/ledger"
	"solander/money"
	"solander/posted"
	"solander/store/stocks"
	"solander/store/table"
	"solander/supply"
)

// Unposted reports whether something stands in the book, and nothing in the journal.
func (t *JournalRows) Unposted() (bool, error) {
	var one int64
	for i, query := range []string{`SELECT 1 FROM entries LIMIT 1`, `SELECT 1 FROM layers LIMIT 1`, `SELECT 1 FROM moves LIMIT 1`, `SELECT 1 FROM payments LIMIT 1`, `SELECT 1 FROM lines WHERE sent = 1 LIMIT 1`} {
		found, err := t.conn.One(query, nil, &one)
		if err != nil || found {
			return i > 1, err
		}
	}
	return false, nil
}

// PostPast enters all that happened before there was a journal, each on its own day; where there is one, what it did not know of yet.
func (t *JournalRows) PostPast() error {
	missing, err := t.Unposted()
	if err != nil {
		return err
	}
	k := &keeping{JournalRows: t}
	if !missing {
		return k.learnt()
	}
	if err := k.pastOf(false); err != nil {
		return err
	}
	if err := k.pastMoves(); err != nil {
		return err
	}
	return k.pastOf(true)
}

// learnt enters what the journal did not know of when it was kept: lines of the bank, which of them lie before an opening balance, as does cash of days at
// a table, and what the bank made of money in another currency; and which print at a gallery took which cost along.
func (k *keeping) learnt() error {
	for _, s := range k.sources {
		if s.Kind != ledger.BankLine && s.Kind != ledger.Consignment && s.Kind != ledger.FairDay {
			continue
		}
		if err := k.allOf(s, true); err != nil {
			return err
		}
	}
	return nil
}

// pastOf enters what there is of the kinds of subject that know what sheets cost, or of the others.
func (k *keeping) pastOf(costs bool) error {
	for _, s := range k.sources {
		if s.Costs != costs {
			continue
		}
		if err := k.allOf(s, false); err != nil {
			return err
		}
	}
	return nil
}

// allOf enters what all subjects of a kind ought to have; stood: and did not have yet.
func (k *keeping) allOf(s Source, stood bool) error {
	ids, err := table.Values[int64](k.conn, s.All)
	if err != nil {
		return err
	}
	for part := range slices.Chunk(ids, table.Batch) {
		if err := k.subjects(s, part, stood); err != nil {
			return err
		}
		if err := k.write(); err != nil {
			return err
		}
	}
	return nil
}

// movesAtOnce are read, followed and written together.
const movesAtOnce = 4096

// pastMoves lets the layers follow all moves there were.
func (k *keeping) pastMoves() error {
	p, err := k.rememberPast()
	if err != nil {
		return err
	}
	last := int64(0)
	for {
		moves, err := stocks.Moves.List(k.conn, "WHERE id > $1 ORDER BY id LIMIT $2", last, movesAtOnce)
		if err != nil || len(moves) == 0 {
			return err
		}
		last = moves[len(moves)-1].ID
		if err := p.explain(moves); err != nil {
			return err
		}
		if err := k.moves(moves); err != nil {
			return err
		}
		if err := k.write(); err != nil {
			return err
		}
	}
}

// past is what moves without a cause are explained by.
type past struct {
	*keeping
	runs  map[int64]*supply.Run
	each  map[stockOf]money.Amount // what one costs that no run brought
	taken map[int64]bool           // lines that have their sheet
	moved map[stockOf]bool         // stocks that were moved before
}

func (k *keeping) rememberPast() (*past, error) {
	p := &past{keeping: k, runs: map[int64]*supply.Run{}, each: map[stockOf]money.Amount{}, taken: map[int64]bool{}, moved: map[stockOf]bool{}}
	set, err := k.house.Settings()
	if err != nil {
		return nil, err
	}
	runs, err := k.stock.Runs(false)
	if err != nil {
		return nil, err
	}
	for _, r := range runs {
		p.runs[r.ID] = &r
	}
	shelf, err := k.stock.Shelf()
	if err != nil {
		return nil, err
	}
	for _, s := range shelf {
		p.each[stockOf{supply.Packaging, s.ID}] = money.Of(s.Spec.Cost, set.Currency)
	}
	err = k.conn.Each(`SELECT id, print_cost, print_cost_currency FROM editions`, nil, func(rows *sql.Rows) error {
		var id int64
		var a money.Amount
		err := rows.Scan(&id, &a.Minor, &a.Currency)
		p.each[stockOf{supply.Sheets, id}] = a
		return err
	})
	return p, err
}

// explain gives moves the causes that their reasons tell.
func (p *past) explain(moves []supply.Move) error {
	orders := make([][]string, len(moves))
	var marks []string
	for i := range moves {
		m := &moves[i]
		of := stockOf{m.Kind, m.Of}
		if m.Cause == "" {
			if m.Why, orders[i] = posted.Past(*m); m.Cause == supply.Counted {
				m.Cause = supply.CauseOfCount(m.Delta, p.moved[of])
			}
			marks = append(marks, orders[i]...)
			p.price(m)
		}
		p.moved[of] = p.moved[of] || m.Cause.Moves()
	}
	lines := map[string][]posted.Print{}
	parcel := map[int64]int64{}
	err := eachIn(p.conn, `SELECT o.mark, l.id, l.edition, coalesce(l.parcel, 0) FROM lines l JOIN orders o ON o.id = l.order_id WHERE o.mark IN `, marks, func(rows *sql.Rows) error {
		var x posted.Print
		var in int64
		err := rows.Scan(&x.Mark, &x.Line, &x.Edition, &in)
		if _, known := parcel[x.Line]; !known {
			lines[x.Mark] = append(lines[x.Mark], x)
		}
		parcel[x.Line] = in
		return err
	})
	for i := range moves {
		for _, mark := range orders[i] {
			p.belongs(&moves[i], lines[mark], parcel)
		}
	}
	return err
}

// belongs finds the line of a sheet, one after the other, and the parcel of packaging.
func (p *past) belongs(m *supply.Move, lines []posted.Print, parcel map[int64]int64) {
	for _, l := range lines {
		switch {
		case m.Kind == supply.Packaging:
			if m.Parcel == 0 {
				m.Parcel = parcel[l.Line]
			}
		case m.Line == 0 && l.Edition == m.Of && p.taken[l.Line] == (m.Cause == supply.CameBack):
			m.Line, p.taken[l.Line] = l.Line, m.Cause == supply.HandedOver
			if m.Cause == supply.HandedOver {
				m.Parcel = parcel[l.Line]
			}
		}
	}
}

// price says what came in cost, or did not come after all: by its run, else as it is known now.
func (p *past) price(m *supply.Move) {
	each, n := p.each[stockOf{m.Kind, m.Of}], int64(m.Delta)
	switch m.Cause {
	case supply.Received, supply.NotReceived:
		r := p.runs[m.Run]
		if r == nil {
			return
		}
		for i, x := range r.Receipts { // each is found once, in order
			if x.Good == m.Delta {
				each, n = r.UnitCost, int64(x.Good+x.Rejected)
				r.Receipts = append(r.Receipts[:i:i], r.Receipts[i+1:]...)
				break
			}
		}
	case supply.FirstCount, supply.BroughtIn, supply.Restocked, supply.NotRestock:
	case supply.Counted:
		if m.Delta < 0 {
			return
		}
	default:
		return
	}
	m.Cost = money.Of(each.Minor*n, each.Currency)
}
