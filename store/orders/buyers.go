package orders

import (
	"fmt"
	"slices"

	"solander/order"
	"solander/store/table"
	"solander/store/words"
)

// Buyers are the buyers; see PeopleRows.
var Buyers = table.Make("buyers", "buyer", func(b *order.Buyer) table.Columns {
	return table.Columns{
		"id", &b.ID, "name", &b.Name, "email", &b.Email, "phone", &b.Phone, "note", &b.Note,
		"same_as", table.Ref(&b.SameAs), "apart", &b.Apart,
	}
})

// PeopleRows are buyers, and who of them is the same person, within one transaction.
type PeopleRows struct {
	conn   *table.Conn
	index  *words.Index
	orders *OrderRows
	kept   *KeptBuyers // nil = none are
}

// People are the buyers of a transaction.
func People(c *table.Conn, x *words.Index, o *OrderRows, k *KeptBuyers) *PeopleRows {
	return &PeopleRows{c, x, o, k}
}

// Buyer reads a buyer.
func (t *PeopleRows) Buyer(id int64) (order.Buyer, error) { return Buyers.Get(t.conn, id) }

// BuyersByID returns those of the buyers that are there, by id.
func (t *PeopleRows) BuyersByID(ids []int64) (map[int64]order.Buyer, error) {
	found, err := t.kept.Or(t.conn, fmt.Sprint(ids), slices.Clone, func() ([]order.Buyer, error) { return Buyers.In(t.conn, "id", ids, "") })
	out := make(map[int64]order.Buyer, len(ids))
	for _, b := range found {
		out[b.ID] = b
	}
	return out, err
}

// Buyers returns the latest buyers that a text finds (name, e-mail, phone), by name; with an empty
// text the latest of all. limit 0 = 50.
func (t *PeopleRows) Buyers(text string, limit int) ([]order.Buyer, error) {
	if limit <= 0 {
		limit = 50
	}
	f, err := t.index.FindBuyers(text)
	if err != nil || f.Nothing {
		return nil, err
	}
	f.Where = append(f.Where, "r.same_as IS NULL", "NOT ("+words.GoneBuyer+")", "NOT "+words.ErasedBuyer)
	out, err := Buyers.Read(t.conn, "SELECT "+Buyers.Under("r")+" FROM "+f.From+" "+f.Condition()+" ORDER BY "+f.ID+" DESC LIMIT "+f.Arg(limit), f.Args)
	words.ByName(out, func(x order.Buyer) (string, int64) { return x.Name, x.ID })
	return out, err
}

// SaveBuyer adds a buyer, or changes one. Faults: Missing.
func (t *PeopleRows) SaveBuyer(b order.Buyer) (int64, error) {
	if err := t.staleKeeper(b.ID); err != nil {
		return b.ID, err
	}
	var err error
	if b.ID, err = Buyers.Save(t.conn, b); err != nil {
		return b.ID, err
	}
	t.index.StaleBuyer(b.ID)
	if b.SameAs != 0 {
		t.index.StaleBuyer(b.SameAs)
	}
	return b.ID, t.putPerson(b)
}

// staleKeeper says that the words of whom a buyer was taken as change with hers.
func (t *PeopleRows) staleKeeper(id int64) error {
	if id == 0 {
		return nil
	}
	var as int64
	found, err := t.conn.One(`SELECT same_as FROM buyers WHERE id = $1 AND same_as IS NOT NULL`, []any{id}, &as)
	if found {
		t.index.StaleBuyer(as)
	}
	return err
}
