// Package house keeps what the studio chose: its settings, its outlets and its own price cards.
package house

import (
	"cmp"
	"encoding/json"
	"time"

	"solander/fault"
	"solander/order"
	"solander/store/table"
	"solander/store/words"
	"solander/studio"
)

// Outlets are the outlets.
var Outlets = table.Make("outlets", "outlet", func(o *order.Outlet) table.Columns {
	return table.Columns{
		"id", &o.ID, "name", &o.Name,
		"promise_days", &o.PromiseDays, "collects_tax", &o.CollectsTax, "price_inc_post", &o.PriceIncPost,
		"closed", &o.Closed, "fees", table.JSON(&o.Fees),
	}
})

// Cards are the studio's own price cards.
var Cards = table.Make("cards", "price card", func(c *studio.StoredCard) table.Columns {
	return table.Columns{"id", &c.ID, "card", table.Raw(&c.Card)}
})

// SettingsRows are settings, outlets and price cards within one transaction.
type SettingsRows struct {
	conn   *table.Conn
	prefix string  // of the marks of orders; "" = not read
	zone   *string // the studio's time zone; nil = not read
}

// New is what the studio chose, as a transaction sees it.
func New(c *table.Conn) *SettingsRows { return &SettingsRows{conn: c} }

// Settings returns the settings; the zero Settings before set-up.
func (t *SettingsRows) Settings() (studio.Settings, error) {
	var s studio.Settings
	_, err := t.conn.One(`SELECT body FROM settings WHERE id = 1`, nil, table.JSON(&s))
	t.zone = &s.TimeZone
	return s, err
}

// Place is where the studio stands, by whose days the journal is kept. It is read once a transaction.
func (t *SettingsRows) Place() (*time.Location, error) {
	if t.zone == nil {
		if _, err := t.Settings(); err != nil {
			return nil, err
		}
	}
	return studio.Settings{TimeZone: *t.zone}.Place(), nil
}

// SaveSettings keeps the settings whole.
func (t *SettingsRows) SaveSettings(s studio.Settings) error {
	t.prefix, t.zone = "", nil
	body, err := table.AsJSON(s)
	if err != nil {
		return err
	}
	_, err = t.conn.Exec(`INSERT INTO settings (id, body) VALUES (1, $1) ON CONFLICT (id) DO UPDATE SET body = excluded.body`, body)
	return err
}

// MarkPrefix is what the marks of orders begin with: "S" when the studio chose nothing. It is read once a transaction.
func (t *SettingsRows) MarkPrefix() (string, error) {
	if t.prefix == "" {
		s, err := t.Settings()
		if err != nil {
			return "", err
		}
		t.prefix = cmp.Or(s.MarkPrefix, "S")
	}
	return t.prefix, nil
}

// Outlets returns all outlets, by name.
func (t *SettingsRows) Outlets() ([]order.Outlet, error) {
	out, err := Outlets.List(t.conn, "")
	words.ByName(out, func(x order.Outlet) (string, int64) { return x.Name, x.ID })
	return out, err
}

// Outlet reads an outlet.
func (t *SettingsRows) Outlet(id int64) (order.Outlet, error) { return Outlets.Get(t.conn, id) }

// SaveOutlet adds an outlet, or changes one. Faults: Taken when its name is in use.
func (t *SettingsRows) SaveOutlet(o order.Outlet) (int64, error) {
	taken := fault.New(fault.Taken, "there is an outlet %q already", o.Name).ToMend("choose another name").In("name")
	return Outlets.SaveNamed(t.conn, o, "name", o.Name, taken)
}

// Cards returns the price cards, by id.
func (t *SettingsRows) Cards() ([]studio.StoredCard, error) { return Cards.List(t.conn, "ORDER BY id") }

// SaveCard keeps a price card under its id, in the place of one that is there.
func (t *SettingsRows) SaveCard(c studio.StoredCard) error {
	if !json.Valid(c.Card) {
		return fault.Invalidf("card", "the price card is no JSON").ToMend("see docs/formats/tariff.md")
	}
	_, err := Cards.Insert(t.conn, c, ` ON CONFLICT (id) DO UPDATE SET card = excluded.card`)
	return err
}

// DropCard forgets a price card. Faults: Missing.
func (t *SettingsRows) DropCard(id string) error {
	n, err := t.conn.Exec(`DELETE FROM cards WHERE id = $1`, id)
	return table.Must(n > 0, err, "price card %q", id)
}
