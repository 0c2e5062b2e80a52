// Package copying keeps which studio it is, what its copies go by, and whether it was left for another machine.
package copying

import (
	"encoding/json"
	"time"

	"solander/fault"
	"solander/store/table"
	"solander/upkeep"
)

var lefts = table.Make("left_for", "leaving", func(l *upkeep.LeftFor) table.Columns {
	one := int64(1)
	return table.Columns{"id", &one, "at", &l.At, "who", &l.Who, "file", &l.File}
})

// CopyRows are all of it within one transaction.
type CopyRows struct{ conn *table.Conn }

// New is all of it as a transaction sees it.
func New(c *table.Conn) *CopyRows { return &CopyRows{c} }

// Identity returns the studio's mark; "" before it has any.
func (t *CopyRows) Identity() (string, error) { return t.text(`SELECT mark FROM identity`) }

func (t *CopyRows) text(query string) (string, error) {
	out, err := table.Values[string](t.conn, query)
	if err != nil || len(out) == 0 {
		return "", err
	}
	return out[0], nil
}

// SaveIdentity gives the studio its mark. Faults: Taken when it has another one.
func (t *CopyRows) SaveIdentity(mark string) error {
	has, err := t.Identity()
	switch {
	case err != nil || has == mark:
		return err
	case has != "":
		return fault.New(fault.Taken, "the studio has the mark %s already", has)
	}
	_, err = t.conn.Exec(`INSERT INTO identity (id, mark) VALUES (1, $1)`, mark)
	return err
}

// Copying returns what copies go by, as JSON; nil before anything was chosen.
func (t *CopyRows) Copying() (json.RawMessage, error) {
	body, err := t.text(`SELECT body FROM copying`)
	if body == "" {
		return nil, err
	}
	return json.RawMessage(body), err
}

// SaveCopying keeps what copies go by.
func (t *CopyRows) SaveCopying(body json.RawMessage) error {
	_, err := t.conn.Exec(`INSERT INTO copying (id, body) VALUES (1, $1) ON CONFLICT (id) DO UPDATE SET body = excluded.body`, string(body))
	return err
}

// LeftFor returns whether the studio was left; the zero LeftFor when not.
func (t *CopyRows) LeftFor() (upkeep.LeftFor, error) {
	out, err := lefts.List(t.conn, "")
	if err != nil || len(out) == 0 {
		return upkeep.LeftFor{}, err
	}
	return out[0], nil
}

// SaveLeftFor keeps that the studio was left, or that it is taken back.
func (t *CopyRows) SaveLeftFor(l upkeep.LeftFor) error {
	if l.At == (time.Time{}) {
		_, err := t.conn.Exec(`DELETE FROM left_for`)
		return err
	}
	_, err := lefts.Insert(t.conn, l, ` ON CONFLICT (id) DO UPDATE SET at = excluded.at, who = excluded.who, file = excluded.file`)
	return err
}
