package leaves

import (
	"database/sql"

	"solander/certificate"
	"solander/edition"
	"solander/sealog"
	"solander/store/attest"
	"solander/store/numbers"
	"solander/store/table"
)

// atOnce is how many rows are read at a time.
const atOnce = 4096

// inTurn gives rows one by one, in the order of their ids.
type inTurn[T any] struct {
	after func(id int64) ([]T, error) // up to atOnce of them
	id    func(T) int64
	rows  []T
	at    int // the next of rows
	last  int64
	over  bool
}

func (s *inTurn[T]) next() (row T, found bool, err error) {
	if s.at == len(s.rows) && !s.over {
		if s.rows, err = s.after(s.last); err != nil {
			return row, false, err
		}
		s.at, s.over = 0, len(s.rows) == 0
	}
	if s.at == len(s.rows) {
		return row, false, nil
	}
	row = s.rows[s.at]
	s.at++
	s.last = s.id(row)
	return row, true, nil
}

// back makes the row that came last the next one again.
func (s *inTurn[T]) back() { s.at-- }

// rowsOf are the rows of a table, by a column of whole numbers.
func rowsOf[T any](c *table.Conn, of *table.Of[T], column string, id func(T) int64) inTurn[T] {
	return inTurn[T]{id: id, after: func(last int64) ([]T, error) {
		return of.List(c, "WHERE "+column+" > $1 ORDER BY "+column+" LIMIT $2", last, atOnce)
	}}
}

// entries are those of the register, with whether an erasure blanked the note.
type entries struct {
	inTurn[edition.Entry]
	conn *table.Conn
	gone map[int64]bool // nil = not read
}

func entriesOf(c *table.Conn) *entries {
	return &entries{inTurn: rowsOf(c, numbers.Entries, "seq", func(e edition.Entry) int64 { return e.Seq }), conn: c}
}

func (s *entries) next() (e edition.Entry, blanked, found bool, err error) {
	if s.gone == nil {
		s.gone = map[int64]bool{}
		err := s.conn.Each(`SELECT row_id FROM blanked WHERE part = 'register'`, nil, func(rows *sql.Rows) error {
			var id int64
			err := rows.Scan(&id)
			s.gone[id] = true
			return err
		})
		if err != nil {
			return e, false, false, err
		}
	}
	e, found, err = s.inTurn.next()
	e.Turn = e.After.Turn
	return e, s.gone[e.Seq], found, err
}

// others are rows that have one leaf each, in one order with them, beside entries and editions.
type others struct {
	kind sealog.Kind
	what string
	leaf func() (id int64, l sealog.Leaf, found bool, err error) // of the next row
	lost bool                                                    // rows and leaves are out of step: that was told
}

// other makes others of rows; of an id by which a row is named.
func other[T any](kind sealog.Kind, what string, rows inTurn[T], leafOf func(T) (sealog.Leaf, error)) *others {
	return &others{kind: kind, what: what, leaf: func() (int64, sealog.Leaf, bool, error) {
		row, found, err := rows.next()
		if err != nil || !found {
			return 0, sealog.Leaf{}, false, err
		}
		l, err := leafOf(row)
		if err != nil {
			l = sealog.Leaf{Kind: kind} // what cannot be told is not what was kept
		}
		return rows.last, l, true, nil
	}}
}

func othersOf(c *table.Conn) []*others {
	told := inTurn[certificate.Transfer]{id: func(x certificate.Transfer) int64 { return x.ID }, after: func(last int64) ([]certificate.Transfer, error) {
		return attest.TransfersAfter(c, last, atOnce)
	}}
	return []*others{
		other(certificate.LeafMade, "certificate", rowsOf(c, attest.Certificates, "id", func(k certificate.Kept) int64 { return k.ID }), func(k certificate.Kept) (sealog.Leaf, error) {
			s, err := k.Read()
			return s.Leaf(), err
		}),
		other(certificate.LeafEnded, "end of a certificate", rowsOf(c, attest.Ends, "id", func(e certificate.End) int64 { return e.ID }), func(e certificate.End) (sealog.Leaf, error) { return e.Leaf(), nil }),
		other(certificate.LeafTold, "telling of an owner", told, func(x certificate.Transfer) (sealog.Leaf, error) {
			if !x.Vouched() {
				x.Kept = ""
			}
			return x.Leaf(), nil
		}),
		other(sealog.Closed, "end of an edition", rowsOf(c, attest.Closings, "id", func(e edition.Closing) int64 { return e.ID }), func(e edition.Closing) (sealog.Leaf, error) { return sealog.OfClosing(e), nil }),
	}
}

// next compares the next row with its leaf.
func (o *others) next(k *looking, r *leaf, l sealog.Leaf) error {
	if o.lost {
		return nil
	}
	id, want, found, err := o.leaf()
	switch {
	case err != nil:
		return err
	case !found:
		o.lost = true
		k.tell("leaf %d tells of the %s of %d, which is not there", r.id, o.what, l.Of)
	case sealog.Differs(want, l) == "":
	case want.Of != 0 && want.Of != l.Of:
		o.lost = true
		k.tell("leaf %d tells of the %s of %d, and row %d of another one", r.id, o.what, l.Of, id)
	default:
		k.tell("%s, row %d: it is not what leaf %d tells", o.what, id, r.id)
	}
	return nil
}

// end tells of rows that no leaf tells of.
func (o *others) end(k *looking) error {
	for !o.lost {
		id, _, found, err := o.leaf()
		if err != nil || !found {
			return err
		}
		k.tell("%s, row %d: no leaf tells of it", o.what, id)
	}
	return nil
}
