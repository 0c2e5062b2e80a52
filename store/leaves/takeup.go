package leaves

import (
	"solander/sealog"
	"solander/store/numbers"
	"solander/store/table"
)

const untaken = `SELECT value FROM counters WHERE name = 'to_take_up'`

// Untaken reports whether editions were declared before there was a log, and are not in it yet.
func (t *LeafRows) Untaken() (bool, error) {
	n, err := table.Values[int64](t.conn, untaken)
	return len(n) > 0 && n[0] > 0, err
}

// TakeUp brings editions and entries into the log that are older than it. The log says how many, and from when on it was kept.
func (t *LeafRows) TakeUp() error {
	if is, err := t.Untaken(); err != nil || !is {
		return err
	}
	if _, err := t.conn.Exec(`UPDATE counters SET value = 0 WHERE name = 'to_take_up'`); err != nil {
		return err
	}
	if err := t.now(); err != nil || t.log.ID != 0 {
		return err
	}
	var editions, entries int64
	if _, err := t.conn.One(`SELECT (SELECT count(*) FROM editions), (SELECT count(*) FROM register)`, nil, &editions, &entries); err != nil {
		return err
	}
	if _, err := t.BeginLog("taken up"); err != nil {
		return err
	}
	first := sealog.Leaf{Kind: sealog.TakenUp, Facts: []sealog.Fact{sealog.Int("editions", editions), sealog.Int("entries", entries)}}
	if err := add(t, []sealog.Leaf{first}, itself); err != nil {
		return err
	}
	if err := t.takeUpEditions(); err != nil {
		return err
	}
	for last := int64(0); ; {
		rows, err := numbers.Entries.List(t.conn, "WHERE seq > $1 ORDER BY seq LIMIT 1024", last)
		if err != nil || len(rows) == 0 {
			return err
		}
		for i := range rows {
			rows[i].Turn, last = rows[i].After.Turn, rows[i].Seq
		}
		if err := t.AppendEntries(rows); err != nil {
			return err
		}
	}
}

func (t *LeafRows) takeUpEditions() error {
	works, err := numbers.Works.List(t.conn, "")
	if err != nil {
		return err
	}
	all, err := numbers.Editions.List(t.conn, "ORDER BY id")
	if err != nil {
		return err
	}
	for _, e := range all {
		year := 0
		for _, w := range works {
			if w.ID == e.Work {
				e.Title, year = w.Title, w.Year
			}
		}
		if err := t.AppendDeclared(e, year); err != nil {
			return err
		}
	}
	return nil
}
