package house

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"solander/book"
	"solander/dispatch"
	"solander/fault"
	"solander/order"
	"solander/register"
	"solander/studio"
)

// journal is what the marks tell of payments, for check to compare.
type journal struct {
	paid  map[int64]paidMark // by payment
	taken map[int64]string   // what was told when an order was taken, by order
}

// paidMark is the mark of a payment.
type paidMark struct {
	order  int64
	text   string // in today's words
	undone bool
	of     *order.Payment // as it was recorded; nil in older marks
}

func newJournal() journal { return journal{paid: map[int64]paidMark{}, taken: map[int64]string{}} }

// marksAtOnce is how many marks are read at a time.
const marksAtOnce = 2000

const mendJournal = "look at the payment and its paper; what is wrong is put right by paying back or paying anew"

// journal walks all marks: it gathers what they tell of payments, and compares the editions that were declared.
func (c *checking) journal() error {
	return walk(c, marksAtOnce, func(int64) string { return "journal: a mark" }, c.MarksAfter, func(m studio.Mark) (int64, error) {
		return m.ID, c.unread("journal: "+m.Text, c.mark(m))
	})
}

func (c *checking) mark(m studio.Mark) error {
	switch {
	case m.Kind == studio.MarkPaid:
		return dispatch.UndoAs(m, func(u book.UndoPaid) error {
			c.told.paid[u.Payment] = paidMark{m.Order, m.Anew().Text, m.Undone, u.Of}
			return nil
		})
	case m.Kind == studio.MarkOther && m.Order != 0 && strings.Contains(m.Text, " taken: "):
		c.told.taken[m.Order] = m.Text
	case m.Kind == studio.MarkOther && m.Order == 0:
		var d register.Declared
		if err := json.Unmarshal(m.Detail, &d); err != nil {
			return err
		}
		return c.declared(m, d)
	}
	return nil
}

// declared compares editions with what was said when they were declared.
func (c *checking) declared(m studio.Mark, d register.Declared) error {
	for _, said := range d.Declared {
		e, err := c.EditionOf(said.Edition)
		if fault.Is(err, fault.Missing) {
			c.finding("journal: "+m.Text, mendRegister, "edition %d, which was declared, is not there", said.Edition)
			continue
		}
		if err != nil {
			return err
		}
		if now := register.LimitsOf(e); now != said {
			c.finding("register: "+e.Name(c.Set.Units), mendRegister, "it was declared with limit %d and proofs %v of work %d, and has limit %d and proofs %v of work %d",
				said.Limit, said.Proofs, said.Work, now.Limit, now.Proofs, now.Work)
		}
	}
	return nil
}

// payments compares the payments of an order with their marks. What a file brought in has none, and neither has an
// order that was not taken here.
func (c *checking) payments(o order.Order) {
	told := strings.HasPrefix(c.told.taken[o.ID], o.Mark+" taken: ")
	for _, p := range o.Payments {
		m, ok := c.told.paid[p.ID]
		delete(c.told.paid, p.ID)
		switch {
		case !ok && told:
			c.finding("order "+o.Mark, mendJournal, "the journal tells of no %s of %s on %s", p.Kind, p.Amount, p.Day)
		case ok:
			c.payment(o, p, m)
			if p.Reversed != m.undone {
				c.finding("order "+o.Mark, mendJournal, "%s: the journal and the payment contradict each other on whether it was taken back", m.text)
			}
		}
	}
}

func (c *checking) payment(o order.Order, p order.Payment, m paidMark) {
	as := p
	as.Reversed = false
	if m.order != o.ID || m.text != p.Told() || m.of != nil && *m.of != as {
		c.finding("order "+o.Mark, mendJournal, "the payment %d is a %s of %s on %s, the journal says otherwise: %s", p.ID, p.Kind, p.Amount, p.Day, m.text)
	}
}

// orphans looks for the payments that the journal tells of and no order in the book has: of an order whose file was
// taken back, or gone.
func (c *checking) orphans() error {
	if c.lost > 0 {
		return nil // they may be among what cannot be read
	}
	for _, id := range slices.Sorted(maps.Keys(c.told.paid)) {
		m := c.told.paid[id]
		o, err := c.Order(m.order)
		if err != nil && !fault.Is(err, fault.Missing) {
			return err
		}
		i := slices.IndexFunc(o.Payments, func(p order.Payment) bool { return p.ID == id })
		if i < 0 {
			c.finding("journal: "+m.text, mendJournal, "the payment %d of order %d is not there", id, m.order)
			continue
		}
		c.payment(o, o.Payments[i], m)
	}
	return nil
}
