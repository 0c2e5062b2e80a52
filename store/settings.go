package store

import (
	"cmp"
	"database/sql"
	"encoding/json"
	"slices"

	"solander/fault"
	"solander/order"
	"solander/studio"
)

func (t *tx) Settings() (studio.Settings, error) {
	var s studio.Settings
	_, err := t.one(`SELECT body FROM settings WHERE id = 1`, nil, inJSON{&s})
	return s, err
}

func (t *tx) SaveSettings(s studio.Settings) error {
	t.memory.prefix = ""
	body, err := asJSON(s)
	if err != nil {
		return err
	}
	_, err = t.exec(`INSERT INTO settings (id, body) VALUES (1, $1) ON CONFLICT (id) DO UPDATE SET body = excluded.body`, body)
	return err
}

const outletColumns = "id, name, fee_permille, fee_fixed, fee_fixed_currency, promise_days, collects_tax, price_inc_post, closed"

func scanOutlet(rows *sql.Rows) (o order.Outlet, err error) {
	err = rows.Scan(&o.ID, &o.Name, &o.FeePermille, &o.FeeFixed.Minor, &o.FeeFixed.Currency, &o.PromiseDays, &o.CollectsTax, &o.PriceIncPost, &o.Closed)
	return o, err
}

func (t *tx) Outlets() ([]order.Outlet, error) {
	out, err := list(t, scanOutlet, selectFrom("outlets", outletColumns, ""))
	slices.SortFunc(out, func(a, b order.Outlet) int {
		return cmp.Or(byText(a.Name, b.Name), cmp.Compare(a.ID, b.ID))
	})
	return out, err
}

func (t *tx) Outlet(id int64) (order.Outlet, error) {
	out, err := list(t, scanOutlet, selectFrom("outlets", outletColumns, "WHERE id = $1"), id)
	return only(out, err, "outlet %d", id)
}

func (t *tx) SaveOutlet(o order.Outlet) (int64, error) {
	taken := fault.New(fault.Taken, "there is an outlet %q already", o.Name).ToMend("choose another name").In("name")
	var holder int64
	found, err := t.one(`SELECT id FROM outlets WHERE name = $1`, []any{o.Name}, &holder)
	switch {
	case err != nil:
		return 0, err
	case found && holder != o.ID:
		return 0, taken
	}
	values := func() []any {
		return []any{o.ID, o.Name, o.FeePermille, o.FeeFixed.Minor, o.FeeFixed.Currency, o.PromiseDays, o.CollectsTax, o.PriceIncPost, o.Closed}
	}
	if o.ID != 0 {
		err = t.change("outlet", o.ID, updateOf("outlets", outletColumns), values()...)
		return o.ID, when(err, unique, taken)
	}
	if o.ID, err = t.next("outlets"); err != nil {
		return 0, err
	}
	_, err = t.exec(insertInto("outlets", outletColumns), values()...)
	return o.ID, when(err, unique, taken)
}

func (t *tx) Cards() ([]studio.StoredCard, error) {
	return list(t, func(rows *sql.Rows) (c studio.StoredCard, err error) {
		err = rows.Scan(&c.ID, rawJSON{&c.Card})
		return c, err
	}, `SELECT id, card FROM cards ORDER BY id`)
}

func (t *tx) SaveCard(c studio.StoredCard) error {
	if !json.Valid(c.Card) {
		return fault.Invalidf("card", "the price card is no JSON").ToMend("see docs/formats/tariff.md")
	}
	_, err := t.exec(`INSERT INTO cards (id, card) VALUES ($1, $2) ON CONFLICT (id) DO UPDATE SET card = excluded.card`, c.ID, string(c.Card))
	return err
}

func (t *tx) DropCard(id string) error {
	n, err := t.exec(`DELETE FROM cards WHERE id = $1`, id)
	return must(n > 0, err, "price card %q", id)
}

// only returns the one row that was asked for by id.
func only[T any](rows []T, err error, what string, args ...any) (T, error) {
	var none T
	if err := must(len(rows) > 0, err, what, args...); err != nil {
		return none, err
	}
	return rows[0], nil
}

// byText compares as a person sorts: without regard to case and accents first.
func byText(a, b string) int { return cmp.Or(cmp.Compare(fold(a), fold(b)), cmp.Compare(a, b)) }
