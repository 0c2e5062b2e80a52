// Package fairs keeps days at a table with their costs.
package fairs

import (
	"solander/calendar"
	"solander/fair"
	"solander/fault"
	"solander/ledger"
	"solander/order"
	"solander/posted"
	"solander/store/engine"
	"solander/store/orders"
	"solander/store/table"
)

// Days are the days.
var Days = table.Make("fair_days", "day at a table", func(d *fair.Day) table.Columns {
	return table.Columns{
		"id", &d.ID, "outlet", &d.Outlet, "day", &d.Day, "name", &d.Name, "till_float", &d.Float, "ended", &d.Ended, "counted", &d.Counted, "why", &d.Why,
		"minutes", &d.Minutes, "dropped", &d.Dropped, "at", &d.At, "who", &d.Who,
	}
})

// Costs are the costs of days.
var Costs = table.Make("fair_costs", "cost of a day at a table", func(c *fair.Cost) table.Columns {
	return table.Columns{
		"id", &c.ID, "fair_day", &c.FairDay, "kind", &c.Kind, "amount", &c.Amount, "from_box", &c.FromBox, "note", &c.Note, "reversed", &c.Reversed,
		"at", &c.At, "who", &c.Who,
	}
})

// Carries are cash that was carried to the bank.
var Carries = table.Make("fair_carries", "cash carried to the bank", func(c *fair.Carry) table.Columns {
	return table.Columns{
		"id", &c.ID, "fair_day", &c.FairDay, "amount", &c.Amount, "day", &c.Day, "note", &c.Note, "reversed", &c.Reversed, "at", &c.At, "who", &c.Who,
	}
})

// FairRows are the days within one transaction.
type FairRows struct {
	conn   *table.Conn
	orders *orders.OrderRows
	opened func(carries []int64) (map[int64]calendar.Day, error)
}

// New are the days of a transaction. opened says for cash that was carried to the bank the day of the opening balance of its account.
func New(c *table.Conn, o *orders.OrderRows, opened func(carries []int64) (map[int64]calendar.Day, error)) *FairRows {
	return &FairRows{c, o, opened}
}

// FairDays returns all, the latest first.
func (t *FairRows) FairDays() ([]fair.Day, error) {
	return Days.List(t.conn, "ORDER BY day DESC, id DESC")
}

// FairDay returns one. Faults: Missing.
func (t *FairRows) FairDay(id int64) (fair.Day, error) { return Days.Get(t.conn, id) }

// SaveFairDay adds a day or changes one. Faults: Missing; Taken.
func (t *FairRows) SaveFairDay(d fair.Day) (int64, error) {
	id, err := Days.Save(t.conn, d)
	t.conn.Touch(ledger.FairDay, id)
	taken := fault.New(fault.Taken, "that outlet has a day at the table on %s already", d.Day.Long()).In("day").ToMend("go on with that one")
	return id, engine.When(engine.When(err, engine.Unique, taken), engine.Foreign, engine.Missing("outlet %d", d.Outlet))
}

// FairCosts returns the costs of a day, as they were entered.
func (t *FairRows) FairCosts(day int64) ([]fair.Cost, error) {
	return Costs.List(t.conn, "WHERE fair_day = $1 ORDER BY id", day)
}

// FairCost returns one. Faults: Missing.
func (t *FairRows) FairCost(id int64) (fair.Cost, error) { return Costs.Get(t.conn, id) }

// AddFairCost adds a cost. Faults: Missing.
func (t *FairRows) AddFairCost(c fair.Cost) (int64, error) {
	t.conn.Touch(ledger.FairDay, c.FairDay)
	id, err := Costs.Add(t.conn, c)
	return id, engine.When(err, engine.Foreign, engine.Missing("day %d at a table", c.FairDay))
}

// ReverseFairCost notes that a cost was entered wrongly. Faults: Missing.
func (t *FairRows) ReverseFairCost(id int64) error {
	c, err := t.FairCost(id)
	if err != nil {
		return err
	}
	t.conn.Touch(ledger.FairDay, c.FairDay)
	return t.conn.Change("cost of a day at a table", id, `UPDATE fair_costs SET reversed = 1 WHERE id = $1`, id)
}

// FairCarries returns what of a day's cash was carried to the bank, as it was entered.
func (t *FairRows) FairCarries(day int64) ([]fair.Carry, error) {
	return Carries.List(t.conn, "WHERE fair_day = $1 ORDER BY id", day)
}

// FairCarry returns one. Faults: Missing.
func (t *FairRows) FairCarry(id int64) (fair.Carry, error) { return Carries.Get(t.conn, id) }

// AddFairCarry adds one. Faults: Missing.
func (t *FairRows) AddFairCarry(c fair.Carry) (int64, error) {
	t.conn.Touch(ledger.FairDay, c.FairDay)
	id, err := Carries.Add(t.conn, c)
	return id, engine.When(err, engine.Foreign, engine.Missing("day %d at a table", c.FairDay))
}

// ReverseFairCarry notes that one was entered wrongly. Faults: Missing.
func (t *FairRows) ReverseFairCarry(id int64) error {
	c, err := t.FairCarry(id)
	if err != nil {
		return err
	}
	t.conn.Touch(ledger.FairDay, c.FairDay)
	if err := t.conn.TouchAll(ledger.BankLine, `SELECT id FROM bank_lines WHERE fair_carry = $1`, id); err != nil {
		return err
	}
	return t.conn.Change("cash carried to the bank", id, `UPDATE fair_carries SET reversed = 1 WHERE id = $1`, id)
}

// FairOrders returns the orders of a day.
func (t *FairRows) FairOrders(d fair.Day) ([]order.Order, error) {
	ids, err := table.Values[int64](t.conn, `SELECT id FROM orders WHERE outlet = $1 AND in_person = 1
		AND id IN (SELECT id FROM orders WHERE outlet = $1 AND placed = $2 UNION SELECT order_id FROM payments WHERE day = $2) ORDER BY id`, d.Outlet, d.Day)
	if err != nil || len(ids) == 0 {
		return nil, err
	}
	return t.orders.OrdersByID(ids)
}

// OfOrders is the query of the days whose takings follow from some orders.
const OfOrders = `SELECT DISTINCT f.id FROM fair_days f JOIN orders o ON o.outlet = f.outlet JOIN payments p ON p.order_id = o.id AND p.day = f.day
	WHERE f.dropped = 0 AND o.id IN `

// Events returns what days ought to have in the journal.
func (t *FairRows) Events(ids []int64) (map[int64][]ledger.Event, error) {
	days, err := Days.In(t.conn, "id", ids, "ORDER BY id")
	if err != nil {
		return nil, err
	}
	out := make(map[int64][]ledger.Event, len(days))
	for _, d := range days {
		orders, err := t.FairOrders(d)
		if err != nil {
			return nil, err
		}
		costs, err := t.FairCosts(d.ID)
		if err != nil {
			return nil, err
		}
		carried, err := t.carried(d.ID)
		if err != nil {
			return nil, err
		}
		out[d.ID] = posted.FairDay(d, d.Taken(orders, d.Float.Currency), costs, carried)
	}
	return out, nil
}

// carried is what of a day's cash was carried to the bank.
func (t *FairRows) carried(day int64) ([]posted.Carried, error) {
	all, err := t.FairCarries(day)
	if err != nil {
		return nil, err
	}
	ids := make([]int64, len(all))
	for i, c := range all {
		ids[i] = c.ID
	}
	opened, err := t.opened(ids)
	if err != nil {
		return nil, err
	}
	out := make([]posted.Carried, len(all))
	for i, c := range all {
		out[i] = posted.Carried{Carry: c, Opened: opened[c.ID]}
	}
	return out, nil
}
