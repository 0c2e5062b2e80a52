// Package consign keeps galleries, the prints that they have, and their money.
package consign

import (
	"strconv"

	"solander/consign"
	"solander/fault"
	"solander/ledger"
	"solander/store/engine"
	"solander/store/table"
)

// Galleries are the galleries.
var Galleries = table.Make("galleries", "gallery", func(h *consign.House) table.Columns {
	return table.Columns{
		"id", &h.ID, "name", &h.Name, "address", &h.Address, "email", &h.Email, "outlet", &h.Outlet, "share", &h.Share, "wholesale", &h.Wholesale,
		"bears", &h.Bears, "pay_days", &h.PayDays, "note", &h.Note, "closed", &h.Closed,
	}
})

// Consignments are the prints at galleries.
var Consignments = table.Make("consignments", "print at a gallery", func(p *consign.Print) table.Columns {
	return table.Columns{
		"id", &p.ID, "gallery", &p.Gallery, "edition", &p.Edition, "kind", &p.Number.Kind, "number", &p.Number.N, "turn", &p.Turn, "price", &p.Price,
		"share", &p.Share, "bears", &p.Bears, "went", &p.Went, "due", &p.Due, "state", &p.State, "ended", &p.Ended, "sold", &p.Sold, "kept", &p.Kept,
		"why", &p.Why, "at", &p.At, "who", &p.Who,
	}
})

// Moneys are the money of galleries.
var Moneys = table.Make("gallery_moneys", "money of a gallery", func(m *consign.Money) table.Columns {
	return table.Columns{
		"id", &m.ID, "gallery", &m.Gallery, "kind", &m.Kind, "amount", &m.Amount, "day", &m.Day, "note", &m.Note, "reversed", &m.Reversed,
		"at", &m.At, "who", &m.Who,
	}
})

// ConsignRows are the galleries within one transaction.
type ConsignRows struct{ conn *table.Conn }

// New are the galleries of a transaction.
func New(c *table.Conn) *ConsignRows { return &ConsignRows{c} }

// Galleries returns all, by name.
func (t *ConsignRows) Galleries() ([]consign.House, error) {
	return Galleries.List(t.conn, "ORDER BY name, id")
}

// Gallery returns one. Faults: Missing.
func (t *ConsignRows) Gallery(id int64) (consign.House, error) { return Galleries.Get(t.conn, id) }

// SaveGallery adds a gallery or changes one. Faults: Missing; Taken.
func (t *ConsignRows) SaveGallery(h consign.House) (int64, error) {
	taken := fault.New(fault.Taken, "a gallery is called %q already", h.Name).In("name").ToMend("choose another name")
	if err := t.conn.Free("galleries", "name", h.Name, h.ID, taken); err != nil {
		return 0, err
	}
	id, err := Galleries.Save(t.conn, h)
	return id, engine.When(err, engine.Unique, taken)
}

// Consignments returns prints, the latest that went first.
func (t *ConsignRows) Consignments(q consign.Query) ([]consign.Print, error) {
	where, args := "WHERE 1 = 1", []any(nil)
	if q.Gallery != 0 {
		args = append(args, q.Gallery)
		where += " AND gallery = $" + strconv.Itoa(len(args))
	}
	if q.State != "" {
		args = append(args, q.State)
		where += " AND state = $" + strconv.Itoa(len(args))
	}
	return Consignments.List(t.conn, where+" ORDER BY went DESC, id DESC", args...)
}

// Consignment returns one. Faults: Missing.
func (t *ConsignRows) Consignment(id int64) (consign.Print, error) {
	return Consignments.Get(t.conn, id)
}

var elsewhere = fault.New(fault.Taken, "the number is at a gallery").In("number").ToMend("say first that it came back")

// AddConsignment adds a print. Faults: Taken; Missing.
func (t *ConsignRows) AddConsignment(p consign.Print) (int64, error) {
	id, err := Consignments.Add(t.conn, p)
	t.conn.Touch(Subject, id)
	return id, engine.When(engine.When(err, engine.Unique, elsewhere), engine.Foreign, engine.Missing("gallery %d, or number %s of edition %d", p.Gallery, p.Number, p.Edition))
}

// SaveConsignment keeps what became of a print. Faults: Missing; Taken.
func (t *ConsignRows) SaveConsignment(p consign.Print) error {
	t.conn.Touch(Subject, p.ID)
	_, err := Consignments.Save(t.conn, p)
	return engine.When(err, engine.Unique, elsewhere)
}

// GalleryMoneys returns the money of a gallery, or of all (0), by day.
func (t *ConsignRows) GalleryMoneys(gallery int64) ([]consign.Money, error) {
	return Moneys.List(t.conn, "WHERE gallery = $1 OR $1 = 0 ORDER BY day, id", gallery)
}

// GalleryMoney returns one. Faults: Missing.
func (t *ConsignRows) GalleryMoney(id int64) (consign.Money, error) { return Moneys.Get(t.conn, id) }

// AddGalleryMoney adds money. Faults: Missing.
func (t *ConsignRows) AddGalleryMoney(m consign.Money) (int64, error) {
	id, err := Moneys.Add(t.conn, m)
	t.conn.Touch(MoneySubject, id)
	return id, engine.When(err, engine.Foreign, engine.Missing("gallery %d", m.Gallery))
}

// ReverseGalleryMoney notes that money was entered wrongly. Faults: Missing.
func (t *ConsignRows) ReverseGalleryMoney(id int64) error {
	t.conn.Touch(MoneySubject, id)
	if err := t.conn.TouchAll(ledger.BankLine, `SELECT id FROM bank_lines WHERE gallery_money = $1`, id); err != nil {
		return err
	}
	return t.conn.Change("money of a gallery", id, `UPDATE gallery_moneys SET reversed = 1 WHERE id = $1`, id)
}
