// Package phones keeps the phones that were let in, and the codes that let them in. Of both only hashes are kept.
package phones

import (
	"time"

	"solander/access"
	"solander/store/engine"
	"solander/store/table"
)

// Codes let one phone in.
var Codes = table.Make("phone_codes", "code", func(c *access.PhoneCode) table.Columns {
	return table.Columns{
		"id", &c.ID, "hash", &c.Hash, "person", &c.Person, "most", &c.Most, "made_at", &c.Made, "ends_at", &c.Ends, "tries", &c.Tries,
		"used_at", &c.Used, "phone", table.Ref(&c.Phone),
	}
})

// Keys say how the keys of phones turn.
var Keys = table.Make("phone_keys", "phone", func(k *access.PhoneKey) table.Columns {
	return table.Columns{
		"device", &k.Device, "family", &k.Family, "before", &k.Before, "turned_at", &k.Turned, "settled", &k.Settled, "cloned_at", &k.Cloned,
		"hidden", &k.Hidden,
	}
})

// PhoneRows are the phones within one transaction.
type PhoneRows struct{ conn *table.Conn }

// New are the phones of a transaction.
func New(c *table.Conn) *PhoneRows { return &PhoneRows{c} }

// PhoneCodes returns all, newest first.
func (t *PhoneRows) PhoneCodes() ([]access.PhoneCode, error) {
	return Codes.List(t.conn, "ORDER BY id DESC")
}

// SavePhoneCode adds a code or changes one. Faults: Missing.
func (t *PhoneRows) SavePhoneCode(c access.PhoneCode) (int64, error) {
	id, err := Codes.Save(t.conn, c)
	return id, engine.When(err, engine.Foreign, engine.Missing("person %d or device %d", c.Person, c.Phone))
}

// ForgetPhoneCodes forgets those that ended before.
func (t *PhoneRows) ForgetPhoneCodes(ended time.Time) error {
	_, err := t.conn.Exec(`DELETE FROM phone_codes WHERE ends_at < $1`, ended)
	return err
}

// PhoneKeys returns all, by device.
func (t *PhoneRows) PhoneKeys() ([]access.PhoneKey, error) {
	return Keys.List(t.conn, "ORDER BY device")
}

// PhoneKey returns how the key of a device turns. Faults: Missing.
func (t *PhoneRows) PhoneKey(device int64) (access.PhoneKey, error) {
	out, err := Keys.List(t.conn, "WHERE device = $1", device)
	return table.Only(out, err, "phone %d", device)
}

// SavePhoneKey keeps how the key of a device turns. Faults: Missing.
func (t *PhoneRows) SavePhoneKey(k access.PhoneKey) error {
	_, err := Keys.Insert(t.conn, k, ` ON CONFLICT (device) DO UPDATE SET family = excluded.family, before = excluded.before,
		turned_at = excluded.turned_at, settled = excluded.settled, cloned_at = excluded.cloned_at, hidden = excluded.hidden`)
	return engine.When(err, engine.Foreign, engine.Missing("device %d", k.Device))
}
