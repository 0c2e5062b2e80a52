package store

import (
	"cmp"
	"database/sql"
	"slices"
	"strings"

	"solander/order"
)

const buyerColumns = "id, name, email, phone, note, same_as, apart"

func scanBuyer(rows *sql.Rows) (b order.Buyer, err error) {
	err = rows.Scan(&b.ID, &b.Name, &b.Email, &b.Phone, &b.Note, reference{&b.SameAs}, &b.Apart)
	return b, err
}

func (t *tx) Buyer(id int64) (order.Buyer, error) {
	out, err := list(t, scanBuyer, selectFrom("buyers", buyerColumns, "WHERE id = $1"), id)
	return only(out, err, "buyer %d", id)
}

// BuyersByID returns those of the buyers that are there, by id.
func (t *tx) BuyersByID(ids []int64) (map[int64]order.Buyer, error) {
	out := make(map[int64]order.Buyer, len(ids))
	for part := range slices.Chunk(ids, batch) {
		in, args := inList(part)
		found, err := list(t, scanBuyer, selectFrom("buyers", buyerColumns, "WHERE id IN "+in), args...)
		if err != nil {
			return nil, err
		}
		for _, b := range found {
			out[b.ID] = b
		}
	}
	return out, nil
}

// Buyers returns the latest buyers that a text finds (name, e-mail, phone), by name; with an empty
// text the latest of all. limit 0 = 50.
func (t *tx) Buyers(text string, limit int) ([]order.Buyer, error) {
	if limit <= 0 {
		limit = 50
	}
	from, id, where := "buyers r", "r.id", "WHERE r.same_as IS NULL AND NOT ("+goneBuyer+") "
	var args []any
	if terms := asked(text); len(terms) > 0 {
		if err := t.searching(); err != nil {
			return nil, err
		}
		s := t.dialect.buyers
		from, id, where, args = s.from, s.id, where+"AND "+s.match+" ", []any{t.dialect.query(terms)}
	} else if strings.TrimSpace(text) != "" {
		return nil, nil
	}
	mark := "$1"
	if len(args) > 0 {
		mark = "$2"
	}
	out, err := list(t, scanBuyer, selectFrom(from, "r."+spread(buyerColumns, "r"), where+"ORDER BY "+id+" DESC LIMIT "+mark), append(args, limit)...)
	slices.SortFunc(out, func(a, b order.Buyer) int {
		return cmp.Or(byText(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	return out, err
}

func (t *tx) SaveBuyer(b order.Buyer) (int64, error) {
	values := func() []any { return []any{b.ID, b.Name, b.Email, b.Phone, b.Note, optional(b.SameAs), b.Apart} }
	var err error
	if b.ID != 0 {
		if err = t.staleKeeper(b.ID); err != nil {
			return b.ID, err
		}
		err = t.change("buyer", b.ID, updateOf("buyers", buyerColumns), values()...)
	} else if b.ID, err = t.next("buyers"); err == nil {
		_, err = t.exec(insertInto("buyers", buyerColumns), values()...)
	}
	if err != nil {
		return b.ID, err
	}
	t.staleBuyer(b.ID)
	if b.SameAs != 0 {
		t.staleBuyer(b.SameAs)
	}
	return b.ID, t.putPerson(b)
}

// staleKeeper says that the words of whom a buyer was taken as change with hers.
func (t *tx) staleKeeper(id int64) error {
	var as int64
	found, err := t.one(`SELECT same_as FROM buyers WHERE id = $1 AND same_as IS NOT NULL`, []any{id}, &as)
	if found {
		t.staleBuyer(as)
	}
	return err
}
